"""Roofs over an outline: each slope is a piece of the plan and a plane, and neighbours meet on ridges and hips.

A slope drains over one eaves line and rises with the distance from it.  Each point of the plan belongs to the
slope that is lowest there, which gives the usual single pitch, gable and hip roofs over any outline without
inward corners (equal pitches; the hips then run at half the corner's angle in plan).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Literal

import shapely
from shapely import LineString, Point, Polygon

from quincunx.features._plan import bearing, direction, tuple_add, xy
from quincunx.shapes import XY, Height, Plane

RoofForm = Literal["single", "gable", "hip"]
FAR_M = 1000.0
TOUCH_M = 1e-6
"""Points closer than this are one [m]."""


@dataclass(frozen=True, slots=True)
class Edge:
    """One side of an outline, clockwise from ``start`` to ``end`` [m], looking out towards ``out_deg``."""

    start: XY
    end: XY
    out_deg: float

    @property
    def length_m(self) -> float:
        """Return how long it is [m]."""
        return math.dist(self.start, self.end)

    def inside_m(self, at: Sequence[float]) -> float:
        """Return how far inside the line of this edge a point lies [m]."""
        ox, oy = direction(self.out_deg)
        return (self.start[0] - at[0]) * ox + (self.start[1] - at[1]) * oy

    def along_m(self, at: Sequence[float]) -> float:
        """Return how far along this edge from its start a point lies [m]."""
        ux, uy = direction(bearing(self.start, self.end))
        return (at[0] - self.start[0]) * ux + (at[1] - self.start[1]) * uy

    def point(self, along_m: float, inward_m: float = 0.0) -> XY:
        """Return the point ``along_m`` from the start and ``inward_m`` inside [m]."""
        on = tuple_add(self.start, direction(bearing(self.start, self.end)), along_m)
        return tuple_add(on, direction(self.out_deg), -inward_m)

    def strip(self, from_m: float, to_m: float, thick_m: float) -> Polygon:
        """Return the strip of a wall just inside this edge, between two distances along it [m]."""
        return Polygon([self.point(from_m), self.point(to_m), self.point(to_m, thick_m), self.point(from_m, thick_m)])


@dataclass(frozen=True, slots=True)
class Slope:
    """One slope: its ``area`` in plan [m], the ``eaves`` edge it drains over and its ``grade`` (m per m)."""

    area: Polygon
    eaves: Edge
    grade: float

    @property
    def steep(self) -> float:
        """Return true area over plan area, the secant of the pitch."""
        return math.hypot(1.0, self.grade)

    def rise_m(self, at: Sequence[float]) -> float:
        """Return how much higher than the eaves the slope is at a point [m]."""
        return self.eaves.inside_m(at) * self.grade

    def rises_m(self, shape: Polygon | None = None) -> tuple[float, float]:
        """Return the least and the greatest rise over a shape (default: all of the slope) [m]."""
        found = [self.rise_m(p) for p in (shape or self.area).exterior.coords]
        return min(found), max(found)

    def plane(self, eaves_z_m: float, above_m: float = 0.0) -> Plane:
        """Return its plane for eaves at ``eaves_z_m`` over the site's datum, raised by ``above_m`` [m]."""
        x, y = self.eaves.start
        return Plane(x, y, Height(eaves_z_m + above_m, "site"), self.eaves.out_deg, self.grade)

    def unfolded(self) -> Polygon:
        """Return its true shape, laid flat about its eaves line [m]."""
        ox, oy = direction(self.eaves.out_deg)
        more = self.steep - 1.0
        pts = xy(self.area.exterior.coords)
        return Polygon(
            [(x - ox * self.eaves.inside_m((x, y)) * more, y - oy * self.eaves.inside_m((x, y)) * more) for x, y in pts]
        )


def edges(shape: Polygon, first_deg: float) -> tuple[Edge, ...]:
    """Return the sides of an outline, clockwise, from the one that faces ``first_deg`` most nearly."""
    ring = _corners(xy(shapely.orient_polygons(shape, exterior_cw=True).exterior.coords[:-1]))
    ring = (*ring, ring[0])
    found = [Edge(a, b, (bearing(a, b) - 90.0) % 360.0) for a, b in pairwise(ring)]
    off = [round(abs((e.out_deg - first_deg + 180.0) % 360.0 - 180.0), 6) for e in found]
    k = off.index(min(off))
    return tuple(found[k:] + found[:k])


def _corners(ring: tuple[XY, ...]) -> tuple[XY, ...]:
    """Return the points of a ring at which it turns: those off the line between the corner kept before and the next."""
    kept = list(ring)
    i = 0
    while i < len(kept) and len(kept) > 3:
        before, at, after = kept[i - 1], kept[i], kept[(i + 1) % len(kept)]
        if LineString([before, after]).distance(Point(at)) < TOUCH_M:
            del kept[i]
        else:
            i += 1
    return tuple(kept)


def drained(form: RoofForm, sides: Sequence[Edge], to_side: int = 1) -> tuple[Edge, ...]:
    """Return the eaves a roof drains over: one side (counted from 1), that and its opposite, or all."""
    n = len(sides)
    one = sides[(to_side - 1) % n]
    if form == "single":
        return (one,)
    return (one, sides[(to_side - 1 + n // 2) % n]) if form == "gable" else tuple(sides)


def slopes(outline: Polygon, eaves: Sequence[Edge], pitch_deg: float) -> tuple[Slope, ...]:
    """Return the slopes over ``outline`` that drain over ``eaves`` with the same pitch [deg]."""
    grade = math.tan(math.radians(pitch_deg))
    out: list[Slope] = []
    seen: list[XY] = []
    for edge in eaves:
        cell = outline
        for other in eaves:
            if other is not edge:
                cell = cell.intersection(_nearer(edge, other))
        pieces = [p for p in getattr(cell, "geoms", [cell]) if isinstance(p, Polygon) and p.area > 1e-9]
        out.extend(Slope(_joined(p, seen), edge, grade) for p in sorted(pieces, key=lambda p: p.bounds))
    return tuple(out)


def _joined(piece: Polygon, seen: list[XY]) -> Polygon:
    """Return a piece whose corners are the very points that its neighbours, in ``seen``, have there already."""
    ring: list[XY] = []
    for p in xy(piece.exterior.coords[:-1]):
        known = next((q for q in seen if math.dist(p, q) < TOUCH_M), None)
        if known is None:
            seen.append(known := p)
        if known not in ring:
            ring.append(known)
    return Polygon(ring)


def _nearer(edge: Edge, other: Edge) -> Polygon:
    """Return the half of the plane that is not farther inside ``edge`` than inside ``other``."""
    (ax, ay), (bx, by) = direction(edge.out_deg), direction(other.out_deg)
    nx, ny = bx - ax, by - ay  # inside(edge) - inside(other) grows along (b - a)
    size = math.hypot(nx, ny)
    nx, ny = nx / size, ny / size
    off = edge.inside_m((0.0, 0.0)) - other.inside_m((0.0, 0.0))
    foot = (-nx * off / size, -ny * off / size)
    left, right = tuple_add(foot, (-ny, nx), FAR_M), tuple_add(foot, (-ny, nx), -FAR_M)
    return Polygon([left, right, tuple_add(right, (nx, ny), -FAR_M), tuple_add(left, (nx, ny), -FAR_M)])


def ridges(roof: Sequence[Slope]) -> tuple[tuple[XY, XY, float, float], ...]:
    """Return the lines on which slopes meet: two plan points [m] and how much higher than the eaves each is [m]."""
    found = []
    for a, b in combinations(roof, 2):
        shared = sorted(
            {
                (round(x, 7), round(y, 7))
                for x, y in xy(a.area.exterior.coords)
                if b.area.distance(Point(x, y)) < TOUCH_M
            }
        )
        if len(shared) > 1 and math.dist(shared[0], shared[-1]) > 1e-3:
            found.append((shared[0], shared[-1], a.rise_m(shared[0]), a.rise_m(shared[-1])))
    return tuple(found)


def rise_at_m(roof: Sequence[Slope], at: Sequence[float]) -> float:
    """Return how much higher than the eaves the underside of a roof is over a point [m]."""
    return min(slope.rise_m(at) for slope in roof)


def true_area_m2(roof: Sequence[Slope]) -> float:
    """Return the area of a roof measured up its slopes [m2]."""
    return float(sum(s.area.area * s.steep for s in roof))
