"""Mirror images: parts of the plan that could lie on either hand, asked and not guessed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from quincunx.survey._gauge import Gauge, chi2_at, relax
from quincunx.survey._hinges import Leaf, joined, leaves, reframed, turned_over
from quincunx.survey._model import Rows
from quincunx.survey._net import Net, wrong_sides
from quincunx.survey._normal import Array

_AS_GOOD = 12.0
"""A mirror image whose chi-square is no more than this above the best is as good: e^6 to 1 would decide."""
_APART_M = 0.10
"""Images nearer than this [m] need no question."""
_HOPELESS = 400.0
"""An image whose chi-square is that much worse before it is settled is no rival."""
_IN_LINE_M = 0.15
"""What stands no further than this off a line hardly tells on which hand something lies."""


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
    for leaf in _parts(net, rows, gauge):
        image = reframed(turned_over(net.xy, leaf), net.xy, gauge)
        base = chi2_at(rows, net.xy)
        if chi2_at(rows, image) > base + _HOPELESS:
            continue
        settled, chi2 = relax(rows, image, gauge, steps=25)
        if not _swapped(net.xy, settled, leaf):
            continue
        wrong = wrong_sides(net.sides, settled) - wrong_sides(net.sides, net.xy)
        if wrong < 0 or (wrong == 0 and chi2 < base - _AS_GOOD):
            net = replace(net, xy=settled, chi2=chi2)
        elif wrong == 0 and chi2 < base + _AS_GOOD:
            questions.append(_question(net, leaf))
    return net, tuple(questions)


def _parts(net: Net, rows: Rows, gauge: Gauge) -> list[Leaf]:
    """Return the parts to try on the other hand; without readings that know left from right first of all the whole."""
    alive = [s for s in range(gauge.count) if s not in gauge.idle]
    still = set(gauge.fixed) | ({gauge.toward} if gauge.toward is not None else set())
    axis = _axis(gauge)
    found = [Leaf(*axis, tuple(s for s in alive if s not in axis))] if axis is not None else []
    spare = net.handed
    for leaf in leaves(joined(rows.listed, gauge), net.xy, alive, list(combinations(alive, 2)), _IN_LINE_M):
        if not still & set(leaf.part):
            if not spare and {leaf.a, leaf.b} == still:
                spare = True  # of the parts beside the held line one is the same question as the whole
                continue
            found.append(leaf)
        elif net.handed and len(gauge.fixed) < 2:
            found.append(leaf)  # a part that holds the frame turns with it
    return [leaf for leaf in found if leaf.part]


def _axis(gauge: Gauge) -> tuple[int, int] | None:
    fixed = sorted(gauge.fixed)
    if len(fixed) == 2:
        return fixed[0], fixed[1]
    return (fixed[0], gauge.toward) if len(fixed) == 1 and gauge.toward is not None else None


def _right_of(xy: Array, a: int, b: int, stakes: tuple[int, ...]) -> Array:
    d = xy[b] - xy[a]
    q = xy[list(stakes)] - xy[a]
    return np.asarray((q[:, 0] * d[1] - q[:, 1] * d[0]) / max(float(np.hypot(*d)), 1e-9))


def _swapped(one: Array, two: Array, leaf: Leaf) -> bool:
    before, after = _right_of(one, *leaf), _right_of(two, *leaf)
    k = int(np.abs(before).argmax())
    return bool(abs(before[k] - after[k]) > _APART_M and before[k] * after[k] < 0.0)


def _question(net: Net, leaf: Leaf) -> MirrorQuestion:
    a, b, part = leaf
    right = _right_of(net.xy, a, b, part)
    k = int(np.abs(right).argmax())
    ids = net.ids
    return MirrorQuestion(
        ids[a], ids[b], ids[part[k]], "right" if right[k] > 0 else "left", tuple(ids[s] for s in part)
    )
