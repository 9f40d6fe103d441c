"""Months and days as people write them: ``2027-03``, ``March 2027``, ``12 March 2027``.

Inside, a month is the text ``2027-03`` and a day a :class:`datetime.date`.  A date that could be read
day first or month first is refused with both readings.  Nothing here knows today's date.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterable, Sequence
from datetime import date
from itertools import pairwise

from quincunx.units._numbers import clean
from quincunx.units.errors import AmbiguousNumber, UnitsError, unreadable

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
"""The months' names, January first."""

YEARS = (1900, 2199)
"""The first and the last year that are read."""

_MONTH_EXAMPLES = "a month and a year, such as 2027-03 or March 2027"
_DAY_EXAMPLES = "a day, such as 2027-03-12 or 12 March 2027"
_YEAR_MONTH = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})")
_MONTH_YEAR = re.compile(r"([0-9]{1,2})[-/.]([0-9]{4})")
_NAME_YEAR = re.compile(r"([a-z]{3,9})\.?,? ?([0-9]{4}|'?[0-9]{2}|[0-9])")
_ISO_DAY = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})")
_TWO_FIRST = re.compile(r"([0-9]{1,2})([-/.]) ?([0-9]{1,2})\2 ?([0-9]{4})")
_DAY_NAME = re.compile(r"([0-9]{1,2})(?:st|nd|rd|th)?\.?[ -]?([a-z]{3,9})\.?,?[ -]?([0-9]{4})")
_NAME_DAY = re.compile(r"([a-z]{3,9})\.? ([0-9]{1,2})(?:st|nd|rd|th)?,? ([0-9]{4})")


def in_turn(months: Iterable[int]) -> tuple[int, ...]:
    """Return months of the year (1 to 12), each once, as they follow each other: from after the longest pause."""
    each = sorted(set(months))
    if not each:
        return ()
    pauses = [(each[k] - each[k - 1] - 1) % 12 for k in range(len(each))]
    first = pauses.index(max(pauses))
    return tuple(each[first:] + each[:first])


def unbroken(months: Sequence[int]) -> bool:
    """Tell whether months, as :func:`in_turn` gives them, follow each other without a pause."""
    return all(b == a % 12 + 1 for a, b in pairwise(months))


def parse_month(text: str) -> str:
    """Read a month and return it as ``2027-03``.

    ``Mar 27`` is refused: it may be March 2027 or the 27th of some March.
    """
    plain = clean(text, "a month", _MONTH_EXAMPLES)
    if match := _YEAR_MONTH.fullmatch(plain):
        return _month(int(match[1]), int(match[2]), text)
    if match := _MONTH_YEAR.fullmatch(plain):
        return _month(int(match[2]), int(match[1]), text)
    match = _NAME_YEAR.fullmatch(plain)
    number = _number(match[1]) if match else 0
    if match is None or not number:
        raise unreadable(text, "a month", _MONTH_EXAMPLES)
    if match[2].startswith("'"):
        return _month(2000 + int(match[2][1:]), number, text)
    if len(match[2]) == 4:
        return _month(int(match[2]), number, text)
    if not 1 <= int(match[2]) <= 31:
        raise unreadable(text, "a month", "the year in four digits, such as March 2027")
    name = MONTHS[number - 1]
    raise AmbiguousNumber(text, (f"{name} 20{match[2]:0>2}", f"{int(match[2])} {name}"))


def _month(year: int, month: int, text: str) -> str:
    if not (YEARS[0] <= year <= YEARS[1] and 1 <= month <= 12):
        raise unreadable(text, "a month", f"a month from 1 to 12 and a year from {YEARS[0]} to {YEARS[1]}")
    return f"{year:04d}-{month:02d}"


def _number(name: str) -> int:
    """Return the number of the month whose name begins with ``name`` (three letters at least), or 0."""
    name = "sep" if name == "sept" else name
    return next((at for at, full in enumerate(MONTHS, 1) if full.casefold().startswith(name)), 0)


def parse_day(text: str) -> date:
    """Read a day; ``3/4/2027`` is refused with both readings, while ``3.4.2027`` is day first."""
    plain = clean(text, "a day", _DAY_EXAMPLES)
    if match := _ISO_DAY.fullmatch(plain):
        return _day(int(match[1]), int(match[2]), int(match[3]), text)
    if match := _TWO_FIRST.fullmatch(plain):
        return _numeric(int(match[1]), int(match[3]), int(match[4]), match[2], text)
    if match := _DAY_NAME.fullmatch(plain):
        return _day(int(match[3]), _number(match[2]), int(match[1]), text)
    if match := _NAME_DAY.fullmatch(plain):
        return _day(int(match[3]), _number(match[1]), int(match[2]), text)
    raise unreadable(text, "a day", _DAY_EXAMPLES)


def _numeric(first: int, second: int, year: int, mark: str, text: str) -> date:
    if mark == "." or first > 12 or first == second:
        return _day(year, second, first, text)
    if second > 12:
        return _day(year, first, second, text)
    readings = (_day(year, second, first, text), _day(year, first, second, text))
    raise AmbiguousNumber(text, tuple(format_day(day) for day in readings))


def _day(year: int, month: int, day: int, text: str) -> date:
    if not (YEARS[0] <= year <= YEARS[1] and 1 <= month <= 12):
        raise unreadable(text, "a day", _DAY_EXAMPLES)
    last = monthrange(year, month)[1]
    if not 1 <= day <= last:
        raise UnitsError(f'"{text}": {MONTHS[month - 1]} {year} has {last} days; expected a day from 1 to {last}')
    return date(year, month, day)


def format_month(month: str) -> str:
    """Write ``2027-03`` as ``March 2027``."""
    year, number = divmod(month_index(month), 12)
    return f"{MONTHS[number]} {year}"


def format_day(day: date) -> str:
    """Write a day as ``12 March 2027``, which reads one way everywhere."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def month_index(month: str) -> int:
    """Return the months from January of year 0 to ``month`` (``2027-03`` -> 24326), for counting."""
    match = re.fullmatch(r"([0-9]{4})-(0[1-9]|1[0-2])", month)
    if match is None:
        raise unreadable(month, "a month", "the form 2027-03")
    return int(match[1]) * 12 + int(match[2]) - 1


def month_from_index(index: int) -> str:
    """Return the month of an index: the inverse of :func:`month_index`."""
    year, month = divmod(index, 12)
    if not 0 <= year <= 9999:
        raise UnitsError(f"got month number {index}; expected one in the years 0 to 9999")
    return f"{year:04d}-{month + 1:02d}"


def add_months(month: str, months: int) -> str:
    """Return the month that lies ``months`` later (earlier if negative)."""
    return month_from_index(month_index(month) + months)


def month_of(day: date) -> str:
    """Return the month in which a day lies."""
    return f"{day.year:04d}-{day.month:02d}"


def first_day(month: str) -> date:
    """Return the first day of a month."""
    year, number = divmod(month_index(month), 12)
    return date(year, number + 1, 1)


def last_day(month: str) -> date:
    """Return the last day of a month."""
    year, number = divmod(month_index(month), 12)
    return date(year, number + 1, monthrange(year, number + 1)[1])
