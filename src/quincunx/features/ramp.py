"""A ramp along a straight line from its foot to its head."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar, Literal

from shapely import LineString, Polygon

from quincunx.features._base import Group
from quincunx.features._floors import FLOORS, FloorName, Lies, floor_surface
from quincunx.features._lined import Climbing
from quincunx.features._plan import area_figure, bearing
from quincunx.features._rails import Railed
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import GROUND, AreaWork, Cut, Figure, PathFigure, Plane, RampWork, TextFigure
from quincunx.units.fields import Length, field, length

INCH_M = 0.0254


@dataclass(frozen=True, slots=True)
class RampRule:
    """What an accessible ramp may be: steepest grade, rise of one run, clear width and length of a landing [m]."""

    grade: float
    rise_m: float
    width_m: float
    landing_m: float


ACCESSIBLE = RampRule(1 / 12, 30 * INCH_M, 36 * INCH_M, 60 * INCH_M)
"""2010 ADA Standards 405.2, 405.6, 405.5 (read) and 405.7 (landing: from memory).  One published rule, not the law of
every place: the local authority decides."""


@dataclass(frozen=True, slots=True)
class Slope:
    """A ramp as it lies: ``rise_m`` over ``run_m`` (measured level)."""

    rise_m: float
    run_m: float

    @property
    def grade(self) -> float:
        """Return rise over run."""
        return self.rise_m / self.run_m

    @property
    def runs(self) -> int:
        """Return into how many runs landings must part it so that none rises too far."""
        return max(math.ceil(self.rise_m / ACCESSIBLE.rise_m - 1e-9), 1)

    @property
    def length_needed_m(self) -> float:
        """Return the level length an accessible ramp of this rise needs, its landings between runs included [m]."""
        return self.rise_m / ACCESSIBLE.grade + (self.runs - 1) * ACCESSIBLE.landing_m


class Ramp(Railed, Climbing):
    """A sloping way without steps, drawn from its foot to its head."""

    words: ClassVar[str] = "ramp"
    about: ClassVar[str] = (
        "A smooth slope for barrows and wheels; says how steep it is and how long it would have to be."
    )
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "barrow-ramp",
        "line": [[0, 0], [5, 0]],
        "width": 1.0,
        "fall": 0.4,
        "there_from": "2029-03",
    }

    weighed: ClassVar[tuple[str, ...]] = ("floor",)
    kind: Literal["ramp"] = "ramp"
    width: Length = length("Width", 1.0, ge=0.4, le=8.0)
    floor: FloorName = field("Made of", "concrete")

    def slope(self, moment: Moment) -> Slope:
        """Return how it lies."""
        foot, head, fall = self.ends(moment)
        return Slope(fall, math.dist(foot, head))

    def plan(self) -> Polygon:
        """Return the ramp in plan [m]."""
        return self.along(float(self.width))

    def stand(self, moment: Moment) -> Stood:
        """Give the slope, and cut it through a terrace edge that is in its way."""
        shape, (foot, head, _), slope = self.plan(), self.ends(moment), self.slope(moment)
        down = (bearing(foot, head) + 180.0) % 360.0
        lie = Plane(foot[0], foot[1], GROUND, down, slope.grade) if slope.rise_m else GROUND
        surface = floor_surface(self.id, "", shape, self.floor, moment, Lies.RAMP, lie)
        middle = ((foot[0] + head[0]) / 2, (foot[1] + head[1]) / 2)
        steepness = f"1 : {slope.run_m / slope.rise_m:.0f}" if slope.rise_m > 1e-3 else "level"
        rails = self.rail_lines(foot, head, float(self.width)) if slope.rise_m > 1e-3 else ()
        figures: tuple[Figure, ...] = (
            area_figure(shape, "way", self.id, FLOORS[self.floor].pattern, "normal"),
            PathFigure((foot, head), "note", self.id, weight="fine", arrow=True),
            TextFigure(middle, steepness, "note", self.id, "small"),
            *self.rail_figures(rails),
        )
        work = AreaWork(self.id, shape, FLOORS[self.floor].layers)
        sloped = (RampWork(self.id, slope.rise_m, slope.run_m, float(self.width)),) if slope.rise_m > 1e-3 else ()
        return Stood(
            self.rail_solids(rails),
            surfaces=(surface,),
            changes=(Cut(self.id, shape, needed=False, only="retaining", way=LineString((foot, head))),),
            figures=figures,
            work=(work, *sloped, *self.rail_work(rails, slope.rise_m)),
        )
