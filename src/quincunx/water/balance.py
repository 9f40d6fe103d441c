"""The daily balance of the water in many beds' soil, and of a tank.

R. G. Allen and others, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, 1998, chapter 8: how far the root
zone is from full goes by equation 85, dryness slows plants by equation 84, rain beyond a full soil is lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import at_work, kernel

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

COUNTS = 0.2
"""Rain of less than this share of the day's ETo wets leaves only and dries off again (FAO-56, chapter 8)."""
SOAKED = 0.95
"""Whoever waters brings the soil this near to full: a full one would lose the next shower (our own choice)."""


@dataclass(frozen=True, eq=False)
class Beds:
    """Many beds, each a column.

    ``k`` (12, n) is what each uses against ETo in each month, ``season`` (12, n) when it is watered (never where all
    are False); the rest is one number a bed (n).
    ``taw_mm`` water in reach when full, ``p`` the share of it taken easily, ``rained`` the share of the rain it gets.
    """

    k: Floats
    season: Bools
    taw_mm: Floats
    p: Floats
    rained: Floats


@dataclass(frozen=True, eq=False)
class Balance:
    """What was given to each bed on each day of each year [mm] (days, n, years), and whether its plants were short."""

    given_mm: Floats
    short: Bools


def balance(eto_mm: Floats, rain_mm: Floats, months: NDArray[np.int64], beds: Beds) -> Balance:
    """Return the balance of beds through the days of many years, each of which begins with full soil.

    ``eto_mm`` (days) is the same in every year, ``rain_mm`` (days, years) is not; ``months`` (days) from 0.  A bed that
    is watered gets water on the first day on which what is taken easily is used up.  Compiled or not, the answer is
    the same to the last bit.
    """
    args = (eto_mm, np.array(rain_mm, order="C"), months, beds.k, beds.season, beds.taw_mm, beds.p, beds.rained)
    given, short = days_compiled(*args) if at_work(days_compiled) else days_plainly(*args)
    return Balance(given, short)


@kernel(
    "float64[::1], float64[:,::1], int64[::1], float64[:,::1], boolean[:,::1], float64[::1], float64[::1], float64[::1]"
)
def days_compiled(
    eto_mm: Floats,
    rain_mm: Floats,
    months: NDArray[np.int64],
    k: Floats,
    season: Bools,
    taw_mm: Floats,
    p: Floats,
    rained: Floats,
) -> tuple[Floats, Bools]:
    """Do as :func:`days_plainly`, bed by bed and year by year."""
    days, years = rain_mm.shape
    n = len(taw_mm)
    given = np.zeros((days, n, years))
    short = np.zeros((days, n, years), np.bool_)
    for bed in range(n):
        taw = taw_mm[bed]
        left = (1.0 - SOAKED) * taw
        for year in range(years):
            gone = 0.0
            for day in range(days):
                month = months[day]
                use = eto_mm[day] * k[month, bed]
                raw = min(max(p[bed] + 0.04 * (5.0 - use), 0.1), 0.8) * taw
                slowed = min(max((taw - gone) / (taw - raw), 0.0), 1.0)
                rain = rain_mm[day, year] * rained[bed]
                if rain >= COUNTS * eto_mm[day]:
                    gone = max(gone - rain, 0.0)
                gone = min(gone + use * slowed, taw)
                if gone > raw:
                    if season[month, bed]:
                        given[day, bed, year] = gone - left
                        gone = left
                    else:
                        short[day, bed, year] = True
    return given, short


def days_plainly(
    eto_mm: Floats,
    rain_mm: Floats,
    months: NDArray[np.int64],
    k: Floats,
    season: Bools,
    taw_mm: Floats,
    p: Floats,
    rained: Floats,
) -> tuple[Floats, Bools]:
    """Return (given, short) day by day for all beds and years at once, without compiling anything."""
    days, years = rain_mm.shape
    n = len(taw_mm)
    given, short = np.zeros((days, n, years)), np.zeros((days, n, years), bool)
    gone, taw, left = np.zeros((n, years)), taw_mm[:, None], ((1.0 - SOAKED) * taw_mm)[:, None]
    for day in range(days):
        use = (eto_mm[day] * k[months[day]])[:, None]
        raw = (p[:, None] + 0.04 * (5.0 - use)).clip(0.1, 0.8) * taw
        slowed = ((taw - gone) / (taw - raw)).clip(0.0, 1.0)
        rain = rained[:, None] * rain_mm[day]
        gone = np.maximum(gone - np.where(rain >= COUNTS * eto_mm[day], rain, 0.0), 0.0)
        gone = np.minimum(gone + use * slowed, taw)
        dry = gone > raw
        now = dry & season[months[day]][:, None]
        given[day] = np.where(now, gone - left, 0.0)
        short[day] = dry ^ now
        gone = np.where(now, left, gone)
    return given, short


@dataclass(frozen=True, eq=False)
class TankDays:
    """What a tank gave and spilled on each day, and what was in it at the end of each [litre]."""

    given: Floats
    spilled: Floats
    held: Floats


def tank_days(inflow: Sequence[float], wanted: Sequence[float], holds: float, at_start: float = 0.0) -> TankDays:
    """Return how a tank of ``holds`` litres fares: what runs in first, then what is drawn [litre each day].

    S(t) = min(holds, S(t-1) + inflow) - drawn; what there is no room for runs over before anything is drawn.
    """
    held = min(at_start, holds)
    given, spilled, left = [], [], []
    for came, want in zip(inflow, wanted, strict=True):
        held += came
        over = held - holds if held > holds else 0.0
        held -= over
        drawn = min(held, want)
        held -= drawn
        given.append(drawn)
        spilled.append(over)
        left.append(held)
    return TankDays(np.array(given), np.array(spilled), np.array(left))
