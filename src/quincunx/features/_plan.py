"""Plan geometry that kinds share: strips, rounded corners, rectangles, circles, turning.

All in metres, bearings clockwise from north.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import cast

import numpy as np
import shapely
from shapely import LinearRing, LineString, MultiPolygon, Polygon

from quincunx.shapes import XY, AreaFigure, Handle, PathFigure, Pattern, Role, TextFigure, Weight
from quincunx.units.fields import Length, Point

MOST_CORNERS = 24
"""An outline with more corners than this is round: it gives none to hold on to."""
ROUND_M = 0.002
"""How far inside a whole circle the sides of the polygon drawn for it may lie [m]."""
LEAST_QUARTER = 7
"""A quarter of the smallest circle has so many sides: what is grown from it, by half a body, is round to 5 mm as well."""
ARC_ERROR_M = 0.0005
"""How far the chords of a rounded corner may lie from the true arc [m]."""


@dataclass(frozen=True, slots=True)
class Bend:
    """A rounded corner: the arc of ``radius_m`` about ``centre``, from ``start`` to ``end`` on its two sides."""

    centre: XY
    radius_m: float
    start: XY
    end: XY
    clockwise: bool


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


def shifted(
    points: Iterable[Sequence[float]], dx_m: float, dy_m: float, turn_deg: float, about: XY
) -> tuple[Point, ...]:
    """Return points turned clockwise about a point, then shifted, on the millimetre grid [m]."""
    out = []
    for p in points:
        x, y = turned(p, turn_deg, about)
        out.append((Length(x + dx_m), Length(y + dy_m)))
    return tuple(out)


def reflected(point: Sequence[float], at: Sequence[float], along_deg: float) -> XY:
    """Return a point mirrored in the line through ``at`` that runs ``along_deg`` [m]."""
    ux, uy = direction(along_deg)
    x, y = point[0] - at[0], point[1] - at[1]
    along = x * ux + y * uy
    return (at[0] + 2 * along * ux - x, at[1] + 2 * along * uy - y)


def mirrored_points(points: Iterable[Sequence[float]], at: Sequence[float], along_deg: float) -> tuple[Point, ...]:
    """Return points mirrored in a line, on the millimetre grid [m]."""
    return tuple((Length(x), Length(y)) for x, y in (reflected(p, at, along_deg) for p in points))


def turned_deg(bearing_deg: float, turn_deg: float) -> float:
    """Return a bearing turned clockwise, to a thousandth of a degree [deg, 0..360)."""
    return round((bearing_deg + turn_deg) % 360.0, 3) % 360.0


def reflected_deg(bearing_deg: float, along_deg: float) -> float:
    """Return a bearing mirrored in a line that runs ``along_deg``, to a thousandth of a degree [deg, 0..360)."""
    return round((2 * along_deg - bearing_deg) % 360.0, 3) % 360.0


def mirrored_side(side: int, sides: int) -> int:
    """Return which of ``sides``, counted clockwise from 1, the front, a side becomes when its thing is mirrored."""
    return (1 - side) % sides + 1


def strip(line: Sequence[Sequence[float]], width_m: float, *, closed: bool = False) -> Polygon:
    """Return the strip of ``width_m`` along a centreline, corners mitred [m]."""
    pts = list(xy(line))
    if closed and pts[0] != pts[-1]:
        pts.append(pts[0])
    # GEOS divides by nothing where a line turns right back on itself; the strip it returns is sound all the same.
    with np.errstate(divide="ignore", invalid="ignore"):
        shape = LineString(pts).buffer(width_m / 2, cap_style="flat", join_style="mitre", mitre_limit=4.0)
    return biggest(shape)


def side_strip(line: Sequence[Sequence[float]], width_m: float, *, left: bool) -> Polygon:
    """Return the strip of ``width_m`` on one side of a line, as seen going along it [m]."""
    shape = LineString(xy(line)).buffer(width_m if left else -width_m, single_sided=True, join_style="mitre")
    return biggest(shape)


def bend(before: XY, corner: XY, after: XY, radius_m: float, room_m: float) -> Bend | None:
    """Return the rounding of one corner; None if it is straight or turns right back.

    The radius shrinks until the arc takes no more than ``room_m`` of either side [m].
    """
    ux, uy = before[0] - corner[0], before[1] - corner[1]
    vx, vy = after[0] - corner[0], after[1] - corner[1]
    a, b = math.hypot(ux, uy), math.hypot(vx, vy)
    if min(a, b, radius_m, room_m) < 1e-6:
        return None
    ux, uy, vx, vy = ux / a, uy / a, vx / b, vy / b
    half = math.acos(max(-1.0, min(1.0, ux * vx + uy * vy))) / 2
    if half < 0.01 or half > math.pi / 2 - 0.001:
        return None
    tangent = min(radius_m / math.tan(half), room_m)
    radius = tangent * math.tan(half)
    mx, my = ux + vx, uy + vy
    reach = math.hypot(radius, tangent) / math.hypot(mx, my)
    centre = (corner[0] + mx * reach, corner[1] + my * reach)
    start, end = tuple_add(corner, (ux, uy), tangent), tuple_add(corner, (vx, vy), tangent)
    return Bend(centre, radius, start, end, ux * vy - uy * vx > 0)


def bends(points: Sequence[Sequence[float]], radius_m: float, *, closed: bool = False) -> tuple[Bend | None, ...]:
    """Return the rounding of each point of a line or outline; None where it keeps its corner (and at open ends)."""
    pts, n = xy(points), len(points)
    run = [math.dist(pts[i], pts[(i + 1) % n]) for i in range(n)]
    out: list[Bend | None] = []
    for i in range(n):
        at_end = not closed and i in (0, n - 1)
        # A side between two rounded corners is shared half and half; one that ends the line is free to its end.
        left = run[i - 1] * (1.0 if not closed and i == 1 else 0.5)
        right = run[i] * (1.0 if not closed and i == n - 2 else 0.5)
        none = at_end or radius_m <= 0
        out.append(None if none else bend(pts[i - 1], pts[i], pts[(i + 1) % n], radius_m, min(left, right)))
    return tuple(out)


def rounded(points: Sequence[Sequence[float]], radius_m: float, *, closed: bool = False) -> tuple[XY, ...]:
    """Return a line or outline with its corners rounded to ``radius_m``, true to half a millimetre [m]."""
    out: list[XY] = []
    for corner, arc in zip(xy(points), bends(points, radius_m, closed=closed), strict=True):
        out.extend([corner] if arc is None else arc_points(arc))
    return tuple(out)


def arc_points(arc: Bend) -> tuple[XY, ...]:
    """Return points along a bend, its ends among them, no chord further than half a millimetre from the arc [m]."""
    first, last = bearing(arc.centre, arc.start), bearing(arc.centre, arc.end)
    sweep = (last - first) % 360.0 if arc.clockwise else -((first - last) % 360.0)
    step = 2 * math.degrees(math.acos(max(1 - ARC_ERROR_M / arc.radius_m, 0.5)))
    count = max(math.ceil(abs(sweep) / step), 1)
    middle = [tuple_add(arc.centre, direction(first + sweep * i / count), arc.radius_m) for i in range(1, count)]
    return (arc.start, *middle, arc.end)


def posts_along(line: Sequence[Sequence[float]], apart_m: float, *, closed: bool = False) -> tuple[XY, ...]:
    """Return posts at both ends and every corner of a line, evenly between, at most ``apart_m`` apart [m]."""
    pts = list(xy(line))
    if closed and pts[0] != pts[-1]:
        pts.append(pts[0])
    out: list[XY] = []
    for a, b in pairwise(pts):
        count = max(math.ceil(math.dist(a, b) / apart_m - 1e-9), 1)
        out.extend((a[0] + (b[0] - a[0]) * i / count, a[1] + (b[1] - a[1]) * i / count) for i in range(count))
    return tuple(out if closed else [*out, pts[-1]])


def biggest(shape: Polygon | MultiPolygon) -> Polygon:
    """Return the polygon, or the largest piece of several."""
    if isinstance(shape, Polygon):
        return shape
    return max(shape.geoms, key=lambda p: p.area, default=Polygon())


def inset(shape: Polygon, by_m: float) -> Polygon:
    """Return the outline drawn in by ``by_m`` with sharp corners; empty if nothing is left [m]."""
    return biggest(shape.buffer(-by_m, join_style="mitre"))


def rim(shape: Polygon, width_m: float) -> Polygon:
    """Return the border of ``width_m`` just inside an outline; all of it if it is narrower than that [m]."""
    inner = inset(shape, width_m)
    return shape if inner.is_empty else Polygon(shape.exterior, [inner.exterior.coords[::-1]])


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
    """Return a circle as a polygon of the same diameter whose sides lie within :data:`ROUND_M` of it [m]."""
    radius = diameter_m / 2
    half_side = math.acos(1 - ROUND_M / radius) if radius > ROUND_M else math.pi
    return shapely.Point(at[0], at[1]).buffer(radius, quad_segs=max(math.ceil(math.pi / 4 / half_side), LEAST_QUARTER))


def outline(points: Sequence[Sequence[float]]) -> Polygon:
    """Return the polygon through ``points`` [m]."""
    return Polygon(xy(points))


def rings(shape: Polygon) -> tuple[tuple[XY, ...], ...]:
    """Return a polygon's outline and holes without the repeated last point [m]."""
    return tuple(_corners(r) for r in (shape.exterior, *shape.interiors))


def _corners(ring: LinearRing) -> tuple[XY, ...]:
    """Return the points of a ring without the repeated last one [m]."""
    return tuple((x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist())


def area_figure(
    shape: Polygon, role: Role, owner: str, pattern: Pattern = "plain", weight: Weight = "thin", *, edge: bool = True
) -> AreaFigure:
    """Return the figure of a filled polygon."""
    return AreaFigure(rings(shape), role, owner, pattern, edge, weight)


def outline_figure(
    shape: Polygon, role: Role, owner: str, weight: Weight = "normal", *, dash: bool = False
) -> PathFigure:
    """Return the figure of a polygon's edge."""
    return PathFigure(_corners(shape.exterior), role, owner, closed=True, weight=weight, dash=dash)


def label(shape: Polygon, name: str, role: Role, owner: str) -> tuple[TextFigure, ...]:
    """Return the name written inside a shape; nothing for what has no name."""
    if not name:
        return ()
    inside = shape.representative_point()
    return (TextFigure((inside.x, inside.y), name, role, owner, "small"),)


def corners_of(shape: Polygon) -> dict[str, XY]:
    """Return the corners of an outline by name, ``corner.0``, ``corner.1``, ... [m]; none of a round one."""
    ring = _corners(shape.exterior)
    return {f"corner.{i}": p for i, p in enumerate(ring)} if len(ring) <= MOST_CORNERS else {}


def point_handles(points: Sequence[Sequence[float]], field: str, words: str) -> tuple[Handle, ...]:
    """Return one handle for each point of a field: ``line.0``, ``line.1``, ..."""
    return tuple(Handle(f"{field}.{i}", at, f"{words} {i + 1}") for i, at in enumerate(xy(points)))


def drag_point(points: Sequence[Point], handle: str, field: str, to: XY) -> dict[str, tuple[Point, ...]]:
    """Return ``{field: points}`` with the point of ``handle`` moved ``to``; KeyError for a handle of another field."""
    name, _, index = handle.partition(".")
    if name != field or not index.isdecimal() or int(index) >= len(points):
        raise KeyError(handle)
    moved = list(points)
    moved[int(index)] = (Length(to[0]), Length(to[1]))
    return {field: cast("tuple[Point, ...]", tuple(moved))}
