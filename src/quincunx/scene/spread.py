"""Kernels: what gets through to each cell of a grid, from one point or along one direction.

Each body is tried only in the cells its shadow can reach: a box, and from a point the wedge between the two lines
that touch it in plan.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import helper, kernel
from quincunx.scene.bodies import Bodies
from quincunx.scene.grid import Grid
from quincunx.scene.lines import ARRAYS, CLEAR, Arrays, arrays_of, crosses, lets

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Singles = NDArray[np.float32]

Rings = tuple[Ints, Floats]
"""Where the corners of each body begin, and the corners (x, y, z)."""
RINGS = "Tuple((int64[::1], float64[:,::1]))"
Cells = tuple[float, float, float, float]
"""West and south end of the grid, the size of a cell and how high over the ground it is looked at [m]."""
CELLS = "UniTuple(float64, 4)"
Wedge = tuple[float, float, float, float]
FULL = (0.0, 0.0, 0.0, 0.0)
"""The wedge of a body that the eye is over, under or inside of: all round."""
FAR = 1e9
ASIDE_M = (0.00037, 0.00053)
"""Cells are looked at this little aside, so that no line runs in the seam between two slopes of a roof [m]."""


@helper
def wedge_of(p: int, ex: float, ey: float, all_: Arrays, rings: Rings) -> Wedge:
    """Return the directions (left x, y, right x, y) that touch body ``p`` in plan, seen from a point; or :data:`FULL`."""
    kind, crown = all_[0], all_[3]
    if kind[p] == 1 or kind[p] == 4:
        a, b = crown[p, 0] - ex, crown[p, 1] - ey
        far, r = math.hypot(a, b), max(crown[p, 3], crown[p, 4])
        if far <= r * 1.0001:
            return FULL
        s = r / far
        c = math.sqrt(1.0 - s * s)
        return (a * c - b * s, a * s + b * c, a * c + b * s, -a * s + b * c)
    first, at = rings
    k = first[p]
    left_x, left_y = at[k, 0] - ex, at[k, 1] - ey
    right_x, right_y = left_x, left_y
    for i in range(first[p], first[p + 1]):
        a, b = at[i, 0] - ex, at[i, 1] - ey
        if left_x * b - left_y * a > 0.0:
            left_x, left_y = a, b
        if right_x * b - right_y * a < 0.0:
            right_x, right_y = a, b
    if right_x * left_y - right_y * left_x <= 0.0:
        return FULL
    for i in range(first[p], first[p + 1]):
        a, b = at[i, 0] - ex, at[i, 1] - ey
        if left_x * b - left_y * a > 1e-9 or right_x * b - right_y * a < -1e-9:
            return FULL
    return (left_x, left_y, right_x, right_y)


@helper
def row_span(wedge: Wedge, b: float) -> tuple[float, float]:
    """Return from where to where, east of the eye, a wedge covers the row ``b`` north of it; (1, 0) where it doesn't."""
    low, high = -FAR, FAR
    if wedge[3] > 0.0:
        high = min(high, wedge[2] * b / wedge[3])
    elif wedge[3] < 0.0:
        low = max(low, wedge[2] * b / wedge[3])
    elif wedge[2] * b < 0.0:
        return (1.0, 0.0)
    if wedge[1] > 0.0:
        low = max(low, wedge[0] * b / wedge[1])
    elif wedge[1] < 0.0:
        high = min(high, wedge[0] * b / wedge[1])
    elif wedge[0] * b > 0.0:
        return (1.0, 0.0)
    return (low, high)


@kernel(f"UniTuple(float64, 3), float64[:,::1], {CELLS}, {ARRAYS}, {RINGS}, float32[:,::1], int64[:,::1]")
def from_point(
    eye: tuple[float, float, float], z: Floats, cells: Cells, all_: Arrays, rings: Rings, out: Singles, mark: Ints
) -> None:
    """Multiply into ``out`` what gets from a point to each cell; ``mark`` holds the last group met there (at first -1)."""
    ny, nx = z.shape
    x0, y0, size, over = cells
    ex, ey, ez = eye
    lowest = z.min() + over
    box, group, share = all_[4], all_[5], all_[6]
    for p in range(len(group)):
        if share[p] >= CLEAR:
            continue
        west, east, south, north = box[p, 0], box[p, 1], box[p, 2], box[p, 3]
        longer = FAR
        if ez > box[p, 5]:
            longer = max((ez - lowest) / (ez - box[p, 5]), 1.0)
        # Its shadow lies in the box round the body and the body carried on as far as the line over its top goes.
        west, east = min(west, ex + (west - ex) * longer), max(east, ex + (east - ex) * longer)
        south, north = min(south, ey + (south - ey) * longer), max(north, ey + (north - ey) * longer)
        wedge = wedge_of(p, ex, ey, all_, rings)
        full = wedge[0] == 0.0 and wedge[1] == 0.0
        j0 = int(max(0.0, math.floor((south - y0) / size - 0.5)))
        j1 = int(min(float(ny), math.ceil((north - y0) / size - 0.5) + 1.0))
        for j in range(j0, j1):
            b = y0 + (j + 0.5) * size - ey
            low, high = west - ex, east - ex
            if not full:
                span = row_span(wedge, b)
                low, high = max(low, span[0]), min(high, span[1])
            if high < low:
                continue
            i0 = int(max(0.0, math.floor((low + ex - x0) / size - 0.5)))
            i1 = int(min(float(nx), math.ceil((high + ex - x0) / size - 0.5) + 1.0))
            for i in range(i0, i1):
                if out[j, i] <= 0.0 or (group[p] >= 0 and mark[j, i] == group[p]):
                    continue
                run = (x0 + (i + 0.5) * size - ex, b, z[j, i] + over - ez)
                if crosses(p, eye, run, all_):
                    out[j, i] *= np.float32(lets(p, run, all_))
                    mark[j, i] = group[p]


@kernel(f"UniTuple(float64, 3), float64[:,::1], {CELLS}, {ARRAYS}, float32[:,::1], int64[:,::1]")
def along(run: tuple[float, float, float], z: Floats, cells: Cells, all_: Arrays, out: Singles, mark: Ints) -> None:
    """Multiply into ``out`` what gets to each cell along one direction: ``run`` goes up from the cell, to its far end."""
    ny, nx = z.shape
    x0, y0, size, over = cells
    low_z, high_z = z.min() + over, z.max() + over
    box, group, share = all_[4], all_[5], all_[6]
    for p in range(len(group)):
        if share[p] >= CLEAR:
            continue
        near, far = max((box[p, 4] - high_z) / run[2], 0.0), (box[p, 5] - low_z) / run[2]
        if far <= 0.0:
            continue
        back_x = (-run[0] * near, -run[0] * far)
        back_y = (-run[1] * near, -run[1] * far)
        west, east = box[p, 0] + min(back_x), box[p, 1] + max(back_x)
        south, north = box[p, 2] + min(back_y), box[p, 3] + max(back_y)
        i0 = int(max(0.0, math.floor((west - x0) / size - 0.5)))
        i1 = int(min(float(nx), math.ceil((east - x0) / size - 0.5) + 1.0))
        j0 = int(max(0.0, math.floor((south - y0) / size - 0.5)))
        j1 = int(min(float(ny), math.ceil((north - y0) / size - 0.5) + 1.0))
        for j in range(j0, j1):
            for i in range(i0, i1):
                if out[j, i] <= 0.0 or (group[p] >= 0 and mark[j, i] == group[p]):
                    continue
                at = (x0 + (i + 0.5) * size, y0 + (j + 0.5) * size, z[j, i] + over)
                if crosses(p, at, run, all_):
                    out[j, i] *= np.float32(lets(p, run, all_))
                    mark[j, i] = group[p]


@kernel(f"UniTuple(float64, 3), float64[:,::1], {CELLS}, float32[:,::1]")
def behind_ground(eye: tuple[float, float, float], z: Floats, cells: Cells, out: Singles) -> None:
    """Put out the cells that the ground of the grid itself hides from a point, stepping a cell at a time along each line."""
    ny, nx = z.shape
    x0, y0, size, over = cells
    u0, v0 = (eye[0] - x0) / size - 0.5, (eye[1] - y0) / size - 0.5
    for j in range(ny):
        for i in range(nx):
            if out[j, i] <= 0.0:
                continue
            du, dv = i - u0, j - v0
            top = z[j, i] + over
            n = int(max(abs(du), abs(dv)))
            for k in range(1, n):
                t = 1.0 - k / n  # from the cell towards the eye: what is near it hides it soonest
                u, v = u0 + du * t, v0 + dv * t
                if u < 0.0 or v < 0.0 or u > nx - 1.0 or v > ny - 1.0:
                    break
                a, b = min(int(u), nx - 2), min(int(v), ny - 2)
                fu, fv = u - a, v - b
                ground = (z[b, a] * (1.0 - fu) + z[b, a + 1] * fu) * (1.0 - fv) + (
                    z[b + 1, a] * (1.0 - fu) + z[b + 1, a + 1] * fu
                ) * fv
                if ground > eye[2] + (top - eye[2]) * t + 0.01:
                    out[j, i] = 0.0
                    break


def cells_of(grid: Grid, over_m: float) -> Cells:
    """Return a grid as the kernels take it, looked at ``over_m`` above its ground."""
    return grid.x0_m, grid.y0_m, grid.cell_m, over_m


def seen_from(
    grid: Grid, bodies: Bodies, shares: Floats, eye: tuple[float, float, float], over_m: float, *, ground: bool
) -> Singles:
    """Return what gets from a point to each cell, ``over_m`` above the ground; with ``ground`` that hides too."""
    out = np.ones(grid.z_m.shape, np.float32)
    mark = np.full(grid.z_m.shape, -1, np.int64)
    rings = (bodies.parts.first, bodies.parts.corners)
    from_point(eye, grid.z_m, cells_of(grid, over_m), arrays_of(bodies, shares), rings, out, mark)
    if ground and min(grid.z_m.shape) > 1:
        behind_ground(eye, grid.z_m, cells_of(grid, over_m), out)
    return out


def reached_along(
    grid: Grid, bodies: Bodies, shares: Floats, run: tuple[float, float, float], over_m: float
) -> Singles:
    """Return what gets to each cell, ``over_m`` above the ground, along a direction; ``run`` goes up from the cell."""
    out = np.ones(grid.z_m.shape, np.float32)
    mark = np.full(grid.z_m.shape, -1, np.int64)
    x0, y0, size, over = cells_of(grid, over_m)
    cells = (x0 + ASIDE_M[0], y0 + ASIDE_M[1], size, over)
    along(run, grid.z_m, cells, arrays_of(bodies, shares), out, mark)
    return out
