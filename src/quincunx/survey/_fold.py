"""Folds: a part of the plan that lies on the wrong hand, told by the few readings that reach across to it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from quincunx.survey._gauge import Gauge, capped_at, relax_softly
from quincunx.survey._hinges import Joined, Leaf, joined, leaves, reframed, turned_over
from quincunx.survey._model import Rows, evaluate
from quincunx.survey._normal import Array

_FAR = 5.0
"""Beyond so many standard deviations a reading may say that something is folded."""
_ROUNDS, _TRIED = 4, 4
_WIDE_M = 0.3
"""What stands no further than this from a fold lies on either hand."""


def unfolded(rows: Rows, xy: Array, gauge: Gauge) -> Array:
    """Return places (n, 2) that fit better with parts turned over, or ``xy`` itself.

    Only parts that nothing but readings far out ties to the rest, beyond a line of stakes, are turned.
    """
    cost = capped_at(rows, xy)
    for _ in range(_ROUNDS):
        flips = sorted(((capped_at(rows, flip), k, flip) for k, flip in enumerate(_flips(rows, xy, gauge))))
        tried = [relax_softly(rows, flip, gauge) for _, _, flip in flips[:_TRIED]]
        best = min(tried, key=lambda trial: capped_at(rows, trial), default=xy)
        lower = capped_at(rows, best)
        if lower > cost - 6.0:
            break
        xy, cost = best, lower
    return xy


def _flips(rows: Rows, xy: Array, gauge: Gauge) -> Iterator[Array]:
    far = np.abs(evaluate(rows, xy)[0]) > _FAR * rows.sd
    listed = list(zip(rows.listed, far.tolist(), strict=True))
    near = joined([row for row, out in listed if not out], gauge)
    alive = [s for s in range(gauge.count) if s not in gauge.idle]
    across = [(row.points[0], row.points[-1]) for row, out in listed if out]
    lines = sorted({line for p, q in across for line in _lines_between(near, alive, p, q)})
    for leaf in leaves(near, xy, alive, lines, _WIDE_M):
        if any((p in leaf.part) != (q in leaf.part) for p, q in across) and _may_turn(leaf, gauge):
            yield reframed(turned_over(xy, leaf), xy, gauge)


def _may_turn(leaf: Leaf, gauge: Gauge) -> bool:
    held = len(set(leaf.part) & set(gauge.fixed))
    return not held or (len(gauge.fixed) == 1 and gauge.toward is not None)


def _lines_between(near: Joined, alive: list[int], p: int, q: int) -> Iterator[tuple[int, int]]:
    """Yield the lines that could part ``p`` from ``q``: one of their stakes is on any way from one to the other."""
    for a in _way(near, p, q)[1:-1]:
        for b in alive:
            if b not in (a, p, q):
                yield min(a, b), max(a, b)


def _way(near: Joined, p: int, q: int) -> list[int]:
    """Return a shortest way from ``p`` to ``q`` along the readings, or nothing."""
    came: dict[int, int] = {p: p}
    edge = [p]
    while edge and q not in came:
        following = []
        for s in edge:
            for t in np.flatnonzero(near[s]).tolist():
                if t not in came:
                    came[t] = s
                    following.append(t)
        edge = following
    way = [q] if q in came else []
    while way and way[-1] != p:
        way.append(came[way[-1]])
    return way[::-1]
