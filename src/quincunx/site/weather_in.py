"""A place's usual weather out of days or hours of it: monthly normals, frosts with their chance, zone, chill, warmth.

Days come from a CSV table (:func:`quincunx.site.frosts.read_days`), hours from an EPW file, the open format of
EnergyPlus weather data; its fields are numbered in the EnergyPlus documentation, Auxiliary programs, "EnergyPlus weather
file (EPW) data dictionary" (read in version 24.1.0): eight lines of heads, then 35 fields an hour, of which 1 to 4 are the
time (hour 1 ends at one o'clock), 7 the dry bulb [deg C], 9 the relative humidity [%], 21 the wind's direction [deg] and
22 its speed [m/s].  What is as great as the value listed for a missing one is missing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from quincunx.site.frosts import (
    Day,
    as_frosts,
    chill_hours,
    degree_days,
    extreme_minimum_c,
    frost_dates,
    hot_days,
    read_days,
    utah_units,
)
from quincunx.site.monthly_in import is_monthly, read_monthly
from quincunx.site.seasons import day_words

CHANCE = 0.1
"""Frost dates are kept for this chance of frost outside them: one year in ten."""
WET_MM = 1.0
"""A day with so much rain counts as rainy [mm]."""
LEAST_DAYS = 330
"""Fewer days than this are no year of weather."""
EPW_HEAD, EPW_FIELDS = 8, 22
EPW_MISSING = {6: 99.9, 8: 999.0, 20: 999.0, 21: 999.0}
"""Values from which on a field counts as missing, by its place from 0."""
EPW_WORDS = {
    1: "the month", 2: "the day", 3: "the hour", 6: "the temperature", 8: "the humidity", 20: "the wind's direction",
    21: "the wind's speed",
}  # fmt: skip
"""What the fields that are read hold, by their place from 0."""
MOST_FAULTS = 20


@dataclass(frozen=True, slots=True)
class WeatherIn:
    """What was found: the fields of the site's climate, sentences for the person, and what couldn't be read."""

    climate: Mapping[str, Any]
    says: tuple[str, ...]
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Hour:
    """An hour of weather; None where a value is missing."""

    on: date
    hour: int
    temperature_c: float
    rh_percent: float | None
    wind_from_deg: float | None
    wind_m_s: float | None


def from_days(
    days: Sequence[Day], faults: Sequence[str] = (), *, southern: bool = False, feet: bool = False
) -> WeatherIn:
    """Return the climate of many days; nothing but faults where they are too few for a year.

    ``feet``: said in degrees Fahrenheit and inches.
    """
    if len(days) < LEAST_DAYS:
        few = f"There are {len(days)} days that can be read; a year of them is needed, ten or more are better."
        return WeatherIn({}, (), (*faults, few))
    found: dict[str, Any] = {
        "t_min_c": _by_month(days, lambda d: d.low_c), "t_max_c": _by_month(days, lambda d: d.high_c),
    }  # fmt: skip
    years = len({d.on.year for d in days})
    says = [f"{len(days)} days from {days[0].on} to {days[-1].on}."]
    says += _frosts(days, found, years, southern=southern)
    says += _rain(days, found, feet=feet)
    extreme = extreme_minimum_c(days, southern=southern)
    if extreme is not None:
        from quincunx.site.climate import usda_zone

        found["extreme_min_c"] = round(extreme, 1)
        low = f"{extreme * 1.8 + 32:.0f} °F" if feet else f"{extreme:.1f} °C"
        says.append(f"Each winter's lowest is {low} in the mean: zone {usda_zone(extreme)}.")
    warm = sum(degree_days(d.low_c, d.high_c) for d in days) / (len(days) / 365.25)
    says.append(_warm(warm, hot_days(days), " a year", feet=feet))
    if years < 10:
        says.append(f"{years} year{'s are' if years > 1 else ' is'} few: frost dates want ten or more, better thirty.")
    return WeatherIn(found, tuple(says), tuple(faults))


def _by_month(days: Sequence[Any], value: Callable[[Any], float | None]) -> list[float]:
    out = []
    for month in range(1, 13):
        those = [v for d in days if d.on.month == month and (v := value(d)) is not None and not math.isnan(v)]
        out.append(round(sum(those) / len(those), 1) if those else 0.0)
    return out


def _frosts(days: Sequence[Day], found: dict[str, Any], years: int, *, southern: bool) -> list[str]:
    dates = frost_dates(days, southern=southern)
    if not dates.last or not dates.first:
        return ["No frost in these years."]
    kept = as_frosts(dates, CHANCE)
    usual = as_frosts(dates, 0.5)
    found["frosts"] = [{"last_spring": kept.last_spring, "first_autumn": kept.first_autumn, "chance": CHANCE}]
    rare = min(len(dates.last), len(dates.first))
    more = f" ({rare} of {years} years had frost on both sides)" if rare < years else ""
    last, late = day_words(usual.last_spring), day_words(kept.last_spring)
    first, early = day_words(usual.first_autumn), day_words(kept.first_autumn)
    told = f"The last frost of spring is about {last} in every second year, after {late} in one of ten; the first of autumn"
    return [f"{told} about {first}, before {early} in one of ten{more}."]


def _warm(degrees: float, hot: float, of: str, *, feet: bool) -> str:
    if feet:
        return f"{degrees * 1.8:.0f} degree days over 50 °F{of}; {hot:.0f} days over 86 °F."
    return f"{degrees:.0f} degree days over 10 °C{of}; {hot:.0f} days over 30 °C."


def _rain(days: Sequence[Day], found: dict[str, Any], *, feet: bool = False) -> list[str]:
    known = [d for d in days if not math.isnan(d.rain_mm)]
    if len(known) < LEAST_DAYS:
        return ["The table has no rain."]
    length = [31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    mean = _means(known, lambda d: d.rain_mm)
    wet = _means(known, lambda d: float(d.rain_mm >= WET_MM))
    found["rain_mm"] = [round(m * n, 1) for m, n in zip(mean, length, strict=True)]
    found["rain_days"] = [round(m * n, 1) for m, n in zip(wet, length, strict=True)]
    fallen = sum(found["rain_mm"])
    much = f"{fallen / 25.4:.0f} in" if feet else f"{fallen:.0f} mm"
    return [f"{much} of rain a year on {sum(found['rain_days']):.0f} days."]


def _means(days: Sequence[Day], value: Callable[[Day], float]) -> list[float]:
    groups: dict[int, list[float]] = {m: [] for m in range(1, 13)}
    for d in days:
        groups[d.on.month].append(value(d))
    return [sum(g) / len(g) if g else 0.0 for g in groups.values()]


def read_weather(text: str, *, southern: bool = False, feet: bool = False) -> WeatherIn:
    """Return what a table of days or months (CSV) or a file of hours (EPW) says of a climate; nothing is raised."""
    if is_monthly(text):
        return WeatherIn(*read_monthly(text))
    if is_epw(text):
        hours, faults = read_epw(text)
        return from_hours(hours, faults, southern=southern, feet=feet)
    read = read_days(text)
    return from_days(read.days, read.faults, southern=southern, feet=feet)


def read_epw(text: str) -> tuple[list[Hour], tuple[str, ...]]:
    """Return the hours of an EPW file, and a sentence for each line that can't be read (the first few)."""
    lines = text.lstrip("\ufeff").splitlines()
    if not is_epw(text) or len(lines) <= EPW_HEAD:
        return [], ("This is no EPW file: its first line begins with LOCATION, and hours follow after eight lines.",)
    hours, faults = [], list[str]()
    for n, line in enumerate(lines[EPW_HEAD:], start=EPW_HEAD + 1):
        if not line.strip():
            continue
        try:
            hours.append(_hour(line.split(",")))
        except ValueError as fault:
            faults.append(f"Line {n} can't be read: {_why(line.split(',')) or fault}.")
    return hours, tuple(faults[:MOST_FAULTS])


def is_epw(text: str) -> bool:
    """Return whether a text begins as an EPW file does."""
    return text.lstrip("\ufeff")[:9].upper() == "LOCATION,"


def _why(cells: Sequence[str]) -> str:
    """Return which field of an hour is no number, in words; "" if all that are read are."""
    for k, words in EPW_WORDS.items():
        try:
            float(cells[k])
        except ValueError:
            return f"{words} (field {k + 1}) is {cells[k][:20]!r}, and a number is expected"
        except IndexError:
            return f"it has {len(cells)} fields, and 35 are expected for an hour"
    return ""


def _hour(cells: Sequence[str]) -> Hour:
    if len(cells) < EPW_FIELDS:
        raise ValueError
    values = {k: float(cells[k]) for k in EPW_MISSING}
    known = {k: None if v >= EPW_MISSING[k] else v for k, v in values.items()}
    temperature = known[6]
    if temperature is None:
        raise ValueError("its temperature is missing")
    # The years of the months differ: typical months of many years are put together. 2027 stands for them all.
    on = date(2027, int(cells[1]), min(int(cells[2]), 28) if int(cells[1]) == 2 else int(cells[2]))
    return Hour(on, int(cells[3]), temperature, known[8], known[20], known[21])


def from_hours(
    hours: Sequence[Hour], faults: Sequence[str] = (), *, southern: bool = False, feet: bool = False
) -> WeatherIn:
    """Return the climate of a year of hours: normals, humidity, wind and its side, winter chill.

    A typical year put together of many says nothing of frost dates or extremes: these are not taken from it.
    """
    by_day: dict[date, list[float]] = {}
    for h in hours:
        by_day.setdefault(h.on, []).append(h.temperature_c)
    if len(by_day) < LEAST_DAYS:
        return WeatherIn({}, (), (*faults, f"There are {len(by_day)} days of hours; a whole year is needed."))
    days = [Day(on, min(t), max(t)) for on, t in sorted(by_day.items())]
    found: dict[str, Any] = {
        "t_min_c": _by_month(days, lambda d: d.low_c), "t_max_c": _by_month(days, lambda d: d.high_c),
        "rh_percent": _by_month(hours, lambda h: h.rh_percent), "wind_m_s": _by_month(hours, lambda h: h.wind_m_s),
        "wind_from_deg": _sides(hours),
    }  # fmt: skip
    cold = (5, 6, 7, 8, 9) if southern else (11, 12, 1, 2, 3)
    winter = [h.temperature_c for h in hours if h.on.month in cold]
    warm = sum(degree_days(d.low_c, d.high_c) for d in days)
    cool = "32 to 45 °F" if feet else "0 to 7.2 °C"
    says = [
        f"{len(hours)} hours of a typical year.",
        f"Winter chill: {chill_hours(winter)} hours from {cool}, {utah_units(winter):.0f} Utah units in five months.",
        _warm(warm, hot_days(days), "", feet=feet),
        "Rain, frost dates and the coldest night are not in a typical year: take them from a table of days.",
    ]
    return WeatherIn(found, tuple(says), tuple(faults))


def _sides(hours: Sequence[Hour]) -> list[float]:
    """Return the side the wind mostly comes from in each month, weighted by its speed [deg]."""
    out = []
    for month in range(1, 13):
        east = north = 0.0
        for h in hours:
            if h.on.month == month and h.wind_from_deg is not None and h.wind_m_s is not None:
                east += h.wind_m_s * math.sin(math.radians(h.wind_from_deg))
                north += h.wind_m_s * math.cos(math.radians(h.wind_from_deg))
        out.append(round(math.degrees(math.atan2(east, north)) % 360.0, 0) % 360.0)
    return out
