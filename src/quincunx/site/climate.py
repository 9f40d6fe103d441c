"""The usual weather by month, frost, snow, the soil and what stands on the horizon.

Everything may be left out; what needs a number that is not there says so.
"""

from __future__ import annotations

import math
from datetime import date
from typing import TYPE_CHECKING, Annotated, Literal, Self

from pydantic import Field, model_validator

from quincunx.units.fields import Doc, field

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

_TWELVE = Field(min_length=12, max_length=12)
Temperatures = Annotated[tuple[Annotated[float, Field(ge=-70.0, le=60.0)], ...], _TWELVE]
"""Twelve monthly temperatures, January first [deg C]."""
Amounts = Annotated[tuple[Annotated[float, Field(ge=0.0, le=2000.0)], ...], _TWELVE]
"""Twelve monthly amounts, January first."""
Shares = Annotated[tuple[Annotated[float, Field(ge=0.0, le=1.0)], ...], _TWELVE]
"""Twelve monthly shares from 0 to 1, January first."""
Percents = Annotated[tuple[Annotated[float, Field(ge=0.0, le=100.0)], ...], _TWELVE]
"""Twelve monthly percentages, January first."""
Bearings = Annotated[tuple[Annotated[float, Field(ge=0.0, lt=360.0)], ...], _TWELVE]
"""Twelve monthly bearings, January first [deg clockwise from true north]."""
MonthDay = Annotated[str, Field(pattern=r"^(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])$")]
"""A day of any year, written ``05-10``."""


class Frosts(Doc):
    """The usual last frost of spring and first of autumn, with the chance that frost comes outside them.

    The chance is that of a frost *later* than the spring day, and equally of one *earlier* than the autumn
    day, in any one year (the sense of NOAA's freeze probabilities).
    """

    last_spring: MonthDay = field("last frost in spring")
    first_autumn: MonthDay = field("first frost in autumn")
    chance: float = field("chance of frost outside these days", 0.5, gt=0.0, lt=1.0)
    threshold_c: float = field("frost means at or below", 0.0, unit="deg C", ge=-10.0, le=5.0)

    @model_validator(mode="after")
    def _real_days(self) -> Self:
        for text in (self.last_spring, self.first_autumn):
            _day(text)
        return self

    def free_days(self) -> int:
        """Return the days from the last frost to the first, in either half of the world [d]."""
        return (_day(self.first_autumn) - _day(self.last_spring)).days % 365


def _day(text: str) -> date:
    try:
        return date(2027, int(text[:2]), int(text[3:]))
    except ValueError:
        raise ValueError(f'got the day "{text}"; expected a day that every year has, such as 05-10') from None


class SnowLoad(Doc):
    """The weight of snow on level ground that structures are checked for, and whose map it is from."""

    ground_kn_m2: float = field("snow on the ground", unit="kN/m2", ge=0.0, le=30.0)
    edition: str = field(
        "from which code and edition",
        help="Such as ASCE 7-16, ASCE 7-22 or EN 1991-1-3:2003. ASCE 7-22 loads already hold the risk category.",
        min_length=3,
        max_length=60,
    )


class DesignWind(Doc):
    """The wind that structures are checked for, and whose map it is from."""

    speed_m_s: float = field("design wind speed", unit="m/s", gt=0.0, le=120.0)
    edition: str = field(
        "from which code and edition",
        help="Such as ASCE 7-16, risk category I (gust of three seconds).",
        min_length=3,
        max_length=60,
    )


class Climate(Doc):
    """Monthly normals and extremes; January first in both halves of the world."""

    source: str = field("where these figures are from", "", max_length=300)
    t_min_c: Temperatures | None = field("mean daily lowest temperature", None, unit="deg C")
    t_max_c: Temperatures | None = field("mean daily highest temperature", None, unit="deg C")
    rain_mm: Amounts | None = field("rain and melted snow", None, unit="mm a month")
    rain_days: Amounts | None = field("days with 1 mm of rain or more", None, unit="d")
    wind_m_s: Amounts | None = field("mean wind at 10 m", None, unit="m/s")
    wind_from_deg: Bearings | None = field("the wind mostly comes from", None, unit="deg")
    sunshine_h: Amounts | None = field("bright sunshine", None, unit="h a month")
    sunshine_share: Shares | None = field("share of daylight with bright sunshine", None)
    snow_depth_m: Amounts | None = field("greatest usual depth of snow", None, unit="m")
    rh_percent: Percents | None = field("mean relative humidity", None, unit="%")
    frosts: tuple[Frosts, ...] = field("frosts", ())
    extreme_min_c: float | None = field("mean of each year's lowest temperature", None, unit="deg C", ge=-70.0, le=30.0)
    frost_depth_m: float | None = field(
        "depth to which the ground freezes",
        None,
        unit="m",
        ge=0.0,
        le=4.0,
        help="From the local building authority, which decides how deep footings go.",
    )
    snow_load: SnowLoad | None = field(
        "snow load",
        None,
        help="From the local building authority: a map's figure leaves out drifts, height and shelter.",
    )

    design_wind: DesignWind | None = field(
        "design wind",
        None,
        help="From the local building authority; hills, coasts and gaps between houses make it worse.",
    )

    @model_validator(mode="after")
    def _lowest_below_highest(self) -> Self:
        if self.t_min_c is not None and self.t_max_c is not None:
            for month, (low, high) in enumerate(zip(self.t_min_c, self.t_max_c, strict=True), 1):
                if low > high:
                    raise ValueError(
                        f"month {month}: got a lowest of {low} and a highest of {high}; expected low to high"
                    )
        return self

    @property
    def zone(self) -> str | None:
        """The USDA hardiness zone, such as ``5a``; None if the extreme is not known."""
        return None if self.extreme_min_c is None else usda_zone(self.extreme_min_c)

    def sunshine_shares(self, latitude_deg: float) -> tuple[float, ...] | None:
        """Return the twelve monthly shares of daylight with bright sunshine, from hours if they are given so."""
        if self.sunshine_share is not None or self.sunshine_h is None:
            return self.sunshine_share
        from quincunx.site.sun import monthly_daylight_h

        daylight = monthly_daylight_h(latitude_deg)
        return tuple(
            min(1.0, sun / day) if day > 0 else 0.0 for sun, day in zip(self.sunshine_h, daylight, strict=True)
        )


def usda_zone(extreme_min_c: float) -> str:
    """Return the USDA hardiness zone of a mean annual extreme minimum [deg C], from ``1a`` to ``13b``.

    Zone n begins at -60 + 10 (n - 1) deg F and its warmer half, b, 5 deg F above (USDA Plant Hardiness Zone
    Map 2023, means of 1991-2020; limits from memory, half-zones 3a to 7a read in a university extension
    guide's front matter).
    """
    above = max(0.0, min(129.999, extreme_min_c * 9 / 5 + 32 + 60))
    return f"{math.floor(above / 10) + 1}{'a' if above % 10 < 5 else 'b'}"


Texture = Literal[
    "sand",
    "loamy sand",
    "sandy loam",
    "loam",
    "silt loam",
    "silt",
    "sandy clay loam",
    "clay loam",
    "silty clay loam",
    "sandy clay",
    "silty clay",
    "clay",
    "peat",
]
"""The twelve classes of the USDA texture triangle, and peat."""


class Soil(Doc):
    """What the ground is made of, as far as the person has found out."""

    texture: Texture | None = field("texture", None, help="By feel: roll a moist lump between the fingers.")
    ph: float | None = field("acidity (pH)", None, ge=3.0, le=10.0)
    drainage: Literal["fast", "good", "slow", "waterlogged"] | None = field("drainage", None)
    shrinkable_clay: bool = field(
        "clay that shrinks when dry", False, help="Trees near buildings on such clay are a matter for an engineer."
    )
    stony: bool = field("stony", False)


class Horizon(Doc):
    """How high hills, houses and woods beyond the garden stand against the sky, as seen from the datum."""

    angles: Annotated[tuple[tuple[float, float], ...], Field(max_length=720)] = field(
        "Bearing, and angle above level",
        (),
        unit="deg",
        help="Seen from the datum, clockwise from north; straight between the bearings given; level if none are.",
    )

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        bearings = [bearing for bearing, _ in self.angles]
        if any(not 0 <= b < 360 for b in bearings) or any(not -30 <= up <= 89 for _, up in self.angles):
            raise ValueError("expected bearings from 0 up to 360 and angles from -30 to 89 degrees")
        if sorted(set(bearings)) != bearings:
            raise ValueError("expected each bearing once, rising clockwise from north; put them in that order")
        return self

    def angle_deg(self, bearing_deg: ArrayLike) -> NDArray[np.float64]:
        """Return the angle of the skyline above level [deg] at true bearings [deg]; 0 if none is given."""
        import numpy as np

        if not self.angles:
            return np.zeros(np.shape(bearing_deg))
        bearings, ups = np.array(self.angles).T
        return np.asarray(np.interp(np.asarray(bearing_deg, np.float64) % 360.0, bearings, ups, period=360.0))
