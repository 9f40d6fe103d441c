"""A heap or stack of material waiting for its job."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._placed import Turned
from quincunx.features._plan import area_figure, rectangle
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Height, Pattern, Solid, TextFigure
from quincunx.units.fields import Length, field, length

Material = Literal["soil", "compost", "woodchip", "gravel", "sand", "bricks", "stone", "timber"]

STACKED: dict[str, Pattern] = {"bricks": "bricks", "stone": "stones", "timber": "boards"}
"""What stands with upright sides; the rest lies loose and slopes."""
LOOSE_SHARE = 0.4
"""Share of width and depth that the upper half of a loose heap takes on the whole (a wedge, rounded down)."""


class MaterialHeap(Turned):
    """Soil, chips or bricks set down where a job needs them, until it is done."""

    words: ClassVar[str] = "material heap"
    about: ClassVar[str] = "Stands in the way of feet and light while it lasts, and takes the ground it lies on."
    group: ClassVar[Group] = "temporary"
    example: ClassVar = {
        "id": "brick-stack",
        "at": [2, 1],
        "width": 2.0,
        "depth": 1.0,
        "height": 0.9,
        "of": "bricks",
        "there_from": "2028-03",
        "there_until": "2028-07",
    }

    kind: Literal["material-heap"] = "material-heap"
    of: Material = field("Heap of", "soil")
    height: Length = length("Height", 0.8, ge=0.1, le=3.0)

    def volume_m3(self) -> float:
        """Return how much lies there [m3]: a stack all of its box, a loose heap (a wedge) two fifths of it."""
        box = float(self.width) * float(self.depth) * float(self.height)
        return box if self.of in STACKED else 0.4 * box

    def bought_whole(self) -> bool:
        """Return False: what lies there was bought for something else."""
        return False

    def stand(self, moment: Moment) -> Stood:
        """Give a box for a stack; two steps, the upper one narrower, for what lies loose."""
        shape, high = self.plan(), float(self.height)
        if self.of in STACKED:
            solids: tuple[Solid, ...] = (Solid(self.id, "", shape, top=Height(high)),)
        else:
            narrow = (float(self.width) * LOOSE_SHARE, float(self.depth) * LOOSE_SHARE)
            upper = rectangle(self.at, *narrow, self.facing_deg)
            solids = (
                Solid(self.id, "lower", shape, top=Height(high / 2)),
                Solid(self.id, "upper", upper, Height(high / 2), Height(high)),
            )
        figures: tuple[Figure, ...] = (
            area_figure(shape, "built", self.id, STACKED.get(self.of, "dots"), "fine"),
            TextFigure((float(self.at[0]), float(self.at[1])), self.of, "built", self.id, "small"),
        )
        return Stood(solids, figures=figures)
