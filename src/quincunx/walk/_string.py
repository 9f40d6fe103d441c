"""Kernel: one taut string between two points inside a polygon with holes, the shortest way.

The same search as in :mod:`quincunx.walk.ways`, corner by corner and nearest first, for when it has to be quick.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import kernel
from quincunx.walk._taut import cross, pop, push

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Rings = tuple[Floats, Ints, Ints]
"""Corners (n, 2) [m], the next and the last one round each ring, with the ground on the left."""
RINGS = "Tuple((float64[:,::1], int64[::1], int64[::1]))"

HAIR_M = 1e-6
"""A line may touch a corner's edge by this much [m]."""
SLACK = 1e-9 * math.sqrt(2.0)
"""Turns smaller than this are none [m2]."""


@kernel
def off(line: tuple[float, float, float, float], x: float, y: float) -> float:
    """Return how far a point lies left of a line (x, y, and its direction of length 1) [m]."""
    return cross(line[2], line[3], x - line[0], y - line[1])


@kernel
def opens(back: float, ahead: float, left: bool) -> bool:
    """Return whether a line has ground before it at a corner.

    ``back`` and ``ahead`` say how far left of the line the last corner and the next one lie [m], ``left`` whether the
    edge turns left at this one.
    """
    if left:
        return ahead <= HAIR_M and back >= -HAIR_M
    return ahead <= HAIR_M or back >= -HAIR_M


@kernel
def crosses(line: tuple[float, float, float, float], long: float, rings: Rings, k: int) -> bool:
    """Return whether a line ``long`` [m] leaves the ground at corner ``k`` or between it and the next."""
    at, after, before = rings
    x, y, n = at[k, 0], at[k, 1], after[k]
    mine, ahead = off(line, x, y), off(line, at[n, 0], at[n, 1])
    if abs(mine) > HAIR_M:
        if abs(ahead) <= HAIR_M or (mine > 0) == (ahead > 0):
            return False
        share = mine / (mine - ahead)
        px, py = x + share * (at[n, 0] - x), y + share * (at[n, 1] - y)
        along = (px - line[0]) * line[2] + (py - line[1]) * line[3]
        if along < -HAIR_M or along > long + HAIR_M:
            return False
        return (along > HAIR_M or mine < 0) and (along < long - HAIR_M or mine > 0)
    along = (x - line[0]) * line[2] + (y - line[1]) * line[3]
    if along < -HAIR_M or along > long + HAIR_M:
        return False
    b = before[k]
    back = off(line, at[b, 0], at[b, 1])
    left = cross(x - at[b, 0], y - at[b, 1], at[n, 0] - x, at[n, 1] - y) > 0
    if along < long - HAIR_M and not opens(back, ahead, left):
        return True
    return along > HAIR_M and not opens(-back, -ahead, left)


@kernel
def blocker(ax: float, ay: float, bx: float, by: float, rings: Rings, likely: int) -> int:
    """Return the corner at or after which a line leaves the ground, -1 if it stays; the ``likely`` one is tried first.

    Lines tried one after the other are mostly blocked by the same thing.
    """
    long = math.hypot(bx - ax, by - ay)
    line = (ax, ay, (bx - ax) / long, (by - ay) / long)
    if likely >= 0 and crosses(line, long, rings, likely):
        return likely
    at, after = rings[0], rings[1]
    nx, ny = -line[3], line[2]
    level = ax * nx + ay * ny
    west, east = min(ax, bx) - HAIR_M, max(ax, bx) + HAIR_M
    south, north = min(ay, by) - HAIR_M, max(ay, by) + HAIR_M
    for k in range(len(at)):
        n = after[k]
        x, y, u, v = at[k, 0], at[k, 1], at[n, 0], at[n, 1]
        if (x < west and u < west) or (x > east and u > east) or (y < south and v < south) or (y > north and v > north):
            continue
        mine, ahead = x * nx + y * ny - level, u * nx + v * ny - level
        if (mine > 2 * HAIR_M and ahead > 2 * HAIR_M) or (mine < -2 * HAIR_M and ahead < -2 * HAIR_M):
            continue
        if crosses(line, long, rings, k):
            return k
    return -1


@kernel
def beside(dx: float, dy: float, edges: Floats, i: int) -> bool:
    """Return whether a line along (dx, dy) leaves both edges of corner ``i`` on one side."""
    a, b = cross(dx, dy, edges[i, 2], edges[i, 3]), cross(edges[i, 0], edges[i, 1], dx, dy)
    return (a >= -SLACK and b >= -SLACK) or (a <= SLACK and b <= SLACK)


@kernel
def bends_to(cx: float, cy: float, dx: float, dy: float, edges: Floats, i: int) -> bool:
    """Return whether a string that comes to corner ``i`` along (dx, dy) bends round it to go along (cx, cy)."""
    ix, iy, ox, oy = edges[i, 0], edges[i, 1], edges[i, 2], edges[i, 3]
    a, b = cross(dx, dy, ox, oy), cross(ix, iy, dx, dy)
    out, into, turn = cross(ox, oy, cx, cy), cross(ix, iy, cx, cy), cross(dx, dy, cx, cy)
    if a <= SLACK and b <= SLACK and out >= -SLACK and into <= SLACK and turn <= SLACK:
        return True
    return a >= -SLACK and b >= -SLACK and out <= SLACK and into >= -SLACK and turn >= -SLACK


@kernel(f"float64[::1], float64[::1], {RINGS}")
def taut_string(start: Floats, end: Floats, rings: Rings) -> Floats:
    """Return the points (k, 2) [m] of the shortest way between two points; none if there is no way."""
    at, after, before = rings
    n = len(at)
    number, count = np.full(n, -1, np.int64), 0
    for k in range(n):
        b, a = before[k], after[k]
        if cross(at[k, 0] - at[b, 0], at[k, 1] - at[b, 1], at[a, 0] - at[k, 0], at[a, 1] - at[k, 1]) < -1e-12:
            number[k] = count
            count += 1
    # The corners round which a string may bend, then the goal, then the start; edges into and out of each.
    spot, edges, home = np.zeros((count + 2, 2)), np.zeros((count + 2, 4)), np.full(count + 2, -1, np.int64)
    for k in range(n):
        i = number[k]
        if i >= 0:
            home[i] = k
            for c in range(2):
                spot[i, c] = at[k, c]
                edges[i, c] = at[k, c] - at[before[k], c]
                edges[i, 2 + c] = at[after[k], c] - at[k, c]
    goal, root = count, count + 1
    spot[goal], spot[root] = end, start
    came = np.full(count + 2, -1, np.int64)
    room = 256
    keys, items = np.empty(room), np.empty(room, np.int64)
    far, made, size = np.empty((room, 3)), 0, 0  # what is on the heap: how far, which node, from which
    came[root] = root
    node, gone, likely = root, 0.0, -1
    while True:
        x, y = spot[node, 0], spot[node, 1]
        px, py = spot[came[node], 0], spot[came[node], 1]
        for i in range(goal + 1):
            if came[i] >= 0:
                continue
            dx, dy = spot[i, 0] - x, spot[i, 1] - y
            step = math.hypot(dx, dy)
            if step == 0.0 or (node != root and not bends_to(dx, dy, x - px, y - py, edges, node)):
                continue
            if not beside(dx, dy, edges, i):
                continue
            if made == room:
                wide, more_keys, more_items = np.empty((2 * room, 3)), np.empty(2 * room), np.empty(2 * room, np.int64)
                wide[:room], more_keys[:room], more_items[:room] = far, keys, items
                far, keys, items, room = wide, more_keys, more_items, 2 * room
            far[made, 0], far[made, 1], far[made, 2] = gone + step, i, node
            ahead = math.hypot(spot[i, 0] - end[0], spot[i, 1] - end[1])
            size = push(keys, items, size, gone + step + ahead, made)
            made += 1
        while True:
            if size == 0:
                return np.empty((0, 2))
            item = items[0]
            size = pop(keys, items, size)
            gone, node, parent = far[item, 0], int(far[item, 1]), int(far[item, 2])
            if came[node] >= 0:
                continue
            k, j = home[node], home[parent]
            if k >= 0 and j >= 0 and (after[j] == k or before[j] == k):
                break
            met = blocker(spot[parent, 0], spot[parent, 1], spot[node, 0], spot[node, 1], rings, likely)
            if met < 0:
                break
            likely = met
        came[node] = parent
        if node == goal:
            break
    path, steps = np.empty((count + 2, 2)), 0
    while True:
        path[steps] = spot[node]
        steps += 1
        if node == root:
            break
        node = came[node]
    return path[:steps][::-1].copy()
