"""What has happened so far, in the problem of the years: what is begun goes on, nothing else begins in the past."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from quincunx.garden import Garden
from quincunx.garden.happened import happened_until
from quincunx.works import Course, is_work
from quincunx.years.on_day import courses_of
from quincunx.years.problem import Project


def underway(
    garden: Garden, projects: tuple[Project, ...], free: tuple[int, ...]
) -> tuple[tuple[Project, ...], tuple[int, ...]]:
    """Return the projects and free minutes as the journal leaves them; without work in the journal as they are.

    Time stands in the month in which the garden is read, or in that of the last work written down.  A begun job keeps its
    month and goes on as :mod:`quincunx.works.course` says; what is done or begun has had the time it took, and what is
    neither begins no earlier than the last work written down.
    """
    goes = courses_of(garden)
    if not any(goes[p.id].state in ("done", "begun") for p in projects):
        return projects, free
    now, first = happened_until(garden), 12 * garden.means.first_year
    changed = []
    for p in projects:
        course = goes[p.id]
        if course.state == "done":
            changed.append(_done(p, course, first))
        elif course.state == "begun":
            changed.append(goes_on(p, course, first))
        else:
            changed.append(p if p.fixed_start is not None else _from(replace(p, not_before=now), now))
    return tuple(changed), _enough(tuple(changed), free)


def goes_on(p: Project, course: Course, first: int) -> Project:
    """Return a begun job with what was worked and paid in its months, and the rest where it goes on; ``first`` is month 0."""
    start, months = (course.first or 0) - first, range(course.first or 0, course.end or 0)
    hours = course.hours
    return replace(
        p,
        fixed_start=start,
        duration_months=len(months),
        minutes=tuple(round(60 * hours.get(m, 0)) for m in months),
        to_do=tuple(round(60 * course.to_do.get(m, 0)) for m in months),
        to_pay=_from_start(course.to_pay, start + first),
        payments=_from_start(course.cost, start + first),
        as_paid=True,
        happened="begun",
        needs=(),
        deadline=None,
    )


def _done(p: Project, course: Course, first: int) -> Project:
    """Return a done job with what was worked and paid in its months; of one done before month 0 only what it costs since."""
    if p.fixed_start is None:
        return replace(p, needs=(), deadline=None, happened="done")
    if p.done:
        return replace(p, payments=_from_start(course.cost, p.fixed_start + first), as_paid=True)
    began = min(course.first or 0, *course.worked) if course.worked else course.first or 0
    months = range(began, course.end or 0)
    return replace(
        p,
        fixed_start=began - first,
        duration_months=len(months),
        minutes=tuple(round(60 * course.worked.get(m, 0)) for m in months),
        payments=_from_start(course.cost, began),
        as_paid=True,
        needs=(),
        deadline=None,
        happened="done",
    )


def _from_start(sums: Mapping[int, int], start: int) -> tuple[tuple[int, int], ...]:
    return tuple((m - start, sum_) for m, sum_ in sorted(sums.items()) if sum_)


def still_ahead(garden: Garden) -> int:
    """Return the first month whose hours can still be too few, counted from the plan's first.

    What is past took the time it took, and so did the month of the last work written down; 0 if none is.
    """
    jobs = {j.id for j in garden.jobs}
    worked = any(is_work(e) and e.about in jobs for e in garden.journal)
    return happened_until(garden) + 1 if worked else 0


def _from(p: Project, now: int) -> Project:
    """Return a project to come without a deadline that it can't meet any more: the must that asks for it says so."""
    if p.deadline is None:
        return p
    open_ = any((t % 12) + 1 in p.window for t in range(now, p.deadline - p.use_after_months + 1))
    return p if open_ else replace(p, deadline=None)


def _enough(projects: tuple[Project, ...], free: tuple[int, ...]) -> tuple[int, ...]:
    """Return the free minutes, raised where what has happened took more."""
    took = [0] * len(free)
    for p in projects:
        if p.fixed_start is not None and not p.done:
            for u, minutes in enumerate(p.minutes):
                if 0 <= p.fixed_start + u < len(took):
                    took[p.fixed_start + u] += minutes
    return tuple(max(there, taken) for there, taken in zip(free, took, strict=True))
