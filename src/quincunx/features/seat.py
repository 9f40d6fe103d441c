"""A seat."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.features._base import Group
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, label, outline_figure
from quincunx.features._slopes import edges
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import GROUND, Figure, Height, PathFigure, Solid, every_month
from quincunx.units.fields import Length, field, length

BOARD_M, BACK_M, BACK_LOW_M, LEG_M = 0.045, 0.05, 0.1, 0.06
"""Thickness of seat and back, hole below the back's lowest rail, leg (common practice, no source)."""
KNEES_M = 0.6
"""Free ground in front of a seat for legs and feet (common practice, no source)."""


class Seat(Turned):
    """A bench or chair with or without a back."""

    words: ClassVar[str] = "seat"
    about: ClassVar[str] = (
        "A bench to sit on: feet go round it; place a spot at eye height to ask what is seen from it."
    )
    group: ClassVar[Group] = "furnishing"
    example: ClassVar = {
        "id": "walk-end-seat", "at": [3, 2], "facing_deg": 10, "width": 1.5, "depth": 0.5, "there_from": "2028-06",
    }  # fmt: skip

    kind: Literal["seat"] = "seat"
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
        return Stood(tuple(solids), figures=self._figures())

    def _figures(self) -> tuple[Figure, ...]:
        """Draw the seat with its back as a thick line, and the room for knees in front of it."""
        front, _, back, _ = edges(self.plan(), self.facing_deg)
        knees = front.strip(0.0, front.length_m, -KNEES_M)
        backed = [PathFigure((back.start, back.end), "built", self.id, weight="thick")] if self.back_height else []
        return (
            area_figure(self.plan(), "built", self.id, "boards", "normal"),
            outline_figure(knees, "note", self.id, "fine", dash=True),
            *backed, *label(self.plan(), self.name, "built", self.id),
        )  # fmt: skip
