"""Ground planted with one plant in a pattern: square, triangular or quincunx."""

from __future__ import annotations

from functools import lru_cache
from typing import ClassVar, Literal

from shapely import from_wkb

from quincunx.features._base import Group
from quincunx.features._floors import FloorName, Lies, floor_surface
from quincunx.features._growing import aged, grown, known, later, light_and_view, listed, usual_habit
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, circle, label, outline_figure
from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import Size
from quincunx.plants.habit import Habit
from quincunx.plants.raising import Raised, stock_of
from quincunx.plants.rows import Layout, places_inside
from quincunx.scene.moment import Moment, StandingPlant, Stood
from quincunx.shapes import XY, Crown, Figure, Height, PlantWork, Solid, Surface, every_month
from quincunx.units.fields import Length, Slug, degrees, field, length

SOIL_FIRM = 0.3
"""Dug soil, in any month (common practice, no source)."""
ONE_BY_ONE, LEAST_M, BETWEEN_M = 60, 0.05, 0.05
"""Up to so many plants stand as crowns of their own; least height; hole left between plants that meet [m]."""


class PlantedArea(Outlined):
    """Many of one plant over an outline."""

    words: ClassVar[str] = "planted area"
    about: ClassVar[str] = "Ground set with one plant in a pattern; closes as the plants meet, and people go round it."
    group: ClassVar[Group] = "plants"
    bearings: ClassVar[tuple[str, ...]] = ("rows_deg",)
    example: ClassVar = {
        "id": "nuttery", "outline": [[0, 0], [12, 0], [12, 8], [0, 8]], "plant": "corylus-avellana",
        "layout": "quincunx", "spacing": 4.0, "between": "grass", "there_from": "2027-11",
    }  # fmt: skip

    kind: Literal["planted-area"] = "planted-area"
    plant: Slug = field("Plant", "geranium-hardy-cranesbill-e-g-g-macrorrhizum")
    variety: str = field("Variety", "", max_length=60)
    raised: Raised = field(
        "Plants come from",
        "bought",
        help="own: your cuttings, divisions or seed set at once; nursery row: grown on first",
    )
    layout: Layout = field("Pattern", "triangular", help="quincunx: squares with one plant more in each middle")
    spacing: Length | None = length(
        "Distance between plants", None, ge=0.05, le=15.0, help="empty: as usual for the plant"
    )
    edge: Length | None = length("From the edge to the first plants", None, ge=0.0, le=8.0, help="empty: half of that")
    between: FloorName | None = field("Ground between them", None, help="empty: planted soil, which people keep off")
    rows_deg: float = degrees("Rows run towards", 90.0)
    age_at_start: float = field("Age when the plan starts (if it is there already)", 0.0, unit="year", ge=0, le=200)

    def plants_named(self) -> tuple[str, ...]:
        """Return the plant."""
        return (self.plant,)

    def spacing_m(self, plant: Plant) -> float:
        """Return the distance between its plants [m]."""
        return plant.spacing_m if self.spacing is None else float(self.spacing)

    def places(self, plant: Plant) -> tuple[XY, ...]:
        """Return where the plants stand [m]: at least one, however small the ground."""
        step = self.spacing_m(plant)
        edge = step / 2 if self.edge is None else float(self.edge)
        return _places(self.plan().wkb, step, self.layout, edge, self.rows_deg)

    def habit(self, moment: Moment) -> Habit:
        """Return how its plants grow."""
        return usual_habit(self.raised, known(moment, self.plant))

    def growing(self, moment: Moment) -> tuple[StandingPlant, ...]:
        """Return the plants alone."""
        plant, age = known(moment, self.plant), aged(moment, self.there_from, self.age_at_start)
        size, step = grown(self.habit(moment), age, moment), self.spacing_m(plant)
        at = self.places(plant)
        return (
            listed(self.id, self.plant, at, later(age, self.raised, plant), size, spacing_m=step, variety=self.variety),
        )

    def stand(self, moment: Moment) -> Stood:
        """Give the planted ground, and the plants: few as crowns of their own, many as one solid that closes."""
        plant = known(moment, self.plant)
        age, at = aged(moment, self.there_from, self.age_at_start), self.places(plant)
        size = grown(self.habit(moment), age, moment)
        few = len(at) <= ONE_BY_ONE
        solids = self._crowns(plant, size, at, moment) if few else (self._mass(plant, size, len(at), moment),)
        work = PlantWork(self.id, self.plant, len(at), self.spacing_m(plant), stock_of(self.raised, "pot"))
        return Stood(
            solids,
            (self._ground(moment),),
            plants=self.growing(moment),
            figures=self._figures(plant, size, at),
            work=(work,),
        )

    def _ground(self, moment: Moment) -> Surface:
        if self.between is not None:
            return floor_surface(self.id, "ground", self.plan(), self.between, moment, Lies.BED)
        firm = every_month(SOIL_FIRM)
        return Surface(self.id, "ground", self.plan(), "soil", firmness=firm, planted=True, run_off=0.1, layer=Lies.BED)

    def _crowns(self, plant: Plant, size: Size, at: tuple[XY, ...], moment: Moment) -> tuple[Solid, ...]:
        light, seen = light_and_view(plant, moment)
        wide, top = max(size.spread_m.mid, LEAST_M), max(size.height_m.mid, LEAST_M)
        return tuple(
            Solid(
                self.id, f"plant{n:02d}", circle(p, wide), Height(min(size.base_m, 0.6 * top)), Height(top),
                Crown("dome"), 0.3, True, seen, light, grown=True,
            )
            for n, p in enumerate(at, start=1)
        )  # fmt: skip

    def _mass(self, plant: Plant, size: Size, count: int, moment: Moment) -> Solid:
        """Return all plants as one solid: it fills the share of the ground that their crowns cover."""
        shape, spread = self.plan(), size.spread_m.mid
        cover = min(count * 0.7854 * spread**2 / shape.area, 1.0)
        light, seen = light_and_view(plant, moment, cover)
        gap = max(self.spacing_m(plant) - spread, 0.0) + BETWEEN_M
        top = Height(max(size.height_m.mid, LEAST_M))
        return Solid(
            self.id, "plants", shape, top=top, gap_m=gap, reluctant=True, opacity=seen, transmittance=light, grown=True
        )

    def _figures(self, plant: Plant, size: Size, at: tuple[XY, ...]) -> tuple[Figure, ...]:
        """Draw the ground, and each plant as wide as it is while they are few enough to tell."""
        shape = self.plan()
        drawn: list[Figure] = [area_figure(shape, "bed", self.id, "tufts"), outline_figure(shape, "bed", self.id)]
        if len(at) <= 400:
            wide = max(size.spread_m.mid, 2 * LEAST_M)
            drawn += [area_figure(circle(p, wide), "grown", self.id, "plain", "fine") for p in at]
        return (*drawn, *label(shape, self.name or f"{len(at)} × {plant.name}", "grown", self.id))


@lru_cache(maxsize=500)
def _places(plan_wkb: bytes, step: float, layout: Layout, edge: float, rows_deg: float) -> tuple[XY, ...]:
    shape = from_wkb(plan_wkb)
    found = places_inside(shape, step, layout, edge_m=edge, rows_deg=rows_deg)
    middle = shape.representative_point()
    return found or ((middle.x, middle.y),)
