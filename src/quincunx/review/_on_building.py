"""What is drawn over a building: on its roof, where no footing, hole or load is reckoned, or by a slip inside its walls."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import MultiPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from quincunx.review._view import View, middle
from quincunx.scene import Scene
from quincunx.shapes import OPAQUE, Finding, Severity, Slab, Solid
from quincunx.units import listed

SHARE = 0.8
"""Share of a thing's own ground that lies within the walls before it counts as drawn over the building (our own choice)."""
LEAST_M2 = 4.0
"""What is smaller than this is no building [m2] (our own choice)."""

REMEDY = (
    "What is drawn there counts as standing on the ground, inside the walls. If it is to stand on the roof, nothing worked out here"
    " holds for it: no footing, post or hole may go through the roof's covering, and soil, water, paving, snow and people"
    " weigh more than most roofs were made for (a cubic metre of water a tonne, of wet soil about two). Have a structural"
    " engineer say what the roof carries before anything is put up there, and ask your local authority about permits, the"
    " guard along the edge and the ways up and out. If it is a slip, move it off the building."
)
SOURCE = (
    "Quincunx: footings and loads are looked up for ground only; what wet soil weighs is common practice, no source"
)


def check(view: View) -> Iterator[Finding]:
    """Yield a danger for each building over which something to come is drawn, with the years since when it stands there."""
    found: dict[str, dict[str, tuple[int, BaseGeometry]]] = {}
    for year, scene in view.summers():
        for building, things in over_buildings(scene).items():
            for thing, ground in things.items():
                if view.timeline.span(thing).begins is not None:
                    found.setdefault(building, {}).setdefault(thing, (year, ground))
    for building, since in sorted(found.items()):
        years = sorted({year for year, _ in since.values()})
        named = [(sorted(view.called(t) for t, (y, _) in since.items() if y == year), year) for year in years]
        lie = "lies" if len(named[0][0]) == 1 else "lie"
        (first, began), *rest = named
        words = f"{listed(first)} {lie} over {view.called(building)} from {began}"
        words += "".join(f", {listed(names)} from {year}" for names, year in rest)
        where = middle(unary_union([ground for _, ground in since.values()]))
        yield Finding(
            f"on-building-{building}", Severity.DANGER, f"{words}.", REMEDY, SOURCE, (building, *sorted(since)), where, began
        )  # fmt: skip


def over_buildings(scene: Scene) -> dict[str, dict[str, BaseGeometry]]:
    """Return for each building the ground of the things that lie within its walls [m]."""
    buildings = {s.owner: s for s in scene.solids if _is_body(s) and _roofed(scene, s)}
    if not buildings:
        return {}
    grounds = _grounds(scene)
    found: dict[str, dict[str, BaseGeometry]] = {}
    for name, body in buildings.items():
        for thing, ground in grounds.items():
            if thing not in buildings and _within(ground, body.footprint):
                found.setdefault(name, {})[thing] = ground
    return found


def _is_body(solid: Solid) -> bool:
    return solid.upright and not solid.gap_m and solid.opacity == OPAQUE and solid.footprint.area >= LEAST_M2


def _roofed(scene: Scene, body: Solid) -> bool:
    """Return whether a closed roof lies over it."""
    return any(
        s.owner == body.owner and isinstance(s.form, Slab) and s.opacity == OPAQUE and s.footprint.covers(body.footprint.centroid)
        for s in scene.solids
    )  # fmt: skip


def _within(ground: BaseGeometry, walls: BaseGeometry) -> bool:
    if not ground.area:
        return bool(ground.within(walls))
    return bool(ground.intersection(walls).area >= SHARE * ground.area)


def _grounds(scene: Scene) -> dict[str, BaseGeometry]:
    """Return the ground each thing stands on or covers [m], but not what is let into a wall or laid in the earth."""
    meant = {o.owner for o in scene.openings} | {c.owner for c in scene.covers} | {g.owner for g in scene.guards}
    parts: dict[str, list[BaseGeometry]] = {}
    for solid in scene.solids:
        if solid.upright:
            parts.setdefault(solid.owner, []).append(solid.footprint)
    for surface in scene.surfaces:
        parts.setdefault(surface.owner, []).append(surface.area)
    for plant in scene.plants:
        parts.setdefault(plant.owner, []).append(MultiPoint(plant.at))
    return {owner: unary_union(shapes) for owner, shapes in parts.items() if owner not in meant}
