"""Days of rain for many years out of a place's monthly rain: how long it stays dry decides what must be watered.

Rainy days follow each other as S. Geng, F. W. T. Penning de Vries, I. Supit, A simple method for generating daily
rainfall data, Agricultural and Forest Meteorology 36, 1986, found from the tropics to the north (from memory): with f
the share of rainy days, a rainy day follows a dry one with 0.75 f and a rainy one with 0.25 + 0.75 f; what falls on one
is spread as a gamma distribution whose scale is -2.16 + 1.83 times its mean [mm].
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from quincunx.site.climate import Climate
from quincunx.water.drying import DAYS

Floats = NDArray[np.float64]

YEARS = 20
"""Years that are made up: enough to tell a dry year (1 in 5)."""
YEAR_DAYS = 365
SEED = 1583
"""The same years for everybody; any other number would do as well."""
AFTER_DRY, AFTER_WET = 0.75, 0.25
LEAST_SCALE_MM = 0.5
"""The gamma's scale is no less than this where a rainy day brings little [mm]."""
FALL_POWER = 0.55
"""Where the rainy days are not known: the month's millimetres to this power (our own fit to a dozen places by eye)."""
MONTH_OF = np.repeat(np.arange(12), DAYS)
"""The month, from 0, of each day of a year of 365."""


def rainy_days(climate: Climate) -> tuple[float, ...] | None:
    """Return the rainy days of each month as known, else as many as its rain suggests; None without rain."""
    if climate.rain_mm is None:
        return None
    if climate.rain_days is not None:
        return tuple(float(d) for d in climate.rain_days)
    return tuple(min(mm**FALL_POWER, 0.9 * d) if mm > 0 else 0.0 for mm, d in zip(climate.rain_mm, DAYS, strict=True))


def daily_rain(climate: Climate, years: int = YEARS) -> Floats | None:
    """Return the rain of each day of ``years`` years of 365 days [mm]; None where the monthly rain is not known.

    Over all the years each month brings its usual rain; single years are wetter and drier, as they are.
    """
    wet = rainy_days(climate)
    return None if wet is None or climate.rain_mm is None else rain_of(tuple(climate.rain_mm), wet, years)


@lru_cache(maxsize=16)
def rain_of(rain_mm: tuple[float, ...], wet_days: tuple[float, ...], years: int = YEARS) -> Floats:
    """Return the same for twelve rains [mm] and twelve numbers of rainy days; not to be written to."""
    share = np.clip(np.array(wet_days) / np.array(DAYS), 0.0, 0.99)
    rng = np.random.default_rng(SEED)
    drawn = rng.random(years * YEAR_DAYS).tolist()
    month_of = np.tile(MONTH_OF, years)
    of_day = share[month_of].tolist()
    wet, was = np.zeros(len(month_of), bool), False
    for day, (luck, f) in enumerate(zip(drawn, of_day, strict=True)):
        was = luck < (AFTER_WET + AFTER_DRY * f if was and f > 0 else AFTER_DRY * f)
        wet[day] = was
    mean = np.divide(rain_mm, wet_days, out=np.zeros(12), where=np.array(wet_days) > 0)
    scale = np.maximum(1.83 * mean - 2.16, LEAST_SCALE_MM)
    fall = np.zeros(len(month_of))
    some = np.flatnonzero(wet)
    fall[some] = rng.gamma((mean / scale)[month_of[some]], scale[month_of[some]])
    for month, mm in enumerate(rain_mm):
        there = month_of == month
        total = fall[there].sum()
        # A month too dry for a single shower in all the years keeps its rain as one even drizzle.
        fall[there] = fall[there] * (mm * years / total) if total > 0 else mm / DAYS[month]
    fall.flags.writeable = False
    return fall
