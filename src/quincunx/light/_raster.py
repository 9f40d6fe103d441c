"""Kernels: the share of each sun that reaches each cell of a grid over the ground as it lies.

The ground is a plane and what is left over it, cell by cell.  For each sun and part, each row of cells has an interval
that may be in shadow and one inside it that surely is, whatever the height of the cell within what the ground does
there; only cells between the two are tried one by one.  On a plane both are the same.

A part counts in a cell when the cell's middle is inside its shadow, the far ends left out, so that things side by side
shade no cell twice.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import kernel
from quincunx.light._outline import (
    AT_0,
    FLOATS,
    HX,
    HY,
    INTS,
    LEFT,
    LOWER,
    NO_WAY,
    PER_R,
    PER_Y,
    STANDING,
    UPPER,
    WAY,
    Floats,
    Ints,
    Numbers,
    Sun,
    first_cell,
    inside,
    outline,
    sides,
)

Singles = NDArray[np.float32]
Field = tuple[float, float, float, float]
"""West and south end of the grid, the size of a cell, and how high over the ground it is looked at [m]."""
Lie = tuple[Singles, Singles, Singles]
"""Height of each cell over the plane; least and greatest of each square of TILE cells [m]."""
Arrays = tuple[Ints, Ints, Floats, Floats, Floats, Ints]
"""Kind, first, corners, crown, tilt and group of the parts."""
World = tuple[Lie, Numbers, Field, Numbers]
"""The ground: its lie, its plane, the grid, and least, greatest and steepest over the plane."""
Paint = tuple[np.float32, int]
"""The share let through and the mark of what lets it through."""
Canvas = tuple[Singles, Ints, Floats, Floats, Ints, Ints]
"""Share of the sun and last group by cell; row ends; room for an outline (two); the box touched (rows, columns)."""

TILE = 8
FAR = 1e30
LOOSE_L, LOOSE_R, SURE_L, SURE_R = 0, 1, 2, 3


@kernel
def extremes(lie: Lie, field: Field, west: float, east: float, south: float, north: float) -> tuple[float, float]:
    """Return the least and greatest height over the plane of the ground in a box; (1, 0) where there is none."""
    low, high = lie[1], lie[2]
    rows, columns = low.shape
    size = TILE * field[2]
    i0, i1 = max((west - field[0]) / size, 0.0), min((east - field[0]) / size, columns - 1e-9)
    j0, j1 = max((south - field[1]) / size, 0.0), min((north - field[1]) / size, rows - 1e-9)
    if i1 < i0 or j1 < j0:
        return 1.0, 0.0
    least, most = low[int(j0), int(i0)], high[int(j0), int(i0)]
    for j in range(int(j0), int(j1) + 1):
        for i in range(int(i0), int(i1) + 1):
            least, most = min(least, low[j, i]), max(most, high[j, i])
    return float(least), float(most)


@kernel
def dim(canvas: Canvas, j: int, a: int, b: int, paint: Paint) -> None:
    """Let a share of the sun through to cells a to b of row j, once for each mark (-1: without counting)."""
    t, mark = paint
    share, last, box = canvas[0], canvas[1], canvas[5]
    if b <= a:
        return
    box[0], box[1] = min(box[0], j), max(box[1], j + 1)
    box[2], box[3] = min(box[2], a), max(box[3], b)
    if mark < 0:
        for i in range(a, b):
            share[j, i] *= t
        return
    for i in range(a, b):
        if last[j, i] != mark:
            last[j, i] = mark
            share[j, i] *= t


@kernel
def row_ends(m: int, d: float, ky: float, field: Field, canvas: Canvas) -> tuple[int, int, int, int]:
    """Write the ends of each row that may be, and surely is, inside m sides for cells 0 to d above where they were made.

    Return the first row and the one after the last, of both.
    """
    rows, spare, marks = canvas[2], canvas[3], canvas[4]
    most, per_m = rows.shape[1], 1.0 / field[2]
    low, high = spare[HY, :m].min() + min(0.0, d * ky), spare[HY, :m].max() + max(0.0, d * ky)
    j0, j1 = first_cell(low, field[1], per_m, most), first_cell(high, field[1], per_m, most)
    s0, s1 = j0, j1
    for j in range(j0, j1):
        rows[LOOSE_L, j], rows[LOOSE_R, j], rows[SURE_L, j], rows[SURE_R, j] = -FAR, FAR, -FAR, FAR
    for e in range(m):
        way, per_y, slide = marks[WAY, e], spare[PER_Y, e], spare[PER_R, e] * d
        back, forth = min(0.0, slide), max(0.0, slide)
        if way == LOWER:
            s0 = max(s0, first_cell(spare[AT_0, e] + forth, field[1], per_m, most))
        elif way == UPPER:
            s1 = min(s1, first_cell(spare[AT_0, e] + back, field[1], per_m, most))
        elif way != NO_WAY:
            a, b = j0, j1
            if d == 0.0:
                k = e + 1 if e + 1 < m else 0
                ya, yb = min(spare[HY, e], spare[HY, k]), max(spare[HY, e], spare[HY, k])
                a, b = first_cell(ya, field[1], per_m, most), first_cell(yb, field[1], per_m, most)
            loose, sure = (LOOSE_L, SURE_L) if way == LEFT else (LOOSE_R, SURE_R)
            x, step = spare[AT_0, e] + per_y * (field[1] + (a + 0.5) * field[2]), per_y * field[2]
            for j in range(a, b):
                if way == LEFT:
                    rows[loose, j], rows[sure, j] = max(rows[loose, j], x + back), max(rows[sure, j], x + forth)
                else:
                    rows[loose, j], rows[sure, j] = min(rows[loose, j], x + forth), min(rows[sure, j], x + back)
                x += step
    return j0, j1, s0, s1


@kernel
def shade_corners(p: int, paint: Paint, parts: Arrays, sun: Sun, world: World, canvas: Canvas) -> None:
    """Shade the cells that a part with corners hides from a sun."""
    lie, plane, field, span = world
    kind, spare, marks = parts[0][p], canvas[3], canvas[4]
    ring, tilt = parts[2][parts[1][p] : parts[1][p + 1]], parts[4][p]
    kx, ky = sun[0] * sun[3], sun[1] * sun[3]
    ny, nx = canvas[0].shape
    east, north = field[0] + nx * field[2], field[1] + ny * field[2]
    rest, top = span[0], span[1]
    m, low, _ = outline(kind, ring, tilt, sun, rest, plane, spare, marks)
    for again in range(2):
        d = top - rest
        if m == 0:
            return
        x0, x1 = spare[HX, :m].min() + min(0.0, d * kx), spare[HX, :m].max() + max(0.0, d * kx)
        y0, y1 = spare[HY, :m].min() + min(0.0, d * ky), spare[HY, :m].max() + max(0.0, d * ky)
        if x1 < field[0] or x0 > east or y1 < field[1] or y0 > north:
            return
        if again == 1 or d == 0.0:
            break
        was = rest
        rest, top = extremes(lie, field, x0, x1, y0, y1)
        if top < rest:
            return
        if rest != was:
            m, low, _ = outline(kind, ring, tilt, sun, rest, plane, spare, marks)
    sides(spare, marks, m, kx, ky)
    if kind != STANDING and top > low:
        fill_met(p, m, (rest, top - rest, ky), paint, parts, sun, world, canvas)
    else:
        fill(m, (rest, top - rest, ky), paint, world, canvas)


@kernel
def fill(m: int, rise: Numbers, paint: Paint, world: World, canvas: Canvas) -> None:
    """Shade the cells inside m sides.

    ``rise`` is where the sides were made, how much higher the ground gets there, and how far north a metre moves them.
    """
    rest, d, ky = rise
    lie, field = world[0], world[2]
    rows, spare, marks = canvas[2], canvas[3], canvas[4]
    nx, per_m = canvas[0].shape[1], 1.0 / field[2]
    j0, j1, s0, s1 = row_ends(m, d, ky, field, canvas)
    for j in range(j0, j1):
        if rows[LOOSE_L, j] >= rows[LOOSE_R, j]:
            continue
        a, b = first_cell(rows[LOOSE_L, j], field[0], per_m, nx), first_cell(rows[LOOSE_R, j], field[0], per_m, nx)
        sa, sb = b, b
        if d == 0.0:
            sa = a
        elif s0 <= j < s1 and rows[SURE_L, j] < rows[SURE_R, j]:
            sa = max(a, first_cell(rows[SURE_L, j], field[0], per_m, nx))
            sb = max(sa, min(b, first_cell(rows[SURE_R, j], field[0], per_m, nx)))
        dim(canvas, j, sa, sb, paint)
        y = field[1] + (j + 0.5) * field[2]
        for i in range(a, b):
            if (i < sa or i >= sb) and inside(field[0] + (i + 0.5) * field[2], y, lie[0][j, i] - rest, m, spare, marks):
                dim(canvas, j, i, i + 1, paint)


@kernel
def fill_met(
    p: int, m: int, rise: Numbers, paint: Paint, parts: Arrays, sun: Sun, world: World, canvas: Canvas
) -> None:
    """Shade as :func:`fill` does, by a part that the ground may reach into: an outline of what is above, cell by cell."""
    lie, plane, field, _ = world
    rows, spare, marks = canvas[2], canvas[3], canvas[4]
    nx, per_m = canvas[0].shape[1], 1.0 / field[2]
    ring, tilt = parts[2][parts[1][p] : parts[1][p + 1]], parts[4][p]
    j0, j1, _, _ = row_ends(m, rise[1], rise[2], field, canvas)
    for j in range(j0, j1):
        if rows[LOOSE_L, j] >= rows[LOOSE_R, j]:
            continue
        a, b = first_cell(rows[LOOSE_L, j], field[0], per_m, nx), first_cell(rows[LOOSE_R, j], field[0], per_m, nx)
        y = field[1] + (j + 0.5) * field[2]
        for i in range(a, b):
            n, _, _ = outline(parts[0][p], ring, tilt, sun, float(lie[0][j, i]), plane, spare, marks)
            sides(spare, marks, n, 0.0, 0.0)
            if n > 0 and inside(field[0] + (i + 0.5) * field[2], y, 0.0, n, spare, marks):
                dim(canvas, j, i, i + 1, paint)


@kernel
def start(lie: Lie, corners: int) -> Canvas:
    """Return an empty canvas for a grid and outlines of so many corners."""
    ny, nx = lie[0].shape
    return (
        np.empty((ny, nx), np.float32),
        np.full((ny, nx), -1, np.int64),
        np.empty((4, ny)),
        np.empty((FLOATS, corners)),
        np.empty((INTS, corners), np.int64),
        np.zeros(4, np.int64),
    )


@kernel
def clear(canvas: Canvas) -> None:
    """Empty the box touched."""
    canvas[5][0], canvas[5][1] = canvas[0].shape[0], 0
    canvas[5][2], canvas[5][3] = canvas[0].shape[1], 0
