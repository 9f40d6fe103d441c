"""A gap left in a wall, fence or hedge."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._across import Across
from quincunx.features._base import Group
from quincunx.features._plan import direction, tuple_add
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Opening, PathFigure
from quincunx.units.fields import Length, length

MARK_M = 0.35
"""Length of the strokes that mark both sides of a gap on the plan [m]."""


class Gap(Across):
    """A plain way through, with nothing to shut."""

    words: ClassVar[str] = "gap"
    about: ClassVar[str] = "A way left open in a wall, fence or hedge: everyone goes through it, always."
    group: ClassVar[Group] = "openings"
    example: ClassVar = {"id": "hedge-gap", "at": [4, 0], "along_deg": 90, "width": 1.2, "there_from": "2027-03"}

    kind: Literal["gap"] = "gap"
    headroom: Length | None = length("Clear height", None, ge=0.1, le=6.0, help="empty: open to the sky")
    step: Length = length("Step at it", 0.0, ge=0.0, le=0.5)

    def bought_whole(self) -> bool:
        """Return False: what is left open is not bought."""
        return False

    def stand(self, moment: Moment) -> Stood:
        """Give the opening and the cut it makes."""
        head = None if self.headroom is None else float(self.headroom)
        opening = Opening(self.id, self.clear(), float(self.width), head, float(self.step))
        across = direction(self.along_deg + 90)
        marks = [
            PathFigure((tuple_add(end, across, -MARK_M), tuple_add(end, across, MARK_M)), "way", self.id, weight="thin")
            for end in self.ends()
        ]
        middle = PathFigure(self.ends(), "way", self.id, weight="fine", dash=True)
        return Stood(openings=(opening,), changes=(self.cut(head),), figures=(middle, *marks))
