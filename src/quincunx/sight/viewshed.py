"""What of the ground an eye sees, cell by cell."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quincunx.scene import Scene
from quincunx.scene.bodies import passed
from quincunx.scene.convex import is_plane
from quincunx.scene.grid import Grid, grid_over
from quincunx.scene.spread import seen_from
from quincunx.sight._ground import ground_hides
from quincunx.sight.eyes import Eye
from quincunx.sight.seen import bodies_in, inside

Singles = NDArray[np.float32]

OVER_M = 0.02
"""Ground is looked at this much above it, so that it doesn't hide itself [m]."""


@dataclass(frozen=True, eq=False)
class View:
    """What an eye sees of the ground, ``share[row, column]`` from 0 to 1, ``height_m`` above it."""

    eye: Eye
    grid: Grid
    height_m: float
    share: Singles

    def at(self, x_m: float, y_m: float) -> float:
        """Return the share seen at a point [m]; nan off the grid."""
        row, column = int((y_m - self.grid.y0_m) // self.grid.cell_m), int((x_m - self.grid.x0_m) // self.grid.cell_m)
        inside_it = 0 <= row < self.share.shape[0] and 0 <= column < self.share.shape[1]
        return float(self.share[row, column]) if inside_it else float("nan")


def view_of(
    scene: Scene, eye: Eye, *, cell_m: float = 0.25, height_m: float = 0.0, month: int | None = None, shut: bool = False
) -> View:
    """Return what an eye sees of the ground, or of what is ``height_m`` above it, through what is porous.

    Gates stand open, or ``shut``.  Whatever the eye is inside of hides nothing.
    """
    found, grid = bodies_in(scene, shut=shut), grid_over(scene, cell_m)
    shares = found.shares(month or scene.on.month).copy()
    shares[inside(found, eye)] = 1.0
    over = max(height_m, OVER_M)
    share = seen_from(grid, found, shares, (*eye.at, eye.z_m), over, ground=not is_plane(scene.ground))
    return View(eye, grid, height_m, share)


def view_plainly(
    scene: Scene, eye: Eye, *, cell_m: float = 0.25, height_m: float = 0.0, month: int | None = None, shut: bool = False
) -> View:
    """Return the same as :func:`view_of` line by line in NumPy: slow, and its oracle."""
    found, grid = bodies_in(scene, shut=shut), grid_over(scene, cell_m)
    shares = found.shares(month or scene.on.month).copy()
    shares[inside(found, eye)] = 1.0
    end = grid.points(max(height_m, OVER_M))
    start = np.broadcast_to(eye.xyz, end.shape)
    got = np.where(ground_hides(scene.ground, start, end), 0.0, passed(found, shares, start, end))
    return View(eye, grid, height_m, got.reshape(grid.z_m.shape).astype(np.float32))
