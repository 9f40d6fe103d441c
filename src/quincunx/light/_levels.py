"""Kernels: the shadows of prisms on ground that is no plane, where every row of a shadow is still nearly a run of cells.

A cell ``r`` above the lowest ground round a shadow is in it if it lies inside all its sides, those that move with the
height of a cell moved by ``r``.  Along a row a side is passed once and for all where the ground rises less than the side
moves; so its place in each row is found by looking at two or three cells from where it was in the row before.  Sides that
may be passed more than once, those nearly along the rows, are tried cell by cell in the rows that they may cross.
All is counted in cells (see ``_plane``).
"""

from __future__ import annotations

import math

import numpy as np

from quincunx.kernels import helper
from quincunx.light._outline import HX, HY, MOVES, STANDING, TINY, Floats, Numbers, Sun, walk
from quincunx.light._plane import LEFT_END, RIGHT_END, Lean, paint_runs, row_of, thrown
from quincunx.light._raster import FAR, Arrays, Canvas, Paint, Shorts, Singles, World, extremes

Pair = tuple[float, float]
Corner = tuple[float, float, bool]
"""A corner, x and y, and whether the side from it on moves."""
Land = tuple[float, float, float]
"""The lowest ground round a shadow [m], cells to a metre, and how far north or south the shadow moves on it [cells]."""
Line = tuple[float, float, float]
"""A side passed once: its x at row 0, by row, and by height of cell."""

ODD_X, ODD_Y, ODD_R, ODD_1, ODD_FROM, ODD_TO = range(4, 10)
"""Rows of the room for an outline: what a tried side weighs x, y, height and 1 by, and the rows it may cross."""


@helper
def where_passed(row: Singles, near: int, at: float, move: float) -> int:
    """Return the first cell of a row that is not west of a side that it passes once; ``near`` is a likely one.

    The side is at ``at``, and a cell's height over the plane [m] times ``move`` farther east.
    """
    most = len(row)
    i = row_of(at + move * row[min(near, most - 1)], most)
    while i > 0 and i - 1 >= at + move * row[i - 1]:
        i -= 1
    while i < most and i < at + move * row[i]:
        i += 1
    return i


@helper
def cut_west(rows: tuple[int, int], line: Line, land: Land, up: Singles, starts: Shorts) -> None:
    """Begin the runs of some rows no farther west than a side."""
    most, move = up.shape[1], line[2] * land[1]
    at = line[0] - move * land[0]
    near = row_of(line[0] + line[1] * rows[0], most)
    for j in range(rows[0], rows[1]):
        x = at + line[1] * j
        near = row_of(x, most) if move == 0.0 else where_passed(up[j], near, x, move)
        starts[j] = max(starts[j], near)


@helper
def cut_east(rows: tuple[int, int], line: Line, land: Land, up: Singles, stops: Shorts) -> None:
    """End the runs of some rows no farther east than a side."""
    most, move = up.shape[1], line[2] * land[1]
    at = line[0] - move * land[0]
    near = row_of(line[0] + line[1] * rows[0], most)
    for j in range(rows[0], rows[1]):
        x = at + line[1] * j
        near = row_of(x, most) if move == 0.0 else where_passed(up[j], near, x, move)
        stops[j] = min(stops[j], near)


@helper
def cut(a: Corner, b: Corner, k: Pair, steep: float, land: Land, odd: int, up: Singles, canvas: Canvas) -> int:
    """Cut the runs of the rows that the side from corner a to b may cross, the inside to its left, or list it.

    Return how many are listed then, to be tried.
    """
    spare, runs = canvas[3], canvas[8]
    dx, dy = b[0] - a[0], b[1] - a[1]
    if abs(dx) <= TINY and abs(dy) <= TINY:
        return odd
    rows = row_of(min(a[1], b[1]) - land[2], up.shape[0]), row_of(max(a[1], b[1]) + land[2], up.shape[0])
    if abs(dy) > TINY:
        once, per = passed_once(a, b, k, steep), dx / dy
        line = (a[0] - per * a[1], per, (k[0] - per * k[1]) if a[2] else 0.0)
        if not once:
            line = (-FAR if dy < 0.0 else FAR, 0.0, 0.0)
        if dy < 0.0:
            cut_west(rows, line, land, up, runs[LEFT_END])
        else:
            cut_east(rows, line, land, up, runs[RIGHT_END])
        if once:
            return odd
    long = math.hypot(dx, dy)
    east, north = -dy / long, dx / long
    far = dy > TINY or (abs(dy) <= TINY and dx < 0.0)
    spare[ODD_X, odd], spare[ODD_Y, odd] = east, north
    spare[ODD_R, odd] = -(east * k[0] + north * k[1]) if a[2] else 0.0
    spare[ODD_1, odd] = -east * a[0] - north * a[1] - (TINY if far else 0.0)
    spare[ODD_FROM, odd], spare[ODD_TO, odd] = rows[0], rows[1]
    return odd + 1


@helper
def passed_once(a: Corner, b: Corner, k: Pair, steep: float) -> bool:
    """Tell whether along a row a cell passes the side from corner a to b once and for all."""
    dy = b[1] - a[1]
    return bool(abs(dy) > TINY and (not a[2] or abs(k[0] - (b[0] - a[0]) / dy * k[1]) * steep < 1.0))


@helper
def cut_prism(p: int, parts: Arrays, sun: Sun, steep: float, land: Land, up: Singles, canvas: Canvas) -> int:
    """Walk round a prism's shadow, whose corners are thrown, and cut the runs by its sides; return how many to try.

    Where a side must be tried, those beside it count as far as it goes: rows beyond both of its ends are outside.
    """
    spare, marks, k, odd = canvas[3], canvas[4], (sun[0] * sun[3], sun[1] * sun[3]), 0
    m = walk(parts[2][parts[1][p] : parts[1][p + 1]], parts[0][p], sun, spare, marks)
    rest, per_m, pad = land
    for i in range(m):
        n = i + 1 if i + 1 < m else 0
        a, b = (spare[HX, i], spare[HY, i], marks[MOVES, i] != 0), (spare[HX, n], spare[HY, n], False)
        pad += 0.0 if passed_once(a, b, k, steep) else abs(b[1] - a[1])
    for i in range(m):
        n = i + 1 if i + 1 < m else 0
        a, b = (spare[HX, i], spare[HY, i], marks[MOVES, i] != 0), (spare[HX, n], spare[HY, n], False)
        odd = cut(a, b, k, steep, (rest, per_m, pad), odd, up, canvas)
    return odd


@helper
def doubtful(j: int, run: tuple[int, int], d: float, e: int, spare: Floats) -> int:
    """Return 1 where a tried side takes all of a run of cells, 0 or d high, -1 where none, 0 where it must be tried."""
    x, y, r, one = spare[ODD_X, e], spare[ODD_Y, e], spare[ODD_R, e], spare[ODD_1, e]
    here, a, b = y * j + one, x * run[0], x * (run[1] - 1)
    if here + min(a, b) + min(0.0, r * d) >= 0.0:
        return 1
    return -1 if here + max(a, b) + max(0.0, r * d) < 0.0 else 0


@helper
def try_side(weights: tuple[float, float, float], up: Singles, x: Floats, tone: Singles) -> None:
    """Make the tone 1 of the cells of a run that are outside a side: its weights of x, of height and of 1."""
    of_x, of_r, of_1 = weights
    one = np.float32(1.0)
    for i in range(len(tone)):
        inside = of_x * x[i] + of_r * up[i] + of_1 >= 0.0
        tone[i] = tone[i] if inside else one


@helper
def paint_tones(share: Singles, tone: Singles) -> None:
    """Let through what the tones of a run of cells say."""
    for i in range(len(share)):
        share[i] *= tone[i]


@helper
def paint_tried(
    j: int, run: tuple[int, int], ground: Numbers, odd: int, paint: Paint, up: Singles, numbers: Floats, canvas: Canvas
) -> None:
    """Paint the cells of a run that are inside the tried sides too; ``ground`` is the lowest, how much higher, per m."""
    rest, d, per_m = ground
    (a, b), (t, mark), spare, tones = run, paint, canvas[3], canvas[10][run[0] : run[1]]
    tones[:] = t
    for e in range(odd):
        if spare[ODD_FROM, e] <= j < spare[ODD_TO, e] and doubtful(j, run, d * per_m, e, spare) == 0:
            of_r = spare[ODD_R, e] * per_m
            weights = (spare[ODD_X, e], of_r, spare[ODD_Y, e] * j + spare[ODD_1, e] - of_r * rest)
            try_side(weights, up[j][a:b], numbers[a:b], tones)
    if mark < 0:
        paint_tones(canvas[0][j][a:b], tones)
        return
    last, share = canvas[1][j], canvas[0][j]
    for i in range(a, b):
        if tones[i - a] != 1.0 and last[i] != mark:
            last[i] = mark
            share[i] *= t


@helper
def try_rows(rows: tuple[int, int], odd: int, ground: Numbers, paint: Paint, up: Singles, canvas: Canvas) -> None:
    """Empty the runs that a tried side leaves nothing of; paint those that it may cut, cell by cell, and empty them."""
    spare, runs, numbers = canvas[3], canvas[8], canvas[11]
    starts, stops, d = runs[LEFT_END], runs[RIGHT_END], ground[1] * ground[2]
    for j in range(rows[0], rows[1]):
        a, b, tried = starts[j], stops[j], 1
        if a >= b:
            continue
        for e in range(odd):
            if spare[ODD_FROM, e] <= j < spare[ODD_TO, e]:
                tried = min(tried, doubtful(j, (a, b), d, e, spare))
        if tried == 0:
            paint_tried(j, (a, b), ground, odd, paint, up, numbers, canvas)
        if tried < 1:
            stops[j] = a


@helper
def shade_on_levels(p: int, paint: Paint, parts: Arrays, sun: Sun, world: World, lean: Lean, canvas: Canvas) -> bool:
    """Shade the cells that a prism hides from a sun; False, and nothing done, where the ground reaches into it."""
    lie, _, field, span = world
    ny, nx = canvas[0].shape
    per_m, cell, k = 1.0 / field[2], field[2], (sun[0] * sun[3], sun[1] * sun[3])
    rest, top = span[0], span[1]
    for again in range(2):
        (high, west, east), (south, north, _) = thrown(p, parts, k, rest * per_m, lean, canvas[3])
        d = (top - rest) * per_m
        west, east = west + min(0.0, d * k[0]), east + max(0.0, d * k[0])
        south, north = south + min(0.0, d * k[1]), north + max(0.0, d * k[1])
        if high <= rest * per_m or east < -0.5 or west > nx - 0.5 or north < -0.5 or south > ny - 0.5:
            return True
        if again == 0:
            x, y = field[0] + 0.5 * cell, field[1] + 0.5 * cell
            rest, top = extremes(lie, field, x + west * cell, x + east * cell, y + south * cell, y + north * cell)
            if top < rest:
                return True
    if parts[0][p] != STANDING and lean[3][p] < top * per_m:
        return False
    rows, runs = (row_of(south, ny), row_of(north, ny)), canvas[8]
    runs[LEFT_END][rows[0] : rows[1]] = -1
    runs[RIGHT_END][rows[0] : rows[1]] = nx + 1
    land = rest, per_m, abs((top - rest) * per_m * k[1]) + TINY
    odd = cut_prism(p, parts, sun, span[2], land, lie[0], canvas)
    for j in range(rows[0], rows[1]):
        if runs[LEFT_END, j] < 0 or runs[RIGHT_END, j] > nx:
            runs[RIGHT_END, j] = runs[LEFT_END, j] = 0
    if odd > 0:
        try_rows(rows, odd, (rest, top - rest, per_m), paint, lie[0], canvas)
    paint_runs(rows, west, east, paint, runs, canvas)
    return True
