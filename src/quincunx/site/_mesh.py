"""Triangles between levels: Delaunay, but for the break lines, which are always edges.

Works on whole micrometres with Python's unlimited integers, so that every test of side and circle is
exact and the same points give the same triangles whatever their order.

References:
    C. Lawson, Software for C1 surface interpolation, in Mathematical Software III, 1977 (flips until every
    edge is locally Delaunay).
    S. Sloan, A fast algorithm for generating constrained Delaunay triangulations, Computers & Structures
    47(3), 1993 (flips until a wanted edge stands), doi 10.1016/0045-7949(93)90239-A.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import deque
from collections.abc import Iterable, Sequence
from itertools import islice, pairwise

XY = tuple[int, int]
Edge = tuple[int, int]
Piece = tuple[XY, XY]

_ROUNDING = 2
"""A crossing put on whole micrometres lies within this of both its lines [micrometres]."""


def orient(a: XY, b: XY, c: XY) -> int:
    """Return twice the area of triangle abc: positive if c lies left of a -> b, 0 if in line."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def in_circle(a: XY, b: XY, c: XY, d: XY) -> int:
    """Return a positive number if d lies inside the circle through a, b, c (anticlockwise), 0 if on it."""
    ax, ay, bx, by = a[0] - d[0], a[1] - d[1], b[0] - d[0], b[1] - d[1]
    cx, cy = c[0] - d[0], c[1] - d[1]
    a2, b2, c2 = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
    return a2 * (bx * cy - by * cx) - b2 * (ax * cy - ay * cx) + c2 * (ax * by - ay * bx)


def triangulate(points: Sequence[XY], edges: Iterable[Edge] = ()) -> list[tuple[int, int, int]]:
    """Return the anticlockwise triangles between ``points``, sorted; none if all lie in line.

    ``points`` are distinct and sorted; ``edges`` meet one another and other points at their ends only.
    """
    mesh = _Mesh(points)
    mesh.legalise()
    for edge in sorted({(min(edge), max(edge)) for edge in edges}):
        mesh.force(*edge)
    mesh.legalise()
    return mesh.triangles()


class _Mesh:
    """``apex[a, b]`` is the third corner of the triangle to the left of a -> b."""

    def __init__(self, points: Sequence[XY]) -> None:
        """Join each point in turn to the outline of those before it."""
        self.points = points
        self.apex: dict[Edge, int] = {}
        self.fixed: set[Edge] = set()
        self._sweep()

    def _add(self, a: int, b: int, c: int) -> None:
        self.apex[a, b], self.apex[b, c], self.apex[c, a] = c, a, b

    def _sweep(self) -> None:
        points = self.points
        first = next((i for i in range(2, len(points)) if orient(points[0], points[1], points[i])), len(points))
        if first >= len(points):
            return
        left = orient(points[0], points[1], points[first]) > 0
        line = list(range(first)) if left else list(range(first))[::-1]
        for a, b in pairwise(line):
            self._add(a, b, first)
        ring = [*line, first]
        after = dict(zip(ring, ring[1:] + ring[:1], strict=True))
        before = {b: a for a, b in after.items()}
        for p in range(first + 1, len(points)):
            self._join(p, after, before)

    def _join(self, p: int, after: dict[int, int], before: dict[int, int]) -> None:
        """Put triangles from ``p`` to all outline edges it sees; the outline runs anticlockwise."""
        points, start = self.points, p - 1
        right = start
        while orient(points[right], points[after[right]], points[p]) < 0:
            self._add(right, p, after[right])
            right = after[right]
        left = start
        while orient(points[before[left]], points[left], points[p]) < 0:
            self._add(before[left], p, left)
            left = before[left]
        after[left], before[p], after[p], before[right] = p, left, right, p

    def legalise(self) -> None:
        """Flip until no unfixed edge has its far corner inside the circle of the near triangle."""
        stack = sorted(edge for edge in self.apex if edge[0] < edge[1])
        while stack:
            a, b = stack.pop()
            c, d = self.apex.get((a, b)), self.apex.get((b, a))
            if c is None or d is None or (min(a, b), max(a, b)) in self.fixed:
                continue
            if in_circle(self.points[a], self.points[b], self.points[c], self.points[d]) > 0:
                self._flip(a, b, c, d)
                stack += [(a, d), (d, b), (b, c), (c, a)]

    def _flip(self, a: int, b: int, c: int, d: int) -> None:
        del self.apex[a, b], self.apex[b, a]
        self._add(c, a, d)
        self._add(d, b, c)

    def force(self, a: int, b: int) -> None:
        """Make the edge a-b stand by flipping all that cross it; left out if one is fixed or a point is in the way."""
        if not self.apex or (a, b) in self.apex or (b, a) in self.apex:
            self.fixed.add((a, b))
            return
        crossing = deque(self._crossed(a, b))
        if not crossing or any((min(edge), max(edge)) in self.fixed for edge in crossing):
            return
        self.fixed.add((a, b))
        while crossing:
            u, v = crossing.popleft()
            c, d = self.apex[u, v], self.apex[v, u]
            if not self._cross(u, v, c, d):
                crossing.append((u, v))
                continue
            self._flip(u, v, c, d)
            if not {a, b} & {c, d} and self._cross(a, b, c, d):
                crossing.append((c, d))

    def _cross(self, a: int, b: int, c: int, d: int) -> bool:
        pa, pb, pc, pd = (self.points[i] for i in (a, b, c, d))
        apart = orient(pa, pb, pc) * orient(pa, pb, pd) < 0
        return apart and orient(pc, pd, pa) * orient(pc, pd, pb) < 0

    def _crossed(self, a: int, b: int) -> list[Edge]:
        """Return the edges between a and b, in the order met; none if a point lies on the way."""
        points = self.points
        starts = (
            (u, v)
            for (u, v), c in sorted(self.apex.items())
            if c == a and orient(points[a], points[u], points[b]) > 0 and orient(points[a], points[b], points[v]) > 0
        )
        crossed = list(islice(starts, 1))
        while crossed:
            u, v = crossed[-1]
            w = self.apex[v, u]
            if w == b:
                break
            side = orient(points[a], points[b], points[w])
            if side == 0:
                return []
            crossed.append((u, w) if side > 0 else (w, v))
        return crossed

    def triangles(self) -> list[tuple[int, int, int]]:
        """Return each triangle once, from its lowest corner."""
        return sorted((a, b, c) for (a, b), c in self.apex.items() if a < b and a < c)


def part(points: dict[XY, float], edges: Iterable[Piece], near: int) -> tuple[dict[XY, float], set[Piece], list[XY]]:
    """Part break-line pieces where they cross or pass within ``near`` of a point.

    Takes the heights by point and the pieces as pairs of points; returns both, added to, and the crossings
    at which the two lines disagreed in height by more than 1 cm (their mean is taken).
    """
    heights, doubtful = dict(points), []
    known = sorted(heights)
    pieces = {half for a, b in edges if a != b for half in _at_points(_sorted((a, b)), known, near)}
    for _ in range(50):
        known = sorted(heights)
        parted = {half for piece in pieces for half in _at_points(piece, known, _ROUNDING)}
        crossings = _crossings(sorted(parted), heights)
        doubtful += [at for at, (_, gap) in crossings.items() if gap > 0.01]
        if not crossings and parted == pieces:
            break
        heights |= {at: z for at, (z, _) in crossings.items()}
        pieces = parted
    return heights, pieces, sorted(set(doubtful))


def _sorted(edge: Piece) -> Piece:
    return (edge[0], edge[1]) if edge[0] < edge[1] else (edge[1], edge[0])


def _at_points(edge: Piece, known: list[XY], near: int) -> list[Piece]:
    """Part one piece at every one of the sorted ``known`` points that lies on it."""
    (x0, y0), (x1, y1) = edge
    dx, dy = x1 - x0, y1 - y0
    length2 = dx * dx + dy * dy
    on = []
    span = slice(bisect_left(known, (x0 - near, -(10**18))), bisect_right(known, (x1 + near, 10**18)))
    for x, y in known[span]:
        along = (x - x0) * dx + (y - y0) * dy
        off = (x - x0) * dy - (y - y0) * dx
        if 0 < along < length2 and off * off <= near * near * length2:
            on.append((along, (x, y)))
    stops = [edge[0], *(at for _, at in sorted(on) if at not in edge), edge[1]]
    return [_sorted(half) for half in pairwise(stops)]


def _crossings(pieces: list[Piece], heights: dict[XY, float]) -> dict[XY, tuple[float, float]]:
    """Return where pieces cross inside both, with the mean height there and the gap between the two."""
    found: dict[XY, tuple[float, float]] = {}
    for at, (a, b) in enumerate(pieces):
        for c, d in pieces[at + 1 :]:
            if c[0] >= b[0]:  # sorted by their least x: nothing further on can cross
                break
            if max(c[1], d[1]) <= min(a[1], b[1]) or min(c[1], d[1]) >= max(a[1], b[1]):
                continue
            s, t = orient(c, d, a), orient(c, d, b)
            u, v = orient(a, b, c), orient(a, b, d)
            if s * t < 0 and u * v < 0:
                share, other = s / (s - t), u / (u - v)
                z1 = heights[a] + share * (heights[b] - heights[a])
                z2 = heights[c] + other * (heights[d] - heights[c])
                xy = (round(a[0] + share * (b[0] - a[0])), round(a[1] + share * (b[1] - a[1])))
                found[xy] = ((z1 + z2) / 2, abs(z1 - z2))
    return {at: value for at, value in sorted(found.items()) if at not in heights}
