"""A roofed shelter: a solid roof on posts, each side open or closed."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator
from shapely import LineString, Polygon

from quincunx.features._base import Group
from quincunx.features._frames import plate_members, post_figures, post_members, post_solids, posts_round, wall_solids
from quincunx.features._kit import Built
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, biggest, regular
from quincunx.features._roofs import fill_solids, roof_figures, roof_members, roof_solids, roof_work
from quincunx.features._slopes import Edge, RoofForm, Slope, drained, edges, rise_at_m, slopes
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import GROUND, NO_LIGHT, OPAQUE, XY, Figure, FrameWork, Height, LineWork, Solid, Work, every_month
from quincunx.units.fields import Length, Slug, degrees, field, length

PLATE_M, RAFTER_M, RAFTERS_APART_M = (0.045, 0.145), (0.045, 0.12), 0.6
"""Sections and spacing to begin with (common practice, no source; build screens the spans and the snow)."""
SIDES = {"square": 4, "rectangle": 4, "hexagon": 6, "octagon": 8}
SIDE_LIGHT = {"boards": 0.0, "lattice": 0.5, "glass": 0.8, "canvas": 0.1}
"""Share of sunlight the side lets through: glass with its frame from memory, the rest common practice, no source."""
SIDE_GAP_M = {"boards": 0.0, "lattice": 0.05, "glass": 0.0, "canvas": 0.0}
THICK_M = {
    "shingles": 0.04,
    "boards and felt": 0.03,
    "slates": 0.04,
    "tiles": 0.06,
    "metal sheet": 0.03,
    "clear sheet": 0.016,
}


class RoofedShelter(Built, Turned):
    """A roof to sit under."""

    words: ClassVar[str] = "roofed shelter"
    about: ClassVar[str] = (
        "A solid roof on posts: dry and shaded under it, sheds its rain at the eaves; sides can be closed."
    )
    group: ClassVar[Group] = "shelter"
    example: ClassVar = {
        "id": "stream-shelter", "at": [6, 6], "facing_deg": 190, "width": 3.0, "depth": 2.4, "roof": "gable",
        "pitch_deg": 30, "closed_sides": [3], "there_from": "2029-05",
    }  # fmt: skip

    kind: Literal["roofed-shelter"] = "roofed-shelter"
    plan_shape: Literal["square", "rectangle", "hexagon", "octagon"] = field(
        "Shape in plan", "rectangle", help="only a rectangle uses the depth; the others are as wide from flat to flat"
    )
    width: Length = length("Width over the posts", 3.0, ge=0.8, le=12.0)
    depth: Length = length("Depth over the posts", 2.4, ge=0.8, le=12.0)
    roof: RoofForm = field("Roof", "hip", help="a gable needs a square or a rectangle")
    drains_to: int = field(
        "Roof falls to side", 1, ge=1, le=8, help="counted clockwise from the front, 1; a gable to it and its opposite"
    )
    pitch_deg: float = degrees("Pitch", 25.0, lt=61.0)
    eaves_height: Length = length("Clear height at the eaves", 2.1, ge=1.5, le=5.0)
    overhang: Length = length("Roof reaches past the posts", 0.3, ge=0.0, le=1.5)
    covering: Literal["shingles", "boards and felt", "slates", "tiles", "metal sheet", "clear sheet"] = field(
        "Covering", "shingles"
    )
    post: Length = length("Post", 0.1, ge=0.05, le=0.6, help="one side of the square")
    bay: Length = length("Between posts, at most", 3.0, ge=0.8, le=6.0)
    closed_sides: tuple[Annotated[int, Field(ge=1, le=8)], ...] = field(
        "Closed sides", (), help="counted clockwise from the front, 1"
    )
    closed_with: Literal["boards", "lattice", "glass", "canvas"] = field("Closed with", "boards")
    closed_height: Length | None = length("Closed to a height of", None, ge=0.3, le=5.0, help="empty: up to the roof")
    sheds_to: Slug | None = field(
        "Its rain goes to", None, help="a water butt or tank; empty: to the ground at the eaves"
    )

    @model_validator(mode="after")
    def _fits(self) -> Self:
        n = SIDES[self.plan_shape]
        if self.roof == "gable" and n != 4:
            raise ValueError(
                f"a gable needs a square or a rectangle, but the shape is a {self.plan_shape}: choose hip or single"
            )
        over = [s for s in (*self.closed_sides, self.drains_to) if s > n]
        if over:
            raise ValueError(
                f"side {over[0]} was given, but a {self.plan_shape} has sides 1 to {n}: choose one of those"
            )
        return self

    def features_named(self) -> tuple[str, ...]:
        """Return the tank its rain goes to."""
        return (self.sheds_to,) if self.sheds_to else ()

    def plan(self) -> Polygon:
        """Return the plan over the posts [m]."""
        if self.plan_shape == "rectangle":
            return super().plan()
        return regular(self.at, float(self.width), SIDES[self.plan_shape], self.facing_deg)

    def eaves(self) -> Polygon:
        """Return the roof's edge in plan [m]."""
        return biggest(self.plan().buffer(float(self.overhang), join_style="mitre")) if self.overhang else self.plan()

    def sides(self) -> tuple[Edge, ...]:
        """Return the sides clockwise from the front."""
        return edges(self.plan(), self.facing_deg)

    def slopes(self) -> tuple[Slope, ...]:
        """Return the roof's slopes."""
        eaves = self.eaves()
        return slopes(eaves, drained(self.roof, edges(eaves, self.facing_deg), self.drains_to), self.pitch_deg)

    def posts(self) -> tuple[XY, ...]:
        """Return where the posts stand [m]."""
        return posts_round(self.sides(), float(self.bay), float(self.post))

    def stand(self, moment: Moment) -> Stood:
        """Give posts, closed sides and one slab a slope; the roof is level over the ground at its middle."""
        z0 = moment.ground_z_m(float(self.at[0]), float(self.at[1]))
        eaves_z, roof = z0 + float(self.eaves_height), self.slopes()
        light = every_month(0.7) if self.covering == "clear sheet" else NO_LIGHT
        seen = every_month(0.6) if self.covering == "clear sheet" else OPAQUE
        tops = [eaves_z + rise_at_m(roof, at) for at in self.posts()]
        solids = post_solids(self.id, self.posts(), float(self.post), self.facing_deg, tops)
        solids += self._closed(z0, roof)
        solids += roof_solids(
            self.id, roof, eaves_z, THICK_M[self.covering], light=light, seen=seen, sheds_to=self.sheds_to
        )
        return Stood(solids, figures=self._figures(roof), work=self._work(moment, z0, roof))

    def _walls(self) -> tuple[Edge, ...]:
        sides = self.sides()
        return tuple(sides[n - 1] for n in sorted(set(self.closed_sides)))

    def _closed(self, z0: float, roof: tuple[Slope, ...]) -> tuple[Solid, ...]:
        """Return the closed sides up to their height, and on to the slopes where they go all the way."""
        strips = [e.strip(0.0, e.length_m, 0.03) for e in self._walls()]
        high = float(self.closed_height if self.closed_height is not None else self.eaves_height)
        light, gap = SIDE_LIGHT[self.closed_with], SIDE_GAP_M[self.closed_with]
        walls = wall_solids(self.id, "side", strips, GROUND, Height(z0 + high, "site"), light=light, gap_m=gap)
        if self.closed_height is not None:
            return walls
        return walls + fill_solids(self.id, strips, roof, z0 + high, light=light)

    def _figures(self, roof: tuple[Slope, ...]) -> tuple[Figure, ...]:
        walls = [
            area_figure(e.strip(0.0, e.length_m, 0.03), "built", self.id, "plain", "normal") for e in self._walls()
        ]
        posts = post_figures(self.id, self.posts(), float(self.post), self.facing_deg)
        return (*walls, *posts, *roof_figures(self.id, self.eaves(), roof))

    def _work(self, moment: Moment, z0: float, roof: tuple[Slope, ...]) -> tuple[Work, ...]:
        posts, high = self.posts(), float(self.eaves_height)
        heights = [high + rise_at_m(roof, at) for at in posts]
        members = post_members(moment, posts, float(self.post), [z0 + h for h in heights], "timber")
        members += plate_members((*posts, posts[0]), (*heights, heights[0]), PLATE_M, "timber")
        members += roof_members(roof, high, RAFTERS_APART_M, RAFTER_M, "timber")
        closed = float(self.closed_height if self.closed_height is not None else self.eaves_height)
        sides = [LineWork(self.id, LineString([e.start, e.end]), closed, 0.03, self.closed_with) for e in self._walls()]
        covering = roof_work(self.id, roof, self.covering, THICK_M[self.covering])
        return self.built_work((FrameWork(self.id, members, posts), *covering, *sides), posts)
