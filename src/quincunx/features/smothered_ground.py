"""Ground being smothered: covered so that what grows there dies before it is dug or planted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._floors import FLOORS, Lies
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, label, outline_figure
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, Layer, Surface
from quincunx.units.fields import field

Cover = Literal["cardboard and chip", "black sheet", "straw"]


@dataclass(frozen=True, slots=True)
class Smother:
    """A cover: its layers [m], the share of rain that runs off it and the months it needs."""

    layers: tuple[Layer, ...]
    run_off: float
    months: int


SMOTHERS: dict[str, Smother] = {
    "cardboard and chip": Smother((Layer("woodchip", 0.1), Layer("cardboard", 0.0)), 0.1, 6),
    "black sheet": Smother((Layer("black sheet", 0.0),), 0.9, 9),
    "straw": Smother((Layer("straw", 0.2),), 0.1, 9),
}
"""Common practice, no source."""


class SmotheredGround(Outlined):
    """Covered ground on its way to becoming a bed."""

    words: ClassVar[str] = "smothered ground"
    about: ClassVar[str] = "Grass or weeds covered until they are dead: walked on with care, not yet planted."
    group: ClassVar[Group] = "temporary"
    example: ClassVar = {
        "id": "bed-to-come",
        "name": "Bed to come",
        "outline": [[0, 0], [5, 0], [5, 1.5], [0, 1.5]],
        "there_from": "2027-09",
        "there_until": "2028-04",
    }

    kind: Literal["smothered-ground"] = "smothered-ground"
    cover: Cover = field("Covered with", "cardboard and chip")

    def months_needed(self) -> int:
        """Return how many months it should lie."""
        return SMOTHERS[self.cover].months

    def stand(self, moment: Moment) -> Stood:
        """Give the covered surface over whatever lay there."""
        shape, smother = self.plan(), SMOTHERS[self.cover]
        firm = moment.year_months(FLOORS["woodchip"].firmness)
        surface = Surface(self.id, "", shape, self.cover, firmness=firm, run_off=smother.run_off, layer=Lies.SMOTHERED)
        figures: tuple[Figure, ...] = (
            area_figure(shape, "bed", self.id, "hatch", "fine", edge=False),
            outline_figure(shape, "bed", self.id, "thin", dash=True),
            *label(shape, self.name, "bed", self.id),
        )
        return Stood(surfaces=(surface,), figures=figures, work=(AreaWork(self.id, shape, smother.layers),))
