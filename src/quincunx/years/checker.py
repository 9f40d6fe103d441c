"""An independent check of a plan: month by month, straight from the rules, sharing no code with the model.

Only the data classes of :mod:`quincunx.years.problem` are read; starts, money, hours and worth are worked out
here a second time, the slow and obvious way.
"""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter
from dataclasses import dataclass
from decimal import Decimal

from quincunx.years.problem import Problem, Project, Starts


@dataclass(frozen=True)
class Breach:
    """One broken rule: what kind, which projects, and the month if there is one."""

    rule: str
    projects: tuple[str, ...]
    month: int | None = None
    words: str = ""


@dataclass(frozen=True)
class Checked:
    """What a plan amounts to: worth, balance and free time by month, and what it breaks (nothing, if sound)."""

    worth: int
    spent: int
    balance: tuple[int, ...]
    minutes_left: tuple[int, ...]
    breaches: tuple[Breach, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing is broken."""
        return not self.breaches


def check(problem: Problem, starts: Starts) -> Checked:
    """Check a plan against every rule of the problem and work out its worth anew."""
    known = {project.id: project for project in problem.projects}
    breaches = [Breach("unknown", (name,), None, f"There is no job {name}.") for name in starts if name not in known]
    plan = {name: start for name, start in starts.items() if name in known}
    for project in problem.projects:
        breaches += _own_rules(problem, project, plan, known)
    detours, shut = _shut_ways(problem, plan)
    balance, spent, overdrawn = _money(problem, plan, detours)
    left, tired = _hours(problem, plan)
    breaches += shut + overdrawn + _dear_years(problem, plan, detours) + tired + _large(problem, plan)
    return Checked(_worth(problem, plan, known), spent, balance, left, tuple(breaches))


def _month_of_year(problem: Problem, month: int) -> int:
    return (problem.first_month - 1 + month) % 12 + 1


def _own_rules(problem: Problem, p: Project, plan: dict[str, int], known: dict[str, Project]) -> list[Breach]:
    if p.id not in plan:
        required = p.must or p.deadline is not None or p.fixed_start is not None
        return [Breach("must", (p.id,), None, f"{p.name} must be done and is not.")] if required else []
    start, found = plan[p.id], []
    if p.fixed_start is not None:
        if start != p.fixed_start:
            found.append(Breach("fixed", (p.id,), start, f"{p.name} has a fixed date."))
        if p.done:
            return found
    else:
        months = [start + u for u in range(p.duration_months)] + [start + offset for offset, _ in p.payments]
        if min(months) < 0 or max(months) >= len(problem.budget.income):
            found.append(Breach("years", (p.id,), start, f"{p.name} runs out of the years planned."))
        if any(_month_of_year(problem, start + u) not in p.window for u in range(p.duration_months)):
            found.append(Breach("window", (p.id,), start, f"{p.name} is outside its season."))
        if start < p.not_before:
            found.append(Breach("past", (p.id,), start, f"{p.name} begins in the past."))
    for need in p.needs:
        other = known[need.project]
        if need.project not in plan or plan[need.project] + other.duration_months + need.lag_months > start:
            found.append(Breach("needs", (need.project, p.id), start, f"{p.name} comes before {other.name} is ready."))
    if p.deadline is not None and start + p.duration_months + p.lag_months > p.deadline:
        found.append(Breach("deadline", (p.id,), start, f"{p.name} is of use too late."))
    return found


def _shut_ways(problem: Problem, plan: dict[str, int]) -> tuple[list[tuple[int, int]], list[Breach]]:
    known = {project.id: project for project in problem.projects}
    detours, found = [], []
    for closer in problem.projects:
        for shut in closer.shuts:
            if closer.id not in plan or shut.project not in plan:
                continue
            shut_from = plan[closer.id]
            if shut.beside is not None:
                if shut.beside not in plan:
                    continue
                shut_from = max(shut_from, plan[shut.beside])
            if plan[shut.project] + known[shut.project].duration_months <= shut_from:
                continue
            if shut.beside is not None:
                words = (
                    f"{closer.name} and {known[shut.beside].name} together shut the way to {known[shut.project].name}."
                )
                found.append(Breach("access", (closer.id, shut.beside, shut.project), shut_from, words))
                continue
            if shut.detour is None:
                words = f"{closer.name} shuts the way to {known[shut.project].name}."
                found.append(Breach("access", (closer.id, shut.project), plan[closer.id], words))
            else:
                detours.append((plan[shut.project], shut.detour))
    return detours, found


def _money(
    problem: Problem, plan: dict[str, int], detours: list[tuple[int, int]]
) -> tuple[tuple[int, ...], int, list[Breach]]:
    growth = Decimal(str(problem.budget.price_growth))
    out: Counter[int] = Counter()
    past: Counter[int] = Counter()
    for p in problem.projects:
        if p.id in plan:
            for offset, amount in p.payments:
                month = plan[p.id] + offset
                due = (
                    math.ceil(amount * (1 + growth) ** ((month + problem.budget.months_gone) // 12))
                    if growth and month >= 0 and not p.as_paid
                    else amount
                )
                out[month] += due
                past[month] += due if p.happened and plan[p.id] == p.fixed_start else 0
    for month, amount in detours:
        out[month] += amount
    balance, purse, found, spent, short = [], problem.budget.opening, [], 0, False
    happened = 0
    for month, income in enumerate(problem.budget.income):
        purse += income - out[month]
        spent += out[month]
        balance.append(purse)
        happened += past[month]
        short, was_short = purse < problem.budget.reserve and spent > happened, short
        if short and not was_short:
            payers = tuple(
                sorted(
                    p.id
                    for p in problem.projects
                    if p.id in plan and any(plan[p.id] + o == month for o, _ in p.payments)
                )
            )
            found.append(Breach("money", payers, month, f"Money runs short by {problem.budget.reserve - purse}."))
    return tuple(balance), spent, found


def _dear_years(problem: Problem, plan: dict[str, int], detours: list[tuple[int, int]]) -> list[Breach]:
    """Years that cost more than they may."""
    found, growth = [], Decimal(str(problem.budget.price_growth))
    for year, said in _said_by_year(problem).items():
        position, cost, past, payers = year - problem.first_year, 0, 0, set()
        for p in problem.projects:
            for offset, amount in p.payments if p.id in plan else ():
                month = plan[p.id] + offset
                if 0 <= month < len(problem.budget.income) and (problem.first_month - 1 + month) // 12 == position:
                    due = (
                        math.ceil(amount * (1 + growth) ** ((month + problem.budget.months_gone) // 12))
                        if growth and not p.as_paid
                        else amount
                    )
                    cost += due
                    past += due if p.happened and plan[p.id] == p.fixed_start else 0
                    payers.add(p.id)
        most = max(said, past)  # what has happened is no breach
        cost += sum(
            sum_ for month, sum_ in detours if month >= 0 and (problem.first_month - 1 + month) // 12 == position
        )
        if cost > most and cost:
            found.append(
                Breach("cap", tuple(sorted(payers)), 12 * position, f"{year} costs {cost - most} more than it may.")
            )
    return found


def _said_by_year(problem: Problem) -> dict[int, int]:
    """Return the most that each calendar year may cost, where something limits it: a must, or that nothing is carried over."""
    budget, comes_in = problem.budget, Counter[int]()
    for month, income in enumerate(budget.income):
        comes_in[problem.first_year + (problem.first_month - 1 + month) // 12] += income
    found: dict[int, int] = {}
    for place, year in enumerate(sorted(comes_in)):
        limits = [most for most in problem.most_by_year[place : place + 1] if most is not None]
        if not budget.carry_over:
            limits.append(max(0, comes_in[year] + (budget.opening if place == 0 else 0) - budget.reserve))
        if limits:
            found[year] = min(limits)
    return found


def _hours(problem: Problem, plan: dict[str, int]) -> tuple[tuple[int, ...], list[Breach]]:
    left, found = [], []
    for month, free in enumerate(problem.free_minutes):
        work = keep = 0
        workers = []
        for p in problem.projects:
            if p.id not in plan:
                continue
            u = month - plan[p.id]
            if not p.done and 0 <= u < len(p.minutes) and p.minutes[u]:
                work += p.minutes[u]
                workers.append(p.id)
            if p.upkeep_minutes and u >= p.duration_months:
                keep += p.upkeep_minutes[_month_of_year(problem, month) - 1]
        left.append(free - work - keep)
        if work and left[-1] < 0:
            found.append(Breach("hours", tuple(sorted(workers)), month, f"Too much work by {-left[-1]} minutes."))
    return tuple(left), found


def _large(problem: Problem, plan: dict[str, int]) -> list[Breach]:
    first = dt.date(problem.first_year, problem.first_month, 1)
    by_year: dict[int, list[str]] = {}
    past: dict[int, int] = {}
    for p in problem.projects:
        if p.large and p.id in plan:
            year = (first.year * 12 + first.month - 1 + plan[p.id]) // 12
            by_year.setdefault(year, []).append(p.id)
            # What has happened is no breach, however many; it leaves no room for another.
            past[year] = past.get(year, 0) + (p.done or p.happened != "" or (p.fixed_start or 0) < 0)
    return [
        Breach("large", tuple(sorted(ids)), None, f"{len(ids)} large works in {year}.")
        for year, ids in sorted(by_year.items())
        if len(ids) > max(problem.large_per_year, past[year]) and year >= first.year
    ]


def _worth(problem: Problem, plan: dict[str, int], known: dict[str, Project]) -> int:
    total = 0
    for p in problem.projects:
        if p.id not in plan or any(q not in plan for q in p.enjoyed_with):
            continue
        of_use = max(plan[q] + known[q].duration_months + known[q].lag_months for q in (p.id, *p.enjoyed_with))
        for month in range(max(0, of_use), len(problem.budget.income) + problem.tail_months):
            total += p.worth * round(1000 * (1 + problem.discount) ** (-month / 12))
        ripe = of_use - p.lag_months
        for month in range(max(0, ripe), (len(problem.budget.income) + problem.tail_months) if p.harvest else 0):
            picked = p.harvest[min((month - ripe) // 12, len(p.harvest) - 1)]
            total += picked * round(1000 * (1 + problem.discount) ** (-month / 12))
    return total
