"""The core model reduced to makespan: resource-constrained project scheduling, for checks against PSPLIB.

The same steps as for a garden: activities are projects, the first resource is the free time, a month is a time
unit, and worth is given only to the last activity, one point a month without discount, so that the greatest
worth is the least makespan.  Only the further resources are rows of their own, of the same form.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from quincunx.years.model import Model, Outcome, formulate, run
from quincunx.years.problem import WEIGHT_NOW, Budget, Need, Problem, Project
from quincunx.years.steps import Steps, build


@dataclass(frozen=True)
class Instance:
    """One scheduling instance: durations, successors, demand by activity and resource, capacities."""

    durations: tuple[int, ...]
    successors: tuple[tuple[int, ...], ...]
    demand: tuple[tuple[int, ...], ...]
    capacity: tuple[int, ...]

    @property
    def predecessors(self) -> tuple[tuple[int, ...], ...]:
        """Activities that must end before each."""
        return tuple(
            tuple(i for i, after in enumerate(self.successors) if j in after) for j in range(len(self.durations))
        )


def read_psplib(path: Path) -> Instance:
    """Read a single-mode ``.sm`` file of PSPLIB (Kolisch and Sprecher, EJOR 96, 1997, 205-216)."""
    lines = path.read_text().splitlines()

    def numbers(heading: str, skip: int, count: int) -> list[list[int]]:
        at = next(k for k, line in enumerate(lines) if line.startswith(heading)) + skip
        return [[int(word) for word in line.split()] for line in lines[at : at + count]]

    size = int(re.sub(r".*:", "", next(line for line in lines if line.startswith("jobs"))))
    network, requests = numbers("PRECEDENCE", 2, size), numbers("REQUESTS", 3, size)
    return Instance(
        durations=tuple(row[2] for row in requests),
        successors=tuple(tuple(j - 1 for j in row[3 : 3 + row[2]]) for row in network),
        demand=tuple(tuple(row[3:]) for row in requests),
        capacity=tuple(numbers("RESOURCEAVAIL", 2, 1)[0]),
    )


def list_schedule(instance: Instance) -> list[int]:
    """Start times by the serial scheme, the activity with the longest way to the end first."""
    tails = _tails(instance)
    predecessors = instance.predecessors
    horizon = sum(instance.durations) + 1
    left = [list(instance.capacity) for _ in range(horizon)]
    starts: dict[int, int] = {}
    while len(starts) < len(instance.durations):
        ready = [
            j for j in range(len(instance.durations)) if j not in starts and all(i in starts for i in predecessors[j])
        ]
        j = min(ready, key=lambda j: (-tails[j], j))
        t = max((starts[i] + instance.durations[i] for i in predecessors[j]), default=0)
        while not all(
            left[u][r] >= need for u in range(t, t + instance.durations[j]) for r, need in enumerate(instance.demand[j])
        ):
            t += 1
        for u in range(t, t + instance.durations[j]):
            left[u] = [have - need for have, need in zip(left[u], instance.demand[j], strict=True)]
        starts[j] = t
    return [starts[j] for j in range(len(instance.durations))]


def _tails(instance: Instance) -> list[int]:
    """Time from the start of each activity to the end at the least."""
    tails = [0] * len(instance.durations)
    for j in reversed(range(len(instance.durations))):
        tails[j] = instance.durations[j] + max((tails[k] for k in instance.successors[j]), default=0)
    return tails


def as_steps(instance: Instance, horizon: int) -> Steps:
    """Write an instance as the core's steps, all to be finished within ``horizon``."""
    predecessors, tails = instance.predecessors, _tails(instance)
    heads = [0] * len(tails)
    for j in range(len(tails)):
        heads[j] = max((heads[i] + instance.durations[i] for i in predecessors[j]), default=0)
    names = [f"a{j:03d}" for j in range(len(tails))]
    real = [j for j in range(len(tails)) if instance.durations[j]]
    before = {j: _real_predecessors(instance, predecessors, j) for j in [*real, len(tails) - 1]}
    projects = [
        Project(
            names[j],
            names[j],
            duration_months=instance.durations[j],
            minutes=(instance.demand[j][0],) * instance.durations[j],
            needs=tuple(Need(names[i]) for i in before[j]),
            must=True,
        )
        for j in real
    ]
    # The end takes one unit of its own, so that it is a project like the others.
    end = Project("end", "end", needs=tuple(Need(names[i]) for i in before[len(tails) - 1]), must=True, worth=1)
    months = horizon + 1
    problem = Problem(
        1, 1, (*projects, end), Budget((0,) * months), (instance.capacity[0],) * months, discount=0.0, tail_months=0
    )
    windows = {names[j]: list(range(heads[j], horizon - tails[j] + 1)) for j in real}
    steps = build(problem, starts=windows | {"end": list(range(heads[-1], horizon + 1))}, tighten=False)
    for r in range(1, len(instance.capacity)):
        for month in range(months):
            terms: list[tuple[int, int]] = []
            for k, j in enumerate(real):
                if instance.demand[j][r]:
                    begun, over = steps.literal(k, month), steps.literal(k, month - instance.durations[j])
                    terms += [(begun, instance.demand[j][r]), (over, -instance.demand[j][r])]
            steps.row(terms, instance.capacity[r], ("resource", r))
    return steps


def _real_predecessors(instance: Instance, predecessors: tuple[tuple[int, ...], ...], j: int) -> list[int]:
    """Predecessors that take time; those that take none stand for their own."""
    found: set[int] = set()
    for i in predecessors[j]:
        found |= {i} if instance.durations[i] else set(_real_predecessors(instance, predecessors, i))
    return sorted(found)


@dataclass(frozen=True)
class Schedule:
    """Start times of all activities, the makespan and the least it could be."""

    starts: list[int]
    makespan: int
    bound: int


def least_makespan(instance: Instance, *, seconds: float = 30.0, effort: float | None = None) -> Schedule:
    """Find the least makespan with the core model (``effort`` is the deterministic limit)."""
    best = list_schedule(instance)
    bound = _tails(instance)[0]
    if best[-1] <= bound:
        return Schedule(best, best[-1], bound)
    steps = as_steps(instance, best[-1])
    model = formulate(steps)
    _cumulative(model, instance)
    model.hint(steps.encode(_plan(instance, best)))
    outcome: Outcome = run(model, seconds=seconds, effort=effort, workers=("no_lp", "default_lp"))
    if outcome.values is not None:
        plan = steps.decode(outcome.values)
        best = [plan.get(f"a{j:03d}", 0) for j in range(len(best) - 1)] + [plan["end"]]
    last = steps.problem.months - 1
    return Schedule(best, best[-1], last - int(outcome.bound / WEIGHT_NOW + 1e-6))


def _cumulative(model: Model, instance: Instance) -> None:
    """Say the resources a second time, as cumulative rules over intervals tied to the steps.

    Their reasoning over crowded stretches of time proves the hard instances, which rows alone do not.
    """
    from ortools.sat.python import cp_model

    steps, cp = model.steps, model.cp
    intervals: list[cp_model.IntervalVar] = []
    for k, project in enumerate(steps.problem.projects):
        months = steps.starts[k]
        start = cp.new_int_var(months[0], months[-1], "")
        for n, month in enumerate(months[:-1]):
            begun = model.variables[steps.first[k] + n]
            cp.add(start <= month).only_enforce_if(begun)
            cp.add(start >= month + 1).only_enforce_if(begun.negated())
        intervals.append(cp.new_fixed_size_interval_var(start, project.duration_months, ""))
    demand = [need for j, need in enumerate(instance.demand) if instance.durations[j]]
    for r, capacity in enumerate(instance.capacity):
        users = [k for k, need in enumerate(demand) if need[r]]
        cp.add_cumulative([intervals[k] for k in users], [demand[k][r] for k in users], capacity)


def _plan(instance: Instance, starts: list[int]) -> dict[str, int]:
    plan = {f"a{j:03d}": start for j, start in enumerate(starts) if instance.durations[j]}
    return plan | {"end": starts[-1]}


def breaches(instance: Instance, starts: list[int]) -> list[str]:
    """Check start times straight from the rules; empty if sound."""
    found = []
    for j, after in enumerate(instance.successors):
        found += [f"{k} starts before {j} ends" for k in after if starts[k] < starts[j] + instance.durations[j]]
    for t in range(max(starts) + 1):
        running = [j for j, s in enumerate(starts) if s <= t < s + instance.durations[j]]
        for r, capacity in enumerate(instance.capacity):
            if sum(instance.demand[j][r] for j in running) > capacity:
                found.append(f"resource {r} overdrawn at {t}")
    return found
