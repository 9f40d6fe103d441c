"""When something grown is so high, so wide, so closed: not before one year, surely by another.

A planting is looked at on the judging day of each year, in the plan and beyond it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from quincunx.grow.plantings import Planting, planting
from quincunx.plants.ranges import Range
from quincunx.scene import Timeline

MOST_YEARS = 30
"""So many years after the plan's first are looked at."""
NEARLY = 0.995
"""A size nearly reached counts: growth creeps up to its end."""

Measure = Callable[[Planting], Range]


@dataclass(frozen=True, slots=True)
class When:
    """The years in which something is reached: ``not_before``, ``usually``, ``surely_by``; None if never in sight."""

    not_before: int | None = None
    usually: int | None = None
    surely_by: int | None = None

    @property
    def words(self) -> str:
        """Return it as the end of a sentence: ``not before 2029, surely by 2032``."""
        if self.not_before is None:
            return "not in the next thirty years"
        if self.surely_by is None:
            return f"not before {self.not_before}"
        if self.surely_by == self.not_before:
            return f"by {self.surely_by}"
        return f"not before {self.not_before}, surely by {self.surely_by}"


def when(timeline: Timeline, feature_id: str, measure: Measure, target: float, last: int | None = None) -> When:
    """Return when ``measure`` of a planting comes to ``target``, up to the year ``last`` (default 30 years on).

    What the journal takes back later counts as not reached until it is reached again.
    """
    found: list[int | None] = [None, None, None]
    first = timeline.years[0]
    for year in range(first, (last or first + MOST_YEARS) + 1):
        one = planting(timeline, feature_id, judged_on(timeline, year))
        reached = (0.0, 0.0, 0.0) if one is None else measure(one).triple
        for k, value in enumerate(reversed(reached)):
            if value < target * NEARLY:
                found[k] = None
            elif found[k] is None:
                found[k] = year
        if year >= timeline.years[-1] and None not in found:
            break
    return When(*found)


def judged_on(timeline: Timeline, year: int) -> date:
    """Return the day on which a year is judged in leaf."""
    return timeline.leaf_date(year)


def height(one: Planting) -> Range:
    """Return how high a planting is [m]."""
    return Range(*one.standing.height_m)


def spread(one: Planting) -> Range:
    """Return how wide one of its plants is [m]."""
    return Range(*one.standing.spread_m)


def closed(one: Planting) -> Range:
    """Return how far the plants of a row have met: 1 when they touch; one alone, as wide as it is to be."""
    apart = one.standing.spacing_m or one.plant.spread_m
    return Range(*one.standing.spread_m).times(1 / apart)


def hiding(one: Planting, month: int, *, turned: bool) -> Range:
    """Return the share of a view that it blocks up to its height in a month."""
    through = one.plant.light(southern=turned)[month - 1]
    return closed(one).most(1.0).times(1.0 - through)


def stops(one: Planting, over_m: float, crawl_m: float) -> Range:
    """Return 1 where something that gets over ``over_m`` and through ``crawl_m`` is kept off by the plants themselves.

    Nearly so otherwise: the smaller of its height's and its closing's share.  Plants alone hold no animal for certain.
    """
    apart = one.standing.spacing_m or one.plant.spread_m
    ends = []
    for high, wide in zip(one.standing.height_m, one.standing.spread_m, strict=True):
        gap = max(apart - wide, 0.0) + STEMS_GAP_M
        ends.append(min(high / over_m, crawl_m / gap, 1.0))
    return Range(*ends)


STEMS_GAP_M = 0.08
"""Largest hole through a closed hedge [m] (common practice, no source)."""
