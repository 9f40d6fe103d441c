"""Steps and ramps through the wall that holds a terrace are openings of it, as a gate is of a fence."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from shapely import LineString, Polygon

from quincunx.shapes import Cut, Opening, Solid

LONG_M = 50.0
"""Half the length of the line laid across a flight to find its sides [m]."""


def passages(solids: Sequence[Solid], cuts: Iterable[Cut]) -> Iterator[Opening]:
    """Yield an opening for each wall that a way with steps or a slope is cut through: across it, within the wall."""
    for cut in cuts:
        if cut.way is None:
            continue
        for solid in solids:
            if solid.retains and solid.owner != cut.owner and solid.footprint.intersects(cut.way):
                clear = _across(cut.way, cut.place, solid.footprint)
                if clear is not None:
                    yield Opening(cut.owner, clear, clear.length, None, cut.step_m)


def _across(way: LineString, place: Polygon, wall: Polygon) -> LineString | None:
    """Return the line across a way's ``place`` at the middle of where it passes a ``wall`` [m]; None if it misses it."""
    inside = way.intersection(wall)
    if inside.is_empty or inside.length < 1e-6:
        return None
    middle = inside.interpolate(0.5, normalized=True)
    (ax, ay), (bx, by) = way.coords[0], way.coords[-1]
    run = math.hypot(bx - ax, by - ay)
    if run < 1e-6:
        return None
    nx, ny = -(by - ay) / run * LONG_M, (bx - ax) / run * LONG_M
    across = LineString([(middle.x - nx, middle.y - ny), (middle.x + nx, middle.y + ny)]).intersection(place)
    return across if isinstance(across, LineString) and across.length > 1e-6 else None
