"""The garden's timeline: the document stood up."""

from __future__ import annotations

from typing import cast

from shapely import Polygon

from quincunx.garden.document import Garden
from quincunx.plants.catalogue import Plant, find_plant
from quincunx.scene import Frame, Room, Spot, Stands, Stood, Timeline
from quincunx.site.ground import Ground

UNPLACED_DEG = 52.0
"""Latitude assumed for the seasons where no place is given yet [deg]; a finding says so."""
EMPTY_M = 10.0
"""Side of the square of ground shown where no boundary is drawn yet [m]."""


def boundary_of(garden: Garden) -> Polygon:
    """Return the boundary [m]; where none is drawn yet, a square round all that is there."""
    if len(garden.boundary) >= 3:
        return Polygon([(float(x), float(y)) for x, y in garden.boundary])
    return Polygon([(0, 0), (EMPTY_M, 0), (EMPTY_M, EMPTY_M), (0, EMPTY_M)])


def ground_of(garden: Garden) -> Ground:
    """Return the lie of the land from the garden's heights and break lines."""
    heights = [h.xyz() for h in garden.levels.heights]
    return Ground.from_levels(heights, [b.xyz() for b in garden.levels.breaks], boundary_of(garden))


def frame_of(garden: Garden) -> Frame:
    """Return what is the same on every date."""
    rooms = tuple(
        Room(r.id, r.name or r.id, (float(r.inside[0]), float(r.inside[1])), _outline(r.outline), r.closed)
        for r in sorted(garden.rooms, key=lambda r: r.id)
    )
    spots = tuple(
        Spot(s.id, s.name or s.id, (float(s.at[0]), float(s.at[1])), float(s.height))
        for s in sorted(garden.spots, key=lambda s: s.id)
    )
    named = [(f.id, f.called) for f in garden.features] + [(j.id, j.name) for j in garden.jobs]
    named += [(r.id, r.name) for r in rooms] + [(s.id, s.name) for s in spots]
    snow = garden.site.climate.snow_depth_m or (0.0,) * 12
    place = garden.site.place
    cautions = tuple(sorted((f.id, word) for f in garden.features for word in f.cautions()))
    return Frame(
        boundary_of(garden), ground_of(garden), rooms, spots, tuple(sorted(named)),
        place.latitude_deg if place else UNPLACED_DEG, tuple(float(s) for s in snow),
        garden.site.climate, place.north_offset_deg if place else 0.0,
        place, garden.site.horizon, garden.site.soil, garden.site.household, cautions,
    )  # fmt: skip


def _outline(points: object) -> Polygon | None:
    return (
        None
        if points is None
        else Polygon([(float(p[0]), float(p[1])) for p in cast("tuple[tuple[float, float], ...]", points)])
    )


def timeline(garden: Garden, shared: dict[object, Stood] | None = None) -> Timeline:
    """Return the garden through time; ``shared`` keeps what stood before across edits."""
    own = {p.id: p for p in garden.plants}

    def find(plant_id: str) -> Plant | None:
        return find_plant(plant_id, own)

    features = cast("tuple[Stands, ...]", garden.features)
    return Timeline(frame_of(garden), features, garden.jobs, garden.means, garden.journal, find, shared)
