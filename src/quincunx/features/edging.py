"""An edging: a low line that holds a floor or a bed in its place."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._lined import Lined
from quincunx.features._plan import area_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Height, LineWork, Solid
from quincunx.units.fields import Length, field, length

USUAL_M = {"steel": 0.005, "board": 0.025, "brick": 0.1025, "setts": 0.1, "tiles": 0.03, "stone": 0.15}
"""Usual thickness (common practice, no source)."""


class Edging(Lined):
    """A low edging along a line; people step over it."""

    words: ClassVar[str] = "edging"
    about: ClassVar[str] = "Keeps gravel out of grass and soil off a path; a barrow feels it, a walker steps over."
    group: ClassVar[Group] = "walls"
    example: ClassVar = {
        "id": "long-walk-edging",
        "line": [[0, 0], [0, 6], [4, 10]],
        "rounding": 2.5,
        "made": "brick",
        "there_from": "2027-04",
    }

    weighed: ClassVar[tuple[str, ...]] = ("made",)
    kind: Literal["edging"] = "edging"
    closed: bool = field("Comes back to its start", False)
    made: Literal["steel", "board", "brick", "setts", "tiles", "stone"] = field("Made of", "board")
    # Level with the ground a mower runs over it (common practice, no source).
    height: Length = length("Height above the ground", 0.03, ge=0.005, le=0.4)
    buried: Length = length("Below the ground", 0.1, ge=0.0, le=0.6)
    thickness: Length | None = length("Thickness", None, ge=0.001, le=0.5, help="empty: as is usual")

    def is_closed(self) -> bool:
        """Return whether the edging comes back to its start."""
        return self.closed

    def stand(self, moment: Moment) -> Stood:
        """Give one low solid."""
        thick = USUAL_M[self.made] if self.thickness is None else float(self.thickness)
        shape, high = self.along(thick), float(self.height)
        solid = Solid(self.id, "", shape, top=Height(high))
        deep = high + float(self.buried)
        work = LineWork(self.id, LineString(self.course()), deep, thick, f"edging {self.made}", self.closed)
        return Stood((solid,), figures=(area_figure(shape, "built", self.id, "plain", "thin"),), work=(work,))
