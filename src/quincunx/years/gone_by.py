"""Months that have gone by, in an order found without knowing which month it is."""

from __future__ import annotations

from quincunx.years.problem import Problem, Starts


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
