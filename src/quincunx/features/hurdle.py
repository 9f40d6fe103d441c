"""A hurdle put across an opening, or standing by itself, for a while."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._across import Across
from quincunx.features._base import Group
from quincunx.features._plan import area_figure, strip
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Change, Figure, Height, Leaf, LineWork, PathFigure, Shut, Solid, every_month
from quincunx.units.fields import Length, Slug, field, length

THICK_M = 0.04
"""Thickness of a hurdle (common practice, no source)."""
PAST_M = 0.15
"""How far it stands past the opening on either side (common practice, no source)."""
OPACITY = 0.7
"""Share of a view that woven or barred hurdles block (common practice, no source)."""


class Hurdle(Across):
    """A movable panel: closes a gap, an arch or a gate to everybody as long as it stands there."""

    words: ClassVar[str] = "hurdle"
    about: ClassVar[str] = (
        "A movable panel across a gap, an arch or a gate: while it stands there nobody opens it, and it is never found "
        "left open; who jumps or climbs so high, or creeps through its holes, still gets by."
    )
    group: ClassVar[Group] = "temporary"
    example: ClassVar = {
        "id": "gap-hurdle", "at": [4, 0], "along_deg": 90, "width": 1.2, "closes": None, "there_from": "2027-03",
        "there_until": "2027-10",
    }  # fmt: skip

    kind: Literal["hurdle"] = "hurdle"
    closes: Slug | None = field(
        "Closes", None, help="the gate, arch or gap it stands across; empty: it stands by itself"
    )
    height: Length = length("Height", 1.2, ge=0.3, le=2.5)
    hole: Length = length("Largest hole through it", 0.05, ge=0.0, le=0.5)

    def features_named(self) -> tuple[str, ...]:
        """Return what it closes."""
        return (self.closes,) if self.closes else ()

    def stand(self, moment: Moment) -> Stood:
        """Give the panel, and keep shut what it stands across."""
        (ax, ay), (bx, by) = self.ends()
        wide = float(self.width)
        ux, uy = (bx - ax) / wide, (by - ay) / wide
        start, end = (ax - ux * PAST_M, ay - uy * PAST_M), (bx + ux * PAST_M, by + uy * PAST_M)
        shape, high = strip((start, end), THICK_M), float(self.height)
        panel = Solid(
            self.id, "", shape, top=Height(high), gap_m=float(self.hole), opacity=every_month(OPACITY),
            transmittance=every_month(1 - OPACITY),
        )  # fmt: skip
        leaf = Leaf(high, 0.0, float(self.hole))
        changes: tuple[Change, ...] = (Shut(self.id, self.closes, leaf),) if self.closes else ()
        figures: tuple[Figure, ...] = (
            area_figure(shape, "built", self.id, "hatch", "normal"),
            PathFigure((start, end), "built", self.id, weight="thin"),
        )
        work = LineWork(self.id, self.clear(), high, THICK_M, "hurdle")
        return Stood((panel,), changes=changes, figures=figures, work=(work,))
