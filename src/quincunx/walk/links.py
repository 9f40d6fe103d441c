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

from quincunx.walk._pairs import Pairs, Parts
from quincunx.walk.barriers import Barrier

TIE_M = 1e-6
"""Lengths nearer than this are the same length [m]."""
MEET_M = 1e-12
"""Pieces nearer than this touch [m]."""
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


@dataclass(frozen=True, slots=True, eq=False)
class Near:
    """Barriers' convex ``parts``, and the shortest lines (k, 2, 2) [m] between pieces ``i`` and ``j`` near each other."""

    parts: Parts
    tree: STRtree
    lines: NDArray[np.float64]
    length_m: NDArray[np.float64]
    i: NDArray[np.int64]
    j: NDArray[np.int64]

    def groups(self, count: int) -> list[list[int]]:
        """Return the ``count`` barriers in groups that touch: each in order, the groups by their first."""
        group = list(range(count))
        touch = self.length_m <= MEET_M
        pairs = np.unique(self.parts.owner[self.i[touch]] * count + self.parts.owner[self.j[touch]])
        for pair in pairs.tolist():
            a, b = divmod(pair, count)
            ra, rb = root(group, a), root(group, b)
            group[max(ra, rb)] = min(ra, rb)
        out: dict[int, list[int]] = {}
        for k in range(count):
            out.setdefault(root(group, k), []).append(k)
        return list(out.values())


def root(group: list[int], i: int) -> int:
    """Return the first of the group that ``i`` is in, where ``group`` leads each towards it."""
    while group[i] != i:
        group[i] = group[group[i]]
        i = group[i]
    return i


def convex_parts(found: Sequence[Barrier]) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
    """Return the convex pieces of all barriers and, for each, the index of its barrier."""
    parts = _PAIRS.parts([b.shape for b in found])
    return parts.pieces, parts.owner


def near(found: Sequence[Barrier], up_to_m: float) -> Near:
    """Return the pieces of ``found`` barriers and every line between two of them up to ``up_to_m`` long [m]."""
    parts = _PAIRS.parts([b.shape for b in found])
    tree = STRtree(parts.pieces)
    west, south, east, north = shapely.bounds(parts.pieces).reshape(-1, 4).T
    pairs = tree.query(shapely.box(west - up_to_m, south - up_to_m, east + up_to_m, north + up_to_m))
    pairs = pairs[:, pairs[0] < pairs[1]]
    lines = _PAIRS.lines(parts, pairs)
    length = np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    keep = length <= up_to_m
    return Near(parts, tree, lines[keep], length[keep], *pairs[:, keep])


def links(found: Sequence[Barrier], up_to_m: float) -> Links:
    """Return the links between ``found`` barriers that are shorter than ``up_to_m`` [m]."""
    return links_of(near(found, up_to_m))


def links_of(near: Near) -> Links:
    """Return the links among lines between pieces."""
    keep = near.length_m > MEET_M
    lines, length, i, j = near.lines[keep], near.length_m[keep], near.i[keep], near.j[keep]
    bare = _empty_circle(near.tree, lines, length, i, j)
    lines, length, i, j = lines[bare], length[bare], i[bare], j[bare]
    order = np.lexsort((lines[:, 0, 1], lines[:, 0, 0], np.round(length, 9)))
    first: dict[bytes, int] = {}
    for k, row in enumerate(np.round(lines[order].reshape(-1, 4), 7) + 0.0):
        first.setdefault(row.tobytes(), k)
    order = order[list(first.values())]
    owner = near.parts.owner
    return Links(lines[order], length[order], owner[i[order]], owner[j[order]])


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
