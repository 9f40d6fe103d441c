"""The sun among the stars: low-precision formulas, good to about 0.004 degree from 1950 to 2100.

References:
    J. Meeus, Astronomical Algorithms, 2nd edition, Willmann-Bell 1998: chapter 12 (sidereal time), chapter
    25 (low accuracy), chapter 28 (equation of time).
    J. Meeus, Astronomical Formulae for Calculators, Willmann-Bell, chapter 18: the largest pulls of Venus,
    Jupiter and the moon (coefficients from memory; with them the greatest error against NREL's SPA falls from
    0.009 to 0.004 degree, which the tests check).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Times = datetime | np.datetime64 | Iterable[datetime] | NDArray[np.datetime64]
"""Aware datetimes, or NumPy datetimes, which are UTC by definition."""

J2000 = np.datetime64("2000-01-01T12:00:00", "us")
"""The epoch from which days are counted, in UTC."""
DELTA_T_S = 69.0
"""Terrestrial time less universal time, as in the 2020s [s]; ten seconds more or less move the sun 0.0001 deg."""


@dataclass(frozen=True)
class Ephemeris:
    """The sun's apparent place at each of some times; angles in degrees, ``distance_au`` in astronomical units.

    ``sidereal_deg`` is apparent sidereal time at Greenwich, ``equation_min`` apparent less mean solar time.
    """

    mean_longitude_deg: Floats
    mean_anomaly_deg: Floats
    centre_deg: Floats
    obliquity_deg: Floats
    longitude_deg: Floats
    distance_au: Floats
    right_ascension_deg: Floats
    declination_deg: Floats
    sidereal_deg: Floats
    equation_min: Floats


def days_since_j2000(times_utc: Times) -> Floats:
    """Return days since 2000-01-01 12:00 UTC for aware datetimes or NumPy datetimes (UTC), in their shape.

    Raises ValueError for a datetime without a time zone, which could be any hour.
    """
    if isinstance(times_utc, np.ndarray | np.datetime64):
        stamps = np.asarray(times_utc, "datetime64[us]")
    elif isinstance(times_utc, datetime):
        stamps = np.asarray(_utc(times_utc), "datetime64[us]")
    else:
        stamps = np.array([_utc(time) for time in times_utc], "datetime64[us]")
    return np.asarray((stamps - J2000).astype(np.int64) / 86_400e6, np.float64)


def _utc(time: datetime) -> datetime:
    if not isinstance(time, datetime) or time.tzinfo is None:
        raise ValueError(
            f"got the time {time!r} without a time zone; expected one with, such as 14:00 in Europe/London"
        )
    return time.astimezone(UTC).replace(tzinfo=None)


def ephemeris(days: Floats, delta_t_s: float = DELTA_T_S, *, pulled: bool = True) -> Ephemeris:
    """Return the sun's apparent place at ``days`` since J2000 [d, UTC], ``pulled`` by the planets or not.

    Meeus chapter 25: mean longitude (25.2), anomaly (25.3), centre, distance (25.5), apparent longitude and
    place (25.6, 25.7 with 25.8); chapter 12: (12.4); chapter 28: (28.1).
    """
    t = (days + delta_t_s / 86_400) / 36_525
    mean_longitude = (280.46646 + t * (36_000.76983 + t * 0.0003032)) % 360
    anomaly = (357.52911 + t * (35_999.05029 - t * 0.0001537)) % 360
    eccentricity = 0.016708634 - t * (0.000042037 + t * 0.0000001267)
    centre = _centre(t, np.radians(anomaly))
    distance = 1.000001018 * (1 - eccentricity**2) / (1 + eccentricity * np.cos(np.radians(anomaly + centre)))
    node = np.radians(125.04 - 1934.136 * t)
    pull = _pull(t) if pulled else 0.0
    longitude = (mean_longitude + centre + pull - 0.00569 - 0.00478 * np.sin(node)) % 360
    obliquity = 23.43929111 - t * (0.013004167 + t * (0.000000164 - t * 0.000000504)) + 0.00256 * np.cos(node)
    lam, eps = np.radians(longitude), np.radians(obliquity)
    ascension = np.degrees(np.arctan2(np.cos(eps) * np.sin(lam), np.cos(lam))) % 360
    nutation = -0.00478 * np.sin(node) * np.cos(eps)
    equation = (mean_longitude - 0.0057183 - ascension + nutation + 180) % 360 - 180
    return Ephemeris(
        mean_longitude_deg=mean_longitude,
        mean_anomaly_deg=anomaly,
        centre_deg=centre,
        obliquity_deg=obliquity,
        longitude_deg=longitude,
        distance_au=distance,
        right_ascension_deg=ascension,
        declination_deg=np.degrees(np.arcsin(np.sin(eps) * np.sin(lam))),
        sidereal_deg=(mean_sidereal_deg(days) + nutation) % 360,
        equation_min=4 * equation,
    )


def _centre(t: Floats, anomaly_rad: Floats) -> Floats:
    """Return the equation of the centre [deg]."""
    once = (1.914602 - t * (0.004817 + t * 0.000014)) * np.sin(anomaly_rad)
    twice = (0.019993 - t * 0.000101) * np.sin(2 * anomaly_rad)
    return np.asarray(once + twice + 0.000289 * np.sin(3 * anomaly_rad))


def _pull(t: Floats) -> Floats:
    """Return what Venus (a, b), Jupiter (c), the moon (d) and a slow term (e) add to the longitude [deg]."""
    since_1900 = t + 1.0
    a, b, c = (
        np.radians(k + n * since_1900) for k, n in ((153.23, 22_518.7541), (216.57, 45_037.5082), (312.69, 32_964.3577))
    )
    d = np.radians(350.74 + since_1900 * (445_267.1142 - 0.00144 * since_1900))
    e = np.radians(231.19 + 20.20 * since_1900)
    return np.asarray(
        0.00134 * np.cos(a) + 0.00154 * np.cos(b) + 0.00200 * np.cos(c) + 0.00179 * np.sin(d) + 0.00178 * np.sin(e)
    )


def mean_sidereal_deg(days: Floats) -> Floats:
    """Return mean sidereal time at Greenwich [deg] at ``days`` since J2000 [d, UT]."""
    t = days / 36_525
    return np.asarray((280.46061837 + 360.98564736629 * days + t * t * (0.000387933 - t / 38_710_000)) % 360)
