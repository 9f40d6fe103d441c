"""What a helper who has never seen the garden must know of a step: how it is done, what to bring, how long, what to wear.

All of it is common practice, no source; where a thing is built the page drawn for it goes before.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from quincunx.build.hands import hands
from quincunx.build.hours import Labour
from quincunx.shapes import FrameWork
from quincunx.sheets._building import amount_of
from quincunx.sheets._outdoors import Made, Planned
from quincunx.sheets._set import Set
from quincunx.units import format_hours, format_length

SET_OUT = ("two tapes", "pegs and a mallet", "a pencil", "string")
"""For setting points and proving them."""
SET_MIN = 10
"""Two people set and prove a peg in about so many minutes (common practice, no source) [min]."""
POSTS = "post-hole"
"""The sort of work whose depth is drawn."""
SUNK_M = 0.05
"""A post whose foot lies deeper than this is sunk into a hole [m]."""
QUARTER_H, LEAST_H = 0.25, 0.05
"""Times are told to the quarter of an hour; shorter ones as a few minutes [h]."""


WAYS: dict[str, tuple[str, ...]] = {
    "buy": ("Ask for it as it is written; keep the receipt.",),
    "parts": ("Count it against what is there, and put it where it is worked on.",),
    "saw": ("Measure twice, mark with a square, saw on the waste side.", "Write on each piece what it is for."),
    "raise": ("The page Construction, made for this, shows each joint and size: have it beside you.",),
    "do": ("This is written as whoever planned it said it: ask, if anything is unclear.",),
}
"""How a line of each list is done."""
_LISTS: dict[str, tuple[str, ...]] = {
    "saw": ("cut-timber", "cut-units"),
    "plant": ("plant-whip", "plant-pot", "plant-tree", "raise-plant"),
    "raise": (
        "frame", "post-hole", "footing", "board", "lay-boards", "hang-panel", "glaze",
        "roof-boards", "roof-shingles", "roof-slates", "roof-sheet",
    ),
}  # fmt: skip
"""The sorts of work that a list stands for."""


def labour_of(of: Set, plan: Made) -> tuple[Labour, ...]:
    """Return what the job is made of as sorts of work with their own hours, in the order in which they come."""
    costed = next((c for c in of.costed if c.job.id == plan.job.id), None)
    if costed is None or costed.options:
        return ()
    known = (x for x in costed.reckoned.labour if x.norm in hands() and x.amount > 0)
    return tuple(sorted(known, key=lambda x: hands()[x.norm].turn))


def all_norms(of: Set, plan: Made) -> tuple[str, ...]:
    """Return every sort of work the job may come to, each once: of a place held open those of all that it may become."""
    costed = next((c for c in of.costed if c.job.id == plan.job.id), None)
    if costed is None:
        return ()
    every = (costed.reckoned, *(option.reckoned for option in costed.options))
    found = (x.norm for one in every for x in one.labour if x.norm in hands() and x.amount > 0)
    return tuple(sorted(dict.fromkeys(found), key=lambda norm: hands()[norm].turn))


def work_lines(of: Set, labour: Sequence[Labour], without: Iterable[str]) -> list[tuple[str, str, Labour]]:
    """Return each sort of work as a line: what it is, as it is written, and its hours; ``without`` those of other lists."""
    out = []
    for one in labour:
        if one.norm not in without:
            words = (
                f"{one.words}: {amount_of(one.amount, one.unit, of.garden.style)}"
                if one.norm != "kit-hour"
                else one.words
            )
            out.append((one.norm, words, one))
    return out


def deep_words(of: Set, plan: Planned) -> list[str]:
    """Return how wide and deep the holes of posts are dug, as drawn; empty where no post stands in the ground."""
    style = of.garden.style
    frames = [w for s in plan.stood.values() for w in s.work if isinstance(w, FrameWork) and not w.on_pads]
    holes = {
        (m.name, format_length(round(-min(m.start[2], m.end[2]), 2), style), format_length(w.hole_m, style))
        for w in frames
        for m in w.members
        if m.support == "post" and min(m.start[2], m.end[2]) < -SUNK_M
    }
    if not holes:
        return []
    told = "; ".join(f"{name}: {deep} deep, {wide} wide" for name, deep, wide in sorted(holes))
    return [f"Each hole as drawn ({told}): frost or your local code may ask for more."]


def norms_of(name: str) -> tuple[str, ...]:
    """Return the sorts of work that a list stands for; none where it is of anything the person wrote."""
    return _LISTS.get(name, ())


def bring(labour: Iterable[Labour], norms: Iterable[str] | None = None) -> list[str]:
    """Return what to bring for some sorts of work, each once, in the order in which it is needed."""
    wanted = None if norms is None else set(norms)
    return list(dict.fromkeys(t for x in labour if wanted is None or x.norm in wanted for t in hands()[x.norm].bring))


def usual(name: str) -> list[str]:
    """Return what a list's first sort of work needs, where none of them is counted in the job by itself."""
    return [t for norm in norms_of(name)[:1] for t in hands()[norm].bring]


def about_long(of: Set, hours: float) -> str:
    """Write about how long something takes [h], to the quarter of an hour; empty where nothing is known."""
    if hours <= 0:
        return ""
    if hours < LEAST_H:
        return "A few minutes"
    quarters = max(1, round(hours / QUARTER_H))
    return f"About {format_hours(quarters * QUARTER_H, of.garden.style)}"
