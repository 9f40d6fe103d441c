"""Kernels: what convex pieces that have come are near to, and which lines to them part the ground.

Pieces are rows of corners, whichever way round.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import helper, kernel

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

Rings = tuple[Floats, Ints, Floats]
"""Corners (c, 2) of all pieces, the first one of each (p + 1,), and each one's box (p, 4): west, south, east, north [m]."""
RINGS = "Tuple((float64[:,::1], int64[::1], float64[:,::1]))"


@helper
def inside(ring: Floats, start: int, end: int, x: float, y: float) -> bool:
    """Return whether a point lies in a piece, by how often a ray to the east leaves it."""
    odd = False
    last = end - 1
    for k in range(start, end):
        ay, by = ring[last, 1], ring[k, 1]
        if (ay > y) != (by > y):
            ax, bx = ring[last, 0], ring[k, 0]
            if x < ax + (y - ay) * (bx - ax) / (by - ay):
                odd = not odd
        last = k
    return odd


@helper
def nearest(ring: Floats, start: int, end: int, x: float, y: float) -> tuple[float, float, float]:
    """Return the point of a piece's edge nearest to another point, and how far that is, squared [m, m2]."""
    best, px, py = math.inf, 0.0, 0.0
    last = end - 1
    for k in range(start, end):
        ax, ay = ring[last, 0], ring[last, 1]
        ux, uy = ring[k, 0] - ax, ring[k, 1] - ay
        long = ux * ux + uy * uy
        t = 0.0 if long == 0.0 else min(max(((x - ax) * ux + (y - ay) * uy) / long, 0.0), 1.0)
        qx, qy = ax + t * ux, ay + t * uy
        far = (x - qx) * (x - qx) + (y - qy) * (y - qy)
        if far < best:
            best, px, py = far, qx, qy
        last = k
    return px, py, best


@helper
def cut_at(ring: Floats, one: tuple[int, int], other: tuple[int, int]) -> tuple[float, float, bool]:
    """Return where the edge of one piece crosses that of another, and whether it does."""
    i = one[1] - 1
    for k in range(one[0], one[1]):
        ax, ay = ring[i, 0], ring[i, 1]
        ux, uy = ring[k, 0] - ax, ring[k, 1] - ay
        j = other[1] - 1
        for n in range(other[0], other[1]):
            cx, cy, dx, dy = ring[j, 0], ring[j, 1], ring[n, 0], ring[n, 1]
            left = ux * (cy - ay) - uy * (cx - ax)
            right = ux * (dy - ay) - uy * (dx - ax)
            if (left > 0.0) != (right > 0.0):
                wx, wy = dx - cx, dy - cy
                before = wx * (ay - cy) - wy * (ax - cx)
                after = wx * (ay + uy - cy) - wy * (ax + ux - cx)
                if (before > 0.0) != (after > 0.0):
                    t = before / (before - after)
                    return ax + t * ux, ay + t * uy, True
            j = n
        i = k
    return 0.0, 0.0, False


@helper
def shortest(ring: Floats, one: tuple[int, int], other: tuple[int, int], out: Floats) -> float:
    """Write the shortest line from one piece to another into ``out`` (4,); return its length [m]."""
    x, y, met = cut_at(ring, one, other)
    if not met and inside(ring, other[0], other[1], ring[one[0], 0], ring[one[0], 1]):
        x, y, met = ring[one[0], 0], ring[one[0], 1], True
    if not met and inside(ring, one[0], one[1], ring[other[0], 0], ring[other[0], 1]):
        x, y, met = ring[other[0], 0], ring[other[0], 1], True
    if met:
        out[0], out[1], out[2], out[3] = x, y, x, y
        return 0.0
    best = math.inf
    for k in range(one[0], one[1]):
        px, py, far = nearest(ring, other[0], other[1], ring[k, 0], ring[k, 1])
        if far < best:
            best = far
            out[0], out[1], out[2], out[3] = ring[k, 0], ring[k, 1], px, py
    for k in range(other[0], other[1]):
        px, py, far = nearest(ring, one[0], one[1], ring[k, 0], ring[k, 1])
        if far < best:
            best = far
            out[0], out[1], out[2], out[3] = px, py, ring[k, 0], ring[k, 1]
    return math.sqrt(best)


@helper
def meets(ring: Floats, start: int, end: int, circle: tuple[float, float, float]) -> bool:
    """Return whether a piece comes into a circle (x, y, radius), or just to it."""
    x, y, radius = circle
    if inside(ring, start, end, x, y):
        return True
    return bool(nearest(ring, start, end, x, y)[2] <= radius * radius)


Ranks = tuple[Ints, Ints, Flags]
"""The number of each piece, the barrier it belongs to, and whether that is in several pieces."""
RANKS = "Tuple((int64[::1], int64[::1], boolean[::1]))"


@helper
def leads(number: tuple[int, int], owner: tuple[int, int], bent: tuple[bool, bool]) -> bool:
    """Return whether a line leads from the first of two pieces: from the barrier in one piece, else the one found first.

    The same rule as where all lines are looked for from nothing, which is done by NumPy as long as no kernel has come.
    """
    if bent[0] != bent[1]:
        return bent[1]
    return owner[0] < owner[1] or (owner[0] == owner[1] and number[0] <= number[1])


@kernel(f"{RINGS}, {RANKS}, {RANKS}, float64")
def pairs_near(rings: Rings, old: Ranks, came: Ranks, up_to_m: float) -> Ints:
    """Return the pairs (2, k) of a piece that ``came`` and another no farther off than ``up_to_m`` [m].

    The old pieces (n) are counted first, then those that came; each line between two leads from the first of a pair.
    """
    ring, first, box = rings
    n, m = len(old[0]), len(came[0])
    number, owner = np.concatenate((old[0], came[0])), np.concatenate((old[1], came[1]))
    bent = np.concatenate((old[2], came[2]))
    out, line = np.empty((2, 64), np.int64), np.empty(4)
    count = 0
    for k in range(n, n + m):
        a = number[k]
        west, south, east, north = box[a, 0] - up_to_m, box[a, 1] - up_to_m, box[a, 2] + up_to_m, box[a, 3] + up_to_m
        for q in range(k):
            b = number[q]
            if box[b, 0] > east or box[b, 2] < west or box[b, 1] > north or box[b, 3] < south:
                continue
            if shortest(ring, (first[a], first[a + 1]), (first[b], first[b + 1]), line) > up_to_m + 1e-9:
                continue
            if count == out.shape[1]:
                out = np.concatenate((out, np.empty((2, count), np.int64)), axis=1)
            own = leads((a, b), (owner[k], owner[q]), (bent[k], bent[q]))
            out[0, count], out[1, count] = (k, q) if own else (q, k)
            count += 1
    return out[:, :count].copy()


@kernel(f"{RINGS}, int64[::1], int64[:,::1], float64[:,:,::1], float64[:,::1], float64[::1]")
def that_part(
    rings: Rings, number: Ints, pairs: Ints, lines: Floats, middle: Floats, bounds: Floats
) -> tuple[Floats, Floats, Ints]:
    """Return the ``lines`` (k, 2, 2) between ``pairs`` of pieces, no longer than the first of ``bounds`` (3,) [m], that part.

    As paths (k, 4, 2) from the ``middle`` of one piece along the line to that of the other, with their lengths and pairs.
    Those part that are no longer than the second of the bounds, where pieces touch, and those with no third piece in the
    circle on them as diameter, its radius smaller by the third.
    """
    ring, first, box = rings
    paths, length = np.empty((len(lines), 4, 2)), np.empty(len(lines))
    ends = np.empty((2, len(lines)), np.int64)
    count = 0
    for k in range(len(lines)):
        ax, ay, bx, by = lines[k, 0, 0], lines[k, 0, 1], lines[k, 1, 0], lines[k, 1, 1]
        far = math.hypot(bx - ax, by - ay)
        if far > bounds[0]:
            continue
        i, j = pairs[0, k], pairs[1, k]
        free = True
        if far > bounds[1]:
            x, y, r = (ax + bx) / 2, (ay + by) / 2, max(far / 2 - bounds[2], 0.0)
            for s in range(len(number)):
                c = number[s]
                if box[c, 0] > x + r or box[c, 2] < x - r or box[c, 1] > y + r or box[c, 3] < y - r:
                    continue
                if s not in (i, j) and meets(ring, first[c], first[c + 1], (x, y, r)):
                    free = False
                    break
        if free:
            paths[count, 0], paths[count, 3] = middle[i], middle[j]
            paths[count, 1:3] = lines[k]
            length[count], ends[0, count], ends[1, count] = far, i, j
            count += 1
    return paths[:count].copy(), length[:count].copy(), ends[:, :count].copy()


@kernel(f"float64[:,::1], float64[::1], {RINGS}, int64[::1]")
def circles_met(middle: Floats, radius: Floats, rings: Rings, came: Ints) -> Flags:
    """Return which circles [m] one of the pieces that ``came`` comes into."""
    ring, first, box = rings
    out = np.zeros(len(radius), np.bool_)
    for k in range(len(radius)):
        x, y, r = middle[k, 0], middle[k, 1], radius[k]
        for c in came:
            if box[c, 0] > x + r or box[c, 2] < x - r or box[c, 1] > y + r or box[c, 3] < y - r:
                continue
            if meets(ring, first[c], first[c + 1], (x, y, r)):
                out[k] = True
                break
    return out
