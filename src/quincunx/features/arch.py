"""An arch: two sides and a top over a way, in a wall or hedge or by itself."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.features._across import Across
from quincunx.features._base import Group
from quincunx.features._plan import area_figure, direction, rectangle, tuple_add
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import XY, Figure, FrameWork, Height, Joint, Member, Opening, PathFigure, Slats, Solid, every_month
from quincunx.units.fields import Length, field, length

SIDE_OPACITY = 0.3
"""Share of a view that its open sides block (common practice, no source)."""
TOP_M = 0.12
"""Height of the bars overhead (common practice, no source)."""


class Arch(Across):
    """Two open sides and bars overhead; it cuts the wall or hedge it stands in up to its headroom."""

    words: ClassVar[str] = "arch"
    about: ClassVar[str] = (
        "A way under a top: cuts the wall or hedge it stands in up to its headroom; climbers narrow it."
    )
    group: ClassVar[Group] = "openings"
    # For two people at least 4 ft clear and 7 ft high once the plants have grown (W27, from memory).
    example: ClassVar = {
        "id": "rose-arch", "at": [4, 6], "along_deg": 90, "width": 1.25, "headroom": 2.2, "there_from": "2028-02",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("made",)
    kind: Literal["arch"] = "arch"
    width: Length = length("Clear width", 1.2, ge=0.3, le=8.0)
    headroom: Length = length("Clear height", 2.2, ge=1.2, le=5.0)
    depth: Length = length("Depth along the way", 0.5, ge=0.05, le=6.0)
    side: Length = length("Thickness of its sides", 0.06, ge=0.01, le=1.0)
    made: Literal["timber", "steel", "hazel", "brick"] = field("Made of", "timber")
    hole: Length = length("Holes in its sides", 0.2, ge=0.0, le=1.0)

    def sides(self) -> tuple[Polygon, Polygon]:
        """Return both sides in plan, outside the clear width [m]."""
        start, end = self.ends()
        u, thick = direction(self.along_deg), float(self.side)
        middles = tuple_add(start, u, -thick / 2), tuple_add(end, u, thick / 2)
        left, right = (rectangle(at, thick, float(self.depth), self.along_deg - 90) for at in middles)
        return left, right

    def beside_m(self) -> float:
        """Return the thickness of its sides [m]."""
        return float(self.side)

    def stand(self, moment: Moment) -> Stood:
        """Give two sides, bars overhead, the opening between and the cut in what it stands in."""
        high, solid_sides = float(self.headroom), not self.hole
        wide = float(self.width) + 2 * float(self.side)
        top_shape = rectangle(self.at, wide, float(self.depth), self.along_deg - 90)
        shut = 1.0 if solid_sides else SIDE_OPACITY
        solids = [
            Solid(
                self.id, part, shape, top=Height(high + TOP_M), gap_m=float(self.hole), opacity=every_month(shut),
                transmittance=every_month(1 - shut),
            )
            for part, shape in zip(("left", "right"), self.sides(), strict=True)
        ]  # fmt: skip
        solids.append(
            Solid(
                self.id,
                "top",
                top_shape,
                Height(high),
                Height(high + TOP_M),
                Slats(self.along_deg, 0.05, 0.2),
                gap_m=0.2,
                opacity=every_month(SIDE_OPACITY),
                transmittance=every_month(1 - SIDE_OPACITY),
            )
        )
        opening = Opening(self.id, self.clear(), float(self.width), high)
        figures: tuple[Figure, ...] = (
            PathFigure(self.ends(), "way", self.id, weight="fine", dash=True),
            PathFigure(tuple(top_shape.exterior.coords[:-1]), "roof", self.id, closed=True, weight="thin", dash=True),
            *(area_figure(shape, "built", self.id, "plain", "thick") for shape in self.sides()),
        )
        cut = self.cut(high, needed=False)
        return Stood(tuple(solids), openings=(opening,), changes=(cut,), figures=figures, work=(self._frame(),))

    def _frame(self) -> FrameWork:
        """Return four posts and two bars overhead, one on each face."""
        thick, high, feet = float(self.side), float(self.headroom), self._feet()
        section = (thick, thick)
        posts = [Member("post", (x, y, -0.6), (x, y, high), section, self.made, "post") for x, y in feet]
        bars = [Member("top bar", (*feet[i], high), (*feet[i + 2], high), section, self.made) for i in (0, 1)]
        joints = (
            Joint("bar on the posts", "bolted or pinned through the post", 2 * len(bars), (("coach bolt M10", 1),)),
            Joint("post in the ground", "60 cm deep, rammed or in concrete", len(posts)),
        )
        return FrameWork(
            self.id,
            (*posts, *bars),
            feet,
            joints,
            ("climbers are tied in loosely, never wound through",),
            order=(
                "Set the four posts, plumb, the clear width checked at top and foot",
                "Bolt the bars over them",
                "Wire the sides for the climber",
            ),
        )

    def _feet(self) -> tuple[XY, ...]:
        """Return the feet of the posts [m]: front and back of the left side, then of the right."""
        ahead, reach = direction(self.along_deg - 90), max(float(self.depth) - float(self.side), 0.0) / 2
        middles = [(side.centroid.x, side.centroid.y) for side in self.sides()]
        return tuple(tuple_add(at, ahead, way * reach) for at in middles for way in (1, -1))
