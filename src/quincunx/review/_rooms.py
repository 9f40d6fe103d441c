"""Rooms whose point lies outside the ground or inside something solid."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Point

from quincunx.review._view import View
from quincunx.shapes import Crown, Finding, Severity, Slab, Slats

SOURCE = "Quincunx: a room is found from the point inside it"


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each room that can't be found from its point."""
    last = view.timeline.at(view.timeline.leaf_date(view.timeline.years[-1]))
    for room in last.rooms:
        point = Point(room.inside)
        if not last.boundary.covers(point):
            words, remedy = f"The point inside {room.name} lies outside the boundary.", "Drag it into the room."
        else:
            upright = (s for s in last.solids if not isinstance(s.form, (Crown, Slab, Slats)))
            hit = next((s for s in upright if s.footprint.covers(point)), None)
            if hit is None:
                continue
            words = f"The point inside {room.name} lies in {view.called(hit.owner)}."
            remedy = "Drag it to open ground in the room."
        yield Finding(f"room-point-{room.id}", Severity.FAULT, words, remedy, SOURCE, (room.id,), room.inside)
