"""A tree that grows."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._placed import Placed
from quincunx.features._plan import area_figure, circle, outline_figure, xy
from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import size_at
from quincunx.scene.moment import Moment, StandingPlant, Stood
from quincunx.shapes import Crown, Height, PlantWork, Solid, TextFigure
from quincunx.units.fields import Length, Slug, field, length


class Tree(Placed):
    """One tree, planted young or there already."""

    words: ClassVar[str] = "tree"
    about: ClassVar[str] = "Grows a clear stem and a crown: shades, hides and drips more each year."
    group: ClassVar[Group] = "plants"
    example: ClassVar = {
        "id": "old-damson", "at": [4, 9], "plant": "prunus-domestica-semi-dwarf-rootstock", "there_from": "2027-02",
    }  # fmt: skip

    kind: Literal["tree"] = "tree"
    plant: Slug = field("Plant", "malus-domestica-mm-106-m-7-rootstock")
    start_height: Length = length("Height when planted", 1.5, ge=0.1, le=12.0)
    age_at_start: float = field("Age when the plan starts (if it is there already)", 0.0, unit="year", ge=0, le=500)
    stem: Length = length(
        "Stem", 0.08, ge=0.01, le=2.0, help="thickness of the stem when the plan starts or when planted"
    )

    def plants_named(self) -> tuple[str, ...]:
        """Return the plant of the tree."""
        return (self.plant,)

    def stand(self, moment: Moment) -> Stood:
        """Give stem and crown as grown by then."""
        known = moment.plant(self.plant)
        plant = known or Plant(id="unknown-plant", name="unknown", form="tree", height_m=5, spread_m=4)
        age = moment.age_years + (self.age_at_start if self.there_from == "start" else 0.0)
        size = size_at(plant, age, start_height_m=float(self.start_height))
        leaf = plant.in_leaf(moment.southern)
        light = tuple(plant.light_leaf + (plant.light_bare - plant.light_leaf) * (1 - m) for m in leaf)
        at = xy((self.at,))[0]
        crown_shape, stem_shape = circle(at, max(size.spread_m.mid, 0.2)), circle(at, float(self.stem))
        base = min(size.base_m, 0.6 * size.height_m.mid)
        crown = Solid(
            self.id, "crown", crown_shape, Height(base), Height(size.height_m.mid), Crown(), 0.3, True,
            tuple(1 - t for t in light), light, grown=True,
        )  # fmt: skip
        stem = Solid(self.id, "stem", stem_shape, top=Height(max(base, 0.1)), grown=True)
        one = StandingPlant(
            self.id, self.plant, (at,), age, (size.height_m.low, size.height_m.mid, size.height_m.high),
            (size.spread_m.low, size.spread_m.mid, size.spread_m.high),
        )  # fmt: skip
        figures = (
            outline_figure(circle(at, plant.spread_m), "grown", self.id, "fine", dash=True),
            area_figure(crown_shape, "grown", self.id, "plain", "normal"),
            outline_figure(circle(at, max(float(self.stem), 0.15)), "grown", self.id, "thick"),
            TextFigure(at, self.called, "grown", self.id, "small"),
        )
        work = PlantWork(self.id, self.plant, 1, 0.0, "tree")
        return Stood((crown, stem), plants=(one,), figures=figures, work=(work,))
