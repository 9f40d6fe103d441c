"""A lawn: grass mown short, that people walk, sit and play on."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._floors import FLOORS, Lies, floor_surface
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, label
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, Layer
from quincunx.units.fields import Length, field, length


class Lawn(Outlined):
    """Mown grass inside an outline."""

    words: ClassVar[str] = "lawn"
    about: ClassVar[str] = "Mown grass: walked on freely, soft in winter, takes in most of its rain, wants mowing."
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "terrace-lawn",
        "name": "Terrace lawn",
        "outline": [[0, 0], [7, 0], [7, 5], [0, 5]],
        "rounding": 0.8,
        "there_from": "start",
    }

    kind: Literal["lawn"] = "lawn"
    made_by: Literal["turf", "seed"] = field("Laid as turf or sown", "seed")
    topsoil: Length = length("Good soil under it", 0.1, ge=0.0, le=0.6)
    mown_to: Length = length("Mown to a height of", 0.04, ge=0.01, le=0.15)

    def stand(self, moment: Moment) -> Stood:
        """Give a floor of grass, the lowest of all surfaces: whatever else is laid there shows over it."""
        shape = self.plan()
        surface = floor_surface(self.id, "", shape, "grass", moment, Lies.LAWN)
        # Turf is cut about 25 to 30 mm thick (common practice, no source); seed has no thickness to speak of.
        top = (Layer("turf", 0.03),) if self.made_by == "turf" else (Layer("grass seed", 0.0),)
        work = AreaWork(self.id, shape, (*top, Layer("topsoil", float(self.topsoil))))
        figures: tuple[Figure, ...] = (
            area_figure(shape, "lawn", self.id, FLOORS["grass"].pattern),
            *label(shape, self.name, "lawn", self.id),
        )
        return Stood(surfaces=(surface,), figures=figures, work=(work,))
