"""A polygon with holes as triangles that know their neighbours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Mesh:
    """Triangles over polygons.

    ``at`` (n, 2) corners [m]; ``triangles`` (m, 3) anticlockwise; ``beside`` (m, 3) the triangle across the edge
    opposite each corner, -1 at an edge of the ground; ``after`` and ``before`` (n,) the next corner along the edge
    with the ground to the left, and the last one; ``bends`` (n,) where a taut string may bend.
    """

    at: Floats
    triangles: Ints
    beside: Ints
    after: Ints
    before: Ints
    bends: NDArray[np.bool_]

    @property
    def arrays(self) -> tuple[Floats, Ints, Ints, Ints, Ints]:
        """Return the mesh as kernels take it."""
        return self.at, self.triangles, self.beside, self.after, self.before


def mesh_of(polygons: Sequence[Polygon]) -> Mesh:
    """Return the mesh of polygons that don't overlap; corners on which two rings meet bend freely."""
    rings = [_rings(p) for p in polygons]
    points = np.vstack([r for own in rings for r in own]) if rings else np.empty((0, 2))
    at, number = np.unique(points, axis=0, return_inverse=True)
    after, before, twice = _edges(rings, number.ravel(), len(at))
    triangles = _triangles(polygons, at)
    a, b = at - at[before], at[after] - at
    bends = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0] < -1e-12
    return Mesh(at, triangles, _beside(triangles, len(at)), after, before, bends | twice)


def _rings(polygon: Polygon) -> list[Floats]:
    turned = shapely.orient_polygons(polygon)
    return [np.asarray(r.coords)[:-1] for r in (turned.exterior, *turned.interiors)]


def _edges(rings: list[list[Floats]], number: Ints, n: int) -> tuple[Ints, Ints, NDArray[np.bool_]]:
    after, before = np.full(n, -1, np.int64), np.full(n, -1, np.int64)
    count = np.zeros(n, np.int64)
    start = 0
    for own in rings:
        for ring in own:
            k = number[start : start + len(ring)]
            after[k], before[k] = np.roll(k, -1), np.roll(k, 1)
            np.add.at(count, k, 1)
            start += len(ring)
    return after, before, count > 1


def _triangles(polygons: Sequence[Polygon], at: Floats) -> Ints:
    made = shapely.get_parts(shapely.constrained_delaunay_triangles(np.array(polygons, dtype=object)))
    corners = shapely.get_coordinates(made).reshape(-1, 4, 2)[:, :3]
    flat = np.ascontiguousarray(corners.reshape(-1, 2))
    key = at[:, 0] + 1j * at[:, 1]
    found = np.searchsorted(key, flat[:, 0] + 1j * flat[:, 1]).reshape(-1, 3)
    a, b, c = at[found[:, 0]], at[found[:, 1]], at[found[:, 2]]
    turn = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    found[turn < 0] = found[turn < 0][:, ::-1]
    return np.ascontiguousarray(found.astype(np.int64))


def _beside(triangles: Ints, n: int) -> Ints:
    start, end = triangles[:, [1, 2, 0]].ravel(), triangles[:, [2, 0, 1]].ravel()
    edge = np.minimum(start, end) * n + np.maximum(start, end)
    order = np.argsort(edge, kind="stable")
    pair = np.flatnonzero(edge[order][1:] == edge[order][:-1])
    out = np.full(len(edge), -1, np.int64)
    out[order[pair]], out[order[pair + 1]] = order[pair + 1] // 3, order[pair] // 3
    return out.reshape(-1, 3)
