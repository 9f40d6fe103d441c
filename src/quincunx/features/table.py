"""A table and the room for chairs round it."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.features._base import Group
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, biggest, circle, inset, label, outline_figure, rectangle, xy
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Height, Solid
from quincunx.units.fields import Length, field, length

TOP_M, LEG_M = 0.04, 0.08
"""Thickness of the top; a leg (common practice, no source)."""


class Table(Turned):
    """A table, round or not, with the room its chairs take."""

    words: ClassVar[str] = "table"
    about: ClassVar[str] = "A table; the dashed edge is the room for chairs drawn back, to be kept free."
    group: ClassVar[Group] = "furnishing"
    example: ClassVar = {"id": "terrace-table", "at": [4, 4], "width": 1.6, "depth": 0.9, "there_from": "2027-05"}

    kind: Literal["garden-table"] = "garden-table"
    plan_shape: Literal["rectangle", "round"] = field("Shape", "rectangle", help="a round one is as wide as its width")
    width: Length = length("Width", 1.6, ge=0.3, le=6.0)
    depth: Length = length("Depth", 0.9, ge=0.3, le=3.0)
    height: Length = length("Height", 0.75, ge=0.3, le=1.2)
    chairs: Length = length("Room round it for chairs", 0.8, ge=0.0, le=2.0, help="0.8 m: common practice, no source")

    def plan(self) -> Polygon:
        """Return its top in plan [m]."""
        return circle(self.at, float(self.width)) if self.plan_shape == "round" else super().plan()

    def _legs(self) -> tuple[Polygon, ...]:
        if self.plan_shape == "round":
            return (circle(self.at, 2 * LEG_M),)
        corners = xy(inset(self.plan(), LEG_M).exterior.coords[:-1])
        return tuple(rectangle(at, LEG_M, LEG_M, self.facing_deg) for at in corners)

    def stand(self, moment: Moment) -> Stood:
        """Give the top and its legs."""
        under = Height(float(self.height) - TOP_M)
        top = Solid(self.id, "top", self.plan(), under, Height(float(self.height)))
        legs = [Solid(self.id, f"leg{n}", s, top=under) for n, s in enumerate(self._legs(), start=1)]
        return Stood((top, *legs), figures=self._figures())

    def _figures(self) -> tuple[Figure, ...]:
        shape = self.plan()
        drawn: list[Figure] = [area_figure(shape, "built", self.id, "boards", "normal")]
        if self.chairs:
            room = biggest(shape.buffer(float(self.chairs), join_style="mitre"))
            drawn.append(outline_figure(room, "note", self.id, "fine", dash=True))
        return (*drawn, *label(shape, self.name, "built", self.id))
