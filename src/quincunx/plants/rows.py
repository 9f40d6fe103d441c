"""Where the plants of a row, a square, a triangle or a quincunx stand."""

from __future__ import annotations

import math
from collections.abc import Sequence

XY = tuple[float, float]


def points_along(line: Sequence[XY], spacing_m: float, *, rows: int = 1, apart_m: float = 0.4) -> tuple[XY, ...]:
    """Return plants set every ``spacing_m`` along a polyline, half a spacing in from its ends; rows are staggered [m]."""
    out: list[XY] = []
    for row in range(rows):
        aside = (row - (rows - 1) / 2) * apart_m
        first = spacing_m / 2 + (spacing_m / 2 if row % 2 else 0.0)
        out.extend(_walk(line, spacing_m, first, aside))
    return tuple(out)


def _walk(line: Sequence[XY], step_m: float, first_m: float, aside_m: float) -> list[XY]:
    out, due, done = [], first_m, 0.0
    for (ax, ay), (bx, by) in zip(line, line[1:], strict=False):
        run = math.hypot(bx - ax, by - ay)
        if run < 1e-9:
            continue
        ux, uy = (bx - ax) / run, (by - ay) / run
        while due <= done + run + 1e-9:
            s = due - done
            out.append((ax + ux * s + uy * aside_m, ay + uy * s - ux * aside_m))
            due += step_m
        done += run
    return out
