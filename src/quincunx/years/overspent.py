"""What is done has cost more than there was: that year is overspent, and what comes in later makes up for it first."""

from __future__ import annotations

from quincunx.years.problem import Problem
from quincunx.years.why import Money


def overspent(problem: Problem, money: Money) -> str:
    """Return by how much what has happened, by the journal, is above what there was; nothing where it isn't."""
    paid = problem.happened_bills
    purse, spent = problem.budget.opening - problem.budget.reserve, 0
    for month, income in enumerate(problem.budget.income):
        purse, spent = purse + income, spent + paid[month]
        if spent > max(purse, 0) and paid[month]:
            over = money(spent - max(purse, 0))
            return (
                f"What the journal says is done or begun has cost {over} more than there was in {problem.month_words(month)}:"
                " that year is overspent, and what comes in after it makes up for that first."
            )
    return ""
