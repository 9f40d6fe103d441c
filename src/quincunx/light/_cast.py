"""Kernels: all suns over all parts: the share of each that reaches each cell, summed, kept or taken away."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import helper, kernel
from quincunx.light._levels import shade_on_levels
from quincunx.light._outline import STANDING, Floats, Ints, Sun
from quincunx.light._plane import ELLIPSOID, Lean, clears, is_prism, lean_of, shade_ball, shade_prism
from quincunx.light._raster import FAR, Arrays, Canvas, Field, Lie, Singles, World, clear, shade_corners, start
from quincunx.light._rounds import DOME, shade_round

Bytes = NDArray[np.uint8]
Light = tuple[Floats, Singles, Singles]
"""Unit vectors to the suns (s, 3), what parts let through of them (p, s), and the hours each stands for."""

CLEAR = 0.999
"""What lets more than this through casts no shadow."""
LEAST = 1e-6
"""A sun that goes up from the plane less than this is behind the slope."""
ARRAYS = "Tuple((int64[::1], int64[::1], float64[:,::1], float64[:,::1], float64[:,::1], int64[::1]))"
LIE = "UniTuple(float32[:,::1], 3)"
WORLD = f"Tuple(({LIE}, UniTuple(float64, 3), UniTuple(float64, 4), UniTuple(float64, 3)))"


@helper
def hide_by_ground(sun: Sun, lie: Lie, field: Field, canvas: Canvas, ahead: Singles) -> None:
    """Put out the cells that the ground itself hides from a sun.

    Goes from the sunward end of the grid; ``ahead`` carries the least height over the plane that is lit, cell by cell
    along the sun's line, between the two cells of the row or column before (whose mean lies on that line).
    """
    up, share, box = lie[0], canvas[0], canvas[5]
    ny, nx = up.shape
    along_x = abs(sun[0]) >= abs(sun[1])
    count, width = (nx, ny) if along_x else (ny, nx)
    main, aside = (sun[0], sun[1]) if along_x else (sun[1], sun[0])
    skew = aside / abs(main)
    drop = field[2] / abs(main) / sun[3]
    step = math.floor(skew)
    part = skew - step
    for k in range(count):
        i = count - 1 - k if main > 0.0 else k
        new, old = k % 2, (k + 1) % 2
        for j in range(width):
            lit, a = -FAR, j + step
            if k > 0 and a >= 0 and a + 1 < width:
                lit = (1.0 - part) * ahead[old, a] + part * ahead[old, a + 1] - drop
            elif k > 0 and a == width - 1 and part == 0.0:
                lit = ahead[old, a] - drop
            row, column = (j, i) if along_x else (i, j)
            if up[row, column] < lit - 1e-5:
                share[row, column] = 0.0
                box[0], box[1] = min(box[0], row), max(box[1], row + 1)
                box[2], box[3] = min(box[2], column), max(box[3], column + 1)
            ahead[new, j] = max(lit, up[row, column] - field[3])


@helper
def shade_all(s: int, light: Light, parts: Arrays, world: World, canvas: Canvas, lean: Lean) -> None:
    """Shade the canvas by all parts for sun ``s``."""
    sx, sy, sz = light[0][s, 0], light[0][s, 1], light[0][s, 2]
    sun = (sx, sy, sz, 1.0 / rise_of(s, light, world))
    kind, group, flat = parts[0], parts[5], world[3][0] == world[3][1]
    for p in range(len(kind)):
        t = light[1][p, s]
        if t < CLEAR:
            paint = (t, s * len(kind) + group[p] if group[p] >= 0 else -1)
            if flat and kind[p] == ELLIPSOID and clears(parts[3][p], world[1]):
                shade_ball(p, paint, parts, sun, world, canvas)
            elif kind[p] in (ELLIPSOID, DOME):
                shade_round(p, paint, parts, sun, world, canvas)
            elif flat and is_prism(p, parts, sun) and (kind[p] == STANDING or lean[3][p] >= 0.0):
                shade_prism(p, paint, parts, sun, lean, canvas)
            elif flat or not is_prism(p, parts, sun) or not shade_on_levels(p, paint, parts, sun, world, lean, canvas):
                shade_corners(p, paint, parts, sun, world, canvas)


@helper
def rise_of(s: int, light: Light, world: World) -> float:
    """Return how fast sun ``s`` goes up from the plane: 0 or less where it is behind the slope."""
    plane = world[1]
    return float(light[0][s, 2] - plane[0] * light[0][s, 0] - plane[1] * light[0][s, 1])


@helper
def one_sun(s: int, light: Light, parts: Arrays, world: World, canvas: Canvas, ahead: Singles, lean: Lean) -> None:
    """Make the canvas the share of sun ``s`` in each cell."""
    sx, sy, sz = light[0][s, 0], light[0][s, 1], light[0][s, 2]
    rise = rise_of(s, light, world)
    canvas[0][:] = np.float32(1.0 if rise > LEAST else 0.0)
    if rise > LEAST:
        clear(canvas)
        shade_all(s, light, parts, world, canvas, lean)
        if rise < world[3][2] * math.hypot(sx, sy):
            hide_by_ground((sx, sy, sz, 1.0 / rise), world[0], world[2], canvas, ahead)


SUNS = f"Tuple((float64[:,::1], float32[:,::1], float32[::1])), {ARRAYS}, {WORLD}, int64"


@kernel(f"{SUNS}, int64[::1], float32[:,:,::1], uint8[:,:,::1]")
def add_suns(light: Light, parts: Arrays, world: World, most: int, slot: Ints, out: Singles, kept: Bytes) -> None:
    """Add to ``out[slot]`` each sun's hours in each cell; where ``kept`` has room, keep its share, 255 the whole.

    ``most`` is room for the corners of an outline.
    """
    canvas = start(world[0], world[2], most)
    lean = lean_of(parts, world)
    ny, nx = canvas[0].shape
    ahead = np.empty((2, max(ny, nx)), np.float32)
    for s in range(len(slot)):
        one_sun(s, light, parts, world, canvas, ahead, lean)
        into, share, h = out[slot[s]].reshape(-1), canvas[0].reshape(-1), light[2][s]
        for i in range(ny * nx):
            into[i] += h * share[i]
        if len(kept) > 0:
            into_kept = kept[s].reshape(-1)
            for i in range(ny * nx):
                into_kept[i] = np.uint8(share[i] * np.float32(255.0) + np.float32(0.5))


@kernel(f"{SUNS}, uint8[:,:,::1], float32[:,::1]")
def take_away(light: Light, parts: Arrays, world: World, most: int, kept: Bytes, out: Singles) -> None:
    """Take from ``out`` the hours that parts hide of what all others leave, ``kept`` by sun and cell."""
    canvas = start(world[0], world[2], most)
    lean = lean_of(parts, world)
    share, box = canvas[0], canvas[5]
    share[:] = np.float32(1.0)
    for s in range(len(kept)):
        if rise_of(s, light, world) <= LEAST:
            continue
        clear(canvas)
        shade_all(s, light, parts, world, canvas, lean)
        h = light[2][s] * np.float32(1.0 / 255.0)
        for j in range(box[0], box[1]):
            for i in range(box[2], box[3]):
                out[j, i] -= h * np.float32(kept[s, j, i]) * (np.float32(1.0) - share[j, i])
                share[j, i] = np.float32(1.0)
