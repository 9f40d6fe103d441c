"""A stream: running water along a line, below its banks."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._floors import Lies
from quincunx.features._lined import Lined
from quincunx.features._natural import Natural
from quincunx.features._plan import area_figure, label
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Height, PathFigure, Surface, every_month
from quincunx.units.fields import Length, length


class Stream(Natural, Lined):
    """Running water along a line, drawn the way it flows."""

    words: ClassVar[str] = "stream"
    about: ClassVar[str] = (
        "Running water along a line, drawn the way it flows: a danger to small children, and soft banks beside it. "
        "Where it floods is drawn as ground that floods."
    )
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "mill-stream", "name": "Mill stream", "line": [[0, 0], [7, 0.6], [15, 0.1]], "width": 1.6, "rounding": 3,
    }  # fmt: skip

    kind: Literal["stream"] = "stream"
    width: Length = length("Width of the water", 1.5, ge=0.1, le=60.0, help="as it usually is in summer")
    depth: Length = length(
        "Depth of the water", 0.3, ge=0.01, le=6.0, help="at its deepest, as it usually is in summer"
    )
    below: Length = length("Water below the banks", 0.4, ge=0.0, le=6.0)

    def stand(self, moment: Moment) -> Stood:
        """Give the water between its banks; nothing of it is made."""
        del moment
        shape = self.along(float(self.width))
        water = Surface(
            self.id, "", shape, "running water", Height(-float(self.below)), every_month(0.0),
            water_depth_m=float(self.depth), run_off=0.0, layer=Lies.POND, flows=True,
        )  # fmt: skip
        figures: tuple[Figure, ...] = (
            area_figure(shape, "water", self.id, "waves", "normal"),
            PathFigure(self.course(), "water", self.id, weight="fine", arrow=True),
            *label(shape, self.name, "water", self.id),
        )
        return Stood(surfaces=(water,), figures=figures)
