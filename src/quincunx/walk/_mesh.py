"""A polygon with holes as triangles that know their neighbours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from quincunx.walk._ears import ears

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Mesh:
    """Triangles over polygons.

    ``at`` (n, 2) corners [m]; ``triangles`` (m, 3) anticlockwise; ``beside`` (m, 3) the triangle across the edge
    opposite each corner, -1 at an edge of the ground; ``after`` and ``before`` (n,) the next corner along the edge
    with the ground to the left, and the last one; ``bends`` (n,) where a taut string may bend, ``twice`` (n,) where it
    may so freely.
    """

    at: Floats
    triangles: Ints
    beside: Ints
    after: Ints
    before: Ints
    bends: NDArray[np.bool_]
    twice: NDArray[np.bool_]

    @property
    def arrays(self) -> tuple[Floats, Ints, Ints, Ints, Ints]:
        """Return the mesh as kernels take it."""
        return self.at, self.triangles, self.beside, self.after, self.before


def mesh_of(polygons: Sequence[Polygon]) -> Mesh:
    """Return the mesh of polygons that don't overlap; corners on which two rings meet bend freely."""
    shapes = shapely.orient_polygons(np.array(polygons, dtype=object).reshape(-1))
    rings, owner = shapely.get_rings(shapes, return_index=True)
    points, ring = shapely.get_coordinates(rings, return_index=True)
    first = np.searchsorted(ring, np.arange(len(rings) + 1))
    at, first = np.delete(points, first[1:] - 1, axis=0), first - np.arange(len(rings) + 1)
    number = np.arange(len(at))
    after, before = number + 1, number - 1
    after[first[1:] - 1], before[first[:-1]] = first[:-1], first[1:] - 1
    if len(np.unique(at[:, 0] + 1j * at[:, 1])) < len(at):
        return _touching(shapes, at, after, before)
    if len(at):
        ends = first[np.searchsorted(owner, np.arange(len(shapes) + 1))].tolist()
        own = [first[(first >= a) & (first <= b)] for a, b in pairwise(ends)]
        triangles = [_cut(shape, at[r[0] : r[-1]], r - r[0]) + r[0] for shape, r in zip(shapes, own, strict=True)]
    else:
        triangles = [np.empty((0, 3), np.int64)]
    return _mesh(at, np.concatenate(triangles), after, before, np.zeros(len(at), bool))


def _cut(shape: Polygon, at: Floats, first: Ints) -> Ints:
    """Return the triangles of one polygon whose rings begin at ``first`` of its corners ``at`` [m]."""
    found = ears(np.ascontiguousarray(at), np.ascontiguousarray(first))
    if len(found):
        return found
    order = np.argsort(at[:, 0] + 1j * at[:, 1])
    made: Ints = order[_triangles([shape], at[order])]
    return made


def _touching(shapes: NDArray[np.object_], at: Floats, after: Ints, before: Ints) -> Mesh:
    """Return the mesh of polygons of which some corners lie on one point: there a string bends freely."""
    one, number = np.unique(at, axis=0, return_inverse=True)
    number = number.ravel()
    ahead, back = np.full(len(one), -1, np.int64), np.full(len(one), -1, np.int64)
    ahead[number], back[number] = number[after], number[before]
    twice = np.bincount(number, minlength=len(one)) > 1
    return _mesh(one, _triangles(list(shapes), one), ahead, back, twice)


def _mesh(at: Floats, triangles: Ints, after: Ints, before: Ints, twice: NDArray[np.bool_]) -> Mesh:
    a, b = at - at[before], at[after] - at
    bends = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0] < -1e-12
    whole = np.ascontiguousarray(at), np.ascontiguousarray(triangles)
    return Mesh(*whole, _beside(triangles, len(at)), after, before, bends | twice, twice)


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
