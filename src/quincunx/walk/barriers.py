"""What stops a walker: one rule for people, barrows, deer and toddlers.

A walker meets a solid by its height above the ground there, its largest hole, its base and its reluctance:
it gets over what is lower than it steps, climbs or jumps, under what is higher than its head, through a hole
as large as it crawls through; those who keep off plants keep off planted things whatever their height.  Over a wall
under a roof it gets only through the room between them, or over both; and a leap has a length (:mod:`.leaps`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import Opening, Plane, Risers, Slab, Slats, Solid, Surface
from quincunx.site.ground import Ground
from quincunx.walk._kept import Kept
from quincunx.walk.beyond import beyond
from quincunx.walk.heights import Laid, Standing, standing
from quincunx.walk.leaps import Lid, bears, deeper_than, leap_at_m, lids
from quincunx.walk.walkers import Walker

Gates = Literal["usable", "shut", "open"]
"""Gates used as the walker can; every opening closed (with or without a leaf); every gate standing open."""

What = Literal["solid", "net", "planted", "water", "leaf", "narrow", "low", "step", "steep", "beyond"]

LEAF_M = 0.02
"""Thickness a shut leaf is given in plan [m]."""
BITE_M = 0.01
"""How far a shut leaf is taken into its posts, so that no light shows past it [m]."""
SEEN_M = 0.2
"""What stands lower than this is stepped over without a word, and is no wall anybody meant [m]."""
RISE_SLACK_M = 1e-6
"""A rise may be this much more than a step and still be one [m]."""
MADE_M = 0.25
"""How far past a ramp or steps the bank they climb is taken as made too, at head and foot [m]."""


MOST_SOLIDS = 4000
"""So many solids are kept for each gait."""


@dataclass(frozen=True, slots=True)
class Barrier:
    """A piece of ground [m] a walker can't stand on, what it is, and whose."""

    shape: Polygon
    owner: str
    what: What
    grown: bool = False


def barriers(
    scene: Scene, walker: Walker, gates: Gates = "usable", open_gate: str | None = None, *, polite: bool = False
) -> tuple[Barrier, ...]:
    """Return all that stops ``walker`` on the scene's date.

    ``open_gate`` is left standing open.  ``polite`` walkers also keep off young hedges they could push through
    and walk round what they could climb, and if they are people keep off a neighbour's ground.
    """
    gait = gait_of(walker, scene.snow_m, polite=polite)
    found = _lifted(scene, walker, _LISTED.get((scene,), gait, lambda: tuple(_solids(scene, gait))))
    found += _surfaces(standing(scene).laid, walker)
    found += [b for o in scene.openings for b in opening_barriers(scene, walker, o, gates, open_gate)]
    found += _steep(scene, walker)
    if polite and not walker.animal:
        found += [_BEYOND.get((piece,), None, partial(Barrier, piece, "", "beyond")) for piece in beyond(scene)]
    return tuple(found)


class Gait(NamedTuple):
    """What decides whether a solid stops a walker: walkers with equal ones are stopped by the same solids.

    ``lift_m`` the snow it stands on, ``hole_m`` the holes it gets through, ``under_m`` the foot it gets under,
    ``over_m`` what is lower it gets over, ``shy`` whether it keeps off what is planted though it could pass,
    ``slot_m`` the room it takes between a wall and the roof over it, ``leap_m`` its longest leap (None: any).
    """

    lift_m: float
    headroom_m: float
    hole_m: float
    under_m: float | None
    over_m: float
    shy: bool
    slot_m: float
    leap_m: float | None


def gait_of(walker: Walker, snow_m: float = 0.0, *, polite: bool = False) -> Gait:
    """Return how a walker passes solids with ``snow_m`` of snow lying; ``polite`` as in :func:`barriers`."""
    crawl, leap = walker.crawl_gap, walker.leap
    hole = float(walker.body_width if crawl is None else crawl)
    return Gait(
        snow_m if walker.snow_lifts else 0.0,
        float(walker.headroom),
        hole,
        None if crawl is None else float(crawl),
        float(walker.step_up if polite else walker.over),
        polite and walker.keeps_off_plants,
        hole if leap is None else float(walker.headroom),
        None if leap is None else float(leap),
    )


def stops(
    walker: Walker, solid: Solid, under_m: float, top_m: float, snow_m: float = 0.0, *, polite: bool = False
) -> bool:
    """Return whether ``solid``, from ``under_m`` to ``top_m`` above the ground, stops ``walker``.

    ``snow_m`` of snow lifts those who walk on it.  Polite walkers climb over nothing higher than a step.
    """
    return _stops(gait_of(walker, snow_m, polite=polite), solid, under_m, top_m)


def _stops(gait: Gait, solid: Solid, under_m: float, top_m: float) -> bool:
    return _met(gait, solid, under_m, top_m) == "stops"


def _met(gait: Gait, solid: Solid, under_m: float, top_m: float) -> Literal["stops", "over", "passes"]:
    """Return whether a solid stops a walker, is low enough to get over, or doesn't bar it at all."""
    under, top = under_m - gait.lift_m, top_m - gait.lift_m
    if top <= 0 or under >= gait.headroom_m:
        return "passes"
    if gait.shy and solid.reluctant:
        return "stops"
    if solid.gap_m >= gait.hole_m or (gait.under_m is not None and under >= gait.under_m):
        return "passes"
    return "stops" if top >= gait.over_m else "over"


def _solids(scene: Scene, gait: Gait) -> Iterator[Barrier]:
    above = standing(scene)
    lidded = lids(above)
    table = _GAITS.get((scene.ground,), gait, _Stopped)
    for number, solid in enumerate(scene.solids):
        lid = lidded.get(number)
        known = table.get((id(solid), id(lid)))  # with a lid, as that may come or go by itself
        if known is None:
            known = table.put(solid, lid, _solid(above, number, gait, lid))
        yield from known[2]


def _lifted(scene: Scene, walker: Walker, found: Iterable[Barrier]) -> list[Barrier]:
    """Return barriers with nets and the sides of cages told apart for those with hands: they lift them to pick."""
    nets = {c.owner for c in scene.covers}
    if walker.animal or not nets:
        return list(found)
    return [_NET.get((b,), None, partial(replace, b, what="net")) if b.owner in nets else b for b in found]


_Stop = tuple[Solid, Lid | None, tuple[Barrier, ...]]


class _Stopped(dict[tuple[int, int], _Stop]):
    """What of each solid under its lid stops those of one gait: both go by identity, and are held, so that it stays theirs."""

    def put(self, solid: Solid, lid: Lid | None, found: tuple[Barrier, ...]) -> _Stop:
        """Keep what of a solid stops them."""
        if len(self) >= MOST_SOLIDS:
            self.clear()
        self[id(solid), id(lid)] = made = (solid, lid, found)
        return made


def _solid(above: Standing, number: int, gait: Gait, lid: Lid | None) -> tuple[Barrier, ...]:
    """Return what of one solid, which may have a lid, stops a walker."""
    solid, pairs = above.scene.solids[number], above.varied.get(number)
    if pairs is None:
        pairs = frozenset({(solid.base.value_m, solid.top.value_m)})
    said = {_met(gait, solid, under, top) for under, top in pairs}
    if said == {"stops"} or ("over" in said and lid is not None and _under_lid(gait, lid)):
        return (Barrier(solid.footprint, solid.owner, "solid", solid.grown),)
    if "stops" not in said:
        return _too_deep(gait, solid, max(top for _, top in pairs)) if "over" in said else ()
    # A level wall on falling ground: only the pieces that stop at all their corners do.
    cells = [
        cell for cell, corners in above.cells(number) if all(_stops(gait, solid, under, top) for under, top in corners)
    ]
    return tuple(Barrier(p, solid.owner, "solid", solid.grown) for p in polygons(shapely.union_all(cells)))


def _under_lid(gait: Gait, lid: Lid) -> bool:
    """Return whether a walker who gets over a wall is stopped by the roof over it: no room between, none over both."""
    top = lid.top_m - gait.lift_m
    if lid.clear_m >= gait.slot_m:
        return False
    return top >= gait.over_m or not _leapt(gait, lid.shape, top).is_empty


def _too_deep(gait: Gait, solid: Solid, top_m: float) -> tuple[Barrier, ...]:
    """Return what of a solid low enough to get over is too deep for a leap, where nobody lands on it."""
    if gait.leap_m is None or bears(solid):
        return ()
    left = _leapt(gait, solid.footprint, top_m - gait.lift_m)
    return tuple(Barrier(p, solid.owner, "solid", solid.grown) for p in polygons(left))


def _leapt(gait: Gait, shape: BaseGeometry, top_m: float) -> BaseGeometry:
    """Return the part of a shape ``top_m`` high that a walker's leap doesn't cross [m]."""
    return Polygon() if gait.leap_m is None else deeper_than(shape, leap_at_m(gait.leap_m, gait.over_m, top_m))


SLIVER_M2 = 1e-9
"""A polygon no larger than this is none [m2]."""


def polygons(shapes: object) -> list[Polygon]:
    """Return the polygons in a geometry or an array of geometries, leaving out lines, points and slivers."""
    if isinstance(shapes, Polygon):
        return [shapes] if shapely.area(shapes) > SLIVER_M2 else []
    parts = shapely.get_parts(shapely.get_parts(np.atleast_1d(np.asarray(shapes, dtype=object))))
    big = (shapely.area(parts) > SLIVER_M2) & (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON)
    out: list[Polygon] = parts[big].tolist()
    return out


def _surfaces(laid: Laid, walker: Walker) -> tuple[Barrier, ...]:
    """Return where surfaces stop a walker: those who mind the same are stopped by the same ones."""
    minds = (walker.keeps_off_plants, walker.wades, walker.step_up, walker.steepest)
    return _MINDED.get(
        (laid,), minds, lambda: tuple(b for n in range(len(laid.surfaces)) for b in _surface(laid, walker, n))
    )


def _surface(laid: Laid, walker: Walker, number: int) -> tuple[Barrier, ...]:
    """Return where a surface stops a walker, less what lies over it (a path through a bed, a bridge over water)."""
    surface = laid.surfaces[number]
    what = _surface_stops(walker, surface)
    if what is None:
        return ()
    over = laid.over(number)
    return _SURFACE.get((surface, *over), what, lambda: _seen(surface, over, what))


def _seen(surface: Surface, above: Sequence[Surface], what: What) -> tuple[Barrier, ...]:
    over = [s.area for s in above if s.area.intersects(surface.area)]
    seen = surface.area.difference(shapely.union_all(over)) if over else surface.area
    return tuple(Barrier(piece, surface.owner, what, surface.planted) for piece in polygons(seen))


def _surface_stops(walker: Walker, surface: Surface) -> What | None:
    if surface.planted and walker.keeps_off_plants:
        return "planted"
    if surface.water_depth_m > float(walker.wades):
        return "water"
    if isinstance(surface.lie, Risers) and surface.lie.rise_m > float(walker.step_up):
        return "step"
    if isinstance(surface.lie, Plane) and surface.lie.grade > walker.steepest + 1e-9:
        return "steep" if _rise_m(surface.area, surface.lie) > float(walker.step_up) + RISE_SLACK_M else None
    return None


def _rise_m(area: Polygon, plane: Plane) -> float:
    """Return how much higher the top of a sloping floor lies than its foot [m]: no more than a step is stepped up."""
    return _RISE.get((area, plane), None, lambda: _fall(area, plane))


def _fall(area: Polygon, plane: Plane) -> float:
    turn = np.radians(plane.fall_deg)
    along = shapely.get_coordinates(area) @ np.array([np.sin(turn), np.cos(turn)])
    return float(np.ptp(along)) * plane.grade


def passes_leaf(walker: Walker, opening: Opening, snow_m: float = 0.0) -> bool:
    """Return whether ``walker`` gets through a shut opening: by opening it, over, under or through its leaf."""
    leaf = opening.leaf
    if leaf is None or walker.opens_latch(opening.latch):
        return True
    if over_leaf(walker, opening, snow_m):
        return True
    gap = walker.crawl_gap
    return gap is not None and max(leaf.under_m, leaf.gap_m) >= float(gap)


def over_leaf(walker: Walker, opening: Opening, snow_m: float = 0.0) -> bool:
    """Return whether ``walker`` gets over a shut leaf; under a lintel only through the room left above the leaf."""
    leaf, gait = opening.leaf, gait_of(walker, snow_m)
    if leaf is None or leaf.height_m - gait.lift_m >= gait.over_m:
        return False
    return opening.headroom_m is None or opening.headroom_m - leaf.height_m >= gait.slot_m


def opening_barriers(
    scene: Scene, walker: Walker, opening: Opening, gates: Gates, open_gate: str | None
) -> tuple[Barrier, ...]:
    """Return what stops ``walker`` in an opening: a leaf across it, a low head, a step, or posts grown narrow."""
    stands_open = opening.latch != "shut" and (gates == "open" or opening.owner == open_gate)
    how: Gates = "shut" if gates == "shut" else "open" if stands_open else "usable"
    snow_m = scene.snow_m
    return _OPENING.get((opening, walker), (how, snow_m), lambda: tuple(_in_opening(walker, opening, how, snow_m)))


def _in_opening(walker: Walker, opening: Opening, how: Gates, snow_m: float) -> Iterator[Barrier]:
    """Yield what stops ``walker`` in an opening that is shut to all, stands ``open``, or is used as the walker can."""
    across = opening.clear.length + 2 * BITE_M
    if how == "shut":
        yield _stick(opening, 0.0, across, "leaf")
        return
    if how != "open" and not passes_leaf(walker, opening, snow_m):
        yield _stick(opening, 0.0, across, "leaf")
    elif opening.headroom_m is not None and opening.headroom_m < float(walker.headroom):
        yield _stick(opening, 0.0, across, "low")
    elif opening.step_m > float(walker.step_up):
        yield _stick(opening, 0.0, across, "step")
    side = (opening.clear.length - opening.width_m) / 2
    if side > 1e-6:
        yield _stick(opening, 0.0, side + BITE_M, "narrow")
        yield _stick(opening, across - side - BITE_M, across, "narrow")


def _stick(opening: Opening, start_m: float, end_m: float, what: What) -> Barrier:
    """Return a thin piece across an opening, from ``start_m`` to ``end_m`` along it, counted from inside the post."""
    return _STICK.get((opening,), (start_m, end_m, what), lambda: _across(opening, start_m, end_m, what))


def _across(opening: Opening, start_m: float, end_m: float, what: What) -> Barrier:
    (ax, ay), (bx, by) = opening.clear.coords[0], opening.clear.coords[-1]
    run = opening.clear.length or 1.0
    ux, uy = (bx - ax) / run, (by - ay) / run
    nx, ny = -uy * LEAF_M / 2, ux * LEAF_M / 2
    at = [(ax + ux * (s - BITE_M), ay + uy * (s - BITE_M)) for s in (start_m, end_m)]
    (px, py), (qx, qy) = at
    shape = Polygon([(px + nx, py + ny), (qx + nx, qy + ny), (qx - nx, qy - ny), (px - nx, py - ny)])
    return Barrier(shape, opening.owner, what)


def _steep(scene: Scene, walker: Walker) -> tuple[Barrier, ...]:
    """Return the ground steeper than the walker climbs, outside made ramps and steps.

    A steep face no higher than a step is stepped up; faces that touch are taken together.
    """
    made = tuple(s for s in scene.surfaces if isinstance(s.lie, (Risers, Plane)))
    more = (walker.steepest, float(walker.step_up))
    return _STEEP.get((scene.ground, *made), more, lambda: _steep_faces(scene.ground, made, *more))


def _steep_faces(ground: Ground, made: Sequence[Surface], steepest: float, step_up_m: float) -> tuple[Barrier, ...]:
    faces, low, high = _faces(ground, steepest)
    if not len(faces):
        return ()
    low, high = _with_neighbours(faces, low, high)
    tall = faces[high - low > step_up_m + 1e-9]
    if made and len(tall):
        ramps = shapely.union_all([s.area for s in made])
        tall = shapely.difference(tall, shapely.buffer(ramps, MADE_M, join_style="mitre"))
    return tuple(Barrier(p, "", "steep") for p in polygons(tall)) if len(tall) else ()


def _faces(ground: Ground, steepest: float) -> tuple[NDArray[np.object_], NDArray[np.float64], NDArray[np.float64]]:
    """Return the triangles of the ground steeper than ``steepest`` in plan [m], with their lowest and highest z [m]."""
    corners = ground.vertices[ground.triangles]
    a, b = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    normal = np.cross(a, b)
    flat = np.abs(normal[:, 2])
    steep = np.hypot(normal[:, 0], normal[:, 1]) > steepest * flat
    chosen = corners[steep & (flat > 1e-9)]
    return shapely.polygons(chosen[:, :, :2]), chosen[:, :, 2].min(axis=1), chosen[:, :, 2].max(axis=1)


def _with_neighbours(
    faces: NDArray[np.object_], low: NDArray[np.float64], high: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the lowest and highest z [m] of each face and those that touch it."""
    one, other = shapely.STRtree(faces).query(faces, predicate="dwithin", distance=1e-3)
    lower, higher = low.copy(), high.copy()
    np.minimum.at(lower, one, low[other])
    np.maximum.at(higher, one, high[other])
    return lower, higher


def is_overhead(solid: Solid) -> bool:
    """Return whether a solid is a roof or slats rather than something upright."""
    return isinstance(solid.form, (Slab, Slats))


def whole(shape: Polygon | MultiPolygon) -> list[Polygon]:
    """Return the polygons of a polygon or several."""
    return polygons(shape)


_LISTED: Kept[tuple[Barrier, ...]] = Kept(256)
_NET: Kept[Barrier] = Kept(512)
_GAITS: Kept[_Stopped] = Kept(128)
_MINDED: Kept[tuple[Barrier, ...]] = Kept(256)
_SURFACE: Kept[tuple[Barrier, ...]] = Kept(4096)
_RISE: Kept[float] = Kept(1024)
_STICK: Kept[Barrier] = Kept(2048)
_OPENING: Kept[tuple[Barrier, ...]] = Kept(4096)
_BEYOND: Kept[Barrier] = Kept(64)
_STEEP: Kept[tuple[Barrier, ...]] = Kept(256)
