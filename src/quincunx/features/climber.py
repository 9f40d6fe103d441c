"""A climber on a wall, over an arch or over slats."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString, Polygon
from shapely.ops import substring

from quincunx.features._base import Group
from quincunx.features._growing import Aged, aged, grown, known, later, light_and_view, listed, usual_habit
from quincunx.features._lined import Lined
from quincunx.features._plan import area_figure, circle, label, outline_figure, strip, xy
from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import Size
from quincunx.plants.habit import Habit
from quincunx.plants.raising import Raised, stock_of
from quincunx.scene.moment import Moment, StandingPlant, Stood
from quincunx.shapes import Change, Figure, Height, Narrow, PlantWork, Prism, Solid
from quincunx.units.fields import Length, Slug, field, length

UNKNOWN_CLIMBER = Plant(id="unknown-plant", name="unknown", form="climber", height_m=4, spread_m=2, start_height_m=0.5)
LEAST_M, STEM_M, GAP_M, NOTHING_M = 0.05, 0.04, 0.1, 0.01
"""Thickness of a young climber; of its stems; largest hole through its leaves; too short to count [m]
(common practice, no source)."""


class Climber(Lined):
    """A plant led up a support and along it."""

    words: ClassVar[str] = "climber"
    about: ClassVar[str] = (
        "Grows up its support and along it: closes trellis and slats, narrows the arch it grows over."
    )
    group: ClassVar[Group] = "plants"
    example: ClassVar = {
        "id": "arch-rose", "line": [[0, 0], [0, 1.4]], "plant": "rosa-climbing-and-rambling", "where": "on a wall",
        "support_height": 2.2, "there_from": "2028-03",
    }  # fmt: skip

    kind: Literal["climber"] = "climber"
    plant: Slug = field("Plant", "rosa-climbing-and-rambling")
    variety: str = field("Variety", "", max_length=60)
    raised: Raised = field(
        "Plants come from",
        "bought",
        help="own: your cuttings, divisions or seed set at once; nursery row: grown on first",
    )
    where: Literal["on a wall", "over an arch", "over slats"] = field("Grows", "on a wall")
    support: Slug | None = field("On", None, help="the wall, trellis, arch or pergola it grows on")
    support_height: Length = length("Height it is led to", 2.2, ge=0.3, le=12.0)
    width: Length = length("Width it may cover over slats or an arch", 2.0, ge=0.2, le=8.0)
    thickness: Length = length("Thickness it is kept to", 0.3, ge=0.05, le=1.5)
    age_at_start: float = field("Age when the plan starts (if it is there already)", 0.0, unit="year", ge=0, le=200)

    def plants_named(self) -> tuple[str, ...]:
        """Return the plant it is."""
        return (self.plant,)

    def features_named(self) -> tuple[str, ...]:
        """Return what it grows on."""
        return (self.support,) if self.support else ()

    def size(self, moment: Moment) -> tuple[Size, Aged]:
        """Return the length and width of its growth, and its age."""
        age = aged(moment, self.there_from, self.age_at_start)
        return grown(self.habit(moment), age, moment), age

    def habit(self, moment: Moment) -> Habit:
        """Return how it grows."""
        return usual_habit(self.raised, known(moment, self.plant, UNKNOWN_CLIMBER))

    def thick_m(self, size: Size, plant: Plant) -> float:
        """Return how thick it has grown on its support: in step with its length, up to what it is kept to [m]."""
        share = min(size.height_m.mid / min(plant.height_m, max(float(self.support_height), 0.1)), 1.0)
        return max(float(self.thickness) * share, LEAST_M)

    def _width(self, thick_m: float) -> float:
        return thick_m if self.where == "on a wall" else float(self.width)

    def _leaves(self, size: Size, thick_m: float) -> list[tuple[str, Polygon, float, float]]:
        """Return its leaves as (part, plan [m], least and greatest height [m]).

        On a wall they are as long as its spread and as high as it has grown.  Over slats and arches its shoots first
        climb, then go along the line by what is left of their length; at an arch they clothe both feet.
        """
        course, grown, high = LineString(self.course()), size.height_m.mid, float(self.support_height)
        out: list[tuple[str, Polygon, float, float]] = []
        run, base, top = (grown - high), high, high + thick_m
        if self.where == "on a wall":
            run, base, top = size.spread_m.mid, 0.0, min(grown, high)
        elif self.where == "over an arch":
            ends = ((0.0, thick_m), (course.length - thick_m, course.length))
            out += [
                (f"foot{n}", self._part(course, a, b, thick_m), 0.0, min(grown, high)) for n, (a, b) in enumerate(ends)
            ]
        if run > NOTHING_M:
            out.append(("leaves", self._part(course, 0.0, min(run, course.length), thick_m), base, top))
        return out

    def _part(self, course: LineString, from_m: float, to_m: float, thick_m: float) -> Polygon:
        return strip(xy(substring(course, max(from_m, 0.0), to_m).coords), self._width(thick_m))

    def growing(self, moment: Moment) -> tuple[StandingPlant, ...]:
        """Return the plants alone."""
        size, age = self.size(moment)
        plant = known(moment, self.plant, UNKNOWN_CLIMBER)
        return (
            listed(
                self.id,
                self.plant,
                self.course()[:1],
                later(age, self.raised, plant),
                size,
                variety=self.variety,
                kept=True,
            ),
        )

    def stand(self, moment: Moment) -> Stood:
        """Give its leaves as grown by then, its stem where it only passes, and what it takes from an arch."""
        plant, (size, _) = known(moment, self.plant, UNKNOWN_CLIMBER), self.size(moment)
        thick, root = self.thick_m(size, plant), self.course()[0]
        light, seen = light_and_view(plant, moment)
        solids = [
            Solid(self.id, part, shape, Height(base), Height(top), Prism(), GAP_M, True, seen, light, grown=True)
            for part, shape, base, top in self._leaves(size, thick)
        ]
        if self.where == "over slats":
            up = min(size.height_m.mid, float(self.support_height))
            solids.append(Solid(self.id, "stem", circle(root, STEM_M), top=Height(up), grown=True))
        whole = self.along(self._width(float(self.thickness)))
        figures: tuple[Figure, ...] = (
            outline_figure(whole, "grown", self.id, "fine", dash=True),
            *(area_figure(s.footprint, "grown", self.id, "tufts", "thin") for s in solids),
            *label(whole, self.name, "grown", self.id),
        )
        work = PlantWork(self.id, self.plant, 1, 0.0, stock_of(self.raised, "pot"))
        return Stood(
            tuple(solids),
            changes=self._narrows(size, thick),
            plants=self.growing(moment),
            figures=figures,
            work=(work,),
        )

    def _narrows(self, size: Size, thick_m: float) -> tuple[Change, ...]:
        """Return what it takes from its arch: from each side at once, from above once it has got there."""
        if self.where != "over an arch" or self.support is None:
            return ()
        head = thick_m if size.height_m.mid >= float(self.support_height) else 0.0
        return (Narrow(self.id, self.support, thick_m, head),)
