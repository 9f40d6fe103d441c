"""Where the garden lies, its clock and its seasons."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date
from functools import lru_cache
from typing import Literal
from zoneinfo import ZoneInfo

from pydantic import field_validator

from quincunx.site.country_names import country_code
from quincunx.units.fields import Doc, Name, degrees, field

Region = Literal["us", "europe", "other"]
Hemisphere = Literal["north", "south"]


class Place(Doc):
    """Where the garden lies."""

    name: Name = field("town or place", "", max_length=100)
    country: str | None = field(
        "country", None, pattern="^[A-Z]{2}$",
        help="Its name or two letters, such as Germany or DE: whose codes are shown. Found from where it lies if left empty.",
    )  # fmt: skip
    latitude_deg: float = field("latitude", unit="deg", ge=-90.0, le=90.0, help="North is positive.")
    longitude_deg: float = field("longitude", unit="deg", ge=-180.0, le=180.0, help="East is positive.")
    altitude_m: float | None = field("height above the sea", None, unit="m", ge=-430.0, le=6000.0)
    timezone: str | None = field("time zone", None, help="Such as Europe/London; found from the place if left empty.")
    north_offset_deg: float = degrees(
        "up on the plan is this far clockwise from true north",
        0.0,
        ge=-180.0,
        lt=180.0,
        help="0 when up on the plan is true north. Found from a stake's shadow; the drawing need not be turned.",
    )
    codes: Region | None = field(
        "building rules",
        None,
        help="Whose formulas timber, snow and wind are held against; by the country if left empty.",
    )

    @field_validator("country", mode="before")
    @classmethod
    def _by_name(cls, value: object) -> object:
        if not isinstance(value, str) or re.fullmatch("[A-Z]{2}", value):
            return value
        code = country_code(value)
        if code is None:
            raise ValueError(
                f'got the country "{value}"; expected its name in English, such as Germany, or two letters such as DE'
            )
        return code

    @field_validator("timezone")
    @classmethod
    def _known_zone(cls, value: str | None) -> str | None:
        if value is not None:
            try:
                ZoneInfo(value)
            except (ValueError, OSError, KeyError):
                raise ValueError(f'got the time zone "{value}"; expected one such as Europe/London, or none') from None
        return value

    @property
    def hemisphere(self) -> Hemisphere:
        """Which half of the world; the equator counts as north."""
        return "south" if self.latitude_deg < 0 else "north"

    def leaf_date(self, year: int) -> date:
        """Return the day on which ``year`` is judged in leaf: the last of its summer (31 August, or of February)."""
        if self.hemisphere == "north":
            return date(year, 8, 31)
        return date(year, 2, monthrange(year, 2)[1])

    def bare_date(self, year: int) -> date:
        """Return the day on which ``year`` is judged bare: the middle of the winter that follows its summer.

        That is 15 January of the next year in the north and 15 July of the same year in the south.
        """
        return date(year + 1, 1, 15) if self.hemisphere == "north" else date(year, 7, 15)

    def season_dates(self, year: int) -> tuple[date, date]:
        """Return the days on which ``year`` is judged: in leaf, then bare."""
        return self.leaf_date(year), self.bare_date(year)

    def plan_bearing(self, true_deg: float) -> float:
        """Return a true bearing as an angle clockwise from up on the plan [deg]."""
        return (true_deg - self.north_offset_deg) % 360.0

    def true_bearing(self, plan_deg: float) -> float:
        """Return an angle clockwise from up on the plan as a true bearing [deg]."""
        return (plan_deg + self.north_offset_deg) % 360.0


class DatumAt(Doc):
    """Where the datum stake lies by the numbers of whoever surveyed the ground; what comes later is laid by it."""

    east_m: float | None = field("Its easting", None, unit="m", ge=-1e8, le=1e8)
    north_m: float | None = field("Its northing", None, unit="m", ge=-1e8, le=1e8)
    latitude_deg: float | None = field("Its own latitude", None, unit="deg", ge=-90.0, le=90.0)
    longitude_deg: float | None = field("Its own longitude", None, unit="deg", ge=-180.0, le=180.0)

    @property
    def numbers(self) -> tuple[float, float] | None:
        """Easting and northing [m]; None where they aren't known."""
        return None if self.east_m is None or self.north_m is None else (self.east_m, self.north_m)

    @property
    def on_earth(self) -> tuple[float, float] | None:
        """Latitude and longitude [deg]; None where they aren't known."""
        return (
            None if self.latitude_deg is None or self.longitude_deg is None else (self.latitude_deg, self.longitude_deg)
        )


def zone_of(place: Place) -> ZoneInfo:
    """Return the time zone of a place: the one it names, or the one its position lies in (offline)."""
    return ZoneInfo(place.timezone or _zone_at(round(place.latitude_deg, 4), round(place.longitude_deg, 4)))


@lru_cache(maxsize=64)
def _zone_at(latitude_deg: float, longitude_deg: float) -> str:
    import tzfpy

    return tzfpy.get_tz(longitude_deg, latitude_deg) or "Etc/UTC"
