"""How long what is built lasts, and what keeps it: staining, topping up, re-laying, renewing a covering.

Lives and intervals are common practice without a source (``data/lasting.json``): a beginning, which weather, soil and
care change.  What a maker states of a kit takes their place; where none states it, nobody can tell.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from quincunx.build._data import table
from quincunx.build.amounts import Line, TakeOff, Task
from quincunx.build.floors import floor_take_off
from quincunx.build.frames import length_of
from quincunx.shapes import AreaWork, FrameWork, KitWork, Layer, LineWork, Work

Life = tuple[int, int]
"""How many years something lasts, from and to."""


@dataclass(frozen=True, slots=True)
class Chore:
    """What has to be done every so many years: its words, the months it fits in, what it takes."""

    id: str
    words: str
    every: int
    months: tuple[int, ...]
    taken: TakeOff


@dataclass(frozen=True, slots=True)
class Lasting:
    """How long some work lasts (None: nobody can tell) and by what, why that is not known, and what keeps it."""

    life: Life | None
    by: str
    because: str
    chores: tuple[Chore, ...] = ()
    kept_known: bool = True
    """Whether what keeps it is known; of a kit nobody says."""

    @property
    def middle(self) -> int | None:
        """Return the middle of its life [years]."""
        return None if self.life is None else round(sum(self.life) / 2)


def lasting(works: Iterable[Work]) -> Lasting:
    """Return how long some works together last: as long as the first of their frames and runs, else of their floors."""
    works = tuple(works)
    kit = next((w for w in works if isinstance(w, KitWork)), None)
    if kit is not None:
        because = "" if kit.life_years else "its maker states no life"
        life = None if kit.life_years is None else (kit.life_years, kit.life_years)
        return Lasting(life, "the kit, as its maker states", because, kept_known=False)
    bearing = list(_lives(w for w in works if isinstance(w, (FrameWork, LineWork))))
    floors = list(_lives(w for w in works if isinstance(w, AreaWork)))
    found = bearing or floors
    if not found:
        return Lasting(None, "", "no life is known for what it is made of", kept_known=False)
    by, life = min(found, key=lambda f: (f[1][1], f[1][0], f[0]))
    return Lasting(life, by, "", _together([c for w in works for c in _chores(w, life)]))


def _lives(works: Iterable[Work]) -> Iterator[tuple[str, Life]]:
    for work in works:
        for material in _materials(work):
            row = row_of(material)
            if row is not None:
                yield material, (int(row["life"][0]), int(row["life"][1]))


def row_of(material: str) -> dict[str, Any] | None:
    """Return what is known of a material's life: by its own words, or fewer of them, its last words first."""
    rows, parts = table("lasting"), material.split()
    names = [" ".join(parts[n:]) for n in range(len(parts))] + [
        " ".join(parts[:n]) for n in range(len(parts) - 1, 0, -1)
    ]
    return next((rows[n] for n in names if n in rows and n != "about"), None)


_FLOORS = {"brick": "brick floor", "boards": "deck boards"}


def _materials(work: Work) -> tuple[str, ...]:
    if isinstance(work, FrameWork):
        return tuple(dict.fromkeys(m.material for m in work.members))
    if isinstance(work, LineWork):
        return (work.material,)
    if isinstance(work, AreaWork):
        named = [_FLOORS.get(x.material, x.material) if work.dug else x.material for x in work.layers]
        return tuple(n for n in named if row_of(n) is not None)[:1]
    return ()


def _chores(work: Work, life: Life) -> Iterator[Chore]:
    """Yield what keeps one work going; a covering that goes before what it covers is renewed."""
    for material in _materials(work):
        row = row_of(material)
        if row is None:
            continue
        for chore in row["chores"]:
            much = _amount(work, material, chore["of"]) * float(chore.get("share", 1.0))
            if much > 0:
                yield Chore(
                    chore["id"], chore["words"], int(chore["every"]), tuple(chore["months"]), _taken(work, chore, much)
                )
        mine = round(sum(row["life"]) / 2)
        if isinstance(work, AreaWork) and not work.dug and mine < round(sum(life) / 2):
            yield Chore(
                f"renew-{'-'.join(material.split())}",
                f"Renew the {material}",
                mine,
                (4, 5, 6, 7, 8, 9),
                floor_take_off(work),
            )


def _amount(work: Work, material: str, of: str) -> float:
    """Return how much of a work a chore is counted on: m2, m or pieces."""
    if isinstance(work, FrameWork):
        mine = [m for m in work.members if m.material == material]
        if of == "each":
            return float(sum(m.count for m in mine if m.support == "post"))
        return sum(2 * (m.section_m[0] + m.section_m[1]) * length_of(m) * m.count for m in mine)
    if isinstance(work, LineWork):
        length = float(work.course.length)
        face = length * work.height_m
        return length if of == "run" else 2 * face if of == "both-faces" else face
    return float(work.outline.area) if isinstance(work, AreaWork) else 0.0


def _taken(work: Work, chore: dict[str, Any], much: float) -> TakeOff:
    tasks = (Task(chore["norm"], much),)
    if "tops" in chore and isinstance(work, AreaWork):
        top = AreaWork(work.owner, work.outline, (Layer(chore["tops"], float(chore["tops_m"])),), dug=False)
        return floor_take_off(top) + TakeOff(tasks=tasks)
    if "buys" not in chore:
        return TakeOff(tasks=tasks)
    buy = float(math.ceil(much - 1e-6)) if chore["unit"] == "each" else much
    line = Line(chore["buys"], chore["buys_words"], chore["unit"], buy, buy, "builders' merchant")
    return TakeOff((line,), tasks=tasks)


def _together(chores: list[Chore]) -> tuple[Chore, ...]:
    found: dict[str, Chore] = {}
    for c in chores:
        had = found.get(c.id)
        found[c.id] = c if had is None else replace(had, every=min(had.every, c.every), taken=had.taken + c.taken)
    return tuple(sorted(found.values(), key=lambda c: (c.every, c.id)))
