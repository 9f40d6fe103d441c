"""A cover over a drain: where somebody gets at the pipe below to look, to rod, to clear it."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString, Polygon

from quincunx.features._base import Group
from quincunx.features._floors import Lies
from quincunx.features._placed import Turned
from quincunx.features._plan import (
    area_figure,
    circle,
    direction,
    inset,
    outline_figure,
    tuple_add,
    xy,
)
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Buried, Figure, PathFigure, Surface, TextFigure, every_month
from quincunx.units.fields import Length, field, length

FRAME_M = 0.04
"""How wide the frame round a cover is drawn [m]."""
BELOW_M = 0.7
"""How far south of its middle its name is written, so that it doesn't hide so small a thing [m]."""
KEYHOLE = 0.3
"""How far from each end the keyholes are drawn, as a share of half its width."""


class AccessCover(Turned):
    """The cover of an inspection chamber, level with the ground."""

    words: ClassVar[str] = "cover over a drain"
    about: ClassVar[str] = (
        "The cover of an inspection chamber: feet and wheels pass over it, rain runs off it. It stays within reach: nothing is "
        "built or planted over it and nothing heavy stands on it. Whoever owns the drain opens it, and never alone: there may be "
        "gases below, and it is deep enough to fall into."
    )
    group: ClassVar[Group] = "services"
    usually_there: ClassVar[bool] = True
    example: ClassVar = {
        "id": "yard-cover", "name": "Cover in the yard", "at": [6, 3], "width": 0.6, "depth": 0.45, "belongs": "shared",
        "there_from": "start",
    }  # fmt: skip

    kind: Literal["access-cover"] = "access-cover"
    plan_shape: Literal["rectangle", "round"] = field("Shape", "rectangle", help="a round one is as wide as its width")
    # Sizes: common practice, no source.
    width: Length = length("Width", 0.6, ge=0.1, le=2.0)
    depth: Length = length("Length", 0.45, ge=0.1, le=2.0)
    deep: Length | None = length(
        "Down to the pipe", None, ge=0.1, le=10.0, help="empty: not known; don't open it to find out"
    )
    belongs: Literal["unknown", "me", "shared", "public"] = field(
        "The drain belongs to", "unknown", help="shared: with neighbours; public: to the town or a water company"
    )
    # The letters: EN 124, classes A to F (second-hand, in makers' accounts of it).
    bears: Literal["unknown", "feet", "cars"] = field(
        "Made for", "unknown", help="a letter is cast into many in Europe: A for feet, B and above for cars"
    )

    def plan(self) -> Polygon:
        """Return the cover in plan [m]."""
        return circle(self.at, float(self.width)) if self.plan_shape == "round" else super().plan()

    def bought_whole(self) -> bool:
        """Return that nobody buys one alone: it comes with the drain below."""
        return False

    def stand(self, moment: Moment) -> Stood:
        """Give the cover as a small hard floor, and the chamber under it as part of a drain."""
        del moment
        shape, (at,) = self.plan(), xy((self.at,))
        floor = Surface(
            self.id, "", shape, "iron cover", firmness=every_month(1.0), run_off=1.0, layer=Lies.DRAIN
        )  # fmt: skip
        across = direction((self.facing_deg + 90.0) % 360.0)
        half = float(self.width) / 2
        line = LineString([tuple_add(at, across, -half), tuple_add(at, across, half)])
        deep = None if self.deep is None else float(self.deep)
        chamber = Buried(self.id, line, "drain", deep, 0.0, cover=shape)
        return Stood(surfaces=(floor,), figures=self._figures(shape), buried=(chamber,))

    def _figures(self, shape: Polygon) -> tuple[Figure, ...]:
        """Draw the frame, the cover in it and a keyhole at either end."""
        (at,) = xy((self.at,))
        across, along = direction((self.facing_deg + 90.0) % 360.0), direction(self.facing_deg)
        ends = (tuple_add(at, across, s * float(self.width) / 2 * (1 - KEYHOLE)) for s in (-1, 1))
        short = min(float(self.width), float(self.depth)) * 0.12
        holes = (
            PathFigure((tuple_add(e, along, -short), tuple_add(e, along, short)), "below", self.id, weight="normal")
            for e in ends
        )
        inner = inset(shape, FRAME_M)
        return (
            area_figure(shape, "below", self.id, "plain", "normal"),
            *(() if inner.is_empty else (outline_figure(inner, "below", self.id, "fine"),)),
            *holes,
            *((TextFigure((at[0], at[1] - BELOW_M), self.name, "below", self.id, "small"),) if self.name else ()),
        )
