"""Kernels: shadows on ground that is a plane, where every row of a shadow is a run of cells.

Everything is counted in cells: x and y from the middle of the grid's first cell, so that a cell's middle is a whole
number, and heights over the plane.  What a sun has to be asked of each corner is then two products; an outline is
walked and its sides are written into the rows they cross in one go, and whole parts are painted run by run.
"""

from __future__ import annotations

import math

import numpy as np

from quincunx.kernels import helper, kernel
from quincunx.light._outline import STANDING, Floats, Numbers, Sun
from quincunx.light._raster import Arrays, Canvas, Paint, Shorts, World
from quincunx.light._rounds import MEETS, round_shadow

Lean = tuple[Floats, Floats, Floats, Floats]
"""Of each corner its x, y and height; of each part the least height of a corner; all in cells."""
Corner = tuple[float, float, int]
"""A corner of an outline: x, y and the first row not south of it."""

ELLIPSOID, OVERHEAD = 1, 3
LEFT_END, RIGHT_END = 0, 1


@kernel
def lean_of(parts: Arrays, world: World) -> Lean:
    """Return the corners of parts in cells, over the plane of a world."""
    first, corners, plane, field = parts[1], parts[2], world[1], world[2]
    n, per_m = len(corners), 1.0 / field[2]
    x, y, up, least = np.empty(n), np.empty(n), np.empty(n), np.empty(len(first) - 1)
    for i in range(n):
        x[i], y[i] = (corners[i, 0] - field[0]) * per_m - 0.5, (corners[i, 1] - field[1]) * per_m - 0.5
        up[i] = (corners[i, 2] - (plane[0] * corners[i, 0] + plane[1] * corners[i, 1] + plane[2])) * per_m
    for p in range(len(least)):
        least[p] = 0.0
        for i in range(first[p], first[p + 1]):
            least[p] = min(least[p], up[i]) if i > first[p] else up[i]
    return x, y, up, least


@helper
def row_of(y: float, most: int) -> int:
    """Return the first row whose middle is not south of y, from 0 to ``most``: the half-open rule."""
    return int(min(max(np.ceil(y), 0.0), float(most)))


@helper
def write_side(a: Corner, b: Corner, ends: Floats) -> None:
    """Write where the side from corner a to corner b crosses the middles of rows: left ends going south, right north."""
    if a[2] < b[2]:
        slope, right = (b[0] - a[0]) / (b[1] - a[1]), ends[RIGHT_END]
        for j in range(a[2], b[2]):
            right[j] = a[0] + (j - a[1]) * slope
    elif b[2] < a[2]:
        slope, left = (a[0] - b[0]) / (a[1] - b[1]), ends[LEFT_END]
        for j in range(b[2], a[2]):
            left[j] = b[0] + (j - b[1]) * slope


@helper
def thrown(
    p: int, parts: Arrays, k: tuple[float, float], rest: float, lean: Lean, spare: Floats
) -> tuple[Numbers, Numbers]:
    """Throw the corners of a prism on the plane raised by ``rest``; a standing one's lower half stays.

    ``k`` is how far a metre's height goes.

    Return the greatest height, west and east ends; south and north ends, and 0.
    """
    first, last, standing = parts[1][p], parts[1][p + 1], parts[0][p] == STANDING
    xs, ys, up, px, py = lean[0], lean[1], lean[2], spare[0], spare[1]
    half = (first + last) // 2
    high, west, east, south, north = -1e30, 1e30, -1e30, 1e30, -1e30
    for i in range(first, last):
        x, y = xs[i], ys[i]
        if i >= half or not standing:
            t = max(up[i] - rest, 0.0)
            x, y = x - t * k[0], y - t * k[1]
        high = max(high, up[i])
        west, east, south, north = min(west, x), max(east, x), min(south, y), max(north, y)
        px[i - first], py[i - first] = x, y
    return (high, west, east), (south, north, 0.0)


@helper
def write_prism(p: int, parts: Arrays, sun: Sun, lean: Lean, spare: Floats, ends: Floats) -> None:
    """Walk round a prism's shadow, bottom corners on the sunny side and top ones behind, and write its sides."""
    first, most, xs, ys, px, py = parts[1][p], ends.shape[1], lean[0], lean[1], spare[0], spare[1]
    h = (parts[1][p + 1] - first) // 2
    begin, last, any_yet, before = (0.0, 0.0, 0), (0.0, 0.0, 0), False, False
    for k in range(h + 1):
        i = k if k < h else 0
        j = i + 1 if i + 1 < h else 0
        a, b = first + i, first + j
        behind = (ys[b] - ys[a]) * sun[0] - (xs[b] - xs[a]) * sun[1] < 0.0
        if k > 0 and behind != before:
            c = i + h if before else i
            corner = (px[c], py[c], row_of(py[c], most))
            write_side(last, corner, ends)
            last = corner
        if k < h:
            c = i + h if behind else i
            corner = (px[c], py[c], row_of(py[c], most))
            if any_yet:
                write_side(last, corner, ends)
            else:
                begin, any_yet = corner, True
            last = corner
        before = behind
    write_side(last, begin, ends)


@helper
def whole_cells(ends: Floats, cells: Shorts, most: int) -> None:
    """Make ends of rows the first cells not west of them, from 0 to ``most``."""
    top = float(most)
    for i in range(len(ends)):
        at = np.ceil(ends[i])
        at = max(0.0, at)
        cells[i] = np.int32(min(top, at))


@helper
def paint_runs(rows: tuple[int, int], west: float, east: float, paint: Paint, runs: Shorts, canvas: Canvas) -> None:
    """Let a share of the sun through to the run of cells of each row; ``west`` and ``east`` are ends of all of them."""
    (t, mark), share, last, box, (j0, j1) = paint, canvas[0], canvas[1], canvas[5], rows
    nx, flat, starts, stops = share.shape[1], share.reshape(-1), runs[LEFT_END], runs[RIGHT_END]
    if j0 < j1:
        box[0], box[1] = min(box[0], j0), max(box[1], j1)
        box[2], box[3] = min(box[2], row_of(west, nx)), max(box[3], row_of(east, nx))
    for j in range(j0, j1):
        a, b = starts[j], stops[j]
        if a >= b:
            continue
        if mark < 0:
            piece = flat[j * nx + a : j * nx + b]  # a run's own numbers from 0 on: several at a time
            for i in range(len(piece)):
                piece[i] *= t
        else:
            for i in range(a, b):
                if last[j, i] != mark:
                    last[j, i] = mark
                    share[j, i] *= t


@helper
def paint_ends(rows: tuple[int, int], west: float, east: float, paint: Paint, ends: Floats, canvas: Canvas) -> None:
    """Paint the cells between the ends of some rows."""
    (j0, j1), runs = rows, canvas[8]
    nx = canvas[0].shape[1]
    whole_cells(ends[LEFT_END][j0:j1], runs[LEFT_END][j0:j1], nx)
    whole_cells(ends[RIGHT_END][j0:j1], runs[RIGHT_END][j0:j1], nx)
    paint_runs(rows, west, east, paint, runs, canvas)


@helper
def is_prism(p: int, parts: Arrays, sun: Sun) -> bool:
    """Tell whether a part is a prism whose ends both look to the sun."""
    kind, tilt = parts[0][p], parts[4]
    if sun[2] - tilt[p, 0] * sun[0] - tilt[p, 1] * sun[1] <= 0.0:
        return False
    return bool(kind == STANDING or (kind == OVERHEAD and sun[2] - tilt[p, 2] * sun[0] - tilt[p, 3] * sun[1] > 0.0))


@helper
def shade_prism(p: int, paint: Paint, parts: Arrays, sun: Sun, lean: Lean, canvas: Canvas) -> None:
    """Shade the cells that a plain prism hides from a sun."""
    ny, nx = canvas[0].shape
    spare, ends = canvas[3], canvas[2]
    (high, west, east), (south, north, _) = thrown(p, parts, (sun[0] * sun[3], sun[1] * sun[3]), 0.0, lean, spare)
    j0, j1 = row_of(south, ny), row_of(north, ny)
    if high <= 0.0 or j0 >= j1 or east <= 0.0 or west > nx - 1.0:
        return
    write_prism(p, parts, sun, lean, spare, ends)
    paint_ends((j0, j1), west, east, paint, ends, canvas)


@helper
def clears(c: Floats, plane: Numbers) -> bool:
    """Tell whether a round part, its middle and radii, hangs over the plane and does not reach into it."""
    return bool(c[2] - c[5] - (plane[0] * c[0] + plane[1] * c[1] + plane[2]) >= -MEETS)


@helper
def write_ellipse(x: float, y: Floats, half_width: Numbers, left: Floats, right: Floats) -> None:
    """Write the ends of the rows of an ellipse whose middle is at ``x``, the rows ``y`` from it.

    ``half_width`` squared is its first less its second times y squared; its third is how the middle leans with y.
    """
    a, b, lean = half_width
    for i in range(len(y)):
        v = y[i]
        half = math.sqrt(max(a - b * v * v, 0.0))
        left[i], right[i] = x - lean * v - half, x - lean * v + half


@helper
def shade_ball(p: int, paint: Paint, parts: Arrays, sun: Sun, world: World, canvas: Canvas) -> None:
    """Shade the cells that an ellipsoid over the plane hides from a sun."""
    field, ny, nx = world[2], canvas[0].shape[0], canvas[0].shape[1]
    mx, my, limit, whole, _, _ = round_shadow(parts[3][p], sun, world[1])
    det, per_m = whole[0] * whole[2] - whole[1] * whole[1], 1.0 / field[2]
    wide, deep = math.sqrt(limit * whole[2] / det) * per_m, math.sqrt(limit * whole[0] / det) * per_m
    x, y = (mx - field[0]) * per_m - 0.5, (my - field[1]) * per_m - 0.5
    j0, j1 = row_of(y - deep, ny), row_of(y + deep, ny)
    if j0 >= j1 or x + wide <= 0.0 or x - wide > nx - 1.0:
        return
    spare, ends, share = canvas[9], canvas[2], 1.0 / whole[0]
    rows = spare[j0:j1]
    for i in range(len(rows)):
        rows[i] = j0 + i - y
    form = limit * share * per_m * per_m, det * share * share, whole[1] * share
    write_ellipse(x, rows, form, ends[LEFT_END][j0:j1], ends[RIGHT_END][j0:j1])
    paint_ends((j0, j1), x - wide, x + wide, paint, ends, canvas)
