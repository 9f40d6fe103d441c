"""The line that parts two places at last, as lines are shut from the narrowest on: the narrowest place of the widest way.

Two points stay in one piece until a closed line of the net goes round one of them and not the other.  The lines that
are shut grow a forest; each that joins two nodes of one tree closes a line, whose points are told by what lies between
either node and the root (as in :mod:`quincunx.walk._parting`).  Only where points lie is asked, so that no piece of
ground need be drawn.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import at_work, helper, kernel
from quincunx.shapes import XY
from quincunx.walk._parting import AT_ONCE, Net, closes, crossed, part

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def parted_by(net: Net, order: Ints, one: Sequence[XY], other: Sequence[XY], *, quick: bool = False) -> int:
    """Return the line of ``net`` that parts all points of ``one`` from all of ``other`` [m]; -1 where none does.

    Lines are shut in ``order`` (e,).  ``quick`` asks a kernel, where that is at work.
    """
    at = np.array([*one, *other], np.float64).reshape(-1, 2)
    if quick or at_work(last_line):
        k = last_line(at, len(one), net.paths[order], net.start[order], net.end[order], net.nodes)
    else:
        k = _last(at, len(one), net.paths[order], net.start[order].tolist(), net.end[order].tolist(), net.nodes)
    return -1 if k < 0 else int(order[k])


def _last(points: Floats, ones: int, paths: Floats, start: list[int], end: list[int], nodes: int) -> int:
    """Return the same as :func:`last_line`, with the points as the bits of whole numbers."""
    inside = [0] * len(start)
    for k in range(0, len(points), AT_ONCE):
        inside = [a | (b << k) for a, b in zip(inside, crossed(paths, points[k : k + AT_ONCE]).tolist(), strict=True)]
    mine = (1 << ones) - 1
    yours = ((1 << len(points)) - 1) ^ mine
    groups, parent, sums = [mine | yours], list(range(nodes)), [0] * nodes
    for e, bits in enumerate(inside):
        a, over_a = _to_root(start[e], parent, sums)
        b, over_b = _to_root(end[e], parent, sums)
        own = bits ^ over_a ^ over_b
        if a != b:
            parent[a], sums[a] = b, own
            continue
        if own:
            groups = [g for whole in groups for g in (whole & own, whole & ~own) if g & mine and g & yours]
            if not groups:
                return e
    return -1


def _to_root(node: int, parent: list[int], sums: list[int]) -> tuple[int, int]:
    """Return the root above a node and which points the lines up to it go round; shortens the way."""
    up, over = [], 0
    while parent[node] != node:
        up.append(node)
        over ^= sums[node]
        node = parent[node]
    rest = over
    for low in up:
        own = sums[low]
        parent[low], sums[low] = node, rest
        rest ^= own
    return node, over


@helper
def hang_together(group: Ints, ones: int) -> bool:
    """Return whether one of the first ``ones`` points is in a group with one of the others."""
    for p in range(ones):
        for q in range(ones, len(group)):
            if group[p] == group[q]:
                return True
    return False


@kernel("float64[:,::1], int64, float64[:,:,::1], int64[::1], int64[::1], int64")
def last_line(points: Floats, ones: int, paths: Floats, start: Ints, end: Ints, nodes: int) -> int:
    """Return the first of ``paths`` (e, 4, 2) with which no point of the first ``ones`` hangs together with another.

    ``points`` (p, 2) [m]; -1 where some still do in the end.
    """
    n, groups = len(points), 1
    group, apart = np.zeros(n, np.int64), np.empty((n, n))
    parent, sums = np.arange(nodes), np.zeros((nodes, n), np.bool_)
    loop, over = np.empty(n, np.bool_), np.empty(n, np.bool_)
    for e in range(len(paths)):
        if closes(paths[e], points, start[e], end[e], parent, sums, loop, over):
            whole = groups
            groups = part(loop, 0.0, group, groups, apart)
            if groups > whole and not hang_together(group, ones):
                return e
    return -1
