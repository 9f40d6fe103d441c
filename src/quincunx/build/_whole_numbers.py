"""How often each way of sawing is used: whole numbers at least cost, by CP-SAT with one worker and a fixed amount of work."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple


class Whole(NamedTuple):
    """How often each way is used, a bound below the least cost, and whether the cost is the least."""

    counts: list[int]
    bound: float
    proven: bool


def whole_numbers(
    ways: Sequence[tuple[float, int, Sequence[int]]],
    wants: Sequence[int],
    hand: Sequence[int | None],
    bound: float,
    work: float,
    first: Sequence[int] = (),
) -> Whole | None:
    """Return how often to use each way (cost, stock it is sawn from, pieces) so that all ``wants`` are sawn.

    ``hand`` says how many there are of each stock (None: as many as wanted); ``bound`` is a cost known to lie below;
    ``work`` is in CP-SAT's deterministic units; ``first`` is a start to go from.  None where nothing was found.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    counts = [model.new_int_var(0, sum(wants), f"w{k}") for k in range(len(ways))]
    for i, want in enumerate(wants):
        model.add(sum(counts[k] * way[i] for k, (_, _, way) in enumerate(ways) if way[i]) >= want)
    for s, there in enumerate(hand):
        if there is not None:
            model.add(sum(counts[k] for k, (_, t, _) in enumerate(ways) if t == s) <= there)
    scale = 1 if all(float(c).is_integer() for c, _, _ in ways) else 100
    cost = sum(round(c * scale) * counts[k] for k, (c, _, _) in enumerate(ways))
    model.add(cost >= math.ceil(bound * scale - 1e-3))
    model.minimize(cost)
    for k, n in enumerate(first):
        model.add_hint(counts[k], n)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 7
    solver.parameters.max_deterministic_time = work
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return Whole([solver.value(c) for c in counts], solver.best_objective_bound / scale, status == cp_model.OPTIMAL)
