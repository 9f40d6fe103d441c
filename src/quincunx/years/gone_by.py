"""Months that have gone by, in an order found without knowing which month it is."""

from __future__ import annotations

from dataclasses import replace

from quincunx.years.problem import Problem, Project, Starts


def gone_by(problem: Problem, starts: Starts, today: tuple[int, int]) -> str:
    """Return which jobs would begin in months gone by, as one sentence; nothing where none would.

    ``today`` is the present (year, month 1-12).  What the journal says has happened, or is under way, keeps its month.
    """
    gone = [
        p.name
        for p in problem.projects
        if p.id in starts and not p.done and not p.happened and problem.calendar(starts[p.id]) < today
    ]
    if not gone:
        return ""
    month = problem.month_words((today[0] - problem.first_year) * 12 + today[1] - problem.first_month)
    which = f"“{gone[0]}” would begin before that" if len(gone) == 1 else f"{len(gone)} jobs would begin before that"
    return f"It is {month}: {which}, and the journal says nothing of it. Write down what was done, and plan the rest again from today."


def months_gone(problem: Problem, today: int) -> int:
    """Return how many months of the problem lie before ``today`` (a month from January of year 0); 0 before the plan."""
    return max(0, today - 12 * problem.first_year - problem.first_month + 1)


def from_now(problem: Problem, starts: Starts, today: int) -> Problem:
    """Return the problem in which nothing to come begins before ``today`` (a month from January of year 0).

    What the plan sets to a month gone by keeps it: only the person knows whether it was done.
    """
    gone = months_gone(problem, today)
    late = {p.id: replace(p, not_before=max(p.not_before, gone)) for p in problem.projects if _to_come(p, starts, gone)}
    return problem.changed(late) if gone and late else problem


def only_ahead(problem: Problem, today: int) -> Problem:
    """Return the problem in which nothing that has not begun begins before ``today`` (a month from January of year 0).

    Unlike :func:`from_now` it heeds no plan: an order that is looked for anew can't send anybody back in time.  What is
    booked keeps its month; what is begun goes on from now, as the garden was read in this month
    (:func:`quincunx.years.on_day.on_day`).  A date that can't be met any more doesn't bind; what had to be in time must still be done.
    """
    gone = months_gone(problem, today)
    if not 0 < gone < problem.months:
        return problem
    ahead = {
        p.id: replace(p, not_before=max(p.not_before, gone))
        for p in problem.projects
        if p.fixed_start is None and not p.has_begun
    }
    left = problem.changed(ahead)
    late = {
        name: replace(left[name], deadline=None, must=True)
        for name, was in ahead.items()
        if was.deadline is not None and problem.allowed_starts(problem[name]) and not left.allowed_starts(left[name])
    }
    return left.changed(late) if late else left


def _to_come(p: Project, starts: Starts, gone: int) -> bool:
    return p.fixed_start is None and not p.has_begun and starts.get(p.id, gone) >= gone
