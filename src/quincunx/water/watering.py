"""How much water each bed needs in each year of a plan, from which tank or tap, and how long a tank lasts.

Many years of made-up days (:mod:`spells`) over the place's own monthly rain, each begun in mid-winter with full soil.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from quincunx.scene import Frame, Scene, Timeline
from quincunx.scene._kept import Kept
from quincunx.shapes import Supply
from quincunx.water.balance import Balance, Beds, balance, tank_days
from quincunx.water.drying import DAYS, Drying, drying
from quincunx.water.roofs import CAUGHT, into_tank
from quincunx.water.spells import MONTH_OF, YEAR_DAYS, YEARS, rain_of, rainy_days
from quincunx.water.thirst import Thirst, thirsts

Floats = NDArray[np.float64]

REACHES = 0.8
"""Share of what is poured that gets to the roots, by can or hose at the foot of the plants (common practice, no source;
Costello and others 2000 divide the need by such a share)."""
DRY_YEAR = 0.8
"""A dry year is one than which eight in ten need less."""
MID_YEAR_DAY = sum(DAYS[:6])


@dataclass(frozen=True, eq=False)
class Need:
    """What one bed or planting needs in a year: water poured by month in a usual year [litre], in a dry year, how often.

    ``short_days``: days of a usual year on which what is not watered is short of water.
    """

    of: Thirst
    by_month_l: tuple[float, ...]
    dry_year_l: float
    times: float
    short_days: float

    @property
    def litres(self) -> float:
        """Return the water poured in a usual year [litre]."""
        return sum(self.by_month_l)


@dataclass(frozen=True, eq=False)
class Flow:
    """What runs into a tank and what is wanted of it on each day of all the years, one after the other [litre]."""

    runs_in: Floats
    wanted: Floats

    @property
    def winter_l(self) -> float:
        """Return what runs in over a quarter of a year [litre]."""
        return float(self.runs_in.sum()) / YEARS / 4.0


@dataclass(frozen=True, eq=False)
class TankYear:
    """How a tank fares in a year: litres wanted, given and spilled, days of watering and how many it met, years it lasts.

    ``lasts`` is the share of all years in which it met every watering; ``short_from`` the share of years in which it first
    fell short in each month.
    """

    supply: Supply
    roof_m2: float
    runs_in_l: float
    wanted_l: float
    given_l: float
    spilled_l: float
    wanted_days: float
    met_days: float
    lasts: float
    short_from: tuple[float, ...]
    flow: Flow

    @property
    def met(self) -> float:
        """Return the share of what is wanted that it gives; 1 where nothing is."""
        return self.given_l / self.wanted_l if self.wanted_l > 0 else 1.0


@dataclass(frozen=True, eq=False)
class YearWater:
    """The water of one year of the plan: every bed's need, the tanks; by month for all together, usual and dry [litre]."""

    year: int
    needs: tuple[Need, ...]
    tanks: tuple[TankYear, ...]
    by_month_l: tuple[float, ...]
    dry_by_month_l: tuple[float, ...]

    def need(self, owner: str) -> Need | None:
        """Return the need of a bed or planting, or None."""
        return next((n for n in self.needs if n.of.owner == owner), None)


@dataclass(frozen=True, eq=False)
class _Days:
    """The days of a year in the order they are gone through: ETo, months from 0, rain of all years (days, years)."""

    eto_mm: Floats
    months: NDArray[np.int64]
    rain_mm: Floats


def watering(timeline: Timeline) -> dict[int, YearWater] | None:
    """Return the water of each year of the plan; None where rain or temperatures of the place are not known."""
    frame = timeline.frame
    dries, wet = drying_of(frame), rainy_days(frame.climate)
    if dries is None or wet is None:
        return None
    scenes = {year: timeline.at(timeline.leaf_date(year)) for year in timeline.years}
    return _WATERED.get((frame, *scenes.values()), tuple(scenes), lambda: _watered(timeline, scenes, dries, wet))


def _watered(
    timeline: Timeline, scenes: Mapping[int, Scene], dries: Drying, wet: tuple[float, ...]
) -> dict[int, YearWater]:
    frame = timeline.frame
    asked = tuple((thirsts(s, timeline.find, frame), _tanks(s)) for s in scenes.values())
    rain = tuple(frame.climate.rain_mm or ())
    found = _reckoned(asked, dries.mm_a_day, rain, wet, "south" if timeline.southern else "north")
    return {year: YearWater(year, *parts) for year, parts in zip(scenes, found, strict=True)}


def drying_of(frame: Frame) -> Drying | None:
    """Return how the place dries out by month; None where its temperatures are not known."""
    high = None if frame.place is None else frame.place.altitude_m
    return drying(frame.climate, frame.latitude_deg, high)


Tank = tuple[Supply, float]
"""A tank and the roofs that drain to it, in plan [m2]."""
Year = tuple[tuple[Need, ...], tuple[TankYear, ...], tuple[float, ...], tuple[float, ...]]


def _tanks(scene: Scene) -> tuple[Tank, ...]:
    stores = [s for s in scene.supplies if s.litres is not None]
    return tuple((s, sum(r.area_m2 for r in into_tank(scene, s.owner))) for s in stores)


@lru_cache(maxsize=8)
def _reckoned(
    asked: tuple[tuple[tuple[Thirst, ...], tuple[Tank, ...]], ...],
    eto_mm_a_day: tuple[float, ...],
    rain_mm: tuple[float, ...],
    wet_days: tuple[float, ...],
    half: Literal["north", "south"],
) -> tuple[Year, ...]:
    """Return the water of several years of a plan; alike beds are gone through once."""
    days = _days(eto_mm_a_day, rain_mm, wet_days, southern=half == "south")
    alike = list(dict.fromkeys(_column(t) for thirsty, _ in asked for t in thirsty))
    found = _sums(balance(days.eto_mm, days.rain_mm, days.months, _beds(alike)), days)
    at = {column: n for n, column in enumerate(alike)}
    return tuple(_year(thirsty, tanks, found, at, days) for thirsty, tanks in asked)


@dataclass(frozen=True, eq=False)
class _Sums:
    """What alike beds were given on each day [mm] (days, n, years), by month (12, n, years), how often and how short (n)."""

    daily_mm: Floats
    monthly_mm: Floats
    times: Floats
    short_days: Floats


def _sums(found: Balance, days: _Days) -> _Sums:
    starts = np.flatnonzero(np.diff(days.months, prepend=-1))
    blocks = np.add.reduceat(found.given_mm, starts, axis=0)
    monthly = np.empty_like(blocks)
    monthly[days.months[starts]] = blocks
    times = np.count_nonzero(found.given_mm, axis=(0, 2)) / YEARS
    return _Sums(found.given_mm, monthly, times, np.count_nonzero(found.short, axis=(0, 2)) / YEARS)


Column = tuple[tuple[float, ...], tuple[bool, ...], float, float, float]


def _column(t: Thirst) -> Column:
    season = t.season if t.watered else (False,) * 12
    return (t.k, season, t.taw_mm, t.p, t.rained)


def _beds(columns: Sequence[Column]) -> Beds:
    k = np.ascontiguousarray(np.array([c[0] for c in columns], np.float64).reshape(-1, 12).T)
    season = np.ascontiguousarray(np.array([c[1] for c in columns], bool).reshape(-1, 12).T)
    taw, p, rained = (np.array([c[i] for c in columns], np.float64) for i in (2, 3, 4))
    return Beds(k, season, taw, p, rained)


@lru_cache(maxsize=8)
def _days(eto: tuple[float, ...], rain_mm: tuple[float, ...], wet_days: tuple[float, ...], *, southern: bool) -> _Days:
    """Return the days of a year from mid-winter on."""
    turn = -MID_YEAR_DAY if southern else 0
    rain = np.roll(rain_of(rain_mm, wet_days), turn).reshape(YEARS, YEAR_DAYS)
    months = np.roll(MONTH_OF, turn).astype(np.int64)
    return _Days(np.array(eto)[months], months, np.ascontiguousarray(rain.T))


def _year(
    thirsty: tuple[Thirst, ...], tanks: tuple[Tank, ...], found: _Sums, at: dict[Column, int], days: _Days
) -> Year:
    needs, total = [], np.zeros((12, YEARS))
    columns: dict[str, list[tuple[int, float]]] = {}
    kinds = {n: column for column, n in at.items()}
    for one in thirsty:
        n, each = at[_column(one)], one.area_m2 / REACHES
        months = found.monthly_mm[:, n] * each
        total += months
        columns.setdefault(one.owner, []).append((n, each))
        dry = float(np.sort(months.sum(axis=0))[DRIEST])
        needs.append(Need(one, _means(months), dry, float(found.times[n]), float(found.short_days[n])))
    driest = total[:, np.argsort(total.sum(axis=0), kind="stable")[DRIEST]]
    fared = []
    for supply, roof in tanks:
        of = [(n, each) for w in supply.waters for n, each in columns.get(w, ())]
        more = (supply, roof, tuple((kinds[n], each) for n, each in of))

        def fare(supply: Supply = supply, roof: float = roof, of: list[tuple[int, float]] = of) -> TankYear:
            wanted = sum((found.daily_mm[:, n] * each for n, each in of), np.zeros_like(days.rain_mm))
            return _tank(supply, roof, wanted, days)

        fared.append(_FARED.get((days,), more, fare))
    return tuple(needs), tuple(fared), _means(total), tuple(float(v) for v in driest)


DRIEST = int(DRY_YEAR * YEARS)


def _means(by_month: Floats) -> tuple[float, ...]:
    return tuple(float(v) for v in by_month.mean(axis=1))


_WATERED: Kept[dict[int, YearWater]] = Kept(16)
"""The water of a plan, kept by its scenes: each year of it is asked for by itself."""
_FARED: Kept[TankYear] = Kept(64)
"""How a tank fares by the climate, its roofs and what is watered from it: what else is watered makes no difference."""


def _tank(supply: Supply, roof_m2: float, wanted: Floats, days: _Days) -> TankYear:
    """Return how a tank fares through all the years, one after the other, begun with what a winter brings."""
    flow = Flow(*(x.T.ravel() for x in (days.rain_mm * (roof_m2 * CAUGHT), wanted)))
    holds = supply.litres or 0.0
    fared = tank_days(flow.runs_in.tolist(), flow.wanted.tolist(), holds, flow.winter_l)
    lack = (flow.wanted - fared.given > LACK_L).reshape(YEARS, YEAR_DAYS)
    first = [int(days.months[np.argmax(row)]) for row in lack if row.any()]
    asked = flow.wanted.reshape(YEARS, YEAR_DAYS) > 0
    return TankYear(
        supply, roof_m2, float(flow.runs_in.sum() / YEARS), float(flow.wanted.sum() / YEARS),
        float(fared.given.sum() / YEARS), float(fared.spilled.sum() / YEARS), float(asked.sum() / YEARS),
        float((asked & ~lack).sum() / YEARS), float(1.0 - lack.any(axis=1).mean()),
        tuple(first.count(m) / YEARS for m in range(12)), flow,
    )  # fmt: skip


LACK_L = 0.5
"""A tank that is so little short has met the day's watering [litre]."""
MOST_L = 50_000.0
"""No larger tank is thought of [litre]."""


def lasts_with(flow: Flow, holds_l: float) -> float:
    """Return the share of years in which a tank of ``holds_l`` litres meets every watering."""
    fared = tank_days(flow.runs_in.tolist(), flow.wanted.tolist(), holds_l, flow.winter_l)
    lack = (flow.wanted - fared.given > LACK_L).reshape(YEARS, YEAR_DAYS)
    return float(1.0 - lack.any(axis=1).mean())


def size_for(flow: Flow, share: float) -> float | None:
    """Return the least tank that lasts in ``share`` of the years, to 50 litres; None where no tank does: too little roof."""
    if lasts_with(flow, MOST_L) < share - 1e-9:
        return None
    low, high = 0.0, MOST_L
    while high - low > STEP_L:
        middle = (low + high) / 2.0
        low, high = (low, middle) if lasts_with(flow, middle) >= share - 1e-9 else (middle, high)
    return STEP_L * float(np.ceil(high / STEP_L))


STEP_L = 50.0
"""Tanks are told apart to this [litre]."""
