"""The shortest way that keeps a body's half width from everything: exact, by straight lines round corners.

The way runs between corners of the ground where the middle of the body can be.  Corners are tried nearest first
(A*: P. E. Hart, N. J. Nilsson and B. Raphael, IEEE Transactions on Systems Science and Cybernetics 4, 1968; from
memory); whether a line is clear is asked only when it is the best left, so few are.
"""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import count

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point, Polygon

from quincunx.shapes import XY
from quincunx.walk.ground import FreeGround
from quincunx.walk.places import Place, zone_of
from quincunx.walk.walkers import Walker

HAIR_M = 1e-6
"""A line may touch a corner's edge by this much [m]."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way through ``points`` [m] and its ``length_m``."""

    points: tuple[XY, ...]
    length_m: float


def shortest_way(free: FreeGround, walker: Walker, start: Place, end: Place, pieces: frozenset[int]) -> Way | None:
    """Return the shortest way from ``start`` to ``end`` within ``pieces`` of the ground, or None.

    From a place on which the walker can't stand the way begins where it can, as near to it as may be.
    """
    best: Way | None = None
    for polygon in sorted_stands(free, pieces):
        a, b = _nearest(free, walker, start, polygon), _nearest(free, walker, end, polygon)
        if a is None or b is None:
            continue
        way = way_between(polygon, a, b)
        if way is not None and (best is None or way.length_m < best.length_m):
            best = way
    return best


def sorted_stands(free: FreeGround, pieces: frozenset[int]) -> list[Polygon]:
    """Return the outlines the middle of the body can be in, within ``pieces``, largest first."""
    found = [p for p, home in zip(free.stand, free.stand_piece, strict=True) if int(home) in pieces]
    return sorted(found, key=lambda p: (-round(p.area, 6), p.bounds))


def _nearest(free: FreeGround, walker: Walker, place: Place, polygon: Polygon) -> XY | None:
    """Return where in ``polygon`` the walker stands for ``place``."""
    point = place.shape if isinstance(place.shape, Point) else shapely.point_on_surface(place.shape)
    if polygon.covers(point):
        return (point.x, point.y)
    zone = place.shape if place.kind == "outside" else zone_of(free, place, walker)
    near = shapely.intersection(polygon, zone)
    if near.is_empty:
        return None
    at = shapely.get_coordinates(shapely.shortest_line(point if place.kind == "outside" else place.shape, near))[-1]
    return (float(at[0]), float(at[1]))


def way_between(polygon: Polygon, start: XY, end: XY) -> Way | None:
    """Return the shortest way from ``start`` to ``end`` inside ``polygon`` with its holes [m]; None if not inside."""
    corners = _corners(polygon)
    test = corners.test
    if not (test.intersects(Point(start)) and test.intersects(Point(end))):
        return None
    if start == end:
        return Way((start,), 0.0)
    nodes = np.vstack([corners.at, [start], [end]])
    goal, root = len(nodes) - 1, len(nodes) - 2
    ahead = np.hypot(*(nodes - nodes[goal]).T)
    done = np.full(len(nodes), -1)
    far = np.full(len(nodes), np.inf)
    ticket = count()
    heap: list[tuple[float, int, float, int, int]] = [(float(ahead[root]), next(ticket), 0.0, root, root)]
    while heap:
        _, _, gone, node, parent = heapq.heappop(heap)
        if done[node] >= 0 or (node != parent and not _clear(test, nodes[parent], nodes[node])):
            continue
        done[node], far[node] = parent, gone
        if node == goal:
            return Way(_back(nodes, done, root, goal), gone)
        for i, step in _taut(corners, nodes, node, root, done):
            heapq.heappush(heap, (gone + step + float(ahead[i]), next(ticket), gone + step, i, node))
    return None


def _clear(test: Polygon, a: NDArray[np.float64], b: NDArray[np.float64]) -> bool:
    return bool(shapely.covers(test, shapely.linestrings([a, b])))


def _back(nodes: NDArray[np.float64], done: NDArray[np.int64], root: int, goal: int) -> tuple[XY, ...]:
    path = [goal]
    while path[-1] != root:
        path.append(int(done[path[-1]]))
    return tuple((float(nodes[i, 0]), float(nodes[i, 1])) for i in reversed(path))


@dataclass(frozen=True, eq=False)
class _Corners:
    """The corners a taut way may bend round: ``at`` (n, 2), the edges ``into`` and ``out`` of each, the test shape."""

    at: NDArray[np.float64]
    into: NDArray[np.float64]
    out: NDArray[np.float64]
    test: Polygon


@lru_cache(maxsize=64)
def _corners(polygon: Polygon) -> _Corners:
    rings = [np.asarray(polygon.exterior.coords)] + [np.asarray(r.coords) for r in polygon.interiors]
    at, into, out = [], [], []
    for k, ring in enumerate(rings):
        points = ring[:-1] if _turns_left(ring) == (k == 0) else ring[:0:-1]
        before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
        a, b = points - before, after - points
        bend = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0] < -1e-12
        at.append(points[bend])
        into.append(a[bend])
        out.append(b[bend])
    test = shapely.buffer(polygon, HAIR_M, join_style="mitre")
    shapely.prepare(test)
    return _Corners(np.vstack(at), np.vstack(into), np.vstack(out), test)


def _turns_left(ring: NDArray[np.float64]) -> bool:
    x, y = ring[:, 0], ring[:, 1]
    return float(np.dot(x[:-1], y[1:]) - np.dot(x[1:], y[:-1])) > 0


def _taut(
    corners: _Corners, nodes: NDArray[np.float64], node: int, root: int, done: NDArray[np.int64]
) -> list[tuple[int, float]]:
    """Return the nodes a taut way may go to next from ``node``, with the lengths of the lines [m]."""
    n = len(corners.at)
    line = nodes - nodes[node]
    step = np.hypot(*line.T)
    fits = np.ones(len(nodes), bool)
    fits[:n] = _tangent(line[:n], corners.into, corners.out)
    if node < n:
        fits &= _tangent(line, corners.into[node], corners.out[node])
    fits &= (done < 0) & (step > 0)
    fits[root] = False
    return [(int(i), float(step[i])) for i in np.flatnonzero(fits)]


def _tangent(line: NDArray[np.float64], into: NDArray[np.float64], out: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return whether a line through a corner leaves both its edges on one side, so that a string over it is taut."""
    a = line[:, 0] * out[..., 1] - line[:, 1] * out[..., 0]
    b = line[:, 1] * into[..., 0] - line[:, 0] * into[..., 1]
    slack = 1e-9 * math.sqrt(2.0)
    return ((a >= -slack) & (b >= -slack)) | ((a <= slack) & (b <= slack))
