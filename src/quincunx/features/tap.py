"""A tap outside."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._placed import Placed
from quincunx.features._plan import area_figure, circle, label, outline_figure, rectangle
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Height, Solid, Supply
from quincunx.units.fields import Length, degrees, field, length


class Tap(Placed):
    """A tap on a post or a wall."""

    words: ClassVar[str] = "tap"
    about: ClassVar[str] = "Where mains or tank water is drawn; drain it before frost; a plumber joins it to the mains."
    group: ClassVar[Group] = "furnishing"
    bearings: ClassVar[tuple[str, ...]] = ("facing_deg",)
    example: ClassVar = {"id": "yard-tap", "at": [2, 38], "height": 0.7, "hose": 25, "there_from": "start"}

    kind: Literal["tap"] = "tap"
    on_post: bool = field("On a post of its own", True, help="else on a wall")
    height: Length = length("Height of the tap", 0.7, ge=0.1, le=2.0)
    post: Length = length("Post", 0.1, ge=0.03, le=0.4, help="one side of the square")
    facing_deg: float = degrees("Faces", 180.0)
    hose: Length | None = length("Length of its hose", None, ge=1.0, le=200.0)
    flow: float | None = field(
        "Gives", None, unit="l/min", gt=0, le=200, help="time a can under it: 10 litres in 30 seconds are 20 a minute"
    )

    def stand(self, moment: Moment) -> Stood:
        """Give the post, if it has one of its own."""
        shape = rectangle(self.at, float(self.post), float(self.post), self.facing_deg)
        solids = (Solid(self.id, "", shape, top=Height(float(self.height) + 0.1)),) if self.on_post else ()
        figures: tuple[Figure, ...] = (
            area_figure(shape, "water", self.id, "cross", "normal"),
            outline_figure(circle(self.at, 0.3), "water", self.id, "thin"),
            *label(shape, self.name or self.words, "water", self.id),
        )
        hose = None if self.hose is None else float(self.hose)
        supply = Supply(self.id, (float(self.at[0]), float(self.at[1])), None, hose, (), self.flow)
        return Stood(solids, figures=figures, supplies=(supply,))
