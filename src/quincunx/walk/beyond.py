"""The ground beyond the boundary on which people don't go: a neighbour's, unless it was said to be open.

Open are the strip along that side of the boundary before which a spot on the ground was put (a road, a lane, a meadow
one may cross), the way to each spot, and what is drawn there to be walked on.  Where nothing was put or drawn outside,
nobody knows which side is whose, and all of the strip counts as open.  Animals, and those who run off, ask nobody.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import OUTSIDE_M, Scene, Spot
from quincunx.shapes import Surface
from quincunx.walk._kept import Kept

BEND_DEG = 30.0
"""A side of the boundary goes on round a corner that turns no more than this [degrees]."""
LEAST_M2 = 0.01
"""Scraps of ground smaller than this are passed over [m2]."""
HALF_WAY_M = 1.5
"""Half the width of the way to a spot outside [m]."""


def beyond(scene: Scene) -> tuple[Polygon, ...]:
    """Return the ground outside the boundary that people keep off [m]; nothing where nothing was said of any of it.

    The same objects in every scene of which the same was said.
    """
    spots = scene.spots_outside
    drawn = tuple(s for s in scene.surfaces if _walked_on(s) and _reaches_out(scene.boundary, s.area))
    if not spots and not drawn:
        return ()
    return _BEYOND.get((scene.world, scene.boundary, *drawn), spots, lambda: _beyond(scene, spots, drawn))


def _reaches_out(boundary: Polygon, area: BaseGeometry) -> bool:
    return _OUT.get((boundary, area), None, lambda: not boundary.covers(area))


def _walked_on(surface: Surface) -> bool:
    return not surface.planted and surface.water_depth_m <= 0


def _beyond(scene: Scene, spots: tuple[Spot, ...], drawn: tuple[Surface, ...]) -> tuple[Polygon, ...]:
    ways = [shapely.shortest_line(Point(s.at), scene.boundary).buffer(HALF_WAY_M) for s in spots]
    sides = shapely.union_all([side_before(scene.boundary, s.at) for s in spots if s.height_m <= 0])
    if sides.geom_type == "MultiLineString":
        sides = shapely.line_merge(sides)  # one goes round the corner between two open sides
    strips = shapely.buffer(sides, OUTSIDE_M, cap_style="flat", join_style="mitre")
    opened: list[BaseGeometry] = [scene.boundary, strips, *ways, *(s.area for s in drawn)]
    closed = shapely.difference(scene.world, shapely.union_all(np.array(opened, dtype=object)))
    return tuple(p for p in shapely.get_parts(closed) if isinstance(p, Polygon) and p.area > LEAST_M2)


def side_before(boundary: Polygon, at: tuple[float, float]) -> LineString:
    """Return the side of a boundary [m] nearest to a point: its edges as far as they turn only a little."""
    ring = np.asarray(shapely.orient_polygons(boundary).exterior.coords)
    edges = shapely.linestrings(np.stack([ring[:-1], ring[1:]], 1))
    nearest = int(shapely.distance(edges, Point(at)).argmin())
    n, step = len(edges), np.diff(ring, axis=0)
    bearing = np.degrees(np.arctan2(step[:, 1], step[:, 0]))
    first, last = nearest, nearest
    while first > nearest - n + 1 and _turn(bearing[(first - 1) % n], bearing[first % n]) <= BEND_DEG:
        first -= 1
    while last < first + n - 1 and _turn(bearing[last % n], bearing[(last + 1) % n]) <= BEND_DEG:
        last += 1
    return LineString([ring[k % n] for k in range(first, last + 2)])


def _turn(a_deg: float, b_deg: float) -> float:
    return math.fabs((b_deg - a_deg + 180.0) % 360.0 - 180.0)


_OUT: Kept[bool] = Kept(4096)
_BEYOND: Kept[tuple[Polygon, ...]] = Kept(64)
