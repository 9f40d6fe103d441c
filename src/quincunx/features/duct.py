"""A duct: an empty pipe laid now, so that nothing need be dug up later."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._lined import Sharp
from quincunx.features._plan import circle, outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, LineWork, PathFigure, TextFigure
from quincunx.units.fields import Length, field, length

END_M = 0.2
"""Size of the mark at each end of a duct on the plan [m]."""


class Duct(Sharp):
    """A pipe with a cord through it, for a cable or hose to come."""

    words: ClassVar[str] = "duct"
    about: ClassVar[str] = "An empty pipe under a path or terrace for what is to come; its ends have to be found again."
    group: ClassVar[Group] = "services"
    example: ClassVar = {"id": "terrace-duct", "line": [[0, 0], [6, 0]], "there_from": "2028-05"}

    kind: Literal["duct"] = "duct"
    # Common practice, no source.
    bore: Length = length("Inside width", 0.1, ge=0.01, le=0.4)
    depth: Length = length("Depth to its top", 0.45, ge=0.05, le=2.0)
    for_what: Literal["electricity", "water", "telephone", "anything"] = field("Kept for", "anything")

    def stand(self, moment: Moment) -> Stood:
        """Give nothing that stands: its line drawn dashed, a mark at each end, and the trench it takes."""
        course = self.course()
        middle = LineString(course).interpolate(0.5, normalized=True)
        figures: tuple[Figure, ...] = (
            PathFigure(course, "below", self.id, weight="thin", dash=True),
            *(outline_figure(circle(end, END_M), "below", self.id, "thin") for end in (course[0], course[-1])),
            TextFigure((middle.x, middle.y), self.called, "below", self.id, "small"),
        )
        deep = float(self.depth) + float(self.bore)
        work = LineWork(self.id, LineString(course), deep, float(self.bore) + 0.1, "duct")
        return Stood(figures=figures, work=(work,))
