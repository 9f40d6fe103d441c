"""A hedge: a wall that has to grow."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.features._base import Group
from quincunx.features._growing import UNKNOWN, Aged, aged, grown, listed
from quincunx.features._lined import Lined
from quincunx.features._plan import area_figure, outline_figure
from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import Size
from quincunx.plants.habit import Habit
from quincunx.plants.raising import Raised, start_m, stock_of
from quincunx.plants.rows import points_along
from quincunx.scene.left_open import LeftOpen
from quincunx.scene.moment import Moment, StandingPlant, Stood
from quincunx.shapes import XY, Height, PlantWork, Solid
from quincunx.units.fields import Length, Slug, field, length

STEMS_GAP_M = 0.08
"""Largest hole through a closed, clipped hedge [m] (common practice, no source)."""


class Hedge(Lined):
    """A row of plants clipped to a height and width; a wall only when it has closed."""

    words: ClassVar[str] = "hedge"
    about: ClassVar[str] = (
        "Planted in a row and clipped; hides and stops feet only when grown and closed, "
        "and never holds animals by itself."
    )
    group: ClassVar[Group] = "walls"
    opens: ClassVar[bool] = True
    example: ClassVar = {
        "id": "long-hedge", "line": [[0, 0], [8, 0]], "plant": "carpinus-betulus", "there_from": "2027-03",
    }  # fmt: skip

    kind: Literal["hedge"] = "hedge"
    plant: Slug = field("Plant", "carpinus-betulus")
    spacing: Length = length("Distance between plants", 0.4, ge=0.1, le=3.0)
    rows: int = field("Rows", 1, ge=1, le=3)
    row_apart: Length = length("Between the rows", 0.4, ge=0.1, le=2.0)
    clip_height: Length = length("Clipped to a height of", 1.8, ge=0.2, le=6.0)
    clip_width: Length = length("Clipped to a width of", 0.6, ge=0.2, le=4.0)
    start_height: Length = length("Height of the young plants", 0.5, ge=0.1, le=4.0)
    raised: Raised = field(
        "Plants come from",
        "bought",
        help="own: your cuttings, divisions or seed set at once; nursery row: grown on first",
    )
    age_at_start: float = field("Age when the plan starts (if it is there already)", 0.0, unit="year", ge=0, le=200)

    def plants_named(self) -> tuple[str, ...]:
        """Return the plant of the hedge."""
        return (self.plant,)

    def size(self, moment: Moment) -> tuple[Size, Aged, Plant | None]:
        """Return the clipped size of one of its plants at ``moment``, its age, and the plant (None: nobody knows it)."""
        age = aged(moment, self.there_from, self.age_at_start)
        return grown(self.habit(moment), age, moment), age, moment.plant(self.plant)

    def habit(self, moment: Moment) -> Habit:
        """Return how its plants grow, and to what they are clipped."""
        return Habit(
            moment.plant(self.plant) or UNKNOWN, start_m(self.raised, float(self.start_height)),
            most_height_m=float(self.clip_height), most_spread_m=max(float(self.clip_width), float(self.spacing)),
            hedge=True,
        )  # fmt: skip

    def planted_line(self) -> tuple[tuple[XY, ...], float]:
        """Return its line and half the width it is clipped to [m]."""
        return self.course(), float(self.clip_width) / 2

    def places(self, left: LeftOpen) -> tuple[XY, ...]:
        """Return where its plants stand: at openings, none [m]."""
        return points_along(
            self.course(), float(self.spacing), rows=self.rows, apart_m=float(self.row_apart),
            left_out=left.first, taken_out=left.since,
        )  # fmt: skip

    def growing(self, moment: Moment) -> tuple[StandingPlant, ...]:
        """Return the plants alone."""
        size, age, _ = self.size(moment)
        at = self.places(moment.left)
        return (listed(self.id, self.plant, at, age, size, spacing_m=float(self.spacing), kept=True),)

    def stand(self, moment: Moment) -> Stood:
        """Give one solid as high, wide and tight as the hedge has grown."""
        size, age, plant = self.size(moment)
        height = size.height_m.mid
        thick = float(self.row_apart) * (self.rows - 1)
        width = min(max(size.spread_m.mid, 0.1) + thick, float(self.clip_width))
        closed = min(size.spread_m.mid / float(self.spacing), 1.0)
        gap = float(self.spacing) * (1.0 - closed) + STEMS_GAP_M
        gap = max(gap, float(self.spacing) + STEMS_GAP_M) if age.lost >= 1 else gap
        light = (plant or UNKNOWN).light(southern=moment.southern)
        opacity = tuple(closed * (1 - t) for t in light)
        solid = Solid(
            self.id, "", self.along(width), top=Height(height), gap_m=gap, reluctant=True, opacity=opacity,
            transmittance=tuple(1 - o for o in opacity), grown=True,
        )  # fmt: skip
        planted = self.places(LeftOpen(moment.left.first))
        full_width = self.along(float(self.clip_width))
        figures = (
            outline_figure(full_width, "grown", self.id, "fine", dash=True),
            area_figure(solid.footprint, "grown", self.id, "tufts", "normal"),
        )
        work = PlantWork(self.id, self.plant, len(planted), float(self.spacing), stock_of(self.raised, "bare root"))
        return Stood(solids=(solid,), plants=self.growing(moment), figures=figures, work=(work,))
