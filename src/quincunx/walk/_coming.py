"""How ground is parted once a few barriers have come, told from how it is parted without them.

Where barriers touch each other or the edge of the world, they do so whatever else comes; links may be links no more, as
what has come stands between.  So the closed lines of what touches part points as they did, and the others are those of a
small net: its nodes are the parts of the net that hang together by touching, and the pieces that come; its lines are the
links that are left, and those to what comes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import kernel
from quincunx.shapes import XY
from quincunx.walk._parting import (
    Flags,
    Floats,
    Ints,
    Net,
    Parting,
    Rim,
    closed_lines,
    crosses,
    grow,
    loops_round,
    made_fast,
    out_of_world,
)
from quincunx.walk.links import MEET_M, Added, Near, circles

MOST_TOLD = 200
"""Of so many points is remembered how a ground parts them."""
Told = tuple[bytes, Flags, Flags]
"""What is known of a point: which closed lines of what touches go round it, the sums to all nodes, and for each link
whether with the way there from both its ends it is crossed oddly often."""


class Firm:
    """How a ground is parted, so that more may come: by what touches, and by ``links``."""

    def __init__(self, near: Near, hold: Ints, net: Net) -> None:
        """Take a ground's ``net``, made of the lines ``hold`` among those ``near`` each other."""
        link = net.leave_m > MEET_M
        self.links = net.paths[link]
        self.start, self.end = net.start[link], net.end[link]
        self._line = net.line[link]
        self._middle, self._radius = circles(near, hold)
        at = ~link
        self._touch = Net(net.paths[at], net.start[at], net.end[at], net.nodes, net.leave_m[at], net.line[at])
        touching = Parting(self._touch, quick=True)
        self._tree, self.parts = touching.grown, touching.parts
        self._told: dict[XY, Told] = {}
        self.nodes = net.nodes

    def left(self, more: Added) -> Ints:
        """Return which links are left once some pieces have come."""
        return np.flatnonzero(~more.meet(self._middle, self._radius)[self._line])

    def known(self, points: Sequence[XY]) -> tuple[list[bytes], Flags, Flags]:
        """Return what is known of points (:data:`Told`): marks, sums (p, nodes) and links (p, links)."""
        told = self._told
        new = [p for p in dict.fromkeys(points) if p not in told]
        if len(told) + len(new) > MOST_TOLD:
            told = self._told = {}
            new = list(dict.fromkeys(points))
        if new:
            told.update(zip(new, self._look(np.asarray(new, np.float64)), strict=True))
        found = [told[p] for p in points]
        sums, links = (np.array([one[k] for one in found], np.bool_).reshape(len(found), -1) for k in (1, 2))
        return [mark for mark, _, _ in found], sums, links

    def _look(self, at: Floats) -> Iterator[Told]:
        """Yield what is found out about points (p, 2) [m]."""
        sums, own = np.empty((len(at), self.nodes), np.bool_), self._touch
        rows = loops_round(at, own.paths, own.start, own.end, self._tree, sums)
        odd = crossed_over(at, self.links, self.start, self.end, sums)
        yield from zip((row.tobytes() for row in rows), sums, odd, strict=True)


class Coming:
    """How a ground is parted with what has come."""

    def __init__(self, firm: Firm, rim: Rim, more: Added) -> None:
        """Take how a ground inside ``rim`` is parted without it, and the lines to what comes."""
        nodes, old, k = firm.nodes, more.old, len(more.i)
        come = more.come.pieces
        piece, part = rim.tree.query(come, predicate="intersects")
        by, over, leaving = out_of_world(rim, more.paths[:, 1:3], more.paths[:, 0])
        ends = np.concatenate([more.i, more.j, piece + old, more.i[by]])
        ends = np.where(ends < old, ends, ends - old + nodes)  # the nodes at the edge of the world come between
        self._firm = firm
        self._left = firm.left(more)
        self._paths = np.concatenate([
            more.paths,
            made_fast(rim, part, come[piece], more.come.middle[piece]),
            leaving,
        ])  # fmt: skip
        self._start = np.concatenate([ends[:k], ends[2 * k :]])
        self._end = np.concatenate([ends[k : 2 * k], part + old, over + old])
        count = int(firm.parts.max(initial=-1)) + 1
        home = np.concatenate([firm.parts, np.arange(count, count + len(come))])
        self._first = home[np.concatenate([firm.start[self._left], self._start])]
        self._last = home[np.concatenate([firm.end[self._left], self._end])]
        self._tree = grow(self._first, self._last, count + len(come))

    def round(self, points: Sequence[XY]) -> Iterator[bytes]:
        """Yield, for each point, which closed lines go round it: equal for points of one piece."""
        marks, sums, links = self._firm.known(points)
        at = np.asarray(points, np.float64).reshape(-1, 2)
        new = crossed_over(at, self._paths, self._start, self._end, sums)
        odd = np.concatenate([links[:, self._left], new], axis=1)
        rows = closed_round(odd, self._first, self._last, self._tree)
        for mark, row in zip(marks, rows, strict=True):
            yield mark + row.tobytes()


@kernel("float64[:,::1], float64[:,:,::1], int64[::1], int64[::1], boolean[:,::1]")
def crossed_over(points: Floats, paths: Floats, start: Ints, end: Ints, known: Flags) -> Flags:
    """Return whether each point's ray crosses a path and the ways to its two nodes oddly often, together (p, e).

    ``known`` (p, n) says so of the way to each node; those after the last of them have none.
    """
    out = np.zeros((len(points), len(paths)), np.bool_)
    old = known.shape[1]
    for p in range(len(points)):
        for e in range(len(paths)):
            is_odd = crosses(paths[e], points[p, 0], points[p, 1])
            if start[e] < old and known[p, start[e]]:
                is_odd = not is_odd
            if end[e] < old and known[p, end[e]]:
                is_odd = not is_odd
            out[p, e] = is_odd
    return out


@kernel("boolean[:,::1], int64[::1], int64[::1], int64[:,::1]")
def closed_round(odd: Flags, start: Ints, end: Ints, grown: Ints) -> NDArray[np.uint8]:
    """Return, for each point, which closed lines of a net go round it, eight to a number (p, e / 8).

    ``odd`` (p, e) says whether its ray crosses each line of the net oddly often, ``grown`` is the net's tree.
    """
    count, nodes = odd.shape[1], 0
    for e in range(count):
        nodes = max(nodes, start[e] + 1, end[e] + 1)
    out = np.zeros((len(odd), count // 8 + 1), np.uint8)
    sums = np.empty(nodes, np.bool_)
    for p in range(len(odd)):
        closed_lines(odd[p], start, end, grown, sums, out[p])
    return out
