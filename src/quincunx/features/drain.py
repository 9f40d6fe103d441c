"""A drain that takes water away: a channel at the surface, a French drain of stone, or a land drain below."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._floors import Lies
from quincunx.features._lined import Sharp
from quincunx.features._plan import area_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import LineWork, PathFigure, Surface, every_month
from quincunx.units.fields import Length, field, length

Sort = Literal["channel", "french", "land"]


class Drain(Sharp):
    """A drain along a line, from its upper end to where it lets the water out."""

    words: ClassVar[str] = "drain"
    about: ClassVar[str] = "Takes water away: a grated channel, a trench of stone, or a pipe below; walked over freely."
    group: ClassVar[Group] = "services"
    example: ClassVar = {
        "id": "terrace-drain",
        "line": [[0, 0], [6, 0.2], [9, -4]],
        "sort": "french",
        "there_from": "2028-05",
    }

    kind: Literal["drain"] = "drain"
    sort: Sort = field(
        "Sort", "french", help="channel: at the surface; french: stone to the surface; land: a pipe below"
    )
    # Widths, depths and falls: common practice, no source.
    width: Length = length("Width", 0.3, ge=0.05, le=1.0)
    depth: Length = length("Depth", 0.5, ge=0.05, le=2.0)
    falls: float = field("Falls by, as a share of its length", 0.0125, unit="ratio", ge=0.002, le=0.2)
    pipe: Length = length("Pipe in it", 0.1, ge=0.0, le=0.4)

    def fall_m(self) -> float:
        """Return how far it falls from its upper end to its outlet [m]."""
        return float(LineString(self.course()).length) * self.falls

    def cautions(self) -> tuple[str, ...]:
        """Return that roots get into it."""
        return ("roots clog it",)

    def stand(self, moment: Moment) -> Stood:
        """Give the strip that shows at the surface, if any; its line is drawn dashed with an arrow to its outlet."""
        course, shape, deep = self.course(), self.along(float(self.width)), float(self.depth)
        line = PathFigure(course, "below", self.id, weight="normal", dash=True, arrow=True)
        # The trench is as deep on the whole as halfway down its fall.
        work = LineWork(self.id, LineString(course), deep + self.fall_m() / 2, float(self.width), f"drain {self.sort}")
        if self.sort == "land":
            return Stood(figures=(line,), work=(work,))
        french = self.sort == "french"
        surface = Surface(
            self.id,
            "",
            shape,
            "gravel" if french else "grating",
            firmness=every_month(0.8 if french else 1.0),
            run_off=0.0,
            layer=Lies.DRAIN,
        )
        figure = area_figure(shape, "water", self.id, "dots" if french else "hatch", "fine")
        return Stood(surfaces=(surface,), figures=(figure, line), work=(work,))
