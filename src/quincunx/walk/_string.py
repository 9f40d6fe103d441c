"""Kernel: one taut string between two points inside a polygon with holes, the shortest way.

The same search as in :mod:`quincunx.walk.ways`, corner by corner and nearest first, for when it has to be quick.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import helper, kernel
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
NEAR_M = 1e-4
"""Corners no farther from one than this are looked past where a line can't tell them from it [m]."""
TOGETHER = 16
"""So many edges that follow one another are looked past together where a line is not near."""


@helper
def off(line: tuple[float, float, float, float], x: float, y: float) -> float:
    """Return how far a point lies left of a line (x, y, and its direction of length 1) [m]."""
    return cross(line[2], line[3], x - line[0], y - line[1])


@helper
def opens(back: float, ahead: float, turn: float) -> bool:
    """Return whether a line has ground before it at a corner.

    ``back`` and ``ahead`` say how far left of the line the last corner and the next one lie [m], ``turn`` how the
    edge turns at this one: positive to the left.
    """
    if turn > 0:
        return ahead <= HAIR_M and back >= -HAIR_M
    return ahead <= HAIR_M or back >= -HAIR_M


@helper
def parted(line: tuple[float, float, float, float], at: Floats, on: Ints, k: int) -> tuple[int, float]:
    """Return the corner that follows ``k`` and how far left of a line it lies [m].

    ``on`` tells the next corner (or the last: either way).  A corner drawn as a few, less than a hair beside the line,
    would hide the edge behind it: such corners are looked past.
    """
    n = on[k]
    left = off(line, at[n, 0], at[n, 1])
    while abs(left) <= HAIR_M and n != k and math.hypot(at[n, 0] - at[k, 0], at[n, 1] - at[k, 1]) <= NEAR_M:
        n = on[n]
        left = off(line, at[n, 0], at[n, 1])
    return n, left


@helper
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
    b, back = parted(line, at, before, k)
    n, ahead = parted(line, at, after, k)
    turn = cross(x - at[b, 0], y - at[b, 1], at[n, 0] - x, at[n, 1] - y)
    if along < long - HAIR_M and not opens(back, ahead, turn):
        return True
    return along > HAIR_M and not opens(-back, -ahead, turn)


@kernel
def boxes_of(rings: Rings) -> Floats:
    """Return the boxes (west, south, east, north) [m] round each :data:`TOGETHER` edges that follow one another."""
    at, after = rings[0], rings[1]
    out = np.empty(((len(at) + TOGETHER - 1) // TOGETHER, 4))
    for box in range(len(out)):
        west, south, east, north = np.inf, np.inf, -np.inf, -np.inf
        for k in range(box * TOGETHER, min((box + 1) * TOGETHER, len(at))):
            n = after[k]
            west, east = min(west, at[k, 0], at[n, 0]), max(east, at[k, 0], at[n, 0])
            south, north = min(south, at[k, 1], at[n, 1]), max(north, at[k, 1], at[n, 1])
        out[box, 0], out[box, 1], out[box, 2], out[box, 3] = west, south, east, north
    return out


@helper
def blocker(ax: float, ay: float, bx: float, by: float, rings: Rings, boxes: Floats, likely: int) -> int:
    """Return the corner at or after which a line leaves the ground, -1 if it stays; the ``likely`` one is tried first.

    Lines tried one after the other are mostly blocked by the same thing.  Edges whose box lies off the line are not
    looked at one by one.
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
    for box in range(len(boxes)):
        w, s, e, n = boxes[box, 0], boxes[box, 1], boxes[box, 2], boxes[box, 3]
        if w > east or e < west or s > north or n < south:
            continue
        most = max(w * nx, e * nx) + max(s * ny, n * ny) - level
        least = min(w * nx, e * nx) + min(s * ny, n * ny) - level
        if least > 2 * HAIR_M or most < -2 * HAIR_M:
            continue
        for k in range(box * TOGETHER, min((box + 1) * TOGETHER, len(at))):
            j = after[k]
            x, y, u, v = at[k, 0], at[k, 1], at[j, 0], at[j, 1]
            if max(x, u) < west or min(x, u) > east or max(y, v) < south or min(y, v) > north:
                continue
            mine, ahead = x * nx + y * ny - level, u * nx + v * ny - level
            if min(mine, ahead) > 2 * HAIR_M or max(mine, ahead) < -2 * HAIR_M:
                continue
            if crosses(line, long, rings, k):
                return k
    return -1


@helper
def beside(dx: float, dy: float, edges: Floats, i: int) -> bool:
    """Return whether a line along (dx, dy) leaves both edges of corner ``i`` on one side."""
    a, b = cross(dx, dy, edges[i, 2], edges[i, 3]), cross(edges[i, 0], edges[i, 1], dx, dy)
    return (a >= -SLACK and b >= -SLACK) or (a <= SLACK and b <= SLACK)


@kernel
def corners_of(start: Floats, end: Floats, rings: Rings) -> tuple[Floats, Floats, Ints]:
    """Return where a string may bend (n, 2), the edges into and out of each (n, 4) [m], and its place in the rings.

    The goal and the start come last, without edges and places.
    """
    at, after, before = rings
    home, count = np.empty(len(at) + 2, np.int64), 0
    for k in range(len(at)):
        b, a = before[k], after[k]
        if cross(at[k, 0] - at[b, 0], at[k, 1] - at[b, 1], at[a, 0] - at[k, 0], at[a, 1] - at[k, 1]) < -1e-12:
            home[count] = k
            count += 1
    spot, edges = np.zeros((count + 2, 2)), np.zeros((count + 2, 4))
    for i in range(count):
        k = home[i]
        for c in range(2):
            spot[i, c] = at[k, c]
            edges[i, c] = at[k, c] - at[before[k], c]
            edges[i, 2 + c] = at[after[k], c] - at[k, c]
    spot[count], spot[count + 1] = end, start
    home[count] = home[count + 1] = -1
    return spot, edges, home[: count + 2]


@kernel
def roomier(lines: Floats, keys: Floats, items: Ints) -> tuple[Floats, Floats, Ints]:
    """Return the lines to try and the heap over them in twice the room."""
    n = len(lines)
    wide, more_keys, more_items = np.empty((2 * n, 3)), np.empty(2 * n), np.empty(2 * n, np.int64)
    wide[:n], more_keys[:n], more_items[:n] = lines, keys, items
    return wide, more_keys, more_items


@helper
def onward(node: int, came: Ints, spot: Floats, edges: Floats, found: Ints) -> int:
    """Put into ``found`` the corners to which a string that has come to ``node`` may go on; return how many.

    It goes on round the corner it bends at, and leaves both edges of the next on one side.  Of all that a search does
    this is done most often, so what depends on the node alone is worked out once.
    """
    last, count = came[node], 0
    x, y = spot[node, 0], spot[node, 1]
    px, py = x - spot[last, 0], y - spot[last, 1]
    ix, iy, ox, oy = edges[node, 0], edges[node, 1], edges[node, 2], edges[node, 3]
    a, b = cross(px, py, ox, oy), cross(ix, iy, px, py)
    right, left, free = a <= SLACK and b <= SLACK, a >= -SLACK and b >= -SLACK, last == node
    for i in range(len(spot) - 1):
        dx, dy = spot[i, 0] - x, spot[i, 1] - y
        if not free:
            turn, out, into = cross(px, py, dx, dy), cross(ox, oy, dx, dy), cross(ix, iy, dx, dy)
            if not (right and turn <= SLACK and out >= -SLACK and into <= SLACK) and not (
                left and turn >= -SLACK and out <= SLACK and into >= -SLACK
            ):
                continue
        if came[i] < 0 and (dx != 0.0 or dy != 0.0) and beside(dx, dy, edges, i):
            found[count] = i
            count += 1
    return count


@kernel
def string_back(goal: int, came: Ints, spot: Floats) -> Floats:
    """Return the points (k, 2) from the start to the ``goal`` [m]."""
    path, steps, node = np.empty((len(spot), 2)), 1, goal
    path[0] = spot[node]
    while came[node] != node:
        node = came[node]
        path[steps] = spot[node]
        steps += 1
    return path[:steps][::-1].copy()


@kernel(f"float64[::1], float64[::1], {RINGS}")
def taut_string(start: Floats, end: Floats, rings: Rings) -> Floats:
    """Return the points (k, 2) [m] of the shortest way between two points; none if there is no way."""
    spot, edges, home = corners_of(start, end, rings)
    after, before, boxes = rings[1], rings[2], boxes_of(rings)
    goal, node, gone, likely = len(spot) - 2, len(spot) - 1, 0.0, -1
    came = np.full(len(spot), -1, np.int64)
    came[node] = node
    lines, keys, items = np.empty((256, 3)), np.empty(256), np.empty(256, np.int64)  # how far, to which, from which
    found, made, size = np.empty(len(spot), np.int64), 0, 0
    while node != goal:
        for i in found[: onward(node, came, spot, edges, found)]:
            if made == len(lines):
                lines, keys, items = roomier(lines, keys, items)
            far = gone + math.hypot(spot[i, 0] - spot[node, 0], spot[i, 1] - spot[node, 1])
            lines[made, 0], lines[made, 1], lines[made, 2] = far, i, node
            ahead = math.hypot(spot[i, 0] - spot[goal, 0], spot[i, 1] - spot[goal, 1])
            size = push(keys, items, size, far + ahead, made)
            made += 1
        while True:
            if size == 0:
                return np.empty((0, 2))
            line = items[0]
            size = pop(keys, items, size)
            gone, node, parent = lines[line, 0], int(lines[line, 1]), int(lines[line, 2])
            if came[node] >= 0:
                continue
            k, j = home[node], home[parent]
            if k >= 0 and j >= 0 and (after[j] == k or before[j] == k):
                break
            met = blocker(spot[parent, 0], spot[parent, 1], spot[node, 0], spot[node, 1], rings, boxes, likely)
            if met < 0:
                break
            likely = met
        came[node] = parent
    return string_back(goal, came, spot)
