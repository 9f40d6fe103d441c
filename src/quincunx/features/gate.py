"""A gate in a wall, fence or hedge."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._placed import Placed
from quincunx.features._plan import bearing, direction, rectangle, tuple_add, xy
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import XY, Cut, Figure, Handle, Leaf, Opening, PathFigure
from quincunx.units.fields import Length, degrees, field, length

REACH_M = 1.2
"""How thick a wall a gate's cut goes through, centred on it [m]."""


class Gate(Placed):
    """A leaf that opens: cuts the wall it stands in."""

    words: ClassVar[str] = "gate"
    about: ClassVar[str] = "Cuts the wall, fence or hedge it stands in; people go through, animals when it is left open."
    group: ClassVar[Group] = "openings"
    example: ClassVar = {"id": "side-gate", "at": [3, 0], "along_deg": 90, "width": 0.9, "there_from": "start"}

    kind: Literal["gate"] = "gate"
    along_deg: float = degrees("Direction of the wall", 90.0)
    width: Length = length("Clear width", 0.9, ge=0.3, le=8.0)
    height: Length = length("Height of the leaf", 1.2, ge=0.3, le=3.0)
    under: Length = length("Clear below it", 0.05, ge=0.0, le=0.6)
    hole: Length = length("Largest hole through it", 0.0, ge=0.0, le=0.5)
    step: Length = length("Step at it", 0.0, ge=0.0, le=0.5)
    latch: Literal["none", "latched", "locked"] = field("Latch", "latched")
    leaves: int = field("Leaves", 1, ge=1, le=2)
    hung_left: bool = field("Hung on the left", True)

    def _ends(self) -> tuple[XY, XY]:
        u = direction(self.along_deg)
        half = float(self.width) / 2
        at = xy((self.at,))[0]
        return tuple_add(at, u, -half), tuple_add(at, u, half)

    def stand(self, moment: Moment) -> Stood:
        """Give the opening and the cut it makes."""
        start, end = self._ends()
        leaf = Leaf(float(self.height), float(self.under), float(self.hole))
        opening = Opening(
            self.id, LineString([start, end]), float(self.width), None, float(self.step), self.latch, leaf
        )
        cut = Cut(self.id, rectangle(self.at, float(self.width), REACH_M, self.along_deg + 90))
        return Stood(openings=(opening,), changes=(cut,), figures=self._figures(start, end))

    def _figures(self, start: XY, end: XY) -> tuple[Figure, ...]:
        """Draw each leaf standing half open, with no swing arc: a thick bar and a dot at the hinge side."""
        hinge, free = (start, end) if self.hung_left else (end, start)
        figures: list[Figure] = [PathFigure((start, end), "way", self.id, weight="fine", dash=True)]
        share = float(self.width) / self.leaves
        sides = [(hinge, free)] if self.leaves == 1 else [(start, end), (end, start)]
        for here, there in sides:
            turn = 45.0 if here == start else -45.0
            tip = tuple_add(here, direction(bearing(here, there) - turn), share)
            figures.append(PathFigure((here, tip), "built", self.id, weight="thick"))
        return tuple(figures)

    def handles(self) -> tuple[Handle, ...]:
        """Give the middle and one end."""
        _, end = self._ends()
        return (*super().handles(), Handle("end", end, "end"))

    def dragged(self, handle: str, to: XY) -> dict[str, object]:
        """Move the middle, or set direction and width by the end."""
        if handle == "end":
            at = xy((self.at,))[0]
            half = ((to[0] - at[0]) ** 2 + (to[1] - at[1]) ** 2) ** 0.5
            return {"along_deg": round(bearing(at, to), 1) % 360.0, "width": Length(max(2 * half, 0.3))}
        return super().dragged(handle, to)

    def moved(self, dx_m: float, dy_m: float, turn_deg: float, about: XY) -> dict[str, object]:
        """Shift the middle and turn with the wall."""
        turned = round((self.along_deg + turn_deg) % 360.0, 3) % 360.0
        return {**super().moved(dx_m, dy_m, turn_deg, about), "along_deg": turned}
