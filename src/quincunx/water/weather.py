"""The rains of a place: from its monthly rain and wind to many rains, each with its slant, side and share of the hours."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from quincunx.site.climate import Climate
from quincunx.water.falling import slant, wind_at_m_s

Floats = NDArray[np.float64]

MONTHS = tuple(range(1, 13))
RAINS: tuple[tuple[float, float], ...] = ((0.5, 0.5), (1.5, 0.35), (5.0, 0.15))
"""Rain [mm/h] and its share of the rainy hours: drizzle, ordinary rain, a downpour.

Each lies in one class of the British weather service: slight rain up to 0.5, moderate to 4, heavy above (told in The
Independent, "Weather wise", 5 January 1998).  The shares are rounded, from memory.
"""
MEAN_MM_H = sum(r * share for r, share in RAINS)
"""Mean of a rainy hour [mm/h]: the month's rain over this gives its rainy hours."""
ORDINARY_MM_H = 1.5
"""What is called ordinary rain [mm/h]."""
SIDES = 16
"""Directions that rain is taken from."""
SPEEDS = 6
"""Equal parts of the hours, from the calmest to the windiest."""
LEANS = 1.0
"""How strongly rain keeps to the side the wind mostly comes from: the concentration of a von Mises distribution; 1 puts
nearly eight tenths of it in the windward half (an assumption, no source)."""


@dataclass(frozen=True)
class Weather:
    """Monthly rain [mm], mean wind at 10 m [m/s] and the plan bearing it mostly comes from [deg]; None: from all round."""

    rain_mm: tuple[float, ...]
    wind_m_s: tuple[float, ...]
    from_deg: tuple[float, ...] | None = None

    @classmethod
    def of(cls, climate: Climate, north_offset_deg: float = 0.0) -> Weather | None:
        """Return the weather a place's climate gives, turned to the plan; None without rain and wind."""
        if climate.rain_mm is None or climate.wind_m_s is None:
            return None
        side = climate.wind_from_deg
        turned = None if side is None else tuple((d - north_offset_deg) % 360.0 for d in side)
        return cls(climate.rain_mm, climate.wind_m_s, turned)

    def rainy_h(self, month: int) -> float:
        """Return the hours of rain in a month [h], by its rain and the mean of a rainy hour."""
        return self.rain_mm[month - 1] / MEAN_MM_H

    def low_wind_m_s(self, month: int) -> float:
        """Return the mean wind at 2 m over short grass in a month [m/s]; a walled garden has less."""
        return wind_at_m_s(self.wind_m_s[month - 1])

    def rains(self, months: tuple[int, ...] = MONTHS) -> Rains:
        """Return the rains of some months, weighted by their rainy hours."""
        hours = np.array([self.rainy_h(m) for m in months])
        share = hours / hours.sum() if hours.sum() > 0 else np.full(len(months), 1.0 / len(months))
        made = [self._month(m, float(s)) for m, s in zip(months, share, strict=True)]
        leans, sides, hours_, amount = (np.concatenate(parts) for parts in zip(*made, strict=True))
        return Rains(leans, sides, hours_, amount, months)

    def _month(self, month: int, share: float) -> tuple[Floats, Floats, Floats, Floats]:
        mean = self.low_wind_m_s(month)
        # Wind speeds of a place spread about as Rayleigh's distribution (from memory): v = mean sqrt(-4/pi ln(1 - p)).
        parts = (np.arange(SPEEDS) + 0.5) / SPEEDS
        speeds = mean * np.sqrt(-4.0 / math.pi * np.log(1.0 - parts))
        bearings = np.arange(SIDES) * 360.0 / SIDES
        sides = self._sides(month, bearings)
        leans = np.array([[slant(float(v), r) for v in speeds] for r, _ in RAINS])
        weight = np.array([s for _, s in RAINS])[:, None] / SPEEDS * np.ones(SPEEDS)
        amount = np.array([r * s for r, s in RAINS])[:, None] / SPEEDS / MEAN_MM_H * np.ones(SPEEDS)
        every = np.repeat(leans.ravel(), SIDES)
        around = np.tile(bearings, leans.size)
        each = np.tile(sides, leans.size)
        hours = share * np.repeat(weight.ravel(), SIDES) * each
        return every, around, hours, share * np.repeat(amount.ravel(), SIDES) * each

    def _sides(self, month: int, bearings: Floats) -> Floats:
        if self.from_deg is None:
            return np.full(SIDES, 1.0 / SIDES)
        off = np.radians(bearings - self.from_deg[month - 1])
        spread = np.exp(LEANS * np.cos(off))
        return np.asarray(spread / spread.sum())


@dataclass(frozen=True, eq=False)
class Rains:
    """Many rains: drift for each metre of fall, plan bearing they come from [deg], share of the rainy hours and of the rain."""

    slant: Floats
    from_deg: Floats
    hours: Floats
    amount: Floats
    months: tuple[int, ...] = MONTHS

    @cached_property
    def up(self) -> Floats:
        """Return the way back up each rain, a metre high (n, 3)."""
        side = np.radians(self.from_deg)
        return np.column_stack([self.slant * np.sin(side), self.slant * np.cos(side), np.ones(len(side))])

    def fewer(self, steps: int = 6) -> Rains:
        """Return the same gathered into ``steps`` slants of equal rain from each side: for maps."""
        edges = np.quantile(self.slant, np.linspace(0, 1, steps + 1)[1:-1], method="inverted_cdf", weights=self.amount)
        step = np.searchsorted(edges, self.slant)
        sides, side = np.unique(self.from_deg, return_inverse=True)
        place = step * len(sides) + side
        size = steps * len(sides)
        hours = np.bincount(place, self.hours, size).astype(np.float64)
        amount = np.bincount(place, self.amount, size).astype(np.float64)
        lean = np.bincount(place, self.slant * self.amount, size)
        some = amount > 0
        return Rains(lean[some] / amount[some], np.tile(sides, steps)[some], hours[some], amount[some], self.months)


def one_rain(wind_m_s: float, from_deg: float, rain_mm_h: float = ORDINARY_MM_H) -> Rains:
    """Return a single rain: the wind at the height of people [m/s], the bearing it comes from, how hard it rains."""
    return Rains(np.array([slant(wind_m_s, rain_mm_h)]), np.array([from_deg % 360.0]), np.ones(1), np.ones(1))
