"""A trellis: an open lattice, free-standing on posts or on a wall."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString

from quincunx.features._base import Group
from quincunx.features._lined import Sharp
from quincunx.features._plan import area_figure, posts_along, rectangle
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import XY, Figure, FrameWork, Height, LineWork, Member, Solid, Work, every_month
from quincunx.units.fields import Length, field, length

THICKNESS_M = 0.04
"""Two layers of lath (common practice, no source)."""


class Trellis(Sharp):
    """Crossed laths with square holes; climbers turn it into a wall."""

    words: ClassVar[str] = "trellis"
    about: ClassVar[str] = "An open lattice: marks a room at once, hides little until a climber has grown over it."
    group: ClassVar[Group] = "walls"
    opens: ClassVar[bool] = True
    example: ClassVar = {
        "id": "bench-trellis",
        "line": [[0, 0], [3.6, 0]],
        "height": 1.8,
        "there_from": "2028-03",
    }

    kind: Literal["trellis"] = "trellis"
    height: Length = length("Height", 1.8, ge=0.3, le=3.5)
    under: Length = length("Clear below it", 0.1, ge=0.0, le=1.5)
    hole: Length = length("Holes", 0.15, ge=0.02, le=0.5)
    lath: Length = length("Width of a lath", 0.025, ge=0.005, le=0.1)
    on_wall: bool = field("Fixed to a wall", False)
    post_spacing: Length = length("Posts at most this far apart", 1.8, ge=0.5, le=4.0)
    post: Length = length("Thickness of the posts", 0.075, ge=0.03, le=0.2)

    def opacity(self) -> float:
        """Return the share of a view that the laths block, seen straight on."""
        return 1.0 - (float(self.hole) / (float(self.hole) + float(self.lath))) ** 2

    def posts(self) -> tuple[XY, ...]:
        """Return where its posts stand [m]; none on a wall."""
        return () if self.on_wall else posts_along(self.line, float(self.post_spacing))

    def stand(self, moment: Moment) -> Stood:
        """Give one solid with the holes it has."""
        shape, high, shut = self.along(THICKNESS_M), float(self.height), self.opacity()
        base = Height(min(float(self.under), high / 2))
        solid = Solid(
            self.id,
            "",
            shape,
            base,
            Height(high),
            gap_m=float(self.hole),
            opacity=every_month(shut),
            transmittance=every_month(1 - shut),
        )
        side = float(self.post)
        figures: tuple[Figure, ...] = (
            area_figure(shape, "wall", self.id, "cross", "thin"),
            *(area_figure(rectangle(at, side, side, 0.0), "wall", self.id, weight="fine") for at in self.posts()),
        )
        work: list[Work] = [LineWork(self.id, LineString(self.course()), high, THICKNESS_M, "trellis")]
        posts = tuple(
            Member("post", (x, y, -0.6), (x, y, high), (side, side), "fence post", "post") for x, y in self.posts()
        )
        work += [FrameWork(self.id, posts, self.posts())] if posts else []
        return Stood((solid,), figures=figures, work=tuple(work))
