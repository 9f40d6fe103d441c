"""The widest way between two places, and its narrowest place, exact to the millimetre."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cached_property, partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Point, Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from quincunx.shapes import XY
from quincunx.walk._kept import Kept
from quincunx.walk._narrow import parted_by
from quincunx.walk._parting import Net, widest_pairs
from quincunx.walk.barriers import polygons
from quincunx.walk.ground import CUT_M, FreeGround, cut_along, cut_strips
from quincunx.walk.links import MEET_M, TIE_M, TOUCH_M, Links, holding, links_of, shortest_first

BESIDE_M = 0.02
"""Faces no farther than this from a thing are beside it [m]."""
FEW = 12
"""So few lines are told from others sooner by their boxes alone."""
SHARES = (0.27, 0.73)
"""How far along a link its two sides are looked at, as shares of it: not in its middle, where others may begin."""
SEAM_M = 3 * CUT_M
"""Half the width of what closes a cut [m]."""


@dataclass(frozen=True, slots=True)
class Narrowest:
    """The narrowest place of the widest way: its ``width_m``, the ``line`` across it, and whose things bound it.

    ``width_m`` is None where the way is nowhere narrower than was looked for; then there is no line.
    """

    width_m: float | None
    line: LineString | None = None
    owners: tuple[str, str] = ("", "")
    link: int = -1


@dataclass(frozen=True, eq=False)
class Forest:
    """Trees over the faces: each face's ``parent`` and the link ``towards`` it, -1 at a root."""

    parent: NDArray[np.int64]
    towards: NDArray[np.int64]

    @cached_property
    def roots(self) -> list[int]:
        """Return the root of each face's tree: faces with one root hang together."""
        root, above = np.arange(len(self.parent)), np.where(self.parent < 0, np.arange(len(self.parent)), self.parent)
        while not np.array_equal(root, above):
            root, above = above, above[above]
        return root.tolist()

    def path(self, a: int, b: int) -> list[int] | None:
        """Return the links the widest way from face ``a`` to ``b`` crosses, or None if there is no way."""
        above = _line_up(self.parent, a)
        seen = {face: i for i, face in enumerate(above)}
        path, face = [], b
        while face not in seen:
            path.append(int(self.towards[face]))
            face = int(self.parent[face])
            if face < 0:
                return None
        return [int(self.towards[f]) for f in above[: seen[face]]] + path


class Widths:
    """The open ground parted along every link up to ``up_to_m``, and how the parts hang together."""

    def __init__(self, free: FreeGround, up_to_m: float = 3.0) -> None:
        """Hold the ground; the parts are worked out when asked for."""
        self.free = free
        self.up_to_m = up_to_m

    @cached_property
    def links(self) -> Links:
        """Return every link up to the width looked for."""
        return links_of(self.free.near_to(self.up_to_m)).below(self.up_to_m)

    @cached_property
    def faces(self) -> list[Polygon]:
        """Return the parts of the ground between links."""
        rest = self.free.rest
        if rest is None:
            return polygons(cut_along(self.free.open, self.links.lines))
        return self._faces_from(widths_of(rest, self.up_to_m))

    def _faces_from(self, before: Widths) -> list[Polygon]:
        """Return the faces, of which most are as they were ``before`` some barriers came.

        Anew are those a new barrier or a new link meets, and those a link parted that is one no more.
        """
        near = self.free.near_to(self.up_to_m)
        old = len(before.free.near_to(self.up_to_m).length_m)
        shorter = near.length_m < self.up_to_m - TIE_M
        was = np.zeros(len(near.bare), bool)
        was[:old] = before.free.near_to(self.up_to_m).bare
        gone, new = near.lines[was & ~near.bare & shorter], near.lines[near.bare & ~was & shorter]
        change = [*self.free.come_shapes, *shapely.linestrings(new), *shapely.linestrings(gone)]
        who, face = before._tree.query(np.array(change, dtype=object), "dwithin", 3 * CUT_M)
        met, whole = set(face.tolist()), set(face[who >= len(change) - len(gone)].tolist())
        ground = [before.faces[k] for k in sorted(met - whole)]
        if len(gone):
            # A seam as wide as the cut would touch the faces beside it, or by a hair not: it is laid over them.
            seam = shapely.intersection(cut_strips(gone, SEAM_M), before.free.open)
            ground.append(shapely.union_all([*(before.faces[k] for k in sorted(whole)), seam]))
        left = shapely.difference(np.array(ground, dtype=object), shapely.union_all(self.free.come_shapes))
        kept = [f for k, f in enumerate(before.faces) if k not in met]
        # The faces are cut along the old links but where a seam was laid over the end of another one.
        again = near.lines[was & near.bare & shorter]
        lines = np.concatenate([new, again[_share_an_end(again, gone)]])
        return [*kept, *polygons(cut_along(left, lines))]

    @cached_property
    def _tree(self) -> STRtree:
        return STRtree(self.faces)

    @cached_property
    def joins(self) -> list[tuple[int, int, int]]:
        """Return (link, face, face) for each side of a link, widest link first."""
        wide = np.flatnonzero(self.links.length_m > TOUCH_M)[::-1]
        sides = self._beside(wide).tolist()
        return [
            (link, a, b) for link, own in zip(wide.tolist(), sides, strict=True) for a, b in own if a >= 0 <= b != a
        ]

    def _beside(self, which: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return the faces on the two sides of links, near either end (n, 2, 2), -1 where there is none."""
        lines = self.links.lines[which]
        step = lines[:, 1] - lines[:, 0]
        aside = np.stack([-step[:, 1], step[:, 0]], 1) / np.hypot(*step.T)[:, None] * 3 * CUT_M
        along = lines[:, None, 0] + np.array(SHARES)[:, None] * step[:, None]
        points = along[:, :, None] + np.array([1.0, -1.0])[:, None] * aside[:, None, None]
        out = np.full(points.size // 2, -1, np.int64)
        who, face = self._tree.query(shapely.points(points.reshape(-1, 2)), predicate="intersects")
        out[who] = face
        return out.reshape(-1, len(SHARES), 2)

    def forest(self, least_m: float = 0.0, closed: Collection[int] = ()) -> Forest:
        """Return how the faces hang together by their widest ways, over links of ``least_m`` or more not ``closed``."""
        neighbours: list[list[tuple[int, int]]] = [[] for _ in self.faces]
        group = list(range(len(self.faces)))
        for link, a, b in self.joins:
            if self.links.length_m[link] < least_m - TIE_M:
                break
            ra, rb = _root(group, a), _root(group, b)
            if ra != rb and link not in closed:
                group[ra] = rb
                neighbours[a].append((b, link))
                neighbours[b].append((a, link))
        return Forest(*_hang(neighbours))

    def table(self, points: Sequence[XY]) -> NDArray[np.float64]:
        """Return the widest body (p, p) [m] that gets from each point to each other with its middle on both.

        Nothing wider than ``up_to_m`` is looked for; 0 where there is no way.
        """
        at = np.ascontiguousarray(np.asarray(points, np.float64).reshape(-1, 2))
        near = self.free.near_to(self.up_to_m)
        net = self.free.net(near, self.up_to_m)
        order = np.argsort(net.leave_m, kind="stable")
        leave = np.where(net.leave_m > TOUCH_M, net.leave_m, 0.0)[order]
        out = widest_pairs(at, net.paths[order], net.start[order], net.end[order], leave, net.nodes, self.up_to_m)
        spots = shapely.points(at)
        (who, _), gap = near.tree.query_nearest(spots, return_distance=True, all_matches=False)
        room = np.full(len(at), np.inf)
        room[who] = 2 * gap
        room[~shapely.intersects(self.free.world, spots)] = 0.0
        return np.asarray(np.minimum(out, np.minimum(room[:, None], room[None])), np.float64)

    def faces_at(self, zones: Sequence[BaseGeometry]) -> list[list[int]]:
        """Return the faces that each of some places touches."""
        out: list[list[int]] = [[] for _ in zones]
        for k, face in zip(*self._tree.query(np.array(zones, dtype=object), "intersects").tolist(), strict=True):
            out[k].append(face)
        return [sorted(own) for own in out]

    def faces_by(self, shapes: Sequence[BaseGeometry]) -> list[NDArray[np.int64]]:
        """Return the faces no farther than :data:`BESIDE_M` from each of some shapes [m]."""
        who, face = self._tree.query(np.array(shapes, dtype=object), "dwithin", BESIDE_M)
        return [np.sort(face[who == k]) for k in range(len(shapes))]

    def between(self, start: BaseGeometry, end: BaseGeometry) -> Narrowest | None:
        """Return the narrowest place of the widest way between two places [m]; None where there is no way at all."""
        one, other = (self._left(self.points_round(zone)) for zone in (start, end))
        if not one or not other:
            return None
        net, order = self._shut
        last = parted_by(net, order, one, other, quick=self.free.rest is not None)
        if last < 0:
            return Narrowest(None)
        if net.leave_m[last] <= TOUCH_M:
            return None
        near, line = self.free.near_to(self.up_to_m), int(self._held[net.line[last]])
        a, b = (self.free.found[int(near.parts.owner[p])].owner for p in (near.i[line], near.j[line]))
        return Narrowest(float(near.length_m[line]), LineString(near.lines[line]), (a, b))

    @cached_property
    def _held(self) -> NDArray[np.int64]:
        """Return which lines between pieces are looked at."""
        return holding(self.free.near_to(self.up_to_m), self.up_to_m)

    @cached_property
    def _shut(self) -> tuple[Net, NDArray[np.int64]]:
        """Return the net of the lines between pieces, and the order in which they are shut: the narrowest first."""
        near = self.free.near_to(self.up_to_m)
        net = self.free.net(near, self.up_to_m)
        place = np.full(len(self._held) + 1, -1)  # the last is for what goes along no line
        place[shortest_first(near, self._held)] = np.arange(len(self._held))
        place[:-1][near.length_m[self._held] <= TOUCH_M] = -1
        return net, np.argsort(place[net.line], kind="stable")

    def joined(self, width_m: float, *ends: Sequence[XY]) -> bool:
        """Return whether a body of ``width_m``, no more than is looked for, gets from one of some points to one of others."""
        points = [self._left(own) for own in ends]
        marks = iter(self.free.parted(width_m, self.up_to_m).round([p for own in points for p in own]))
        one, other = ({next(marks) for _ in own} for own in points)
        return bool(one & other)

    def _left(self, points: Sequence[XY]) -> list[XY]:
        """Return the points on which no barrier stands."""
        met = {k for k, _ in self.free.under(points)}
        return [p for k, p in enumerate(points) if k not in met]

    def points_round(self, zone: BaseGeometry) -> list[XY]:
        """Return a point in every part that links and barriers leave of a place [m]: no face need be worked out."""
        if isinstance(zone, Point):
            return [(zone.x, zone.y)] if self.free.world.intersects(zone) else []
        near = self.free.near_to(self.up_to_m)
        lines = near.lines[self._held]
        west, south, east, north = zone.bounds
        close = (lines.min(axis=1) <= (east, north)).all(axis=1) & (lines.max(axis=1) >= (west, south)).all(axis=1)
        lines = lines[close & (near.length_m[self._held] > MEET_M)]
        if len(lines) > FEW:  # round the whole garden there are many, few of which meet the place itself
            lines = lines[np.sort(STRtree(shapely.linestrings(lines)).query(zone, "dwithin", CUT_M))]
        shapes = tuple(b.shape for b in self.free.barriers_near(zone))
        return _POINTS.get(
            (zone, self.free.world, *shapes), lines.tobytes(), partial(_points, zone, self.free.world, shapes, lines)
        )

    def widest(
        self, forest: Forest, start: Collection[int], end: Collection[int], beside: BaseGeometry | None = None
    ) -> Narrowest | None:
        """Return the narrowest place of the widest way between faces; with ``beside`` only places that touch it."""
        best: Narrowest | None = None
        for a in start:
            for b in end:
                path = forest.path(a, b)
                found = None if path is None else self._narrowest_of(path, beside)
                if found is not None and (best is None or _wider(found, best)):
                    best = found
        return best

    def _narrowest_of(self, path: list[int], beside: BaseGeometry | None) -> Narrowest:
        if beside is not None:
            path = [k for k in path if LineString(self.links.lines[k]).intersects(beside)]
        if not path:
            return Narrowest(None)
        return self.narrowest(min(path, key=lambda k: (float(self.links.length_m[k]), k)))

    def narrowest(self, link: int) -> Narrowest:
        """Return a link as a narrowest place."""
        found = self.free.found
        owners = (found[int(self.links.a[link])].owner, found[int(self.links.b[link])].owner)
        return Narrowest(float(self.links.length_m[link]), LineString(self.links.lines[link]), owners, link)


def _share_an_end(lines: NDArray[np.float64], others: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which lines (n, 2, 2) begin or end where one of the ``others`` (m, 2, 2) does, as wide as a cut [m]."""
    apart = np.abs(lines.reshape(-1, 1, 2) - others.reshape(1, -1, 2)).max(axis=2)
    return np.asarray((apart < 10 * CUT_M).any(axis=1).reshape(-1, 2).any(axis=1))


def _points(zone: BaseGeometry, world: Polygon, shapes: tuple[Polygon, ...], lines: NDArray[np.float64]) -> list[XY]:
    """Return a point in every part that barriers and lines leave of a place [m]."""
    ground = shapely.difference(shapely.intersection(zone, world), shapely.union_all(shapes))
    met = shapely.dwithin(shapely.linestrings(lines), ground, CUT_M) if len(lines) else []
    parts = np.array(polygons(cut_along(ground, lines[met])), dtype=object)
    return [(x, y) for x, y in shapely.get_coordinates(shapely.point_on_surface(parts)).tolist()]


def widths_of(free: FreeGround, up_to_m: float = 3.0) -> Widths:
    """Return the widths of a ground, kept for whoever asks next."""
    return _WIDTHS.get((free,), up_to_m, lambda: Widths(free, up_to_m))


def _wider(one: Narrowest, other: Narrowest) -> bool:
    return other.width_m is not None and (one.width_m is None or one.width_m > other.width_m)


def _root(group: list[int], i: int) -> int:
    while group[i] != i:
        group[i] = group[group[i]]
        i = group[i]
    return i


def _hang(neighbours: Sequence[Sequence[tuple[int, int]]]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    parent = np.full(len(neighbours), -1, np.int64)
    towards = np.full(len(neighbours), -1, np.int64)
    seen = [False] * len(neighbours)
    for root in range(len(neighbours)):
        stack = [] if seen[root] else [root]
        seen[root] = True
        while stack:
            face = stack.pop()
            for other, link in neighbours[face]:
                if not seen[other]:
                    seen[other] = True
                    parent[other], towards[other] = face, link
                    stack.append(other)
    return parent, towards


def _line_up(parent: NDArray[np.int64], face: int) -> list[int]:
    out = [face]
    while parent[out[-1]] >= 0:
        out.append(int(parent[out[-1]]))
    return out


_WIDTHS: Kept[Widths] = Kept(256)
_POINTS: Kept[list[XY]] = Kept(1024)
