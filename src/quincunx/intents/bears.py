"""Fruit bears by a year."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from quincunx.grow.bearing import bearing
from quincunx.intents._base import Words
from quincunx.intents._growing import ByYear, not_planted
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Slug, field


class Bears(ByYear):
    """What is planted gives its first crop by a year."""

    words: ClassVar[str] = "bears"
    about: ClassVar[str] = (
        "Each planting named gives at least its first crop: by its usual age at bearing, what set it back, and whether"
        " another variety pollinates it."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"plants"})
    example: ClassVar = {"id": "nuts-by-2031", "plantings": ["nuttery"], "by": 2031}

    kind: Literal["bears"] = "bears"
    plantings: Annotated[tuple[Slug, ...], Field(min_length=1, max_length=60)] = field("What bears")

    def things(self) -> tuple[str, ...]:
        """Return the plantings."""
        return self.plantings

    def sentence(self, words: Words) -> str:
        """Say what is to bear and by when."""
        verb = "bears" if len(self.plantings) == 1 else "bear"
        return f"{capital(words.both(self.plantings))} {verb}{self.in_time()}."

    def reached_in(self, timeline: Timeline) -> int | None:
        """Return the year in which the last of them gives its first crop as a rule."""
        years = [bearing(timeline, f).when.usually for f in self.plantings]
        return max((y for y in years if y is not None), default=None) if None not in years else None

    def spare_years(self, timeline: Timeline) -> Mapping[str, int]:
        """Return how many years each planting has to spare: each has its own age at bearing."""
        if self.by is None:
            return {}
        found = {f: bearing(timeline, f).when.usually for f in self.plantings}
        return {f: self.by - year for f, year in found.items() if year is not None}

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look when each gives its first crop; the last of them decides."""
        wrong = not_planted(timeline, year, self.plantings, words)
        if wrong is not None:
            return wrong
        found = [(bearing(timeline, f), f) for f in self.plantings]
        found.sort(key=lambda pair: (pair[0].when.usually or 10**6, pair[0].when.surely_by or 10**6, pair[1]))
        last, feature = found[-1]
        years = [y for y in (last.when.not_before, last.when.usually, last.when.surely_by) if y is not None]
        state = State.HOLDS if last.when.usually is not None and last.when.usually <= year else State.FAILS
        if last.unsure and last.when.not_before is not None and last.when.not_before <= year:
            state = State.UNKNOWN
        alike = len({b.when for b, _ in found}) == 1
        many = alike and len(self.plantings) > 1
        name = "they all" if many else words.the(feature) if len(self.plantings) > 1 else "it"
        text = (
            f"{name} bear{'' if many else 's'} {last.when.words}"
            if years
            else f"{name} never bear{'' if many else 's'}"
        )
        text = capital(text)
        because = (f"{text}: {last.why}." if last.why else f"{text}.") + self.too_late(last.when, timeline)
        span = (float(years[0]), float(years[-1])) if years else None
        middle = None if last.when.usually is None else float(last.when.usually)
        return Verdict(year, state, because, middle, None if self.by is None else float(self.by), "year", range=span)
