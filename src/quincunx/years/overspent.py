"""What is done has cost more than there was, or what is begun will: that year is told, and later sums make up for it first."""

from __future__ import annotations

from itertools import accumulate

from quincunx.units import listed
from quincunx.years.problem import Problem, Project
from quincunx.years.why import Money

AGREE = "No order changes that: agree a later day with whoever is paid, or have more money by then."


def overspent(problem: Problem, money: Money) -> str:
    """Return by how much what has happened, by the journal, is above what there was; nothing where it isn't."""
    paid = [sum_ - still for sum_, still in zip(problem.happened_bills, _to_pay(problem), strict=True)]
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


def owed(problem: Problem, money: Money) -> dict[int, str]:
    """Return by calendar year what is still to pay for what is begun, where that is more than there is or than it may cost.

    No rule of money binds such a bill, since the work is under way; so it has to be told.
    """
    found = dict[int, str]()
    may = {year: most for year, _, _, most in problem.limits}
    purse = list(accumulate(problem.budget.income, initial=problem.budget.opening - problem.budget.reserve))[1:]
    spent = list(accumulate(problem.happened_bills))
    for year, first, end in problem.years():
        bills = [(month, sum_, p) for p in problem.projects for month, sum_ in _bills(p) if first <= month < end]
        if not bills:
            continue
        due, jobs = sum(sum_ for _, sum_, _ in bills), list(dict.fromkeys(p.name for _, _, p in bills))
        short, at = max((spent[m] - max(purse[m], 0), -m) for m, _, _ in bills)
        are = "is" if len(jobs) == 1 else "are"
        bill = f"{year}: with the {money(due)} still to pay for {listed([f'“{name}”' for name in jobs])}, which {are} begun,"
        above = sum(problem.happened_bills[first:end]) - may[year] if year in may else 0
        if short > 0:
            found[year] = f"{bill} {money(min(short, due))} is missing in {problem.month_words(-at)}. {AGREE}"
        elif above > 0:
            found[year] = f"{bill} it costs {money(min(above, due))} more than it may. {AGREE}"
    return found


def _bills(p: Project) -> list[tuple[int, int]]:
    """Return (month, sum) of what is still to pay of a begun job."""
    return [(p.fixed_start + later, sum_) for later, sum_ in p.to_pay] if p.fixed_start is not None else []


def _to_pay(problem: Problem) -> list[int]:
    """Return what is still to pay of what is begun in each month [minor units]."""
    still = [0] * problem.months
    for p in problem.projects:
        for month, sum_ in _bills(p):
            if 0 <= month < problem.months:
                still[month] += sum_
    return still
