"""Money and hours by year: what comes in, what the jobs take, what is left."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from quincunx.units.dates import month_index
from quincunx.works.jobs import Job
from quincunx.works.means import Means
from quincunx.works.prices import Entry

N = TypeVar("N", int, float)


@dataclass(frozen=True, slots=True)
class YearMoney:
    """One year's money [minor units] and hours [h]; ``left`` is what goes on to the next year."""

    year: int
    income: int
    spent: int
    left: int
    given_h: float
    upkeep_h: float
    worked_h: float

    @property
    def spare_h(self) -> float:
        """Return the hours left after upkeep and works [h]."""
        return self.given_h - self.upkeep_h - self.worked_h


def done_month(job: Job, journal: Iterable[Entry]) -> int | None:
    """Return the last month of ``job`` (months since year 0): as the journal says, else as planned, else None."""
    days = [e.day for e in journal if e.what == "done" and e.about == job.id]
    if days:
        return month_index(max(days)[:7])
    return None if job.start is None else month_index(job.start) + job.months - 1


def spread_cost(job: Job, journal: Iterable[Entry], growth: float, first_year: int) -> dict[int, int]:
    """Return what ``job`` costs in each month {month number: minor units}: as the journal says once done, else as planned.

    Planned sums fall in the month in which each is due, priced up by ``growth`` a year from ``first_year``.  Of a job
    that is paid for in part, the rest falls due with its last sum, or in its last month where that month is over.
    """
    entries = [e for e in journal if e.about == job.id]
    paid: dict[int, int] = {}
    for e in entries:
        if e.sum is not None:
            paid[month_index(e.day[:7])] = paid.get(month_index(e.day[:7]), 0) + e.sum
    due = _due(job, growth, first_year)
    if not paid or _done(entries):
        return paid or due
    rest = sum(due.values()) - sum(paid.values())
    last = max(due, default=0)
    if job.start is not None and last <= max(paid):
        last = month_index(job.start) + job.months - 1
    return _with_rest(paid, rest, last)


def spent_elsewhere(jobs: Iterable[Job], journal: Iterable[Entry]) -> dict[int, int]:
    """Return the sums written down that are no job's {month number: minor units}: a guard for a hedge, plants had again."""
    known, paid = {job.id for job in jobs}, dict[int, int]()
    for e in journal:
        if e.sum and e.about not in known:
            month = month_index(e.day[:7])
            paid[month] = paid.get(month, 0) + e.sum
    return paid


def spread_hours(job: Job, journal: Iterable[Entry]) -> dict[int, float]:
    """Return the own hours of ``job`` in each month {month number: h}, even over its months, or as the journal says.

    Of a job that is worked on but not done, the rest falls in its last month.
    """
    entries = [e for e in journal if e.about == job.id]
    worked: dict[int, float] = {}
    for e in entries:
        if e.hours is not None:
            worked[month_index(e.day[:7])] = worked.get(month_index(e.day[:7]), 0.0) + e.hours
    due = {}
    if job.start is not None and job.hours:
        first = month_index(job.start)
        due = {first + i: job.hours / job.months for i in range(job.months)}
    if not worked or _done(entries):
        return worked or due
    rest = sum(due.values()) - sum(worked.values())
    return _with_rest(worked, rest, max(due, default=0))


def _due(job: Job, growth: float, first_year: int) -> dict[int, int]:
    if job.start is None:
        return {}
    due = [(month_index(job.start) + later, sum_) for later, sum_ in job.instalments]
    return {month: round(sum_ * (1 + growth) ** max(0, month // 12 - first_year)) for month, sum_ in due}


def _done(entries: Iterable[Entry]) -> bool:
    return any(e.what == "done" for e in entries)


def _with_rest(written: dict[int, N], rest: N, last: int) -> dict[int, N]:
    """Return what is written by month, and what is left in the last month planned or written, whichever is later."""
    if rest <= 0:
        return written
    month = max(last, *written)
    return {**written, month: written.get(month, 0) + rest}


def ledger(
    means: Means,
    jobs: Iterable[Job],
    journal: Iterable[Entry] = (),
    upkeep: Mapping[int, tuple[float, ...]] | None = None,
) -> tuple[YearMoney, ...]:
    """Return one :class:`YearMoney` for each year of the plan; what was spent on no job counts in its year too.

    ``upkeep`` {year: twelve hours} replaces the typed upkeep where given.  Money left is carried over when the
    means say so; a shortfall always is.
    """
    all_jobs, entries = sorted(jobs, key=lambda j: j.id), tuple(journal)
    costs: dict[int, int] = {}
    work: dict[int, float] = {}
    for job in all_jobs:
        for month, sum_ in spread_cost(job, entries, means.price_growth, means.first_year).items():
            costs[month // 12] = costs.get(month // 12, 0) + sum_
        for month, h in spread_hours(job, entries).items():
            work[month // 12] = work.get(month // 12, 0.0) + h
    for month, sum_ in spent_elsewhere(all_jobs, entries).items():
        costs[month // 12] = costs.get(month // 12, 0) + sum_
    rows, left = [], means.opening
    for year in means.all_years:
        income, spent = means.income(year), costs.get(year, 0)
        left = left + income - spent
        care = sum((upkeep or {}).get(year, means.upkeep(year)))
        rows.append(YearMoney(year, income, spent, left, sum(means.given(year)), care, work.get(year, 0.0)))
        if not means.carry_over:
            left = min(left, 0)
    return tuple(rows)
