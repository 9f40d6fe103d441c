"""A bed of soil, bare or planted."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._cover import stand_cover
from quincunx.features._floors import Lies
from quincunx.features._growing import aged, known
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, label, outline_figure
from quincunx.plants.habit import Habit
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, Layer, Surface, every_month
from quincunx.units.fields import Length, Slug, field, length

RUN_OFF = 0.1
"""Share of rain that runs off tilled soil (common practice, no source)."""
FIRMNESS = 0.3
"""Dug soil, in any month (common practice, no source)."""


class Bed(Outlined):
    """Dug ground inside an outline, with one plant over all of it if wished."""

    words: ClassVar[str] = "bed"
    about: ClassVar[str] = "Dug and fed soil that plants stand in; people keep off it, deer and children don't."
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "cutting-bed",
        "name": "Cutting bed",
        "outline": [[0, 0], [4.8, 0], [4.8, 1.2], [0, 1.2]],
        "plant": "lavandula-angustifolia",
        "spacing": 0.4,
        "there_from": "2027-04",
    }

    kind: Literal["bed"] = "bed"
    dug: Length = length("Dug to a depth of", 0.25, ge=0.0, le=1.0)
    compost: Length = length("Compost dug in", 0.05, ge=0.0, le=0.3)
    plant: Slug | None = field("Covered with one plant", None, help="empty: plants are placed one by one, or later")
    spacing: Length = length("Distance between plants", 0.4, ge=0.05, le=5.0)
    age_at_start: float = field("Age when the plan starts (if it is there already)", 0.0, unit="year", ge=0, le=200)

    def plants_named(self) -> tuple[str, ...]:
        """Return the plant that covers it, if any."""
        return (self.plant,) if self.plant else ()

    def habit(self, moment: Moment) -> Habit | None:
        """Return how the plant that covers it grows, if any."""
        return None if self.plant is None else Habit(known(moment, self.plant))

    def stand(self, moment: Moment) -> Stood:
        """Give planted ground, and its cover as grown by then."""
        shape = self.plan()
        soil = Surface(
            self.id, "", shape, "soil", firmness=every_month(FIRMNESS), planted=True, run_off=RUN_OFF, layer=Lies.BED
        )
        layers = (Layer("compost", float(self.compost)), Layer("dug soil", float(self.dug)))
        figures: tuple[Figure, ...] = (
            area_figure(shape, "bed", self.id, edge=False),
            outline_figure(shape, "bed", self.id, "normal"),
            *label(shape, self.name, "bed", self.id),
        )
        bare = Stood(surfaces=(soil,), figures=figures, work=(AreaWork(self.id, shape, layers),))
        if self.plant is None:
            return bare
        age = aged(moment, self.there_from, self.age_at_start)
        return bare + stand_cover(self.id, shape, self.plant, float(self.spacing), moment, age=age)
