"""Something set to be looked at: an urn, a dial, a stone, a figure."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.features._base import Group
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, circle, label, outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Height, Solid
from quincunx.units.fields import Length, field, length


class FocalObject(Turned):
    """An object at the end or the crossing of an axis."""

    words: ClassVar[str] = "focal object"
    about: ClassVar[str] = (
        "Set where eyes should rest: ask from which spots it is seen, and what must not grow before it."
    )
    group: ClassVar[Group] = "furnishing"
    example: ClassVar = {
        "id": "walk-urn", "at": [9, 1], "plan_shape": "round", "width": 0.7, "height": 0.9, "plinth_height": 0.6,
        "plinth_width": 0.8, "there_from": "2031-04",
    }  # fmt: skip

    kind: Literal["focal-object"] = "focal-object"
    plan_shape: Literal["rectangle", "round"] = field("Shape", "round", help="a round one is as wide as its width")
    width: Length = length("Width", 0.6, ge=0.05, le=5.0)
    depth: Length = length("Depth", 0.6, ge=0.05, le=5.0)
    height: Length = length("Height without plinth", 0.9, ge=0.05, le=8.0)
    plinth_height: Length = length("Height of the plinth", 0.0, ge=0.0, le=3.0)
    plinth_width: Length = length("Width of the plinth", 0.6, ge=0.05, le=5.0)
    weight_kg: float | None = field("Weight", None, unit="kg", gt=0, le=20000, help="above 25 kg get help to lift it")

    def plan(self) -> Polygon:
        """Return the object in plan [m]."""
        return circle(self.at, float(self.width)) if self.plan_shape == "round" else super().plan()

    def _plinth(self) -> Polygon:
        wide = float(self.plinth_width)
        return Turned.plan(self.model_copy(update={"width": wide, "depth": wide}))

    def stand(self, moment: Moment) -> Stood:
        """Give the object on its plinth."""
        up = float(self.plinth_height)
        solids = [Solid(self.id, "object", self.plan(), Height(up), Height(up + float(self.height)))]
        if up:
            solids.append(Solid(self.id, "plinth", self._plinth(), top=Height(up)))
        return Stood(tuple(solids), figures=self._figures())

    def _figures(self) -> tuple[Figure, ...]:
        foot = [outline_figure(self._plinth(), "built", self.id, "normal")] if self.plinth_height else []
        return (
            area_figure(self.plan(), "built", self.id, "cross", "normal"), *foot,
            *label(self.plan(), self.name, "built", self.id),
        )  # fmt: skip
