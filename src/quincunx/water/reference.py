"""How much water short grass gives off: reference evapotranspiration, from what weather stations publish.

All equations are those of R. G. Allen, L. S. Pereira, D. Raes, M. Smith, Crop evapotranspiration, FAO Irrigation and
Drainage Paper 56, 1998 ("FAO-56"), by number.  Numbers or arrays go in and come out; latitudes are degrees, north
positive; radiation is MJ/m2 a day, pressures kPa, wind m/s at 2 m.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

SOLAR = 0.0820
"""Solar constant [MJ/m2/min] (FAO-56, equation 21)."""
BOLTZMANN = 4.903e-9
"""Stefan and Boltzmann's constant [MJ/K4/m2/d] (equation 39)."""
ALBEDO = 0.23
"""Share of sunlight that the reference grass throws back (equation 38)."""
MM = 0.408
"""Millimetres of water that 1 MJ/m2 evaporates (equation 20)."""
INLAND, COAST = 0.16, 0.19
"""kRs: how the day's span of temperature tells of sunlight, inland and by the sea (equation 50)."""
CALM_M_S = 2.0
"""Wind at 2 m taken where none is known: the mean of over 2000 stations (FAO-56, chapter 3)."""


def pressure_kpa(altitude_m: ArrayLike) -> Any:
    """Return the air's pressure at an altitude [kPa] (equation 7)."""
    return 101.3 * ((293.0 - 0.0065 * np.asarray(altitude_m, np.float64)) / 293.0) ** 5.26


def psychrometric(altitude_m: ArrayLike) -> Any:
    """Return the psychrometric constant [kPa/deg C] (equation 8)."""
    return 0.665e-3 * pressure_kpa(altitude_m)


def saturation_kpa(temperature_c: ArrayLike) -> Any:
    """Return the pressure of vapour in saturated air [kPa] (equation 11)."""
    t = np.asarray(temperature_c, np.float64)
    return 0.6108 * np.exp(17.27 * t / (t + 237.3))


def slope_kpa_c(temperature_c: ArrayLike) -> Any:
    """Return the slope of the saturation curve [kPa/deg C] (equation 13)."""
    t = np.asarray(temperature_c, np.float64)
    return 4098.0 * saturation_kpa(t) / (t + 237.3) ** 2


def mean_saturation_kpa(low_c: ArrayLike, high_c: ArrayLike) -> Any:
    """Return the day's mean saturation pressure from its lowest and highest temperature [kPa] (equation 12)."""
    return (saturation_kpa(low_c) + saturation_kpa(high_c)) / 2.0


def vapour_kpa(low_c: ArrayLike, high_c: ArrayLike, rh_low_percent: ArrayLike, rh_high_percent: ArrayLike) -> Any:
    """Return the actual pressure of vapour from the day's least and greatest humidity [kPa] (equation 17)."""
    least, most = np.asarray(rh_low_percent, np.float64), np.asarray(rh_high_percent, np.float64)
    return (saturation_kpa(low_c) * most / 100.0 + saturation_kpa(high_c) * least / 100.0) / 2.0


def vapour_of_mean_kpa(low_c: ArrayLike, high_c: ArrayLike, rh_percent: ArrayLike) -> Any:
    """Return the actual pressure of vapour from the mean humidity [kPa] (equation 19)."""
    return np.asarray(rh_percent, np.float64) / 100.0 * mean_saturation_kpa(low_c, high_c)


def tilt(day_of_year: ArrayLike) -> Any:
    """Return the sun's declination [rad] (equation 24)."""
    return 0.409 * np.sin(2.0 * math.pi / 365.0 * np.asarray(day_of_year, np.float64) - 1.39)


def nearness(day_of_year: ArrayLike) -> Any:
    """Return the inverse relative distance of earth and sun (equation 23)."""
    return 1.0 + 0.033 * np.cos(2.0 * math.pi / 365.0 * np.asarray(day_of_year, np.float64))


def sunset(latitude_deg: float, day_of_year: ArrayLike) -> Any:
    """Return the hour angle of sunset [rad] (equation 25); 0 or pi where the sun doesn't rise or set."""
    phi = math.radians(latitude_deg)
    return np.arccos(np.clip(-math.tan(phi) * np.tan(tilt(day_of_year)), -1.0, 1.0))


def beyond_air(latitude_deg: float, day_of_year: ArrayLike) -> Any:
    """Return the sunlight above the air, Ra [MJ/m2/d] (equation 21)."""
    phi, delta, omega = math.radians(latitude_deg), tilt(day_of_year), sunset(latitude_deg, day_of_year)
    up = omega * math.sin(phi) * np.sin(delta) + math.cos(phi) * np.cos(delta) * np.sin(omega)
    return 24.0 * 60.0 / math.pi * SOLAR * nearness(day_of_year) * up


def daylight_h(latitude_deg: float, day_of_year: ArrayLike) -> Any:
    """Return the hours of daylight, N (equation 34)."""
    return 24.0 / math.pi * sunset(latitude_deg, day_of_year)


def sunlight(ra: ArrayLike, sunny_share: ArrayLike) -> Any:
    """Return the sunlight on level ground, Rs, for a share n/N of the daylight with bright sunshine (equation 35)."""
    return (0.25 + 0.50 * np.asarray(sunny_share, np.float64)) * np.asarray(ra, np.float64)


def sunlight_by_span(ra: ArrayLike, low_c: ArrayLike, high_c: ArrayLike, k_rs: float = INLAND) -> Any:
    """Return the sunlight on level ground as the day's span of temperature tells it (equation 50)."""
    span = np.maximum(np.asarray(high_c, np.float64) - np.asarray(low_c, np.float64), 0.0)
    return k_rs * np.sqrt(span) * np.asarray(ra, np.float64)


def clear_sunlight(ra: ArrayLike, altitude_m: float) -> Any:
    """Return the sunlight of a clear day, Rso (equation 37)."""
    return (0.75 + 2e-5 * altitude_m) * np.asarray(ra, np.float64)


def lost_to_the_sky(low_c: ArrayLike, high_c: ArrayLike, ea_kpa: ArrayLike, rs: ArrayLike, rso: ArrayLike) -> Any:
    """Return the net long-wave radiation that goes out, Rnl (equation 39)."""
    low, high = np.asarray(low_c, np.float64) + 273.16, np.asarray(high_c, np.float64) + 273.16
    clear = np.asarray(rso, np.float64)
    share = np.divide(np.asarray(rs, np.float64), clear, out=np.ones(np.broadcast(rs, clear).shape), where=clear > 0)
    moist = 0.34 - 0.14 * np.sqrt(np.asarray(ea_kpa, np.float64))
    return BOLTZMANN * (high**4 + low**4) / 2.0 * moist * (1.35 * np.minimum(share, 1.0) - 0.35)


def net_radiation(low_c: ArrayLike, high_c: ArrayLike, ea_kpa: ArrayLike, rs: ArrayLike, rso: ArrayLike) -> Any:
    """Return the net radiation at the grass, Rn (equations 38 and 40)."""
    return (1.0 - ALBEDO) * np.asarray(rs, np.float64) - lost_to_the_sky(low_c, high_c, ea_kpa, rs, rso)


def into_the_soil(before_c: ArrayLike, after_c: ArrayLike, *, known: bool = False) -> Any:
    """Return the month's heat into the soil, G, from the means of the months round it (equation 43).

    ``known``: from the month before and this one, while the next is not known yet (equation 44).
    """
    return (0.14 if known else 0.07) * (np.asarray(after_c, np.float64) - np.asarray(before_c, np.float64))


def penman_monteith(
    mean_c: ArrayLike,
    rn: ArrayLike,
    g: ArrayLike,
    wind_m_s: ArrayLike,
    es_kpa: ArrayLike,
    ea_kpa: ArrayLike,
    altitude_m: float,
) -> Any:
    """Return reference evapotranspiration, ETo [mm/d] (equation 6)."""
    t, u = np.asarray(mean_c, np.float64), np.asarray(wind_m_s, np.float64)
    delta, gamma = slope_kpa_c(t), psychrometric(altitude_m)
    dry = np.asarray(es_kpa, np.float64) - np.asarray(ea_kpa, np.float64)
    up = MM * delta * (np.asarray(rn, np.float64) - np.asarray(g, np.float64)) + gamma * 900.0 / (t + 273.0) * u * dry
    return up / (delta + gamma * (1.0 + 0.34 * u))


def hargreaves(low_c: ArrayLike, high_c: ArrayLike, ra: ArrayLike) -> Any:
    """Return reference evapotranspiration from temperatures alone [mm/d] (equation 52; Ra in MJ/m2/d)."""
    low, high = np.asarray(low_c, np.float64), np.asarray(high_c, np.float64)
    span = np.sqrt(np.maximum(high - low, 0.0))
    return 0.0023 * ((low + high) / 2.0 + 17.8) * span * MM * np.asarray(ra, np.float64)
