"""What to measure next: the one tape that shrinks the least sure place most."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from quincunx.survey._model import DIST
from quincunx.survey._normal import Array
from quincunx.survey.accuracy import HANDLING, Handling, tape_sd_m
from quincunx.survey.network import CONFIDENCE_95, Adjusted


@dataclass(frozen=True, slots=True)
class NextTape:
    """Tape ``start`` to ``end`` (about ``length_m``): the least sure stake goes from ``before_m`` to ``after_m``.

    Both are 95 in 100 half axes [m]; ``stake`` is the one that was least sure before.
    """

    start: str
    end: str
    length_m: float
    stake: str
    before_m: float
    after_m: float


def next_tapes(
    adjusted: Adjusted, *, longest_m: float = 30.0, count: int = 3, handling: Handling = HANDLING
) -> tuple[NextTape, ...]:
    """Return the best untaped pairs, best first; none longer than ``longest_m`` [m].

    Each candidate is tried by a rank-one update of the cofactors: Q - Q a a' Q / (s2 + a' Q a).
    """
    pairs = _candidates(adjusted, longest_m)
    if not pairs or not adjusted.positions:
        return ()
    net, q = adjusted.net, adjusted.cofactor
    xy, ids = net.xy, net.ids
    a, b = (np.array([p[k] for p in pairs]) for k in (0, 1))
    d = xy[b] - xy[a]
    length = np.hypot(d[:, 0], d[:, 1])
    unit = d / length[:, None]
    qa = sum(
        sign * q[:, 2 * end + k] * unit[None, :, k] for end, sign in ((b, 1.0), (a, -1.0)) for k in (0, 1)
    )  # Q a for all candidates, (2 n, c)
    at = np.arange(len(pairs))
    own = sum(sign * qa[2 * end + k, at] * unit[:, k] for end, sign in ((b, 1.0), (a, -1.0)) for k in (0, 1))
    sd2 = np.array([tape_sd_m(float(v), None, handling) ** 2 for v in length])
    here = [s for s in range(len(ids)) if ids[s] in adjusted.positions]
    after = _axes(q, np.asarray(qa), sd2 + np.asarray(own), here)
    now = np.array([adjusted.positions[ids[s]].sure_m for s in here])
    worst = int(now.argmax())
    largest = after.max(axis=0)
    order = np.lexsort((at, np.round(after[worst], 6), np.round(largest, 6)))
    return tuple(
        NextTape(
            ids[pairs[i][0]],
            ids[pairs[i][1]],
            float(length[i]),
            ids[here[worst]],
            float(now[worst]),
            float(after[worst, i]),
        )
        for i in order[:count].tolist()
        if after[worst, i] < now[worst] * 0.999 or largest[i] < now.max() * 0.999
    )


def _candidates(adjusted: Adjusted, longest_m: float) -> list[tuple[int, int]]:
    net = adjusted.net
    taped = {frozenset(row.points) for row in net.rows.listed if row.kind == DIST}
    here = [s for s in range(len(net.ids)) if net.ids[s] in adjusted.positions]
    return [
        (s, t)
        for i, s in enumerate(here)
        for t in here[i + 1 :]
        if frozenset((s, t)) not in taped and 0.3 < math.dist(net.xy[s], net.xy[t]) <= longest_m
    ]


def _axes(q: Array, qa: Array, below: Array, here: list[int]) -> Array:
    """Return the 95 in 100 half axis of each stake (rows) after each candidate (columns)."""
    x, y = np.array([2 * s for s in here]), np.array([2 * s + 1 for s in here])
    xx = q[x, x][:, None] - qa[x] ** 2 / below
    yy = q[y, y][:, None] - qa[y] ** 2 / below
    xy = q[x, y][:, None] - qa[x] * qa[y] / below
    return np.asarray(CONFIDENCE_95 * np.sqrt(np.maximum((xx + yy) / 2 + np.hypot((yy - xx) / 2, xy), 0.0)))
