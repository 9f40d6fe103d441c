"""The day and hour at which a view is drawn: told in plain words (an evening in September), exactly, or left to the program."""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date, time

from quincunx.scene import Timeline
from quincunx.sheets._outlooks import photo_day
from quincunx.sheets.book import SheetError
from quincunx.units.dates import MONTHS

HALF_YEAR = 6
HOUR = re.compile(r"(\d{1,2})(?::(\d{2}))?")
DAY = re.compile(r"(\d{1,2})-(\d{1,2})")


@dataclass(frozen=True)
class Moment:
    """When a view is drawn; what is None is left to the program.

    ``year`` alone draws that year only, ``day`` is (month, day of the month), ``hour`` counts from midnight by the clock [h].
    """

    year: int | None = None
    day: tuple[int, int] | None = None
    hour: float | None = None

    def on(self, through: Timeline, year: int) -> date:
        """Return the day that is drawn in a year; the 29th of February is the 28th where there is none."""
        if self.day is None:
            return photo_day(through, year)
        month, day = self.day
        return date(year, month, min(day, calendar.monthrange(year, month)[1]))


USUAL = Moment()
"""All left to the program: the end of June, and an hour with the sun to one side."""


@dataclass(frozen=True)
class Told:
    """A moment by its plain words; the month is that of the northern half of the world."""

    id: str
    words: str
    month: int
    day: int
    hour: float

    def moment(self, *, southern: bool, year: int | None = None) -> Moment:
        """Return the moment where the garden lies: in the south the same season, half a year later."""
        return Moment(year, (_month(self.month, southern=southern), self.day), self.hour)

    def said(self, *, southern: bool) -> str:
        """Return its words with the month it is in."""
        return self.words.format(month=MONTHS[_month(self.month, southern=southern) - 1])


TOLD = (
    Told("spring-morning", "a morning in {month}", 5, 15, 9.0),
    Told("midsummer-noon", "noon at midsummer", 6, 21, 12.0),
    Told("autumn-evening", "an evening in {month}", 9, 15, 18.0),
    Told("midwinter-noon", "noon at midwinter", 12, 21, 12.0),
)
"""What can be asked for in plain words; which day and hour that is, is our own choice."""


def _month(month: int, *, southern: bool) -> int:
    return (month - 1 + HALF_YEAR) % 12 + 1 if southern else month


def asked(typed: str, *, southern: bool, year: int | None = None) -> Moment:
    """Return the moment of plain words by their id, or of a day such as ``05-15``; nothing typed leaves the day open.

    :class:`SheetError` for anything else.
    """
    if not typed:
        return Moment(year)
    known = next((one for one in TOLD if one.id == typed), None)
    if known is not None:
        return known.moment(southern=southern, year=year)
    try:
        return Moment(year, read_day(typed))
    except SheetError as error:
        raise SheetError(f"{error} Or one of: {', '.join(one.id for one in TOLD)}.") from None


def read_hour(typed: str) -> float:
    """Return an hour of the clock written as ``17`` or ``17:30`` [h]; :class:`SheetError` for anything else."""
    found = HOUR.fullmatch(typed.strip())
    if found is None or int(found[1]) > 23 or int(found[2] or 0) > 59:
        raise SheetError(f"{typed!r} is no hour of the clock. Write 9, or 17:30.")
    return int(found[1]) + int(found[2] or 0) / 60


def read_day(typed: str) -> tuple[int, int]:
    """Return (month, day) of a day written as ``05-15`` (month, then day); :class:`SheetError` for anything else."""
    found = DAY.fullmatch(typed.strip())
    month, day = (int(found[1]), int(found[2])) if found else (0, 0)
    if not 1 <= month <= 12 or not 1 <= day <= calendar.monthrange(2028, month)[1]:
        raise SheetError(f"{typed!r} is no day of the year. Write month and day, such as 05-15.")
    return month, day


def clock(hour: float) -> time:
    """Return the time of an hour counted from midnight [h], to the minute."""
    minutes = min(round(hour * 60), 24 * 60 - 1)
    return time(minutes // 60, minutes % 60)


def moment_words(on: date, hour: float, *, by_clock: bool) -> str:
    """Return a day without its year and an hour in words."""
    at = clock(hour)
    return f"{on.day} {MONTHS[on.month - 1]} at {at.hour}:{at.minute:02d} by the {'clock' if by_clock else 'sun'}"
