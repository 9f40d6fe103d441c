"""A tree that grows."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.features._base import Group
from quincunx.features._growing import Aged, aged, grown, known, later, light_and_view, listed
from quincunx.features._placed import Placed
from quincunx.features._plan import area_figure, circle, label, outline_figure, rectangle, xy
from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import Size, stem_at
from quincunx.plants.habit import Habit
from quincunx.plants.raising import Raised, start_m, stock_of
from quincunx.plants.ranges import Range
from quincunx.scene.moment import Moment, StandingPlant, Stood
from quincunx.shapes import Crown, Figure, Height, PlantWork, Prism, Solid
from quincunx.units.fields import Length, Slug, degrees, field, length

UNKNOWN_TREE = Plant(id="unknown-plant", name="unknown", form="tree", height_m=5, spread_m=4, start_height_m=1.5)
CLEAR_STEM_M = {"standard": 1.8, "half-standard": 1.35, "bush": 0.7, "column": 0.4, "many stems": 0.2, "flat": 0.4}
"""Clear stem a tree of that form is trained to (nursery trade sizes, from memory; flat and column common practice)."""
STOCK_HEIGHT_M = {"whip": 0.6, "standard": 2.75}
"""Usual height of what is planted (nursery trade sizes, from memory); else the catalogue's."""
COLUMN, FLAT_DEEP_M, CROWN_GAP_M = 0.35, 0.5, 0.3
"""Spread of a column as a share of the plant's; depth of a flat-trained crown and largest hole in a crown [m]
(common practice, no source)."""


class Tree(Placed):
    """One tree, planted young or there already."""

    words: ClassVar[str] = "tree"
    about: ClassVar[str] = "Grows a clear stem and a crown: shades, hides and drips more each year."
    group: ClassVar[Group] = "plants"
    bearings: ClassVar[tuple[str, ...]] = ("along_deg",)
    example: ClassVar = {
        "id": "old-damson", "at": [4, 9], "plant": "prunus-domestica-semi-dwarf-rootstock", "there_from": "2027-02",
    }  # fmt: skip

    kind: Literal["tree"] = "tree"
    plant: Slug = field("Plant", "malus-domestica-mm-106-m-7-rootstock")
    variety: str = field("Variety", "", max_length=60)
    form: Literal["as it grows", "standard", "half-standard", "bush", "column", "many stems", "flat"] = field(
        "Form", "as it grows", help="flat: trained as an espalier or a fan"
    )
    crown: Literal["ellipsoid", "cone", "dome"] = field(
        "Crown", "ellipsoid", help="cone: narrow above, as many conifers; dome: flat below, as an umbrella"
    )
    along_deg: float = degrees("A flat tree runs along", 90.0)
    most_spread: Length | None = length("Kept to a spread of", None, ge=0.3, le=30.0)
    most_height: Length | None = length("Kept to a height of", None, ge=0.5, le=40.0)
    stock: Literal["whip", "bare root", "pot", "standard"] = field(
        "Planted as", "bare root", help="a standard stands tall at once but takes longer to establish"
    )
    raised: Raised = field(
        "Plants come from",
        "bought",
        help="own: your cuttings, divisions or seed set at once; nursery row: grown on first",
    )
    start_height: Length | None = length(
        "Height when planted",
        None,
        ge=0.1,
        le=40.0,
        help="of one that is there already: its height when the plan starts; empty: as usual for it",
    )
    start_spread: Length | None = length("Spread then", None, ge=0.1, le=40.0, help="empty: as usual for that height")
    age_at_start: float = field("Age when the plan starts (if it is there already)", 0.0, unit="year", ge=0, le=500)
    stem: Length = length("Stem", 0.08, ge=0.01, le=2.0, help="its thickness then")

    def plants_named(self) -> tuple[str, ...]:
        """Return the plant of the tree."""
        return (self.plant,)

    def age(self, moment: Moment) -> Aged:
        """Return how old it is, counted from its planting."""
        return aged(moment, self.there_from, self.age_at_start)

    def begins_m(self, plant: Plant) -> float:
        """Return its height when planted: as given, else as usual for what is planted [m]."""
        usual = STOCK_HEIGHT_M.get(self.stock, plant.start_height_m)
        return start_m(self.raised, usual if self.start_height is None else float(self.start_height))

    def size(self, moment: Moment) -> Size:
        """Return how large it has grown, kept to what it is pruned to.

        One that is there already begins as measured; if nobody measured it, as usual for its age.
        """
        size = grown(self.habit(moment), self.age(moment), moment)
        clear = max(CLEAR_STEM_M.get(self.form, size.base_m), 0.0)
        return Size(size.height_m, size.spread_m, min(clear, 0.6 * size.height_m.mid))

    def habit(self, moment: Moment) -> Habit:
        """Return how it grows, and to what it is pruned."""
        plant = known(moment, self.plant, UNKNOWN_TREE)
        spread = None if self.start_spread is None else float(self.start_spread)
        since = self.age(moment).begun if self.start_height is not None else 0.0
        most_h, most_w = (1e3 if m is None else float(m) for m in (self.most_height, self.most_spread))
        wide = COLUMN if self.form == "column" else 1.0
        return Habit(plant, self.begins_m(plant), spread, since, self.stock, wide, most_h, most_w)

    def _shape(self, spread_m: float) -> Polygon:
        at = xy((self.at,))[0]
        if self.form == "flat":
            return rectangle(at, max(spread_m, 0.2), FLAT_DEEP_M, self.along_deg + 90.0)
        return circle(at, max(spread_m, 0.2))

    def growing(self, moment: Moment) -> tuple[StandingPlant, ...]:
        """Return the plants alone."""
        at = xy((self.at,))[0]
        kept = self.most_height is not None or self.most_spread is not None or self.form == "flat"
        size, age, plant = self.size(moment), self.age(moment), known(moment, self.plant, UNKNOWN_TREE)
        return (
            listed(self.id, self.plant, (at,), later(age, self.raised, plant), size, variety=self.variety, kept=kept),
        )

    def stand(self, moment: Moment) -> Stood:
        """Give stem and crown as grown by then."""
        plant, size, at = known(moment, self.plant, UNKNOWN_TREE), self.size(moment), xy((self.at,))[0]
        light, seen = light_and_view(plant, moment)
        form = Prism() if self.form == "flat" else Crown(self.crown)
        thick = self._stem_m(plant, moment, size)
        crown = Solid(
            self.id, "crown", self._shape(size.spread_m.mid), Height(size.base_m), Height(size.height_m.mid), form,
            CROWN_GAP_M, True, seen, light, grown=True,
        )  # fmt: skip
        stem = Solid(self.id, "stem", circle(at, thick), top=Height(max(size.base_m, 0.1)), grown=True)
        work = PlantWork(self.id, self.plant, 1, 0.0, stock_of(self.raised, self.stock))
        return Stood(
            (crown, stem), plants=self.growing(moment), figures=self._figures(plant, crown, thick), work=(work,)
        )

    def _stem_m(self, plant: Plant, moment: Moment, size: Size) -> float:
        """Return how thick its stem is [m]: as given when the plan starts, thicker as it grows."""
        first = self.begins_m(plant)
        if self.start_height is None and self.age(moment).begun:
            first = grown(Habit(plant, first), Aged(0.0, Range.of(self.age_at_start)), moment).height_m.mid
        return stem_at(float(self.stem), first, size.height_m.mid)

    def _figures(self, plant: Plant, crown: Solid, thick_m: float) -> tuple[Figure, ...]:
        """Draw the crown as it is, dashed as it will be, and the stem true to size."""
        limit = plant.spread_m * (COLUMN if self.form == "column" else 1.0)
        full = self._shape(limit if self.most_spread is None else min(limit, float(self.most_spread)))
        stem = circle(xy((self.at,))[0], thick_m)
        return (
            outline_figure(full, "grown", self.id, "fine", dash=True),
            area_figure(crown.footprint, "grown", self.id, "plain", "normal"),
            area_figure(stem, "grown", self.id, "hatch", "thick"),
            *label(crown.footprint, self.called, "grown", self.id),
        )
