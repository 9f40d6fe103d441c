"""Parts of the plan that could be turned over like a page: what hangs on the rest by two stakes, or by one line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quincunx.survey._gauge import Gauge
from quincunx.survey._model import Row
from quincunx.survey._normal import Array

Joined = NDArray[np.float32]


class Leaf(NamedTuple):
    """The stakes ``part`` hang on the rest by ``a`` and ``b`` and by what stands in line with them."""

    a: int
    b: int
    part: tuple[int, ...]


def joined(listed: Sequence[Row], gauge: Gauge) -> Joined:
    """Return 1 where two stakes share a reading (n, n); the held ones are joined to each other."""
    near = np.zeros((gauge.count, gauge.count), dtype=np.float32)
    held = sorted(gauge.fixed) + ([gauge.toward] if gauge.toward is not None else [])
    for group in [*(row.points for row in listed), tuple(held)]:
        near[np.ix_(group, group)] = 1.0
    return near


def leaves(
    near: Joined, xy: Array, alive: Sequence[int], lines: Sequence[tuple[int, int]], wide_m: float
) -> list[Leaf]:
    """Return the parts into which the stakes ``alive`` fall without those within ``wide_m`` of one of the ``lines``.

    A line is a pair of stakes.  Of several lines that part off the same stakes the longest is taken.
    """
    if not lines or len(alive) < 3:
        return []
    at = np.array(alive, dtype=np.int64)
    on = _on_line(xy, np.array(lines), at, wide_m)
    joins = near[np.ix_(at, at)]
    first = np.argmin(on, axis=1)
    reach = np.zeros(on.shape, dtype=np.float32)
    reach[np.arange(len(on)), first] = 1.0
    while True:
        wider = ((reach @ joins > 0.0) & ~on).astype(np.float32)
        if np.array_equal(wider, reach):
            break
        reach = wider
    rest = ~on & (reach == 0.0)
    found: dict[tuple[int, ...], tuple[float, int, int]] = {}
    for k in np.flatnonzero(rest.any(axis=1)).tolist():
        a, b = lines[k]
        span = (round(float(np.hypot(*(xy[b] - xy[a]))), 3), -a, -b)
        for piece in _pieces(joins, ~on[k]):
            part = tuple(int(s) for s in at[piece])
            if part not in found or span > found[part]:
                found[part] = span
    return sorted(Leaf(-a, -b, part) for part, (_, a, b) in found.items())


def _on_line(xy: Array, lines: NDArray[np.int64], at: NDArray[np.int64], wide_m: float) -> NDArray[np.bool_]:
    start, d = xy[lines[:, 0]], xy[lines[:, 1]] - xy[lines[:, 0]]
    u = d / np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-9)[:, None]
    off = np.abs(u[:, :1] * (xy[at, 1] - start[:, 1:]) - u[:, 1:] * (xy[at, 0] - start[:, :1]))
    on = off < wide_m
    on |= (at == lines[:, :1]) | (at == lines[:, 1:])
    return np.asarray(on)


def _pieces(joins: Joined, left: NDArray[np.bool_]) -> list[NDArray[np.int64]]:
    pieces, left = [], left.copy()
    while left.any():
        piece = np.zeros(len(left), dtype=bool)
        piece[int(np.argmax(left))] = True
        while True:
            # A stake that no reading holds is a piece of its own: it must stay in the one it began.
            wider = ((joins[piece].sum(axis=0) > 0.0) | piece) & left
            if np.array_equal(wider, piece):
                break
            piece = wider
        pieces.append(np.flatnonzero(piece))
        left &= ~piece
    return pieces


def bracing(near: Joined, p: int, q: int, enough: int) -> int:
    """Return by how many ties the stakes ``p`` and ``q`` are held to each other, counted no further than ``enough``.

    No two ties share a reading, and no stake serves more than two of them: a stake that two parts have in common holds
    them at a point, and a point is two ties.  Three ties hold a part, though perhaps in either of two places.
    """
    room: dict[tuple[int, int], int] = {(s, ~s): 2 for s in range(len(near))}  # s is entered, ~s is left
    room |= {(~a, b): 1 for a, b in np.argwhere(near > 0.0).tolist() if a != b and {a, b} != {p, q}}
    leads: dict[int, list[int]] = {}
    for a, b in list(room):
        room.setdefault((b, a), 0)
        leads.setdefault(a, []).append(b)
        leads.setdefault(b, []).append(a)
    return next((count for count in range(enough) if not _one_more(room, leads, ~p, q)), enough)


def _one_more(room: dict[tuple[int, int], int], leads: dict[int, list[int]], start: int, end: int) -> bool:
    """Find room for one more tie from ``start`` to ``end`` and take it (Ford and Fulkerson's way of augmenting)."""
    came, edge = {start: start}, [start]
    while edge and end not in came:
        following = []
        for s in edge:
            for t in leads[s]:
                if t not in came and room[s, t] > 0:
                    came[t] = s
                    following.append(t)
        edge = following
    if end not in came:
        return False
    at = end
    while at != start:
        before = came[at]
        room[before, at] -= 1
        room[at, before] += 1
        at = before
    return True


def turned_over(xy: Array, leaf: Leaf) -> Array:
    """Return the places (n, 2) with the stakes of a leaf mirrored in its line."""
    d = xy[leaf.b] - xy[leaf.a]
    u = d / max(float(np.hypot(*d)), 1e-9)
    image, at = xy.copy(), list(leaf.part)
    q = xy[at] - xy[leaf.a]
    image[at] = xy[leaf.a] + 2.0 * np.outer(q @ u, u) - q
    return image


def reframed(image: Array, xy: Array, gauge: Gauge) -> Array:
    """Bring an image that moved the held stakes back: the datum to its place, the held direction onto its line."""
    if len(gauge.fixed) != 1 or gauge.toward is None:
        return image
    datum = next(iter(gauge.fixed))
    q, d = image - image[datum], image[gauge.toward] - image[datum]
    size = max(float(np.hypot(*d)), 1e-9)
    (s, c), (u, v) = d / size, gauge.direction
    sine, cosine = s * v - c * u, s * u + c * v  # turns d onto the held direction
    return np.asarray(
        xy[datum] + np.stack([q[:, 0] * cosine - q[:, 1] * sine, q[:, 0] * sine + q[:, 1] * cosine], axis=1)
    )
