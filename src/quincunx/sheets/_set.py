"""What every sheet is given to draw from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from quincunx.garden import Garden
from quincunx.garden.costing import Costed, costed
from quincunx.garden.marks_drawn import dimension_figures, pin_figures
from quincunx.garden.seen import peg_figures
from quincunx.garden.tending import Tending, tending
from quincunx.garden.uncosted import uncosted_years
from quincunx.intents import Words
from quincunx.review import Review
from quincunx.review.ground import Measured, measure
from quincunx.scene import Scene, Timeline
from quincunx.shapes import XY, Figure, PathFigure, TextFigure
from quincunx.sheets.book import Paper
from quincunx.units import minor_digits
from quincunx.works import Course, Job, spent_elsewhere
from quincunx.works.ledger import YearMoney
from quincunx.works.whole import shared_out, whole, whole_years
from quincunx.years.kept import Keep

Pictures = Callable[[str], tuple[str, bytes] | None]
"""Gives (MIME type, bytes) of the picture of a name, or None."""

NEAR_M = 2.0
"""Spots no farther outside the boundary than this are on the plan, where the paper allows [m]."""
LABEL_M = 0.6
"""Room for a spot and its name [m]."""


@dataclass(frozen=True)
class Set:
    """A garden, its timeline, what was judged, and the paper it is printed on."""

    garden: Garden
    timeline: Timeline
    review: Review
    words: Words
    paper: Paper
    keep: Keep | None = None
    """Where answers that take long to work out are kept, if anywhere."""
    pictures: Pictures | None = None
    """Gives the photos kept with the garden, if it has a file."""
    about: str = ""
    """The one thing that is asked about, by id; all of them if empty."""
    today: int | None = None
    """The present month from January of year 0, before which nothing is advised; None where no day is known."""

    def since(self, today: int) -> Set:
        """Return the set of a day in the month ``today`` (from January of year 0): nothing is advised before it."""
        return replace(self, today=today)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Return the boundary with a margin for words (west, south, east, north) [m]."""
        west, south, east, north = self.timeline.frame.boundary.bounds
        reach = 0.012 * max(east - west, north - south) + 0.3
        return (west - reach, south - reach, east + reach, north + reach)

    @cached_property
    def wider(self) -> tuple[float, float, float, float]:
        """Return the bounds stretched to the spots just outside the boundary: the road, the gate in the lane [m]."""
        west, south, east, north = self.bounds
        at = [s.at for s in self.timeline.frame.spots]
        near = [p for p in at if west - NEAR_M <= p[0] <= east + NEAR_M and south - NEAR_M <= p[1] <= north + NEAR_M]
        xs, ys = [p[0] for p in near], [p[1] for p in near]
        return (
            min([west, *(x - LABEL_M for x in xs)]),
            min([south, *(y - LABEL_M for y in ys)]),
            max([east, *(x + LABEL_M for x in xs)]),
            max([north, *(y + LABEL_M for y in ys)]),
        )

    @cached_property
    def costed(self) -> tuple[Costed, ...]:
        """Return what each job comes to, from its parts and the person's prices."""
        return costed(self.garden, self.timeline)

    @cached_property
    def money(self) -> dict[int, YearMoney]:
        """Return the money and hours of each year, sums in whole units that add up by hand."""
        years = whole_years(self.timeline.money(), 10 ** minor_digits(self.garden.style.currency))
        return {m.year: m for m in years}

    @property
    def courses(self) -> Mapping[str, Course]:
        """Return how each job goes, by id."""
        return self.timeline.courses

    @cached_property
    def unsaid_years(self) -> frozenset[int]:
        """Return the years in which more is to be paid than is written, as jobs begin of which nobody wrote the cost."""
        return uncosted_years(self.garden)

    def is_less(self, year: int) -> bool:
        """Return whether at the end of a year less is left than is reckoned, as nobody wrote the cost of all before."""
        return any(y <= year for y in self.unsaid_years)

    def to_pay(self, job: Job) -> int:
        """Return what the plan counts for a job, with prices that rise until it is done, in whole units [minor units]."""
        if self.courses[job.id].first is None:
            return whole(job.cost, 10 ** minor_digits(self.garden.style.currency))
        return sum(self.to_pay_by_year(job).values())

    def to_pay_by_year(self, job: Job) -> Mapping[int, int]:
        """Return what is paid for a job in each year in which anything is, in whole units [minor units]."""
        return self._pays.get(job.id, {})

    @cached_property
    def _pays(self) -> dict[str, dict[int, int]]:
        """Return what is paid for each job by year, shared out so that jobs come to what their years come to [minor units]."""
        size = 10 ** minor_digits(self.garden.style.currency)
        pays: dict[str, dict[int, int]] = {}
        by_year: dict[int, dict[str, int]] = {}
        for j in (j for j in self.garden.jobs if self.courses[j.id].first is not None):
            for month, sum_ in self.courses[j.id].cost.items():
                parts = by_year.setdefault(month // 12, {})
                parts[j.id] = parts.get(j.id, 0) + sum_
        for month, sum_ in spent_elsewhere(self.garden.jobs, self.garden.journal).items():
            parts = by_year.setdefault(month // 12, {})
            parts[""] = parts.get("", 0) + sum_  # has its share of a year's whole sum, and is no job's
        for year, parts in by_year.items():
            paid = self.money[year].spent if year in self.money else whole(sum(parts.values()), size)
            for id_, sum_ in zip(parts, shared_out(list(parts.values()), paid, size), strict=True):
                pays.setdefault(id_, {})[year] = sum_
        return pays

    @cached_property
    def upkeep(self) -> Mapping[int, Tending]:
        """Return the upkeep of each year as reckoned; worked out once for all pages that tell of it."""
        return tending(self.timeline, self.today)

    @cached_property
    def measured(self) -> Measured:
        """Return the survey worked out."""
        return measure(self.garden)

    def summer(self, year: int) -> Scene:
        """Return the garden at the end of the summer of ``year``."""
        return self.timeline.at(self.timeline.leaf_date(year))

    def frame(self) -> tuple[Figure, ...]:
        """Return what every plan carries: the boundary, room names and spots."""
        ring = tuple((float(x), float(y)) for x, y in self.timeline.frame.boundary.exterior.coords[:-1])
        rooms = [TextFigure(r.inside, r.name, "room", r.id, "normal") for r in self.timeline.frame.rooms]
        return (PathFigure(ring, "datum", "boundary", closed=True, weight="normal", dash=True), *rooms, *self._spots())

    def own_marks(self) -> tuple[Figure, ...]:
        """Return the person's own dimension lines, and the pinned notes by the numbers of their list, and the pegs."""
        notes = pin_figures(self.garden, numbered=True)
        return (*dimension_figures(self.garden), *notes, *peg_figures(self.garden.pegs))

    def _spots(self) -> tuple[Figure, ...]:
        out: list[Figure] = []
        for spot in self.timeline.frame.spots:
            (x, y), r = spot.at, 0.12
            diamond = ((x - r, y), (x, y + r), (x + r, y), (x, y - r))
            out.append(PathFigure(diamond, "datum", spot.id, closed=True, weight="thin"))
            out.append(TextFigure((x, y - 2 * r), spot.name, "datum", spot.id, "small"))
        return tuple(out)


def north_arrow(at: XY, size_m: float) -> tuple[Figure, ...]:
    """Return a plain north mark: a line with an arrow and an N [m]."""
    x, y = at
    return (
        PathFigure(((x, y - size_m / 2), (x, y + size_m / 2)), "datum", "north", arrow=True),
        TextFigure((x, y + size_m * 0.72), "N", "datum", "north"),
    )
