"""A floor of gravel over an area."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._floors import FLOORS, Lies, floor_surface
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, label
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaWork, Figure, Layer
from quincunx.units.fields import Length, field, length


class Gravel(Outlined):
    """Loose stone on a base, inside an outline."""

    words: ClassVar[str] = "gravel"
    about: ClassVar[str] = "Loose stone underfoot: always dry, heard when walked on, hard for wheels; rain soaks in."
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "well-court",
        "name": "Well court",
        "outline": [[0, 0], [4, 0], [4, 3.5], [0, 3.5]],
        "there_from": "2029-04",
    }

    kind: Literal["gravel"] = "gravel"
    # Thicknesses: common practice, no source.
    depth: Length = length("Thickness of the gravel", 0.05, ge=0.02, le=0.2)
    base_depth: Length = length("Thickness of the base", 0.1, ge=0.0, le=0.4)
    sieve: Literal["4-10 mm", "10-20 mm", "20-40 mm"] = field("Size of the stones", "10-20 mm")
    sheet: bool = field("Woven sheet between gravel and base", True)

    def stand(self, moment: Moment) -> Stood:
        """Give a loose floor."""
        shape = self.plan()
        surface = floor_surface(self.id, "", shape, "gravel", moment, Lies.GRAVEL)
        layers = [Layer(f"gravel {self.sieve}", float(self.depth))]
        layers += [Layer("woven sheet", 0.0)] if self.sheet else []
        layers += [Layer("crushed stone", float(self.base_depth))] if self.base_depth else []
        figures: tuple[Figure, ...] = (
            area_figure(shape, "way", self.id, FLOORS["gravel"].pattern),
            *label(shape, self.name, "way", self.id),
        )
        return Stood(surfaces=(surface,), figures=figures, work=(AreaWork(self.id, shape, tuple(layers)),))
