"""Places a must can name: a spot, a room, a feature, or ``outside``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import XY, Guard
from quincunx.walk._kept import Kept
from quincunx.walk.barriers import polygons
from quincunx.walk.ground import FreeGround
from quincunx.walk.heights import standing
from quincunx.walk.walkers import Walker

OUTSIDE = "outside"
"""The reference to the ground beyond the boundary."""

UPRIGHT = frozenset({"solid", "leaf", "narrow", "low"})
"""The barriers a hand doesn't reach through."""

PlaceKind = Literal["spot", "room", "feature", "outside"]


@dataclass(frozen=True)
class Place:
    """Ground that a reference means: its ``shape`` [m], whose it is, and a point ``at`` which to draw it.

    ``beds`` are the beds it grows in: their rims don't hide it from a hand.  ``guards`` are what guards it, and what it
    guards: a person's hand gets by them, an animal doesn't.
    """

    ref: str
    kind: PlaceKind
    shape: BaseGeometry
    beds: frozenset[str] = frozenset()
    guards: frozenset[str] = frozenset()

    @property
    def at(self) -> tuple[float, float]:
        """Return a point of it [m]."""
        point = self.shape if isinstance(self.shape, Point) else self.shape.representative_point()
        return (point.x, point.y)


def place_of(scene: Scene, ref: str) -> Place | None:
    """Return the place that ``ref`` names on the scene's date; None where no such thing stands then.

    Its shape is the same object in every scene in which it stands the same.
    """
    if ref == OUTSIDE:
        return Place(ref, "outside", scene.outside)
    spot = scene.spot(ref)
    if spot is not None:
        return Place(ref, "spot", _point(spot.at))
    room = scene.room(ref)
    if room is not None:
        return Place(ref, "room", _point(room.inside))
    area = scene.area_of(ref)
    return (
        None if area is None else Place(ref, "feature", area, _beds_of(scene, ref, area), _guards_of(scene, ref, area))
    )


def _beds_of(scene: Scene, ref: str, area: BaseGeometry) -> frozenset[str]:
    """Return whose planted ground lies under all of a thing that grows in it."""
    near = standing(scene).laid.planted_near(area)
    beds = tuple(s for s in near if s.owner != ref)
    return _BEDS.get((area, *beds), ref, lambda: frozenset(s.owner for s in beds if s.area.buffer(0.01).covers(area)))


def _point(at: XY) -> Point:
    return _POINT.get((), at, lambda: Point(at))


def _guards_of(scene: Scene, ref: str, area: BaseGeometry) -> frozenset[str]:
    """Return what guards a thing, and what it is the guard of, by id."""
    mine = [g for g in scene.guards if ref in {g.owner, g.target} or _meant(g, area)]
    return frozenset(name for g in mine for name in (g.owner, g.target) if name and name != ref)


def _meant(guard: Guard, area: BaseGeometry) -> bool:
    """Return whether a guard stands round all of some ground [m]."""
    return guard.place is not None and _lies_in(area, guard.place)


def _lies_in(area: BaseGeometry, place: BaseGeometry) -> bool:
    """Return whether some ground lies in a place, to a centimetre [m]."""
    return _LIES_IN.get((area, place), None, lambda: bool(place.buffer(0.01).covers(area)))


def guarded_by(scene: Scene, walker: Walker, ref: str) -> str | None:
    """Return what guards, covers or cages ``ref`` against an animal, by id, or None.

    A guard keeps an animal off if it stands as high as that animal's guard must, above the snow, and its holes are
    too small to pass; a net or cage if its holes are too small.
    """
    area = scene.area_of(ref)
    if not walker.animal or area is None:
        return None
    hole = float(walker.crawl_gap if walker.crawl_gap is not None else walker.body_width)
    for cover in scene.covers:
        if cover.gap_m < hole and _lies_in(area, cover.place):
            return cover.owner
    lift = scene.snow_m if walker.snow_lifts else 0.0
    for guard in scene.guards:
        meant = guard.target == ref or _meant(guard, area)
        high = walker.guard is not None and guard.height_m - lift >= float(walker.guard)
        if meant and high and guard.gap_m < hole:
            return guard.owner
    return None


def pieces_reached(free: FreeGround, place: Place, walker: Walker) -> frozenset[int]:
    """Return the pieces of ``free`` from which ``walker`` is at ``place``: stands there or reaches it.

    A hand or a mouth reaches past an edge as far as the walker's reach, but not through what it can't pass.
    """
    if place.kind == "outside":
        return free.pieces_at(_well_within(place.shape))
    here = free.pieces_at(place.shape)
    if here and place.kind != "feature":
        return here
    return free.pieces_at(zone_of(free, place, walker))


def inner_outside(scene: Scene) -> BaseGeometry:
    """Return the ground well beyond the boundary [m]."""
    return _well_within(scene.outside)


def _well_within(shape: BaseGeometry) -> BaseGeometry:
    return _INNER.get((shape,), None, lambda: shapely.buffer(shape, -0.01, join_style="mitre"))


def zone_of(free: FreeGround, place: Place, walker: Walker) -> BaseGeometry:
    """Return where the middle of the walker has ``place`` within reach [m]."""
    reach = walker.radius_m + float(walker.reach)
    if free.rest is not None and free.is_beyond(place.shape, reach):
        return zone_of(free.rest, place, walker)
    # Beds and water don't hide what lies behind them; what stands upright does.
    close = free.barriers_near(place.shape, reach)
    by = {place.ref, *place.beds} if walker.animal else {place.ref, *place.beds, *place.guards}
    hide = tuple(b.shape for b in close if b.what in UPRIGHT and b.owner not in by)
    return _ZONE.get((place.shape, *hide), reach, lambda: _in_reach(place.shape, reach, hide))


def _in_reach(shape: BaseGeometry, reach_m: float, hide: tuple[Polygon, ...]) -> BaseGeometry:
    near = shapely.buffer(shape, reach_m)
    # A spot on a thing (a seat, a tap) isn't hidden by that thing.
    on = shape if isinstance(shape, Point) else Point()
    hide = tuple(h for h in hide if h.intersects(near) and not h.intersects(on))
    left = shapely.difference(near, shapely.difference(shapely.union_all(hide), shape)) if hide else near
    seen = [p for p in polygons(left) if p.intersects(shape)]
    return shapely.union_all(np.array(seen, dtype=object)) if seen else near


_POINT: Kept[Point] = Kept(1024)
_LIES_IN: Kept[bool] = Kept(4096)
_BEDS: Kept[frozenset[str]] = Kept(1024)
_INNER: Kept[BaseGeometry] = Kept(64)
_ZONE: Kept[BaseGeometry] = Kept(4096)
