"""How much a place dries out in each month, by the best method its climate figures allow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quincunx.site.climate import Climate
from quincunx.water import reference as fao
from quincunx.water.falling import wind_at_m_s

Floats = NDArray[np.float64]

MIDDLES = (15, 46, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)
"""A day of each month whose sun stands for the month (FAO-56 takes the middle; June and December as in its table)."""
DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
SEA_LEVEL_M = 100.0
"""Altitude taken where none is known [m]; a hundred metres change the answer by less than 1 in 100."""


@dataclass(frozen=True)
class Drying:
    """Reference evapotranspiration by month [mm a day], how it was found, and what had to be assumed."""

    mm_a_day: tuple[float, ...]
    method: str
    assumed: tuple[str, ...]

    @property
    def by_month_mm(self) -> tuple[float, ...]:
        """Return the same summed over each month [mm]."""
        return tuple(mm * d for mm, d in zip(self.mm_a_day, DAYS, strict=True))


def drying(climate: Climate, latitude_deg: float, altitude_m: float | None = None) -> Drying | None:
    """Return how a place dries out; None where its temperatures are not known.

    With sunshine, wind or humidity beside the temperatures it is Penman and Monteith's equation, with FAO-56's own
    stand-ins for what is missing; with temperatures alone it is Hargreaves's (FAO-56, chapters 2 to 4).
    """
    if climate.t_min_c is None or climate.t_max_c is None:
        return None
    low, high = np.array(climate.t_min_c), np.array(climate.t_max_c)
    ra = fao.beyond_air(latitude_deg, MIDDLES)
    if climate.wind_m_s is None and climate.rh_percent is None and _sunny(climate, latitude_deg) is None:
        found = fao.hargreaves(low, high, ra)
        return Drying(_months(found), "Hargreaves's equation (FAO-56, 52)", ("only temperatures are known",))
    high_m = SEA_LEVEL_M if altitude_m is None else altitude_m
    assumed: list[str] = [] if altitude_m is not None else [f"an altitude of {SEA_LEVEL_M:.0f} m"]
    rs = _sunlight(climate, latitude_deg, ra, low, high, assumed)
    ea = _vapour(climate, low, high, assumed)
    wind = _wind(climate, assumed)
    mean = (low + high) / 2.0
    rn = fao.net_radiation(low, high, ea, rs, fao.clear_sunlight(ra, high_m))
    g = fao.into_the_soil(np.roll(mean, 1), np.roll(mean, -1))
    found = fao.penman_monteith(mean, rn, g, wind, fao.mean_saturation_kpa(low, high), ea, high_m)
    return Drying(_months(found), "Penman and Monteith's equation (FAO-56, 6)", tuple(assumed))


def _months(found: Floats) -> tuple[float, ...]:
    return tuple(float(v) for v in np.maximum(found, 0.0))


def _sunny(climate: Climate, latitude_deg: float) -> Floats | None:
    if climate.sunshine_share is not None:
        return np.array(climate.sunshine_share)
    if climate.sunshine_h is None:
        return None
    day: Floats = fao.daylight_h(latitude_deg, MIDDLES) * np.array(DAYS)
    return np.asarray(np.minimum(np.array(climate.sunshine_h) / np.maximum(day, 0.1), 1.0), np.float64)


def _sunlight(
    climate: Climate, latitude_deg: float, ra: Floats, low: Floats, high: Floats, assumed: list[str]
) -> Floats:
    share = _sunny(climate, latitude_deg)
    if share is not None:
        return np.asarray(fao.sunlight(ra, share))
    assumed.append("sunlight by the span between night and day (equation 50, inland)")
    return np.asarray(fao.sunlight_by_span(ra, low, high))


def _vapour(climate: Climate, low: Floats, high: Floats, assumed: list[str]) -> Floats:
    if climate.rh_percent is not None:
        return np.asarray(fao.vapour_of_mean_kpa(low, high, climate.rh_percent))
    assumed.append("dew at the night's lowest temperature (equation 48)")
    return np.asarray(fao.saturation_kpa(low))


def _wind(climate: Climate, assumed: list[str]) -> Floats:
    if climate.wind_m_s is not None:
        return np.array([wind_at_m_s(w) for w in climate.wind_m_s])
    assumed.append(f"wind of {fao.CALM_M_S:g} m/s at 2 m")
    return np.full(12, fao.CALM_M_S)
