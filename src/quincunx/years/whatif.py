"""What if there were more or less money or time, or dearer prices; and what a little more is worth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from quincunx.years.order import Order, order
from quincunx.years.problem import WEIGHT_NOW, Problem, Starts
from quincunx.years.relax import relax
from quincunx.years.steps import build


def money_scaled(problem: Problem, share: float) -> Problem:
    """All income times a share (1.2 = a fifth more)."""
    income = tuple(round(amount * share) for amount in problem.budget.income)
    return problem.changed(budget=replace(problem.budget, income=income))


def hours_scaled(problem: Problem, share: float) -> Problem:
    """All free time times a share."""
    return problem.changed(free_minutes=tuple(round(minutes * share) for minutes in problem.free_minutes))


def prices_scaled(problem: Problem, share: float) -> Problem:
    """All payments still to come times a share (1.2 = prices up a fifth), rounded up."""
    projects = {
        p.id: replace(p, payments=tuple((o, -(-round(amount * share * 1000) // 1000)) for o, amount in p.payments))
        for p in problem.projects
        if not p.done
    }
    return problem.changed(projects)


def year_skipped(problem: Problem, year: int) -> Problem:
    """No money comes in and no time is free in a calendar year."""
    months = {m for y, a, b in problem.years() if y == year for m in range(a, b)}
    income = tuple(0 if m in months else amount for m, amount in enumerate(problem.budget.income))
    free = tuple(0 if m in months else minutes for m, minutes in enumerate(problem.free_minutes))
    return problem.changed(budget=replace(problem.budget, income=income), free_minutes=free)


def by(problem: Problem, name: str, month: int) -> Problem:
    """One project must be of use by a month ("the seat's shelter first")."""
    return problem.changed({name: replace(problem[name], deadline=month)})


def more_in_year(problem: Problem, year: int, *, money: int = 0, minutes: int = 0) -> Problem:
    """A sum more at the start of a calendar year, or minutes more shared over its months that have any free."""
    first, end = next((a, b) for y, a, b in problem.years() if y == year)
    income = list(problem.budget.income)
    income[first] += money
    months = [m for m in range(first, end) if problem.free_minutes[m]] or list(range(first, end))
    free = list(problem.free_minutes)
    for n, month in enumerate(months):
        free[month] += minutes // len(months) + (n < minutes % len(months))
    return problem.changed(budget=replace(problem.budget, income=tuple(income)), free_minutes=tuple(free))


def worth_curve(problem: Problem, starts: Starts) -> dict[int, float]:
    """Points of what is there to be enjoyed in each calendar year, averaged over its months, not discounted."""
    use = {name: starts[name] + problem[name].use_after_months for name in starts}
    curve = {}
    for year, first, end in problem.years():
        points = 0
        for month in range(first, end):
            for name in starts:
                together = (name, *problem[name].enjoyed_with)
                since = max(use.get(q, end) for q in together)
                if since <= month:
                    points += problem[name].worth + problem[name].picked(month - since)
        curve[year] = points / (end - first)
    return curve


@dataclass(frozen=True)
class Compared:
    """One variant beside the others: its order, its worth by year, and the jobs it leaves out."""

    name: str
    order: Order
    curve: dict[int, float]
    left_out: tuple[str, ...]


def compare(
    variants: Mapping[str, Problem], *, seconds: float = 5.0, effort: float | None = None, gap: float = 0.01
) -> list[Compared]:
    """Find the order of each variant and lay them side by side."""
    rows = []
    for name, problem in variants.items():
        found = order(problem, seconds=seconds, effort=effort, gap=gap, smoothing=False)
        starts = found.starts or {}
        left_out = tuple(p.id for p in problem.projects if p.id not in starts)
        rows.append(Compared(name, found, worth_curve(problem, starts), left_out))
    return rows


@dataclass(frozen=True)
class More:
    """About what a little more money or time in a year adds, in points of worth a year for one year, discounted."""

    year: int
    money: float
    hours: float


def value_of_more(problem: Problem, *, money: int = 10_000, minutes: int = 600) -> list[More]:
    """Tell about what ``money`` more [minor units] and ``minutes`` more are worth in each year.

    It takes the row prices of the linear relaxation: what a little more adds to the best that could be had, at
    most.  Whole jobs come in steps, so of a real plan it is what more gains on average: in one year nothing, in
    another a whole job.  Minutes are shared over the months of the year that have any free.
    """
    steps = build(problem, tighten=False)
    relaxed = relax(steps)
    if relaxed.bound is None:
        return []
    by_year: dict[tuple[object, ...], float] = {}
    for row, price in zip(steps.rows, relaxed.prices, strict=True):
        by_year[row.tag] = by_year.get(row.tag, 0.0) + max(0.0, float(price))
    found = []
    for year, first, end in problem.years():
        months = sum(1 for free in problem.free_minutes[first:end] if free) or 1
        # Money is there for all later years too.
        per_unit = sum(price for tag, price in by_year.items() if tag[0] == "money" and int(str(tag[1])) >= year)
        if not problem.budget.carry_over:
            per_unit += by_year.get(("cap", year), 0.0)
        per_minute = by_year.get(("hours", year), 0.0) / months
        found.append(More(year, money * per_unit / (12 * WEIGHT_NOW), minutes * per_minute / (12 * WEIGHT_NOW)))
    return found
