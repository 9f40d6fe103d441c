"""Kernels: the shadows of round things, ellipsoids and the upper halves of them, row by row in closed form."""

from __future__ import annotations

import math

import numpy as np

from quincunx.kernels import helper
from quincunx.light._outline import Floats, Numbers, Sun, first_cell
from quincunx.light._raster import (
    LOOSE_L,
    LOOSE_R,
    Arrays,
    Canvas,
    Field,
    Paint,
    Singles,
    World,
    extremes,
    paint_rows,
    touch,
)

Shadow = tuple[float, float, float, Numbers, Numbers, Numbers]
"""What :func:`round_shadow` returns."""

Small = tuple[np.float32, np.float32, np.float32, np.float32]
Body = tuple[int, Floats]
"""The kind of a round part, its middle and radii."""

DOME = 4
MEETS = 1e-6
"""A part whose least height over the plane is this much lower than the ground may get meets it [m]."""


@helper
def half_row(q: Numbers, limit: float, v: float) -> float:
    """Return half the width of the row at v of the ellipse q[0] u2 + 2 q[1] u v + q[2] v2 = limit; below 0 outside."""
    inner = limit * q[0] - (q[0] * q[2] - q[1] * q[1]) * v * v
    return math.sqrt(inner) / q[0] if inner > 0.0 else -1.0


@helper
def round_shadow(c: Floats, sun: Sun, plane: Numbers) -> Shadow:
    """Return where the middle of a round part falls, and its shadow round it on the plane.

    That is: x, y, the limit and form of the ellipsoid's shadow, the form (limit 1) of the shadow of its level middle
    disc, and the line through the middle beyond which, away from the sun, the upper half alone makes the outline.
    """
    t = (c[2] - (plane[0] * c[0] + plane[1] * c[1] + plane[2])) * sun[3]
    ix, iy, iz = 1.0 / c[3], 1.0 / c[4], 1.0 / c[5]
    d0, d1, d2 = sun[0] * ix, sun[1] * iy, sun[2] * iz
    dd = d0 * d0 + d1 * d1 + d2 * d2
    az, bz = plane[0] * iz, plane[1] * iz
    ad, bd = ix * d0 + az * d2, iy * d1 + bz * d2
    whole = (dd * (ix * ix + az * az) - ad * ad, dd * az * bz - ad * bd, dd * (iy * iy + bz * bz) - bd * bd)
    hx, hy = sun[0] / sun[2], sun[1] / sun[2]
    xu, xv, yu, yv = (1.0 - plane[0] * hx) * ix, -plane[1] * hx * ix, -plane[0] * hy * iy, (1.0 - plane[1] * hy) * iy
    disc = (xu * xu + yu * yu, xu * xv + yu * yv, xv * xv + yv * yv)
    line = (xu * d0 + yu * d1, xv * d0 + yv * d1, 0.0)
    return c[0] - t * sun[0], c[1] - t * sun[1], dd, whole, disc, line


@helper
def in_round(u: float, v: float, kind: int, limit: float, whole: Numbers, disc: Numbers, line: Numbers) -> bool:
    """Tell whether u, v from its middle is in the shadow of a round part."""
    out = whole[0] * u * u + 2.0 * whole[1] * u * v + whole[2] * v * v > limit
    if kind != DOME:
        return not out
    if not out and line[0] * u + line[1] * v <= 0.0:
        return True
    return disc[0] * u * u + 2.0 * disc[1] * u * v + disc[2] * v * v <= 1.0


@helper
def strikes(x: float, y: float, z: float, c: Floats, kind: int, sun: Sun) -> bool:
    """Tell whether the ray from a point to the sun goes through an ellipsoid, or the upper half of one."""
    qx, qy, qz = (x - c[0]) / c[3], (y - c[1]) / c[4], (z - c[2]) / c[5]
    dx, dy, dz = sun[0] / c[3], sun[1] / c[4], sun[2] / c[5]
    dd, b = dx * dx + dy * dy + dz * dz, qx * dx + qy * dy + qz * dz
    inner = b * b - dd * (qx * qx + qy * qy + qz * qz - 1.0)
    if inner <= 0.0:
        return False
    near, far = max((-b - math.sqrt(inner)) / dd, 1e-9), (-b + math.sqrt(inner)) / dd
    return bool(far > (max(near, (c[2] - z) / sun[2]) if kind == DOME else near))


@helper
def dome_row(v: float, limit: float, whole: Numbers, disc: Numbers, line: Numbers) -> tuple[float, float]:
    """Return the ends of the row at v of the shadow of an ellipsoid's upper half, from its middle; (1, 0) outside."""
    left, right = 1.0, 0.0
    half = half_row(whole, limit, v)
    if half >= 0.0:
        left, right = -whole[1] * v / whole[0] - half, -whole[1] * v / whole[0] + half
        if abs(line[0]) > 1e-12:
            bound = -line[1] * v / line[0]
            left, right = (left, min(right, bound)) if line[0] > 0.0 else (max(left, bound), right)
        elif line[1] * v > 0.0:
            left, right = 1.0, 0.0
    half = half_row(disc, 1.0, v)
    if half >= 0.0:
        a, b = -disc[1] * v / disc[0] - half, -disc[1] * v / disc[0] + half
        left, right = (a, b) if left > right else (min(left, a), max(right, b))
    return left, right


@helper
def reach(shadow: Shadow, sun: Sun, world: World) -> tuple[float, float, float, float]:
    """Return the least and greatest height of the ground where a shadow may fall, and its ends south and north.

    The first is greater than the second where it falls beside the grid.
    """
    lie, _, field, span = world
    mx, my, limit, whole, _, _ = shadow
    kx, ky = sun[0] * sun[3], sun[1] * sun[3]
    ny, nx = lie[0].shape
    det = whole[0] * whole[2] - whole[1] * whole[1]
    wide, deep = math.sqrt(limit * whole[2] / det), math.sqrt(limit * whole[0] / det)
    rest, top, south, north = span[0], span[1], 0.0, 0.0
    for again in range(2):
        x0, x1 = mx - wide + min(rest * kx, top * kx), mx + wide + max(rest * kx, top * kx)
        south, north = my - deep + min(rest * ky, top * ky), my + deep + max(rest * ky, top * ky)
        if x1 < field[0] or x0 > field[0] + nx * field[2] or north < field[1] or south > field[1] + ny * field[2]:
            return 1.0, 0.0, 0.0, 0.0
        if again == 1 or rest == top:
            break
        rest, top = extremes(lie, field, x0, x1, south, north)
        if top < rest:
            break
    return rest, top, south, north


@helper
def shade_round(p: int, paint: Paint, parts: Arrays, sun: Sun, world: World, canvas: Canvas) -> None:
    """Shade the cells that an ellipsoid, or the upper half of one, hides from a sun."""
    plane, field, kind, c = world[1], world[2], parts[0][p], parts[3][p]
    shadow = round_shadow(c, sun, plane)
    rest, top, south, north = reach(shadow, sun, world)
    if top < rest:
        return
    low = c[2] - (plane[0] * c[0] + plane[1] * c[1] + plane[2])
    low -= math.hypot(plane[0] * c[3], plane[1] * c[4]) if kind == DOME else c[5]
    most = canvas[0].shape[0]
    first, last = first_cell(south, field[1], 1.0 / field[2], most), first_cell(north, field[1], 1.0 / field[2], most)
    if rest == top and top <= low + MEETS:
        plain_round(first, last, parts[0][p], rest * sun[3], shadow, sun, field, canvas)
        paint_rows(first, last, paint, field, canvas)
    else:
        tried_rows((first, last), (kind, c), (rest, top, low), shadow, paint, sun, world, canvas)


@helper
def plain_round(
    first: int, last: int, kind: int, far: float, shadow: Shadow, sun: Sun, field: Field, canvas: Canvas
) -> None:
    """Write the ends of some rows of a shadow on the plane, its middle moved ``far`` along the sun."""
    mx, my, limit, whole, disc, line = shadow
    rows, x, y = canvas[2], mx + far * sun[0], my + far * sun[1]
    for j in range(first, last):
        v = field[1] + (j + 0.5) * field[2] - y
        if kind == DOME:
            left, right = dome_row(v, limit, whole, disc, line)
        else:
            half, left = half_row(whole, limit, v), -whole[1] * v / whole[0]
            left, right = left - half, left + half
        rows[LOOSE_L, j], rows[LOOSE_R, j] = x + left, x + right


@helper
def shade_ellipse(share: Singles, up: Singles, x: Singles, place: Small, form: Small, t: np.float32) -> None:
    """Shade the cells of a piece of row inside an ellipse that moves with their height; without branches, so quickly.

    ``place`` is its middle's x, the row's y from it, and how far a metre moves it; ``form`` its form, its limit 1.
    """
    one = np.float32(1.0)
    for i in range(len(share)):
        u, v = x[i] - place[0] - up[i] * place[2], place[1] - up[i] * place[3]
        share[i] *= t if form[0] * u * u + form[1] * u * v + form[2] * v * v <= one else one


@helper
def small(a: float, b: float, c: float, d: float) -> Small:
    """Return four numbers in single precision."""
    return np.float32(a), np.float32(b), np.float32(c), np.float32(d)


@helper
def tried_rows(
    rows: tuple[int, int],
    body: Body,
    ground: Numbers,
    shadow: Shadow,
    paint: Paint,
    sun: Sun,
    world: World,
    canvas: Canvas,
) -> None:
    """Shade rows cell by cell: the ground lies between two heights, or reaches above the part's least one (third)."""
    (lie, plane, field, _), (rest, top, low), (kind, c) = world, ground, body
    mx, my, limit, whole, disc, line = shadow
    up, share, last, xs, ys, (t, mark) = lie[0], canvas[0], canvas[1], canvas[6], canvas[7], paint
    kx, ky = sun[0] * sun[3], sun[1] * sun[3]
    per_m, most = 1.0 / field[2], share.shape[1]
    spread, middle = 0.5 * (top - rest), 0.5 * (rest + top)
    form = small(whole[0] / limit, 2.0 * whole[1] / limit, whole[2] / limit, 1.0)
    slack = spread * abs(kx + whole[1] / whole[0] * ky)
    for j in range(rows[0], rows[1]):
        v, x = ys[j] - my - middle * ky, mx + middle * kx
        half = half_row(whole, limit, max(0.0, abs(v) - spread * abs(ky)))
        if half < 0.0:
            continue
        a = first_cell(x - whole[1] * v / whole[0] - half - slack, field[0], per_m, most)
        b = first_cell(x - whole[1] * v / whole[0] + half + slack, field[0], per_m, most)
        touch(canvas, j, a, b)
        if mark < 0 and kind != DOME and top <= low + MEETS:
            shade_ellipse(share[j][a:b], up[j][a:b], canvas[12][a:b], small(mx, ys[j] - my, kx, ky), form, t)
            continue
        for i in range(a, b):
            if up[j, i] > low + MEETS:
                z = plane[0] * xs[i] + plane[1] * ys[j] + plane[2] + up[j, i]
                hit = strikes(xs[i], ys[j], z, c, kind, sun)
            else:
                u, w = xs[i] - mx - up[j, i] * kx, ys[j] - my - up[j, i] * ky
                hit = in_round(u, w, kind, limit, whole, disc, line)
            if hit and (mark < 0 or last[j, i] != mark):
                last[j, i] = mark
                share[j, i] *= t
