"""Money and hours by year: what comes in, what the jobs take, what is left."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from quincunx.units.dates import month_index
from quincunx.works.course import courses
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


def spent_elsewhere(jobs: Iterable[Job], journal: Iterable[Entry]) -> dict[int, int]:
    """Return the sums written down that are no job's {month number: minor units}: a guard for a hedge, plants had again."""
    known, paid = {job.id for job in jobs}, dict[int, int]()
    for e in journal:
        if e.sum and e.about not in known:
            month = month_index(e.day[:7])
            paid[month] = paid.get(month, 0) + e.sum
    return paid


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
    for course in courses(means, all_jobs, entries).values():
        for month, sum_ in course.cost.items():
            costs[month // 12] = costs.get(month // 12, 0) + sum_
        for month, h in course.hours.items():
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
