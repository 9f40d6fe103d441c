"""What of a whole plan is drawn on one of its many sheets: all that reaches it, and nothing of the rest.

A large garden's plan has twenty sheets a year; were each to hold all that is drawn, thirty years of them would fill the memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain

from quincunx.shapes import XY, AreaFigure, DimensionFigure, Figure, PathFigure

WORDS_MM = 90.0
"""No words, line or mark reaches farther than this from the points of its figure, on paper [mm]."""


def near(figures: Iterable[Figure], bounds: tuple[float, float, float, float], scale: float) -> list[Figure]:
    """Return the figures that reach into ``bounds`` [m] at 1 to ``scale``, in their order."""
    west, south, east, north = bounds
    words = WORDS_MM * scale / 1000
    out = []
    for figure in figures:
        points, reach = _points(figure), words
        if isinstance(figure, DimensionFigure):
            reach += abs(figure.offset_m)
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        if not xs or (
            min(xs) - reach <= east
            and max(xs) + reach >= west
            and min(ys) - reach <= north
            and max(ys) + reach >= south
        ):
            out.append(figure)
    return out


def _points(figure: Figure) -> list[XY]:
    if isinstance(figure, PathFigure):
        return list(figure.points)
    if isinstance(figure, AreaFigure):
        return list(chain.from_iterable(figure.rings))
    if isinstance(figure, DimensionFigure):
        return [figure.start, figure.end]
    return [figure.at]
