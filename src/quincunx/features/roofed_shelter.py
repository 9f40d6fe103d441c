"""A roofed shelter: a solid roof on posts, each side open or closed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import Field, model_validator
from shapely import LineString, Point, Polygon

from quincunx.features._base import Axis, Group
from quincunx.features._frames import post_figures, post_members, post_solids, posts_round, wall_solids
from quincunx.features._kit import Built
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, biggest, mirrored_side, regular
from quincunx.features._roofs import fill_solids, roof_figures, roof_members, roof_solids, roof_work
from quincunx.features._slopes import Edge, RoofForm, Slope, drained, edges, rise_at_m, slopes
from quincunx.features._structure import DEAD_KPA, SLIPPERY, braces, plates_round, roof_joints
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import (
    GROUND,
    NO_LIGHT,
    OPAQUE,
    XY,
    Figure,
    FrameWork,
    Height,
    LineWork,
    Member,
    Roof,
    Solid,
    Work,
    every_month,
)
from quincunx.units.fields import Length, Slug, degrees, field, length

ARM_M, TIES_M = 0.6, 1.2
"""Reach of the knee braces, and how far apart ties are (common practice, no source) [m]."""
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

    weighed: ClassVar[tuple[str, ...]] = ("how", "covering")
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
    # Sections and spacing to begin with: common practice, no source; they are screened against spans and snow.
    rafter_wide: Length = length("Width of the rafters", 0.045, ge=0.02, le=0.2)
    rafter_deep: Length = length("Depth of the rafters", 0.12, ge=0.04, le=0.4)
    rafters_apart: Length = length("Rafters apart, at most", 0.6, ge=0.2, le=1.2)
    plate_wide: Length = length("Width of the plates on the posts", 0.045, ge=0.03, le=0.3)
    plate_deep: Length = length("Depth of the plates on the posts", 0.145, ge=0.04, le=0.5)
    ridge_deep: Length | None = length(
        "Depth of the ridge and the hips", None, ge=0.04, le=0.6,
        help="empty: enough for the sawn ends of the rafters, as deep as the plates where that does",
    )  # fmt: skip
    pad: Length = length("Pads under the posts", 0.4, ge=0.2, le=1.5, help="one side of the square")
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

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Close and drain the sides that mirror its own."""
        n = SIDES[self.plan_shape]
        closed = tuple(sorted(mirrored_side(s, n) for s in self.closed_sides))
        drains = mirrored_side(self.drains_to, n)
        return {**super().mirrored(axis), "closed_sides": closed, "drains_to": drains}

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
        posts = self.posts()
        closed = float(self.closed_height if self.closed_height is not None else self.eaves_height)
        sides = [LineWork(self.id, LineString([e.start, e.end]), closed, 0.03, self.closed_with) for e in self._walls()]
        covering = roof_work(self.id, roof, self.covering, THICK_M[self.covering])
        return self.built_work((self._frame(moment, z0, roof), *covering, *sides), posts)

    def _frame(self, moment: Moment, z0: float, roof: tuple[Slope, ...]) -> FrameWork:
        """Return the frame as it fits: plates under the rafters, posts under the plates, ties or a ring for the thrust."""
        posts, high, deep = self.posts(), float(self.eaves_height), float(self.plate_deep)
        sides, section = self.sides(), (float(self.plate_wide), deep)
        corners = posts_round(sides, 60.0, float(self.post))
        bottoms = [high + rise_at_m(roof, at) - deep for at in corners]
        under = [_on_plate_m(at, corners, bottoms) for at in posts]
        members = list(post_members(moment, posts, float(self.post), [z0 + u for u in under], "timber", z0))
        rafters = self._rafters(roof)
        strip = max((m.past_m + (m.span_m or 0.0) / 2 for m in rafters if m.name == "rafter"), default=0.0)
        bears = {e.out_deg for s in roof for e in [s.eaves]}
        single = [*bears, *((d + 180.0) % 360.0 for d in bears)] if self.roof == "single" else [*bears]
        strips = [strip if any(abs((e.out_deg - d + 180) % 360 - 180) < 1 for d in single) else 0.0 for e in sides]
        verge = [float(self.overhang) if s and self.roof != "hip" else 0.0 for s in strips]
        members += plates_round(sides, corners, float(self.bay), bottoms, section, strips, verge)
        members += rafters
        members += self._ties(corners, bottoms, rafters)
        members += braces(corners, bottoms, ARM_M, (float(self.rafter_wide), float(self.rafter_deep)))
        top = max(s.rises_m()[1] for s in roof)
        shape = Roof(
            self.eaves().area, self.pitch_deg, DEAD_KPA[self.covering], 0.0, len(set(self.closed_sides)) / len(sides), high, high + top,
            len(roof), self.covering in SLIPPERY,
        )  # fmt: skip
        joints = roof_joints(
            members, len(posts), len(corners), square=len(sides) == SIDES["square"], plates=2 if self.roof == "single" else 1
        )  # fmt: skip
        return FrameWork(self.id, tuple(members), posts, joints, self._assumes(), shape, float(self.pad), on_pads=True)

    def _rafters(self, roof: tuple[Slope, ...]) -> tuple[Member, ...]:
        section = (float(self.rafter_wide), float(self.rafter_deep))
        past = float(self.overhang) + float(self.post) / 2
        top = past if self.roof == "single" else 0.0
        return roof_members(
            roof, float(self.eaves_height), float(self.rafters_apart), section, "timber", past_m=past, past_top_m=top,
            top_deep_m=self.top_deep_m(),
        )  # fmt: skip

    def top_deep_m(self) -> float:
        """Return the depth of ridge and hips [m]: no less than the sawn ends of the rafters that meet there.

        International Residential Code 2018 R802.3 asks it of ridge boards, R802.4.3 of 2021 of hips.
        """
        if self.ridge_deep is not None:
            return float(self.ridge_deep)
        sawn, plate = float(self.rafter_deep) / math.cos(math.radians(self.pitch_deg)), float(self.plate_deep)
        return plate if plate >= sawn - 5e-4 else math.ceil(sawn * 1000 - 1e-6) / 1000

    def _ties(self, corners: tuple[XY, ...], bottoms: list[float], rafters: tuple[Member, ...]) -> list[Member]:
        """Return level ties from eaves plate to eaves plate under a gable, each beside a rafter, against its thrust [m]."""
        if self.roof != "gable":
            return []
        k = self.drains_to - 1
        a, b = corners[k % 4], corners[(k + 1) % 4]
        d, c = corners[(k + 3) % 4], corners[(k + 2) % 4]
        count = max(math.ceil(math.dist(a, b) / TIES_M - 1e-9), 2)
        top = bottoms[k % 4] + float(self.plate_deep)
        wide = float(self.rafter_wide)
        section = (wide, float(self.plate_deep))
        out = []
        for i in range(1, count):
            s = _beside(a, b, i / count, rafters, wide)
            start = (a[0] + (b[0] - a[0]) * s, a[1] + (b[1] - a[1]) * s, top)
            end = (d[0] + (c[0] - d[0]) * s, d[1] + (c[1] - d[1]) * s, top)
            out.append(Member("tie", start, end, section, "timber", more_m=2 * float(self.plate_wide)))
        return out

    def _assumes(self) -> tuple[str, ...]:
        thrust = {
            "gable": "ties from plate to plate hold the thrust of the rafters",
            "hip": "the ring of plates, strapped at each corner, holds the thrust of hips and rafters",
            "single": "rafters rest on two plates and push nothing apart",
        }[self.roof]
        return (
            thrust,
            "undersides of rafters meet the eaves at the clear height",
            "posts stand on bases over pads and are listed from the ground: about 5 cm more than they need",
        )


def _on_plate_m(at: XY, corners: tuple[XY, ...], bottoms_m: Sequence[float]) -> float:
    """Return the height of a plate's underside over a post that stands below it [m]."""
    ring = [*zip(corners, bottoms_m, strict=True)]
    sides = pairwise((*ring, ring[0]))
    (a, za), (b, zb) = min(sides, key=lambda s: round(LineString([s[0][0], s[1][0]]).distance(Point(at)), 6))
    return za + (zb - za) * math.dist(a, at) / math.dist(a, b)


def _beside(a: XY, b: XY, share: float, rafters: tuple[Member, ...], wide_m: float) -> float:
    """Return the share of the way from ``a`` to ``b`` at which a piece lies against the rafter next to ``share``."""
    run = math.dist(a, b)
    u = ((b[0] - a[0]) / run, (b[1] - a[1]) / run)
    at = [(m.start[0] - a[0]) * u[0] + (m.start[1] - a[1]) * u[1] for m in rafters if m.name == "rafter"]
    near = min(at, key=lambda t: (round(abs(t - share * run), 4), round(t, 4)), default=share * run)
    inward = 1.0 if near <= run / 2 else -1.0
    return (near + inward * wide_m) / run
