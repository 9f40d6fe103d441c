"""What stops a walker: one rule for people, barrows, deer and toddlers.

A walker meets a solid by its height above the ground there, its largest hole, its base and its reluctance:
it gets over what is lower than it steps, climbs or jumps, under what is higher than its head, through a hole
as large as it crawls through; those who keep off plants keep off planted things whatever their height.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import Opening, Plane, Risers, Slab, Slats, Solid, Surface
from quincunx.site.ground import Ground
from quincunx.walk.heights import standing
from quincunx.walk.walkers import Walker

Gates = Literal["usable", "shut", "open"]
"""Gates used as the walker can; every opening closed (with or without a leaf); every gate standing open."""

What = Literal["solid", "planted", "water", "leaf", "narrow", "low", "step", "steep"]

LEAF_M = 0.02
"""Thickness a shut leaf is given in plan [m]."""
BITE_M = 0.01
"""How far a shut leaf is taken into its posts, so that no light shows past it [m]."""
SEEN_M = 0.2
"""What stands lower than this is stepped over without a word, and is no wall anybody meant [m]."""
MADE_M = 0.25
"""How far past a ramp or steps the bank they climb is taken as made too, at head and foot [m]."""


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
    and walk round what they could climb.
    """
    found = list(_solids(scene, walker, polite=polite))
    found += [b for surface in scene.surfaces for b in _surface(scene, walker, surface)]
    found += [b for o in scene.openings for b in opening_barriers(scene, walker, o, gates, open_gate)]
    found += _steep(scene, walker)
    return tuple(found)


def stops(
    walker: Walker, solid: Solid, under_m: float, top_m: float, snow_m: float = 0.0, *, polite: bool = False
) -> bool:
    """Return whether ``solid``, from ``under_m`` to ``top_m`` above the ground, stops ``walker``.

    ``snow_m`` of snow lifts those who walk on it.  Polite walkers climb over nothing higher than a step.
    """
    lift = snow_m if walker.snow_lifts else 0.0
    under, top = under_m - lift, top_m - lift
    if top <= 0 or under >= float(walker.headroom):
        return False
    shy = solid.reluctant and walker.keeps_off_plants
    if shy and polite:
        return True
    hole = float(walker.body_width if walker.crawl_gap is None else walker.crawl_gap)
    if solid.gap_m >= hole or (walker.crawl_gap is not None and under >= hole):
        return False
    return top >= float(walker.step_up if polite else walker.over)


def _solids(scene: Scene, walker: Walker, *, polite: bool) -> Iterator[Barrier]:
    above = standing(scene)
    for number, solid in enumerate(scene.solids):
        pairs = above.varied.get(number)
        if pairs is None:
            if stops(walker, solid, solid.base.value_m, solid.top.value_m, scene.snow_m, polite=polite):
                yield Barrier(solid.footprint, solid.owner, "solid", solid.grown)
            continue
        said = {stops(walker, solid, under, top, scene.snow_m, polite=polite) for under, top in pairs}
        if said == {True}:
            yield Barrier(solid.footprint, solid.owner, "solid", solid.grown)
        elif len(said) == 2:  # a level wall on falling ground: only the pieces that stop at all their corners do
            cells = [
                cell
                for cell, corners in above.cells(number)
                if all(stops(walker, solid, under, top, scene.snow_m, polite=polite) for under, top in corners)
            ]
            for piece in polygons(shapely.union_all(cells)):
                yield Barrier(piece, solid.owner, "solid", solid.grown)


def polygons(shapes: object) -> list[Polygon]:
    """Return the polygons in a geometry or an array of geometries, leaving out lines, points and slivers."""
    parts = shapely.get_parts(shapely.get_parts(np.atleast_1d(np.asarray(shapes, dtype=object))))
    return [p for p in parts if isinstance(p, Polygon) and p.area > 1e-9]


def _above(scene: Scene, surface: Surface) -> BaseGeometry | None:
    """Return what lies over ``surface`` and hides it (a path through a bed, a bridge over water)."""
    over = [s.area for s in scene.surfaces if s.layer > surface.layer and s.area.intersects(surface.area)]
    return shapely.union_all(over) if over else None


def _surface(scene: Scene, walker: Walker, surface: Surface) -> Iterator[Barrier]:
    what = _surface_stops(walker, surface)
    if what:
        hidden_by = _above(scene, surface)
        seen = surface.area if hidden_by is None else surface.area.difference(hidden_by)
        for piece in polygons(seen):
            yield Barrier(piece, surface.owner, what, surface.planted)


def _surface_stops(walker: Walker, surface: Surface) -> What | None:
    if surface.planted and walker.keeps_off_plants:
        return "planted"
    if surface.water_depth_m > float(walker.wades):
        return "water"
    if isinstance(surface.lie, Risers) and surface.lie.rise_m > float(walker.step_up):
        return "step"
    if isinstance(surface.lie, Plane) and surface.lie.grade > walker.steepest + 1e-9:
        return "steep"
    return None


def passes_leaf(walker: Walker, opening: Opening, snow_m: float = 0.0) -> bool:
    """Return whether ``walker`` gets through a shut opening: by opening it, over, under or through its leaf."""
    leaf = opening.leaf
    if leaf is None or walker.opens_latch(opening.latch):
        return True
    lift = snow_m if walker.snow_lifts else 0.0
    if leaf.height_m - lift < float(walker.over):
        return True
    gap = walker.crawl_gap
    return gap is not None and max(leaf.under_m, leaf.gap_m) >= float(gap)


def opening_barriers(
    scene: Scene, walker: Walker, opening: Opening, gates: Gates, open_gate: str | None
) -> Iterator[Barrier]:
    """Yield what stops ``walker`` in an opening: a leaf across it, a low head, a step, or posts grown narrow."""
    across = opening.clear.length + 2 * BITE_M
    if gates == "shut":
        yield _stick(opening, 0.0, across, "leaf")
        return
    stands_open = gates == "open" or opening.owner == open_gate
    if not stands_open and not passes_leaf(walker, opening, scene.snow_m):
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
    (ax, ay), (bx, by) = opening.clear.coords[0], opening.clear.coords[-1]
    run = opening.clear.length or 1.0
    ux, uy = (bx - ax) / run, (by - ay) / run
    nx, ny = -uy * LEAF_M / 2, ux * LEAF_M / 2
    at = [(ax + ux * (s - BITE_M), ay + uy * (s - BITE_M)) for s in (start_m, end_m)]
    (px, py), (qx, qy) = at
    shape = Polygon([(px + nx, py + ny), (qx + nx, qy + ny), (qx - nx, qy - ny), (px - nx, py - ny)])
    return Barrier(shape, opening.owner, what)


def _steep(scene: Scene, walker: Walker) -> list[Barrier]:
    """Return the ground steeper than the walker climbs, outside made ramps and steps.

    A steep face no higher than a step is stepped up; faces that touch are taken together.
    """
    faces, low, high = _faces(scene.ground, walker.steepest)
    if not len(faces):
        return []
    low, high = _with_neighbours(faces, low, high)
    tall = faces[high - low > float(walker.step_up) + 1e-9]
    made = [s.area for s in scene.surfaces if isinstance(s.lie, (Risers, Plane))]
    if made and len(tall):
        tall = shapely.difference(tall, shapely.buffer(shapely.union_all(made), MADE_M, join_style="mitre"))
    return [Barrier(p, "", "steep") for p in polygons(tall)] if len(tall) else []


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
