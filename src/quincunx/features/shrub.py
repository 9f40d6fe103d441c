"""A shrub."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._growing import Aged, aged, grown, known, later, light_and_view, listed
from quincunx.features._placed import Placed
from quincunx.features._plan import area_figure, circle, label, outline_figure, xy
from quincunx.plants.growth import Size
from quincunx.plants.habit import Habit
from quincunx.plants.raising import Raised, start_m, stock_of
from quincunx.scene.moment import Moment, StandingPlant, Stood
from quincunx.shapes import Crown, Figure, Height, PlantWork, Solid
from quincunx.units.fields import Length, Slug, field, length

LEAST_M = 0.05
"""What is left to see of a plant that has died back [m]."""


class Shrub(Placed):
    """One bush, or one large plant of a bed, from the ground up."""

    words: ClassVar[str] = "shrub"
    about: ClassVar[str] = "One bush, leafy to the ground: hides and shades as it grows; people don't push through it."
    group: ClassVar[Group] = "plants"
    example: ClassVar = {"id": "mock-orange", "at": [2, 5], "plant": "philadelphus-coronarius", "there_from": "2027-11"}

    kind: Literal["shrub"] = "shrub"
    plant: Slug = field("Plant", "ribes-nigrum")
    variety: str = field("Variety", "", max_length=60)
    raised: Raised = field(
        "Plants come from",
        "bought",
        help="own: your cuttings, divisions or seed set at once; nursery row: grown on first",
    )
    start_height: Length | None = length(
        "Height when planted", None, ge=0.02, le=8.0, help="or when the plan starts; empty: as usual for the plant"
    )
    start_spread: Length | None = length("Spread then", None, ge=0.02, le=10.0, help="empty: as usual for that height")
    age_at_start: float = field("Age when the plan starts (if it is there already)", 0.0, unit="year", ge=0, le=200)
    most_spread: Length | None = length("Kept to a spread of", None, ge=0.1, le=10.0)
    most_height: Length | None = length("Kept to a height of", None, ge=0.1, le=10.0)

    def plants_named(self) -> tuple[str, ...]:
        """Return the plant it is."""
        return (self.plant,)

    def size(self, moment: Moment) -> tuple[Size, Aged]:
        """Return how large it has grown, kept to what it is pruned to, and its age."""
        age = aged(moment, self.there_from, self.age_at_start)
        size = grown(self.habit(moment), age, moment)
        return Size(size.height_m, size.spread_m, 0.0), age

    def habit(self, moment: Moment) -> Habit:
        """Return how it grows."""
        high, plant = None if self.start_height is None else float(self.start_height), known(moment, self.plant)
        if self.raised == "own":
            high = start_m(self.raised, plant.start_height_m if high is None else high)
        wide = None if self.start_spread is None else float(self.start_spread)
        since = aged(moment, self.there_from, self.age_at_start).begun if high else 0.0
        most_h, most_w = (1e3 if m is None else float(m) for m in (self.most_height, self.most_spread))
        return Habit(plant, high, wide, since, most_height_m=most_h, most_spread_m=most_w)

    def growing(self, moment: Moment) -> tuple[StandingPlant, ...]:
        """Return the plants alone."""
        (size, age), plant = self.size(moment), known(moment, self.plant)
        kept = self.most_spread is not None or self.most_height is not None
        return (
            listed(
                self.id,
                self.plant,
                xy((self.at,)),
                later(age, self.raised, plant),
                size,
                variety=self.variety,
                kept=kept,
            ),
        )

    def stand(self, moment: Moment) -> Stood:
        """Give one rounded solid from the ground, as grown by then."""
        plant, at, (size, _) = known(moment, self.plant), xy((self.at,))[0], self.size(moment)
        light, seen = light_and_view(plant, moment)
        shape = circle(at, max(size.spread_m.mid, LEAST_M))
        bush = Solid(
            self.id, "", shape, top=Height(max(size.height_m.mid, LEAST_M)), form=Crown("dome"), gap_m=0.15,
            reluctant=True, opacity=seen, transmittance=light, grown=True,
        )  # fmt: skip
        limit = plant.spread_m if self.most_spread is None else min(plant.spread_m, float(self.most_spread))
        figures: tuple[Figure, ...] = (
            outline_figure(circle(at, limit), "grown", self.id, "fine", dash=True),
            area_figure(shape, "grown", self.id, "tufts", "thin"),
            *label(shape, self.name, "grown", self.id),
        )
        work = PlantWork(self.id, self.plant, 1, 0.0, stock_of(self.raised, "pot"))
        return Stood((bush,), plants=self.growing(moment), figures=figures, work=(work,))
