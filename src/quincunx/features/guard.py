"""A guard around a tree, a shrub or a row, while it is young."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString, Polygon

from quincunx.features._base import Group
from quincunx.features._placed import Turned
from quincunx.features._plan import circle, outline_figure, rim, xy
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Guard as GuardChange, Height, LineWork, PathFigure, Solid, every_month
from quincunx.units.fields import Length, Slug, field, length

MESH_M = 0.005
"""Thickness of wire mesh or a plastic tube (common practice, no source)."""
OPACITY = {"tube": 0.7, "mesh": 0.1, "pales": 0.5}
"""Share of a view each sort blocks (common practice, no source)."""


class Guard(Turned):
    """Mesh, a tube or pales round what is browsed, until it has outgrown the danger."""

    words: ClassVar[str] = "guard"
    about: ClassVar[str] = (
        "Keeps rabbits or deer off a young tree or row up to its height, less the snow; taken off later."
    )
    group: ClassVar[Group] = "temporary"
    # Forestry guards: rabbit 0.6 m, hare 0.75, roe and muntjac 1.2, fallow, sika and red 1.8 (from memory).
    example: ClassVar = {
        "id": "damson-guard",
        "at": [4, 9],
        "width": 0.9,
        "height": 1.2,
        "there_from": "2027-02",
        "there_until": "2032-02",
    }

    kind: Literal["guard"] = "guard"
    target: Slug | None = field(
        "Guards", None, help="the tree or row it stands round; empty: whatever is planted in it"
    )
    round: bool = field("Round", True, help="a round one is as wide as its width")
    width: Length = length("Width", 0.6, ge=0.05, le=60.0)
    depth: Length = length("Depth", 0.6, ge=0.05, le=60.0)
    height: Length = length("Height", 1.2, ge=0.2, le=2.5)
    sort: Literal["tube", "mesh", "pales"] = field("Made of", "mesh")
    hole: Length = length("Largest hole through it", 0.05, ge=0.0, le=0.3)

    def features_named(self) -> tuple[str, ...]:
        """Return what it stands round, if named."""
        return (self.target,) if self.target else ()

    def plan(self) -> Polygon:
        """Return the ground inside it [m]."""
        return circle(xy((self.at,))[0], float(self.width)) if self.round else super().plan()

    def stand(self, moment: Moment) -> Stood:
        """Give the mesh itself and the guarding of what stands inside."""
        shape, high, shut = self.plan(), float(self.height), OPACITY[self.sort]
        around = Solid(
            self.id,
            "",
            rim(shape, MESH_M),
            top=Height(high),
            gap_m=float(self.hole),
            opacity=every_month(shut),
            transmittance=every_month(1 - shut),
        )
        change = GuardChange(self.id, high, float(self.hole), self.target, shape)
        ring = outline_figure(shape, "built", self.id, "thin", dash=True)
        # A short cross over its middle tells it from a crown or a water butt.
        x, y = xy((self.at,))[0]
        arm = min(float(self.width), 0.6) / 6
        cross = (
            PathFigure(((x - arm, y - arm), (x + arm, y + arm)), "built", self.id, weight="fine"),
            PathFigure(((x - arm, y + arm), (x + arm, y - arm)), "built", self.id, weight="fine"),
        )
        line = LineString(shape.exterior.coords[:-1])
        work = LineWork(self.id, line, high, MESH_M, f"guard {self.sort}", closed=True)
        return Stood((around,), changes=(change,), figures=(ring, *cross), work=(work,))
