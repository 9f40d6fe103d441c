"""A cold frame: a low box under a sloping light."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._floors import Lies
from quincunx.features._frames import wall_solids
from quincunx.features._kit import Built
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure
from quincunx.features._roofs import fill_solids, roof_solids, roof_work
from quincunx.features._slopes import Slope, edges, slopes
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import GROUND, Figure, Height, LineWork, PathFigure, Surface, every_month
from quincunx.units.fields import Length, field, length

LIGHT = {"glass": 0.8, "twin-wall sheet": 0.7}
"""Share of sunlight let through, frame included (from memory)."""
LIGHT_M = 0.6
"""Width of one light: the frame's top opens in leaves about this wide (common practice, no source)."""


class ColdFrame(Built, Turned):
    """A box for young plants."""

    words: ClassVar[str] = "cold frame"
    about: ClassVar[str] = "A low box under glass, open by hand: brings plants on early; nobody walks on it."
    group: ClassVar[Group] = "shelter"
    example: ClassVar = {
        "id": "cold-frame", "at": [5, 24], "facing_deg": 180, "width": 1.8, "depth": 0.9, "there_from": "2027-10",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("how", "made_of", "glazing")
    kind: Literal["cold-frame"] = "cold-frame"
    width: Length = length("Width", 1.2, ge=0.3, le=8.0)
    depth: Length = length("Depth", 0.6, ge=0.3, le=2.0)
    front_height: Length = length("Height in front", 0.25, ge=0.1, le=1.0)
    back_height: Length = length("Height at the back", 0.4, ge=0.1, le=1.2)
    thickness: Length = length("Thickness of the walls", 0.025, ge=0.01, le=0.25)
    made_of: Literal["boards", "brick"] = field("Walls", "boards")
    glazing: Literal["glass", "twin-wall sheet"] = field("Glazed with", "glass")

    def slope(self) -> Slope:
        """Return the slope of its lights, falling to the front (level if the front isn't the lower side)."""
        rise = max(float(self.back_height) - float(self.front_height), 0.0)
        front = edges(self.plan(), self.facing_deg)[0]
        return slopes(self.plan(), (front,), math.degrees(math.atan2(rise, float(self.depth))))[0]

    def stand(self, moment: Moment) -> Stood:
        """Give four low walls, the lights over them and the bed inside."""
        z0 = moment.ground_z_m(float(self.at[0]), float(self.at[1]))
        front, light, thick = z0 + float(self.front_height), LIGHT[self.glazing], float(self.thickness)
        sides, slope = edges(self.plan(), self.facing_deg), self.slope()
        strips = tuple(e.strip(0.0, e.length_m, thick) for e in sides)
        solids = wall_solids(self.id, "side", strips, GROUND, Height(front, "site"))
        solids += fill_solids(self.id, strips, (slope,), front)
        solids += roof_solids(
            self.id, (slope,), front, 0.03, light=every_month(light), seen=every_month(1 - light), sheds_to=None
        )
        inside = self.plan().buffer(-thick, join_style="mitre")
        bed = Surface(self.id, "bed", inside, "earth", planted=True, run_off=0.0, layer=Lies.RAISED)
        made = self.made_of
        work = [
            LineWork(self.id, LineString([e.start, e.end]), self._mean_height(i), thick, made)
            for i, e in enumerate(sides)
        ]
        lights = roof_work(self.id, (slope,), self.glazing, 0.004 if self.glazing == "glass" else 0.01)
        return Stood(solids, (bed,), figures=self._figures(), work=self.built_work((*work, *lights)))

    def _mean_height(self, side: int) -> float:
        front, back = float(self.front_height), max(float(self.back_height), float(self.front_height))
        return (front, (front + back) / 2, back, (front + back) / 2)[side]

    def _figures(self) -> tuple[Figure, ...]:
        """Draw the box, its lights as fine lines and which way they fall."""
        front, _, back, _ = edges(self.plan(), self.facing_deg)
        leaves = max(round(front.length_m / LIGHT_M), 1)
        bars = [
            PathFigure((front.point(s), back.point(front.length_m - s)), "built", self.id, weight="fine")
            for s in (front.length_m * i / leaves for i in range(1, leaves))
        ]
        return (area_figure(self.plan(), "built", self.id, "plain", "normal"), *bars)
