"""Means: the money and hours of each year."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Self

from pydantic import Field, PrivateAttr

from quincunx.units.fields import Doc, YearMonth, field, hours, money
from quincunx.works.jobs import WORTH_SAID, Worth

Twelve = Annotated[tuple[float, ...], Field(min_length=12, max_length=12)]


class OneOff(Doc):
    """A sum that comes once."""

    month: YearMonth = field("Month")
    sum: int = money("Sum", ge=None)
    words: str = field("What it is", "")


class YearSum(Doc):
    """A year whose sum differs from the usual one."""

    year: int = field("Year", ge=1900, le=2199)
    sum: int = money("Sum")


class YearHours(Doc):
    """A year whose upkeep differs from the usual one."""

    year: int = field("Year", ge=1900, le=2199)
    hours: Twelve = field("Hours by month", unit="h")


class MonthHours(Doc):
    """Hours more or fewer in one month than there usually are: a friend's weekend, a holiday, two weekends lost."""

    month: YearMonth = field("Month")
    hours: float = field("Hours more (or fewer, with a minus)", unit="h", ge=-500, le=500)
    words: str = field("Why", "", max_length=80)


class Means(Doc):
    """What there is to spend: money and hours by year, what is carried over and what is kept back."""

    first_year: int = field("First year of the plan", 2027, ge=1900, le=2199)
    years: int = field("Years in the plan", 6, ge=1, le=30)
    sum_a_year: int = money("Sum a year", 0)
    other_years: tuple[YearSum, ...] = field("Years with another sum", ())
    one_off: tuple[OneOff, ...] = field("Sums that come once", ())
    opening: int = money("In hand at the start", 0, ge=None)
    carry_over: bool = field("What is left over goes to the next year", True)
    reserve: int = money("Kept back, never spent", 0)
    price_growth: float = field("Prices rise a year", 0.0, unit="share", ge=-0.5, le=1.0)
    waiting: float = field(
        "A year of use counts for less with each year of waiting", 0.04, unit="share", ge=0.0, le=0.5
    )
    ten_kilos: Worth = field(
        "How much ten kilograms of harvest a year matter",
        "none",
        help="beside what the jobs matter that plant them",
        said=WORTH_SAID | {"none": "not by the kilogram"},
    )
    hours_by_month: Twelve = field("Hours there are in each month", (0.0,) * 12, unit="h")
    hours_once: tuple[MonthHours, ...] = field("Helpers, holidays and lost weekends", ())
    upkeep_by_month: Twelve = field("Hours set aside for upkeep in each month", (0.0,) * 12, unit="h")
    upkeep_other_years: tuple[YearHours, ...] = field("Years with other upkeep", ())
    large_a_year: int = field("Large works in one year, at most", 1, ge=0, le=12)
    hourly_rate: int | None = money("What an hour of hired work costs", None)
    spare_hours: float = hours("Hours to keep free each month", 0.0)

    _now: int | None = PrivateAttr(None)
    _fits: Mapping[str, frozenset[int]] = PrivateAttr(default_factory=dict)

    @property
    def now(self) -> int | None:
        """Return the month in which the garden is read (from January of year 0); None where nobody said."""
        return self._now

    @property
    def fits(self) -> Mapping[str, frozenset[int]]:
        """Return the months of the year (1-12) that begun jobs fit in by their works, {job: months}, where that was told."""
        return self._fits

    def read_in(self, now: int | None, fits: Mapping[str, frozenset[int]] | None = None) -> Self:
        """Return the same means as they are read in the month ``now`` (from January of year 0); the file holds none of it."""
        found = self.model_copy()
        found._now, found._fits = now, dict(fits or {})  # noqa: SLF001 - its own
        return found

    def changed(self, **fields: Any) -> Self:
        """Return a validated copy with some fields replaced, read in the same month."""
        found = super().changed(**fields)
        return found if self._now is None else found.read_in(self._now, self._fits)

    @property
    def all_years(self) -> range:
        """Return the calendar years of the plan."""
        return range(self.first_year, self.first_year + self.years)

    def income(self, year: int) -> int:
        """Return the sum that comes in during ``year`` [minor units]."""
        usual = next((y.sum for y in self.other_years if y.year == year), self.sum_a_year)
        return usual + sum(o.sum for o in self.one_off if o.month[:4] == f"{year:04d}")

    def given(self, year: int) -> tuple[float, ...]:
        """Return the hours there are in each month of ``year``, helpers and holidays counted, never below none [h]."""
        more = [0.0] * 12
        for one in self.hours_once:
            if one.month[:4] == f"{year:04d}":
                more[int(one.month[5:]) - 1] += one.hours
        return tuple(max(usual + extra, 0.0) for usual, extra in zip(self.hours_by_month, more, strict=True))

    def upkeep(self, year: int) -> tuple[float, ...]:
        """Return the typed upkeep hours of each month of ``year`` [h]."""
        return next((y.hours for y in self.upkeep_other_years if y.year == year), self.upkeep_by_month)
