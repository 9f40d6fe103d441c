"""Among plans worth the same: even out the work, then spend less."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quincunx.years.checker import check
from quincunx.years.model import Model, formulate, run
from quincunx.years.problem import Problem, Starts
from quincunx.years.steps import FREE, Row, Steps, build, working

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

COMFORTABLE = 0.6
"""Share of a month's free time that work may take before the month counts as crowded (our own choice)."""


def minutes_worked(problem: Problem, starts: Starts) -> list[int]:
    """Own work by month of a plan, upkeep not counted [min]."""
    worked = [0] * problem.months
    for project in problem.projects:
        if project.id in starts and not project.done:
            for u, minutes in enumerate(project.minutes):
                if 0 <= starts[project.id] + u < problem.months:
                    worked[starts[project.id] + u] += minutes
    return worked


def crowding(problem: Problem, starts: Starts) -> int:
    """Minutes of work above the comfortable share, over all months [min]."""
    pairs = zip(problem.free_minutes, minutes_worked(problem, starts), strict=True)
    return sum(max(0, worked - int(COMFORTABLE * free)) for free, worked in pairs)


def smooth(
    problem: Problem, starts: Starts, *, effort: float = 0.5, seconds: float = 5.0, give: float = 0.0
) -> dict[str, int]:
    """Move jobs so that the work is even, then that the cost is least, giving up at most ``give`` of the worth.

    Returns a sound plan worth at least ``(1 - give)`` of the old one and no more crowded; ``effort`` is the
    solver's deterministic limit, ``seconds`` the wall limit behind it [s].
    """
    steps = build(problem)
    least = int(problem.worth(starts) * (1 - give))
    best = dict(starts)
    model, excess = _with_crowding(problem, steps, least)
    calmer = _minimise(model, excess, best, effort, seconds)
    if calmer is not None and crowding(problem, calmer) < crowding(problem, best):
        best = calmer
    if not problem.budget.price_growth and not steps.detours:
        return best
    model, excess = _with_crowding(problem, steps, least)
    model.cp.add(sum(variable for variable, _ in excess) <= crowding(problem, best))
    cheaper = _minimise(model, excess, best, effort / 2, seconds / 2, spending=True)
    if cheaper is not None and check(problem, cheaper).spent < check(problem, best).spent:
        best = cheaper
    return best


Excess = list[tuple["cp_model.IntVar", int]]


def _with_crowding(problem: Problem, steps: Steps, least: int) -> tuple[Model, Excess]:
    """Model with the worth held and one variable for the crowded minutes of each month."""
    model = formulate(steps, objective=False)
    model.add(Row({k: -w for k, w in steps.worth.items()}, FREE, steps.worth_always - least, ("worth",)))
    excess: Excess = []
    for month, free in enumerate(problem.free_minutes):
        terms: dict[int, int] = {}
        fixed = 0
        for literal, minutes in working(steps, month):
            if literal >= 0:
                terms[literal] = terms.get(literal, 0) + minutes
            elif literal == -2:
                fixed += minutes
        room = int(COMFORTABLE * free) - fixed
        most = sum(max(0, m) for m in terms.values())
        if most > max(0, room):
            variable = model.cp.new_int_var(0, most, "")
            model.cp.add(model.total(terms) - variable <= room)
            excess.append((variable, month))
    return model, excess


def _minimise(
    model: Model, excess: Excess, start: Starts, effort: float, seconds: float, *, spending: bool = False
) -> dict[str, int] | None:
    """Minimise the crowded minutes (or what is spent) from a plan; None if nothing was found."""
    steps, problem = model.steps, model.steps.problem
    model.hint(steps.encode(start))
    worked = minutes_worked(problem, start)
    for variable, month in excess:
        model.cp.add_hint(variable, max(0, worked[month] - int(COMFORTABLE * problem.free_minutes[month])))
    model.cp.minimize(model.total(_spent(steps)) if spending else sum(variable for variable, _ in excess))
    outcome = run(model, seconds=seconds, effort=effort)
    if outcome.values is None:
        return None
    plan = steps.decode(outcome.values)
    return plan if check(problem, plan).sound else None


def _spent(steps: Steps) -> dict[int, int]:
    """Weights whose sum is all that a plan spends, less what is fixed."""
    problem = steps.problem
    weights: dict[int, int] = {}
    for k, project in enumerate(problem.projects):
        totals = [sum(amount for _, amount in problem.bills(project, t)) for t in steps.starts[k]]
        weights |= {literal: weight for literal, weight in steps.weigh(k, totals) if literal >= 0}
    costs = {(a, b): detour for a, b, detour in problem.shut_pairs() if detour is not None}
    for variable, a, b in steps.detours:
        weights[variable] = weights.get(variable, 0) + costs[a, b]
    return weights
