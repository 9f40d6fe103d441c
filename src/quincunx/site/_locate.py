"""Which triangle lies under a point, and the ground's height and gradient there."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from shapely import Polygon

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_CHUNK = 500_000
"""Point-triangle pairs looked at in one go, to bound the memory."""


class Locator:
    """Finds triangles by a grid of cells, each with the triangles that may touch it."""

    def __init__(self, vertices: Floats, triangles: Ints, trend: tuple[float, float]) -> None:
        """Take vertices (n, 3) [m], anticlockwise triangles (m, 3) and the rise per metre beyond them."""
        self.vertices = vertices
        self.triangles = triangles
        self.trend = np.array(trend)

    @cached_property
    def rim(self) -> Ints:
        """The outline's edges (h, 2), anticlockwise; there and back along the line when all levels lie in one."""
        n = len(self.vertices)
        if not len(self.triangles):
            there = [(i, i + 1) for i in range(n - 1)] or [(0, 0)] * n
            return np.array(there + [(b, a) for a, b in reversed(there)], np.int64).reshape(-1, 2)
        sides = {(int(t[i]), int(t[i - 2])) for t in self.triangles for i in range(3)}
        after = {a: b for a, b in sides if (b, a) not in sides}
        ring = [min(after)]
        while (b := after[ring[-1]]) != ring[0]:
            ring.append(b)
        return np.column_stack((ring, np.roll(ring, -1)))

    @cached_property
    def _corners(self) -> tuple[Floats, Floats]:
        """Each triangle's corners (m, 3, 3) and twice its area (m,)."""
        corners = self.vertices[self.triangles]
        (ax, ay), (bx, by), (cx, cy) = (corners[:, i, :2].T for i in range(3))
        return corners, (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)

    @cached_property
    def _cells(self) -> tuple[Floats, Floats, int, Ints]:
        """The grid's corner and cell size, its number of cells a side, and each cell's triangles (-1: none)."""
        low, high = self.vertices[:, :2].min(axis=0), self.vertices[:, :2].max(axis=0)
        n = int(np.ceil(np.sqrt(len(self.triangles))))
        size = (high - low) / n * (1 + 1e-9)
        cell, triangle = self._touching(low, size, n)
        first = np.searchsorted(cell, np.arange(n * n))
        within = np.arange(len(cell)) - first[cell]
        near = np.full((n * n, int(within.max()) + 1), -1, np.int64)
        near[cell, within] = triangle
        return low, size, n, near

    def _touching(self, low: Floats, size: Floats, n: int) -> tuple[Ints, Ints]:
        """Return the pairs (k,) of cell and triangle that may meet, by cell: no side of either parts them."""
        corners, _ = self._corners
        slack = 1e-6
        least, most = corners[:, :, :2].min(axis=1) - slack, corners[:, :, :2].max(axis=1) + slack
        start, end = (np.clip(np.floor((at - low) / size), 0, n - 1).astype(np.int64) for at in (least, most))
        wide, deep = (end - start + 1).T
        triangle = np.repeat(np.arange(len(corners)), wide * deep)
        along = np.arange(len(triangle)) - np.repeat(np.cumsum(wide * deep) - wide * deep, wide * deep)
        at = start[triangle] + np.column_stack((along // deep[triangle], along % deep[triangle]))
        cell_low, cell_high = low + at * size - slack, low + (at + 1) * size + slack
        meets = np.ones(len(triangle), np.bool_)
        for i in range(3):
            a, edge = corners[:, i, :2], corners[:, (i + 1) % 3, :2] - corners[:, i, :2]
            inward = np.column_stack((-edge[:, 1], edge[:, 0]))[triangle]
            far = np.where(inward > 0, cell_high, cell_low)
            meets &= (inward * (far - a[triangle])).sum(axis=1) >= 0
        cell, triangle = (at[meets, 0] * n + at[meets, 1]), triangle[meets]
        order = np.argsort(cell, kind="stable")
        return cell[order], triangle[order]

    @cached_property
    def _half_planes(self) -> Floats:
        """Each outline edge as (a, b, c): a x + b y + c < 0 beyond it."""
        a, b = self.vertices[self.rim[:, 0], :2], self.vertices[self.rim[:, 1], :2]
        edge = b - a
        return np.stack((-edge[:, 1], edge[:, 0], edge[:, 1] * a[:, 0] - edge[:, 0] * a[:, 1]))

    def _inside(self, x: Floats, y: Floats) -> NDArray[np.bool_]:
        """Tell which points lie within the outline (none of them, if there are no triangles)."""
        if not len(self.triangles):
            return np.zeros(len(x), np.bool_)
        a, b, c = self._half_planes
        inside: NDArray[np.bool_] = (x[:, None] * a + y[:, None] * b + c >= 0).all(axis=1)
        return inside

    @cached_property
    def _frames(self) -> Floats:
        """Each triangle's first corner (x, y) and its two sides over twice its area: (m, 6)."""
        corners, double = self._corners
        u, v = (corners[:, 1] - corners[:, 0])[:, :2], (corners[:, 2] - corners[:, 0])[:, :2]
        return np.column_stack((corners[:, 0, :2], u / double[:, None], v / double[:, None]))

    def _find(self, x: Floats, y: Floats) -> tuple[Ints, Floats]:
        """Return the triangle under each point inside the outline, and its three weights (n, 3)."""
        low, size, n, cells = self._cells
        column = np.minimum(((x - low[0]) / size[0]).astype(np.int64), n - 1)
        row = np.minimum(((y - low[1]) / size[1]).astype(np.int64), n - 1)
        near = cells[column * n + row]
        x0, y0, ux, uy, vx, vy = np.moveaxis(self._frames[near], 2, 0)
        dx, dy = x[:, None] - x0, y[:, None] - y0
        w1, w2 = dx * vy - dy * vx, dy * ux - dx * uy
        worst = np.minimum(np.minimum(w1, w2), 1.0 - w1 - w2)
        worst[near < 0] = -np.inf
        at, best = np.arange(len(x)), worst.argmax(axis=1)
        second, third = np.clip(w1[at, best], 0.0, 1.0), np.clip(w2[at, best], 0.0, 1.0)
        weights = np.stack((np.maximum(1.0 - second - third, 0.0), second, third), axis=1)
        return near[at, best], weights / weights.sum(axis=1, keepdims=True)

    def _nearest(self, x: Floats, y: Floats) -> tuple[Ints, Floats]:
        """Return the nearest edge of the outline and how far along it (0 to 1) the nearest point lies."""
        a, b = self.vertices[self.rim[:, 0], :2], self.vertices[self.rim[:, 1], :2]
        edge = b - a
        length2 = np.maximum((edge**2).sum(axis=1), 1e-300)
        dx, dy = x[:, None] - a[:, 0], y[:, None] - a[:, 1]
        share = np.clip((dx * edge[:, 0] + dy * edge[:, 1]) / length2, 0.0, 1.0)
        far2 = (dx - share * edge[:, 0]) ** 2 + (dy - share * edge[:, 1]) ** 2
        best = far2.argmin(axis=1)
        return best, share[np.arange(len(x)), best]

    def heights(self, x: Floats, y: Floats) -> Floats:
        """Return the height [m] at each point (n,) [m]."""
        if not len(self.vertices):
            return np.zeros(len(x))
        z = np.empty(len(x))
        for at in self._chunks(len(x)):
            z[at] = self._some_heights(x[at], y[at])
        return z

    def _some_heights(self, x: Floats, y: Floats) -> Floats:
        inside = self._inside(x, y)
        if inside.all():
            return self._within(x, y)
        z = np.empty(len(x))
        if inside.any():
            z[inside] = self._within(x[inside], y[inside])
        z[~inside] = self._beyond(x[~inside], y[~inside])
        return z

    def _within(self, x: Floats, y: Floats) -> Floats:
        found, weights = self._find(x, y)
        z: Floats = (weights * self._corners[0][found, :, 2]).sum(axis=1)
        return z

    def _beyond(self, x: Floats, y: Floats) -> Floats:
        edge, share = self._nearest(x, y)
        a, b = self.vertices[self.rim[edge, 0]], self.vertices[self.rim[edge, 1]]
        nearest = a + share[:, None] * (b - a)
        z: Floats = nearest[:, 2] + self.trend[0] * (x - nearest[:, 0]) + self.trend[1] * (y - nearest[:, 1])
        return z

    def _chunks(self, points: int) -> list[slice]:
        per = max(1, _CHUNK // max(1, len(self.rim), self._cells[3].shape[1] if len(self.triangles) else 1))
        return [slice(i, i + per) for i in range(0, points, per)]

    def gradients(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Return the rise per metre east and north at each point (n,)."""
        rise = np.zeros((len(x), 2))
        for at in self._chunks(len(x) if len(self.vertices) > 1 else 0):
            inside = self._inside(x[at], y[at])
            some = np.empty((len(inside), 2))
            if inside.any():
                some[inside] = self._plane_rises[self._find(x[at][inside], y[at][inside])[0]]
            some[~inside] = self._rises_beyond(*self._nearest(x[at][~inside], y[at][~inside]))
            rise[at] = some
        return rise[:, 0], rise[:, 1]

    @cached_property
    def _plane_rises(self) -> Floats:
        corners, double = self._corners
        u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
        rises = np.empty((len(u), 2))
        rises[:, 0] = (u[:, 2] * v[:, 1] - v[:, 2] * u[:, 1]) / double
        rises[:, 1] = (v[:, 2] * u[:, 0] - u[:, 2] * v[:, 0]) / double
        return rises

    def _rises_beyond(self, edge: Ints, share: Floats) -> Floats:
        """Beyond an edge: its own rise along it and the trend's across; beyond a corner: the trend's."""
        step = self.vertices[self.rim[edge, 1]] - self.vertices[self.rim[edge, 0]]
        length2 = np.maximum((step[:, :2] ** 2).sum(axis=1), 1e-300)
        extra = (step[:, 2] - step[:, :2] @ self.trend) / length2
        beside = (share > 0) & (share < 1)
        rises: Floats = self.trend + np.where(beside, extra, 0.0)[:, None] * step[:, :2]
        return rises

    def drawn(self, boundary: Polygon | None) -> tuple[Floats, Ints]:
        """Return vertices and triangles that cover the measured ground and, around it, the ``boundary``.

        The ground beyond the outline is flat strips off each edge and wedges off each corner, so that these
        triangles are exact.
        """
        if boundary is None or len(self.vertices) < 2:
            return self.vertices, self.triangles
        a, b = self.vertices[self.rim[:, 0]], self.vertices[self.rim[:, 1]]
        h, base = len(a), len(self.vertices)
        along = (b - a)[:, :2] / np.hypot(*(b - a)[:, :2].T)[:, None]
        out = np.column_stack((along[:, 1], -along[:, 0]))
        corner = out + np.roll(out, -1, axis=0)
        length = np.hypot(corner[:, 0], corner[:, 1])[:, None]
        corner = np.where(length > 1e-6, corner / np.maximum(length, 1e-6), along)
        reach = self._reach(boundary)
        lift = [np.column_stack((way, way @ self.trend)) * reach for way in (out, corner)]
        vertices = np.concatenate((self.vertices, a + lift[0], b + lift[0], b + lift[1]))
        off_a, off_b, off_c = (base + k * h + np.arange(h) for k in range(3))
        i, j = self.rim.T
        around = ((i, off_a, off_b), (i, off_b, j), (j, off_b, off_c), (j, off_c, np.roll(off_a, -1)))
        return vertices, np.concatenate((self.triangles, *(np.column_stack(corners) for corners in around)))

    def _reach(self, boundary: Polygon) -> float:
        """Return a distance well beyond the boundary from any level [m]."""
        low_x, low_y, high_x, high_y = boundary.bounds
        xy = np.concatenate((self.vertices[:, :2], [[low_x, low_y], [high_x, high_y]]))
        return 4.0 * float(np.hypot(*np.ptp(xy, axis=0)))

    def bends(self, start: Floats, end: Floats) -> Floats:
        """Return the shares (0 to 1) of the way from ``start`` to ``end`` at which the ground bends."""
        from shapely import LineString

        vertices, triangles = self.drawn(LineString([start, end]).buffer(1.0).envelope)
        if len(self.vertices) < 2:
            return np.empty(0)
        pairs = self._sides(triangles)
        a, b = vertices[pairs[:, 0], :2], vertices[pairs[:, 1], :2]
        way, side = end - start, b - a
        cross = way[0] * side[:, 1] - way[1] * side[:, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            along = ((a[:, 0] - start[0]) * side[:, 1] - (a[:, 1] - start[1]) * side[:, 0]) / cross
            across = ((a[:, 0] - start[0]) * way[1] - (a[:, 1] - start[1]) * way[0]) / cross
        met = (along > 0) & (along < 1) & (across >= -1e-12) & (across <= 1 + 1e-12)
        return np.unique(along[met])

    @staticmethod
    def _sides(triangles: Ints) -> Ints:
        return np.unique(
            np.sort(np.concatenate((triangles[:, :2], triangles[:, 1:], triangles[:, ::2])), axis=1), axis=0
        )
