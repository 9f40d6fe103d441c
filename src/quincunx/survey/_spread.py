"""Start values for many stakes at once: what is taped bounds how far apart all others are, and one spreads them so.

The way along the tapes from one stake to another is never shorter than the straight line between them, and in a net of
many short tapes not much longer; classical scaling turns such lengths into places, and a few rounds of majorization
let the tapes themselves count most.  Nothing is placed one after another, so no early wrong hand is built upon.
References: W. Torgerson, Multidimensional scaling: I, Psychometrika 17, 1952; J. de Leeuw, Convergence of the
majorization method for multidimensional scaling, Journal of Classification 5, 1988 (both from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from quincunx.survey._model import ACROSS, ALONG, DIST, Row
from quincunx.survey._normal import Array

WAYS = ((30, 0.05), (10, 0.2), (80, 0.02), (120, 0.005))
"""Rounds, and the weight of a length that is only the way along the tapes beside a taped one: what is tried in turn."""


def spread_out(rows: Sequence[Row], count: int, rounds: int, guessed: float) -> Array | None:
    """Return places (count, 2) [m], turned anyhow and on either hand, or None if tapes don't join all the stakes.

    ``rounds`` of majorization follow the first scaling; ``guessed`` is the weight of a length that isn't taped.
    """
    far, known = _ways(rows, count)
    if count < 3 or not np.isfinite(far).all():
        return None
    xy = _scaled(far)
    weight = np.where(known, 1.0, guessed) / np.maximum(far, 0.5) ** 2
    np.fill_diagonal(weight, 0.0)
    laplace = np.diag(weight.sum(axis=1)) - weight
    back = np.linalg.inv(laplace + 1.0 / count) - 1.0 / count
    for _ in range(rounds):
        apart = np.hypot(*(xy[:, None] - xy[None]).transpose(2, 0, 1))
        pull = -weight * far / np.maximum(apart, 1e-6)
        np.fill_diagonal(pull, 0.0)
        np.fill_diagonal(pull, -pull.sum(axis=1))
        xy = back @ (pull @ xy)
    return np.asarray(xy)


def _ways(rows: Sequence[Row], count: int) -> tuple[Array, NDArray[np.bool_]]:
    """Return the shortest ways along the tapes (count, count) [m], and which pairs are taped."""
    far = np.full((count, count), np.inf)
    np.fill_diagonal(far, 0.0)
    for a, b, length in _lengths(rows):
        far[a, b] = far[b, a] = min(float(far[a, b]), length)
    known = np.isfinite(far)
    for k in range(count):
        far = np.minimum(far, far[:, k : k + 1] + far[k : k + 1])
    return far, known


def _lengths(rows: Sequence[Row]) -> Iterator[tuple[int, int, float]]:
    along: dict[str, float] = {}
    for row in rows:
        if row.kind == DIST:
            yield row.points[0], row.points[1], row.value
        elif row.kind == ALONG:
            along[row.reading] = row.value
        elif row.kind == ACROSS and row.reading in along:
            yield row.points[0], row.points[2], math.hypot(along[row.reading], row.value)


def _scaled(far: Array) -> Array:
    middle = np.eye(len(far)) - 1.0 / len(far)
    values, vectors = np.linalg.eigh(-0.5 * middle @ (far * far) @ middle)
    return np.asarray(vectors[:, -2:] * np.sqrt(np.maximum(values[-2:], 1e-9)))
