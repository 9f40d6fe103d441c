"""A buried line: water, electricity, gas, a drain."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._lined import Sharp
from quincunx.features._plan import outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Buried, LineWork, PathFigure, TextFigure, Work
from quincunx.units.fields import Length, field, length

Carries = Literal["water", "electricity", "gas", "drain", "telephone", "heating", "unknown"]

USUAL_DEPTH_M: dict[str, float] = {
    "water": 0.75, "electricity": 0.45, "gas": 0.6, "drain": 0.6, "telephone": 0.35, "heating": 0.6, "unknown": 0.6,
}  # fmt: skip
"""From memory, to reckon a trench by.  Never a depth to dig down to: lines lie shallower than they should."""
TRENCH_M = 0.15
"""Width of a hand-dug trench for one line (common practice, no source)."""


class BuriedLine(Sharp):
    """A pipe or cable under the ground, there already or to be laid."""

    words: ClassVar[str] = "buried line"
    about: ClassVar[str] = (
        "A pipe or cable under the ground: stops nobody, and must be found and marked before digging."
    )
    group: ClassVar[Group] = "services"
    usually_there: ClassVar[bool] = True
    example: ClassVar = {
        "id": "cottage-water",
        "name": "Water to the cottage",
        "line": [[0, 0], [3, 8], [3, 14]],
        "carries": "water",
        "sure_to": 0.5,
        "there_from": "start",
    }

    kind: Literal["buried-line"] = "buried-line"
    carries: Carries = field("Carries", "water")
    depth: Length | None = length("Depth to its top", None, ge=0.0, le=5.0, help="empty: not known")
    thickness: Length = length("Thickness", 0.05, ge=0.005, le=1.0)
    # Hand digging 18 to 24 in either side of the marks (T55, from memory).
    sure_to: Length = length("Place known to within", 0.6, ge=0.0, le=5.0)
    in_use: bool = field("In use", True)

    def stand(self, moment: Moment) -> Stood:
        """Give nothing that stands: its line and how well its place is known, drawn dashed, and the trench it takes."""
        course = self.course()
        figures = [PathFigure(course, "below", self.id, weight="normal", dash=True)]
        around = 2 * float(self.sure_to)
        band = (outline_figure(self.along(around), "below", self.id, "fine", dash=True),) if around else ()
        middle = LineString(course).interpolate(0.5, normalized=True)
        words = self.carries if self.depth is not None else f"{self.carries}, depth not known"
        text = TextFigure((middle.x, middle.y), words, "below", self.id, "small")
        deep = None if self.depth is None else float(self.depth)
        buried = Buried(self.id, LineString(course), self.carries, deep, float(self.sure_to), self.in_use)
        return Stood(figures=(*figures, *band, text), work=self._work(), buried=(buried,))

    def _work(self) -> tuple[Work, ...]:
        if self.there_from == "start":
            return ()
        deep = USUAL_DEPTH_M[self.carries] if self.depth is None else float(self.depth)
        return (
            LineWork(
                self.id, LineString(self.course()), deep + float(self.thickness), TRENCH_M, f"line {self.carries}"
            ),
        )
