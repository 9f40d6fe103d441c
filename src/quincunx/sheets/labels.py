"""Words on a plan that don't lie on each other: the larger stay, the smaller step aside or go."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from quincunx.shapes import Figure, TextFigure
from quincunx.sheets.ink import TEXT_MM
from quincunx.sheets.svg import Look

WIDE = 0.5
"""Mean width of a letter as a share of its height (measured on the typeface of the sheets)."""

NEAR_MM = {"large": 40.0, "normal": 40.0, "small": 12.0}
"""A small word isn't said again nearer than this on paper to the same word of a size: a room, its floor and its spot
often share one name [mm]."""

Box = tuple[float, float, float, float]

_RANK = {"large": 0, "normal": 1, "small": 2}
_STEPS = ((0.0, 0.0), (0.0, 1.25), (0.0, -1.25), (0.55, 1.25), (-0.55, -1.25), (0.0, 2.4), (0.0, -2.4))
"""Where a label may step to: shares of its width and of its height."""


def spread_labels(figures: Iterable[Figure], look: Look, bounds: Box | None = None) -> list[Figure]:
    """Return ``figures`` with their words moved apart at this scale; a small word that finds no room is left out.

    Words that would be cut at the edge of ``bounds`` [m] are drawn inside it, and a small word isn't said twice in one
    place.  Turned words (along a line) stay where they are.  The same figures give the same result.
    """
    every = list(figures)
    taken: list[Box] = []
    said: dict[str, list[TextFigure]] = {}
    placed: dict[int, TextFigure | None] = {}
    order = sorted((i for i, f in enumerate(every) if isinstance(f, TextFigure)), key=lambda i: (_rank(every[i]), i))
    for i in order:
        label = every[i]
        if not isinstance(label, TextFigure):
            continue
        if label.size == "small" and _said_near(label, said, look):
            placed[i] = None
            continue
        placed[i] = _settle(_inside(label, look, bounds), taken, look)
        if placed[i] is not None:
            said.setdefault(label.text, []).append(label)
    return [f for i, f in enumerate(every) if i not in placed] + [
        f for i in sorted(placed) if (f := placed[i]) is not None
    ]


def _rank(figure: Figure) -> int:
    return _RANK[figure.size] if isinstance(figure, TextFigure) else 3


def _said_near(label: TextFigure, said: dict[str, list[TextFigure]], look: Look) -> bool:
    same = () if label.rotate_deg else said.get(label.text, ())
    return any(math.dist(label.at, one.at) < look.metres(NEAR_MM[one.size]) for one in same)


def _inside(label: TextFigure, look: Look, bounds: Box | None) -> TextFigure:
    """Return a label at the edge of a drawing moved in, so that no letter is cut; one from outside stays outside."""
    if bounds is None or label.rotate_deg:
        return label
    west, south, east, north = bounds
    x, y = label.at
    if not (west <= x <= east and south <= y <= north):
        return label
    box = box_of(label, look)
    right = max(west - box[0], 0.0) - max(box[2] - east, 0.0) if box[2] - box[0] < east - west else 0.0
    up = max(south - box[1], 0.0) - max(box[3] - north, 0.0)
    return label if right == up == 0.0 else replace(label, at=(x + right, y + up))


def _settle(label: TextFigure, taken: list[Box], look: Look) -> TextFigure | None:
    if label.rotate_deg:
        taken.append(box_of(label, look))
        return label
    high = look.metres(TEXT_MM[label.size])
    wide = WIDE * high * len(label.text)
    for along, up in _STEPS:
        moved = replace(label, at=(label.at[0] + along * wide, label.at[1] + up * high))
        box = box_of(moved, look)
        if not any(_meet(box, other) for other in taken):
            taken.append(box)
            return moved
    return None if label.size == "small" else label


def box_of(label: TextFigure, look: Look) -> Box:
    """Return the room a label takes (west, south, east, north) [m], turned labels by their circle."""
    high = look.metres(TEXT_MM[label.size])
    wide = WIDE * high * max(len(label.text), 1)
    x, y = label.at
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[label.anchor]
    if label.rotate_deg:
        return (x - wide / 2, y - wide / 2, x + wide / 2, y + wide / 2)
    return (left, y - high * 0.6, left + wide, y + high * 0.6)


def _meet(one: Box, two: Box) -> bool:
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]
