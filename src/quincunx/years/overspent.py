"""What is done has cost more than there was: then no order keeps the money, and the rest is to be planned from today."""

from __future__ import annotations

from quincunx.years.problem import Problem
from quincunx.years.why import Money


def overspent(problem: Problem, money: Money) -> str:
    """Return by how much what has happened, by the journal, is above what there was, and what to do; nothing where it isn't."""
    paid = [0] * problem.months
    for p in problem.projects:
        if p.happened and p.fixed_start is not None:
            for month, amount in problem.bills(p, p.fixed_start):
                paid[month] += amount
    purse, spent = problem.budget.opening - problem.budget.reserve, 0
    for month, income in enumerate(problem.budget.income):
        purse, spent = purse + income, spent + paid[month]
        if spent > max(purse, 0) and paid[month]:
            over = money(spent - max(purse, 0))
            return (
                f"What the journal says is done or begun has cost {over} more than there was in {problem.month_words(month)}:"
                " no order of all jobs keeps that. Plan the rest again from today."
            )
    return ""
