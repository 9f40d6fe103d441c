"""What runs off roofs and floors: where it drips, how much a month, and into which tank."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.scene._kept import Kept
from quincunx.shapes import XY, Slab, Solid, united

CAUGHT = 0.85
"""Share of the rain on a roof that comes off it: 0.75 to 0.9 over all, 0.95 metal, 0.9 tile (Texas Water Development
Board, The Texas manual on rainwater harvesting, 3rd edition, 2005; from memory)."""
TOLD_M = 1.0
"""Water that falls less far than this is not worth telling [m]."""
NEAR_M = 0.3
"""What grows this near to a drip line is struck by it [m]."""


@dataclass(frozen=True)
class Roof:
    """All the roof of one thing: its plan area [m2], which counts for rain, and where its rain goes (None: it drips)."""

    owner: str
    shape: Polygon | MultiPolygon
    sheds_to: str | None

    @property
    def area_m2(self) -> float:
        """Return its area in plan [m2]: the slope does not catch more."""
        return float(self.shape.area)

    def litres(self, rain_mm: float, caught: float = CAUGHT) -> float:
        """Return what runs off in ``rain_mm`` of rain [litre]: 1 mm on 1 m2 is a litre."""
        return self.area_m2 * rain_mm * caught


def roofs_of(scene: Scene) -> tuple[Roof, ...]:
    """Return the roofs of a scene, by owner."""
    found: dict[str, list[Solid]] = {}
    for solid in scene.solids:
        if isinstance(solid.form, Slab) and not solid.grown:
            found.setdefault(solid.owner, []).append(solid)
    out = []
    for owner, slabs in sorted(found.items()):
        shape = _SHAPE.get(tuple(slabs), None, partial(_united, slabs))
        tank = next((s.sheds_to for s in slabs if s.sheds_to), None)
        if isinstance(shape, (Polygon, MultiPolygon)):
            out.append(Roof(owner, shape, tank))
    return tuple(out)


def _united(slabs: Sequence[Solid]) -> BaseGeometry:
    return united([s.footprint for s in slabs])


_SHAPE: Kept[BaseGeometry] = Kept(512)


def into_tank(scene: Scene, tank: str) -> tuple[Roof, ...]:
    """Return the roofs that drain into a tank."""
    return tuple(r for r in roofs_of(scene) if r.sheds_to == tank)


@dataclass(frozen=True)
class Drip:
    """An eaves line off which water drips, how high it falls [m], and what grows below it."""

    owner: str
    line: LineString
    fall_m: float
    strikes: tuple[str, ...]


def drips(scene: Scene) -> tuple[Drip, ...]:
    """Return the drip lines of roofs without a gutter to a tank: the low edges of their slopes."""
    out = []
    covered = {r.owner: r for r in roofs_of(scene)}
    for solid in scene.solids:
        if (
            not isinstance(solid.form, Slab)
            or solid.sheds_to
            or covered[solid.owner].sheds_to
            or solid.form.plane.grade <= 0
        ):
            continue
        line = _low_edge(solid)
        if line is not None and line.length > 0.1 and not _over_own_roof(solid, line, scene):
            out.append(Drip(solid.owner, line, _fall_m(scene, solid, line), _below(scene, solid.owner, line)))
    return tuple(out)


def _low_edge(solid: Solid) -> LineString | None:
    """Return the edge of a slope where it is lowest; None where that is a point."""
    form = solid.form
    assert isinstance(form, Slab)  # noqa: S101 - asked above
    ring = shapely.get_coordinates(solid.footprint.exterior)[:-1]
    fall = np.radians(form.plane.fall_deg)
    along = ring @ (np.sin(fall), np.cos(fall))
    low = ring[along > along.max() - 0.01]
    return LineString(low[:2]) if len(low) >= 2 else None


def _over_own_roof(solid: Solid, line: LineString, scene: Scene) -> bool:
    """Return whether a slope is what fills a gable: its edge lies inside a roof of the same thing."""
    others = [s for s in scene.solids if s.owner == solid.owner and s is not solid and isinstance(s.form, Slab)]
    middle = line.interpolate(0.5, normalized=True)
    return any(s.footprint.buffer(-0.02).covers(middle) for s in others)


def _fall_m(scene: Scene, solid: Solid, line: LineString) -> float:
    middle = line.interpolate(0.5, normalized=True)
    return solid.base.above_ground_m(scene.ground_z_m(middle.x, middle.y))


def _below(scene: Scene, owner: str, line: LineString) -> tuple[str, ...]:
    """Return what grows below a drip line, by id."""
    strip = line.buffer(NEAR_M)
    grown = {s.owner for s in scene.surfaces if s.planted and s.owner != owner and s.area.intersects(strip)}
    grown |= {p.owner for p in scene.plants if any(strip.covers(Point(at)) for at in p.at)}
    return tuple(sorted(grown))


@dataclass(frozen=True)
class RunOff:
    """What runs off in a month [litre]: from each roof, and from all floors together."""

    month: int
    roofs: tuple[tuple[str, float], ...]
    floors: float


def run_off(scene: Scene, rain_mm: tuple[float, ...]) -> tuple[RunOff, ...]:
    """Return what runs off roofs and floors in each month for twelve monthly rains [mm].

    Floors give the share of the rain that each surface says runs off it, on the ground that no roof covers and no
    higher layer hides.
    """
    roofs = roofs_of(scene)
    wet_m2 = _floors_m2(scene, roofs)
    return tuple(
        RunOff(m, tuple((r.owner, r.litres(mm)) for r in roofs), wet_m2 * mm) for m, mm in enumerate(rain_mm, start=1)
    )


def _floors_m2(scene: Scene, roofs: tuple[Roof, ...]) -> float:
    """Return the floors' area weighted with what runs off each [m2]."""
    hidden = united([r.shape for r in roofs]) if roofs else Polygon()
    total = 0.0
    for surface in sorted(scene.surfaces, key=lambda s: -s.layer):
        if not surface.planted and surface.water_depth_m <= 0:
            open_part = shapely.intersection(shapely.difference(surface.area, hidden), scene.boundary)
            total += float(open_part.area) * surface.run_off
        hidden = shapely.union(hidden, surface.area)
    return total


def drip_points(drip: Drip) -> tuple[XY, XY]:
    """Return the ends of a drip line in plan [m]."""
    (ax, ay), (bx, by) = drip.line.coords[0], drip.line.coords[-1]
    return (float(ax), float(ay)), (float(bx), float(by))
