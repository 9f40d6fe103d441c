"""Whether things stand in line: how far off the line between two places a third is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quincunx.scene import Scene
from quincunx.shapes import XY


@dataclass(frozen=True)
class OffLine:
    """How far a point is off a line: ``right_m`` to the right as one goes along it, ``along_m`` from its start [m]."""

    right_m: float
    along_m: float
    length_m: float
    foot: XY

    @property
    def between(self) -> bool:
        """Return whether it lies between the ends."""
        return -1e-9 <= self.along_m <= self.length_m + 1e-9


def middle_of(scene: Scene, ref: str) -> XY | None:
    """Return the middle of a spot, an opening, a room or a thing, to the millimetre it was typed [m]; None if it isn't there."""
    spot = scene.spot(ref)
    if spot is not None:
        return spot.at
    opening = next((o for o in scene.openings if o.owner == ref), None)
    if opening is not None:
        point = opening.clear.interpolate(0.5, normalized=True)
        return (point.x, point.y)
    room = scene.room(ref)
    if room is not None:
        shape = room.outline
        return room.inside if shape is None else (shape.centroid.x, shape.centroid.y)
    area = scene.area_of(ref)
    return None if area is None else (area.centroid.x, area.centroid.y)


def off_line(start: XY, end: XY, at: XY) -> OffLine:
    """Return how far a point is off the line from ``start`` to ``end``; ValueError where these are one point."""
    run = np.subtract(end, start)
    length = float(np.hypot(*run))
    if length < 1e-6:
        raise ValueError("got a line between two places that are one; expected two places apart from each other")
    ahead = run / length
    off = np.subtract(at, start)
    along = float(off @ ahead)
    foot = np.add(start, ahead * along)
    return OffLine(float(off @ (ahead[1], -ahead[0])), along, length, (float(foot[0]), float(foot[1])))
