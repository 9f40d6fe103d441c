"""A row or several: soft fruit, vegetables, cut flowers."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import ClassVar, Literal

from shapely import LineString, Point, Polygon

from quincunx.features._base import Group
from quincunx.features._growing import aged, grown, known, later, light_and_view, listed, usual_habit
from quincunx.features._lined import Lined
from quincunx.features._plan import area_figure, circle, label, outline_figure, posts_along
from quincunx.plants.habit import Habit
from quincunx.plants.raising import Raised, stock_of
from quincunx.plants.rows import pieces_of, points_along
from quincunx.scene.left_open import LeftOpen
from quincunx.scene.moment import Moment, StandingPlant, Stood
from quincunx.shapes import (
    XY,
    AreaFigure,
    Figure,
    FrameWork,
    Height,
    Member,
    PathFigure,
    PlantWork,
    Solid,
    Work,
)
from quincunx.units.fields import Length, Slug, field, length

LEAST_M, BETWEEN_M, DOT_M = 0.05, 0.05, 0.06
"""Least height drawn and stood; hole left between plants that meet; a plant's mark in plan [m]."""
POST_M, POSTS_APART_M, WIRES_M = 0.08, 4.0, (0.003, 0.003)
"""Posts and wires a row is tied to (common practice, no source)."""
ON_M = 1e-6
"""A post no farther than this from the wires stands in them [m]."""


class Row(Lined):
    """Plants set along a line, in one row or several beside it."""

    words: ClassVar[str] = "row"
    about: ClassVar[str] = "Soft fruit, vegetables or flowers in rows: people step round, small animals step between."
    group: ClassVar[Group] = "plants"
    opens: ClassVar[bool] = True
    example: ClassVar = {
        "id": "raspberries", "line": [[0, 0], [6, 0]], "plant": "rubus-idaeus", "wire_height": 1.5,
        "there_from": "2027-11",
    }  # fmt: skip

    kind: Literal["row"] = "row"
    plant: Slug = field("Plant", "rubus-idaeus")
    variety: str = field("Variety", "", max_length=60)
    raised: Raised = field(
        "Plants come from",
        "bought",
        help="own: your cuttings, divisions or seed set at once; nursery row: grown on first",
    )
    spacing: Length | None = length(
        "Distance between plants", None, ge=0.02, le=10.0, help="empty: as usual for the plant"
    )
    rows: int = field("Rows", 1, ge=1, le=40)
    row_apart: Length = length("Between the rows", 0.45, ge=0.05, le=6.0)
    wire_height: Length = length("Tied to wires up to", 0.0, ge=0.0, le=3.0, help="0: no posts and wires")
    wires: int = field("Wires", 2, ge=1, le=6)
    age_at_start: float = field("Age when the plan starts (if it is there already)", 0.0, unit="year", ge=0, le=100)

    def plants_named(self) -> tuple[str, ...]:
        """Return the plant of the rows."""
        return (self.plant,)

    def spacing_m(self, moment: Moment) -> float:
        """Return the distance between its plants [m]."""
        return known(moment, self.plant).spacing_m if self.spacing is None else float(self.spacing)

    def planted_line(self) -> tuple[tuple[XY, ...], float]:
        """Return its line and half the width of its rows [m]."""
        return self.course(), float(self.row_apart) * (self.rows - 1) / 2

    def places(self, moment: Moment, left: LeftOpen) -> tuple[XY, ...]:
        """Return where its plants stand, row by row: at openings, none [m]."""
        return points_along(
            self.course(), self.spacing_m(moment), rows=self.rows, apart_m=float(self.row_apart),
            left_out=left.first, taken_out=left.since,
        )  # fmt: skip

    def habit(self, moment: Moment) -> Habit:
        """Return how its plants grow."""
        return usual_habit(self.raised, known(moment, self.plant))

    def growing(self, moment: Moment) -> tuple[StandingPlant, ...]:
        """Return the plants alone."""
        plant, age = known(moment, self.plant), aged(moment, self.there_from, self.age_at_start)
        size, at = grown(self.habit(moment), age, moment), self.places(moment, moment.left)
        spacing = self.spacing_m(moment)
        return (
            listed(
                self.id, self.plant, at, later(age, self.raised, plant), size, spacing_m=spacing, variety=self.variety
            ),
        )

    def stand(self, moment: Moment) -> Stood:
        """Give one solid over all its rows, as high and tight as they are on the date, its posts and its plants."""
        plant, spacing = known(moment, self.plant), self.spacing_m(moment)
        age = aged(moment, self.there_from, self.age_at_start)
        size = grown(self.habit(moment), age, moment)
        between = float(self.row_apart) * (self.rows - 1)
        wide = max(size.spread_m.mid, LEAST_M)
        step = max(spacing, float(self.row_apart) if self.rows > 1 else 0.0)
        cover = min(size.spread_m.mid / spacing, 1.0) * min(self.rows * wide / (between + wide), 1.0)
        light, seen = light_and_view(plant, moment, cover)
        body = Solid(
            self.id, "", self.along(between + wide), top=Height(max(size.height_m.mid, LEAST_M)),
            gap_m=max(step - size.spread_m.mid, 0.0) + BETWEEN_M, reluctant=True, opacity=seen, transmittance=light,
            grown=True,
        )  # fmt: skip
        at, planted = self.places(moment, moment.left), self.places(moment, LeftOpen(moment.left.first))
        figures = self._figures(body.footprint, self.along(between + plant.spread_m), at, moment.left)
        work = (
            PlantWork(self.id, self.plant, len(planted), spacing, stock_of(self.raised, "bare root or plug")),
            *self._wire_work(LeftOpen(moment.left.first)),
        )
        return Stood((body, *self._posts(moment.left)), plants=self.growing(moment), figures=figures, work=work)

    def _figures(self, body: Polygon, full: Polygon, at: tuple[XY, ...], left: LeftOpen) -> tuple[Figure, ...]:
        """Draw the rows as they stand, dashed as they will, and the plants' places while few enough to tell."""
        dots = [AreaFigure((_diamond(p),), "grown", self.id, outline=False) for p in at] if len(at) <= 400 else []
        wires = [PathFigure(p, "built", self.id, weight="fine") for p in self._wired(left)] if self.wire_height else []
        posts = [area_figure(p.footprint, "built", self.id, "hatch", "normal") for p in self._posts(left)]
        return (
            outline_figure(full, "grown", self.id, "fine", dash=True),
            area_figure(body, "grown", self.id, "tufts", "fine"),
            *wires, *posts, *dots, *label(body, self.name, "grown", self.id),
        )  # fmt: skip

    def _wired(self, left: LeftOpen) -> list[tuple[XY, ...]]:
        """Return the posts of each piece of its wires, which end at its openings [m].

        An opening made since takes out what stands in it, and its sides have posts of their own; the others stay.
        """
        made = [posts_along(piece, POSTS_APART_M) for piece in pieces_of(self.course(), left.first)]
        if not left.since:
            return made
        posts = [p for piece in made for p in piece]
        return [_posts_on(piece, posts) for piece in pieces_of(self.course(), (*left.first, *left.since))]

    def _posts(self, left: LeftOpen) -> tuple[Solid, ...]:
        if not self.wire_height:
            return ()
        top = Height(float(self.wire_height))
        shapes = [circle(at, POST_M) for piece in self._wired(left) for at in piece]
        return tuple(Solid(self.id, f"post{n}", s, top=top) for n, s in enumerate(shapes, start=1))

    def _wire_work(self, left: LeftOpen) -> tuple[Work, ...]:
        if not self.wire_height:
            return ()
        high, pieces = float(self.wire_height), self._wired(left)
        at = tuple(p for piece in pieces for p in piece)
        members = [Member("post", (*p, 0.0), (*p, high), (POST_M, POST_M), "timber", "post") for p in at]
        for n in range(1, self.wires + 1):
            z = high * n / self.wires
            members += [
                Member("wire", (*a, z), (*b, z), WIRES_M, "wire") for piece in pieces for a, b in pairwise(piece)
            ]
        return (FrameWork(self.id, tuple(members), at),)


def _posts_on(piece: tuple[XY, ...], posts: list[XY]) -> tuple[XY, ...]:
    """Return the posts of one piece of the wires: those that stand on it, and one at each of its ends [m]."""
    line = LineString(piece)
    on = [p for p in posts if line.dwithin(Point(p), ON_M)]
    between = [p for p in on if min(math.dist(p, piece[0]), math.dist(p, piece[-1])) > ON_M]
    return (piece[0], *sorted(between, key=lambda p: line.project(Point(p))), piece[-1])


def _diamond(at: XY) -> tuple[XY, ...]:
    x, y = at
    return ((x - DOT_M, y), (x, y + DOT_M), (x + DOT_M, y), (x, y - DOT_M))
