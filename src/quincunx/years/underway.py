"""What has happened so far, in the problem of the years: what is begun goes on, nothing else begins in the past."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from quincunx.garden import Garden
from quincunx.garden.happened import WORK, happened_until
from quincunx.units.dates import month_index
from quincunx.works import Entry
from quincunx.years.problem import Problem, Project


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


def time_for(rest: int, free: Sequence[int], fits: Callable[[int], bool], first: int = 0) -> tuple[dict[int, int], int]:
    """Return the minutes by month, from ``first`` on, in which work goes on, and what of it finds no time.

    It goes on as soon as there is time: in each month that ``fits``, as much as is ``free`` [min].
    """
    found = dict[int, int]()
    for month in range(first, len(free)):
        part = min(rest, max(free[month], 0)) if fits(month) else 0
        if part:
            found[month], rest = part, rest - part
        if not rest:
            break
    return found, rest


def going_on_from(problem: Problem, now: int) -> Problem:
    """Return the problem in which what is begun has nothing left to do, and nothing left to pay, before month ``now``.

    What the journal doesn't say was done by then is still to do: it moves to where there is time from then on.
    """
    late = {p.id for p in problem.projects if _left_behind(p, now)}
    if not late:
        return problem
    left = list(problem.free_minutes)
    for p in problem.projects:
        _take(left, p)
    changed = dict[str, Project]()
    for p in problem.projects:
        if p.id in late:
            changed[p.id], placed = _put_off(problem, p, now, left)
            for month, minutes in placed.items():
                left[month] -= minutes
    after = problem.changed(changed)
    return after.changed(free_minutes=_enough(after.projects, after.free_minutes))


def _left_behind(p: Project, now: int) -> bool:
    """Return whether something of a begun job is still to do or to pay in a month before ``now``."""
    if p.happened != "begun" or p.fixed_start is None:
        return False
    over = p.fixed_start + p.duration_months <= now
    return any(p.to_do[: max(0, now - p.fixed_start)]) or (over and p.to_pay > 0)


def _put_off(problem: Problem, p: Project, now: int, left: Sequence[int]) -> tuple[Project, dict[int, int]]:
    """Return a begun job with what was left behind before ``now`` moved on, and the minutes by month that move."""
    start = p.fixed_start or 0
    gone = max(0, now - start)
    behind = sum(p.to_do[:gone])
    to_do = {start + u: minutes for u, minutes in enumerate(p.to_do) if u >= gone and minutes}
    worked = {start + u: minutes - (p.to_do[u] if u < len(p.to_do) else 0) for u, minutes in enumerate(p.minutes)}
    placed, never = time_for(behind, left, lambda m: problem.calendar(m)[1] in p.window, now)
    last = max(start + p.duration_months - 1, min(now, problem.months - 1), *placed)
    placed |= {last: placed.get(last, 0) + never} if never else {}
    to_do = {m: to_do.get(m, 0) + placed.get(m, 0) for m in {*to_do, *placed}}
    ended = p.duration_months - 1
    paid = [(u, sum_ - p.to_pay if u == ended else sum_) for u, sum_ in p.payments] if p.to_pay else list(p.payments)
    bills = [*((u, sum_) for u, sum_ in paid if sum_), *([(last - start, p.to_pay)] if p.to_pay else [])]
    months = range(start, last + 1)
    return replace(
        p,
        duration_months=len(months),
        minutes=tuple(worked.get(m, 0) + to_do.get(m, 0) for m in months),
        to_do=tuple(to_do.get(m, 0) for m in months),
        payments=tuple(bills),
    ), placed


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
    free = [minutes - worked.get(month, 0) for month, minutes in enumerate(left)]
    to_do, never = time_for(rest, free, lambda m: m % 12 + 1 in p.window, max(now, start, 0))
    last = max(start + p.duration_months - 1, *worked, *to_do)
    to_do[last] = to_do.get(last, 0) + never  # what never fits stays in its last month, and is seen there
    due = max(0, p.cost - sum(paid.values()))
    if due:
        paid[last] = paid.get(last, 0) + due
    duration = last - start + 1
    return replace(
        p,
        fixed_start=start,
        duration_months=duration,
        minutes=tuple(worked.get(start + u, 0) + to_do.get(start + u, 0) for u in range(duration)),
        to_do=tuple(to_do.get(start + u, 0) for u in range(duration)),
        to_pay=due,
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
