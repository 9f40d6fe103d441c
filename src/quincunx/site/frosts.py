"""Frost dates, hardiness, warmth and winter cold from daily or hourly temperatures.

References:
    Freeze probabilities: the chance is that of the threshold being reached LATER than the spring date or EARLIER than
    the autumn one (NOAA NCEI freeze data; Midwestern Regional Climate Center: early is the 10th, late the 90th
    percentile).  Percentiles by straight lines between the ranked dates (type 7 of Hyndman and Fan 1996, The American
    Statistician 50:361-365).
    Chill: Richardson EA, Seeley SD, Walker DR 1974. HortScience 9:331-332 (Utah units).
    Degree days: (max + min)/2 less the base; the modified method caps the day at 30 deg C and lifts the night to 10
    (McMaster GS, Wilhelm WW 1997, Agric. For. Meteorol. 87:291-300; NOAA; from memory).
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from quincunx.site.climate import Frosts

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

UTAH_F: tuple[tuple[float, float], ...] = (
    (34.0, 0.0), (36.0, 0.5), (48.0, 1.0), (54.0, 0.5), (60.0, 0.0), (65.0, -0.5), (float("inf"), -1.0),
)  # fmt: skip
"""Utah chill units of an hour: up to each temperature [deg F], so many.  The first paper's Celsius limits (1.4, 2.4, 9.1,
12.4, 15.9, 18.0) lie up to half a degree off these; they give some 5 in 100 more in a mild winter."""
CHILL_UP_TO_C = 7.22
"""An hour of chill is one from 0 to 7.22 deg C (32 to 45 F)."""


@dataclass(frozen=True, slots=True)
class Day:
    """One day's lowest and highest temperature [deg C] and rain [mm] (NaN where not given)."""

    on: date
    low_c: float
    high_c: float
    rain_mm: float = float("nan")


@dataclass(frozen=True, slots=True)
class FrostDates:
    """Last frosts of spring and first of autumn by year, as days of a year of 365 (1 January is 1)."""

    threshold_c: float
    last: Mapping[int, int]
    first: Mapping[int, int]

    def spring(self, chance: float = 0.1) -> float:
        """Return the day of the year after which a frost still comes with ``chance``."""
        return percentile(list(self.last.values()), 1 - chance)

    def autumn(self, chance: float = 0.1) -> float:
        """Return the day of the year before which a frost already comes with ``chance``."""
        return percentile(list(self.first.values()), chance)


def day_of_year(on: date) -> int:
    """Return the day of a year of 365: 29 February counts as the 28th."""
    start = date(2027, 1, 1)
    return (date(2027, on.month, min(on.day, 28) if on.month == 2 else on.day) - start).days + 1


def frost_dates(days: Iterable[Day], threshold_c: float = 0.0, *, southern: bool = False) -> FrostDates:
    """Return the last frost before and the first after midsummer of each year with a frost, northern or southern.

    A year without any on one side has no date there: its chance is not hidden in a made-up one.
    """
    last: dict[int, int] = {}
    first: dict[int, int] = {}
    middle = (1, 15) if southern else (7, 15)
    for d in days:
        if not d.low_c <= threshold_c:
            continue
        before = (d.on.month, d.on.day) < middle
        year, n = d.on.year, day_of_year(d.on)
        if southern:
            # From July on a southern winter's end; until then the next one's beginning.
            before = d.on.month >= 7
        if before:
            last[year] = max(last.get(year, 0), n)
        else:
            first[year] = min(first.get(year, 999), n)
    return FrostDates(threshold_c, last, first)


def percentile(values: Sequence[float], share: float) -> float:
    """Return the value below which ``share`` of ``values`` lies, straight between ranks; ValueError if there is none."""
    if not values:
        raise ValueError("no frost in any year: there is no date to give")
    ranked = sorted(values)
    place = share * (len(ranked) - 1)
    low = int(place)
    high = min(low + 1, len(ranked) - 1)
    return ranked[low] + (ranked[high] - ranked[low]) * (place - low)


def as_frosts(found: FrostDates, chance: float = 0.1) -> Frosts:
    """Return frost dates as the site keeps them."""
    spring, autumn = (_month_day(round(v)) for v in (found.spring(chance), found.autumn(chance)))
    return Frosts(last_spring=spring, first_autumn=autumn, chance=chance, threshold_c=found.threshold_c)


def _month_day(day: int) -> str:
    on = date.fromordinal(date(2027, 1, 1).toordinal() + min(max(day, 1), 365) - 1)
    return f"{on.month:02d}-{on.day:02d}"


def extreme_minimum_c(days: Iterable[Day], *, southern: bool = False) -> float | None:
    """Return the mean over whole winters of the lowest temperature of each [deg C]; None without a whole winter.

    A winter runs from July to June (January to December in the south), as for the USDA's zones.
    """
    lows: dict[int, float] = {}
    seen: dict[int, int] = {}
    for d in days:
        winter = d.on.year if southern or d.on.month >= 7 else d.on.year - 1
        lows[winter] = min(lows.get(winter, 99.0), d.low_c)
        seen[winter] = seen.get(winter, 0) + 1
    whole = [low for winter, low in lows.items() if seen[winter] >= WHOLE_DAYS]
    return sum(whole) / len(whole) if whole else None


WHOLE_DAYS = 360
"""A winter with fewer days than this known is left out."""


def degree_days(low_c: float, high_c: float, base_c: float = 10.0, *, modified: bool = False) -> float:
    """Return the degree days of one day [deg C d]; ``modified``: the day capped at 30 and the night lifted to 10 deg C."""
    if modified:
        high_c, low_c = max(min(high_c, 30.0), 10.0), min(max(low_c, 10.0), 30.0)
    return max(0.0, (high_c + low_c) / 2 - base_c)


def hot_days(days: Iterable[Day], over_c: float = 30.0) -> float:
    """Return the mean number of days a year hotter than ``over_c`` (AHS heat zones count those over 30 deg C) [d]."""
    known = list(days)
    years = len({d.on.year for d in known})
    return sum(d.high_c > over_c for d in known) / years if years else 0.0


def chill_hours(hourly_c: ArrayLike) -> int:
    """Return the hours from 0 to 7.22 deg C, both counted, in hourly temperatures [h]."""
    import numpy as np

    t = np.asarray(hourly_c, dtype=np.float64)
    return int(np.count_nonzero((t >= 0) & (t <= CHILL_UP_TO_C)))


def utah_units(hourly_c: ArrayLike) -> float:
    """Return the Utah chill units of hourly temperatures."""
    import numpy as np

    t = np.asarray(hourly_c, dtype=np.float64)
    limits, units = np.array([(f - 32) / 1.8 for f, _ in UTAH_F]), np.array([v for _, v in UTAH_F])
    return float(units[np.searchsorted(limits, t, side="left")].sum())


@dataclass(frozen=True, slots=True)
class DailyRead:
    """What a table of days holds, and a sentence for each line that couldn't be read (the first few)."""

    days: tuple[Day, ...]
    faults: tuple[str, ...]


NAMES = {
    "on": ("date", "day", "time"), "low": ("tmin", "t_min", "min", "minimum", "tmin_c", "tn"),
    "high": ("tmax", "t_max", "max", "maximum", "tmax_c", "tx"),
    "rain": ("rain", "prcp", "precipitation", "rain_mm", "rr", "precip"),
}  # fmt: skip
MOST_FAULTS = 20


def read_days(text: str) -> DailyRead:
    """Return the days of a CSV table with columns for date, lowest and highest temperature [deg C], and perhaps rain [mm].

    Dates are written 2027-05-10 (or 20270510).  Nothing is raised: what can't be read is a sentence.
    """
    lines = [line for line in text.lstrip("\ufeff").splitlines() if line.strip() and not line.startswith("#")]
    if not lines:
        return DailyRead((), ("The table is empty. Its first line names the columns: date, tmin, tmax.",))
    mark = max(",;\t", key=lines[0].count)
    rows = list(csv.reader(lines, delimiter=mark))
    head = [re.sub(r"[^a-z_]", "", c.casefold().replace("°c", "")) for c in rows[0]]
    at = {key: next((head.index(n) for n in names if n in head), None) for key, names in NAMES.items()}
    if at["on"] is None or at["low"] is None or at["high"] is None:
        return DailyRead((), ("The columns date, tmin and tmax are needed. Name them in the first line.",))
    days, faults = [], list[str]()
    for n, row in enumerate(rows[1:], start=2):
        try:
            days.append(_day(row, at))
        except (ValueError, IndexError):
            faults.append(f"Line {n} can't be read: {','.join(row)[:60]!r}. A date and two temperatures are expected.")
    return DailyRead(tuple(sorted(days, key=lambda d: d.on)), tuple(faults[:MOST_FAULTS]))


def _day(row: Sequence[str], at: Mapping[str, int | None]) -> Day:
    def cell(key: str) -> str:
        place = at[key]
        return "" if place is None else row[place].strip().replace(",", ".")

    text = cell("on")[:10]
    on = date.fromisoformat(text if "-" in text else f"{text[:4]}-{text[4:6]}-{text[6:8]}")
    low, high = float(cell("low")), float(cell("high"))
    if low > high or not -90 < low < 60:
        raise ValueError(f"{low} to {high}")
    return Day(on, low, high, float(cell("rain")) if cell("rain") else float("nan"))
