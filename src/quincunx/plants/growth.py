"""How big a plant is at an age: published curves where there are any, a general one otherwise, always with a range.

A tree of the Urban Tree Database follows its published equations (``urban_trees``) from the height at which they
begin.  Any other plant left to itself follows the Chapman-Richards curve ``A (1 - exp(-k t))^p`` (Richards 1959, J.
Exp. Bot. 10:290-300; from memory) with ``k`` set so that 90 % of the mature size is reached in the catalogue's years
to maturity.  A young clipped hedge grows by its yearly shoots after it has taken hold (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from quincunx.plants.catalogue import Plant
from quincunx.plants.ranges import Range
from quincunx.plants.urban_trees import UrbanTree, urban_trees

SHAPE_P = 1.3
"""Exponent of the curve: slow first years, then steady growth (common practice, no source)."""
SPREAD_OF_RANGE = 0.25
"""Share by which garden plants differ from the middle figure either way, where the catalogue gives no low and high
(common practice, no source)."""
START_SPREAD = 0.35
"""Spread of a young plant as a share of its height (common practice, no source)."""
LAG_YEARS = (1.0, 1.5, 2.0)
"""Years a hedge plant takes to establish: early, middle, late (1 to 2 years; common practice, no source)."""
STOCK_LAG_YEARS: Mapping[str, tuple[float, float, float]] = {
    "": (0.0, 0.0, 0.0), "whip": (0.0, 0.3, 0.6), "bare root": (0.3, 0.6, 1.0), "pot": (0.3, 0.6, 1.0),
    "standard": (1.0, 1.5, 2.5),
}  # fmt: skip
"""Years lost to establishing by the stock that is planted: early, middle, late.  About a year for each 2.5 cm of stem
(Watson 1985, J. Arboriculture 11; from memory); whips lose least."""
MADE_UP_YEARS = 3.0
"""Years in which a tree narrower than the published ones of its height comes up to them (common practice, no source)."""
SIDEWAYS = 0.3
"""Growth to each side as a share of the upward shoot growth of a hedge (common practice, no source)."""


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


def still_to_grow(age_years: float, years_to_mature: float) -> float:
    """Return what of mature size is missing at ``age_years`` (1..0), exact also where hardly anything is."""
    k = -math.log(1 - 0.9 ** (1 / SHAPE_P)) / max(years_to_mature, 0.5)
    missing = math.exp(-k * max(age_years, 0.0))
    return 1.0 if missing >= 1.0 else -math.expm1(SHAPE_P * math.log1p(-missing))


def years_of_share(share: float, years_to_mature: float) -> float:
    """Return the age at which a plant has grown to ``share`` (0..<1) of its mature size [years]."""
    k = -math.log(1 - 0.9 ** (1 / SHAPE_P)) / max(years_to_mature, 0.5)
    return -math.log(1 - max(share, 0.0) ** (1 / SHAPE_P)) / k


def established(age_years: float, lag_years: float) -> float:
    """Return the years of growth in ``age_years`` after planting: slow at first, in the end ``lag_years`` fewer."""
    return age_years if lag_years <= 0 else max(age_years + lag_years * math.expm1(-age_years / lag_years), 0.0)


def mature_height(plant: Plant) -> Range:
    """Return the height a plant grows to when left to itself [m]."""
    return _ends(plant.height_m, plant.height_span_m)


def mature_spread(plant: Plant) -> Range:
    """Return the spread a plant grows to when left to itself [m]."""
    return _ends(plant.spread_m, plant.spread_span_m)


def _ends(middle: float, span: tuple[float, float] | None) -> Range:
    low, high = (middle * (1 - SPREAD_OF_RANGE), middle * (1 + SPREAD_OF_RANGE)) if span is None else span
    return Range(min(low, middle), middle, max(high, middle))


def size_at(
    plant: Plant,
    age_years: float | Range,
    *,
    start_height_m: float | None = None,
    start_spread_m: float | None = None,
    start_age_years: float = 0.0,
    stock: str = "",
) -> Size:
    """Return the :class:`Size` of an unclipped ``plant`` of ``age_years`` (by its growth, see ``setbacks``).

    It was ``start_height_m`` by ``start_spread_m`` (default: the catalogue's nursery plant) at ``start_age_years``:
    at 0 as planted, else as measured.  Never smaller than that; the middle figure never above the larger of that and
    the mature size.  The range widens with what has grown since.  ``stock`` is what was planted.
    """
    age = Range.of(age_years)
    return _size(_Kept(plant), age, start_height_m, start_spread_m, start_age_years, stock)


class _Kept:
    """A plant as part of a key: told apart by which object it is, since hashing its fields takes longer than growing."""

    __slots__ = ("plant",)

    def __init__(self, plant: Plant) -> None:
        self.plant = plant

    def __hash__(self) -> int:
        return id(self.plant)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Kept) and self.plant is other.plant


@lru_cache(maxsize=20000)
def _size(
    kept: _Kept,
    age: Range,
    start_height_m: float | None,
    start_spread_m: float | None,
    start_age_years: float,
    stock: str,
) -> Size:
    plant = kept.plant
    start_h = plant.start_height_m if start_height_m is None else start_height_m
    start_w = min(plant.spread_m, START_SPREAD * start_h) if start_spread_m is None else start_spread_m
    lag = STOCK_LAG_YEARS[stock] if start_age_years == 0 else (0.0, 0.0, 0.0)
    urban = published(plant, start_h)
    if urban is not None:
        height, spread = _published(plant, urban, age, start_h, start_w, start_age_years, lag)
    else:
        shares = _shares(plant, age, start_age_years, lag)
        height = _towards(start_h, mature_height(plant), shares)
        spread = _towards(start_w, mature_spread(plant), shares)
    return Size(height, spread, plant.clear_stem_m * grown_share(age.mid, plant.years_to_mature))


def published(plant: Plant, start_height_m: float) -> UrbanTree | None:
    """Return the published tree whose curves a plant follows from a height on [m]; None where there are none for it."""
    urban = urban_trees().get(plant.id) if plant.form == "tree" else None
    return urban if urban is not None and urban.height_m(urban.to_years) > start_height_m else None


def paces(plant: Plant) -> tuple[float, float, float]:
    """Return the years to its mature size: slow, middle, fast."""
    years = plant.mature_span_years or (plant.years_to_mature, plant.years_to_mature)
    return max(years[1], plant.years_to_mature), plant.years_to_mature, min(years[0], plant.years_to_mature)


def onto_curve(plant: Plant, urban: UrbanTree, start_height_m: float) -> tuple[float, float, float]:
    """Return the height where a published curve begins [m], the years a tree grows up to it, its age along it [years]."""
    first = urban.height_m(0.0)
    if start_height_m >= first:
        return first, 0.0, urban.age_of(start_height_m)
    left = (first - start_height_m) / max(plant.height_m - start_height_m, 1e-9)
    return first, years_of_share(min(left, 0.95), plant.years_to_mature), 0.0


def _shares(plant: Plant, age: Range, start_age: float, lag: tuple[float, float, float]) -> Range:
    """Return the shares of what was still to grow that have grown since the start."""
    low, mid, high = (
        _since(established(a, late), start_age, pace_years)
        for a, late, pace_years in zip(age.triple, reversed(lag), paces(plant), strict=True)
    )
    return Range(min(low, mid), mid, max(mid, high))


def _since(age: float, start_age: float, years: float) -> float:
    at_start = still_to_grow(start_age, years)
    return 1.0 if at_start == 0 else max(1.0 - still_to_grow(age, years) / at_start, 0.0)


def _towards(start: float, mature: Range, shares: Range) -> Range:
    low, mid, high = (
        start + max(end - start, 0.0) * share for end, share in zip(mature.triple, shares.triple, strict=True)
    )
    return Range(low, mid, high)


def _published(
    plant: Plant,
    urban: UrbanTree,
    age: Range,
    start_h: float,
    start_w: float,
    start_age: float,
    lag: tuple[float, float, float],
) -> tuple[Range, Range]:
    """Return height and spread along the published curve; smaller trees first grow up to where it begins."""
    first, before, offset = onto_curve(plant, urban, start_h)
    heights, spreads = [], []
    for a, late, share in zip(age.triple, reversed(lag), (1 - SPREAD_OF_RANGE, 1.0, 1 + SPREAD_OF_RANGE), strict=True):
        grown = established(max(a - start_age, 0.0), late)
        h = _along(start_h, first, urban.height_m, grown, before, offset)
        w = _along(start_w, urban.crown_m(0.0), urban.crown_m, grown, before, offset)
        heights.append(start_h + max(h - start_h, 0.0) * share)
        spreads.append(start_w + max(w - start_w, 0.0) * share)
    return Range(*heights), Range(*spreads)


def _along(
    start: float, first: float, curve: Callable[[float], float], grown: float, before: float, offset: float
) -> float:
    """Return where a curve has led after ``grown`` years: up to its beginning, then along it, a lag in width made up."""
    if grown < before:
        return start + (first - start) * grown / before if first > start else start
    lacks = 0.0 if before else max(curve(offset) - start, 0.0)
    return max(start, curve(offset + grown - before) - lacks * math.exp(-grown / MADE_UP_YEARS))


def hedge_size_at(plant: Plant, age_years: float | Range, *, start_height_m: float | None = None) -> Size:
    """Return the :class:`Size` of one plant of a hedge ``age_years`` after planting, before it is clipped.

    Shoots grow by the catalogue's yearly figure after 1 to 2 years of establishment, to each side by a smaller
    share; never above the free-grown mature size.
    """
    start_h = plant.start_height_m if start_height_m is None else start_height_m
    start_w = min(plant.spread_m, START_SPREAD * start_h)
    age = Range.of(age_years)
    height = _by_shoots(start_h, plant.hedge_growth_m, age).most(max(plant.height_m, start_h))
    spread = _by_shoots(start_w, 2 * SIDEWAYS * plant.hedge_growth_m, age).most(max(plant.spread_m, start_w))
    return Size(height, spread, 0.0)


def _by_shoots(start: float, rate_m: float, age: Range) -> Range:
    early, middle, late = (max(a - lag, 0.0) for a, lag in zip((age.high, age.mid, age.low), LAG_YEARS, strict=True))
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
