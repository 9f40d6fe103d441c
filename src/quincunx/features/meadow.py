"""A meadow: grass and flowers left to grow tall, cut once or twice a year."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._floors import Lies
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, label
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, Layer, Surface
from quincunx.units.fields import Length, Month, field, length

_FIRMNESS = (0.35, 0.35, 0.4, 0.5, 0.55, 0.55, 0.55, 0.7, 0.65, 0.5, 0.4, 0.35)
"""How good it is to walk on, northern months: soft in winter, tall before the cut (common practice, no source)."""
RUN_OFF = 0.1
"""Share of rain that runs off long grass (common practice, no source)."""


class Meadow(Outlined):
    """Long grass inside an outline."""

    words: ClassVar[str] = "meadow"
    about: ClassVar[str] = "Long grass and flowers, cut once or twice a year; people can cross it but like a mown way."
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "nuttery-meadow",
        "name": "Under the nuts",
        "outline": [[0, 0], [9, 1], [8, 8], [1, 7]],
        "cut_months": [8],
        "there_from": "2028-10",
    }

    kind: Literal["meadow"] = "meadow"
    made_by: Literal["seed", "plugs", "left to grow"] = field("Made by", "left to grow")
    tall: Length = length("Height before it is cut", 0.7, ge=0.1, le=2.0)
    cut_months: tuple[Month, ...] = field(
        "Cut in these months", (), help="months at the place itself; none: once, late in summer"
    )

    def stand(self, moment: Moment) -> Stood:
        """Give a floor that lies over lawn and under everything laid on it."""
        shape = self.plan()
        firm = moment.year_months(_FIRMNESS)
        surface = Surface(
            self.id, "", shape, "meadow", firmness=firm, run_off=RUN_OFF, layer=Lies.MEADOW, tended_in=self.cut_months
        )
        figures: tuple[Figure, ...] = (
            area_figure(shape, "lawn", self.id, "tufts"),
            *label(shape, self.name, "grown", self.id),
        )
        work = (
            ()
            if self.made_by == "left to grow"
            else (AreaWork(self.id, shape, (Layer(f"meadow {self.made_by}", 0.0),)),)
        )
        return Stood(surfaces=(surface,), figures=figures, work=work)
