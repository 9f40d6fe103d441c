"""The suns of a year over a place: where they stand, for how long each speaks, and what of them the place lets in."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from quincunx.scene import Frame, Scene
from quincunx.site.climate import Climate, Horizon
from quincunx.site.place import Place, zone_of
from quincunx.site.sun import sun_position

Floats = NDArray[np.float64]
Days = Literal["mid", "all"]

LOWEST_DEG = 1.0
"""Sun lower than this above the level counts for nothing: its beam is weak and its shadows have no end [deg]."""
YEAR = 2027
"""The common year whose suns are used: from year to year they move less than a width of the sun."""
MONTHS = tuple(range(1, 13))
LEVEL = Horizon()


@dataclass(frozen=True, slots=True)
class Sky:
    """What decides the sun at a place, beside the garden.

    ``north_offset_deg`` is how far up on the plan lies clockwise from true north; ``horizon`` the far skyline;
    ``sunshine`` the twelve monthly shares of daylight with bright sunshine (None: every day clear).  ``zone`` is the
    clock, or the place whose clock is looked up when an hour is told (that takes a fifth of a second the first time);
    without one hours are mean solar time, 12 being the middle of the day.
    """

    latitude_deg: float
    longitude_deg: float = 0.0
    north_offset_deg: float = 0.0
    horizon: Horizon = LEVEL
    sunshine: tuple[float, ...] | None = None
    altitude_m: float = 0.0
    zone: tzinfo | Place | None = None

    @classmethod
    def of(cls, scene: Scene) -> Sky:
        """Return the sky of a scene that knows its latitude only: up is north, the skyline level, the days clear."""
        return cls(scene.latitude_deg)

    @classmethod
    def at(cls, place: Place, climate: Climate | None = None, horizon: Horizon | None = None) -> Sky:
        """Return the sky of a site."""
        shares = None if climate is None else climate.sunshine_shares(place.latitude_deg)
        return cls(
            place.latitude_deg, place.longitude_deg, place.north_offset_deg, horizon or LEVEL, shares,
            place.altitude_m or 0.0, place,
        )  # fmt: skip

    @classmethod
    def over(cls, frame: Frame) -> Sky:
        """Return the sky over a garden: that of its site, or of its assumed latitude where no place is given."""
        if frame.place is None:
            return cls(frame.latitude_deg, horizon=frame.horizon)
        return cls.at(frame.place, frame.climate, frame.horizon)

    def clock(self) -> tzinfo:
        """Return the clock its hours are told by."""
        if isinstance(self.zone, Place):
            return zone_of(self.zone)
        return self.zone or timezone(timedelta(hours=self.longitude_deg / 15), "sun time")

    def direction(self, times: datetime | Iterable[datetime] | NDArray[np.datetime64]) -> Floats:
        """Return unit vectors (n, 3) from the garden to the sun at some times: x and y of the plan, z up."""
        up, azimuth = sun_position(self.latitude_deg, self.longitude_deg, times)
        e, a = np.radians(np.atleast_1d(up)), np.radians(np.atleast_1d(azimuth) - self.north_offset_deg)
        return np.column_stack([np.sin(a) * np.cos(e), np.cos(a) * np.cos(e), np.sin(e)])

    def seen(self, towards: Floats) -> NDArray[np.bool_]:
        """Return which unit vectors (n, 3) point above the skyline and :data:`LOWEST_DEG`."""
        up = np.degrees(np.arcsin(np.clip(towards[:, 2], -1, 1)))
        bearing = np.degrees(np.arctan2(towards[:, 0], towards[:, 1])) + self.north_offset_deg
        return np.asarray((up > LOWEST_DEG) & (up >= self.horizon.angle_deg(bearing)))


class Suns(NamedTuple):
    """Suns one after another by month: ``towards`` (n, 3), ``month`` 1..12 and the ``hours`` a day each stands for.

    ``times`` is when they stand there, UTC.  An average day of a month has the sum of its ``hours``.
    """

    towards: Floats
    month: NDArray[np.int64]
    hours: Floats
    times: NDArray[np.datetime64]

    def of(self, chosen: NDArray[np.bool_]) -> Suns:
        """Return some of them."""
        return Suns(self.towards[chosen], self.month[chosen], self.hours[chosen], self.times[chosen])


@lru_cache(maxsize=16)
def suns(sky: Sky, months: tuple[int, ...] = MONTHS, days: Days = "mid", step_min: float = 10.0) -> Suns:
    """Return the suns above the skyline, every ``step_min`` minutes of sun time.

    ``days`` "mid" takes the 15th for its month (up to some hours off in spring and autumn, for what a shadow edge
    sweeps in those weeks); "all" takes every day.
    """
    if not 0 < step_min <= 120:
        raise ValueError(f"got a step of {step_min} minutes; expected more than 0 and at most 120; try 10")
    n = max(round(1440 / step_min), 1)
    found = [_month(sky, month, days, n) for month in months]
    made = Suns(*(np.concatenate(part) for part in zip(*found, strict=True)))
    for part in made:
        part.setflags(write=False)
    return made


def _month(sky: Sky, month: int, days: Days, n: int) -> Suns:
    if not 1 <= month <= 12:
        raise ValueError(f"got the month {month}; expected 1 to 12")
    last = monthrange(YEAR, month)[1]
    dates = [date(YEAR, month, 15)] if days == "mid" else [date(YEAR, month, d + 1) for d in range(last)]
    noon = np.array([np.datetime64(d, "us") for d in dates]) + np.timedelta64(_us(12 - sky.longitude_deg / 15), "us")
    steps = np.array([_us((k + 0.5) * 24 / n - 12) for k in range(n)], "timedelta64[us]")
    times = (noon[:, None] + steps).ravel()
    towards = sky.direction(times)
    hours = np.full(len(times), 24 / n / len(dates))
    return Suns(towards, np.full(len(times), month), hours, times).of(sky.seen(towards))


def _us(hours: float) -> int:
    return round(hours * 3.6e9)


def local_hours(sky: Sky, times: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Return the hour 0..23 that the sky's clock shows at each time."""
    clock = sky.clock()
    stamps: list[datetime] = times.astype("datetime64[us]").tolist()
    return np.array([t.replace(tzinfo=UTC).astimezone(clock).hour for t in stamps], np.int64)
