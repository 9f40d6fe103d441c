"""The corners beside a drive that must stay clear, so that who drives out sees who comes along the street.

A corner is a triangle: its legs run from where the drive's edge meets the boundary, one along the boundary away from the
drive and one along the drive's edge inwards.  Towns differ in the legs and in what may stand there; the usual figures
here are those of El Segundo, California, 15-2: legs of 10 ft, nothing above 30 in, crowns lifted to 12 ft.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import XY, Solid

LEG_M, LOW_M, HIGH_M = 3.048, 0.762, 3.658
"""Length of the legs; what is no higher may stand there; what begins no lower may hang over it [m]."""
TOUCH_M = 0.5
"""A drive that ends nearer to the boundary than this meets it [m]."""
POST_M = 0.3
"""A trunk or post no wider than this does not count: one sees past it (common practice, no source)."""

HAIR_M = 1e-3
"""Limits hold to the millimetre, as lengths are typed [m]."""


@dataclass(frozen=True, slots=True)
class Corner:
    """A clear corner: where the drive's edge meets the boundary, and the triangle in plan [m]."""

    at: XY
    triangle: Polygon


@dataclass(frozen=True, slots=True)
class InTheWay:
    """What stands in a corner: whose, from and to what height over the ground there, and where in plan [m]."""

    owner: str
    under_m: float
    top_m: float
    where: BaseGeometry


def clear_corners(boundary: Polygon, drive: BaseGeometry, along_m: float = LEG_M, in_m: float = LEG_M) -> list[Corner]:
    """Return the corners on both sides of where a drive (its outline in plan) meets the boundary.

    ``along_m`` is the leg along the boundary, ``in_m`` the one along the drive's edge [m].  Empty where the drive does not
    come within half a metre of the boundary, or lies along all of it.
    """
    ring = boundary.exterior
    front = shapely.line_merge(shapely.intersection(ring, shapely.buffer(drive, TOUCH_M)))
    pieces = [p for p in shapely.get_parts(_joined(front)) if isinstance(p, LineString) and p.length > TOUCH_M]
    out = []
    for piece in pieces:
        middle = ring.project(piece.interpolate(0.5, normalized=True))
        for end in (piece.coords[0], piece.coords[-1]):
            at = shapely.get_coordinates(shapely.shortest_line(Point(end), drive))[-1]
            here = ring.project(Point(at))
            ahead = _short_way(here - middle, ring.length) > 0
            street = ring.interpolate((here + (along_m if ahead else -along_m)) % ring.length)
            inner = _inward(drive, Point(at), ring, in_m)
            start = ring.interpolate(here)
            shape = Polygon([(start.x, start.y), (street.x, street.y), inner])
            if shape.area > 1e-6:
                out.append(Corner((start.x, start.y), shape))
    return out


def _joined(front: BaseGeometry) -> BaseGeometry:
    """Return lines as one where they meet at the ring's first corner."""
    parts = shapely.get_parts(front)
    return shapely.line_merge(shapely.multilinestrings(list(parts))) if len(parts) > 1 else front


def _short_way(far: float, round_m: float) -> float:
    """Return a distance along a ring as the shorter way there, back negative."""
    return (far + round_m / 2) % round_m - round_m / 2


def _inward(drive: BaseGeometry, at: Point, ring: LineString, far_m: float) -> XY:
    """Return the point so far along the drive's edge from ``at`` that is the farther from the boundary."""
    edge = max(shapely.get_parts(drive), key=lambda p: float(p.area)).exterior
    here = edge.project(at)
    ends = [edge.interpolate((here + way * far_m) % edge.length) for way in (1, -1)]
    best = max(ends, key=lambda p: float(p.distance(ring)))
    return (best.x, best.y)


def in_the_way(
    scene: Scene, corner: Corner, drive: str, low_m: float = LOW_M, high_m: float = HIGH_M
) -> tuple[InTheWay, ...]:
    """Return what stands in a corner between ``low_m`` and ``high_m`` over the ground, the tallest first.

    Crowns count from their lowest twig over all of their outline; the ``drive``'s own things do not count.
    """
    out = []
    for solid in scene.solids:
        if solid.owner == drive or not solid.footprint.intersects(corner.triangle):
            continue
        where = shapely.intersection(solid.footprint, corner.triangle)
        if where.area < 1e-6 or _is_post(solid):
            continue
        under, top = _heights(scene, solid, where)
        if top > low_m + HAIR_M and under < high_m - HAIR_M:
            out.append(InTheWay(solid.owner, under, top, where))
    return tuple(sorted(out, key=lambda w: (-w.top_m, w.owner)))


def _is_post(solid: Solid) -> bool:
    west, south, east, north = solid.footprint.bounds
    return bool(max(east - west, north - south) <= POST_M)


def _heights(scene: Scene, solid: Solid, where: BaseGeometry) -> tuple[float, float]:
    """Return from and to what height over the ground a solid stands within a place [m]."""
    x, y = shapely.get_coordinates(where).T
    z = np.asarray(scene.ground.height(x, y), np.float64)
    under = min(solid.base.above_ground_m(float(v)) for v in z)
    top = max(solid.top.above_ground_m(float(v)) for v in z)
    return max(under, 0.0), top
