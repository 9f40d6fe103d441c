"""The convex pieces of all shapes met so far, and the shortest line between any two of them that was asked for.

Most things stand where they stood in other years and for other walkers, so that most lines are asked for again.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from threading import RLock

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from quincunx.walk._arrivals import Rings

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HOLE_M = 2.5
"""A hole in a barrier narrower than this is as good as filled [m]."""
MOST = 2048
"""With more pieces than this kept, all are let go before the next question."""
MOST_SHAPES = 16_384
"""The same for shapes found by their identity, of which many are alike."""


@dataclass(frozen=True, slots=True)
class Parts:
    """Convex ``pieces`` (n,) of shapes, a point in the ``middle`` (n, 2) [m] and the shape ``owner`` (n,) of each.

    ``bent`` (n,) are those of shapes in several pieces; ``number`` (n,) is what they are kept as.
    """

    pieces: NDArray[np.object_]
    middle: Floats
    owner: Ints
    bent: NDArray[np.bool_]
    number: Ints
    age: int


class Pairs:
    """Pieces by number, and the lines between them; safe from several threads."""

    def __init__(self) -> None:
        """Begin with nothing."""
        self._lock = RLock()
        self._age = 0
        self.clear()

    def clear(self) -> None:
        """Let all pieces and lines go."""
        with self._lock:
            self._age += 1
            self._known: dict[Polygon, tuple[Ints, bool]] = {}
            self._same: dict[int, tuple[Polygon, tuple[Ints, bool]]] = {}
            self._pieces = np.empty(0, dtype=object)
            self._middle = np.empty((0, 2))
            self._ring, self._first, self._box = np.empty((4096, 2)), np.zeros(512, np.int64), np.empty((512, 4))
            self._row = np.full((256, 256), -1, np.int32)
            self._lines = np.empty((1024, 2, 2))
            self._made = 0

    def parts(self, shapes: Sequence[Polygon]) -> Parts:
        """Return the convex pieces of shapes: those that are one piece first."""
        with self._lock:
            own = self._entries(shapes)
            count = np.array([len(n) for n, _ in own], np.int64)
            number = np.concatenate([np.empty(0, np.int64), *(n for n, _ in own)])
            owner = np.repeat(np.arange(len(own)), count)
            bent = np.array([b for _, b in own], bool)
            order = np.argsort(bent[owner], kind="stable")
            number, owner = number[order], owner[order]
            return Parts(self._pieces[number], self._middle[number], owner, bent[owner], number, self._age)

    def rings(self, *some: Parts) -> tuple[Rings, list[Ints]]:
        """Return the corners of pieces, and the numbers there of each one's among ``some``."""
        with self._lock:
            if all(parts.age == self._age for parts in some):
                return (self._ring, self._first, self._box), [parts.number for parts in some]
        ring, first, box = _rings(np.concatenate([parts.pieces for parts in some]))  # let go meanwhile
        ends = np.cumsum([0, *(len(parts.pieces) for parts in some)]).tolist()
        return (ring, np.append(0, first), box), [np.arange(a, b) for a, b in itertools.pairwise(ends)]

    def lines(self, parts: Parts, near: Ints) -> Floats:
        """Return the shortest line [m] (k, 2, 2) from the first to the second of each pair (2, k) of pieces."""
        with self._lock:
            if parts.age != self._age:  # let go meanwhile
                return _shortest(parts.pieces[near[0]], parts.pieces[near[1]])
            return self._lines_of(parts.number[near[0]], parts.number[near[1]])

    def lines_among(self, old: Parts, more: Parts, near: Ints) -> Floats:
        """Return the same for pairs among old pieces and more of them, the old ones counted first."""
        with self._lock:
            if old.age == more.age == self._age:
                number = np.concatenate([old.number, more.number])
                return self._lines_of(number[near[0]], number[near[1]])
        pieces = np.concatenate([old.pieces, more.pieces])
        return _shortest(pieces[near[0]], pieces[near[1]])

    def _lines_of(self, i: Ints, j: Ints) -> Floats:
        row: NDArray[np.int32] = self._row[i, j]
        new = row < 0
        if new.any():
            row[new] = self._measure(i[new], j[new])
        lines: Floats = self._lines[row]
        return lines

    def _entries(self, shapes: Sequence[Polygon]) -> list[tuple[Ints, bool]]:
        """Return the numbers of each shape's pieces and whether it is bent, found by identity first."""
        strange = [s for s in shapes if id(s) not in self._same]
        if strange and (len(self._pieces) > MOST or len(self._same) > MOST_SHAPES):
            self.clear()
            strange = list(shapes)
        new = [s for s in dict.fromkeys(strange) if s not in self._known]
        if new:
            self._take(new)
        for shape in strange:
            self._same[id(shape)] = (shape, self._known[shape])
        return [self._same[id(s)][1] for s in shapes]

    def _take(self, shapes: list[Polygon]) -> None:
        """Number the convex pieces of new shapes."""
        filled = np.empty(len(shapes), dtype=object)
        filled[:] = [_filled(s) for s in shapes]
        bent = shapely.area(shapely.convex_hull(filled)) - shapely.area(filled) > 1e-9
        first = len(self._pieces)
        pieces: list[Polygon] = []
        for shape, own, is_bent in zip(shapes, filled, bent, strict=True):
            more = _triangles(own) if is_bent else [own]
            self._known[shape] = (np.arange(first + len(pieces), first + len(pieces) + len(more)), bool(is_bent))
            pieces += more
        grown = np.empty(first + len(pieces), dtype=object)
        grown[:first] = self._pieces
        grown[first:] = pieces
        self._pieces = grown
        self._middle = np.concatenate([self._middle, _middle(grown[first:])])
        self._keep_rings(grown[first:], first)
        if len(grown) > len(self._row):
            size = max(len(grown), min(2 * len(self._row), MOST * 5 // 4))
            row = np.full((size, size), -1, np.int32)
            row[: len(self._row), : len(self._row)] = self._row
            self._row = row

    def _keep_rings(self, pieces: NDArray[np.object_], before: int) -> None:
        """Write down the corners of new pieces.

        Where there is no room more is made, in new arrays: whoever reads the old ones at this time finds in them all
        that was there.
        """
        ring, last, box = _rings(pieces)
        start, end = int(self._first[before]), before + len(pieces)
        if start + len(ring) > len(self._ring):
            self._ring = np.concatenate([self._ring[:start], np.empty((start + 2 * len(ring), 2))])
        if end >= len(self._first):
            self._first = np.concatenate([self._first[: before + 1], np.empty(2 * end, np.int64)])
            self._box = np.concatenate([self._box[:before], np.empty((2 * end, 4))])
        self._ring[start : start + len(ring)] = ring
        self._first[before + 1 : end + 1] = start + last
        self._box[before:end] = box

    def _measure(self, i: Ints, j: Ints) -> Ints:
        """Keep the lines between pieces; return their rows."""
        lines = _shortest(self._pieces[i], self._pieces[j])
        end = self._made + len(lines)
        if end > len(self._lines):
            self._lines = np.concatenate([self._lines[: self._made], np.empty((2 * end, 2, 2))])
        rows = np.arange(self._made, end)
        self._lines[rows] = lines
        self._row[i, j] = rows
        self._made = end
        return rows


def _shortest(one: NDArray[np.object_], other: NDArray[np.object_]) -> Floats:
    lines: Floats = shapely.get_coordinates(shapely.shortest_line(one, other)).reshape(-1, 2, 2)
    return lines


def _rings(pieces: NDArray[np.object_]) -> Rings:
    """Return the corners of pieces, how many there are up to and with each piece, and each one's box."""
    edge = shapely.get_exterior_ring(pieces)
    ring, home = shapely.get_coordinates(edge, return_index=True)
    last = np.append(home[1:] != home[:-1], True) if len(home) else np.empty(0, bool)
    corners = ring[~last]  # each ring ends where it begins
    count = np.bincount(home, minlength=len(pieces)) - 1
    return np.ascontiguousarray(corners), np.cumsum(count), shapely.bounds(pieces).reshape(-1, 4)


def _middle(pieces: NDArray[np.object_]) -> Floats:
    middle: Floats = shapely.get_coordinates(shapely.centroid(pieces)).reshape(-1, 2)
    return middle


def _filled(shape: Polygon) -> Polygon:
    """Return a shape without its small holes (the inside of a tree guard), in which nobody asks for widths."""
    if not shape.interiors:
        return shape
    return Polygon(shape.exterior, [h for h in shape.interiors if not _small(h.bounds)])


def _small(bounds: tuple[float, float, float, float]) -> bool:
    return min(bounds[2] - bounds[0], bounds[3] - bounds[1]) < HOLE_M


def _triangles(shape: Polygon) -> list[Polygon]:
    made = shapely.get_parts(shapely.constrained_delaunay_triangles(shape))
    return [p for p in made if isinstance(p, Polygon) and p.area > 1e-9]
