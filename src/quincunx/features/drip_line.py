"""A drip line: tube with drippers that waters a bed or a row by itself."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString, offset_curve

from quincunx.features._base import Group
from quincunx.features._lined import Sharp
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import DripWork, PathFigure, TextFigure
from quincunx.units.fields import Length, Slug, field, length


class DripLine(Sharp):
    """Tube with drippers along a line, in one run or several side by side."""

    words: ClassVar[str] = "drip line"
    about: ClassVar[str] = (
        "Tube with a dripper every hand or two: waters slowly where the roots are; taken up or drained before frost."
    )
    group: ClassVar[Group] = "services"
    example: ClassVar = {
        "id": "berry-drip", "line": [[0, 0], [6, 0]], "rows": 2, "row_apart": 0.4, "feed": 4.0,
        "there_from": "2027-05",
    }  # fmt: skip

    kind: Literal["drip-line"] = "drip-line"
    rows: int = field("Runs side by side", 1, ge=1, le=12)
    row_apart: Length = length("Between the runs", 0.4, ge=0.1, le=3.0)
    between: Length = length("A dripper every", 0.3, ge=0.05, le=2.0)
    # 1 to 4 l/h and 13 to 14 mm inside are the usual sizes of 16 mm tube (from memory).
    litres_h: float = field("Each dripper gives", 2.0, unit="l/h", gt=0, le=20)
    bore: Length = length("Width of the tube inside", 0.0138, ge=0.003, le=0.05)
    fed_from: Slug | None = field("Fed from", None, help="the tap or tank it hangs on")
    feed: Length | None = length("Plain pipe from there to its first end", None, ge=0.0, le=200.0)
    waters: tuple[Slug, ...] = field("Waters", (), help="the beds and rows it lies in")

    def features_named(self) -> tuple[str, ...]:
        """Return what it hangs on and what it waters."""
        return ((self.fed_from,) if self.fed_from else ()) + self.waters

    def runs(self) -> tuple[LineString, ...]:
        """Return its runs, side by side about its line [m]."""
        line = LineString(self.course())
        middle = (self.rows - 1) / 2
        return tuple(_aside(line, (k - middle) * float(self.row_apart)) for k in range(self.rows))

    def stand(self, moment: Moment) -> Stood:
        """Give nothing that stands: its runs and its pipe drawn, and the parts it takes."""
        del moment
        runs, figures = self.runs(), []
        for run in runs:
            course = tuple((float(x), float(y)) for x, y in run.coords)
            figures.append(PathFigure(course, "water", self.id, weight="thin", dash=True))
        at = runs[0].interpolate(0.5, normalized=True)
        text = TextFigure((at.x, at.y), self.name or self.words, "water", self.id, "small")
        feed = None if self.feed is None else float(self.feed)
        work = DripWork(
            self.id, runs, float(self.between), self.litres_h, float(self.bore), feed, self.fed_from or "", self.waters
        )
        return Stood(figures=(*figures, text), work=(work,))


def _aside(line: LineString, by_m: float) -> LineString:
    moved = offset_curve(line, by_m, join_style="mitre") if abs(by_m) > 1e-9 else line
    return moved if isinstance(moved, LineString) and not moved.is_empty else line
