"""Kernels: the share of each sun that reaches each cell of a grid over the ground as it lies.

The ground is a plane and what is left over it, cell by cell.  For each sun and part, each row of cells has an interval
that may be in shadow, whatever the height of a cell within what the ground does there.  On a plane it is the shadow;
else each cell in it is tried against the sides that move with its height.

A part counts in a cell when the cell's middle is inside its shadow, the far ends left out, so that things side by side
shade no cell twice.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import helper, kernel
from quincunx.light._outline import (
    AT_0,
    FLOATS,
    HX,
    HY,
    INTS,
    LEFT,
    LEFT_0,
    LEFT_R,
    LEFT_Y,
    LOWER,
    NO_WAY,
    PER_R,
    PER_Y,
    RIGHT,
    RIGHT_0,
    RIGHT_R,
    RIGHT_Y,
    STANDING,
    TINY,
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
Ends = tuple[float, float, float, float]
"""Two ends of a row: where each is, and how far it moves for a metre of height."""
Box = tuple[float, float, float, float]
Shorts = NDArray[np.int32]
Canvas = tuple[Singles, Ints, Floats, Floats, Ints, Ints, Floats, Floats, Shorts, Floats, Singles, Floats, Singles]
"""Share of the sun and last group by cell; row ends; room for an outline (two); the box touched (rows, columns); x of
the columns' middles and y of the rows'; room for the runs of cells of rows, and for a number each;
room for a share of each cell of a row; the numbers of the columns; their middles' x again."""

TILE = 8
FAR = 1e30
LOOSE_L, LOOSE_R = 0, 1


@helper
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


@helper
def touch(canvas: Canvas, j: int, a: int, b: int) -> None:
    """Widen the box touched by cells a to b of row j."""
    box = canvas[5]
    if a < b:
        box[0], box[1] = min(box[0], j), max(box[1], j + 1)
        box[2], box[3] = min(box[2], a), max(box[3], b)


@helper
def paint_rows(j0: int, j1: int, paint: Paint, field: Field, canvas: Canvas) -> None:
    """Let a share of the sun through to the cells between the loose ends of rows j0 to j1."""
    t, mark = paint
    share, last, rows, box = canvas[0], canvas[1], canvas[2], canvas[5]
    nx, per_m, least, most = share.shape[1], 1.0 / field[2], share.shape[1], 0
    for j in range(j0, j1):
        if rows[LOOSE_L, j] >= rows[LOOSE_R, j]:
            continue
        a, b = first_cell(rows[LOOSE_L, j], field[0], per_m, nx), first_cell(rows[LOOSE_R, j], field[0], per_m, nx)
        if a < b:
            least, most = min(least, a), max(most, b)
        if mark < 0:
            piece = share[j][a:b]  # a row's own numbers from 0 on, which several at a time can be worked on
            for i in range(len(piece)):
                piece[i] *= t
        else:
            for i in range(a, b):
                if last[j, i] != mark:
                    last[j, i] = mark
                    share[j, i] *= t
    if least < most:
        box[0], box[1] = min(box[0], j0), max(box[1], j1)
        box[2], box[3] = min(box[2], least), max(box[3], most)


@helper
def ends(spare: Floats, row: int, m: int) -> tuple[float, float]:
    """Return the least and greatest of m numbers in a row."""
    low = high = spare[row, 0]
    for i in range(1, m):
        low, high = min(low, spare[row, i]), max(high, spare[row, i])
    return low, high


@helper
def plain_ends(m: int, field: Field, canvas: Canvas) -> tuple[int, int]:
    """Write the ends of each row between m corners; return the first row and the one after the last."""
    rows, spare = canvas[2], canvas[3]
    most, per_m = rows.shape[1], 1.0 / field[2]
    low, high = ends(spare, HY, m)
    j0, j1 = first_cell(low, field[1], per_m, most), first_cell(high, field[1], per_m, most)
    for j in range(j0, j1):
        rows[LOOSE_L, j], rows[LOOSE_R, j] = FAR, -FAR
    for e in range(m):
        k = e + 1 if e + 1 < m else 0
        xa, ya, xb, yb = spare[HX, e], spare[HY, e], spare[HX, k], spare[HY, k]
        side = LOOSE_L
        if ya < yb:
            side = LOOSE_R
        else:
            xa, ya, xb, yb = xb, yb, xa, ya
        a, b = first_cell(ya, field[1], per_m, most), first_cell(yb, field[1], per_m, most)
        if a >= b:
            continue
        per_y = (xb - xa) / (yb - ya)
        x, step = xa + per_y * (field[1] + (a + 0.5) * field[2] - ya), per_y * field[2]
        for j in range(a, b):
            rows[side, j] = x
            x += step
    return j0, j1


@helper
def farther(ends: Floats, y: Floats, at: float, per_y: float) -> None:
    """Move ends of rows east to a side's, where that is farther east."""
    for i in range(len(ends)):
        x = at + per_y * y[i]
        ends[i] = max(ends[i], x)


@helper
def nearer(ends: Floats, y: Floats, at: float, per_y: float) -> None:
    """Move ends of rows west to a side's, where that is farther west."""
    for i in range(len(ends)):
        x = at + per_y * y[i]
        ends[i] = min(ends[i], x)


@helper
def row_ends(m: int, d: float, ky: float, field: Field, canvas: Canvas) -> tuple[int, int, int, int]:
    """Write the ends of each row that may be inside m sides, for cells 0 to d above where the sides were made.

    A side counts in the rows it may cross as it moves; rows that none crosses on both hands are outside.  Return the
    first row and the one after the last, and the same of those that no lower or upper side leaves in doubt.
    """
    spare, marks, ys = canvas[3], canvas[4], canvas[7]
    left, right = canvas[2][LOOSE_L], canvas[2][LOOSE_R]
    most, per_m = len(ys), 1.0 / field[2]
    low, high = ends(spare, HY, m)
    j0 = first_cell(low + min(0.0, d * ky), field[1], per_m, most)
    j1 = first_cell(high + max(0.0, d * ky), field[1], per_m, most)
    s0, s1, pad = j0, j1, abs(d * ky) + TINY
    left[j0:j1] = -FAR
    right[j0:j1] = FAR
    for e in range(m):
        way, per_y, slide, at = marks[WAY, e], spare[PER_Y, e], spare[PER_R, e] * d, spare[AT_0, e]
        back, forth = min(0.0, slide), max(0.0, slide)
        if way == LOWER:
            s0 = max(s0, first_cell(at + forth, field[1], per_m, most))
        elif way == UPPER:
            s1 = min(s1, first_cell(at + back, field[1], per_m, most))
        elif way != NO_WAY:
            k = e + 1 if e + 1 < m else 0
            ya, yb = min(spare[HY, e], spare[HY, k]) - pad, max(spare[HY, e], spare[HY, k]) + pad
            a, b = max(first_cell(ya, field[1], per_m, most), j0), min(first_cell(yb, field[1], per_m, most), j1)
            if way == LEFT:
                farther(left[a:b], ys[a:b], at + back, per_y)
            else:
                nearer(right[a:b], ys[a:b], at + forth, per_y)
    for j in range(j0, j1):
        if left[j] == -FAR or right[j] == FAR:
            left[j], right[j] = FAR, -FAR
    return j0, j1, s0, s1


@helper
def beside(m: int, d: float, k: tuple[float, float], shape: tuple[int, int], field: Field, spare: Floats) -> Box:
    """Return west, east, south and north ends of an outline over ground up to d higher; west FAR where off the grid."""
    x0, x1 = ends(spare, HX, m)
    y0, y1 = ends(spare, HY, m)
    x0, x1 = x0 + min(0.0, d * k[0]), x1 + max(0.0, d * k[0])
    y0, y1 = y0 + min(0.0, d * k[1]), y1 + max(0.0, d * k[1])
    east, north = field[0] + shape[1] * field[2], field[1] + shape[0] * field[2]
    return FAR if x1 < field[0] or x0 > east or y1 < field[1] or y0 > north else x0, x1, y0, y1


@helper
def shade_corners(p: int, paint: Paint, parts: Arrays, sun: Sun, world: World, canvas: Canvas) -> None:
    """Shade the cells that a part with corners hides from a sun."""
    lie, plane, field, span = world
    kind, spare, marks = parts[0][p], canvas[3], canvas[4]
    ring, tilt = parts[2][parts[1][p] : parts[1][p + 1]], parts[4][p]
    k = sun[0] * sun[3], sun[1] * sun[3]
    rest, top = span[0], span[1]
    m, low, _ = outline(kind, ring, tilt, sun, rest, plane, spare, marks)
    if m == 0:
        return
    x0, x1, y0, y1 = beside(m, top - rest, k, canvas[0].shape, field, spare)
    if x0 == FAR:
        return
    if top > rest:
        rest, top = extremes(lie, field, x0, x1, y0, y1)
        if top < rest:
            return
        m, low, _ = outline(kind, ring, tilt, sun, rest, plane, spare, marks)
        if m == 0 or beside(m, top - rest, k, canvas[0].shape, field, spare)[0] == FAR:
            return
    if rest == top and (kind == STANDING or top <= low):
        j0, j1 = plain_ends(m, field, canvas)
        paint_rows(j0, j1, paint, field, canvas)
        return
    sides(spare, marks, m, k[0], k[1])
    if kind != STANDING and top > low:
        fill_met(p, m, (rest, top - rest, k[1]), paint, parts, sun, world, canvas)
    else:
        fill(m, (rest, top - rest, k[1]), paint, world, canvas)


@helper
def moving_sides(rest: float, m: int, spare: Floats, marks: Ints) -> tuple[int, int]:
    """List the left and the right sides that move: their x at y = 0 for ground at the plane, by y and by height.

    Return how many of each; where there are fewer than two the list is filled up with one that is far off.  Right
    sides are listed with their signs turned.
    """
    left = right = 0
    for k in range(2):
        spare[LEFT_0, k] = spare[RIGHT_0, k] = -FAR
        spare[LEFT_Y, k] = spare[LEFT_R, k] = spare[RIGHT_Y, k] = spare[RIGHT_R, k] = 0.0
    for e in range(m):
        way, moves, at, per_y = marks[WAY, e], spare[PER_R, e], spare[AT_0, e], spare[PER_Y, e]
        if moves != 0.0 and way == LEFT:
            spare[LEFT_0, left], spare[LEFT_Y, left], spare[LEFT_R, left] = at - moves * rest, per_y, moves
            left += 1
        elif moves != 0.0 and way == RIGHT:
            spare[RIGHT_0, right], spare[RIGHT_Y, right] = TINY - (at - moves * rest), -per_y
            spare[RIGHT_R, right] = -moves
            right += 1
    return left, right


@helper
def two(y: float, at: int, per_y: int, per_r: int, spare: Floats) -> Ends:
    """Return two listed sides at y."""
    first = spare[at, 0] + spare[per_y, 0] * y
    return first, spare[per_r, 0], spare[at, 1] + spare[per_y, 1] * y, spare[per_r, 1]


@helper
def shade_between(share: Singles, up: Singles, x: Floats, left: Ends, right: Ends, t: np.float32) -> None:
    """Shade the cells of a piece of row that are between two moving ends on each hand; no branches, so quickly."""
    one = np.float32(1.0)
    for i in range(len(share)):
        at, r = x[i], up[i]
        beyond = (at >= left[0] + left[1] * r) & (at >= left[2] + left[3] * r)
        within = (-at >= right[0] + right[1] * r) & (-at >= right[2] + right[3] * r)
        share[i] *= t if beyond & within else one


@helper
def once_between(share: Singles, last: Ints, up: Singles, x: Floats, left: Ends, right: Ends, paint: Paint) -> None:
    """Do the same, but only in cells that do not have the mark, and mark those that are between."""
    one, (t, mark) = np.float32(1.0), paint
    for i in range(len(share)):
        at, r, was = x[i], up[i], last[i]
        beyond = (at >= left[0] + left[1] * r) & (at >= left[2] + left[3] * r)
        within = (-at >= right[0] + right[1] * r) & (-at >= right[2] + right[3] * r)
        share[i] *= t if beyond & within & (was != mark) else one
        last[i] = mark if beyond & within else was


@helper
def fill(m: int, rise: Numbers, paint: Paint, world: World, canvas: Canvas) -> None:
    """Shade the cells inside m sides.

    ``rise`` is where the sides were made, how much higher the ground gets there, and how far north a metre moves them.
    """
    rest, d, ky = rise
    up, field, (t, mark) = world[0][0], world[2], paint
    share, last, rows, spare, marks, box = canvas[0], canvas[1], canvas[2], canvas[3], canvas[4], canvas[5]
    xs, ys = canvas[6], canvas[7]
    nx, per_m = share.shape[1], 1.0 / field[2]
    lefts, rights = moving_sides(rest, m, spare, marks)
    few = lefts <= 2 and rights <= 2
    j0, j1, s0, s1 = row_ends(m, d, ky, field, canvas)
    for j in range(j0, j1):
        if rows[LOOSE_L, j] >= rows[LOOSE_R, j]:
            continue
        a, b = first_cell(rows[LOOSE_L, j], field[0], per_m, nx), first_cell(rows[LOOSE_R, j], field[0], per_m, nx)
        box[0], box[1], box[2], box[3] = min(box[0], j), max(box[1], j + 1), min(box[2], a), max(box[3], b)
        if few and s0 <= j < s1:
            left, right = two(ys[j], LEFT_0, LEFT_Y, LEFT_R, spare), two(ys[j], RIGHT_0, RIGHT_Y, RIGHT_R, spare)
            if mark < 0:
                shade_between(share[j][a:b], up[j][a:b], xs[a:b], left, right, t)
            else:
                once_between(share[j][a:b], last[j][a:b], up[j][a:b], xs[a:b], left, right, paint)
            continue
        for i in range(a, b):
            if inside(xs[i], ys[j], up[j, i] - rest, m, spare) and (mark < 0 or last[j, i] != mark):
                last[j, i] = mark
                share[j, i] *= t


@helper
def fill_met(
    p: int, m: int, rise: Numbers, paint: Paint, parts: Arrays, sun: Sun, world: World, canvas: Canvas
) -> None:
    """Shade as :func:`fill` does, by a part that the ground may reach into: an outline of what is above, cell by cell."""
    lie, plane, field, _ = world
    share, last, rows, spare, marks = canvas[0], canvas[1], canvas[2], canvas[3], canvas[4]
    nx, per_m, (t, mark) = share.shape[1], 1.0 / field[2], paint
    ring, tilt = parts[2][parts[1][p] : parts[1][p + 1]], parts[4][p]
    j0, j1, _, _ = row_ends(m, rise[1], rise[2], field, canvas)
    for j in range(j0, j1):
        if rows[LOOSE_L, j] >= rows[LOOSE_R, j]:
            continue
        a, b = first_cell(rows[LOOSE_L, j], field[0], per_m, nx), first_cell(rows[LOOSE_R, j], field[0], per_m, nx)
        y = field[1] + (j + 0.5) * field[2]
        touch(canvas, j, a, b)
        for i in range(a, b):
            n, _, _ = outline(parts[0][p], ring, tilt, sun, float(lie[0][j, i]), plane, spare, marks)
            sides(spare, marks, n, 0.0, 0.0)
            hit = n > 0 and inside(field[0] + (i + 0.5) * field[2], y, 0.0, n, spare)
            if hit and (mark < 0 or last[j, i] != mark):
                last[j, i] = mark
                share[j, i] *= t


@kernel
def start(lie: Lie, field: Field, corners: int) -> Canvas:
    """Return an empty canvas for a grid and outlines of so many corners."""
    ny, nx = lie[0].shape
    return (
        np.empty((ny, nx), np.float32),
        np.full((ny, nx), -1, np.int64),
        np.zeros((2, ny)),
        np.empty((FLOATS, corners)),
        np.empty((INTS, corners), np.int64),
        np.zeros(4, np.int64),
        field[0] + (np.arange(nx).astype(np.float64) + 0.5) * field[2],
        field[1] + (np.arange(ny).astype(np.float64) + 0.5) * field[2],
        np.empty((2, ny), np.int32),
        np.empty(ny),
        np.empty(nx, np.float32),
        np.arange(nx).astype(np.float64),
        (field[0] + (np.arange(nx).astype(np.float64) + 0.5) * field[2]).astype(np.float32),
    )


@helper
def clear(canvas: Canvas) -> None:
    """Empty the box touched."""
    canvas[5][0], canvas[5][1] = canvas[0].shape[0], 0
    canvas[5][2], canvas[5][3] = canvas[0].shape[1], 0
