"""The easiest way where floors differ: made ground counts less than soft or rough.

The search runs on a grid (E. W. Dijkstra, Numerische Mathematik 1, 1959; from memory) in sixteen directions; the way
found is then pulled straight wherever a straight line is clear and no dearer.  It is a way that can be walked; that
none is easier by more than a few parts in a hundred is tested, not proven.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import XY, Risers, Surface
from quincunx.walk.going import floor_at, is_made
from quincunx.walk.reach import Walk
from quincunx.walk.ways import Way, way_between

CELL_M = 0.25
"""Width of a cell where the ground is small enough [m]."""
MOST_CELLS = 60000
STEP_M = 0.05
"""What a line costs is looked at so far apart [m]."""
MOVES = ((1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (1, 2), (2, -1), (1, -2))

UNMADE = 1.25
"""How much dearer ground is that is not made.  People put up with a way about a quarter longer to keep to a path
(D. Helbing, J. Keltsch and P. Molnár, Modelling the evolution of human trail systems, Nature 388, 1997; from memory)."""
STEPS = 1.5
"""How much dearer steps are (common practice, no source)."""

Cost = Callable[[Surface | None], float]
Floats = NDArray[np.float64]


def habit(surface: Surface | None) -> float:
    """Return what a metre of floor counts for people who choose their way by habit: made 1, not made 1.25, steps 1.5."""
    if surface is None or not is_made(surface):
        return UNMADE
    return STEPS if isinstance(surface.lie, Risers) and surface.lie.count > 1 else 1.0


@dataclass(frozen=True)
class Easy:
    """The ground of one walk as a grid with what a metre counts at each node."""

    walk: Walk
    cost: Cost = habit

    @cached_property
    def cell_m(self) -> float:
        """Return the width of a cell [m]."""
        west, south, east, north = self.stand.bounds
        return max(CELL_M, math.sqrt((east - west) * (north - south) / MOST_CELLS))

    @cached_property
    def stand(self) -> BaseGeometry:
        """Return where the middle of the body can be [m]."""
        found = shapely.union_all(self.walk.free.stand)
        shapely.prepare(found)
        return found

    @cached_property
    def _at(self) -> Floats:
        """Return every grid point inside (n, 2) [m]."""
        west, south, _, _ = self.stand.bounds
        i, j = np.nonzero(self._number >= 0)
        return np.stack([west + j * self.cell_m, south + i * self.cell_m], 1)

    @cached_property
    def _number(self) -> NDArray[np.int64]:
        """Return the number of each grid point (rows south to north), -1 outside."""
        west, south, east, north = self.stand.bounds
        xs = west + np.arange(int((east - west) / self.cell_m) + 1) * self.cell_m
        ys = south + np.arange(int((north - south) / self.cell_m) + 1) * self.cell_m
        gx, gy = np.meshgrid(xs, ys)
        inside = shapely.contains_xy(self.stand, gx, gy)
        out = np.full(inside.shape, -1, np.int64)
        out[inside] = np.arange(int(inside.sum()))
        return out

    @cached_property
    def _weights(self) -> Floats:
        return self._counts(self._at)

    def _counts(self, points: Floats) -> Floats:
        scene: Scene = self.walk.scene
        each = np.array([self.cost(None), *(self.cost(s) for s in scene.surfaces)])
        return each[np.array(floor_at(scene, points), np.int64) + 1]

    def counts_m(self, a: XY, b: XY) -> float:
        """Return what a straight line counts [m]: its length by what a metre counts along it."""
        length = math.dist(a, b)
        parts = max(math.ceil(length / STEP_M), 1)
        share = (np.arange(parts) + 0.5) / parts
        points = np.stack([a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])], 1)
        return float(self._counts(points).mean() * length)

    @cached_property
    def _graph(self) -> object:
        from scipy.sparse import coo_matrix

        number, weight = self._number, self._weights
        rows, cols, costs = [], [], []
        for dx, dy in MOVES:
            a, b = _pairs(number, dx, dy)
            ok = (a >= 0) & (b >= 0)
            if abs(dx) + abs(dy) == 3:  # the two cells it passes between must be free too
                for mx, my in (
                    (dx // 2 if dx % 2 == 0 else 0, dy // 2 if dy % 2 == 0 else 0),
                    (1, int(math.copysign(1, dy))),
                ):
                    ok &= _shifted(number, dx, dy, mx, my) >= 0
            a, b = a[ok], b[ok]
            rows.append(a)
            cols.append(b)
            costs.append(math.hypot(dx, dy) * self.cell_m * (weight[a] + weight[b]) / 2)
        n = len(self._at)
        return coo_matrix((np.concatenate(costs), (np.concatenate(rows), np.concatenate(cols))), shape=(n, n)).tocsr()

    def ways(self, pairs: Sequence[tuple[str, str]]) -> list[Way | None]:
        """Return the easiest way between the places of each pair, from where the walker stands for it; None if none.

        Through a gate so narrow for the body that no line of the grid leads through it, the shortest way is taken.
        """
        return [w or self.walk.way(*p) for w, p in zip(self._on_grid(pairs), pairs, strict=True)]

    def _on_grid(self, pairs: Sequence[tuple[str, str]]) -> list[Way | None]:
        """Return the easiest way between the places of each pair along the grid, None where it leads nowhere."""
        from scipy.sparse.csgraph import dijkstra

        if not len(self.walk.free.stand):
            return [None] * len(pairs)
        spots = [self._ends(a, b) for a, b in pairs]
        starts = sorted({one[0][1] for one in spots if one is not None})
        if not starts:
            return [None] * len(pairs)
        _, came = dijkstra(self._graph, directed=False, indices=starts, return_predecessors=True)
        return [None if one is None else self._way(*one, starts, came) for one in spots]

    def _ends(self, start: str, end: str) -> tuple[tuple[XY, int], tuple[XY, int]] | None:
        """Return where the walker stands for two places on ground that joins them, and the grid points there."""
        shared = self.walk.pieces_at(start) & self.walk.pieces_at(end)
        a, b = self._spot(start, shared), self._spot(end, shared)
        return None if a is None or b is None else (a, b)

    def _spot(self, ref: str, pieces: frozenset[int]) -> tuple[XY, int] | None:
        place, free = self.walk.place(ref), self.walk.free
        stand = [p for p, home in zip(free.stand, free.stand_piece, strict=True) if int(home) in pieces]
        if place is None or not stand or not len(self._at):
            return None
        line = shapely.shortest_line(Point(place.at), shapely.union_all(stand))
        x, y = shapely.get_coordinates(line)[-1]
        at = (float(x), float(y))
        gap = np.hypot(self._at[:, 0] - at[0], self._at[:, 1] - at[1])
        near = np.flatnonzero(gap <= max(2 * self.cell_m, float(gap.min()) + 1e-9))
        for k in near[np.argsort(gap[near], kind="stable")].tolist():
            if self._clear(at, self._xy(k)):
                return at, int(k)
        return at, int(gap.argmin())

    def _xy(self, k: int) -> XY:
        return float(self._at[k, 0]), float(self._at[k, 1])

    def _clear(self, a: XY, b: XY) -> bool:
        if a == b:
            return True
        return bool(shapely.covers(self.stand, shapely.linestrings([a, b])))

    def _way(
        self,
        a: tuple[XY, int],
        b: tuple[XY, int],
        starts: Sequence[int],
        came: NDArray[np.int32],
    ) -> Way | None:
        row, node, path = came[starts.index(a[1])], b[1], [b[1]]
        while node != a[1]:
            node = int(row[node])
            if node < 0:
                return None
            path.append(node)
        points = [a[0], *(self._xy(k) for k in reversed(path)), b[0]]
        pulled = self._mended(self._pulled(points))
        return Way(tuple(pulled), sum(math.dist(p, q) for p, q in pairwise(pulled)))

    def _mended(self, points: list[XY]) -> list[XY]:
        """Return the way with the exact shortest one in place of each piece that grazes a corner between grid points."""
        out = points[:1]
        for a, b in pairwise(points):
            exact = None if self._clear(a, b) else self._exact(a, b)
            out += [b] if exact is None else list(exact.points[1:])
        return out

    def _exact(self, a: XY, b: XY) -> Way | None:
        found = (way_between(part, a, b) for part in self.walk.free.stand)
        return next((way for way in found if way is not None), None)

    def _pulled(self, points: list[XY]) -> list[XY]:
        """Return the way with every piece straight that may be so at no more cost."""
        cost = np.concatenate([[0.0], np.cumsum([self.counts_m(p, q) for p, q in pairwise(points)])])
        out, i, last = [points[0]], 0, len(points) - 1
        while i < last:
            j = next(
                (
                    j
                    for j in _farther(i, last)
                    if self._clear(points[i], points[j])
                    and self.counts_m(points[i], points[j]) <= cost[j] - cost[i] + 1e-9
                ),
                i + 1,
            )
            out.append(points[j])
            i = j
        return out


def _farther(i: int, last: int) -> list[int]:
    """Return what to try from a point: the last, then nearer and nearer, thinned out where far."""
    out, step = [], max((last - i) // 24, 1)
    j = last
    while j > i + 1:
        out.append(j)
        step = max((j - i) // 24, 1)
        j -= step
    return out


def _pairs(number: NDArray[np.int64], dx: int, dy: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    rows, cols = number.shape
    here = number[max(-dy, 0) : rows - max(dy, 0), : cols - dx]
    there = number[max(dy, 0) : rows - max(-dy, 0), dx:]
    return here.ravel(), there.ravel()


def _shifted(number: NDArray[np.int64], dx: int, dy: int, mx: int, my: int) -> NDArray[np.int64]:
    """Return the numbers of the cells (mx, my) beyond the first of each pair."""
    rows, cols = number.shape
    first = max(-dy, 0)
    return number[first + my : rows - max(dy, 0) + my, mx : cols - dx + mx].ravel()


def easiest_way(walk: Walk, start: str, end: str, cost: Cost = habit) -> Way | None:
    """Return the easiest way between two places, or None where there is none."""
    (found,) = Easy(walk, cost).ways([(start, end)])
    return found


def near_point(way: Way, at: XY) -> float:
    """Return how far a point lies from a way [m]."""
    return (
        float(shapely.distance(shapely.linestrings(way.points), Point(at)))
        if len(way.points) > 1
        else math.dist(way.points[0], at)
    )
