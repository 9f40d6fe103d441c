"""How a planting grows whatever its age: from what it begins, to what it is kept; its size at one age or at many.

``Habit.size`` and ``Habit.sizes`` are the same growth, told of one age and of an array of ages (tested against each
other).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quincunx.plants import growth
from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import Size, hedge_size_at, season_share, size_at
from quincunx.plants.ranges import Range
from quincunx.plants.urban_trees import UrbanTree

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Habit:
    """A ``plant`` set as ``stock``, so high and wide at ``start_age_years``; None as usual for it [m, years].

    ``wide`` times its spread; never above ``most_height_m`` and ``most_spread_m``.  ``hedge``: it grows by the yearly
    shoots of a young clipped hedge.
    """

    plant: Plant
    start_height_m: float | None = None
    start_spread_m: float | None = None
    start_age_years: float = 0.0
    stock: str = ""
    wide: float = 1.0
    most_height_m: float = 1e3
    most_spread_m: float = 1e3
    hedge: bool = False

    def size(
        self, grown_years: Range, month: int, *, southern: bool = False, measured: tuple[float, float] | None = None
    ) -> Size:
        """Return the size at an age by growth, in a calendar month.

        ``measured`` is the age by growth and the height at which it was last measured.
        """
        grown = self._hedge(grown_years, measured) if self.hedge else self._free(grown_years, month, southern, measured)
        wide = grown.spread_m if self.wide == 1.0 else grown.spread_m.times(self.wide)
        return Size(grown.height_m.most(self.most_height_m), wide.most(self.most_spread_m), grown.base_m)

    def _free(
        self, age: Range, month: int, southern: bool, measured: tuple[float, float] | None  # noqa: FBT001
    ) -> Size:  # fmt: skip
        begun, high = (self.start_age_years, self.start_height_m) if measured is None else measured
        grown = size_at(
            self.plant, age, start_height_m=high, start_spread_m=self.start_spread_m, start_age_years=begun,
            stock=self.stock,
        )  # fmt: skip
        share = season_share(self.plant, month, southern=southern) if self.plant.dies_back else 1.0
        return grown if share == 1.0 else Size(grown.height_m.times(share), grown.spread_m.times(share), grown.base_m)

    def _hedge(self, age: Range, measured: tuple[float, float] | None) -> Size:
        size = hedge_size_at(self.plant, age, start_height_m=self.start_height_m)
        if measured is None:
            return size
        then = hedge_size_at(self.plant, measured[0], start_height_m=self.start_height_m).height_m
        by = measured[1] - then.mid
        return Size(Range(*(max(h + by, 0.05) for h in size.height_m.triple)), size.spread_m, size.base_m)

    def sizes(self, grown_years: Floats, months: NDArray[np.int64], *, southern: bool = False) -> Floats:
        """Return height and spread, low, middle and high [m] (n, 6), at ages by growth (n, 3) in calendar months (n)."""
        grown = _hedges(self, grown_years) if self.hedge else _many(self, grown_years)
        if self.plant.dies_back and not self.hedge:
            standing = np.array([season_share(self.plant, m, southern=southern) for m in range(1, 13)])
            grown *= standing[months - 1, None]
        if self.wide != 1.0:
            grown[:, 3:] *= self.wide
        np.minimum(grown[:, :3], self.most_height_m, out=grown[:, :3])
        np.minimum(grown[:, 3:], self.most_spread_m, out=grown[:, 3:])
        return grown


def _starts(habit: Habit) -> tuple[float, float]:
    plant = habit.plant
    high = plant.start_height_m if habit.start_height_m is None else habit.start_height_m
    as_usual = habit.hedge or habit.start_spread_m is None
    return high, min(plant.spread_m, growth.START_SPREAD * high) if as_usual else float(habit.start_spread_m or 0.0)


def _many(habit: Habit, ages: Floats) -> Floats:
    start_h, start_w = _starts(habit)
    plant, begun = habit.plant, habit.start_age_years
    lag = growth.STOCK_LAG_YEARS[habit.stock][::-1] if begun == 0 else (0.0, 0.0, 0.0)
    urban = growth.published(plant, start_h)
    if urban is not None:
        return _published(plant, urban, _established(np.maximum(ages - begun, 0.0), lag), start_h, start_w)
    pace = np.array(growth.paces(plant))
    at_start = np.array([growth.still_to_grow(begun, years) for years in pace])
    missing = _still_to_grow(_established(ages, lag), pace)
    left = np.divide(missing, at_start, out=np.zeros_like(missing), where=at_start > 0)
    shares = np.maximum(1.0 - left, 0.0)
    np.minimum(shares[:, 0], shares[:, 1], out=shares[:, 0])
    np.maximum(shares[:, 2], shares[:, 1], out=shares[:, 2])
    left_h = [max(end - start_h, 0.0) for end in growth.mature_height(plant).triple]
    left_w = [max(end - start_w, 0.0) for end in growth.mature_spread(plant).triple]
    return np.hstack((start_h + shares * left_h, start_w + shares * left_w))


def _still_to_grow(ages: Floats, years_to_mature: Floats) -> Floats:
    k = -np.log(1 - 0.9 ** (1 / growth.SHAPE_P)) / np.maximum(years_to_mature, 0.5)
    with np.errstate(divide="ignore"):  # where nothing has grown, all is missing
        return np.asarray(-np.expm1(growth.SHAPE_P * np.log1p(-np.exp(-k * np.maximum(ages, 0.0)))))


def _established(ages: Floats, lag: tuple[float, float, float]) -> Floats:
    if not any(lag):
        return ages
    slow, late = np.array(lag), ages.copy()
    some = slow > 0
    a, by = ages[:, some], slow[some]
    late[:, some] = np.maximum(a + by * np.expm1(-a / by), 0.0)
    return late


def _published(plant: Plant, urban: UrbanTree, grown: Floats, start_h: float, start_w: float) -> Floats:
    first, before, offset = growth.onto_curve(plant, urban, start_h)
    narrow = 0.0 if before else max(urban.crown_m(offset) - start_w, 0.0)
    short = 0.0 if before else max(urban.height_m(offset) - start_h, 0.0)
    at, fades = np.maximum(offset + grown - before, 0.0), np.exp(-grown / growth.MADE_UP_YEARS)
    spread = np.array((1 - growth.SPREAD_OF_RANGE, 1.0, 1 + growth.SPREAD_OF_RANGE))
    out = []
    for start, begins, curve, lacks in (
        (start_h, first, urban.heights_m(at), short), (start_w, urban.crown_m(0.0), urban.crowns_m(at), narrow),
    ):  # fmt: skip
        along = np.maximum(start, curve - lacks * fades)
        if before:
            along = np.where(grown < before, start + max(begins - start, 0.0) * grown / before, along)
        out.append(start + np.maximum(along - start, 0.0) * spread)
    return np.hstack(out)


def _hedges(habit: Habit, ages: Floats) -> Floats:
    start_h, start_w = _starts(habit)
    plant, share = habit.plant, growth.SPREAD_OF_RANGE
    years = np.maximum(ages - np.array(growth.LAG_YEARS[::-1]), 0.0) * (1 - share, 1.0, 1 + share)
    out = []
    for start, rate, most in (
        (start_h, plant.hedge_growth_m, plant.height_m), (start_w, 2 * growth.SIDEWAYS * plant.hedge_growth_m, plant.spread_m),
    ):  # fmt: skip
        out.append(np.minimum(start + rate * years, max(most, start)))
    return np.hstack(out)
