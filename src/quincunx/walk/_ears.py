"""Kernel: a polygon with holes cut into triangles, ear by ear.

Holes are tied to the outline by a line to what lies west of their westernmost corner, and ears are clipped off the one
ring that is left (D. Eberly, Triangulation by Ear Clipping, Geometric Tools, 2002; from memory).  What can't be clipped
cleanly is said by returning nothing, never by a wrong answer: the triangles are counted and their area is summed.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import helper, kernel
from quincunx.walk._taut import cross

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Ring = tuple[Floats, Ints, Ints]
"""Nodes as kernels take them: where each lies (n, 2) [m], the next and the last one round the ring."""


@helper
def turn(at: Floats, a: int, b: int, c: int) -> float:
    """Return twice the area of a triangle: positive where its corners go anticlockwise [m2]."""
    return cross(at[b, 0] - at[a, 0], at[b, 1] - at[a, 1], at[c, 0] - at[a, 0], at[c, 1] - at[a, 1])


@helper
def looks_in(ring: Ring, a: int, b: int) -> bool:
    """Return whether a line from node ``a`` towards node ``b`` begins inside the ring."""
    at, after, before = ring
    ahead, back = turn(at, a, after[a], b), turn(at, before[a], a, b)
    if turn(at, before[a], a, after[a]) > 0:
        return ahead >= 0 and back >= 0
    return ahead >= 0 or back >= 0


@helper
def within(at: Floats, a: int, b: int, c: int, p: int) -> bool:
    """Return whether node ``p`` lies in the anticlockwise triangle of three nodes or on its edge."""
    return turn(at, a, b, p) >= 0 and turn(at, b, c, p) >= 0 and turn(at, c, a, p) >= 0


@helper
def in_corner(x: float, y: float, qx: float, qy: float, hole: tuple[float, float], at: Floats, p: int) -> bool:
    """Return whether node ``p`` lies in the triangle of a hole's corner, (qx, its y) west of it and (x, y), or on it."""
    hx, hy = hole
    px, py = at[p, 0], at[p, 1]
    one = cross(qx - hx, qy - hy, px - hx, py - hy)
    two = cross(x - qx, y - qy, px - qx, py - qy)
    three = cross(hx - x, hy - y, px - x, py - y)
    return (one >= 0 and two >= 0 and three >= 0) or (one <= 0 and two <= 0 and three <= 0)


@helper
def west_of(ring: Ring, hole: int, start: int) -> int:
    """Return the node of the ring through ``start`` to which a hole's westernmost node is tied; -1 for none."""
    at, after, before = ring
    hx, hy = at[hole, 0], at[hole, 1]
    best, qx, p = -1, -np.inf, start
    while True:
        n = after[p]
        if at[p, 1] >= hy >= at[n, 1] and at[n, 1] != at[p, 1]:
            x = at[p, 0] + (hy - at[p, 1]) * (at[n, 0] - at[p, 0]) / (at[n, 1] - at[p, 1])
            if qx < x <= hx:
                qx = x
                best = p if at[p, 0] < at[n, 0] else n
        p = n
        if p == start:
            break
    if best < 0 or qx == hx:
        return best
    stop, x, y, least = best, at[best, 0], at[best, 1], np.inf
    p = stop
    while True:
        px, py = at[p, 0], at[p, 1]
        if x <= px < hx and in_corner(x, y, qx, hy, (hx, hy), at, p):
            tan = abs(hy - py) / (hx - px)
            if looks_in(ring, p, hole):
                better = tan < least or (tan == least and px > at[best, 0])
                if not better and tan == least and px == at[best, 0]:
                    better = turn(at, before[best], best, before[p]) > 0 and turn(at, after[p], best, after[best]) > 0
                if better:
                    best, least = p, tan
        p = after[p]
        if p == stop:
            return best


@kernel
def tied(at: Floats, first: Ints) -> tuple[Floats, Ints, Ints, Ints]:
    """Return one ring of nodes over all rings of a polygon: where they lie, next, last, and the corner each stands on.

    No corners at all if a hole can't be tied.
    """
    n, holes = len(at), len(first) - 2
    spot, corner = np.empty((n + 2 * holes, 2)), np.empty(n + 2 * holes, np.int64)
    after, before = np.empty(n + 2 * holes, np.int64), np.empty(n + 2 * holes, np.int64)
    west = np.empty(holes, np.int64)
    for r in range(holes + 1):
        a, b = first[r], first[r + 1]
        least = a
        for k in range(a, b):
            spot[k], corner[k] = at[k], k
            after[k] = a if k + 1 == b else k + 1
            before[k] = b - 1 if k == a else k - 1
            if at[k, 0] < at[least, 0] or (at[k, 0] == at[least, 0] and at[k, 1] < at[least, 1]):
                least = k
        if r > 0:
            west[r - 1] = least
    made = n
    for h in west[np.argsort(at[west, 0])]:
        p = west_of((spot, after, before), h, 0)
        if p < 0:
            return spot, after, before, corner[:0]
        p2, h2 = made, made + 1
        made += 2
        spot[p2], corner[p2], spot[h2], corner[h2] = spot[p], corner[p], spot[h], corner[h]
        next_p, last_h = after[p], before[h]
        after[p], before[h] = h, p
        after[p2], before[next_p] = next_p, p2
        after[h2], before[p2] = p2, h2
        after[last_h], before[h2] = h2, last_h
    return spot, after, before, corner


@helper
def pokes(ring: Ring, p: int, a: int, b: int, c: int) -> bool:
    """Return whether an edge at node ``p``, which lies on node ``b``, leads into the triangle of ``a``, ``b``, ``c``."""
    at, after, before = ring
    one, other = after[p], before[p]
    if turn(at, b, c, one) > 0 and turn(at, a, b, one) > 0:
        return True
    return turn(at, b, c, other) > 0 and turn(at, a, b, other) > 0


@helper
def is_ear(ring: Ring, b: int, order: Ints, sorted_x: Floats, gone: NDArray[np.bool_]) -> bool:
    """Return whether the triangle at node ``b`` can be cut off; ``order`` are the nodes from west to east."""
    at, after, before = ring
    a, c = before[b], after[b]
    if turn(at, a, b, c) <= 0:
        return False
    west, east = min(at[a, 0], at[b, 0], at[c, 0]), max(at[a, 0], at[b, 0], at[c, 0])
    low, high = min(at[a, 1], at[b, 1], at[c, 1]), max(at[a, 1], at[b, 1], at[c, 1])
    for k in range(np.searchsorted(sorted_x, west), len(order)):
        if sorted_x[k] > east:
            break
        p = order[k]
        y = at[p, 1]
        if gone[p] or y < low or y > high or p in (a, b, c):
            continue
        x = at[p, 0]
        if x == at[b, 0] and y == at[b, 1]:
            if pokes(ring, p, a, b, c):
                return False
        elif x == at[a, 0] and y == at[a, 1]:
            if pokes(ring, p, c, a, b):
                return False
        elif x == at[c, 0] and y == at[c, 1]:
            if pokes(ring, p, b, c, a):
                return False
        elif within(at, a, b, c, p) and turn(at, before[p], p, after[p]) <= 0:
            return False
    return True


@kernel("float64[:,::1], int64[::1]")
def ears(at: Floats, first: Ints) -> Ints:
    """Return the triangles (m, 3), anticlockwise, of a polygon of corners ``at`` (n, 2) [m]; none where it fails.

    Its rings begin at ``first`` (the outline, then the holes; the last number is n), the ground on their left; no two
    corners lie on one point.
    """
    spot, after, before, corner = tied(at, first)
    count = len(corner)
    out = np.empty((max(count - 2, 0), 3), np.int64)
    if count < 3:
        return out[:0]
    area, left = 0.0, 0.0
    node = 0
    for _ in range(count):
        n = after[node]
        area += cross(spot[node, 0] - at[0, 0], spot[node, 1] - at[0, 1], spot[n, 0] - at[0, 0], spot[n, 1] - at[0, 1])
        node = n
    order = np.argsort(spot[:, 0])
    sorted_x, gone = spot[order, 0], np.zeros(count, np.bool_)
    ring = (spot, after, before)
    made, node, tries = 0, 0, 0
    while count - made > 2:
        if tries > count - made:
            return out[:0]
        tries += 1
        if not is_ear(ring, node, order, sorted_x, gone):
            node = after[node]
            continue
        a, c = before[node], after[node]
        out[made, 0], out[made, 1], out[made, 2] = corner[a], corner[node], corner[c]
        left += turn(spot, a, node, c)
        made += 1
        after[a], before[c] = c, a
        gone[node] = True
        tries, node = 0, after[c]
    if abs(left - area) > 1e-9 * area:
        return out[:0]
    return out
