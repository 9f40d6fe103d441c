"""Every shortest way between many points at once: the distance table, exact."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from quincunx.shapes import XY
from quincunx.walk._mesh import mesh_of
from quincunx.walk._taut import lines_of_sight, straight_pairs, ways_from
from quincunx.walk.ground import FreeGround
from quincunx.walk.places import Place
from quincunx.walk.reach import Walk
from quincunx.walk.ways import Way, bends

EDGE_M = 1e-6
"""How far inside the edge of its ground the middle of a body stands at the nearest [m]."""
NOWHERE: XY = (1e9, 1e9)
"""Where a place that does not stand is looked for: no ground holds it."""


@dataclass(frozen=True, eq=False)
class Distances:
    """Ways between ``points`` (p, 2) [m]: ``length_m`` (p, p), infinite where there is none."""

    points: NDArray[np.float64]
    length_m: NDArray[np.float64]
    _nodes: NDArray[np.float64]
    _came: NDArray[np.int64]
    _direct: NDArray[np.bool_]

    def way(self, start: int, end: int) -> Way | None:
        """Return the shortest way between two of the points, by number; None where there is none."""
        length = float(self.length_m[start, end])
        if not np.isfinite(length):
            return None
        if start == end:
            return Way((self._xy(self.points[start]),), 0.0)
        if self._direct[start, end]:
            return Way((self._xy(self.points[start]), self._xy(self.points[end])), length)
        corners = len(self._nodes) - len(self.points)
        path = [corners + end]
        while path[-1] != corners + start:
            path.append(int(self._came[start, path[-1]]))
        return Way(bends([self._xy(self._nodes[i]) for i in reversed(path)]), length)

    @staticmethod
    def _xy(point: NDArray[np.float64]) -> XY:
        return (float(point[0]), float(point[1]))


def distance_table(walk: Walk, refs: Sequence[str]) -> Distances:
    """Return the shortest ways between places, each from where the walker stands for it; infinite where it can't.

    Exact on level ground; slope and surface are not counted.
    """
    points = [at if (place := walk.place(r)) and (at := standing_at(walk.free, place)) else NOWHERE for r in refs]
    return distances(list(walk.free.stand), points)


def standing_at(free: FreeGround, place: Place) -> XY | None:
    """Return the point nearest to ``place`` where the middle of the body can be, or None where there is no ground."""
    if not len(free.stand):
        return None
    spot = shapely.Point(place.at)
    near = free.stand[free.tree.nearest(spot)]
    if near.covers(spot):
        return place.at
    x, y = (float(v) for v in shapely.get_coordinates(shapely.shortest_line(spot, near))[-1])
    gap = math.hypot(x - spot.x, y - spot.y) or 1.0
    # A hair inside: on the very edge of the ground the lines along that edge would not be seen.
    inside = (x + (x - spot.x) / gap * EDGE_M, y + (y - spot.y) / gap * EDGE_M)
    return inside if near.covers(shapely.Point(inside)) else (x, y)


def distances(polygons: Sequence[Polygon], points: Sequence[XY]) -> Distances:
    """Return the shortest ways between all ``points`` inside ``polygons`` (where the middle of a body can be) [m].

    A point outside all of them has no way to any other.
    """
    spots = np.ascontiguousarray(np.asarray(points, np.float64).reshape(-1, 2))
    if not polygons or not len(spots):
        none = np.full((len(spots), len(spots)), np.inf)
        np.fill_diagonal(none, 0.0)
        return Distances(spots, none, spots, np.full(none.shape, -1), np.zeros(none.shape, bool))
    mesh = mesh_of(polygons)
    lines, home = lines_of_sight(spots, mesh.arrays, mesh.bends)
    nodes = np.ascontiguousarray(np.vstack([mesh.at, spots]))
    far, came = ways_from(lines, nodes, len(spots), mesh.after, mesh.before, mesh.twice)
    length = far[:, len(mesh.at) :]
    direct = straight_pairs(spots, home, mesh.arrays)
    gap = spots[:, None] - spots[None]
    length = np.where(direct, np.hypot(gap[..., 0], gap[..., 1]), length)
    np.fill_diagonal(length, 0.0)
    length[home < 0] = length[:, home < 0] = np.inf
    return Distances(spots, length, nodes, came, direct)
