"""A mulch spread over soil."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._floors import FLOORS, Lies
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, label
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, Layer, Surface
from quincunx.units.fields import Length, field, length

RUN_OFF = 0.05
"""Share of rain that runs off a mulch (common practice, no source)."""


class Mulch(Outlined):
    """Loose organic matter or stone over soil, with or without plants standing in it."""

    words: ClassVar[str] = "mulch"
    about: ClassVar[str] = (
        "Covers soil, holds its water and keeps weeds down; people keep off where plants stand in it."
    )
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "under-the-damson",
        "outline": [[0, 0], [3, 0], [3, 2], [0, 2]],
        "rounding": 0.9,
        "there_from": "2027-11",
    }

    kind: Literal["mulch"] = "mulch"
    made_of: Literal["bark", "woodchip", "compost", "leaf mould", "straw", "slate"] = field("Made of", "woodchip")
    depth: Length = length("Thickness", 0.075, ge=0.02, le=0.3)
    planted: bool = field("Plants stand in it", True)
    renewed_years: float = field("Renewed every", 2.0, unit="year", ge=0.5, le=20)

    def stand(self, moment: Moment) -> Stood:
        """Give a loose surface over the soil; a planted one is not walked on."""
        shape = self.plan()
        firm = moment.year_months(FLOORS["woodchip"].firmness)
        surface = Surface(
            self.id, "", shape, self.made_of, firmness=firm, planted=self.planted, run_off=RUN_OFF, layer=Lies.MULCH
        )
        work = AreaWork(self.id, shape, (Layer(self.made_of, float(self.depth)),))
        figures: tuple[Figure, ...] = (
            area_figure(shape, "bed", self.id, "dots", "fine"),
            *label(shape, self.name, "bed", self.id),
        )
        return Stood(surfaces=(surface,), figures=figures, work=(work,))
