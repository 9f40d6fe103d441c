"""An arbour: a seat under open slats on four posts, its sides open or trellised."""

from __future__ import annotations

import math
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field
from shapely import Polygon

from quincunx.features._base import Axis, Group
from quincunx.features._frames import post_figures, post_members, post_solids, posts_round, wall_solids
from quincunx.features._kit import Built
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, mirrored_side, outline_figure, rectangle
from quincunx.features._slopes import Edge, edges
from quincunx.features._structure import DEAD_KPA
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import (
    GROUND,
    XY,
    Figure,
    FrameWork,
    Height,
    Joint,
    Load,
    Member,
    PathFigure,
    Roof,
    Slats,
    Solid,
    Work,
    every_month,
)
from quincunx.units.fields import Length, field, length

RAIL_M = (0.045, 0.095)
SEAT_HIGH_M = 0.45
"""Height of a seat (common practice, no source)."""
TRELLIS_GAP_M, TRELLIS_OPEN = 0.12, 0.7
"""Largest hole and open share of a trellised side (common practice, no source)."""


class Arbour(Built, Turned):
    """A small open-slatted roof over a seat."""

    words: ClassVar[str] = "arbour"
    about: ClassVar[str] = "A seat under open slats: something to grow over, half shade, no shelter from rain."
    group: ClassVar[Group] = "shelter"
    example: ClassVar = {
        "id": "rose-arbour", "at": [3, 3], "facing_deg": 200, "width": 1.8, "depth": 0.9, "there_from": "2028-04",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("how",)
    kind: Literal["arbour"] = "arbour"
    width: Length = length("Width", 1.8, ge=0.8, le=5.0)
    depth: Length = length("Depth", 0.9, ge=0.5, le=4.0)
    clear_height: Length = length("Clear height under the slats", 2.1, ge=1.7, le=4.0)
    post: Length = length("Post", 0.09, ge=0.04, le=0.4, help="one side of the square")
    slat_depth: Length = length("Depth of the slats", 0.07, ge=0.01, le=0.3)
    slat_thickness: Length = length("Thickness of the slats", 0.035, ge=0.005, le=0.2)
    slat_gap: Length = length("Clear between slats", 0.15, ge=0.01, le=1.0)
    closed_sides: tuple[Annotated[int, Field(ge=1, le=4)], ...] = field(
        "Sides with trellis", (2, 3, 4), help="counted clockwise, seen from above; 1 is the front"
    )
    seat_depth: Length = length("Depth of the seat", 0.45, ge=0.0, le=1.0, help="0: no seat of its own")

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Close the sides that mirror its own."""
        closed = tuple(sorted(mirrored_side(s, 4) for s in self.closed_sides))
        return {**super().mirrored(axis), "closed_sides": closed}

    def sides(self) -> tuple[Edge, ...]:
        """Return its four sides clockwise from the front."""
        return edges(self.plan(), self.facing_deg)

    def posts(self) -> tuple[XY, ...]:
        """Return where the four posts stand [m]."""
        return posts_round(self.sides(), 9.0, float(self.post))

    def seat(self) -> Polygon | None:
        """Return the seat in plan, at the back between the posts [m]; None without one."""
        deep, post = float(self.seat_depth), float(self.post)
        if not deep:
            return None
        back = self.sides()[2]
        return back.strip(post, back.length_m - post, min(deep, float(self.depth)))

    def _slats(self) -> tuple[Edge, ...]:
        """Return the middle lines of the slats, which run from front to back."""
        front, back = self.sides()[0], self.sides()[2]
        free = front.length_m - float(self.slat_thickness)
        n = max(math.floor(free / (float(self.slat_gap) + float(self.slat_thickness))), 1)
        at = [float(self.slat_thickness) / 2 + free * i / n for i in range(n + 1)]
        return tuple(Edge(front.point(s), back.point(back.length_m - s), 0.0) for s in at)

    def stand(self, moment: Moment) -> Stood:
        """Give posts, slats, trellised sides and the seat; the frame stands level on the ground at its middle."""
        z0 = moment.ground_z_m(float(self.at[0]), float(self.at[1]))
        under = z0 + float(self.clear_height)
        deep, gap, thick = float(self.slat_depth), float(self.slat_gap), float(self.slat_thickness)
        open_share = gap / (gap + thick)
        solids = post_solids(self.id, self.posts(), float(self.post), self.facing_deg, (under,) * 4)
        form = Slats(self.facing_deg % 180.0, deep, gap, 0.0, thick)
        roof = Solid(
            self.id, "slats", self.plan(), Height(under, "site"), Height(under + deep, "site"), form, gap,
            opacity=every_month(1 - open_share), transmittance=every_month(open_share),
        )  # fmt: skip
        strips = [side.strip(0.0, side.length_m, 0.03) for side in self._closed()]
        trellis = wall_solids(
            self.id, "side", strips, GROUND, Height(under, "site"), light=TRELLIS_OPEN, gap_m=TRELLIS_GAP_M
        )
        seat = self.seat()
        bench = (Solid(self.id, "seat", seat, top=Height(z0 + SEAT_HIGH_M, "site")),) if seat else ()
        return Stood((*solids, roof, *trellis, *bench), figures=self._figures(), work=self._work(moment, z0))

    def _closed(self) -> tuple[Edge, ...]:
        sides = self.sides()
        return tuple(sides[n - 1] for n in sorted(set(self.closed_sides)))

    def _figures(self) -> tuple[Figure, ...]:
        seat = self.seat()
        drawn: list[Figure] = [area_figure(seat, "built", self.id, "boards")] if seat else []
        drawn += [outline_figure(self.plan(), "roof", self.id, "thin", dash=True)]
        drawn += [PathFigure((s.start, s.end), "roof", self.id, weight="fine") for s in self._slats()]
        drawn += [PathFigure((s.start, s.end), "built", self.id, weight="thin", dash=True) for s in self._closed()]
        return (*drawn, *post_figures(self.id, self.posts(), float(self.post), self.facing_deg))

    def _work(self, moment: Moment, z0: float) -> tuple[Work, ...]:
        """Return the frame as it fits: slats on the rails, rails on the posts."""
        posts, high = self.posts(), float(self.clear_height)
        rail = high - RAIL_M[1]
        sides, step = self.sides(), float(self.slat_thickness) + float(self.slat_gap)
        members = [*post_members(moment, posts, float(self.post), (z0 + rail,) * 4, "timber", z0)]
        deep = float(self.depth)
        bears = (deep / 2, 0.0, deep / 2, 0.0)
        for side, strip in zip(sides, bears, strict=True):
            a, b = (
                side.point(s, float(self.post) / 2)
                for s in (float(self.post) / 2, side.length_m - float(self.post) / 2)
            )
            carries: Load = "slats" if strip else "none"
            members.append(
                Member(
                    "rail",
                    (*a, rail),
                    (*b, rail),
                    RAIL_M,
                    "timber",
                    carries=carries,
                    strip_m=strip,
                    more_m=float(self.post),
                )
            )
        section = (float(self.slat_thickness), float(self.slat_depth))
        members += [
            Member(
                "slat",
                (*s.start, high),
                (*s.end, high),
                section,
                "timber",
                carries="slats",
                strip_m=step,
                span_m=deep - float(self.post),
            )
            for s in self._slats()
        ]
        if (seat := self.seat()) is not None:
            wide = float(self.width) - 2 * float(self.post)
            middle = rectangle(seat.centroid.coords[0], wide, 0.01, self.facing_deg).exterior.coords
            a, b = middle[0], middle[1]
            boards = max(math.ceil(float(self.seat_depth) / 0.1), 1)
            start, end = (a[0], a[1], SEAT_HIGH_M), (b[0], b[1], SEAT_HIGH_M)
            members.append(Member("seat board", start, end, (0.095, 0.028), "timber", count=boards))
        frame = FrameWork(self.id, tuple(members), posts, self._joints(), (), self._roof(), 0.3, on_pads=True)
        return self.built_work((frame,), posts)

    def _roof(self) -> Roof:
        open_share = float(self.slat_gap) / (float(self.slat_gap) + float(self.slat_thickness))
        high = float(self.clear_height)
        return Roof(self.plan().area, 0.0, DEAD_KPA["slats"], open_share, 0.0, high, high + float(self.slat_depth))

    def _joints(self) -> tuple[Joint, ...]:
        slats = len(self._slats())
        return (
            Joint(
                "post on its base", "base bolted to the pad, post 5 cm clear of the ground", 4, (("coach bolt M12", 2),)
            ),
            Joint("rail on the posts", "half-lapped over the post, screwed down", 4, (("coach screw 8 × 120", 2),)),
            Joint(
                "slat on the rails",
                "laid across both rails, one screw at each end",
                slats,
                (("structural screw 6 × 120", 2),),
            ),
        )
