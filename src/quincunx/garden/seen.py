"""What is looked at again and again: pegs to photograph from, with their photos, and stills of how it will look."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Annotated

from pydantic import Field
from shapely import Point as At

from quincunx.shapes import XY, Figure, PathFigure, TextFigure
from quincunx.units.fields import Doc, Length, Name, Point, Slug, field, length
from quincunx.works.prices import Day

if TYPE_CHECKING:
    from quincunx.scene import Scene

MOST_PHOTOS = 120
"""Photos from one peg."""
PEG_M = 0.18
"""Half the width of the mark of a peg [m]; the line of sight drawn from it is six times as long."""
NAMED_M = 1.5
"""What lies no farther than this from the point looked at gives it its name [m]."""


class PegPhoto(Doc):
    """A photo taken from a peg, the day it was taken, and the hour by the clock if that is known."""

    picture: Slug = field("Photo")
    day: Day = field("Taken on")
    hour: float | None = field("Hour of the clock", None, ge=0, lt=24)


class Peg(Doc):
    """A peg from which the same view is photographed again and again."""

    id: Slug = field("Id")
    name: Name = field("Name", "", max_length=80)
    at: Point = field("Where it stands")
    height: Length = length("Height of the camera above the ground", 1.5, ge=0.2, le=10.0)
    look_at: Point = field("Look at the point")
    photos: tuple[PegPhoto, ...] = field("Photos", (), max_length=MOST_PHOTOS)

    @property
    def place(self) -> XY:
        """Return where it stands [m]."""
        return float(self.at[0]), float(self.at[1])

    @property
    def bearing_deg(self) -> float:
        """Return the bearing of the plan that it looks along [deg]."""
        (x, y), (u, v) = self.place, (float(self.look_at[0]), float(self.look_at[1]))
        return math.degrees(math.atan2(u - x, v - y)) % 360


class Still(Doc):
    """A picture of how it will look, kept from standing in it: where, when, and which way."""

    id: Slug = field("Id")
    picture: Slug = field("Picture")
    words: str = field("Words under it", "", max_length=200)
    on: Day = field("Shows the garden on")
    hour: float | None = field("Hour of the clock", None, ge=0, le=24)
    at: Point = field("Seen from")
    height: Length = length("Height of the eye above the ground", 1.6, ge=0.1, le=200.0)
    bearing_deg: Annotated[float, Field(ge=0, le=360)] = field("Looking along", 0.0, unit="deg")


def looked_at(peg: Peg, scene: Scene) -> str | None:
    """Return the id of the spot or thing that a peg looks at; None where nothing named lies there."""
    point = At(float(peg.look_at[0]), float(peg.look_at[1]))
    near = [(At(s.at).distance(point), s.id) for s in scene.spots]
    found = min(near, default=(math.inf, ""))
    if found[0] <= NAMED_M / 3:
        return found[1]
    owners = {s.owner: s.footprint for s in scene.solids} | {o.owner: o.clear for o in scene.openings}
    things = [(shape.distance(point), shape.area, owner) for owner, shape in owners.items()]
    best = min(things, default=(math.inf, 0.0, ""))
    if best[0] <= NAMED_M:
        return best[2]
    return found[1] if found[0] <= NAMED_M else None


def peg_figures(pegs: tuple[Peg, ...]) -> tuple[Figure, ...]:
    """Return the marks of the pegs: a square, a line the way the camera looks with its point, and the name."""
    out: list[Figure] = []
    for peg in pegs:
        (x, y), turn = peg.place, math.radians(peg.bearing_deg)
        s, c = math.sin(turn), math.cos(turn)
        ring = tuple((x + a * PEG_M, y + b * PEG_M) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
        tip = (x + 6 * PEG_M * s, y + 6 * PEG_M * c)
        barbs = [(tip[0] - PEG_M * (1.6 * s + k * c), tip[1] - PEG_M * (1.6 * c - k * s)) for k in (-0.9, 0.9)]
        out.append(PathFigure(ring, "pin", peg.id, closed=True, weight="normal"))
        out.append(PathFigure(((x + PEG_M * s, y + PEG_M * c), tip), "pin", peg.id, weight="fine"))
        out.append(PathFigure((barbs[0], tip, barbs[1]), "pin", peg.id, weight="fine"))
        beside = (x + 1.8 * PEG_M, y - 1.6 * PEG_M)
        out.append(TextFigure(beside, peg.name or peg.id, "pin", peg.id, "small", 0.0, "start"))
    return tuple(out)
