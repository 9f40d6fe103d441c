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
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree

from quincunx.walk._arrivals import Rings, circles_met, pairs_near, that_part
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


@dataclass(frozen=True, eq=False)
class Near:
    """Barriers' convex ``parts``, and the shortest lines (k, 2, 2) [m] between pieces ``i`` and ``j`` near each other.

    Lines lead from the barrier in one piece, else from the one found first.  ``before`` is what was near without the
    pieces that came last; its lines come first.  ``known_bare`` (k,) is :attr:`bare` where that is known beforehand.
    """

    parts: Parts
    tree: STRtree
    lines: NDArray[np.float64]
    length_m: NDArray[np.float64]
    i: NDArray[np.int64]
    j: NDArray[np.int64]
    before: Near | None = None
    known_bare: NDArray[np.bool_] | None = None

    @cached_property
    def bare(self) -> NDArray[np.bool_]:
        """Return which lines are links: between pieces apart, with no third piece in the circle on the line."""
        if self.known_bare is not None:
            return self.known_bare
        keep = self.length_m > MEET_M
        if self.before is not None:
            old = len(self.before.length_m)
            keep[:old] = self.before.bare
            last = self.parts.pieces[len(self.before.parts.pieces) :]
            among = keep & (np.arange(len(keep)) < old)
            keep[np.flatnonzero(among)[_met_by(self, among, last)]] = False
            new = keep.copy()
            new[:old] = False
            keep[new] = _empty_circle(self, new)
            return keep
        keep[keep] = _empty_circle(self, keep)
        return keep

    def groups(self, count: int) -> list[list[int]]:
        """Return the ``count`` barriers in groups that touch: each in order, the groups by their first."""
        touch = self.length_m <= MEET_M
        a, b = self.parts.owner[self.i[touch]], self.parts.owner[self.j[touch]]
        first, before = np.arange(count), np.empty(0, np.int64)
        while not np.array_equal(first, before):
            before = first.copy()
            np.minimum.at(first, a, before[b])
            np.minimum.at(first, b, before[a])
            first = first[first]
        out: dict[int, list[int]] = {}
        for k, own in enumerate(first.tolist()):
            out.setdefault(own, []).append(k)
        return list(out.values())


def convex_parts(found: Sequence[Barrier]) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
    """Return the convex pieces of all barriers and, for each, the index of its barrier."""
    parts = _PAIRS.parts([b.shape for b in found])
    return parts.pieces, parts.owner


def near(found: Sequence[Barrier], up_to_m: float) -> Near:
    """Return the pieces of ``found`` barriers and every line between two of them up to ``up_to_m`` long [m]."""
    parts = _PAIRS.parts([b.shape for b in found])
    tree = STRtree(parts.pieces)
    pairs = tree.query(_boxes(parts.pieces, up_to_m))
    return Near(parts, tree, *_lines(parts, pairs[:, pairs[0] < pairs[1]], up_to_m))


def near_with(
    old: Near, order: NDArray[np.int64], more: Sequence[Barrier], place: NDArray[np.int64], up_to_m: float
) -> Near:
    """Return what is near once ``more`` barriers stand as well: the same as :func:`near`, in another order.

    ``order`` and ``place`` number the old and the new barriers among all.
    """
    come = _Come(old.parts, order, more, place, up_to_m)
    parts = _joined(old.parts, come.parts, come.owner)
    lines = come.lines
    length = np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    keep = length <= up_to_m
    return Near(
        parts,
        STRtree(parts.pieces),
        np.concatenate([old.lines, lines[keep]]),
        np.concatenate([old.length_m, length[keep]]),
        np.concatenate([old.i, come.pairs[0, keep]]),
        np.concatenate([old.j, come.pairs[1, keep]]),
        old,
    )


class _Come:
    """The convex pieces that more barriers bring, and what they are near to; arguments as in :func:`near_with`."""

    def __init__(
        self, old: Parts, order: NDArray[np.int64], more: Sequence[Barrier], place: NDArray[np.int64], up_to_m: float
    ) -> None:
        """Find the ``pairs`` (2, k) of pieces near each other, the old ones counted first, and the ``lines`` between them."""
        self.parts = come = _PAIRS.parts([b.shape for b in more])
        owner = order[old.owner], place[come.owner]
        self.rings, (self.known, self.new) = _PAIRS.rings(old, come)
        self.pairs = pairs_near(self.rings, (self.known, owner[0], old.bent), (self.new, owner[1], come.bent), up_to_m)
        self.lines = _PAIRS.lines_among(old, come, self.pairs)
        self.owner = np.concatenate(owner)


def _joined(old: Parts, come: Parts, owner: NDArray[np.int64]) -> Parts:
    return Parts(
        np.concatenate([old.pieces, come.pieces]),
        np.concatenate([old.middle, come.middle]),
        owner,
        np.concatenate([old.bent, come.bent]),
        np.concatenate([old.number, come.number]),
        come.age if come.age == old.age else -1,
    )


@dataclass(frozen=True, slots=True)
class Added:
    """The pieces that have ``come`` to some, and what leads to them: where pieces touch, and links.

    As ``paths`` (k, 4, 2) [m] from the middle of piece ``i`` (k,) along the shortest line, ``length_m`` (k,) long, to the
    middle of piece ``j`` (k,): the ``old`` ones (n) come first, then those that have come (m).  ``owner`` (n + m,) is the
    barrier of each, among all; ``rings`` and ``number`` are what kernels know the new ones by.
    """

    old: int
    come: Parts
    owner: NDArray[np.int64]
    rings: Rings
    number: NDArray[np.int64]
    paths: NDArray[np.float64]
    length_m: NDArray[np.float64]
    i: NDArray[np.int64]
    j: NDArray[np.int64]

    def holding(self, width_m: float) -> Added:
        """Return only the lines that part the ground for a body (:func:`holding`)."""
        hold = (self.length_m <= MEET_M) | (self.length_m < width_m - TIE_M)
        if hold.all():
            return self
        return replace(self, paths=self.paths[hold], length_m=self.length_m[hold], i=self.i[hold], j=self.j[hold])

    def meet(self, middle: NDArray[np.float64], radius: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Return which circles [m] one of the pieces that have come meets."""
        return circles_met(middle, radius, self.rings, self.number)


def added(
    old: Near, order: NDArray[np.int64], more: Sequence[Barrier], place: NDArray[np.int64], up_to_m: float
) -> Added:
    """Return what there is between barriers and ``more`` of them that come, up to ``up_to_m`` long [m].

    The lines are those of :func:`near_with`, whose arguments these are, that touch or are links: without all the others.
    """
    come = _Come(old.parts, order, more, place, up_to_m)
    middle = np.concatenate([old.parts.middle, come.parts.middle])
    number, bounds = np.concatenate([come.known, come.new]), np.array([up_to_m, MEET_M, TIE_M])
    paths, length, (i, j) = that_part(come.rings, number, come.pairs, come.lines, middle, bounds)
    return Added(len(old.parts.pieces), come.parts, come.owner, come.rings, come.new, paths, length, i, j)


def near_without(old: Near, order: NDArray[np.int64]) -> Near:
    """Return what is near once some barriers are gone: ``order`` (n,) renumbers the old ones, -1 for one that is gone.

    The pieces are numbered as by :func:`near`, however the old ones were: those of one ground go by the same numbers for
    every width.  Of the lines only those whose circle a piece met that is gone may have become links.
    """
    parts, owner = old.parts, order[old.parts.owner]
    stays = owner >= 0
    at = np.flatnonzero(stays)
    at = at[np.lexsort((owner[at], parts.bent[at]))]
    number = np.full(len(stays), -1, np.int64)
    number[at] = np.arange(len(at))
    keep = stays[old.i] & stays[old.j]
    left = Parts(parts.pieces[at], parts.middle[at], owner[at], parts.bent[at], parts.number[at], parts.age)
    lines, length = old.lines[keep], old.length_m[keep]
    made = Near(left, STRtree(left.pieces), lines, length, number[old.i[keep]], number[old.j[keep]])
    bare = old.bare[keep]
    again = ~bare & (length > MEET_M)
    again[again] = _met_by(made, again, parts.pieces[~stays])
    bare[again] = _empty_circle(made, again)
    return replace(made, known_bare=bare)


def _boxes(pieces: NDArray[np.object_], wider_m: float) -> NDArray[np.object_]:
    west, south, east, north = shapely.bounds(pieces).reshape(-1, 4).T
    boxes: NDArray[np.object_] = shapely.box(west - wider_m, south - wider_m, east + wider_m, north + wider_m)
    return boxes


def _lines(
    parts: Parts, pairs: NDArray[np.int64], up_to_m: float
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.int64], NDArray[np.int64]]:
    """Return the lines between pairs of pieces and their lengths, up to ``up_to_m`` [m], and the pieces of each."""
    bent, owner, number = parts.bent[pairs], parts.owner[pairs], parts.number[pairs]
    turn = (owner[0] > owner[1]) | ((owner[0] == owner[1]) & (number[0] > number[1]))
    turn = np.where(bent[0] == bent[1], turn, bent[0])
    pairs = np.where(turn, pairs[::-1], pairs)
    lines = _PAIRS.lines(parts, pairs)
    length = np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    keep = length <= up_to_m
    return lines[keep], length[keep], *pairs[:, keep]


def links(found: Sequence[Barrier], up_to_m: float) -> Links:
    """Return the links between ``found`` barriers that are shorter than ``up_to_m`` [m]."""
    return links_of(near(found, up_to_m))


def holding(near: Near, width_m: float) -> NDArray[np.int64]:
    """Return which of the lines between pieces part the ground for a body: where pieces touch, and narrow links."""
    apart = near.length_m > MEET_M
    narrow = near.bare & (near.length_m < width_m - TIE_M)
    return np.flatnonzero(narrow | ~apart)


def links_of(near: Near) -> Links:
    """Return the links among lines between pieces."""
    keep = near.bare
    lines, length, i, j = near.lines[keep], near.length_m[keep], near.i[keep], near.j[keep]
    order = shortest_first(near, np.flatnonzero(keep))
    first: dict[bytes, int] = {}
    for k, row in enumerate(np.round(lines[order].reshape(-1, 4), 7) + 0.0):
        first.setdefault(row.tobytes(), k)
    order = order[list(first.values())]
    owner = near.parts.owner
    return Links(lines[order], length[order], owner[i[order]], owner[j[order]])


def shortest_first(near: Near, which: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return some lines' order from the shortest on, which doesn't hang on how they were found."""
    lines, owner, bent = near.lines[which], near.parts.owner, near.parts.bent
    rank = owner + len(owner) * bent
    length = np.round(near.length_m[which], 9)
    return np.lexsort((rank[near.j[which]], rank[near.i[which]], lines[:, 0, 1], lines[:, 0, 0], length))


def circles(near: Near, keep: NDArray[np.bool_] | NDArray[np.int64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the middles and radii of the circles on the lines to ``keep`` [m]."""
    return near.lines[keep].mean(axis=1), np.maximum(near.length_m[keep] / 2 - TIE_M, 0.0)


def _met_by(near: Near, keep: NDArray[np.bool_], pieces: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Return which of the lines to ``keep`` have one of some pieces in the circle on them."""
    middle, radius = circles(near, keep)
    west, south, east, north = shapely.bounds(pieces).reshape(-1, 4).T
    x, y = middle[:, :1], middle[:, 1:]
    r = radius[:, None]
    who, met = ((x + r >= west) & (x - r <= east) & (y + r >= south) & (y - r <= north)).nonzero()
    out = np.zeros(len(radius), bool)
    if len(who):
        out[who[shapely.dwithin(shapely.points(middle[who]), pieces[met], radius[who])]] = True
    return out


def _empty_circle(near: Near, keep: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which of the lines to ``keep`` have no third piece inside the circle on them as diameter."""
    middle, radius = circles(near, keep)
    bare = np.ones(len(radius), bool)
    if not len(radius):
        return bare
    (x, y), i, j = middle.T, near.i[keep], near.j[keep]
    who, met = near.tree.query(shapely.box(x - radius, y - radius, x + radius, y + radius))
    third = (met != i[who]) & (met != j[who])
    who, met = who[third], met[third]
    hit = shapely.dwithin(shapely.points(middle)[who], near.parts.pieces[met], radius[who])
    bare[who[hit]] = False
    return bare


_PAIRS = Pairs()


def forget() -> None:
    """Let go all pieces and lines kept."""
    _PAIRS.clear()
