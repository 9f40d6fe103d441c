"""A wing of a net that lies folded over: it is turned about the two stakes it hangs on, and the better way is kept.

A growth that placed a stake by two readings alone may have taken the wrong hand, and all that was hung on it followed.
The readings that then don't fit are the ones that tie the wing back; without them it hangs on two stakes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from quincunx.survey._gauge import Gauge, capped_at, relax_softly
from quincunx.survey._model import Rows, evaluate
from quincunx.survey._normal import Array

ROUNDS = 8
TRIED = 5
"""Folds that are settled in a round: those that fit best as they are turned."""


def unfolded(rows: Rows, xy: Array, cost: float, hinges: Iterable[tuple[int, int]], gauge: Gauge) -> Array:
    """Return places that fit better than ``xy`` (n, 2) if turning a wing over finds any, else ``xy`` itself.

    ``cost`` is the capped sum of squares at ``xy``; ``hinges`` are pairs of stakes on which something was hung.
    """
    pairs = sorted({(min(p), max(p)) for p in hinges})
    for _ in range(ROUNDS):
        turned = [turn_over(xy, a, b, wing) for a, b, wing in _wings(rows, xy, pairs, gauge)]
        rated = sorted(((capped_at(rows, image), n) for n, image in enumerate(turned)), key=lambda t: t)
        tried = [relax_softly(rows, turned[n], gauge) for _, n in rated[:TRIED]]
        best = min(((capped_at(rows, image), n) for n, image in enumerate(tried)), default=(cost, -1))
        if best[1] < 0 or best[0] >= cost - 1e-6:
            break
        cost, xy = best[0], tried[best[1]]
    return xy


def _wings(
    rows: Rows, xy: Array, pairs: Sequence[tuple[int, int]], gauge: Gauge
) -> list[tuple[int, int, tuple[int, ...]]]:
    """Return (hinge, hinge, wing): what hangs on two stakes alone by the readings that fit."""
    alive = {s for s in range(gauge.count) if s not in gauge.idle}
    still = set(gauge.fixed) | ({gauge.toward} if gauge.toward is not None else set())
    fits = np.abs(evaluate(rows, xy)[0]) <= 5.0 * rows.sd
    near: dict[int, set[int]] = {s: set() for s in alive}
    held = [tuple(sorted(still & alive))]
    for group in [*(row.points for row, good in zip(rows.listed, fits, strict=True) if good), *held]:
        for p in group:
            near[p].update(group)
    found = []
    for a, b in pairs:
        if a in alive and b in alive:
            parts = pieces(near, alive - {a, b})
            found += [(a, b, part) for part in parts if len(parts) > 1 and not still & set(part)]
    return found


def pieces(near: dict[int, set[int]], within: set[int]) -> list[tuple[int, ...]]:
    """Return the stakes ``within`` in the pieces that hang together without the others."""
    left, found = set(within), []
    while left:
        todo, piece = [min(left)], set()
        while todo:
            s = todo.pop()
            if s in left:
                left.discard(s)
                piece.add(s)
                todo += sorted(near[s] & left)
        found.append(tuple(sorted(piece)))
    return sorted(found)


def turn_over(xy: Array, a: int, b: int, part: tuple[int, ...]) -> Array:
    """Return places (n, 2) with the stakes of ``part`` mirrored in the line through stakes ``a`` and ``b``."""
    d = xy[b] - xy[a]
    u = d / max(float(np.hypot(*d)), 1e-9)
    image, at = xy.copy(), list(part)
    q = xy[at] - xy[a]
    image[at] = xy[a] + 2.0 * np.outer(q @ u, u) - q
    return image
