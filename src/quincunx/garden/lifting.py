"""What is dug out of a planted line for an opening that comes years after it: told once, for the bill, the hours, the papers."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from shapely import LineString, Point

from quincunx.scene import Stands, Timeline
from quincunx.scene.left_open import Way, kept_free, planted_line
from quincunx.shapes import XY, LiftWork
from quincunx.units.dates import first_day, month_from_index

NEVER = 10**6
"""Openings from this month on have no job yet."""


@dataclass(frozen=True, slots=True)
class Lifted:
    """Plants of one planting that stand in the way of a later opening: whose, what, where [m], how long after planting."""

    owner: str
    planting: str
    plant: str
    at: tuple[XY, ...]
    years: float
    spacing_m: float

    @property
    def work(self) -> LiftWork:
        """Return the work of digging them out, which is the opening's."""
        return LiftWork(self.owner, self.planting, self.plant, self.at, self.years)


def lifted(through: Timeline, opening: Stands) -> tuple[Lifted, ...]:
    """Return the plants that are dug out for an opening of the garden, by planting; nothing where it comes first."""
    if kept_free(opening) is None or through.feature(opening.id) != opening:
        return ()
    begins = through.span(opening.id).begins
    if begins is None or not 12 < begins < NEVER:
        return ()
    return tuple(x for f in through.features if (x := _of(through, f, opening.id, begins)) is not None)


def _of(through: Timeline, planting: Stands, owner: str, begins: int) -> Lifted | None:
    ways = [w for w in through.ways_in(planting) if w.begins == begins]
    found = planted_line(planting)
    if found is None or not any(w.owner == owner for w in ways):
        return None
    after = first_day(month_from_index(begins))
    if not through.stands_on(planting.id, after):
        return None
    standing = through.plants_on(planting, after - timedelta(days=1))
    left = {p for one in through.plants_on(planting, after) for p in one.at}
    course = LineString(found[0])
    at = tuple(p for one in standing for p in one.at if p not in left and _for(course, p, ways) == owner)
    if not at:
        return None
    return Lifted(owner, planting.id, standing[0].plant, at, standing[0].age_years, standing[0].spacing_m)


def _for(course: LineString, at: XY, ways: list[Way]) -> str:
    """Return for which of the openings that come together a plant is dug out: the one it is nearest to."""
    along = course.project(Point(at))
    return min((min(_off(along, w, course), default=math.inf), w.owner) for w in ways)[1]


def _off(along: float, way: Way, course: LineString) -> Iterator[float]:
    """Yield how far a place along a line lies from an opening in it [m]; a closed line has no end."""
    low, high = way.stretch
    long = course.length
    for s in (along - long, along, along + long) if course.is_closed else (along,):
        yield max(low - s, s - high, 0.0)
