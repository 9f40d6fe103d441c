"""A water butt or tank."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from shapely import LineString, Polygon

from quincunx.features._base import Group
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, circle, label, outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, FrameWork, Height, Joint, Layer, LineWork, Member, Solid, Supply, Work
from quincunx.units.fields import Length, Slug, field, length

FULL_SHARE = 0.9
"""Share of the outside volume that holds water: walls, and the air above the overflow (common practice, no source)."""
LOW_M, LEG_M, BEARER_M, BOARD_M = 0.05, 0.1, (0.045, 0.145), (0.12, 0.038)
BASE_OVER_M = 0.1
"""How far a base reaches past the tank (common practice, no source)."""


class Tank(Turned):
    """A butt or tank that a roof drains into."""

    words: ClassVar[str] = "water butt or tank"
    about: ClassVar[str] = (
        "Holds a roof's rain for dry weeks; full it weighs a kilogram a litre: set it on firm ground, lid shut."
    )
    group: ClassVar[Group] = "furnishing"
    example: ClassVar = {
        "id": "shed-butt", "at": [1, 29], "plan_shape": "round", "width": 0.6, "height": 0.95, "raised": 0.35,
        "there_from": "2027-10",
    }  # fmt: skip

    kind: Literal["tank"] = "tank"
    plan_shape: Literal["rectangle", "round"] = field("Shape", "round", help="a round one is as wide as its width")
    width: Length = length("Width", 0.6, ge=0.2, le=5.0)
    depth: Length = length("Depth", 0.6, ge=0.2, le=5.0)
    height: Length = length("Height", 0.95, ge=0.2, le=4.0)
    raised: Length = length(
        "Stands above the ground on its base", 0.35, ge=0.0, le=2.0, help="room for a can below its tap"
    )
    stand_of: Literal["blocks", "brick", "timber"] = field("Its stand is of", "blocks")
    stated_litres: float | None = field(
        "Holds, as stated", None, unit="litre", gt=0, le=100000, help="empty: from its size"
    )
    waters: tuple[Slug, ...] = field(
        "What is watered from it", (), help="beds and plantings; none: nothing is counted on it"
    )
    lidded: bool = field(
        "Has a fixed lid", True, help="an open tank is a drowning danger to children and small animals"
    )

    def plan(self) -> Polygon:
        """Return it in plan [m]."""
        return circle(self.at, float(self.width)) if self.plan_shape == "round" else super().plan()

    def features_named(self) -> tuple[str, ...]:
        """Return what is watered from it."""
        return self.waters

    def litres(self) -> float:
        """Return what it holds [litre]: as stated, else nine tenths of its outside volume."""
        if self.stated_litres is not None:
            return self.stated_litres
        across = 3.141592653589793 * float(self.width) ** 2 / 4
        area = across if self.plan_shape == "round" else float(self.width) * float(self.depth)
        return 1000 * area * float(self.height) * FULL_SHARE

    def stand(self, moment: Moment) -> Stood:
        """Give the tank on its base."""
        up = Height(float(self.raised))
        solids = [Solid(self.id, "tank", self.plan(), up, Height(float(self.raised) + float(self.height)))]
        if self.raised:
            solids.append(Solid(self.id, "base", self.plan(), top=up))
        supply = Supply(self.id, (float(self.at[0]), float(self.at[1])), self.litres(), None, self.waters)
        return Stood(tuple(solids), figures=self._figures(), work=self._work(), supplies=(supply,))

    def _work(self) -> tuple[Work, ...]:
        under = self.plan().buffer(BASE_OVER_M, join_style="mitre")
        floor = AreaWork(self.id, under, (Layer("flags", 0.04), Layer("crushed stone", 0.1)))
        high = float(self.raised)
        if high < LOW_M:
            return (floor,)
        west, south, east, north = self.plan().bounds
        wide = max(east - west, north - south)
        if self.stand_of != "timber":
            material, thick = ("block", 0.1) if self.stand_of == "blocks" else ("brick", 0.1025)
            lines = [LineString([(x, south), (x, north)]) for x in (west + thick / 2, east - thick / 2)]
            walls = tuple(LineWork(self.id, line, high, thick, material) for line in lines)
            return (floor, *walls)
        return (floor, self._timber_stand(wide, high))

    def _timber_stand(self, wide: float, high: float) -> FrameWork:
        """Return a stand of four legs, two bearers and boards, loaded by a full tank [m]."""
        x, y = (float(c) for c in self.at)
        half, side = wide / 2 - LEG_M / 2, (LEG_M, LEG_M)
        under = high - BOARD_M[1] - BEARER_M[1]
        feet = tuple((x + i * half, y + j * half) for i in (-1, 1) for j in (-1, 1))
        members = [Member("post", (*f, 0.0), (*f, under), side, "timber", "post") for f in feet]
        for i in (-1, 1):
            a, b = (x + i * half, y - wide / 2), (x + i * half, y + wide / 2)
            members.append(
                Member(
                    "bearer",
                    (*a, under),
                    (*b, under),
                    BEARER_M,
                    "timber",
                    carries="floor",
                    strip_m=wide / 2,
                    span_m=2 * half,
                )
            )
        count = max(math.floor((wide + 0.01) / (BOARD_M[0] + 0.01) + 1e-9), 1)
        for i in range(count):
            t = y - wide / 2 + (i + 0.5) * wide / count
            members.append(
                Member("board", (x - wide / 2, t, under + BEARER_M[1]), (x + wide / 2, t, under + BEARER_M[1]), BOARD_M, "timber",
                       carries="floor", strip_m=wide / count, span_m=2 * half)
            )  # fmt: skip
        joints = (
            Joint("bearer on the legs", "notched half into the leg, bolted", 4, (("coach bolt M12", 2),)),
            Joint("board on the bearers", "screwed twice at each end", 2 * count, (("structural screw 6 × 120", 2),)),
        )
        kg = self.litres()
        assumes = (
            f"full it weighs about {kg:,.0f} kg besides the tank",
            "strapped to the wall behind so that it can't tip",
            "legs stand on flags",
        )
        order = (
            "Lay the flags level on the stone",
            "Make both frames, join them by the boards",
            "Set the tank in the middle, strap it to the wall",
        )
        load = kg * 9.80665 / 1000 / wide**2
        return FrameWork(
            self.id, tuple(members), feet, joints, assumes, None, LEG_M, order=order, floor_m2=wide**2, live_kpa=load
        )

    def _figures(self) -> tuple[Figure, ...]:
        """Draw the tank as water inside its wall, and the edge of its base."""
        under = self.plan().buffer(BASE_OVER_M, join_style="mitre")
        words = self.name or self.words
        return (
            outline_figure(under, "built", self.id, "fine"),
            area_figure(self.plan(), "water", self.id, "waves", "normal"),
            *label(self.plan(), words, "water", self.id),
        )
