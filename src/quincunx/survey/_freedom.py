"""What the readings leave free: stakes that can still swing, and the tapes that would stop them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from quincunx.survey._gauge import normals
from quincunx.survey._net import Net
from quincunx.survey._normal import Array, NotDetermined, inverse

FREE_SD_M = 30.0
"""A direction in which the readings fix nothing better than this [m] counts as free."""


@dataclass(frozen=True, slots=True)
class Swing:
    """``stake`` can still move; any one of the tapes (from, to) in ``tapes`` stops it.

    ``untied`` stakes hang on nothing: they need all the tapes named.
    """

    stake: str
    tapes: tuple[tuple[str, str], ...]
    untied: bool = False


def swings_of(net: Net) -> tuple[frozenset[int], Array | None, tuple[Swing, ...]]:
    """Return the numbers of free stakes, the cofactors if nothing is free, and the swings in plain terms."""
    untied = _untied(net)
    if not net.gauge.columns.size:
        return frozenset(), np.zeros((0, 0)), untied
    normal = normals(net.rows, net.xy, net.gauge)[2]
    try:
        cofactor = inverse(normal)
        if float(np.diag(cofactor).max()) < FREE_SD_M**2:
            return frozenset(), cofactor, untied
    except NotDetermined:
        pass
    values, vectors = np.linalg.eigh(normal)
    null = vectors[:, values < max(1.0 / FREE_SD_M**2, 1e-12 * float(values.max()))]
    if not null.shape[1]:
        return frozenset(), inverse(normal), untied
    moves = net.gauge.spread(null).reshape(net.gauge.count, 2, -1)
    size = np.sqrt((moves**2).sum(axis=(1, 2)))
    free = frozenset(int(s) for s in np.flatnonzero(size > 1e-4))
    return free, None, (*_stops(net, moves, free), *untied)


def _stops(net: Net, moves: Array, free: frozenset[int]) -> list[Swing]:
    """Name, for each free direction, the stake that moves most and the tapes that stop it."""
    swings: list[Swing] = []
    here = [s for s in range(net.gauge.count) if s not in net.gauge.idle]
    for _ in range(moves.shape[2]):
        gains = sorted(
            (-round(_gain(net, moves, a, b), 6), a, b)
            for a in sorted(free)
            for b in here
            if a != b and not (b in free and b < a)
        )
        if not gains or gains[0][0] > -1e-6:
            break
        stake = gains[0][1]
        best = [(net.ids[stake], net.ids[b]) for g, a, b in gains if a == stake and g < 0.5 * gains[0][0]][:2]
        swings.append(Swing(net.ids[stake], tuple(best)))
        moves = _stopped(net, moves, stake, gains[0][2])
        free = frozenset(s for s in free if float((moves[s] ** 2).sum()) > 1e-8)
    return swings


def _pull(net: Net, moves: Array, a: int, b: int) -> Array:
    d = net.xy[b] - net.xy[a]
    u = d / max(float(np.hypot(*d)), 1e-9)
    return np.asarray(u @ (moves[b] - moves[a]))


def _gain(net: Net, moves: Array, a: int, b: int) -> float:
    return float((_pull(net, moves, a, b) ** 2).sum())


def _stopped(net: Net, moves: Array, a: int, b: int) -> Array:
    pull = _pull(net, moves, a, b)
    pull = pull / np.linalg.norm(pull)
    return np.asarray(moves - (moves @ pull)[..., None] * pull)


def _untied(net: Net) -> tuple[Swing, ...]:
    placed = [s for s in range(len(net.ids)) if s not in net.untied]
    out = []
    for stake in sorted(net.untied):
        pair = max(
            ((a, b) for i, a in enumerate(placed) for b in placed[i + 1 :]),
            key=lambda p: (round(math.dist(net.xy[p[0]], net.xy[p[1]]), 3), -p[0], -p[1]),
            default=(),
        )
        out.append(Swing(net.ids[stake], tuple((net.ids[stake], net.ids[s]) for s in pair), untied=True))
    return tuple(out)
