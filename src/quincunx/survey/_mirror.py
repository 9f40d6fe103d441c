"""Mirror images: parts of the plan that could lie on either hand, asked and not guessed."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from quincunx.survey._gauge import Gauge, chi2_at, relax
from quincunx.survey._model import DIST, Rows
from quincunx.survey._net import Net, wrong_sides
from quincunx.survey._normal import Array

_AS_GOOD = 12.0
"""A mirror image whose chi-square is no more than this above the best is as good: e^6 to 1 would decide."""
_APART_M = 0.10
"""Images nearer than this [m] need no question."""


@dataclass(frozen=True, slots=True)
class MirrorQuestion:
    """Standing at ``start`` and looking at ``end``: is ``point`` on the left or the right?

    ``drawn`` is the hand on which it is drawn until answered; ``moves`` are all stakes that change hands with it.
    The answer is stored as a :class:`~quincunx.survey.readings.Seen` reading.
    """

    start: str
    end: str
    point: str
    drawn: str
    moves: tuple[str, ...]


def mirrors(net: Net, rows: Rows, gauge: Gauge) -> tuple[Net, tuple[MirrorQuestion, ...]]:
    """Try the mirror image of each part that hangs on two points only, or nearly so.

    Returns the net with each part on its likelier hand, and a question where both are as good.
    """
    questions: list[MirrorQuestion] = []
    for (a, b), part in _parts(net, rows, gauge):
        image = _reframed(_image(net.xy, a, b, part), net.xy, gauge)
        settled, chi2 = relax(rows, image, gauge, steps=25)
        if not _swapped(net.xy, settled, a, b, part):
            continue
        wrong = wrong_sides(net.sides, settled) - wrong_sides(net.sides, net.xy)
        base = chi2_at(rows, net.xy)
        if wrong < 0 or (wrong == 0 and chi2 < base - _AS_GOOD):
            net = replace(net, xy=settled, chi2=chi2)
        elif wrong == 0 and chi2 < base + _AS_GOOD:
            questions.append(_question(net, a, b, part))
    return net, tuple(questions)


def _parts(net: Net, rows: Rows, gauge: Gauge) -> list[tuple[tuple[int, int], tuple[int, ...]]]:
    near = _neighbours(rows, gauge)
    alive = {s for s in range(gauge.count) if s not in gauge.idle}
    still = set(gauge.fixed) | ({gauge.toward} if gauge.toward is not None else set())
    found: list[tuple[tuple[int, int], tuple[int, ...]]] = []
    axis = _axis(gauge)
    if not net.handed and axis is not None:
        found.append((axis, tuple(sorted(alive - set(axis)))))
    for a, b in sorted(net.hinges):
        if a not in alive or b not in alive:
            continue
        parts = _pieces(near, alive - {a, b})
        loose = [part for part in parts if not still & set(part)]
        if net.handed and len(gauge.fixed) < 2:
            loose = parts  # a part that holds the frame turns with it
        skip = 1 if {a, b} >= still and len(still) == 2 and not net.handed else 0
        whole = len(parts) == 1 and skip == 0 and not still & set(parts[0])
        found += [((a, b), part) for part in loose[skip:] if len(parts) > 1 or whole]
    single = {part[0] for _, part in found if len(part) == 1}
    found += [(pair, (s,)) for s, pair in _nearly_straight(net, near, alive - still - single)]
    return [item for item in found if item[1]]


def _axis(gauge: Gauge) -> tuple[int, int] | None:
    fixed = sorted(gauge.fixed)
    if len(fixed) == 2:
        return fixed[0], fixed[1]
    return (fixed[0], gauge.toward) if len(fixed) == 1 and gauge.toward is not None else None


def _neighbours(rows: Rows, gauge: Gauge) -> dict[int, set[int]]:
    near: dict[int, set[int]] = {s: set() for s in range(gauge.count)}
    held = sorted(gauge.fixed) + ([gauge.toward] if gauge.toward is not None else [])
    for group in [*(row.points for row in rows.listed), tuple(held)]:
        for p in group:
            near[p].update(group)
    return near


def _pieces(near: dict[int, set[int]], within: set[int]) -> list[tuple[int, ...]]:
    left, pieces = set(within), []
    while left:
        todo, piece = [min(left)], set()
        while todo:
            s = todo.pop()
            if s in left:
                left.discard(s)
                piece.add(s)
                todo += sorted(near[s] & left)
        pieces.append(tuple(sorted(piece)))
    return sorted(pieces)


def _nearly_straight(net: Net, near: dict[int, set[int]], among: set[int]) -> list[tuple[int, tuple[int, int]]]:
    """Stakes tied by tapes from three or more points that stand nearly in one line, with the ends of that line."""
    plain = dict.fromkeys(among, True)
    for row in net.rows.listed:
        if row.kind != DIST:
            plain.update((p, False) for p in row.points if p in plain)
    out = []
    for stake in sorted(s for s, ok in plain.items() if ok):
        ties = sorted(near[stake] - {stake})
        if len(ties) < 3:
            continue
        spread = net.xy[ties] - net.xy[ties].mean(axis=0)
        _, _, axes = np.linalg.svd(spread, full_matrices=False)
        off, along = spread @ axes[1], spread @ axes[0]
        if np.abs(off).max() < 0.02 * np.ptp(along) + 0.05:
            out.append((stake, (ties[int(along.argmin())], ties[int(along.argmax())])))
    return out


def _image(xy: Array, a: int, b: int, part: tuple[int, ...]) -> Array:
    d = xy[b] - xy[a]
    u = d / max(float(np.hypot(*d)), 1e-9)
    image, at = xy.copy(), list(part)
    q = xy[at] - xy[a]
    image[at] = xy[a] + 2.0 * np.outer(q @ u, u) - q
    return image


def _reframed(image: Array, xy: Array, gauge: Gauge) -> Array:
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


def _right_of(xy: Array, a: int, b: int, stakes: tuple[int, ...]) -> Array:
    d = xy[b] - xy[a]
    q = xy[list(stakes)] - xy[a]
    return np.asarray((q[:, 0] * d[1] - q[:, 1] * d[0]) / max(float(np.hypot(*d)), 1e-9))


def _swapped(one: Array, two: Array, a: int, b: int, part: tuple[int, ...]) -> bool:
    before, after = _right_of(one, a, b, part), _right_of(two, a, b, part)
    k = int(np.abs(before).argmax())
    return bool(abs(before[k] - after[k]) > _APART_M and before[k] * after[k] < 0.0)


def _question(net: Net, a: int, b: int, part: tuple[int, ...]) -> MirrorQuestion:
    right = _right_of(net.xy, a, b, part)
    k = int(np.abs(right).argmax())
    ids = net.ids
    return MirrorQuestion(
        ids[a], ids[b], ids[part[k]], "right" if right[k] > 0 else "left", tuple(ids[s] for s in part)
    )
