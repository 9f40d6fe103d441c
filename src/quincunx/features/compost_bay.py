"""Compost bays in a row."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString, Polygon

from quincunx.features._base import Group
from quincunx.features._frames import wall_solids
from quincunx.features._kit import Built
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, label
from quincunx.features._slopes import Edge, edges
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import GROUND, Figure, Height, LineWork, PathFigure, Surface
from quincunx.units.fields import Length, field, length


class CompostBay(Built, Turned):
    """Open bins side by side, filled and emptied from the front."""

    words: ClassVar[str] = "compost bay"
    about: ClassVar[str] = "Bins of boards or blocks, open in front: keep a barrow's way free before them."
    group: ClassVar[Group] = "furnishing"
    example: ClassVar = {
        "id": "compost", "at": [15, 33], "facing_deg": 270, "bays": 3, "width": 3.2, "depth": 1.1,
        "there_from": "2027-04",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("how", "made_of")
    kind: Literal["compost-bay"] = "compost-bay"
    width: Length = length("Width of all bays", 2.2, ge=0.5, le=12.0)
    depth: Length = length("Depth", 1.1, ge=0.4, le=4.0)
    height: Length = length("Height", 1.0, ge=0.3, le=2.0)
    bays: int = field("Bays", 2, ge=1, le=8)
    made_of: Literal["boards", "block", "wire"] = field("Made of", "boards")
    thickness: Length = length("Thickness of the walls", 0.05, ge=0.003, le=0.3)
    front_boards: Length = length("Front boarded up to", 0.0, ge=0.0, le=2.0)

    def walls(self) -> tuple[Edge, ...]:
        """Return the inner lines of its back, both ends and the walls between its bays, each looking out of its bay."""
        front, right, back, left = edges(self.plan(), self.facing_deg)
        between = []
        for i in range(1, self.bays):
            along = front.length_m * i / self.bays + float(self.thickness) / 2
            between.append(Edge(front.point(along), back.point(front.length_m - along), right.out_deg))
        return (back, right, left, *between)

    def litres(self) -> float:
        """Return what all bays hold, filled level [litre]."""
        thick = float(self.thickness)
        free = (float(self.width) - (self.bays + 1) * thick) * (float(self.depth) - thick)
        return 1000 * max(free, 0.0) * float(self.height)

    def stand(self, moment: Moment) -> Stood:
        """Give the walls, the front boards if any and the heap's ground."""
        thick, gap, light = float(self.thickness), {"boards": 0.02, "block": 0.0, "wire": 0.05}, {"wire": 0.8}
        strips = tuple(_inside(e, thick) for e in self.walls())
        through = light.get(self.made_of, 0.0)
        top = Height(float(self.height))
        solids = wall_solids(self.id, "wall", strips, GROUND, top, light=through, gap_m=gap[self.made_of])
        if self.front_boards:
            front = edges(self.plan(), self.facing_deg)[0]
            board = Height(min(float(self.front_boards), float(self.height)))
            solids += wall_solids(
                self.id, "front", (front.strip(0.0, front.length_m, thick),), GROUND, board, gap_m=0.02
            )
        heap = Surface(self.id, "heap", self.plan(), "compost", planted=True, run_off=0.0, layer=9)
        high = float(self.height)
        work = [LineWork(self.id, LineString([e.start, e.end]), high, thick, self.made_of) for e in self.walls()]
        return Stood(solids, (heap,), figures=self._figures(), work=self.built_work(work))

    def _figures(self) -> tuple[Figure, ...]:
        thick = float(self.thickness)
        walls = [area_figure(_inside(e, thick), "built", self.id, "hatch", "normal") for e in self.walls()]
        front = edges(self.plan(), self.facing_deg)[0]
        return (
            area_figure(self.plan(), "bed", self.id, "dots", edge=False), *walls,
            PathFigure((front.start, front.end), "built", self.id, weight="fine", dash=not self.front_boards),
            *label(self.plan(), self.name or self.words, "built", self.id),
        )  # fmt: skip


def _inside(edge: Edge, thick_m: float) -> Polygon:
    return edge.strip(0.0, edge.length_m, thick_m)
