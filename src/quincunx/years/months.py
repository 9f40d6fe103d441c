"""The plan as it is written, month by month: when each job runs, what is in hand, what the hours go to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from quincunx.garden import Garden
from quincunx.units.dates import month_index
from quincunx.works import Course, Job, spent_elsewhere
from quincunx.years.on_day import courses_of

State = Literal["done", "begun", "booked", "planned", "unplanned"]


@dataclass(frozen=True, slots=True)
class Month:
    """One month of the plan: money [minor units] and hours [h].

    ``month`` counts from January of year 0; ``balance`` is in hand at its end, ``free_h`` what upkeep leaves.
    """

    month: int
    income: int
    spent: int
    balance: int
    given_h: float
    upkeep_h: float
    worked_h: float

    @property
    def year(self) -> int:
        """Return the calendar year."""
        return self.month // 12

    @property
    def free_h(self) -> float:
        """Return the hours left for works after upkeep [h]."""
        return max(self.given_h - self.upkeep_h, 0.0)


@dataclass(frozen=True, slots=True)
class Run:
    """When a job runs: its first month and the one past its last (from January of year 0), and how it stands."""

    job: Job
    start: int | None
    end: int | None
    state: State


def months_of(garden: Garden) -> tuple[Month, ...]:
    """Return every month of the plan as it is written, with what the journal says of what is done.

    Each year's sum comes in January, sums that come once in their month.  Prices and hours are those of
    :func:`quincunx.works.ledger`: its years are the sums of these months.
    """
    means, work = garden.means, dict[int, float]()
    costs = spent_elsewhere(garden.jobs, garden.journal)
    for course in courses_of(garden).values():
        for month, sum_ in course.cost.items():
            costs[month] = costs.get(month, 0) + sum_
        for month, hours in course.hours.items():
            work[month] = work.get(month, 0.0) + hours
    once: dict[int, int] = {}
    for one in means.one_off:
        once[month_index(one.month)] = once.get(month_index(one.month), 0) + one.sum
    rows, balance = [], means.opening
    for year in means.all_years:
        first = 12 * year
        usual = means.income(year) - sum(once.get(m, 0) for m in range(first, first + 12))
        upkeep, given_h = means.upkeep(year), means.given(year)
        for month in range(first, first + 12):
            income = once.get(month, 0) + (usual if month == first else 0)
            balance += income - costs.get(month, 0)
            rows.append(
                Month(
                    month,
                    income,
                    costs.get(month, 0),
                    balance,
                    given_h[month - first],
                    upkeep[month - first],
                    work.get(month, 0.0),
                )
            )
        if not means.carry_over:
            balance = min(balance, 0)
    return tuple(rows)


def runs_of(garden: Garden) -> tuple[Run, ...]:
    """Return when each job runs, by start, then by id; those without a month last."""
    goes = courses_of(garden)
    runs = [_run(job, goes[job.id]) for job in garden.jobs]
    return tuple(sorted(runs, key=lambda r: (r.start is None, r.start or 0, r.end or 0, r.job.id)))


def _run(job: Job, goes: Course) -> Run:
    booked = goes.state == "planned" and job.booked
    return Run(job, goes.first, goes.end, "booked" if booked else goes.state)
