"""A seat."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.features._base import Group
from quincunx.features._kit import Built, How
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, label, outline_figure
from quincunx.features._slopes import edges
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import GROUND, Figure, FrameWork, Height, Joint, Member, PathFigure, Solid, Work, every_month
from quincunx.units.fields import Length, field, length

BOARD_M, BACK_M, BACK_LOW_M, LEG_M = 0.045, 0.05, 0.1, 0.06
"""Thickness of seat and back, hole below the back's lowest rail, leg (common practice, no source)."""
SPAN_M = 1.0
"""Slats are carried at least this often [m] (common practice, no source)."""
KNEES_M = 0.6
"""Free ground in front of a seat for legs and feet (common practice, no source)."""


SLAT_M, RAIL_M = (0.07, 0.035), (0.045, 0.095)
"""Slats, and rails under them, of a made seat (common practice, no source)."""


class Seat(Built, Turned):
    """A bench or chair with or without a back."""

    words: ClassVar[str] = "seat"
    about: ClassVar[str] = (
        "A bench to sit on: feet go round it; place a spot at eye height to ask what is seen from it."
    )
    group: ClassVar[Group] = "furnishing"
    example: ClassVar = {
        "id": "walk-end-seat", "at": [3, 2], "facing_deg": 10, "width": 1.5, "depth": 0.5, "there_from": "2028-06",
    }  # fmt: skip

    weighed: ClassVar[tuple[str, ...]] = ("how",)
    kind: Literal["seat"] = "seat"
    how: How = field("Made, bought whole or hired out", "kit")
    width: Length = length("Width", 1.5, ge=0.3, le=8.0)
    depth: Length = length("Depth", 0.5, ge=0.25, le=2.0)
    seat_height: Length = length("Height of the seat", 0.45, ge=0.2, le=0.8)
    back_height: Length = length("Height of the back", 0.9, ge=0.0, le=2.0, help="0: no back")
    solid_below: bool = field("Solid down to the ground", False, help="a stone block or a boxed bench")

    def _legs(self) -> tuple[Polygon, ...]:
        """Return the two leg frames, near both ends [m]."""
        _, right, _, left = edges(self.plan(), self.facing_deg)
        return tuple(side.strip(0.0, side.length_m, LEG_M) for side in (right, left))

    def _back(self) -> Polygon:
        side = edges(self.plan(), self.facing_deg)[2]
        return side.strip(0.0, side.length_m, BACK_M)

    def stand(self, moment: Moment) -> Stood:
        """Give the seat, its legs and its back."""
        top = Height(float(self.seat_height))
        base = GROUND if self.solid_below else Height(max(float(self.seat_height) - BOARD_M, 0.0))
        solids = [Solid(self.id, "seat", self.plan(), base, top)]
        if not self.solid_below:
            solids += [Solid(self.id, f"leg{n}", s, top=base) for n, s in enumerate(self._legs(), start=1)]
        if self.back_height > self.seat_height:
            half = every_month(0.5)
            back = Height(float(self.back_height))
            solids.append(
                Solid(self.id, "back", self._back(), top, back, gap_m=BACK_LOW_M, opacity=half, transmittance=half)
            )
        return Stood(tuple(solids), figures=self._figures(), work=self._work())

    def bought_words(self) -> str:
        """Return what it is bought as."""
        return self.words

    def _work(self) -> tuple[Work, ...]:
        """Return the seat bought whole, or legs, rails and slats screwed together."""
        front, _, back, _ = edges(self.plan(), self.facing_deg)
        long, deep, high = front.length_m, float(self.depth), float(self.seat_height)
        tall = max(float(self.back_height), high)
        frames = max(math.ceil(long / SPAN_M - 1e-9) + 1, 2)
        members: list[Member] = []
        side = (LEG_M, LEG_M)
        top = high - SLAT_M[1]
        for i in range(frames):
            s = LEG_M / 2 + (long - LEG_M) * i / (frames - 1)
            f, b = front.point(s, LEG_M / 2), back.point(long - s, LEG_M / 2)
            members.append(Member("front leg", (*f, 0.0), (*f, top), side, "timber"))
            members.append(Member("back leg", (*b, 0.0), (*b, tall), side, "timber"))
            members.append(Member("seat rail", (*f, top - RAIL_M[1]), (*b, top - RAIL_M[1]), RAIL_M, "timber"))
        count = max(math.floor((deep + 0.01) / (SLAT_M[0] + 0.01) + 1e-9), 1)
        for i in range(count):
            t = (i + 0.5) * deep / count
            members.append(
                Member(
                    "slat",
                    (*front.point(0.0, t), top),
                    (*front.point(long, t), top),
                    SLAT_M,
                    "timber",
                    span_m=long / (frames - 1),
                )
            )
        rows = max(math.floor((tall - high) / 0.15 + 1e-9), 0)
        for i in range(rows):
            z = high + BACK_LOW_M + i * 0.15
            members.append(
                Member("back slat", (*back.point(0.0, 0.0), z), (*back.point(long, 0.0), z), SLAT_M, "timber")
            )
        joints = (
            Joint("rail to both legs", "bolted through, the leg notched 1 cm", 2 * frames, (("coach bolt M10", 2),)),
            Joint(
                "slat on the rails",
                "screwed from above, heads sunk, 1 cm between slats",
                (count + rows) * frames,
                (("structural screw 6 × 120", 1),),
            ),
        )
        assumes = ("legs stand on flags or brick, not in wet ground", "edges are rounded where people sit and lean")
        order = (
            "Bolt the leg frames, all alike, on a flat floor",
            "Stand them, screw the first and last slat, check the diagonals",
            "Screw the other slats with a spacer between",
        )
        return self.built_work((FrameWork(self.id, tuple(members), (), joints, assumes, order=order),))

    def _figures(self) -> tuple[Figure, ...]:
        """Draw the seat with its back as a thick line, and the room for knees in front of it."""
        front, _, back, _ = edges(self.plan(), self.facing_deg)
        knees = front.strip(0.0, front.length_m, -KNEES_M)
        backed = [PathFigure((back.start, back.end), "built", self.id, weight="thick")] if self.back_height else []
        return (
            area_figure(self.plan(), "built", self.id, "boards", "normal"),
            outline_figure(knees, "note", self.id, "fine", dash=True),
            *backed,
            *label(self.plan(), self.name, "built", self.id),
        )
