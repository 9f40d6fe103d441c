"""Kernels: the shadow of one convex part on a plane, as an outline whose sides may move with the height of a cell.

A cell of ground lies ``r`` above the plane.  Seen along the sun it falls on the plane at its own place less
``r * (kx, ky)``, so that every side of a shadow is a line that moves by ``r`` times a fixed amount, save the sides along
which a standing thing meets the ground.

``spare`` (rows X .. PER_R) and ``marks`` (rows TAG .. WAY) are room for the points, corners and sides of one outline.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import helper

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Numbers = tuple[float, float, float]
Sun = tuple[float, float, float, float]
"""Unit vector to the sun, and how far along it a cell lies from the plane for each metre above it."""

X, Y, HX, HY, AT_0, PER_Y, PER_R, OF_X, OF_Y, OF_R, OF_1 = range(11)
LEFT_0, LEFT_Y, LEFT_R, RIGHT_0, RIGHT_Y, RIGHT_R, FLOATS = range(11, 18)
"""Points; corners; each side's x at y = 0, its x per y and per height of cell (its y for lower and upper sides);
what a cell's x, y, height and 1 are weighed by, so that their sum is not negative inside."""
TAG, TOP, MOVES, WAY, INTS = 0, 1, 2, 3, 4
"""Whether a point is of the top; whether a corner is; whether a side moves; which way it faces."""
LEFT, RIGHT, LOWER, UPPER, NO_WAY = 0, 1, 2, 3, -1
HULL, STANDING, CONE = 0, 2, 5
TINY = 1e-9


@helper
def left_of(ox: float, oy: float, ax: float, ay: float, bx: float, by: float) -> float:
    """Return twice the area of o, a, b: positive when b lies left of the way from o to a."""
    return (ax - ox) * (by - oy) - (ay - oy) * (bx - ox)


@helper
def sort_points(spare: Floats, marks: Ints, n: int) -> None:
    """Sort n points by x, then y, with their tags."""
    for i in range(1, n):
        x, y, tag = spare[X, i], spare[Y, i], marks[TAG, i]
        k = i - 1
        while k >= 0 and (spare[X, k] > x or (spare[X, k] == x and spare[Y, k] > y)):
            spare[X, k + 1], spare[Y, k + 1], marks[TAG, k + 1] = spare[X, k], spare[Y, k], marks[TAG, k]
            k -= 1
        spare[X, k + 1], spare[Y, k + 1], marks[TAG, k + 1] = x, y, tag


@helper
def hull(spare: Floats, marks: Ints, n: int) -> int:
    """Make the corners the convex hull of n points, anticlockwise (Andrew's monotone chain); return how many."""
    sort_points(spare, marks, n)
    m, least = 0, 2
    for step in range(2 * n - 1):
        i = step if step < n else 2 * n - 2 - step
        x, y = spare[X, i], spare[Y, i]
        if step == n:
            least = m + 1
        while m >= least and left_of(spare[HX, m - 2], spare[HY, m - 2], spare[HX, m - 1], spare[HY, m - 1], x, y) <= 0:
            m -= 1
        spare[HX, m], spare[HY, m], marks[TOP, m] = x, y, marks[TAG, i]
        m += 1
    return m - 1


@helper
def cast(ring: Floats, kind: int, sun: Sun, rest: float, plane: Numbers, spare: Floats) -> tuple[float, float]:
    """Throw corners along the sun onto the plane raised by ``rest``; a standing prism's lower half stays.

    Return the least and greatest height of a corner above the unraised plane.
    """
    low, high = 1e30, -1e30
    n = len(ring)
    for i in range(n):
        x, y = ring[i, 0], ring[i, 1]
        up = ring[i, 2] - (plane[0] * x + plane[1] * y + plane[2])
        low, high = min(low, up), max(high, up)
        t = (up - rest) * sun[3]
        if t < 0.0 or (kind == STANDING and i < n // 2):
            t = 0.0
        if kind == CONE and up < rest:  # cut off where the side that rises to the top meets the plane
            tip = ring[n - 1]
            over = tip[2] - (plane[0] * tip[0] + plane[1] * tip[1] + plane[2])
            share = (rest - up) / (over - up) if over > rest else 0.0
            x, y = x + share * (tip[0] - x), y + share * (tip[1] - y)
        spare[X, i], spare[Y, i] = x - t * sun[0], y - t * sun[1]
    return low, high


@helper
def corner(spare: Floats, marks: Ints, m: int, i: int, moves: int) -> int:
    """Add point i as the next corner, and whether the side from it on moves; return the new count."""
    spare[HX, m], spare[HY, m], marks[MOVES, m] = spare[X, i], spare[Y, i], moves
    return m + 1


@helper
def walk(ring: Floats, kind: int, sun: Sun, spare: Floats, marks: Ints) -> int:
    """Walk round a prism's shadow: bottom corners on the sunny side, top ones behind; return how many corners.

    For prisms whose top and bottom are both lit and whose corners are cast: the bottom ring, then the top one.
    """
    h, floats = len(ring) // 2, kind != STANDING
    m = 0
    before = False
    for k in range(h + 1):
        i, j = k % h, (k + 1) % h
        behind = (ring[j, 1] - ring[i, 1]) * sun[0] - (ring[j, 0] - ring[i, 0]) * sun[1] < 0.0
        if k > 0 and behind != before:
            m = corner(spare, marks, m, i + h if before else i, int(floats))
        if k < h:
            m = corner(spare, marks, m, i + h if behind else i, int(behind or floats))
        before = behind
    return m


@helper
def outline(
    kind: int, ring: Floats, tilt: Floats, sun: Sun, rest: float, plane: Numbers, spare: Floats, marks: Ints
) -> tuple[int, float, float]:
    """Make the corners those of a part's shadow on the plane raised by ``rest``, and mark the sides that move.

    Return how many (0 where no corner is above ``rest``), and the least and greatest height of the part above the
    plane.
    """
    standing, n = kind == STANDING, len(ring)
    low, high = cast(ring, kind, sun, rest, plane, spare)
    if high <= rest:
        return 0, low, high
    lit = sun[2] - tilt[0] * sun[0] - tilt[1] * sun[1] > 0.0
    under = standing or sun[2] - tilt[2] * sun[0] - tilt[3] * sun[1] > 0.0
    if kind not in (HULL, CONE) and lit and under and (standing or low >= rest):
        return walk(ring, kind, sun, spare, marks), low, high
    for i in range(n):
        marks[TAG, i] = not standing or i >= n // 2
    m = hull(spare, marks, n)
    for i in range(m):
        marks[MOVES, i] = marks[TOP, i] and marks[TOP, (i + 1) % m]
    return m, low, high


@helper
def weigh(spare: Floats, i: int, sign: float, of_x: float, per_y: float) -> None:
    """Write what side i weighs a cell by: near ends count as inside, far ones (sign -1) don't."""
    spare[OF_X, i], spare[OF_Y, i], spare[OF_R, i] = sign * of_x, -sign * per_y, -sign * spare[PER_R, i]
    spare[OF_1, i] = -sign * spare[AT_0, i] - (TINY if sign < 0.0 else 0.0)


@helper
def sides(spare: Floats, marks: Ints, m: int, kx: float, ky: float) -> None:
    """Write each side between m corners as a line, and which way it faces."""
    for i in range(m):
        k = i + 1 if i + 1 < m else 0
        dx, dy = spare[HX, k] - spare[HX, i], spare[HY, k] - spare[HY, i]
        moves = 1.0 if marks[MOVES, i] else 0.0
        marks[WAY, i] = NO_WAY
        if abs(dy) > TINY:
            per_y = dx / dy
            spare[PER_Y, i], spare[AT_0, i] = per_y, spare[HX, i] - per_y * spare[HY, i]
            spare[PER_R, i] = (kx - per_y * ky) * moves
            marks[WAY, i] = LEFT if dy < 0.0 else RIGHT
            weigh(spare, i, 1.0 if dy < 0.0 else -1.0, 1.0, per_y)
        elif abs(dx) > TINY:
            spare[PER_Y, i], spare[AT_0, i], spare[PER_R, i] = 0.0, spare[HY, i], ky * moves
            marks[WAY, i] = LOWER if dx > 0.0 else UPPER
            weigh(spare, i, 1.0 if dx > 0.0 else -1.0, 0.0, -1.0)
        else:
            spare[AT_0, i] = spare[PER_R, i] = 0.0
            weigh(spare, i, 0.0, 0.0, 0.0)


@helper
def inside(x: float, y: float, r: float, m: int, spare: Floats) -> bool:
    """Tell whether a cell at x, y, ``r`` above where the sides were made, is inside all; far ends are left out."""
    within = True
    for e in range(m):
        within = within and spare[OF_X, e] * x + spare[OF_Y, e] * y + spare[OF_R, e] * r + spare[OF_1, e] >= 0.0
    return within


@helper
def first_cell(at: float, start: float, per_m: float, most: int) -> int:
    """Return the first cell whose middle is not before ``at``, from 0 to ``most``: the half-open rule."""
    share = math.ceil((at - start) * per_m - 0.5)
    return int(min(max(share, 0.0), float(most)))
