"""Rooms whose point lies outside the ground, inside something solid or in water."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Point

from quincunx.review._view import View
from quincunx.scene import Scene
from quincunx.shapes import Finding, Severity

SOURCE = "Quincunx: a room is found from the point inside it"
HOW = "on the board under “What is there” open {}, press “Move it” and touch the sheet"
"""How a room's point is moved."""


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each room that can't be found from its point."""
    last = view.timeline.at(view.timeline.leaf_date(view.timeline.years[-1]))
    for room in last.rooms:
        point, how = Point(room.inside), HOW.format(room.name)
        if not last.boundary.covers(point):
            words, remedy = f"The point inside {room.name} lies outside the boundary.", f"Move it into the room: {how}."
        else:
            owner = _in_the_way(last, point)
            if owner is None:
                continue
            words = f"The point inside {room.name} lies in {view.called(owner)}."
            remedy = f"Move it to open ground in the room: {how}."
        yield Finding(f"room-point-{room.id}", Severity.FAULT, words, remedy, SOURCE, (room.id,), room.inside)


def _in_the_way(scene: Scene, point: Point) -> str | None:
    """Return what stands on a point or holds water there, by id; None where the ground is open."""
    hit = next((s.owner for s in scene.solids if s.upright and s.footprint.covers(point)), None)
    pools = (s.owner for s in scene.surfaces if s.water_depth_m > 0 and s.area.covers(point))
    return hit or next(pools, None)
