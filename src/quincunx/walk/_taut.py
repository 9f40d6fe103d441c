"""Kernels: which corners see each other round which a taut string may bend, and the shortest ways along them.

A cone of sight is carried from triangle to triangle (triangular expansion: F. Bungiu et al., Efficient computation of
visibility polygons, EuroCG 2014; from memory) and only into the directions in which a string round the corner is
taut; the ways are then found by Dijkstra's rule with a heap.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import helper, kernel

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

Cone = tuple[float, float, float, float]
Arrays = tuple[Floats, Ints, Ints, Ints, Ints]
"""A mesh as kernels take it: corners, triangles, those beside each, the next and the last corner on the edge."""
Work = tuple[Ints, Floats, Ints, Ints]
MESH = "Tuple((float64[:,::1], int64[:,::1], int64[:,::1], int64[::1], int64[::1]))"

TINY = 1e-12


@helper
def cross(ax: float, ay: float, bx: float, by: float) -> float:
    """Return the turn from one vector to another: positive anticlockwise."""
    return ax * by - ay * bx


@helper
def taut_at(at: Floats, after: Ints, before: Ints, corner: int, dx: float, dy: float) -> bool:
    """Return whether a line along (dx, dy) through a corner leaves both its edges on one side."""
    x, y = at[corner, 0], at[corner, 1]
    a = cross(dx, dy, at[after[corner], 0] - x, at[after[corner], 1] - y)
    b = cross(dx, dy, at[before[corner], 0] - x, at[before[corner], 1] - y)
    return (a >= -1e-9 and b >= -1e-9) or (a <= 1e-9 and b <= 1e-9)


@helper
def see(start: tuple[float, float, int, int], cone: Cone, mesh: Arrays, work: Work, stamp: int, count: int) -> int:
    """Add to what is seen the corners in a ``cone`` (left x, y, right x, y); return the new count.

    ``start`` is the eye (x, y), the triangle it looks out of and the corner opposite the edge it looks through.
    ``work`` holds room for triangles and cones to come, the corners seen, and marks (by ``stamp``) of those.
    """
    at, triangles, beside = mesh[0], mesh[1], mesh[2]
    todo, cones, seen, mark = work
    ox, oy = start[0], start[1]
    todo[0, 0], todo[0, 1] = start[2], start[3]
    cones[0, 0], cones[0, 1], cones[0, 2], cones[0, 3] = cone
    depth = 1
    while depth > 0:
        depth -= 1
        t, k = todo[depth, 0], todo[depth, 1]
        lx, ly, rx, ry = cones[depth, 0], cones[depth, 1], cones[depth, 2], cones[depth, 3]
        u = beside[t, k]
        if u < 0:
            continue
        ja, j = across(triangles, u, triangles[t, (k + 1) % 3], triangles[t, (k + 2) % 3])
        c = triangles[u, j]
        cx, cy = at[c, 0] - ox, at[c, 1] - oy
        left, right = cross(cx, cy, lx, ly), cross(rx, ry, cx, cy)
        if left >= -TINY and right >= -TINY and mark[c] != stamp:
            mark[c] = stamp
            seen[count] = c
            count += 1
        if left > TINY:  # the part of the cone left of c goes on through the edge opposite a
            todo[depth, 0], todo[depth, 1] = u, ja
            cones[depth, 0], cones[depth, 1] = lx, ly
            cones[depth, 2], cones[depth, 3] = (cx, cy) if right > 0 else (rx, ry)
            depth += 1
        if right > TINY:  # the part right of c goes on through the edge opposite b
            todo[depth, 0], todo[depth, 1] = u, 3 - j - ja
            cones[depth, 2], cones[depth, 3] = rx, ry
            cones[depth, 0], cones[depth, 1] = (cx, cy) if left > 0 else (lx, ly)
            depth += 1
    return count


@helper
def across(triangles: Ints, u: int, a: int, b: int) -> tuple[int, int]:
    """Return where in triangle ``u`` the corner ``a`` stands, and the corner that is neither ``a`` nor ``b``."""
    j = 0
    while triangles[u, j] == a or triangles[u, j] == b:
        j += 1
    ja = 0
    while triangles[u, ja] != a:
        ja += 1
    return ja, j


@helper
def narrowed(edge: Cone, limit: Cone) -> tuple[bool, float, float, float, float]:
    """Return (whether anything is left, right x, y, left x, y) of the cone ``edge`` cut to the cone ``limit``.

    Both are (right x, y, left x, y) and open less than 180 degrees.
    """
    ax, ay, bx, by = edge
    rx, ry, lx, ly = limit
    px, py = (rx, ry) if cross(ax, ay, rx, ry) > 0 else (ax, ay)
    qx, qy = (lx, ly) if cross(lx, ly, bx, by) > 0 else (bx, by)
    inside = (
        cross(px, py, qx, qy) > 1e-14
        and cross(ax, ay, px, py) >= -TINY
        and cross(px, py, bx, by) >= -TINY
        and cross(rx, ry, px, py) >= -TINY
        and cross(px, py, lx, ly) >= -TINY
        and cross(ax, ay, qx, qy) >= -TINY
        and cross(rx, ry, qx, qy) >= -TINY
    )
    return inside, px, py, qx, qy


@kernel
def locate(points: Floats, at: Floats, triangles: Ints) -> Ints:
    """Return the triangle each point lies in, -1 for none."""
    out = np.full(len(points), -1, np.int64)
    for p in range(len(points)):
        for t in range(len(triangles)):
            inside = True
            for k in range(3):
                a, b = triangles[t, k], triangles[t, (k + 1) % 3]
                ax, ay = at[a, 0], at[a, 1]
                if cross(at[b, 0] - ax, at[b, 1] - ay, points[p, 0] - ax, points[p, 1] - ay) < -TINY:
                    inside = False
                    break
            if inside:
                out[p] = t
                break
    return out


@kernel
def wider(array: Ints, count: int) -> Ints:
    """Return ``array`` (n, 2) in twice the room once ``count`` rows fill it."""
    if count < len(array):
        return array
    out = np.empty((2 * len(array), 2), np.int64)
    out[: len(array)] = array
    return out


@kernel
def fans(triangles: Ints, n: int) -> tuple[Ints, Ints]:
    """Return the triangles round each of ``n`` corners: where a corner's begin, and 3 x triangle + its place in it."""
    first, fan = np.zeros(n + 1, np.int64), np.empty(3 * len(triangles), np.int64)
    for t in range(len(triangles)):
        for k in range(3):
            first[triangles[t, k] + 1] += 1
    for v in range(n):
        first[v + 1] += first[v]
    place = first[:-1].copy()
    for t in range(len(triangles)):
        for k in range(3):
            fan[place[triangles[t, k]]] = 3 * t + k
            place[triangles[t, k]] += 1
    return first, fan


@helper
def put(c: int, seen: Ints, mark: Ints, stamp: int, count: int) -> int:
    """Add a corner to what is seen, once; return the new count."""
    if mark[c] == stamp:
        return count
    mark[c] = stamp
    seen[count] = c
    return count + 1


@helper
def from_corner(v: int, triangles_round: Ints, mesh: Arrays, work: Work, stamp: int) -> int:
    """Put the corners seen from corner ``v`` along taut directions into ``work``; return how many."""
    at, triangles, after, before = mesh[0], mesh[1], mesh[3], mesh[4]
    ox, oy = at[v, 0], at[v, 1]
    ux, uy = at[after[v], 0] - ox, at[after[v], 1] - oy
    wx, wy = at[before[v], 0] - ox, at[before[v], 1] - oy
    count = 0
    for item in triangles_round:
        t, k = item // 3, item % 3
        a, b = triangles[t, (k + 1) % 3], triangles[t, (k + 2) % 3]
        count = put(a, work[2], work[3], stamp, count)
        count = put(b, work[2], work[3], stamp, count)
        edge = (at[a, 0] - ox, at[a, 1] - oy, at[b, 0] - ox, at[b, 1] - oy)
        for side in (1.0, -1.0):
            some, px, py, qx, qy = narrowed(edge, (side * ux, side * uy, -side * wx, -side * wy))
            if some:
                count = see((ox, oy, t, k), (qx, qy, px, py), mesh, work, stamp, count)
    return count


@helper
def from_point(x: float, y: float, t: int, mesh: Arrays, work: Work, stamp: int) -> int:
    """Put the corners seen from a point in triangle ``t`` into ``work``; return how many."""
    at, triangles = mesh[0], mesh[1]
    count = 0
    for k in range(3):
        count = put(triangles[t, k], work[2], work[3], stamp, count)
        a, b = triangles[t, (k + 1) % 3], triangles[t, (k + 2) % 3]
        cone = (at[b, 0] - x, at[b, 1] - y, at[a, 0] - x, at[a, 1] - y)
        count = see((x, y, t, k), cone, mesh, work, stamp, count)
    return count


@kernel(f"float64[:,::1], {MESH}, boolean[::1]")
def lines_of_sight(points: Floats, mesh: Arrays, bends: Flags) -> tuple[Ints, Ints]:
    """Return the taut lines (k, 2) between nodes, corners first and then points, and each point's triangle."""
    at, triangles, after, before = mesh[0], mesh[1], mesh[3], mesh[4]
    n, room = len(at), 2 * len(triangles) + 8
    work = (np.empty((room, 2), np.int64), np.empty((room, 4)), np.empty(n + 8, np.int64), np.zeros(n, np.int64))
    lines, made = np.empty((4096, 2), np.int64), 0
    first, fan = fans(triangles, n)
    for v in range(n):
        if not bends[v]:
            continue
        for q in range(from_corner(v, fan[first[v] : first[v + 1]], mesh, work, v + 1)):
            c = work[2][q]
            dx, dy = at[c, 0] - at[v, 0], at[c, 1] - at[v, 1]
            if c > v and bends[c] and taut_at(at, after, before, c, dx, dy) and taut_at(at, after, before, v, dx, dy):
                lines = wider(lines, made)
                lines[made, 0], lines[made, 1] = v, c
                made += 1
    home = locate(points, at, triangles)
    for p in range(len(points)):
        if home[p] < 0:
            continue
        x, y = points[p, 0], points[p, 1]
        for q in range(from_point(x, y, home[p], mesh, work, n + 1 + p)):
            c = work[2][q]
            if bends[c] and taut_at(at, after, before, c, at[c, 0] - x, at[c, 1] - y):
                lines = wider(lines, made)
                lines[made, 0], lines[made, 1] = c, n + p
                made += 1
    return lines[:made].copy(), home


@helper
def straight(line: Cone, start: int, end: int, mesh: Arrays) -> bool:
    """Return whether a ``line`` (x, y, x, y) from a point in triangle ``start`` to one in ``end`` stays inside."""
    at, triangles, beside = mesh[0], mesh[1], mesh[2]
    ax, ay, bx, by = line
    t, last = start, -1
    for _ in range(len(triangles) + 1):
        if t == end:
            return True
        on = -1
        for k in range(3):
            a, b, u = triangles[t, (k + 1) % 3], triangles[t, (k + 2) % 3], beside[t, k]
            if u >= 0 and u != last:
                right = cross(bx - ax, by - ay, at[a, 0] - ax, at[a, 1] - ay)
                left = cross(bx - ax, by - ay, at[b, 0] - ax, at[b, 1] - ay)
                if right <= 0 <= left:
                    on = u
        if on < 0:
            return False
        last, t = t, on
    return False


@kernel(f"float64[:,::1], int64[::1], {MESH}")
def straight_pairs(points: Floats, home: Ints, mesh: Arrays) -> Flags:
    """Return which pairs of points (p, p) see each other."""
    n = len(points)
    out = np.zeros((n, n), np.bool_)
    for i in range(n):
        for j in range(i):
            if home[i] >= 0 and home[j] >= 0:
                line = (points[i, 0], points[i, 1], points[j, 0], points[j, 1])
                out[i, j] = straight(line, home[i], home[j], mesh)
                out[j, i] = out[i, j]
    return out


@helper
def side_of(at: Floats, after: Ints, before: Ints, corner: int, dx: float, dy: float) -> float:
    """Return on which side of a taut line along (dx, dy) the edges at a corner lie: 1 left, -1 right, 0 either."""
    x, y = at[corner, 0], at[corner, 1]
    a = cross(dx, dy, at[after[corner], 0] - x, at[after[corner], 1] - y)
    b = cross(dx, dy, at[before[corner], 0] - x, at[before[corner], 1] - y)
    least, most = min(a, b), max(a, b)
    if most > 1e-9 and least >= -1e-9:
        return 1.0
    return -1.0 if least < -1e-9 and most <= 1e-9 else 0.0


@kernel
def joined(lines: Ints, nodes: Floats) -> tuple[Ints, Ints, Floats]:
    """Return, for each node, where its lines begin, the nodes they lead to, and (length, x, y, 0) of each [m]."""
    n, k = len(nodes), len(lines)
    first = np.zeros(n + 1, np.int64)
    for e in range(k):
        first[lines[e, 0] + 1] += 1
        first[lines[e, 1] + 1] += 1
    for i in range(n):
        first[i + 1] += first[i]
    place, to, long = first[:-1].copy(), np.empty(2 * k, np.int64), np.zeros((2 * k, 4))
    for e in range(k):
        i, j = lines[e, 0], lines[e, 1]
        dx, dy = nodes[j, 0] - nodes[i, 0], nodes[j, 1] - nodes[i, 1]
        step = math.hypot(dx, dy)
        for one, other, sign in ((i, j, 1.0), (j, i, -1.0)):
            to[place[one]] = other
            long[place[one], 0], long[place[one], 1], long[place[one], 2] = step, sign * dx, sign * dy
            place[one] += 1
    return first, to, long


@helper
def push(keys: Floats, items: Ints, size: int, key: float, item: int) -> int:
    """Put an item into a heap, smallest key first; return the new size."""
    hole = size
    while hole > 0 and keys[(hole - 1) // 2] > key:
        keys[hole], items[hole] = keys[(hole - 1) // 2], items[(hole - 1) // 2]
        hole = (hole - 1) // 2
    keys[hole], items[hole] = key, item
    return size + 1


@helper
def pop(keys: Floats, items: Ints, size: int) -> int:
    """Take the first item off a heap (read it before); return the new size."""
    size -= 1
    key, item, hole = keys[size], items[size], 0
    while 2 * hole + 1 < size:
        child = 2 * hole + 1
        if child + 1 < size and keys[child + 1] < keys[child]:
            child += 1
        if keys[child] >= key:
            break
        keys[hole], items[hole] = keys[child], items[child]
        hole = child
    keys[hole], items[hole] = key, item
    return size


@kernel("int64[:,::1], float64[:,::1], int64, int64[::1], int64[::1], boolean[::1]")
def ways_from(lines: Ints, nodes: Floats, sources: int, after: Ints, before: Ints, free: Flags) -> tuple[Floats, Ints]:
    """Return how far each node is from each of ``sources`` points after the corners, and the node it is reached by.

    ``lines`` (k, 2) join ``nodes`` (n, 2) [m].  No way leads through another point, and at a corner none goes on that
    would not bend round it, unless the corner is ``free``.
    """
    corners = len(after)
    first, to, long = joined(lines, nodes)
    for i in range(corners):
        for e in range(first[i], first[i + 1]):
            long[e, 3] = 0.0 if free[i] else side_of(nodes, after, before, i, long[e, 1], long[e, 2])
    far, came = np.full((sources, len(nodes)), np.inf), np.full((sources, len(nodes)), -1, np.int64)
    keys, items = np.empty(len(to) + 8), np.empty(len(to) + 8, np.int64)
    for s in range(sources):
        own, by = far[s], came[s]
        own[corners + s] = 0.0
        size = push(keys, items, 0, 0.0, corners + s)
        while size > 0:
            gone, i = keys[0], items[0]
            size = pop(keys, items, size)
            if gone > own[i]:
                continue
            px, py = 0.0, 0.0
            if by[i] >= 0:
                px, py = nodes[i, 0] - nodes[by[i], 0], nodes[i, 1] - nodes[by[i], 1]
            for e in range(first[i], first[i + 1]):
                new = gone + long[e, 0]
                if new < own[to[e]] - 1e-15 and long[e, 3] * cross(px, py, long[e, 1], long[e, 2]) >= -1e-9:
                    own[to[e]], by[to[e]] = new, i
                    if to[e] < corners:  # nothing goes on from a point: it need not wait its turn
                        size = push(keys, items, size, new, to[e])
    return far, came
