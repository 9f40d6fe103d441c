"""A grid of square cells over the ground of a scene, for what is seen or wetted where."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quincunx.scene.scene import Scene

Floats = NDArray[np.float64]

MOST_CELLS = 4_000_000
MARGIN = 1e-6


@dataclass(frozen=True, eq=False)
class Grid:
    """Square cells from (``x0_m``, ``y0_m``), rows north, columns east, and the ground's height at their middles [m]."""

    x0_m: float
    y0_m: float
    cell_m: float
    z_m: Floats

    def points(self, over_m: float = 0.0) -> Floats:
        """Return the middles of all cells, ``over_m`` above the ground, row by row (n, 3) [m]."""
        rows, columns = self.z_m.shape
        x, y = np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5)
        at = np.column_stack([x.ravel(), y.ravel()]) * self.cell_m + (self.x0_m, self.y0_m)
        return np.column_stack([at, self.z_m.ravel() + over_m])


_KEPT: OrderedDict[tuple[object, ...], Grid] = OrderedDict()
_MOST = 16


def grid_over(scene: Scene, cell_m: float, bounds: tuple[float, float, float, float] | None = None) -> Grid:
    """Return the grid over a scene's boundary, its cells on whole multiples of their size; kept for the next time.

    With ``bounds`` (west, south, east, north) it lies over these instead [m].

    Raises ValueError when there would be more than four million cells.
    """
    west, south, east, north = bounds or scene.boundary.bounds
    if not cell_m > 0 or (east - west) * (north - south) / cell_m**2 > MOST_CELLS:
        raise ValueError(
            f"got cells of {cell_m} m for {east - west:.0f} by {north - south:.0f} m; expected larger ones"
        )
    i0, j0 = np.floor(west / cell_m + MARGIN), np.floor(south / cell_m + MARGIN)
    columns, rows = int(np.ceil(east / cell_m - MARGIN) - i0), int(np.ceil(north / cell_m - MARGIN) - j0)
    key = (scene.ground.key(), i0, j0, columns, rows, cell_m)
    if key not in _KEPT:
        x0, y0 = float(i0 * cell_m), float(j0 * cell_m)
        x, y = x0 + (np.arange(max(columns, 1)) + 0.5) * cell_m, y0 + (np.arange(max(rows, 1)) + 0.5) * cell_m
        _KEPT[key] = Grid(x0, y0, cell_m, np.ascontiguousarray(scene.ground.height(*np.meshgrid(x, y))))
        while len(_KEPT) > _MOST:
            _KEPT.popitem(last=False)
    return _KEPT[key]
