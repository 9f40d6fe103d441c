"""Money and hours by year: what comes in, what the jobs take, what is left."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from quincunx.units.dates import month_index
from quincunx.works.jobs import Job
from quincunx.works.means import Means
from quincunx.works.prices import Entry


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

    Planned sums fall in the month in which each is due, priced up by ``growth`` a year from ``first_year``.
    """
    entries = [e for e in journal if e.about == job.id and e.sum is not None]
    if entries:
        paid: dict[int, int] = {}
        for e in entries:
            paid[month_index(e.day[:7])] = paid.get(month_index(e.day[:7]), 0) + (e.sum or 0)
        return paid
    if job.start is None:
        return {}
    due = [(month_index(job.start) + later, sum_) for later, sum_ in job.instalments]
    return {month: round(sum_ * (1 + growth) ** max(0, month // 12 - first_year)) for month, sum_ in due}


def spread_hours(job: Job, journal: Iterable[Entry]) -> dict[int, float]:
    """Return the own hours of ``job`` in each month {month number: h}, even over its months."""
    entries = [e for e in journal if e.about == job.id and e.hours is not None]
    if entries:
        out: dict[int, float] = {}
        for e in entries:
            out[month_index(e.day[:7])] = out.get(month_index(e.day[:7]), 0.0) + (e.hours or 0.0)
        return out
    if job.start is None or not job.hours:
        return {}
    first = month_index(job.start)
    return {first + i: job.hours / job.months for i in range(job.months)}


def ledger(
    means: Means,
    jobs: Iterable[Job],
    journal: Iterable[Entry] = (),
    upkeep: Mapping[int, tuple[float, ...]] | None = None,
) -> tuple[YearMoney, ...]:
    """Return one :class:`YearMoney` for each year of the plan.

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
    rows, left = [], means.opening
    for year in means.all_years:
        income, spent = means.income(year), costs.get(year, 0)
        left = left + income - spent
        care = sum((upkeep or {}).get(year, means.upkeep(year)))
        rows.append(YearMoney(year, income, spent, left, sum(means.given(year)), care, work.get(year, 0.0)))
        if not means.carry_over:
            left = min(left, 0)
    return tuple(rows)
