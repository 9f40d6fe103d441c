"""One state of the garden, stood up: its timeline, its words, what is built."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from quincunx.board.clock import this_month
from quincunx.garden import Garden, plain, timeline
from quincunx.plants.catalogue import find_plant
from quincunx.review.read import Read
from quincunx.scene import Stood, Timeline
from quincunx.years.on_day import on_day

if TYPE_CHECKING:
    from collections.abc import Mapping

    from quincunx.works import Course
    from quincunx.years.problem import Problem


@dataclass(frozen=True)
class Standing(Read):
    """The garden at one revision of one head, as it is read in one month."""

    revision: int
    head: str
    garden: Garden
    timeline: Timeline

    @classmethod
    def of(cls, garden: Garden, shared: dict[object, Stood], revision: int = 0, head: str = "") -> Standing:
        """Stand a garden up as it is read this month; ``shared`` keeps what stood before."""
        garden = on_day(garden, this_month(garden.site.place), shared)
        return cls(revision, head, garden, timeline(garden, shared))

    @property
    def month(self) -> int:
        """Return the month it is read in (from January of year 0)."""
        now = self.garden.means.now
        return this_month(self.garden.site.place) if now is None else now

    @property
    def stamp(self) -> tuple[str, int, int]:
        """Return what tells it from any other state that is kept: the head, the revision, the month it is read in."""
        return self.head, self.revision, self.month

    @property
    def is_of_now(self) -> bool:
        """Return whether the month it is read in is still the present one at the garden."""
        return self.month == this_month(self.garden.site.place)

    @property
    def courses(self) -> Mapping[str, Course]:
        """Return how each job goes, by id."""
        return self.timeline.courses

    @cached_property
    def problem(self) -> Problem:
        """Return the order of works as a problem."""
        from quincunx.years.from_garden import problem_of

        return problem_of(self.garden, self.timeline)

    @cached_property
    def document(self) -> dict[str, Any]:
        """Return the garden in its normal form."""
        found: dict[str, Any] = plain(self.garden)
        return found

    @cached_property
    def built(self) -> tuple[str, ...]:
        """Return the features that are there already or whose job the journal calls done."""
        done = {e.about for e in self.garden.journal if e.what == "done"}
        return tuple(
            sorted(f.id for f in self.garden.features if self._is_built(f.id, f.there_from, f.finish_ids(), done))
        )

    def _is_built(self, feature: str, since: str | None, finishes: tuple[str, ...], done: set[str | None]) -> bool:
        if since == "start":
            return True
        jobs = [self.timeline.job_of(t) for t in (feature, *(f"{feature}/{x}" for x in finishes[:1]))]
        return any(j is not None and j.id in done for j in jobs)

    @cached_property
    def called(self) -> dict[str, str]:
        """Return what the person calls each thing, by id."""
        return dict(self.timeline.frame.names)

    def plant(self, plant_id: str) -> Any:
        """Return a plant by id, the garden's own first; None if nobody knows it."""
        return find_plant(plant_id, {p.id: p for p in self.garden.plants})
