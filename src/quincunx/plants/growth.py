"""How big a plant is at an age: one published curve, always with a range.

Size follows the Chapman-Richards curve ``A (1 - exp(-k t))^p`` (Richards 1959, J. Exp. Bot. 10:290-300; from
memory) with ``k`` set so that 90 % of the mature size is reached in the catalogue's years to maturity.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quincunx.plants.catalogue import Plant

SHAPE_P = 1.3
"""Exponent of the curve: slow first years, then steady growth (common practice, no source)."""
SPREAD_OF_RANGE = 0.25
"""Share by which garden plants differ from the middle figure either way (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Range:
    """A figure with its low and high."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True, slots=True)
class Size:
    """A plant at one age: ``height_m``, ``spread_m``, clear stem ``base_m`` and ``closed`` share (1 = no gaps) in a row."""

    height_m: Range
    spread_m: Range
    base_m: float


def grown_share(age_years: float, years_to_mature: float) -> float:
    """Return the share of mature size (0..1) at ``age_years``; 0.9 at ``years_to_mature``."""
    k = -math.log(1 - 0.9 ** (1 / SHAPE_P)) / max(years_to_mature, 0.5)
    return float((1 - math.exp(-k * max(age_years, 0.0))) ** SHAPE_P)


def size_at(plant: Plant, age_years: float, *, start_height_m: float | None = None) -> Size:
    """Return the :class:`Size` of an unclipped ``plant`` ``age_years`` after planting.

    ``start_height_m`` is the height of the nursery plant (default: the catalogue's).  Never below it, never
    above the mature size.
    """
    start_h = plant.start_height_m if start_height_m is None else start_height_m
    start_w = min(plant.spread_m, 0.35 * start_h)
    share = grown_share(age_years, plant.years_to_mature)
    height = start_h + max(plant.height_m - start_h, 0.0) * share
    spread = start_w + max(plant.spread_m - start_w, 0.0) * share
    wide = SPREAD_OF_RANGE * share
    return Size(_around(height, wide), _around(spread, wide), plant.clear_stem_m * share)


def _around(mid: float, share: float) -> Range:
    return Range(mid * (1 - share), mid, mid * (1 + share))
