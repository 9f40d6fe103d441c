"""What the journal says was lost, browsed or died back: told once, in the same words for what is noticed and for planning again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from quincunx.garden.document import Garden
from quincunx.grow.aftercare import AGAIN, After, aftercare
from quincunx.grow.set_back import TOLD, SetBack, set_backs
from quincunx.plants.setbacks import SAID
from quincunx.scene import Timeline
from quincunx.units import capital, listed
from quincunx.units.dates import format_day, format_month, month_from_index

EARLY = "the journal says, but it is not planted by then"
IN_CARE = "It stands in the care calendar and the hours of upkeep, and needs no job."

NO_SUM = "What the plants cost anew is in no sum yet: write it down with “was planted again”."


@dataclass(frozen=True, slots=True)
class Befell:
    """What befell one thing: ``told`` what, and ``then`` what comes of it or is to be done; ``odd`` if it changes nothing.

    ``planting``: what it comes to, of a planting.
    """

    owner: str
    told: str
    then: str
    last: date
    odd: bool = False
    planting: SetBack | None = None

    @property
    def sentence(self) -> str:
        """Return both."""
        return f"{self.told} {self.then}".strip()


def befell(
    garden: Garden, through: Timeline, called: Callable[[str], str], now: int | None = None
) -> tuple[Befell, ...]:
    """Return what befell each thing the journal says something of, by the day it began; ``called`` gives names.

    Nothing is to be planted again before month ``now`` (from January of year 0), if that is given.
    """
    plantings = {one.owner: one for one in set_backs(through)}
    rows: dict[str, list[tuple[date, str, float | None]]] = {}
    for entry in sorted(through.journal, key=lambda e: (e.day, e.id)):
        if entry.about and entry.what in TOLD:
            rows.setdefault(entry.about, []).append((date.fromisoformat(entry.day), entry.what, entry.amount))
    found: list[Befell] = []
    for owner, happened in rows.items():
        one = plantings.get(owner)
        name = capital(called(owner))
        if one is None:
            found.append(_other(garden, through, owner, name, happened))
            continue
        if one.early:
            day, what, _ = one.early[0]
            told = f"{name} {SAID[what]} on {format_day(day)}, {EARLY}: that changes nothing."
            found.append(
                Befell(owner, told, "Mend the day of that line, or the month in which it is planted.", day, odd=True)
            )
        if one.happened:
            told = told_of(garden, owner, f"{name} ({one.plant.name})", one.happened)
            then = after(through, owner, gone=one.gone, now=now)
            found.append(Befell(owner, told, then, one.happened[-1][0], planting=one))
    return tuple(found)


def told_of(garden: Garden, owner: str, name: str, happened: Sequence[tuple[date, str, float | None]]) -> str:
    """Return one sentence of what happened to a thing, with what the person wrote of it."""
    texts: dict[tuple[str, str], str] = {(e.day, e.what): e.text for e in garden.journal if e.about == owner and e.text}
    parts = []
    for day, what, many in happened:
        text = texts.get((day.isoformat(), what), "")
        parts.append(f"{_many(what, many)} on {format_day(day)}{f' ({text})' if text else ''}")
    return f"{name} {listed(parts)}."


def after(through: Timeline, owner: str, *, gone: bool, now: int | None = None) -> str:
    """Return what comes of a planting and what is to be done for it, by month."""
    every = [a for a in aftercare(through, now) if a.owner == owner]
    todo = [f"In {format_month(month_from_index(a.month))}: {a.words}." for a in every]
    said = ["Nothing stands there until it is planted again."] if gone else []
    return " ".join((*said, *todo, in_care(every)))


def in_care(todo: Sequence[After]) -> str:
    """Return where what is to be done stands, and that plants to be bought again are in no sum yet; "" for nothing."""
    if not todo:
        return ""
    return f"{IN_CARE} {NO_SUM}" if any(a.id == AGAIN for a in todo) else IN_CARE


def _gone(through: Timeline, owner: str) -> bool:
    """Return whether all of a thing is lost and not set anew, whatever the day."""
    fate = through.fates.get(owner)
    return fate is not None and bool(fate.gone) and fate.gone[-1][1] is None


def _other(
    garden: Garden, through: Timeline, owner: str, name: str, happened: Sequence[tuple[date, str, float | None]]
) -> Befell:
    """Tell of what is no planting: a built thing that is gone, or something that can't be."""
    day, what, _ = happened[-1]
    told = told_of(garden, owner, name, happened)
    if through.feature(owner) is None:
        then = f"{name} is a job, not a thing, so that changes nothing: say in that line what {SAID[what]}."
        return Befell(owner, told, then, day, odd=True)
    if what == "lost" and through.is_early(owner, day):
        told = (
            f"{name} was lost on {format_day(day)}, the journal says, but it is not made by then: that changes nothing."
        )
        then = "Mend the day of that line, or the month in which it is made."
        return Befell(owner, told, then, day, odd=True)
    if not through.fates[owner].gone:
        return Befell(owner, told, f"{name} is no plant, so that changes nothing: mend that line.", day, odd=True)
    if not _gone(through, owner):
        return Befell(owner, told, "", day)
    then = (
        "It stands in no year to come. If it stands again already, write “was planted again” with its day; if it is to"
        " be made anew, draw it anew, with a job."
    )
    return Befell(owner, told, then, day)


def _many(what: str, many: float | None) -> str:
    if not many or what not in ("lost", "replanted"):
        return SAID[what]
    return f"{'lost' if what == 'lost' else 'had again'} {many:g} of its plants"
