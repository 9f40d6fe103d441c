"""What a place's climate means for what grows there, in words and figures: frosts, zone, winter cold, summer warmth.

Where only monthly normals are known, winter cold and summer warmth are reckoned from days that run smoothly through the
middle of each month, warmer and colder by turns as days are (the more so, the farther summer and winter lie apart), and
hours that follow a sine from the lowest to the highest of the day.  Against two published years of hours this is true to a
tenth (tested); without the turns chill came out a quarter too high.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

from quincunx.site.climate import Climate
from quincunx.site.frosts import chill_hours, degree_days
from quincunx.units.dates import MONTHS

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

WARM_C = 10.0
"""Above this mean temperature most garden plants grow on [deg C]."""
LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
DAYS_DIFFER = 0.2
"""Days differ from the mean of their season by this share of what the warmest month is warmer than the coldest (as a
standard deviation; fitted to two published years of hours, see the tests)."""
TURNS = tuple(NormalDist().inv_cdf((i + 0.5) / 9) for i in range(9))
"""Equally likely days, from cold to warm, in standard deviations."""
COLD = (11, 12, 1, 2, 3)
"""Northern months whose cold counts (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Seasons:
    """Winter chill of a usual year [h from 0 to 7.2 deg C] and its warmth [degree days over 10 deg C]; by month."""

    chill_by_month_h: tuple[float, ...]
    warmth_by_month: tuple[float, ...]

    @property
    def chill_h(self) -> float:
        """Return the hours of chill of a winter [h]."""
        return sum(self.chill_by_month_h)

    @property
    def warmth(self) -> float:
        """Return the degree days of a year [deg C d]."""
        return sum(self.warmth_by_month)


def seasons(climate: Climate, *, southern: bool = False) -> Seasons | None:
    """Return winter chill and summer warmth from monthly normals; None where they are not known."""
    if climate.t_min_c is None or climate.t_max_c is None:
        return None
    lows, highs = _days(climate.t_min_c), _days(climate.t_max_c)
    means = [(a + b) / 2 for a, b in zip(climate.t_min_c, climate.t_max_c, strict=True)]
    shifts = [DAYS_DIFFER * (max(means) - min(means)) * turn for turn in TURNS]
    cold = {(m + 5) % 12 + 1 for m in COLD} if southern else set(COLD)
    chill, warmth, first = [], [], 0
    for month, length in enumerate(LENGTHS, start=1):
        part = slice(first, first + length)
        hours = _hours(lows[part], highs[part])
        chill.append(sum(float(chill_hours(hours + s)) for s in shifts) / len(shifts) if month in cold else 0.0)
        middles = ((lows[part] + highs[part]) / 2).tolist()
        warmth.append(sum(degree_days(m + s, m + s, WARM_C) for m in middles for s in shifts) / len(shifts))
        first += length
    return Seasons(tuple(chill), tuple(warmth))


def _days(months: tuple[float, ...]) -> NDArray[np.float64]:
    """Return 365 daily values that run straight from the middle of one month to the next."""
    import numpy as np

    middles = np.cumsum((0, *LENGTHS[:-1])) + np.array(LENGTHS) / 2
    return np.asarray(np.interp(np.arange(365) + 0.5, middles, months, period=365), np.float64)


def _hours(lows: NDArray[np.float64], highs: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the temperatures of the hours of days: lowest at four, highest at sixteen [deg C]."""
    import numpy as np

    wave = (1 - np.cos((np.arange(24) - 3.5) / 24 * 2 * np.pi)) / 2
    return np.asarray(lows[:, None] + (highs - lows)[:, None] * wave[None, :], np.float64)


def told(climate: Climate, *, southern: bool = False, feet: bool = False) -> tuple[str, ...]:
    """Return what is known of a climate as sentences: the zone, frost days with their chance, chill, warmth.

    ``feet``: in degrees Fahrenheit and inches.
    """
    out = []
    if climate.zone is not None and climate.extreme_min_c is not None:
        low = f"{climate.extreme_min_c * 1.8 + 32:.0f} °F" if feet else f"{climate.extreme_min_c:g} °C"
        out.append(f"Each winter's lowest is {low} in the mean: zone {climate.zone}.")
    for one in climate.frosts:
        tenths = round(one.chance * 10)
        chance = "one year in ten" if tenths <= 1 else f"{tenths} years in ten"
        out.append(
            f"Frost comes after {day_words(one.last_spring)} in spring, and before {day_words(one.first_autumn)} in autumn, in {chance}:"
            f" {one.free_days()} days between."
        )
    found = seasons(climate, southern=southern)
    if found is not None:
        out.append(
            f"A usual winter has about {found.chill_h:.0f} hours of chill ({'32 to 45 °F' if feet else '0 to 7.2 °C'}), a usual"
            f" year about {found.warmth * (1.8 if feet else 1):.0f} degree days over {'50 °F' if feet else '10 °C'}."
        )
    if climate.rain_mm is not None:
        fallen = sum(climate.rain_mm)
        out.append(f"{fallen / 25.4:.0f} in of rain a year." if feet else f"{fallen:.0f} mm of rain a year.")
    return tuple(out)


def day_words(text: str) -> str:
    """Return ``05-07`` as people say it."""
    return f"{int(text[3:])} {MONTHS[int(text[:2]) - 1]}"
