"""Where a single unplaced stake can lie by one reading from placed ones, and where two such places meet.

A place is a circle or a straight line.  Plain floats, because the stakes are placed one at a time.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from quincunx.survey._model import ACROSS, ALONG, AZ, COS, DIST, WALL_ALONG, WALL_SQUARE, Row

XY = tuple[float, float]
Placed = Mapping[int, XY]


class Circle(NamedTuple):
    """All points ``r`` [m] from (x, y)."""

    x: float
    y: float
    r: float


class Line(NamedTuple):
    """All points on the line through (x, y) with unit direction (ux, uy)."""

    x: float
    y: float
    ux: float
    uy: float


Locus = Circle | Line


def loci(row: Row, stake: int, placed: Placed) -> list[Locus]:
    """Return the places where ``stake`` can lie by one row whose other points are all in ``placed``."""
    k, p = row.kind, row.points
    if k == DIST:
        other = placed[p[1] if p[0] == stake else p[0]]
        return [Circle(other[0], other[1], row.value)]
    if k == AZ:
        other = placed[p[1] if p[0] == stake else p[0]]
        return [Line(other[0], other[1], math.sin(row.value), math.cos(row.value))]
    if k in (ALONG, ACROSS):
        return _by_line(row, stake, placed)
    if k == COS:
        return _square_corner(p, stake, placed)
    if k == WALL_SQUARE and stake == p[2]:
        return _beside(placed[p[0]], placed[p[1]], (row.value, -row.value))
    if k == WALL_ALONG:
        return _along_wall(row, stake, placed)
    return []


def _through(a: XY, b: XY) -> Line | None:
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = math.hypot(dx, dy)
    return Line(a[0], a[1], dx / size, dy / size) if size > 1e-6 else None


def _beside(a: XY, b: XY, rights: tuple[float, ...]) -> list[Locus]:
    line = _through(a, b)
    if line is None:
        return []
    return [Line(a[0] + o * line.uy, a[1] - o * line.ux, line.ux, line.uy) for o in rights]


def _by_line(row: Row, stake: int, placed: Placed) -> list[Locus]:
    start, end, point = row.points
    if stake == point:
        if row.kind == ACROSS:
            return _beside(placed[start], placed[end], (row.value,))
        line = _through(placed[start], placed[end])
        if line is None:
            return []
        foot = (line.x + row.value * line.ux, line.y + row.value * line.uy)
        return [Line(foot[0], foot[1], -line.uy, line.ux)]
    if row.kind == ACROSS and row.value == 0.0:
        line = _through(placed[point], placed[start if stake == end else end])
        return [] if line is None else [line]
    return []


def _square_corner(p: tuple[int, ...], stake: int, placed: Placed) -> list[Locus]:
    if stake == p[1]:
        a, c = placed[p[0]], placed[p[2]]
        return [Circle((a[0] + c[0]) / 2, (a[1] + c[1]) / 2, math.hypot(a[0] - c[0], a[1] - c[1]) / 2)]
    arm = _through(placed[p[1]], placed[p[2] if stake == p[0] else p[0]])
    return [] if arm is None else [Line(arm.x, arm.y, -arm.uy, arm.ux)]


def _along_wall(row: Row, stake: int, placed: Placed) -> list[Locus]:
    start, toward, c, d = row.points
    if stake == toward:
        wall = _through(placed[c], placed[d])
        if wall is None:
            return []
        hits = meet(wall, Circle(*placed[start], row.value))
        return [line for hit in hits if (line := _through(placed[start], hit)) is not None]
    if stake in (c, d):
        ray = _through(placed[start], placed[toward])
        if ray is None:
            return []
        hit = (ray.x + row.value * ray.ux, ray.y + row.value * ray.uy)
        line = _through(placed[d if stake == c else c], hit)
        return [] if line is None else [line]
    return []


def meet(one: Locus, two: Locus) -> list[XY]:
    """Return where two loci meet: none (parallel lines), one or two points.

    Circles, or a circle and a line, that fail to meet give their point of closest approach, so that a misread
    tape still yields a start value.
    """
    if isinstance(one, Circle):
        return _circles(one, two) if isinstance(two, Circle) else _line_circle(two, one)
    return _line_circle(one, two) if isinstance(two, Circle) else _lines(one, two)


def _circles(a: Circle, b: Circle) -> list[XY]:
    dx, dy = b.x - a.x, b.y - a.y
    d = math.hypot(dx, dy)
    if d < 1e-6:
        return []
    along = (d * d + a.r * a.r - b.r * b.r) / (2.0 * d)
    h2 = a.r * a.r - along * along
    if h2 <= 0.0:
        return [_closest(a, b, d)]
    h = math.sqrt(h2)
    x, y = a.x + along * dx / d, a.y + along * dy / d
    return [(x - h * dy / d, y + h * dx / d), (x + h * dy / d, y - h * dx / d)]


def _closest(a: Circle, b: Circle, d: float) -> XY:
    if d >= a.r + b.r:
        along = (a.r + d - b.r) / 2.0
    elif a.r >= b.r:
        along = (a.r + d + b.r) / 2.0
    else:
        along = -(a.r + b.r - d) / 2.0
    return a.x + along * (b.x - a.x) / d, a.y + along * (b.y - a.y) / d


def _line_circle(line: Line, circle: Circle) -> list[XY]:
    along = (circle.x - line.x) * line.ux + (circle.y - line.y) * line.uy
    x, y = line.x + along * line.ux, line.y + along * line.uy
    h2 = circle.r**2 - (circle.x - x) ** 2 - (circle.y - y) ** 2
    if h2 <= 0.0:
        return [(x, y)]
    h = math.sqrt(h2)
    return [(x + h * line.ux, y + h * line.uy), (x - h * line.ux, y - h * line.uy)]


def _lines(a: Line, b: Line) -> list[XY]:
    sine = a.ux * b.uy - a.uy * b.ux
    if abs(sine) < 1e-6:
        return []
    t = ((b.x - a.x) * b.uy - (b.y - a.y) * b.ux) / sine
    return [(a.x + t * a.ux, a.y + t * a.uy)]


def reads(row: Row, at: Placed) -> float:
    """Return value minus what the row would read with its points at ``at`` (same unit as the row's value)."""
    k, p = row.kind, row.points
    a, b = at[p[0]], at[p[1]]
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = math.hypot(dx, dy) or 1e-9
    if k == DIST:
        return row.value - size
    if k == AZ:
        return (row.value - math.atan2(dx, dy) + math.pi) % (2 * math.pi) - math.pi
    c = at[p[2]]
    if k == COS:
        ex, ey, gx, gy = -dx, -dy, c[0] - b[0], c[1] - b[1]
        return row.value - (ex * gx + ey * gy) / (size * (math.hypot(gx, gy) or 1e-9))
    qx, qy = c[0] - a[0], c[1] - a[1]
    if k == ALONG:
        return row.value - (qx * dx + qy * dy) / size
    if k in (ACROSS, WALL_SQUARE):
        right = (qx * dy - qy * dx) / size
        return row.value - (right if k == ACROSS else abs(right))
    d = at[p[3]]
    wx, wy = d[0] - c[0], d[1] - c[1]
    facing = (dx * wy - dy * wx) / size
    return row.value - (qx * wy - qy * wx) / facing if abs(facing) > 1e-9 else 1e3
