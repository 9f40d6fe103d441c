"""The garden's jobs and means as a problem of the years, and a found order as an edit of the garden."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from quincunx.garden import Edit, Garden, Op
from quincunx.grow.plantings import climbed
from quincunx.scene import Timeline
from quincunx.units.dates import month_from_index, month_index
from quincunx.works import Job, spent_elsewhere
from quincunx.works.course import free_minutes, unpaid
from quincunx.years import kilograms
from quincunx.years.grown import grown_after_months
from quincunx.years.on_day import courses_of
from quincunx.years.ordering import months_ahead
from quincunx.years.problem import Budget, Need, Problem, Project, Starts
from quincunx.years.seasons import season
from quincunx.years.shut_ways import shuts_of
from quincunx.years.underway import underway
from quincunx.years.weighed import WORTH_POINTS, points_of


def problem_of(garden: Garden, through: Timeline) -> Problem:
    """Return the problem of ordering the garden's jobs, in months from January of the plan's first year.

    Own hours are those given less the typed upkeep and the hours kept free.  Money comes on the first of each
    January, one-off sums in their month; what the journal says was spent on no job, or ahead for one that is not begun, is
    gone from its month.  Where what
    is left over doesn't go to the next year, no year costs more than comes in during it.
    """
    means = garden.means
    first = means.first_year * 12
    months = 12 * means.years
    income = [means.income(means.first_year + m // 12) if m % 12 == 0 else 0 for m in range(months)]
    for one in means.one_off:
        at = month_index(one.month) - first
        if 0 <= at < months:
            income[at] += one.sum
            income[at - at % 12] -= one.sum
    elsewhere = _paid_already(garden)
    for month, sum_ in elsewhere.items():
        if 0 <= month - first < months:
            income[month - first] -= sum_
    shuts = shuts_of(garden, through)
    matter, harvest = points_of(garden), kilograms.points(garden, WORTH_POINTS[means.ten_kilos])
    projects = tuple(
        replace(
            _project(garden, through, job, first, months),
            shuts=shuts.get(job.id, ()),
            worth=matter[job.id],
            harvest=harvest.get(job.id, ()),
        )
        for job in garden.jobs
    )
    projects, free = underway(garden, _in_time(garden, through, projects, months), _free_minutes(garden, months))
    budget = Budget(tuple(income), means.opening, means.reserve, means.price_growth, carry_over=means.carry_over)
    caps = tuple(_left_of(_most(garden, year), elsewhere, year) for year in means.all_years)
    return Problem(
        means.first_year, 1, projects, budget, free, means.large_a_year,
        discount=means.waiting, most_by_year=caps if any(cap is not None for cap in caps) else (),
    )  # fmt: skip


def _paid_already(garden: Garden) -> dict[int, int]:
    """Return what was paid by month for no job, or for jobs that are not begun [minor units]: no order changes it."""
    paid = spent_elsewhere(garden.jobs, garden.journal)
    for course in courses_of(garden).values():
        if course.state in ("planned", "unplanned"):
            for month, sum_ in course.paid.items():
                paid[month] = paid.get(month, 0) + sum_
    return paid


def _most(garden: Garden, year: int) -> int | None:
    """Return the most that a year may cost by the musts that say so [minor units]; None if none does."""
    asked = [must for must in garden.intents if not must.muted and (must.from_year or year) <= year]
    return min((sum_ for must in asked if (sum_ := must.most_a_year()) is not None), default=None)


def _left_of(most: int | None, elsewhere: Mapping[int, int], year: int) -> int | None:
    """Return what jobs may cost in a year of the most that it may, after what was spent on no job in it."""
    return None if most is None else max(0, most - sum(s for m, s in elsewhere.items() if m // 12 == year))


def _in_time(garden: Garden, through: Timeline, projects: tuple[Project, ...], months: int) -> tuple[Project, ...]:
    """Give the jobs that plant what has to have grown by a year the month by which they must be of use.

    The years to spare are those of the plan as written: what is planted a whole number of years later is ready as
    many years later.  What can't be in time whenever it is planted gets no date: the must itself says so.
    """
    spare: dict[str, int] = {}
    for must in garden.intents:
        if not must.muted:
            for feature, years in must.spare_years(through).items():
                spare[feature] = min(years, spare.get(feature, years))
    if not spare:
        return projects
    first, limits = garden.means.first_year * 12, dict[str, int]()
    for job in garden.jobs:
        made = [spare[f] for f in dict.fromkeys(t.partition("/")[0] for t in job.does) if f in spare]
        if made and job.start is not None:
            limits[job.id] = month_index(job.start) - first + 12 * min(made)
    return tuple(_by(p, limits[p.id], months) if p.id in limits else p for p in projects)


def _by(p: Project, latest: int, months: int) -> Project:
    """Return a project that begins no later than ``latest``, unless it is fixed or never could."""
    if p.fixed_start is not None or latest >= months - p.duration_months:
        return p
    soonest = next((t for t in range(months) if (t % 12 + 1) in p.window), months)
    return p if latest < soonest else replace(p, deadline=latest + p.use_after_months)


def _free_minutes(garden: Garden, months: int) -> tuple[int, ...]:
    free, first = free_minutes(garden.means), 12 * garden.means.first_year
    return tuple(free[first + m] for m in range(months))


def _project(garden: Garden, through: Timeline, job: Job, first: int, months: int) -> Project:
    course = through.course(job)
    done, finished = course.state == "done", course.last
    start = month_index(job.start) - first if job.start else None
    fixed = finished - first - job.months + 1 if done and finished is not None else start if job.booked else None
    past = done and finished is not None and finished < first
    each = round(60 * job.hours / job.months)
    return Project(
        id=job.id,
        name=job.name,
        duration_months=job.months,
        payments=unpaid(job, sum(e.sum or 0 for e in garden.journal if e.about == job.id)),
        minutes=(each,) * job.months if each else (),
        window=season(through, job).months,
        large=job.large,
        lag_months=grown_after_months(through, job),
        needs=tuple(Need(a.job, a.wait_months) for a in job.after)
        + (_held_up_by(garden, job) if fixed is None else ()),
        enjoyed_with=job.enjoyed_with,
        must=job.must,
        fixed_start=fixed if fixed is None or fixed < months else None,
        done=past,
        order_ahead_months=months_ahead(through, job),
    )


def _held_up_by(garden: Garden, job: Job) -> tuple[Need, ...]:
    """Return the jobs that make what the climbers of a job grow on, where nothing is said of them: they come first."""
    said = {a.job for a in job.after} | {job.id}
    makers = {t.partition("/")[0]: j.id for j in reversed(garden.jobs) for t in j.does}
    grown_on = [s for f in garden.features if f.id in job.does for s in climbed(f)]
    return tuple(Need(one) for one in dict.fromkeys(makers[s] for s in grown_on if s in makers) if one not in said)


def edit_of(garden: Garden, problem: Problem, starts: Starts, label: str = "Find the years") -> Edit:
    """Return the edit that writes a found order into the jobs; jobs it leaves out lose their month."""
    first = problem.first_year * 12 + problem.first_month - 1
    ops = []
    for job in garden.jobs:
        project = problem[job.id]
        if project.done or project.fixed_start is not None:
            continue
        month = month_from_index(first + starts[job.id]) if job.id in starts else None
        if month != job.start:
            ops.append(Op(do="change", part="jobs", id=job.id, value={"start": month}))
    return Edit(label=label, ops=tuple(ops))


def starts_of(garden: Garden, problem: Problem) -> dict[str, int]:
    """Return the order now written on the jobs, as start months of the problem."""
    first = problem.first_year * 12 + problem.first_month - 1
    return {j.id: month_index(j.start) - first for j in garden.jobs if j.start is not None}
