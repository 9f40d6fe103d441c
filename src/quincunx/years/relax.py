"""The linear relaxation of the steps: a proven upper bound, and a guide for lists."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from quincunx.years.steps import FREE, Steps

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt
    import scipy.sparse as sp


@dataclass(frozen=True)
class Relaxed:
    """Value of the relaxation (None: not even the relaxation has a plan), the variables at it, and row prices.

    ``prices`` is what one unit more of each of the steps' rows would add to the value.
    """

    bound: float | None
    values: npt.NDArray[np.float64]
    prices: npt.NDArray[np.float64]


def matrix(steps: Steps) -> tuple[sp.csr_array, npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Rows and two-literal rules as ``low <= A x <= high``; a missing bound is infinite."""
    import numpy as np
    import scipy.sparse as sp

    indices = [v for row in steps.rows for v in row.terms]
    data = [c for row in steps.rows for c in row.terms.values()]
    lengths = [len(row.terms) for row in steps.rows]
    if_then = np.array(steps.implies, dtype=np.int64).reshape(-1, 2)
    columns = np.concatenate([np.array(indices, dtype=np.int64), if_then.ravel()])
    values = np.concatenate([np.array(data, dtype=float), np.tile([1.0, -1.0], len(if_then))])
    pointer = np.concatenate([[0], np.cumsum(lengths + [2] * len(if_then))])
    low = np.array([-np.inf if row.low <= FREE else row.low for row in steps.rows] + [-np.inf] * len(if_then))
    high = np.array([float(row.high) for row in steps.rows] + [0.0] * len(if_then))
    return sp.csr_array((values, columns, pointer), shape=(len(pointer) - 1, steps.count)), low, high


def relax(steps: Steps) -> Relaxed:
    """Solve the relaxation to optimality (dual simplex; the same steps give the same answer).

    The bound is rounded up by one part in a million, far more than the solver's tolerance, to stay a bound.
    """
    import numpy as np
    from ortools.linear_solver.python import model_builder_helper as helper

    if steps.impossible:
        return Relaxed(None, np.zeros(steps.count), np.zeros(len(steps.rows)))
    if not steps.count:
        return Relaxed(float(steps.worth_always), np.zeros(0), np.zeros(len(steps.rows)))
    a, low, high = matrix(steps)
    worth = np.zeros(steps.count)
    worth[list(steps.worth)] = list(steps.worth.values())
    model: Any = helper.ModelBuilderHelper()
    # Costs are scaled to the size of one, where the solver's tolerances are meant to work.
    scale = max(1.0, float(np.max(worth, initial=0.0)))
    model.fill_model_from_sparse_data(np.zeros(steps.count), np.ones(steps.count), -worth / scale, low, high, a)
    solver = helper.ModelSolverHelper("glop")
    solver.set_solver_specific_parameters("use_dual_simplex: true use_preprocessing: false")
    solver.solve(model)
    if solver.status() != helper.SolveStatus.OPTIMAL:
        return Relaxed(None, np.zeros(steps.count), np.zeros(len(steps.rows)))
    values = np.asarray(solver.variable_values())
    prices = -scale * np.asarray(solver.dual_values())[: len(steps.rows)]
    return Relaxed(float(worth @ values) * (1 + 1e-6) + steps.worth_always, values, prices)


def list_starts(steps: Steps, values: npt.NDArray[np.float64], share: float) -> list[str]:
    """Order the projects by the month in which the relaxation has begun ``share`` of each (alpha points).

    The alpha-point lists are those of Phillips, Stein and Wein (Math. Programming 82, 1998, 199-223; citation
    from memory).
    """
    keys: list[tuple[bool, float, float, str]] = []
    for k, project in enumerate(steps.problem.projects):
        months, first = steps.starts[k], steps.first[k]
        if first < 0 or not months:
            keys.append((not project.required, -1.0, 0.0, project.id))
            continue
        begun = values[first : first + len(months)]
        top = float(begun[-1])
        month = next((t for t, z in zip(months, begun, strict=True) if z >= share * top and z > 1e-6), 10**6)
        keys.append((False, float(month), -top, project.id))
    return [key[-1] for key in sorted(keys)]
