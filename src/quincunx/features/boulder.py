"""A boulder."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.features._base import Group
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, direction, tuple_add
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Height, PathFigure, Solid
from quincunx.units.fields import Length, field, length

_OUTLINE = ((0, 1.0), (38, 0.97), (82, 1.0), (120, 0.9), (160, 0.98), (205, 0.93), (250, 1.0), (310, 0.95))
"""Bearing from its front [deg] and share of the half-width there: a stone's outline, not quite round."""
STONE_KG_M3 = 2600.0
"""Granite, limestone and sandstone weigh about 2300 to 2700 kg/m3 (from memory)."""


class Boulder(Turned):
    """A stone too heavy to be carried away by hand."""

    words: ClassVar[str] = "boulder"
    about: ClassVar[str] = "A stone to set, sit on or walk round; too heavy to shift once it is there."
    group: ClassVar[Group] = "walls"
    example: ClassVar = {
        "id": "stream-stone", "at": [2, 2], "width": 1.1, "depth": 0.8, "height": 0.55, "there_from": "start",
    }  # fmt: skip

    kind: Literal["boulder"] = "boulder"
    width: Length = length("Width", 0.9, ge=0.1, le=6.0)
    depth: Length = length("Depth", 0.7, ge=0.1, le=6.0)
    height: Length = length("Height above the ground", 0.5, ge=0.05, le=4.0)
    buried_share: float = field("Share of it in the ground", 0.3, unit="share", ge=0.0, le=0.9)

    def plan(self) -> Polygon:
        """Return its outline in plan [m]."""
        half_w, half_d = float(self.width) / 2, float(self.depth) / 2
        front, right = direction(self.facing_deg), direction(self.facing_deg + 90)
        corners = []
        for bearing_deg, share in _OUTLINE:
            aside, ahead = direction(bearing_deg)
            at = tuple_add((float(self.at[0]), float(self.at[1])), right, aside * half_w * share)
            corners.append(tuple_add(at, front, ahead * half_d * share))
        return Polygon(corners)

    def weight_kg(self) -> float:
        """Return what it weighs as half an ellipsoid of stone and the part in the ground [kg]: a round figure."""
        seen = 2 / 3 * float(self.plan().area) * float(self.height)
        return seen / (1 - self.buried_share) * STONE_KG_M3

    def stand(self, moment: Moment) -> Stood:
        """Give one solid; it needs no work but moving it."""
        shape = self.plan()
        ring = shape.exterior.coords[:-1]
        crack = PathFigure((ring[0], (float(self.at[0]), float(self.at[1])), ring[3]), "built", self.id, weight="fine")
        solid = Solid(self.id, "", shape, top=Height(float(self.height)))
        return Stood((solid,), figures=(area_figure(shape, "built", self.id, "plain", "normal"), crack))
