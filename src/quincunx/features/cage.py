"""A cage: netted sides and top, high enough to stand in."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, label, outline_figure, posts_along, rim
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Change, Cover, Figure, FrameWork, Height, LineWork, Member, Solid, every_month
from quincunx.units.fields import Length, field, length

SIDE_M = 0.04
"""Thickness of its sides: posts and net (common practice, no source)."""
OPACITY = 0.1
"""Share of view and light that its net takes (common practice, no source)."""
TOP_ON = (0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.0, 0.0)
"""Northern months in which the top net is on: off in winter, as snow breaks it (common practice, no source)."""


class Cage(Outlined):
    """Posts with net all round and over the top; a gate set in its side is its door."""

    words: ClassVar[str] = "cage"
    about: ClassVar[str] = (
        "Nets fruit or greens in from birds, rabbits and deer, sides and top; set a gate in it for a door."
    )
    group: ClassVar[Group] = "temporary"
    example: ClassVar = {
        "id": "fruit-cage",
        "name": "Fruit cage",
        "outline": [[0, 0], [4, 0], [4, 3], [0, 3]],
        "there_from": "2029-03",
        "there_until": "2036-11",
    }

    kind: Literal["cage"] = "cage"
    height: Length = length("Height", 2.0, ge=0.5, le=3.0)
    hole: Length = length("Largest hole in its sides", 0.018, ge=0.005, le=0.1)
    top_hole: Length = length("Largest hole in its top", 0.018, ge=0.005, le=0.1)
    top_off_in_winter: bool = field("Top net taken off for the winter", True)
    post_spacing: Length = length("Posts at most this far apart", 2.0, ge=0.5, le=4.0)

    def has_top(self, moment: Moment) -> bool:
        """Return whether the top net is on at ``moment``."""
        return not self.top_off_in_winter or moment.year_months(TOP_ON)[moment.month - 1] > 0

    def stand(self, moment: Moment) -> Stood:
        """Give its sides, and the cover while the top net is on."""
        shape, high = self.plan(), float(self.height)
        sides = Solid(
            self.id,
            "sides",
            rim(shape, SIDE_M),
            top=Height(high),
            gap_m=float(self.hole),
            opacity=every_month(OPACITY),
            transmittance=every_month(1 - OPACITY),
        )
        covers: tuple[Change, ...] = (Cover(self.id, shape, float(self.top_hole)),) if self.has_top(moment) else ()
        figures: tuple[Figure, ...] = (
            area_figure(rim(shape, SIDE_M), "built", self.id, "cross", "thin"),
            outline_figure(shape, "built", self.id, "thin"),
            *label(shape, self.name, "built", self.id),
        )
        posts = posts_along(self.outline, float(self.post_spacing), closed=True)
        frame = FrameWork(
            self.id,
            tuple(Member("post", (*p, -0.5), (*p, high), (0.05, 0.05), "fence post", "post") for p in posts),
            posts,
        )
        line = LineString(shape.exterior.coords[:-1])
        run = LineWork(self.id, line, high, SIDE_M, "fruit net", closed=True)
        return Stood((sides,), changes=covers, figures=figures, work=(frame, run))
