"""The first weekend on ground that was never surveyed: pegs in its corners, and the tapes that show a misreading."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any, NamedTuple

import shapely

from quincunx.garden.starting import corners
from quincunx.shapes import XY, Figure, PathFigure
from quincunx.sheets._outdoors import Base, base_of, obstacles, ring_count, tape, within
from quincunx.sheets._place import thin, view
from quincunx.sheets._set import Set
from quincunx.sheets._tables import BOX, LINE
from quincunx.sheets.book import Block
from quincunx.sheets.scales import Scale
from quincunx.survey import Control, Distance, Rise, Staff, points_of, stake_id
from quincunx.survey.accuracy import tape_sd_m
from quincunx.survey.begun import corners_of, moved
from quincunx.units import listed

MOST_CORNERS, THREE = 8, 3
"""Ground with more corners is surveyed properly, not taped crosswise."""
MOST_TIES = 8
DRAWN_MM = 95.0
"""Height of the drawing of the ground [mm]."""
STEPS = (
    "Two people and a long tape: a cane or a peg in each corner, one holds the end there, one reads",
    "Hold the tape level and taut; on a slope take it in shorter steps",
    "Write down what it reads, also where it agrees",
    "Type the readings under Ground: with the lengths that began the garden they find a misread one, and what to tape next",
)
COVERS = (
    "The lengths come from the plan as drawn, in plan and not along the slope. A boundary that is in doubt is for the"
    " deeds and a surveyor to settle, not for a tape."
)
AT_ENDS_M = 0.5
"""A corner where fences meet is no hindrance to a tape that begins there [m]."""
CARE = (
    "Before you drive a peg deeper than a hand, ask the service that locates buried lines, and the owners of pipes and cables"
    " where theirs lie."
)
SHOWS, PLACES = "shows a side misread", "places what is built"
"""What a tape is for."""
PAST = ", past what stands on the line"
"""Said of a line across on which something stands: both diagonals of four corners are wanted all the same."""
LEAST_CUT = 0.25
"""Two tapes that cut at a flatter angle than this sine (about 15 degrees) place nothing (common practice, no source)."""
SURE = 2.0
"""Nineteen times in twenty a good tape agrees within so many standard deviations (normal distribution)."""


MOST_FIRST = 200
"""More readings than this are no first Saturday's."""


class Tape(NamedTuple):
    """One line to tape: its ends, how long the plan says it is, and how near the tape should come [m]."""

    start: str
    end: str
    metres: float
    within_m: float
    what: str


class Reach:
    """Where a tape can be held: over the ground itself, and not through what stands there."""

    def __init__(self, ring: Sequence[XY], blocked: Sequence[Sequence[XY]]) -> None:
        """Take the corners of the ground and the outlines of what stands on it [m]."""
        self.ground = shapely.Polygon(ring).buffer(0.02)
        self.walls = [shapely.Polygon(outline) for outline in blocked]

    def inside(self, a: XY, b: XY) -> bool:
        """Tell whether the line between two points stays on the ground: round an inward corner it would leave it."""
        return bool(self.ground.covers(shapely.LineString([a, b])))

    def clear(self, a: XY, b: XY) -> bool:
        """Tell whether nothing stands on the line, but for what stands at its very ends."""
        far = math.dist(a, b)
        if far <= 2 * AT_ENDS_M:
            return True
        line = shapely.LineString([along(a, b, AT_ENDS_M), along(b, a, AT_ENDS_M)])
        return not any(wall.intersects(line) for wall in self.walls)


def along(a: XY, b: XY, metres: float) -> XY:
    """Return the point so far from ``a`` on the way to ``b`` [m]."""
    share = metres / math.dist(a, b)
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def first_tapes(of: Set) -> tuple[Base, list[Tape]] | None:
    """Return what is taped before anything else, and from which corners; None once the ground is measured or a work is done."""
    garden = of.garden
    count = ring_count(of)
    if garden.survey.stakes or not 3 <= count <= MOST_CORNERS or any(e.what == "done" for e in garden.journal):
        return None
    base = base_of(of)
    ring = [c.xy for c in base.controls[:count]]
    if len(ring) < count:
        return None
    other = set(_moved(of))
    first = [d for d in garden.survey.begun.lengths if not {d.start, d.end} & other]
    given = {frozenset((d.start, d.end)): float(d.accuracy or 0.0) for d in first}
    reach = Reach(ring, obstacles(of.timeline.at(date(of.timeline.years[0], 1, 1)), ()))
    return base, [*_sides(base, ring, given), *_across(base, ring, reach, given), *_ties(base, count, reach)]


def _moved(of: Set) -> tuple[str, ...]:
    """Return the letters of the corners that were drawn elsewhere since the garden was begun."""
    begun, ring = of.garden.survey.begun, [(float(x), float(y)) for x, y in of.garden.boundary]
    return moved(corners_of(begun, {p for d in begun.lengths for p in (d.start, d.end)}), ring)


def begun_elsewhere_words(of: Set) -> list[str]:
    """Return that first lengths tell nothing of the corners as they are drawn now, if it is so."""
    other = set(_moved(of))
    left = [d for d in of.garden.survey.begun.lengths if {d.start, d.end} & other]
    if not left:
        return []
    pairs = listed([f"{d.start.upper()} to {d.end.upper()}" for d in left])
    said = (
        f"The boundary was drawn anew since the garden was begun: its first lengths {pairs} were those of other corners,"
        " and nothing here goes by them. Under Ground they can be left out"
    )
    return [said]


def first_left(of: Set) -> tuple[Base, list[Tape]] | None:
    """Return what is taped first also while it is being taped, so that a second phone has the list as well; else None.

    It is over once all of it was read, or anything else was.
    """
    survey = of.garden.survey
    if not survey.stakes:
        return first_tapes(of)
    if len(survey.readings) >= MOST_FIRST or not all(isinstance(r, (Distance, Rise, Staff)) for r in survey.readings):
        return None
    unread = survey.changed(stakes=(), readings=(), datum=None, toward=None)
    found = first_tapes(replace(of, garden=of.garden.changed(survey=unread)))
    if found is None:
        return None
    wanted = {frozenset((stake_id(t.start), stake_id(t.end))) for t in found[1]}
    read = {frozenset(points_of(r)) for r in survey.readings if isinstance(r, Distance)}
    return found if read < wanted else None


def corner_words(of: Set, base: Base) -> dict[str, str]:
    """Return the letters of the corners that are taped from and to, and what each is."""
    return {base.names[c.id]: base.about[c.id] for c in base.controls[: ring_count(of) + MOST_TIES // 2]}


def first_ground(of: Set) -> list[Block]:
    """Return what to peg and tape before anything else; nothing once the ground is measured or a work is done."""
    found = first_tapes(of)
    if found is None:
        return []
    base, tapes = found
    rows: list[list[Any]] = [
        [BOX, f"{t.start} to {t.end}", {"s": tape(of, t.metres), "bold": True}, within(of, t.within_m), LINE, t.what]
        for t in tapes
    ]
    drawing, scale = _drawn(of, base)
    about = "; ".join(f"{name}: {what}" for name, what in corner_words(of, base).items())
    return [
        {"t": "heading", "s": "First: does the ground agree with the plan?"},
        {
            "t": "text",
            "s": f"Everything to come is measured from these corners. {what_shows(of, tapes)}",
        },
        {"t": "list", "items": [*begun_elsewhere_words(of), *STEPS], "size": 11},
        {
            "t": "table",
            "head": ["", "tape", "the plan says", "within", "it reads", "why"],
            "rows": rows,
            "widths": [0, 0.8, 1, 0.7, 0.9, 2.2],
            "align": ["left"] * 6,
            "size": 10,
            "inset": 1.5,
        },
        {"t": "space", "mm": 3},
        drawing,
        {
            "t": "small",
            "s": f"{scale.said} · {about}. “Within” is what a good tape leaves, nineteen times in twenty. {COVERS}",
        },
        {"t": "caution", "s": CARE},
    ]


def what_to_tape(of: Set, tapes: Sequence[Tape]) -> str:
    """Return in a few words what is taped first: three corners have no line across."""
    if ring_count(of) > THREE:
        return "a tape along each side and across"
    return "a tape along each side" + (" and to what is built" if any(t.what in (PLACES, SHOWS) for t in tapes) else "")


def what_shows(of: Set, tapes: Sequence[Tape]) -> str:
    """Return in a sentence or two what shows a misread side of a ground of so many corners."""
    again = "if one is farther out than it may be, tape the sides again before anything is bought or dug."
    if ring_count(of) > THREE:
        return f"The lines across show a misread side: {again}"
    if any(t.what == SHOWS for t in tapes):
        return f"Three corners have no line across; the third tape to one corner of what is built shows a misread side: {again}"
    return (
        "Three corners have no line across that shows a misread side: have somebody else tape each side again, or push a cane"
        " in somewhere near the middle, tape it from all three corners, and type that under Ground too, before anything is"
        " bought or dug."
    )


def _drawn(of: Set, base: Base) -> tuple[Block, Scale]:
    """Return the ground and what is built on it, each corner with its letter."""
    scene = of.timeline.at(date(of.timeline.years[0], 1, 1))
    figures: list[Figure] = [f for f in of.frame() if isinstance(f, PathFigure) and f.owner == "boundary"]
    figures += [g for f in scene.figures for g in thin(f)]
    names = {base.names[c.id]: c.xy for c in base.controls}
    return view(of, names.values(), figures, (of.paper.frame_mm[0], DRAWN_MM), stakes=names)


Given = Mapping[frozenset[str], float]
"""How good the lengths that began the garden are [m], by the ids of their corners."""


def _known_sd(given: Given, a: str, b: str, far: float) -> float:
    """Return how surely the plan knows a line [m]: as the length that began it, or as a tape."""
    return given.get(frozenset((a.lower(), b.lower()))) or tape_sd_m(far)


def _sides(base: Base, ring: Sequence[XY], given: Given) -> Iterator[Tape]:
    names = [base.names[c.id] for c in base.controls[: len(ring)]]
    for (a, p), (b, q) in pairwise([*zip(names, ring, strict=True), (names[0], ring[0])]):
        far = math.dist(p, q)
        off = SURE * math.hypot(_known_sd(given, a, b, far), tape_sd_m(far))
        yield Tape(a, b, far, off, "a side, taped once more")


def _across(base: Base, ring: Sequence[XY], reach: Reach, given: Given) -> Iterator[Tape]:
    """Yield the lines between corners that are no sides and that a tape can follow.

    None leads over a neighbour's ground; of four corners both diagonals are wanted though something stands on them,
    of more corners there are enough without.
    """
    names, n = [base.names[c.id] for c in base.controls[: len(ring)]], len(ring)
    for i in range(n):
        for j in range(i + 2, n - (i == 0)):
            if not reach.inside(ring[i], ring[j]) or (n > 4 and not reach.clear(ring[i], ring[j])):
                continue
            far = math.dist(ring[i], ring[j])
            past = "" if reach.clear(ring[i], ring[j]) else PAST
            if n == 4 and i == 0:
                off = SURE * math.hypot(_known_sd(given, names[i], names[j], far), tape_sd_m(far))
                yield Tape(names[i], names[j], far, off, f"fixes the shape{past}")
            else:
                sd = _second_diagonal_sd(ring, _five_sds(names, ring, given)) if n == 4 else tape_sd_m(far)
                yield Tape(names[i], names[j], far, SURE * sd, f"{SHOWS}{past}")


def _five_sds(names: Sequence[str], ring: Sequence[XY], given: Given) -> list[float]:
    """Return how surely the plan knows its four sides and the first diagonal [m]."""
    pairs = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2)]
    return [_known_sd(given, names[i], names[j], math.dist(ring[i], ring[j])) for i, j in pairs]


def _second_diagonal_sd(ring: Sequence[XY], sds: Sequence[float]) -> float:
    """Return how far a tape from the second to the fourth corner may differ from four sides and the first diagonal [m].

    ``sds`` says how good those five are [m].

    The errors of the five tapes are carried to it by its derivatives, and its own added in quadrature.
    """
    lengths = [math.dist(ring[i], ring[(i + 1) % 4]) for i in range(4)] + [math.dist(ring[0], ring[2])]

    def other(given: Sequence[float]) -> float:
        corner = corners(given[:4], given[4])
        return math.dist(corner[1], corner[3])

    step, here = 1e-4, other(lengths)
    parts = [(other([*lengths[:i], x + step, *lengths[i + 1 :]]) - here) / step for i, x in enumerate(lengths)]
    return math.hypot(tape_sd_m(here), *(d * sd for d, sd in zip(parts, sds, strict=True)))


def _ties(base: Base, count: int, reach: Reach) -> Iterator[Tape]:
    """Yield two tapes to each corner of what is built, from the corners of the ground that cross best there.

    None goes through what stands there or over a neighbour's ground; a corner that two can't reach is left out, and so is
    one they would reach along one line, as a corner of the house that stands on a side or a corner of the ground.  Three
    corners have no line across: there a third tape to the first of these corners shows a misreading.
    """
    checked = False
    ground = base.controls[:count]
    for corner in base.controls[count : count + MOST_TIES // 2]:
        free = [c for c in ground if reach.inside(c.xy, corner.xy) and _untouched(reach, c.xy, corner.xy)]
        pairs = [(a, b) for n, a in enumerate(free) for b in free[:n] if _cut(corner.xy, a.xy, b.xy) >= LEAST_CUT]
        best = max(pairs, key=lambda ab: _crossing(corner.xy, ab[0].xy, ab[1].xy), default=())
        for stake in sorted(best, key=lambda c: base.names[c.id]):
            yield _tie(base, stake, corner, PLACES)
        third = [c for c in free if c not in best and count == THREE]
        if best and third and not checked:
            checked = True
            yield _tie(base, third[0], corner, SHOWS)


def _tie(base: Base, stake: Control, corner: Control, what: str) -> Tape:
    far = math.dist(stake.xy, corner.xy)
    return Tape(base.names[stake.id], base.names[corner.id], far, SURE * math.sqrt(2) * tape_sd_m(far), what)


def _untouched(reach: Reach, a: XY, b: XY) -> bool:
    return not any(wall.intersects(shapely.LineString([a, b])) for wall in reach.walls)


def _crossing(at: XY, one: XY, two: XY) -> float:
    """Return how well two tapes cross at a point: 1 at a right angle, less the longer they are (per 100 m)."""
    return _cut(at, one, two) - (math.dist(at, one) + math.dist(at, two)) / 100


def _cut(at: XY, one: XY, two: XY) -> float:
    """Return the sine of the angle at which two tapes cut at a point; 0 where one of them has no length."""
    ax, ay, bx, by = one[0] - at[0], one[1] - at[1], two[0] - at[0], two[1] - at[1]
    return abs(ax * by - ay * bx) / max(math.hypot(ax, ay) * math.hypot(bx, by), 1e-9)
