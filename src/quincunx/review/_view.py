"""What a check for findings is given to look at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shapely.geometry.base import BaseGeometry

from quincunx.garden import Garden
from quincunx.intents import Words
from quincunx.review.answers import Answers
from quincunx.scene import Scene, Timeline
from quincunx.shapes import XY
from quincunx.units.dates import format_month, month_from_index


@dataclass(frozen=True, slots=True)
class View:
    """A garden, its timeline and the person's words."""

    garden: Garden
    timeline: Timeline
    words: Words
    answers: Answers | None = None
    """Where what takes long to find out is kept from one run to the next, if anywhere."""
    today: int | None = None
    """The present month from January of year 0; without it time stands at the last work written down."""

    def summers(self) -> Iterable[tuple[int, Scene]]:
        """Yield each year of the plan with its scene at the end of summer, and the last one once more at its own end.

        What is made after the last summer (in the south: after its February) would be seen by nobody otherwise.
        """
        year = self.timeline.years[0]
        for year in self.timeline.years:
            yield year, self.timeline.at(self.timeline.leaf_date(year))
        yield year, self.timeline.at(date(year, 12, 31))

    def since(self, thing_id: str, year: int) -> str:
        """Return since when a thing stands, in words: its month if that is known, else the ``year`` it was found in."""
        begins = self.timeline.span(thing_id).begins
        return str(year) if begins is None else format_month(month_from_index(begins))

    def made(self) -> dict[str, int]:
        """Return the year in which each feature's job is finished; what is done in autumn stands next summer."""
        done = ((job, self.timeline.last_month(job)) for job in self.garden.jobs)
        found: dict[str, int] = {}
        for job, month in done:
            if month is not None:
                for target in job.does:
                    owner = target.partition("/")[0]
                    found[owner] = min(month // 12, found.get(owner, month // 12))
        return found

    def done_years(self) -> dict[str, int]:
        """Return the year in which each feature comes: by its job, or by the month written at it where no job makes it."""
        written = ((f.id, self.timeline.span(f.id).begins) for f in self.timeline.features)
        return {owner: month // 12 for owner, month in written if month is not None} | self.made()

    def called(self, thing_id: str) -> str:
        """Return what the person calls a thing."""
        return self.words.name(thing_id)


def middle(shape: BaseGeometry) -> XY:
    """Return a point inside a shape, for leading to it [m]."""
    point = shape.representative_point()
    return (round(float(point.x), 3), round(float(point.y), 3))
