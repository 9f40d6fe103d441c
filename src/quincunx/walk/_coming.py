"""How ground is parted once a few barriers have come, told from how it is parted without them.

What has come closes lines only where it leads from one part of the net there was to another part, or back to the same
one.  So the old closed lines part points as they did, and of the new ones there are as many as the lines that come are
more than it takes to join what they meet: the parts of the old net, each taken as one node, and the pieces that come.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import kernel
from quincunx.shapes import XY
from quincunx.walk._parting import Flags, Floats, Ints, Parting, Rim, grow, made_fast, out_of_world
from quincunx.walk.links import Added


class Coming:
    """The net of a ground with what has come, for telling points apart."""

    def __init__(self, rest: Parting, rim: Rim, more: Added) -> None:
        """Hold what comes to the net ``rest`` of a ground inside ``rim``."""
        nodes, old = rest.net.nodes, len(more.middle) - len(more.pieces)
        piece, part = rim.tree.query(more.pieces, predicate="intersects")
        by, over, leaving = out_of_world(rim, more.lines, more.middle[more.i])
        ends = np.concatenate([more.i, more.j, piece + old, more.i[by]])
        ends = np.where(ends < old, ends, ends - old + nodes)  # in the old net the edge of the world comes after the pieces
        k = len(more.i)
        self._rest = rest
        self._paths = np.concatenate([
            np.stack([more.middle[more.i], more.lines[:, 0], more.lines[:, 1], more.middle[more.j]], 1),
            made_fast(rim, part, more.pieces[piece], more.middle[old + piece]),
            leaving,
        ])  # fmt: skip
        self._start = np.concatenate([ends[:k], ends[2 * k :]])
        self._end = np.concatenate([ends[k : 2 * k], part + old, over + old])
        count = int(rest.parts.max(initial=-1)) + 1
        home = np.concatenate([rest.parts, np.arange(count, count + len(more.pieces))])
        self._grown = grow(home[self._start], home[self._end], count + len(more.pieces))
        self._home = home
        self._closes = bool((self._grown[:, 0] < 0).any())

    def round(self, points: Sequence[XY]) -> Iterator[bytes]:
        """Yield, for each point, which closed lines go round it: equal for points of one piece."""
        marks, sums = self._rest.known(points)
        if not self._closes:
            yield from marks
            return
        at = np.asarray(points, np.float64).reshape(-1, 2)
        rows = loops_over(at, self._paths, self._start, self._end, self._grown, sums, self._home)
        for mark, row in zip(marks, rows, strict=True):
            yield mark + row.tobytes()


@kernel("float64[:,::1], float64[:,:,::1], int64[::1], int64[::1], int64[:,::1], boolean[:,::1], int64[::1]")
def loops_over(
    points: Floats, paths: Floats, start: Ints, end: Ints, grown: Ints, known: Flags, home: Ints
) -> NDArray[np.uint8]:
    """Return, for each point [m], which closed lines over some paths go round it, eight to a number (p, e / 8).

    ``start`` and ``end`` are nodes; for those of the old net ``known`` (p, n) says whether a point's ray crosses the
    lines to it from the root of its part oddly often.  ``home`` is the part of each node, ``grown`` a tree of the parts.
    """
    count, old, parts = len(paths), known.shape[1], 0
    for n in range(len(home)):
        parts = max(parts, home[n] + 1)
    out = np.zeros((len(points), count // 8 + 1), np.uint8)
    odd, sums = np.empty(count, np.bool_), np.empty(parts, np.bool_)
    for p in range(len(points)):
        x, y = points[p, 0], points[p, 1]
        for e in range(count):
            is_odd = False
            for k in range(3):
                ax, ay, bx, by = paths[e, k, 0], paths[e, k, 1], paths[e, k + 1, 0], paths[e, k + 1, 1]
                if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
                    is_odd = not is_odd
            if start[e] < old and known[p, start[e]]:
                is_odd = not is_odd
            if end[e] < old and known[p, end[e]]:
                is_odd = not is_odd
            odd[e] = is_odd
        sums[:] = False
        for row in range(count):
            node, other, line = grown[row, 0], grown[row, 1], grown[row, 2]
            if node >= 0:
                sums[other] = sums[node] != odd[line]
            elif odd[line] != (sums[home[start[line]]] != sums[home[end[line]]]):
                out[p, row // 8] |= np.uint8(1 << (row % 8))
    return out
