"""A log lying on the ground."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._lined import Sharp
from quincunx.features._plan import area_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Height, LineWork, PathFigure, Solid
from quincunx.units.fields import Length, field, length


class Log(Sharp):
    """A trunk or thick branch that lies where it was put."""

    words: ClassVar[str] = "log"
    about: ClassVar[str] = "A lying trunk: an edge, a seat, a home for beetles; stepped over or sat on."
    group: ClassVar[Group] = "walls"
    example: ClassVar = {"id": "ash-log", "line": [[0, 0], [2.2, 0.4]], "thickness": 0.35, "there_from": "start"}

    kind: Literal["log"] = "log"
    thickness: Length = length("Thickness", 0.3, ge=0.05, le=1.5)
    sunk: Length = length("Sunk into the ground", 0.0, ge=0.0, le=0.7)
    found: bool = field("Found in the garden", True)

    def stand(self, moment: Moment) -> Stood:
        """Give one solid as high as the log lies above the ground."""
        thick = float(self.thickness)
        shape = self.along(thick)
        high = max(thick - float(self.sunk), 0.02)
        line = LineString(self.course())
        solid = Solid(self.id, "", shape, top=Height(high))
        figures: tuple[Figure, ...] = (
            area_figure(shape, "built", self.id, "plain", "normal"),
            *(PathFigure(tuple(grain.coords), "built", self.id, weight="fine") for grain in self._grain(line)),
        )
        work = () if self.found else (LineWork(self.id, line, high, thick, "log"),)
        return Stood((solid,), figures=figures, work=work)

    def _grain(self, line: LineString) -> tuple[LineString, ...]:
        """Return two lines of bark along it."""
        sides = (line.offset_curve(float(self.thickness) * share) for share in (-0.22, 0.22))
        return tuple(side for side in sides if isinstance(side, LineString) and not side.is_empty)
