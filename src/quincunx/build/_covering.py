"""The linear programme of cutting: least cost of ways that cover every want, by the dual simplex method on a dense table.

Costs are none below nothing, so the start with no board at all is dual feasible and no first phase is needed (C. Lemke,
The dual method of solving the linear programming problem, Naval Research Logistics Quarterly 1, 1954; from memory).
Small and dense as these are, a table in NumPy answers before a solver is loaded.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

TINY = 1e-9
CAREFUL = 300
"""After so many turns the first candidate is taken, which can't go round in circles (R. Bland 1977; from memory)."""


class Covered(NamedTuple):
    """The least ``value``, the ``shares`` of the ways, what one more want costs, and what one more allowed saves."""

    value: float
    shares: Floats
    wants: Floats
    allowed: Floats


def covering(costs: Floats, table: Floats, wants: Floats, limits: Floats, allowed: Floats) -> Covered | None:
    """Minimise ``costs`` x over x >= 0 with ``table`` x >= ``wants`` and ``limits`` x <= ``allowed``.

    None where the wants can't be covered, or where the table turned too long.
    """
    import numpy as np

    ways, rows = len(costs), len(wants) + len(allowed)
    grid = np.zeros((rows + 1, ways + rows + 1))
    grid[: len(wants), :ways], grid[: len(wants), -1] = -table, -wants
    grid[len(wants) : rows, :ways], grid[len(wants) : rows, -1] = limits, allowed
    grid[np.arange(rows), ways + np.arange(rows)] = 1.0
    grid[rows, :ways] = costs
    base = ways + np.arange(rows)
    for turn in range(40 * (rows + 10)):
        right = grid[:rows, -1]
        short = np.flatnonzero(right < -TINY)
        if not len(short):
            shares = np.zeros(ways + rows)
            shares[base] = right
            prices = np.maximum(grid[rows, ways : ways + rows], 0.0)
            return Covered(float(-grid[rows, -1]), shares[:ways], prices[: len(wants)], prices[len(wants) :])
        row = int(short[np.argmin(base[short])] if turn > CAREFUL else short[np.argmin(right[short])])
        down = np.flatnonzero(grid[row, :-1] < -TINY)
        if not len(down):
            return None
        ratio = np.maximum(grid[rows, down], 0.0) / -grid[row, down]
        column = int(down[np.flatnonzero(ratio <= ratio.min() + TINY)[0]])
        grid[row] /= grid[row, column]
        others = grid[:, column].copy()
        others[row] = 0.0
        grid -= np.outer(others, grid[row])
        base[row] = column
    return None


def over_least(cost: float, bound: float, *, proven: bool) -> float:
    """Return by which share a cost may lie over the least one, which is no less than ``bound``."""
    return 0.0 if proven or cost <= 0 else max(cost - bound, 0.0) / cost
