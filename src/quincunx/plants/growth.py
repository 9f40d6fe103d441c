"""How big a plant is at an age: one published curve, always with a range.

A plant left to itself follows the Chapman-Richards curve ``A (1 - exp(-k t))^p`` (Richards 1959, J. Exp. Bot.
10:290-300; from memory) with ``k`` set so that 90 % of the mature size is reached in the catalogue's years to
maturity.  A young clipped hedge grows by its yearly shoots after it has taken hold (common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quincunx.plants.catalogue import Plant

SHAPE_P = 1.3
"""Exponent of the curve: slow first years, then steady growth (common practice, no source)."""
SPREAD_OF_RANGE = 0.25
"""Share by which garden plants differ from the middle figure either way (common practice, no source)."""
START_SPREAD = 0.35
"""Spread of a young plant as a share of its height (common practice, no source)."""
LAG_YEARS = (1.0, 1.5, 2.0)
"""Years a hedge plant takes to establish: early, middle, late (1 to 2 years; common practice, no source)."""
SIDEWAYS = 0.3
"""Growth to each side as a share of the upward shoot growth of a hedge (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Range:
    """A figure with its low and high."""

    low: float
    mid: float
    high: float

    def most(self, limit: float) -> Range:
        """Return the range with nothing above ``limit`` (a hedge clipped to it)."""
        return Range(min(self.low, limit), min(self.mid, limit), min(self.high, limit))

    def times(self, share: float) -> Range:
        """Return the range times a share."""
        return Range(self.low * share, self.mid * share, self.high * share)

    @property
    def triple(self) -> tuple[float, float, float]:
        """Return low, middle and high."""
        return self.low, self.mid, self.high


@dataclass(frozen=True, slots=True)
class Size:
    """A plant at one age: ``height_m``, ``spread_m`` and its clear stem ``base_m``."""

    height_m: Range
    spread_m: Range
    base_m: float


def grown_share(age_years: float, years_to_mature: float) -> float:
    """Return the share of mature size (0..1) at ``age_years``; 0.9 at ``years_to_mature``."""
    k = -math.log(1 - 0.9 ** (1 / SHAPE_P)) / max(years_to_mature, 0.5)
    return float((1 - math.exp(-k * max(age_years, 0.0))) ** SHAPE_P)


def size_at(
    plant: Plant,
    age_years: float,
    *,
    start_height_m: float | None = None,
    start_spread_m: float | None = None,
    start_age_years: float = 0.0,
) -> Size:
    """Return the :class:`Size` of an unclipped ``plant`` of ``age_years``.

    It was ``start_height_m`` by ``start_spread_m`` (default: the catalogue's nursery plant) at ``start_age_years``:
    at 0 as planted, else as measured when the plan starts.  Never smaller than that; the middle figure never
    above the larger of that and the mature size.  The range widens with what has grown since.
    """
    at_start = grown_share(start_age_years, plant.years_to_mature)
    share = grown_share(age_years, plant.years_to_mature)
    since = max(share - at_start, 0.0) / max(1.0 - at_start, 1e-9)
    start_h = plant.start_height_m if start_height_m is None else start_height_m
    start_w = min(plant.spread_m, START_SPREAD * start_h) if start_spread_m is None else start_spread_m
    height, spread = _towards(start_h, plant.height_m, since), _towards(start_w, plant.spread_m, since)
    return Size(height, spread, plant.clear_stem_m * share)


def _towards(start: float, mature: float, share: float) -> Range:
    ends = (mature * (1 - SPREAD_OF_RANGE), mature, mature * (1 + SPREAD_OF_RANGE))
    low, mid, high = (start + max(end - start, 0.0) * share for end in ends)
    return Range(low, mid, high)


def hedge_size_at(plant: Plant, age_years: float, *, start_height_m: float | None = None) -> Size:
    """Return the :class:`Size` of one plant of a hedge ``age_years`` after planting, before it is clipped.

    Shoots grow by the catalogue's yearly figure after 1 to 2 years of establishment, to each side by a smaller
    share; never above the free-grown mature size.
    """
    start_h = plant.start_height_m if start_height_m is None else start_height_m
    start_w = min(plant.spread_m, START_SPREAD * start_h)
    height = _by_shoots(start_h, plant.hedge_growth_m, age_years).most(max(plant.height_m, start_h))
    spread = _by_shoots(start_w, 2 * SIDEWAYS * plant.hedge_growth_m, age_years).most(max(plant.spread_m, start_w))
    return Size(height, spread, 0.0)


def _by_shoots(start: float, rate_m: float, age_years: float) -> Range:
    early, middle, late = (max(age_years - lag, 0.0) for lag in LAG_YEARS)
    low, high = (1 - SPREAD_OF_RANGE) * rate_m * late, (1 + SPREAD_OF_RANGE) * rate_m * early
    return Range(start + low, start + rate_m * middle, start + high)


def years_to_grow(from_m: float, to_m: float, rate_m: float, lag_years: float) -> float:
    """Return the years until something that gains ``rate_m`` a year reaches ``to_m`` after it has established [years].

    Gaps between hedge plants close so: from the width when planted to the spacing, at twice the growth to one side
    (common practice, no source).  0 if it is as large already.
    """
    return 0.0 if to_m <= from_m else lag_years + (to_m - from_m) / rate_m


def season_share(plant: Plant, month: int, *, southern: bool = False) -> float:
    """Return how much of a plant's size stands in a calendar ``month``: 1 unless it dies back or is sown each year.

    What dies back is full from its third month in leaf, what is sown each year at three fifths of its season
    (common practice, no source).
    """
    if not plant.dies_back:
        return 1.0
    northern = (month + 5) % 12 + 1 if southern else month
    if northern not in plant.leaf_months:
        return 0.0
    season = len(plant.leaf_months)
    full = math.ceil(0.6 * season) if plant.annual else min(3, season)
    return min((plant.leaf_months.index(northern) + 1) / full, 1.0)


def stem_at(start_stem_m: float, start_height_m: float, height_m: float) -> float:
    """Return the thickness of a stem when the tree has grown from one height to another [m].

    Thickness grows with the power 3/2 of height (elastic similarity: McMahon 1973, Science 179:1201-1204; from memory).
    """
    return start_stem_m * math.pow(max(height_m / start_height_m, 1.0), 1.5)
