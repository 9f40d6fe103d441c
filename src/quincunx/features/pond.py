"""A pond: open water with a shallow margin, an edge, and a deep middle."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.features._base import Group
from quincunx.features._floors import FLOORS, Lies
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, biggest, inset, label, outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, Height, Layer, Surface, WaterWork, Work, every_month
from quincunx.units.fields import Length, field, length

Edge = Literal["flags", "brick", "gravel", "grass", "boards"]


class Pond(Outlined):
    """Standing water inside an outline."""

    words: ClassVar[str] = "pond"
    about: ClassVar[str] = (
        "Open water, shallow at its margin; any depth is a danger to small children, watched or fenced."
    )
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "pond-court",
        "name": "Pond",
        "outline": [[0, 0], [4, 0], [4.6, 2.4], [1, 3]],
        "rounding": 1.2,
        "depth": 0.8,
        "there_from": "2031-04",
    }

    weighed: ClassVar[tuple[str, ...]] = ("lining",)
    kind: Literal["pond"] = "pond"
    # Depths: common practice, no source (a middle that doesn't freeze through, a shelf that marginal plants stand on).
    depth: Length = length("Depth in the middle", 0.8, ge=0.05, le=4.0)
    margin: Length = length("Width of the shallow margin", 0.4, ge=0.0, le=5.0)
    margin_depth: Length = length("Depth of the shallow margin", 0.25, ge=0.0, le=1.5)
    edge: Edge = field("Edged with", "flags")
    edge_width: Length = length("Width of the edge", 0.3, ge=0.0, le=3.0)
    below: Length = length("Water below the ground around", 0.05, ge=0.0, le=1.0)
    lining: Literal["liner", "clay", "concrete", "natural"] = field("Held by", "liner")

    def deep(self) -> Polygon:
        """Return the deep middle in plan [m]; empty where the margin takes all."""
        return inset(self.plan(), float(self.margin)) if self.margin else self.plan()

    def rim(self) -> Polygon | None:
        """Return the edge around the water in plan [m]; None without one."""
        if not self.edge_width:
            return None
        water = self.plan()
        outer = biggest(water.buffer(float(self.edge_width), join_style="mitre", mitre_limit=2.0))
        return Polygon(outer.exterior, [water.exterior.coords[::-1]])

    def volume_m3(self) -> float:
        """Return the water it holds, its sides upright [m3]: a round figure for liners and filling."""
        whole, deep = float(self.plan().area), float(self.deep().area)
        return deep * float(self.depth) + (whole - deep) * min(float(self.margin_depth), float(self.depth))

    def stand(self, moment: Moment) -> Stood:
        """Give water at the margin and in the middle, and the edge around it."""
        water, deep, edge = self.plan(), self.deep(), self.rim()
        level = Height(-float(self.below))
        shallow_m = min(float(self.margin_depth), float(self.depth))
        wet = [self._water("margin", water, shallow_m, level, Lies.POND)] if self.margin and shallow_m > 0 else []
        wet += [] if deep.is_empty else [self._water("deep", deep, float(self.depth), level, Lies.POND_DEEP)]
        figures: list[Figure] = [area_figure(water, "water", self.id, "waves", "normal")]
        figures += (
            [] if deep.is_empty or not self.margin else [outline_figure(deep, "water", self.id, "fine", dash=True)]
        )
        floor = FLOORS[self.edge]
        if edge is not None:
            firm = moment.year_months(floor.firmness)
            wet.append(
                Surface(self.id, "edge", edge, self.edge, firmness=firm, run_off=floor.run_off, layer=Lies.POND_EDGE)
            )
            figures.insert(0, area_figure(edge, "way", self.id, floor.pattern))
        dug = Layer(self.lining, 0.0), Layer("water", round(self.volume_m3() / water.area, 4))
        work: list[Work] = [AreaWork(self.id, water, dug), self._profile(shallow_m)]
        work += [] if edge is None else [AreaWork(self.id, edge, floor.layers, "none", floor.unit_m, floor.joint_m)]
        return Stood(
            surfaces=tuple(wet), figures=(*figures, *label(water, self.name, "water", self.id)), work=tuple(work)
        )

    def _profile(self, shallow_m: float) -> WaterWork:
        wide = float(self.margin)
        return WaterWork(self.id, float(self.depth), shallow_m if wide else 0.0, wide, float(self.below))

    def _water(self, part: str, area: Polygon, depth_m: float, level: Height, layer: Lies) -> Surface:
        nothing = every_month(0.0)
        return Surface(self.id, part, area, "water", level, nothing, water_depth_m=depth_m, run_off=0.0, layer=layer)
