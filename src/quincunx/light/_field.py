"""A grid over the ground of a scene: its cells, the plane nearest to them and what is left over it."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from quincunx.scene import Scene

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

TILE = 8
"""Cells in a row of the squares whose least and greatest height is kept."""
SMOOTH_M = 0.002
"""Ground nowhere further off a plane than this is taken as that plane [m]."""
MOST_CELLS = 4_000_000
MARGIN = 1e-6


@dataclass(frozen=True, eq=False)
class Field:
    """Square cells from (``x0_m``, ``y0_m``), rows north, columns east, and the ground's height at their middles."""

    x0_m: float
    y0_m: float
    cell_m: float
    z_m: Floats

    @cached_property
    def x_m(self) -> Floats:
        """Return the middles of the columns [m]."""
        return np.asarray(self.x0_m + (np.arange(self.z_m.shape[1]) + 0.5) * self.cell_m, np.float64)

    @cached_property
    def y_m(self) -> Floats:
        """Return the middles of the rows [m]."""
        return np.asarray(self.y0_m + (np.arange(self.z_m.shape[0]) + 0.5) * self.cell_m, np.float64)

    @cached_property
    def plane(self) -> tuple[float, float, float]:
        """Return the rise east and north, and the height at (0, 0), of the plane nearest to the cells."""
        x, y, z = self.x_m - self.x_m.mean(), self.y_m - self.y_m.mean(), self.z_m - self.z_m.mean()
        east = float(z.sum(axis=0) @ x / (max(x @ x, MARGIN) * len(y)))
        north = float(z.sum(axis=1) @ y / (max(y @ y, MARGIN) * len(x)))
        return east, north, float(self.z_m.mean() - east * self.x_m.mean() - north * self.y_m.mean())

    @cached_property
    def over(self) -> Singles:
        """Return how high each cell lies over the plane [m]; all 0 where the ground is one."""
        east, north, at = self.plane
        left = self.z_m - (east * self.x_m + north * self.y_m[:, None] + at)
        return np.ascontiguousarray(left if np.abs(left).max() > SMOOTH_M else np.zeros_like(left), np.float32)

    @cached_property
    def lie(self) -> tuple[Singles, Singles, Singles]:
        """Return :attr:`over`, and its least and greatest in squares of TILE cells."""
        rows, columns = self.over.shape
        down, across = -(-rows // TILE), -(-columns // TILE)
        padded = np.pad(self.over, ((0, down * TILE - rows), (0, across * TILE - columns)), mode="edge")
        squares = padded.reshape(down, TILE, across, TILE)
        return self.over, np.ascontiguousarray(squares.min((1, 3))), np.ascontiguousarray(squares.max((1, 3)))

    @cached_property
    def span(self) -> tuple[float, float, float]:
        """Return the least and greatest of :attr:`over` [m] and its greatest rise from cell to cell (m per m)."""
        steps = [np.abs(np.diff(self.over, axis=a)).max(initial=0.0) for a in (0, 1)]
        return float(self.over.min()), float(self.over.max()), float(np.hypot(*steps) / self.cell_m)


_KEPT: OrderedDict[tuple[object, ...], Field] = OrderedDict()
_MOST = 16


def field_of(scene: Scene, cell_m: float) -> Field:
    """Return the grid over a scene's boundary, its cells on whole multiples of their size; kept for the next time.

    Raises ValueError when there would be more than four million cells.
    """
    west, south, east, north = scene.boundary.bounds
    if not cell_m > 0 or (east - west) * (north - south) / cell_m**2 > MOST_CELLS:
        raise ValueError(
            f"got cells of {cell_m} m for ground of {east - west:.0f} by {north - south:.0f} m; expected at most four "
            "million of them; try 0.25 m"
        )
    i0, j0 = np.floor(west / cell_m + MARGIN), np.floor(south / cell_m + MARGIN)
    columns, rows = np.ceil(east / cell_m - MARGIN) - i0, np.ceil(north / cell_m - MARGIN) - j0
    key = (scene.ground.key(), i0, j0, columns, rows, cell_m)
    if key not in _KEPT:
        x0, y0 = float(i0 * cell_m), float(j0 * cell_m)
        x = x0 + (np.arange(max(int(columns), 1)) + 0.5) * cell_m
        y = y0 + (np.arange(max(int(rows), 1)) + 0.5) * cell_m
        _KEPT[key] = Field(x0, y0, cell_m, np.asarray(scene.ground.height(*np.meshgrid(x, y))))
        while len(_KEPT) > _MOST:
            _KEPT.popitem(last=False)
    return _KEPT[key]
