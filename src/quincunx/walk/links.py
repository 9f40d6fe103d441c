"""The narrow places between barriers: exact, and few.

Two barriers nearer to each other than a body is wide leave no way between them, so the shortest line between
them, a *link*, cuts the ground for that body.  Cutting along every link shorter than a width ``w`` parts the
ground exactly as ``w`` parts it: the barriers' convex pieces, grown by ``w/2``, form a union with the same holes
as the graph of pieces and links (nerve theorem: K. Borsuk, Fundamenta Mathematicae 35, 1948; from memory).
A link with another barrier inside the circle on it as diameter adds nothing, since two shorter ones say the
same (K. R. Gabriel and R. R. Sokal, Systematic Zoology 18, 1969; from memory); those left never cross.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree

from quincunx.walk._pairs import Pairs
from quincunx.walk.barriers import Barrier

TIE_M = 1e-6
"""Lengths nearer than this are the same length [m]."""
TOUCH_M = 1e-3
"""Barriers nearer than this leave no light between them [m]."""


@dataclass(frozen=True, slots=True)
class Links:
    """Links ``lines`` (n, 2, 2) [m] of ``length_m`` (n,), shortest first, between barriers ``a`` and ``b``."""

    lines: NDArray[np.float64]
    length_m: NDArray[np.float64]
    a: NDArray[np.int64]
    b: NDArray[np.int64]

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self.length_m)

    def below(self, width_m: float) -> Links:
        """Return the links that leave less than ``width_m`` [m]."""
        n = int(np.searchsorted(self.length_m, width_m - TIE_M, side="left"))
        return Links(self.lines[:n], self.length_m[:n], self.a[:n], self.b[:n])


def convex_parts(found: Sequence[Barrier]) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
    """Return the convex pieces of all barriers and, for each, the index of its barrier."""
    return _PAIRS.parts([b.shape for b in found])


def links(found: Sequence[Barrier], up_to_m: float) -> Links:
    """Return the links between ``found`` barriers that are shorter than ``up_to_m`` [m]."""
    shapes = [b.shape for b in found]
    parts, owner = _PAIRS.parts(shapes)
    if len(parts) < 2:
        return _none()
    tree = STRtree(parts)
    west, south, east, north = shapely.bounds(parts).T
    near = tree.query(shapely.box(west - up_to_m, south - up_to_m, east + up_to_m, north + up_to_m))
    near = near[:, near[0] < near[1]]
    lines = _PAIRS.lines(shapes, near)
    length = np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    keep = (length > 1e-12) & (length <= up_to_m)
    lines, length, (i, j) = lines[keep], length[keep], near[:, keep]
    bare = _empty_circle(tree, lines, length, i, j)
    lines, length, i, j = lines[bare], length[bare], i[bare], j[bare]
    order = np.lexsort((lines[:, 0, 1], lines[:, 0, 0], np.round(length, 9)))
    _, first = np.unique(np.round(lines[order].reshape(-1, 4), 7), axis=0, return_index=True)
    order = order[np.sort(first)]
    return Links(lines[order], length[order], owner[i[order]], owner[j[order]])


def _none() -> Links:
    empty = np.empty(0, np.int64)
    return Links(np.empty((0, 2, 2)), np.empty(0), empty, empty)


def _empty_circle(
    tree: STRtree, lines: NDArray[np.float64], length: NDArray[np.float64], i: NDArray[np.int64], j: NDArray[np.int64]
) -> NDArray[np.bool_]:
    """Return which links have no third barrier inside the circle on them as diameter."""
    middle = shapely.points(lines.mean(axis=1))
    radius = np.maximum(length / 2 - TIE_M, 0.0)
    who, met = tree.query(middle, predicate="dwithin", distance=radius)
    third = (met != i[who]) & (met != j[who])
    bare = np.ones(len(lines), bool)
    bare[who[third]] = False
    return bare


_PAIRS = Pairs()


def forget() -> None:
    """Let go all pieces and lines kept."""
    _PAIRS.clear()
