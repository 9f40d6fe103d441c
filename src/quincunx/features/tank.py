"""A water butt or tank."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.features._base import Group
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, circle, label, outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, Height, Layer, Solid, Supply, Work
from quincunx.units.fields import Length, Slug, field, length

FULL_SHARE = 0.9
"""Share of the outside volume that holds water: walls, and the air above the overflow (common practice, no source)."""
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
        return (AreaWork(self.id, under, (Layer("flags", 0.04), Layer("crushed stone", 0.1))),)

    def _figures(self) -> tuple[Figure, ...]:
        """Draw the tank as water inside its wall, and the edge of its base."""
        under = self.plan().buffer(BASE_OVER_M, join_style="mitre")
        words = self.name or self.words
        return (
            outline_figure(under, "built", self.id, "fine"),
            area_figure(self.plan(), "water", self.id, "waves", "normal"),
            *label(self.plan(), words, "water", self.id),
        )
