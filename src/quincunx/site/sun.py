"""Where the sun stands, when it rises and sets, how long the day is.

Elevation is the angle of the sun's middle above a level horizon; azimuth is clockwise from true north.
Sunrise and sunset are when the middle stands at -0.8333 degrees: 34' of refraction and 16' of half the
sun's width, over a level horizon.  A day on which it doesn't is a value ("up all day", "never up"), not an
error.
"""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from quincunx.site.almanac import Times, days_since_j2000, ephemeris

Floats = NDArray[np.float64]
State = Literal["rises", "up all day", "never up"]

HORIZON_DEG = -0.8333
"""The sun's middle at sunrise and sunset [deg]."""
_PARALLAX_DEG = 8.794 / 3600
_EPOCH = datetime(2000, 1, 1, 12, tzinfo=UTC)


class SunPosition(NamedTuple):
    """Elevation above a level horizon and azimuth clockwise from true north, both [deg]."""

    elevation_deg: Floats
    azimuth_deg: Floats


@dataclass(frozen=True, slots=True)
class SunDay:
    """One day's sun: aware UTC times of ``sunrise``, ``noon`` (highest) and ``sunset``, and the hours of day.

    ``sunrise`` or ``sunset`` is None when the sun doesn't cross the horizon in that half of the day.
    """

    state: State
    sunrise: datetime | None
    noon: datetime
    sunset: datetime | None
    day_length_h: float


def sun_position(
    latitude_deg: ArrayLike, longitude_deg: ArrayLike, times_utc: Times, *, refraction: bool = True
) -> SunPosition:
    """Return the sun's elevation and azimuth [deg] at a place (north and east positive) at some times.

    Times are aware datetimes or NumPy datetimes, which are UTC; a naive datetime raises ValueError.  With
    ``refraction`` the elevation is the one seen (1010 hPa, 10 deg C), else the geometric one.  Within about
    0.004 degree from 1950 to 2100 (:mod:`quincunx.site.almanac`).
    """
    elevation, azimuth = _position(latitude_deg, longitude_deg, days_since_j2000(times_utc))
    return SunPosition(elevation + refraction_deg(elevation) if refraction else elevation, azimuth)


def _position(latitude_deg: ArrayLike, longitude_deg: ArrayLike, days: Floats) -> SunPosition:
    sun = ephemeris(days)
    hour_angle = sun.sidereal_deg + np.asarray(longitude_deg) - sun.right_ascension_deg
    elevation, azimuth = elevation_azimuth(latitude_deg, sun.declination_deg, hour_angle)
    return SunPosition(elevation - _PARALLAX_DEG * np.cos(np.radians(elevation)), azimuth)


def elevation_azimuth(latitude_deg: ArrayLike, declination_deg: ArrayLike, hour_angle_deg: ArrayLike) -> SunPosition:
    """Return elevation and azimuth [deg] from declination and hour angle (west of the meridian positive) [deg].

    Meeus, Astronomical Algorithms, 1998, (13.5) and (13.6), with azimuth turned to run from north.
    """
    phi, dec = np.radians(np.asarray(latitude_deg, np.float64)), np.radians(np.asarray(declination_deg, np.float64))
    hour = np.radians(np.asarray(hour_angle_deg, np.float64))
    east = -np.cos(dec) * np.sin(hour)
    north = np.sin(dec) * np.cos(phi) - np.cos(dec) * np.sin(phi) * np.cos(hour)
    up = np.sin(dec) * np.sin(phi) + np.cos(dec) * np.cos(phi) * np.cos(hour)
    azimuth = np.degrees(np.arctan2(east, north)) % 360.0
    return SunPosition(np.degrees(np.arctan2(up, np.hypot(east, north))), np.where(azimuth >= 360.0, 0.0, azimuth))


def refraction_deg(elevation_deg: ArrayLike) -> Floats:
    """Return how much higher than it is the sun is seen [deg], 1010 hPa and 10 deg C; 0 once it has set.

    Saemundsson's formula (Meeus (16.4)).
    """
    e = np.asarray(elevation_deg, np.float64)
    lifted = 1.02 / 60 / np.tan(np.radians(np.maximum(e, -1.0) + 10.3 / (np.maximum(e, -1.0) + 5.11)))
    return np.where(e >= HORIZON_DEG, lifted, 0.0)


def equation_of_time_min(times_utc: Times) -> Floats:
    """Return apparent less mean solar time [min]: positive when the sundial is ahead of the clock."""
    return ephemeris(days_since_j2000(times_utc)).equation_min


def declination_deg(times_utc: Times) -> Floats:
    """Return the sun's declination [deg, north positive]."""
    return ephemeris(days_since_j2000(times_utc)).declination_deg


def sun_day(latitude_deg: float, longitude_deg: float, day: date, *, horizon_deg: float = HORIZON_DEG) -> SunDay:
    """Return the sun's day whose noon falls on the local date ``day`` (by the sun, not the clock).

    ``horizon_deg`` is the elevation of the sun's middle, without refraction, at rise and set [deg]; 0 gives
    the geometric day of agricultural formulas.
    """
    noon, before, after, length = _halves(
        latitude_deg, longitude_deg, np.array([_middle(day, longitude_deg)]), horizon_deg
    )
    rise = None if np.isnan(before[0]) else _time(noon[0] - before[0])
    fall = None if np.isnan(after[0]) else _time(noon[0] + after[0])
    state: State = "rises" if rise or fall else "up all day" if length[0] else "never up"
    return SunDay(state, rise, _time(noon[0]), fall, float(length[0]) * 24)


def day_lengths_h(latitude_deg: float, days: list[date], *, horizon_deg: float = HORIZON_DEG) -> Floats:
    """Return the hours from sunrise to sunset on each of some days, 0 to 24."""
    middles = np.array([_middle(day, 0.0) for day in days])
    return _halves(latitude_deg, 0.0, middles, horizon_deg)[3] * 24


@lru_cache(maxsize=64)
def monthly_daylight_h(latitude_deg: float) -> tuple[float, ...]:
    """Return the hours of daylight in each month of a common year (2027), January first [h]."""
    first = date(2027, 1, 1)
    lengths = day_lengths_h(latitude_deg, [first + timedelta(days=i) for i in range(365)])
    ends = np.cumsum([monthrange(2027, month)[1] for month in range(1, 13)])
    return tuple(float(part.sum()) for part in np.split(lengths, ends[:-1]))


def _middle(day: date, longitude_deg: float) -> float:
    """Return mean solar noon of a date at a longitude, in days since J2000 [d]."""
    return (day - _EPOCH.date()).days - longitude_deg / 360.0


def _time(days: float) -> datetime:
    return (_EPOCH + timedelta(seconds=round(float(days) * 86_400))).astimezone(UTC)


def _halves(
    latitude_deg: float, longitude_deg: float, noon: Floats, horizon_deg: float
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return noon, the time from sunrise to it, from it to sunset (nan: none) and the day length, all [d]."""
    for _ in range(3):
        sun = ephemeris(noon)
        hour_angle = (sun.sidereal_deg + longitude_deg - sun.right_ascension_deg + 180) % 360 - 180
        noon = noon - hour_angle / 360.985647
    before = _crossing(latitude_deg, longitude_deg, noon, -1.0, horizon_deg)
    after = _crossing(latitude_deg, longitude_deg, noon, 1.0, horizon_deg)
    up_at_noon = _position(latitude_deg, longitude_deg, noon).elevation_deg > horizon_deg
    halves = [np.where(np.isnan(half), np.where(up_at_noon, 0.5, 0.0), half) for half in (before, after)]
    return noon, before, after, halves[0] + halves[1]


def _crossing(latitude_deg: float, longitude_deg: float, noon: Floats, sense: float, horizon_deg: float) -> Floats:
    """Return how long before (sense -1) or after noon the sun stands at the horizon [d], by halving; nan if never."""

    def over(apart: Floats) -> NDArray[np.bool_]:
        return np.asarray(_position(latitude_deg, longitude_deg, noon + sense * apart).elevation_deg > horizon_deg)

    near, far = np.zeros_like(noon), np.full_like(noon, 0.5)
    crosses = over(near) & ~over(far)
    for _ in range(22):  # half a day / 2^22 is 0.01 s
        middle = (near + far) / 2
        up = over(middle)
        near, far = np.where(up, middle, near), np.where(up, far, middle)
    return np.where(crosses, near, np.nan)
