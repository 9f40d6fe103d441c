"""What a page of canes says beside its table: which canes are taped, how thick it gets, how it grows, what it must do."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely

from quincunx.shapes import XY, united
from quincunx.sheets._canes import Trial, trial
from quincunx.sheets._outdoors import Planned, tape, whole
from quincunx.sheets._set import Set
from quincunx.units import format_length

STRAIGHT_M = 0.03
"""Canes no further than this off a line or a circle are pushed in along it [m]."""
THIN_M = 0.15
"""What is thinner than this has no thickness worth a word [m]."""
SAME_M = 0.03
"""Sides and heights no further apart than this are told as one [m]."""


@dataclass(frozen=True, slots=True)
class Easy:
    """Canes that need no tapes of their own: those to ``tape`` (by place in the row), how, and what each other one reads."""

    tape: tuple[int, ...]
    words: str
    others: dict[int, tuple[str, str]]


def easier(of: Set, at: list[XY]) -> Easy | None:
    """Return how canes in a line, or round the first of them, are set without taping each; None for others."""
    if len(at) < 3:
        return None
    count, last = len(at), len(at) - 1
    if _straight(at):
        line = f"on the string, 1 to {count}"
        return Easy(
            (0, last),
            "Stretch the string between them; the others stand along it.",
            {k: (line, f"{tape(of, math.dist(at[0], at[k]))} from 1") for k in range(1, last)},
        )
    reach = [math.dist(at[0], p) for p in at[1:]]
    if count > 3 and max(reach) - min(reach) < STRAIGHT_M:
        far = tape(of, sum(reach) / len(reach))
        return Easy(
            (0, 1, last),
            "The others stand as far from 1, spread evenly round.",
            dict.fromkeys(range(2, last), (f"round, from 2 to {count}", f"{far} from 1")),
        )
    return None


def proof_words(of: Set, plan: Planned, easy: Easy) -> tuple[str, set[str]]:
    """Return which canes are taped, with a reading that proves each by a tape that did not set it, and its stakes."""
    ids = list(plan.marks)
    first, placed = ids[0], {p.id: p for p in plan.found.points}
    proofs: list[str] = []
    stakes: set[str] = set()
    for k in easy.tape[1:]:
        point = placed[ids[k]]
        if all(t.stake != first for t in point.ties) and all(t.stake != ids[k] for t in placed[first].ties):
            apart = math.dist(plan.marks[first].at, plan.marks[ids[k]].at)
            proofs.append(f"from 1 to {k + 1} it must then read {tape(of, apart)}")
        elif point.check is not None:
            stakes.add(point.check.stake)
            far = f"{tape(of, point.check.mark_m)} from {plan.names[point.check.stake]}"
            proofs.append(f"{k + 1} must then be {far}")
    names = [str(k + 1) for k in easy.tape]
    said = f"Set canes {', '.join(names[:-1])} and {names[-1]} by the tapes"
    return f"{said}{': ' + ', '.join(proofs) if proofs else ''}. {easy.words}", stakes


def _straight(at: list[XY]) -> bool:
    (ax, ay), (bx, by) = at[0], at[-1]
    size = math.dist(at[0], at[-1])
    return size > 0.1 and all(abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / size < STRAIGHT_M for x, y in at)


def thick_words(of: Set, one: Trial) -> str:
    """Return how far a thing with one row of canes reaches to either side of its string; nothing for others."""
    at = [c.at for c in one.canes]
    if len(at) < 2 or not _straight(at):
        return ""
    (ax, ay), (bx, by) = at[0], at[-1]
    size = math.dist(at[0], at[-1])
    area = united([s.footprint for s in one.scene.solids if s.owner == one.owner])
    off = [((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / size for x, y in shapely.get_coordinates(area)]
    right, left = max(0.0, *off), max(0.0, *(-d for d in off))
    if right + left < THIN_M:
        return ""
    thick = f"It is {_near(of, right + left)} thick: the string shows its middle, it reaches "
    if abs(right - left) < SAME_M:
        return thick + f"{_near(of, (right + left) / 2)} to either side."
    return thick + f"{_near(of, left)} to the left and {_near(of, right)} to the right as you look from 1 to {len(at)}."


def grows_words(of: Set, one: Trial) -> str:
    """Return how high the tallest string would be in each year until then, told where it changes; nothing if it doesn't."""
    heights: list[tuple[int, float]] = []
    for year in of.timeline.years:
        scene = of.summer(year)
        found = trial(scene, one.owner, one.stand).canes if scene.on < one.scene.on else one.canes
        if not found:
            continue
        top = max(c.string_m for c in found)
        if not heights or abs(top - heights[-1][1]) > SAME_M:
            heights.append((year, top))
    if len(heights) < 2:
        return ""
    told = [f"{_near(of, top)} in {year}" for year, top in heights[:-1]]
    year, top = heights[-1]
    return f"Tie a second string to see it young: {', '.join(told)}; {_near(of, top)} from {year}."


def asked_words(of: Set, one: Trial) -> str:
    """Return what the garden must do that names this thing, and from where else it is to be looked at."""
    asked = [i for i in of.garden.intents if one.owner in i.things() and not i.muted]
    if not asked:
        return ""
    said = "; ".join(i.sentence(of.words).rstrip(".") for i in asked)
    return f"Before you lower or move it: {said}."


def _near(of: Set, metres: float) -> str:
    """Write a height or a width as near as canes show it: to 1 cm or 1/2 in, in one line."""
    return whole(format_length(metres, of.garden.style))
