"""A gate in a wall, fence or hedge."""

from __future__ import annotations

from typing import Any, ClassVar, Literal

from quincunx.features._across import Across
from quincunx.features._base import Axis, Group
from quincunx.features._plan import bearing, direction, tuple_add, turned_deg
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import XY, Figure, Leaf, Opening, PathFigure
from quincunx.units.fields import Length, field, length


class Gate(Across):
    """A leaf that opens: cuts the wall it stands in."""

    words: ClassVar[str] = "gate"
    about: ClassVar[str] = (
        "Cuts the wall, fence or hedge it stands in; people go through, animals when it is left open."
    )
    group: ClassVar[Group] = "openings"
    example: ClassVar = {"id": "side-gate", "at": [3, 0], "along_deg": 90, "width": 0.9, "there_from": "start"}

    kind: Literal["gate"] = "gate"
    height: Length = length("Height of the leaf", 1.2, ge=0.3, le=3.0)
    under: Length = length("Clear below it", 0.05, ge=0.0, le=0.6)
    hole: Length = length("Largest hole through it", 0.0, ge=0.0, le=0.5)
    step: Length = length("Step at it", 0.0, ge=0.0, le=0.5)
    latch: Literal["none", "latched", "locked", "shut"] = field(
        "Latch", "latched", help="none: pushes open; shut: closed for good, nobody opens it"
    )
    leaves: int = field("Leaves", 1, ge=1, le=2)
    hung_left: bool = field("Hung on the left", True)

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Hang it on the side that mirrors its own, and let it swing the other way."""
        found = super().mirrored(axis)
        return {**found, "along_deg": turned_deg(found["along_deg"], 180.0), "hung_left": not self.hung_left}

    def stand(self, moment: Moment) -> Stood:
        """Give the opening and the cut it makes."""
        leaf = Leaf(float(self.height), float(self.under), float(self.hole))
        opening = Opening(self.id, self.clear(), float(self.width), None, float(self.step), self.latch, leaf)
        return Stood(openings=(opening,), changes=(self.cut(),), figures=self._figures(*self.ends()))

    def _figures(self, start: XY, end: XY) -> tuple[Figure, ...]:
        """Draw each leaf standing half open, with no swing arc: a thick bar from its hinge."""
        hinge, free = (start, end) if self.hung_left else (end, start)
        figures: list[Figure] = [PathFigure((start, end), "way", self.id, weight="fine", dash=True)]
        share = float(self.width) / self.leaves
        sides = [(hinge, free)] if self.leaves == 1 else [(start, end), (end, start)]
        for here, there in sides:
            turn = 45.0 if here == start else -45.0
            tip = tuple_add(here, direction(bearing(here, there) - turn), share)
            figures.append(PathFigure((here, tip), "built", self.id, weight="thick"))
        return tuple(figures)
