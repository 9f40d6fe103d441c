"""Plan geometry that kinds share: strips, rectangles, circles, turning.  All in metres, bearings clockwise from north."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import cast

import shapely
from shapely import LineString, MultiPolygon, Polygon

from quincunx.shapes import XY, AreaFigure, Handle, PathFigure, Pattern, Role, Weight
from quincunx.units.fields import Length, Point

ARC_POINTS = 32
"""Points to a full circle are four times this over four: circles are drawn with 64 sides, true within 0.12 %."""


def xy(points: Iterable[Sequence[float]]) -> tuple[XY, ...]:
    """Return points as plain (x, y) floats [m]."""
    return tuple((float(p[0]), float(p[1])) for p in points)


def direction(bearing_deg: float) -> XY:
    """Return the unit vector (east, north) of a bearing [deg]."""
    a = math.radians(bearing_deg)
    return (math.sin(a), math.cos(a))


def bearing(start: Sequence[float], end: Sequence[float]) -> float:
    """Return the bearing [deg, 0..360) from one point to another."""
    return math.degrees(math.atan2(end[0] - start[0], end[1] - start[1])) % 360.0


def turned(point: Sequence[float], turn_deg: float, about: Sequence[float]) -> XY:
    """Return a point turned ``turn_deg`` clockwise about another [m]."""
    a = math.radians(turn_deg)
    x, y = point[0] - about[0], point[1] - about[1]
    return (about[0] + x * math.cos(a) + y * math.sin(a), about[1] - x * math.sin(a) + y * math.cos(a))


def shifted(points: Iterable[Sequence[float]], dx_m: float, dy_m: float, turn_deg: float, about: XY) -> tuple[Point, ...]:
    """Return points turned clockwise about a point, then shifted, on the millimetre grid [m]."""
    out = []
    for p in points:
        x, y = turned(p, turn_deg, about)
        out.append((Length(x + dx_m), Length(y + dy_m)))
    return tuple(out)


def strip(line: Sequence[Sequence[float]], width_m: float, *, closed: bool = False) -> Polygon:
    """Return the strip of ``width_m`` along a centreline, corners mitred [m]."""
    pts = list(xy(line))
    if closed and pts[0] != pts[-1]:
        pts.append(pts[0])
    shape = LineString(pts).buffer(width_m / 2, cap_style="flat", join_style="mitre", mitre_limit=4.0)
    return biggest(shape)


def biggest(shape: Polygon | MultiPolygon) -> Polygon:
    """Return the polygon, or the largest piece of several."""
    if isinstance(shape, Polygon):
        return shape
    return max(shape.geoms, key=lambda p: p.area)


def rectangle(at: Sequence[float], width_m: float, depth_m: float, turn_deg: float) -> Polygon:
    """Return a rectangle centred ``at``: ``width_m`` across, ``depth_m`` deep, its front facing ``turn_deg``."""
    (fx, fy), (rx, ry) = direction(turn_deg), direction(turn_deg + 90)
    w, d = width_m / 2, depth_m / 2
    corners = [(-w, -d), (w, -d), (w, d), (-w, d)]
    return Polygon([(at[0] + a * rx + b * fx, at[1] + a * ry + b * fy) for a, b in corners])


def regular(at: Sequence[float], across_m: float, sides: int, turn_deg: float) -> Polygon:
    """Return a regular polygon ``across_m`` from flat to flat, one flat facing ``turn_deg``."""
    radius = across_m / 2 / math.cos(math.pi / sides)
    step = 360.0 / sides
    return Polygon([tuple_add(at, direction(turn_deg + step / 2 + i * step), radius) for i in range(sides)])


def tuple_add(at: Sequence[float], unit: XY, length_m: float) -> XY:
    """Return the point ``length_m`` from ``at`` along a unit vector [m]."""
    return (at[0] + unit[0] * length_m, at[1] + unit[1] * length_m)


def circle(at: Sequence[float], diameter_m: float) -> Polygon:
    """Return a circle as a 64-sided polygon of the same diameter [m]."""
    return shapely.Point(at[0], at[1]).buffer(diameter_m / 2, quad_segs=16)


def outline(points: Sequence[Sequence[float]]) -> Polygon:
    """Return the polygon through ``points`` [m]."""
    return Polygon(xy(points))


def rings(shape: Polygon) -> tuple[tuple[XY, ...], ...]:
    """Return a polygon's outline and holes without the repeated last point [m]."""
    return tuple(xy(r.coords[:-1]) for r in (shape.exterior, *shape.interiors))


def area_figure(
    shape: Polygon, role: Role, owner: str, pattern: Pattern = "plain", weight: Weight = "thin", *, edge: bool = True
) -> AreaFigure:
    """Return the figure of a filled polygon."""
    return AreaFigure(rings(shape), role, owner, pattern, edge, weight)


def outline_figure(shape: Polygon, role: Role, owner: str, weight: Weight = "normal", *, dash: bool = False) -> PathFigure:
    """Return the figure of a polygon's edge."""
    return PathFigure(xy(shape.exterior.coords[:-1]), role, owner, closed=True, weight=weight, dash=dash)


def point_handles(points: Sequence[Sequence[float]], field: str, words: str) -> tuple[Handle, ...]:
    """Return one handle for each point of a field: ``line.0``, ``line.1``, ..."""
    return tuple(Handle(f"{field}.{i}", (float(p[0]), float(p[1])), f"{words} {i + 1}") for i, p in enumerate(points))


def drag_point(points: Sequence[Point], handle: str, field: str, to: XY) -> dict[str, tuple[Point, ...]]:
    """Return ``{field: points}`` with the point of ``handle`` moved to ``to``; KeyError for a handle of another field."""
    name, _, index = handle.partition(".")
    if name != field or not index.isdigit() or int(index) >= len(points):
        raise KeyError(handle)
    moved = list(points)
    moved[int(index)] = (Length(to[0]), Length(to[1]))
    return {field: cast("tuple[Point, ...]", tuple(moved))}
