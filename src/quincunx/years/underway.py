"""What has happened so far, in the problem of the years: what is begun goes on, nothing else begins in the past."""

from __future__ import annotations

from dataclasses import replace

from quincunx.garden import Garden
from quincunx.garden.happened import WORK, happened_until
from quincunx.units.dates import month_index
from quincunx.works import Entry
from quincunx.years.problem import Project


def underway(
    garden: Garden, projects: tuple[Project, ...], free: tuple[int, ...]
) -> tuple[tuple[Project, ...], tuple[int, ...]]:
    """Return the projects and free minutes as the journal leaves them; without work in the journal as they are.

    Time stands in the month of the last work written down.  A begun job keeps its month, has used what is written and
    goes on with the rest where there is time, in its season; what is done or begun has had the time it took, and what is
    neither begins no earlier than now.
    """
    of = {j.id: [e for e in garden.journal if e.about == j.id] for j in garden.jobs}
    if not any(e.what in WORK for entries in of.values() for e in entries):
        return projects, free
    now = happened_until(garden)
    begun = {job: entries for job, entries in of.items() if any(e.what in WORK for e in entries)}
    done = {job for job, entries in begun.items() if any(e.what == "done" for e in entries)}
    left, changed = list(free), dict[str, Project]()
    for p in projects:
        if p.id not in begun:
            changed[p.id] = p if p.fixed_start is not None else _from(replace(p, not_before=now), now)
        elif p.id in done:
            changed[p.id] = replace(p, needs=(), deadline=None, happened="done")
            _take(left, p)
    for p in projects:
        if p.id in begun and p.id not in done:
            changed[p.id] = _begun(garden, p, begun[p.id], now, left)
            _take(left, changed[p.id])
    ordered = tuple(changed[p.id] for p in projects)
    return ordered, _enough(ordered, free)


def still_ahead(garden: Garden) -> int:
    """Return the first month whose hours can still be too few, counted from the plan's first.

    What is past took the time it took, and so did the month of the last work written down; 0 if none is.
    """
    jobs = {j.id for j in garden.jobs}
    worked = any(e.what in WORK and e.about in jobs for e in garden.journal)
    return happened_until(garden) + 1 if worked else 0


def _from(p: Project, now: int) -> Project:
    """Return a project to come without a deadline that it can't meet any more: the must that asks for it says so."""
    if p.deadline is None:
        return p
    open_ = any((t % 12) + 1 in p.window for t in range(now, p.deadline - p.use_after_months + 1))
    return p if open_ else replace(p, deadline=None)


def _take(left: list[int], p: Project) -> None:
    for u, minutes in enumerate(() if p.done or p.fixed_start is None else p.minutes):
        if p.fixed_start is not None and 0 <= p.fixed_start + u < len(left):
            left[p.fixed_start + u] -= minutes


def _begun(garden: Garden, p: Project, entries: list[Entry], now: int, left: list[int]) -> Project:
    """Return a begun job with what was worked and paid in its months, and the rest as soon as there is time."""
    first = 12 * garden.means.first_year
    start = min(month_index(e.day[:7]) - first for e in entries if e.what in WORK)
    worked, paid = dict[int, int](), dict[int, int]()
    for e in entries:
        month = month_index(e.day[:7]) - first
        worked[month] = worked.get(month, 0) + round(60 * (e.hours or 0.0))
        paid[month] = paid.get(month, 0) + (e.sum or 0)
    rest = max(0, sum(p.minutes) - sum(worked.values()))
    month = max(now, start, 0)
    last = max(start + p.duration_months - 1, *worked)
    while rest and month < len(left):
        part = min(rest, max(left[month] - worked.get(month, 0), 0)) if (month % 12) + 1 in p.window else 0
        if part:
            worked[month], rest, last = worked.get(month, 0) + part, rest - part, max(last, month)
        month += 1
    worked[last] = worked.get(last, 0) + rest  # what never fits stays in its last month, and is seen there
    due = max(0, p.cost - sum(paid.values()))
    if due:
        paid[last] = paid.get(last, 0) + due
    duration = last - start + 1
    return replace(
        p,
        fixed_start=start,
        duration_months=duration,
        minutes=tuple(worked.get(start + u, 0) for u in range(duration)),
        payments=tuple((m - start, sum_) for m, sum_ in sorted(paid.items()) if sum_),
        as_paid=True,
        happened="begun",
        needs=(),
        deadline=None,
    )


def _enough(projects: tuple[Project, ...], free: tuple[int, ...]) -> tuple[int, ...]:
    """Return the free minutes, raised where what has happened took more."""
    took = [0] * len(free)
    for p in projects:
        if p.fixed_start is not None and not p.done:
            for u, minutes in enumerate(p.minutes):
                if 0 <= p.fixed_start + u < len(took):
                    took[p.fixed_start + u] += minutes
    return tuple(max(there, taken) for there, taken in zip(free, took, strict=True))
