"""The shortest way that keeps a body's half width from everything: exact, by straight lines round corners.

The way runs between corners of the ground where the middle of the body can be.  Corners are tried nearest first
(A*: P. E. Hart, N. J. Nilsson and B. Raphael, IEEE Transactions on Systems Science and Cybernetics 4, 1968; from
memory); whether a line is clear is asked only when it is the best left, so few are.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import count, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.kernels import at_work
from quincunx.shapes import XY
from quincunx.walk._kept import Kept
from quincunx.walk._string import Rings, taut_string
from quincunx.walk.barriers import polygons
from quincunx.walk.ground import SLACK_M, FreeGround
from quincunx.walk.places import Place, pieces_reached, zone_of
from quincunx.walk.walkers import Walker

HAIR_M = 1e-6
"""A line may touch a corner's edge by this much [m]."""
SLACK = 1e-9 * math.sqrt(2.0)
"""Turns smaller than this are none [m2]."""

EDGE_M = 0.01
"""Places no farther from a thing than the nearest one and this are as near to it [m]."""
STRAIGHT_M = 1e-6
"""A way that passes a corner no farther beside its line than this doesn't bend there [m]."""
SPECK_M = 1e-9
"""A corner no farther than this from the one before it is none [m]."""
FEW = 16
"""So few lines are looked at one by one sooner than together."""

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Way:
    """A way through ``points`` [m] and its ``length_m``."""

    points: tuple[XY, ...]
    length_m: float


def bends(points: Sequence[XY]) -> tuple[XY, ...]:
    """Return the points of a way [m] without those it runs straight through: which of these it names hangs on the drawing."""
    if len(points) < 3:
        return tuple(points)
    out = [points[0]]
    for (x, y), (u, v) in pairwise(points[1:]):
        a, b = out[-1]
        dx, dy = u - a, v - b
        beside = abs(dx * (y - b) - dy * (x - a)) > STRAIGHT_M * math.hypot(dx, dy)
        if beside or (x - a) * (u - x) + (y - b) * (v - y) < 0:
            out.append((x, y))
    return (*out, points[-1])


def shortest_way(free: FreeGround, walker: Walker, start: Place, end: Place, pieces: frozenset[int]) -> Way | None:
    """Return the shortest way from ``start`` to ``end`` within ``pieces`` of the ground, or None.

    From a place on which the walker can't stand the way begins where it can, as near to it as may be.
    """
    return _unmet(free, walker, start, end, pieces) or _shortest(free, walker, start, end, pieces)


def _unmet(free: FreeGround, walker: Walker, start: Place, end: Place, pieces: frozenset[int]) -> Way | None:
    """Return the way on the ground without what has come, if that leaves it as it is; None where it may not.

    What comes can make a way longer, never shorter.
    """
    if free.rest is None or len(pieces) != 1:
        return None
    rest = free.rest
    more = (start.ref, end.ref, walker.radius_m, float(walker.reach))
    way = _RESTS.get((rest, start.shape, end.shape), more, partial(_only_way, rest, walker, start, end))
    if way is None or not all(_same_zone(free, walker, place) for place in (start, end)):
        return None
    line = shapely.linestrings(way.points) if len(way.points) > 1 else shapely.Point(way.points[0])
    apart = shapely.distance(free.come_shapes, line).min()
    return way if apart >= free.width_m / 2 - SLACK_M else None


def _only_way(free: FreeGround, walker: Walker, start: Place, end: Place) -> Way | None:
    pieces = pieces_reached(free, start, walker) & pieces_reached(free, end, walker)
    return _shortest(free, walker, start, end, pieces) if len(pieces) == 1 else None


def _same_zone(free: FreeGround, walker: Walker, place: Place) -> bool:
    if place.kind == "outside" or free.rest is None:
        return True
    return zone_of(free, place, walker) is zone_of(free.rest, place, walker)


def _shortest(free: FreeGround, walker: Walker, start: Place, end: Place, pieces: frozenset[int]) -> Way | None:
    return _best(free, walker, start, end, sorted_stands(free, pieces))


def way_within(free: FreeGround, walker: Walker, start: Place, end: Place, area: BaseGeometry) -> Way | None:
    """Return the shortest way on which the middle of the body stays within ``area`` [m], or None."""
    pieces = pieces_reached(free, start, walker) & pieces_reached(free, end, walker)
    parts = [p for s in sorted_stands(free, pieces) for p in polygons(shapely.intersection(s, area))]
    return _best(free, walker, start, end, sorted(parts, key=lambda p: (-round(p.area, 6), p.bounds)))


def _best(free: FreeGround, walker: Walker, start: Place, end: Place, stands: list[Polygon]) -> Way | None:
    best: Way | None = None
    for polygon in stands:
        a, b = (
            nearest_spot(free, walker, start, polygon, end),
            nearest_spot(free, walker, end, polygon, start),
        )
        if a is None or b is None:
            continue
        between = quick_way if free.rest is not None or at_work(taut_string) else way_between
        way = _WAYS.get((polygon,), (a, b), partial(between, polygon, a, b))
        if way is not None and (best is None or way.length_m < best.length_m):
            best = way
    return best


def sorted_stands(free: FreeGround, pieces: frozenset[int]) -> list[Polygon]:
    """Return the outlines the middle of the body can be in, within ``pieces``, largest first."""
    found = [p for p, home in zip(free.stand, free.stand_piece, strict=True) if int(home) in pieces]
    return sorted(found, key=lambda p: (-round(p.area, 6), p.bounds))


def nearest_spot(
    free: FreeGround, walker: Walker, place: Place, polygon: Polygon | MultiPolygon, towards: Place
) -> XY | None:
    """Return where in ``polygon`` the walker stands for ``place``: as near as may be, on the side of ``towards`` [m]."""
    point = place.shape if isinstance(place.shape, Point) else shapely.point_on_surface(place.shape)
    if polygon.covers(point):
        return (point.x, point.y)
    zone = place.shape if place.kind == "outside" else zone_of(free, place, walker)
    near = shapely.intersection(polygon, zone)
    if near.is_empty:
        return None
    if place.kind == "outside":
        at = point
    else:
        # On two sides of a thing, or all along its edge, one stands as near to it; how it is drawn must not decide.
        at = Point(towards.at)
        near = shapely.intersection(near, shapely.buffer(place.shape, shapely.distance(near, place.shape) + EDGE_M))
    spot = shapely.get_coordinates(shapely.shortest_line(at, near))[-1]
    return (float(spot[0]), float(spot[1]))


def way_between(polygon: Polygon, start: XY, end: XY) -> Way | None:
    """Return the shortest way from ``start`` to ``end`` inside ``polygon`` with its holes [m]; None if not inside."""
    corners = _corners(polygon)
    test = corners.test
    if not (test.intersects(Point(start)) and test.intersects(Point(end))):
        return None
    if start == end:
        return Way((start,), 0.0)
    found = _Search(corners, start, end).way()
    return None if found is None else Way(bends(found[0]), found[1])


def quick_way(polygon: Polygon, start: XY, end: XY) -> Way | None:
    """Return the same as :func:`way_between`, by a kernel."""
    if start == end:
        return Way((start,), 0.0)
    rings = _RINGS.get((polygon,), None, lambda: _rings(polygon))
    points = taut_string(np.array(start, np.float64), np.array(end, np.float64), rings)
    if not len(points):
        return None
    length = 0.0
    for dx, dy in np.diff(points, axis=0).tolist():
        length += math.sqrt(dx * dx + dy * dy)
    return Way(bends([(x, y) for x, y in points.tolist()]), length)


def _rings(polygon: Polygon) -> Rings:
    rings = shapely.get_rings(shapely.orient_polygons(polygon))
    at, ring = shapely.get_coordinates(rings, return_index=True)
    last = np.append(ring[1:] != ring[:-1], True)  # closes its ring: the first corner once more
    speck = ~last
    speck[:-1] &= np.abs(at[1:] - at[:-1]).max(axis=1) <= SPECK_M
    if speck.any() and np.bincount(ring[~(last | speck)], minlength=len(rings)).min() >= 3:  # or it is all specks
        last |= speck
    at, ring = at[~last], ring[~last]
    first = np.searchsorted(ring, np.arange(len(rings)))
    end = np.append(first[1:], len(at)) - 1
    after, before = np.arange(1, len(at) + 1), np.arange(-1, len(at) - 1)
    after[end], before[first] = first, end
    return np.ascontiguousarray(at), after, before


@dataclass(frozen=True, eq=False)
class _Corners:
    """The corners a taut way may bend round.

    ``at`` (n, 2); the edges ``into`` and ``out`` of each; the corners ``before`` and ``after`` it where those edges
    begin and end, -1 where no way bends there; the test shape.
    """

    at: Floats
    into: Floats
    out: Floats
    before: list[int]
    after: list[int]
    test: Polygon


@lru_cache(maxsize=64)
def _corners(polygon: Polygon) -> _Corners:
    at, after, before = _rings(polygon)
    into, out = at - at[before], at[after] - at
    bend = into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0] < -1e-12
    number = np.where(bend, np.cumsum(bend) - 1, -1)
    test = shapely.buffer(polygon, HAIR_M, join_style="mitre")
    shapely.prepare(test)
    beside = (number[before[bend]].tolist(), number[after[bend]].tolist())
    return _Corners(at[bend], into[bend], out[bend], *beside, test)


class _Search:
    """The search for one way: the corners, then the goal, then the start; which are ``open``; and the lines to try."""

    def __init__(self, corners: _Corners, start: XY, end: XY) -> None:
        self.corners = corners
        self.n = len(corners.at)
        self.goal, self.root = self.n, self.n + 1
        self.nodes = np.vstack([corners.at, [end], [start]])
        self.ahead = np.hypot(*(self.nodes - self.nodes[self.goal]).T)
        # One row a node: where it is, how far from the goal, its edges (none at start and goal).
        edges = np.vstack([np.hstack([corners.into, corners.out]), np.zeros((2, 4))])
        self.known = np.column_stack([self.nodes, self.ahead, edges])
        self.places = np.vstack([self.nodes.T, np.ones(self.n + 2)])
        self.open = np.ones(self.n + 2, bool)
        self.open[self.root] = False
        self.came = [-1] * (self.n + 2)
        self.heap: list[tuple[float, int, float, int, int]] = []
        self.ticket = count()

    def way(self) -> tuple[tuple[XY, ...], float] | None:
        """Return the points of the shortest way and its length [m], or None if there is none."""
        self.came[self.root] = self.root
        self._push(self.root, 0.0, np.flatnonzero(self.open))
        while self.heap:
            _, _, gone, node, parent = heapq.heappop(self.heap)
            if self.came[node] >= 0 or not self._clear(parent, node):
                continue
            self.came[node] = parent
            if node == self.goal:
                return self._back(), gone
            self.open[node] = False
            self._push(node, gone, self._onward(node, parent))
        return None

    def _clear(self, parent: int, node: int) -> bool:
        """Return whether nothing stands in a line; an edge of the ground is always clear."""
        if parent < self.n and node in (self.corners.before[parent], self.corners.after[parent]):
            return True
        return bool(shapely.covers(self.corners.test, shapely.linestrings(self.nodes[[parent, node]])))

    def _back(self) -> tuple[XY, ...]:
        path = [self.goal]
        while path[-1] != self.root:
            path.append(self.came[path[-1]])
        return tuple((float(x), float(y)) for x, y in self.nodes[path[::-1]])

    def _onward(self, node: int, parent: int) -> Ints:
        """Return the open nodes to which a string that comes from ``parent`` bends round the corner ``node``.

        With the corner on its right it turns right there, no farther than until both edges lie to its right.
        """
        x, y, _, ix, iy, ox, oy = self.known[node].tolist()
        px, py = self.nodes[parent].tolist()
        dx, dy = x - px, y - py
        # Rows: the turn from each line to the corner's two edges, and from the line that led here to it.
        turns = [[oy, -ox, ox * y - oy * x], [-iy, ix, iy * x - ix * y], [-dy, dx, dy * x - dx * y]]
        turn = np.array(turns) @ self.places
        a, b = dx * oy - dy * ox, dy * ix - dx * iy
        fits = turn.max(axis=0) <= SLACK if a <= SLACK and b <= SLACK else np.zeros(len(self.open), bool)
        if a >= -SLACK and b >= -SLACK:
            fits |= turn.min(axis=0) >= -SLACK
        fits &= self.open
        return fits.nonzero()[0]

    def _push(self, node: int, gone: float, to: Ints) -> None:
        """Put on the heap the lines from ``node`` to those of ``to`` whose edges they leave on one side."""
        at_x, at_y = self.nodes[node].tolist()
        if len(to) > FEW:
            x, y, _, ix, iy, ox, oy = self.known[to].T
            dx, dy = x - at_x, y - at_y
            a, b = dx * oy - dy * ox, dy * ix - dx * iy
            to = to[(np.minimum(a, b) >= -SLACK) | (np.maximum(a, b) <= SLACK)]
        for i, (x, y, ahead, ix, iy, ox, oy) in zip(to.tolist(), self.known[to].tolist(), strict=True):
            dx, dy = x - at_x, y - at_y
            a, b = dx * oy - dy * ox, dy * ix - dx * iy
            step = math.sqrt(dx * dx + dy * dy)
            if step > 0 and ((a >= -SLACK and b >= -SLACK) or (a <= SLACK and b <= SLACK)):
                far = gone + step
                heapq.heappush(self.heap, (far + ahead, next(self.ticket), far, i, node))


_WAYS: Kept[Way | None] = Kept(1024)
_RESTS: Kept[Way | None] = Kept(2048)
_RINGS: Kept[Rings] = Kept(256)
