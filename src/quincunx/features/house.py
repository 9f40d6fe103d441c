"""A house that is there already."""

from __future__ import annotations

import math
from typing import Any, ClassVar, Literal

import shapely
from shapely import Polygon, affinity

from quincunx.features._base import Axis, Group
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, biggest, label, outline_figure, rim, turned_deg
from quincunx.features._roofs import fill_solids, roof_figures, roof_solids
from quincunx.features._slopes import Edge, Slope, drained, edges, slopes
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import NO_LIGHT, OPAQUE, Figure, Height, Solid
from quincunx.units.fields import Length, Slug, degrees, field, length

ROOF_M = 0.15


class House(Outlined):
    """The house, a barn or a neighbour's building."""

    words: ClassVar[str] = "house"
    about: ClassVar[str] = (
        "A building that is there: stops feet, eyes, sun and rain; mark its doors and windows as spots."
    )
    group: ClassVar[Group] = "shelter"
    usually_there: ClassVar[bool] = True
    bearings: ClassVar[tuple[str, ...]] = ("ridge_deg",)
    example: ClassVar = {
        "id": "cottage", "outline": [[0, 0], [11, 0], [11, 6], [0, 6]], "eaves_height": 4.6, "ridge_height": 7.4,
        "roof": "gable", "ridge_deg": 90, "there_from": "start",
    }  # fmt: skip

    kind: Literal["house"] = "house"
    eaves_height: Length = length("Height at the eaves", 4.8, ge=1.5, le=30.0)
    ridge_height: Length = length("Height of the ridge", 7.5, ge=1.5, le=40.0)
    roof: Literal["flat", "single", "gable", "hip"] = field(
        "Roof",
        "gable",
        help="over an outline with inward corners a hip stands as a gable: draw the wings as houses of their own",
    )
    ridge_deg: float = degrees("Direction of the ridge", 90.0, help="a single pitch falls to the right of it")
    overhang: Length = length("Roof reaches past the walls", 0.3, ge=0.0, le=1.5)
    plinth_height: Length = length("Height of the plinth", 0.0, ge=0.0, le=2.0)
    plinth_reach: Length = length("Plinth stands out", 0.05, ge=0.0, le=0.5)
    old_paint: bool = field(
        "Old paint on it", False, help="paint from before the 1980s may hold lead, in the soil beside it too"
    )
    sheds_to: Slug | None = field(
        "Its rain goes to", None, help="a water butt or tank; empty: to the ground or a drain"
    )

    def cautions(self) -> tuple[str, ...]:
        """Return that it stands on foundations, and whether old paint is on it."""
        return ("foundations", "old paint") if self.old_paint else ("foundations",)

    def features_named(self) -> tuple[str, ...]:
        """Return the tank its rain goes to."""
        return (self.sheds_to,) if self.sheds_to else ()

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Keep the side to which a single pitch falls."""
        found = super().mirrored(axis)
        return {**found, "ridge_deg": turned_deg(found["ridge_deg"], 180.0)}

    def eaves(self) -> Polygon:
        """Return the roof's edge in plan [m]."""
        return biggest(self.plan().buffer(float(self.overhang), join_style="mitre"))

    def _draining(self) -> tuple[Edge, ...]:
        """Return the eaves lines: all sides of a hip, else those of the rectangle along the ridge round it."""
        shape = self.eaves()
        if self.roof == "hip" and shape.convex_hull.area - shape.area < 1e-6:
            return edges(shape, self.ridge_deg + 90.0)
        upright = affinity.rotate(shape, self.ridge_deg, origin=(0, 0))
        box = affinity.rotate(shapely.box(*upright.bounds), -self.ridge_deg, origin=(0, 0))
        return drained("single" if self.roof in ("single", "flat") else "gable", edges(box, self.ridge_deg + 90.0))

    def slopes(self) -> tuple[Slope, ...]:
        """Return the roof's slopes, as steep as eaves and ridge heights ask (level for a flat roof)."""
        shape, lines = self.eaves(), self._draining()
        rise = 0.0 if self.roof == "flat" else max(float(self.ridge_height) - float(self.eaves_height), 0.0)
        widest = max(s.rises_m()[1] for s in slopes(shape, lines, 45.0))
        return slopes(shape, lines, math.degrees(math.atan2(rise, widest)))

    def stand(self, moment: Moment) -> Stood:
        """Give walls, the body under the roof, its slopes and the plinth; heights from the ground at the middle."""
        plan, roof = self.plan(), self.slopes()
        middle = plan.centroid
        z0 = moment.ground_z_m(middle.x, middle.y)
        eaves = z0 + float(self.eaves_height)
        walls = Solid(self.id, "walls", plan, top=Height(eaves, "site"))
        body = fill_solids(self.id, (plan,), roof, eaves, part="under-roof")
        cover = roof_solids(self.id, roof, eaves, ROOF_M, light=NO_LIGHT, seen=OPAQUE, sheds_to=self.sheds_to)
        foot: tuple[Solid, ...] = ()
        if self.plinth_height:
            shape = biggest(plan.buffer(float(self.plinth_reach), join_style="mitre"))
            foot = (Solid(self.id, "plinth", shape, top=Height(z0 + float(self.plinth_height), "site")),)
        return Stood((walls, *body, *cover, *foot), figures=self._figures(roof))

    def _figures(self, roof: tuple[Slope, ...]) -> tuple[Figure, ...]:
        """Draw the walls as a thick outline with a hatched band inside, the roof dashed over it."""
        plan = self.plan()
        walls = area_figure(rim(plan, 0.3), "built", self.id, "hatch", "normal")
        name = label(plan, self.name, "built", self.id)
        return (
            walls,
            outline_figure(plan, "built", self.id, "thick"),
            *roof_figures(self.id, self.eaves(), roof),
            *name,
        )
