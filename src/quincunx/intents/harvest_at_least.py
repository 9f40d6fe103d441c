"""A year's harvest is at least so many kilograms."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from quincunx.grow.harvest import crops, total
from quincunx.intents._base import Words
from quincunx.intents._growing import ByYear
from quincunx.plants.catalogue import Months
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.dates import MONTHS
from quincunx.units.fields import Slug, field

YEARS_ON = 10
"""So many years after the plan's last are looked at for a harvest that is late."""


class HarvestAtLeast(ByYear):
    """The garden, or what is named of it, gives so much in a year or in some months of it."""

    words: ClassVar[str] = "harvest at least"
    about: ClassVar[str] = (
        "What is picked in a year comes to so many kilograms: by the catalogue's yields and ages at bearing, setbacks and"
        " pollination counted. Gardens differ: the range stands beside it."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"plants"})
    example: ClassVar = {"id": "forty-kilos", "kilograms": 40.0, "by": 2031}

    kind: Literal["harvest-at-least"] = "harvest-at-least"
    kilograms: float = field("Kilograms a year", unit="kg", gt=0, le=100000)
    plantings: Annotated[tuple[Slug, ...], Field(max_length=60)] = field("Of (none: everything)", ())
    months: Months = field("In the months (none: all year)", ())

    def things(self) -> tuple[str, ...]:
        """Return the plantings it is asked of."""
        return self.plantings

    def sentence(self, words: Words) -> str:
        """Say how much is to be picked, of what, when and from when on."""
        who = words.both(self.plantings) if self.plantings else "the garden"
        verb = "give" if len(self.plantings) > 1 else "gives"
        said = ", ".join(MONTHS[m - 1] for m in self.months)
        span = f" in {said}" if said else " a year"
        return f"{capital(who)} {verb} at least {words.mass(self.kilograms)}{span}{self.in_time()}."

    def reached_in(self, timeline: Timeline) -> int | None:
        """Return the first year in which so much is picked as a rule, as planned."""
        years = range(timeline.years[0], timeline.years[-1] + YEARS_ON + 1)
        return next((year for year in years if self._enough(timeline, year) is not None), None)

    def spare_years(self, timeline: Timeline) -> Mapping[str, int]:
        """Return how many years the plantings that give most of it have to spare, as many as it takes to reach the sum.

        All of them a year later give in a year what they now give in the year before.  A harvest that is late as planned
        leaves nothing to spare, and asks for none of them sooner: which of them would have to be, it can't say.
        """
        if self.by is None:
            return {}
        for year in range(timeline.years[0], self.by + 1):
            if (giving := self._enough(timeline, year)) is not None:
                return dict.fromkeys(giving, self.by - year)
        return {}

    def _enough(self, timeline: Timeline, year: int) -> tuple[str, ...] | None:
        """Return the fewest plantings that give enough in a year, those that give most first; None if all do not."""
        months = self.months or tuple(range(1, 13))
        found = [c for c in crops(timeline, year) if not self.plantings or c.owner in self.plantings]
        ranked = sorted((-total(c.months[m - 1] for m in months).mid, c.owner) for c in found)
        left = self.kilograms
        for count, (less, _) in enumerate(ranked, 1):
            left += less
            if left <= 0:
                return tuple(owner for _, owner in ranked[:count])
        return None

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Add up what is picked."""
        months = self.months or tuple(range(1, 13))
        found = [c for c in crops(timeline, year) if not self.plantings or c.owner in self.plantings]
        got = total(c.months[m - 1] for c in found for m in months)
        most = max(found, key=lambda c: total(c.months[m - 1] for m in months).mid, default=None)
        text = f"About {words.mass(got.mid)}, between {words.mass(got.low)} and {words.mass(got.high)}"
        if most is not None and got.mid > 0:
            part = total(most.months[m - 1] for m in months).mid
            text += f"; most of it ({words.mass(part)}) from {words.the(most.owner)}"
        late = [c for c in found if not c.picked]
        if late and got.mid < self.kilograms:
            text += (
                f"; {words.both(tuple(c.owner for c in late[:3]))} {'give' if len(late) > 1 else 'gives'} nothing yet"
            )
        state = State.HOLDS if got.mid >= self.kilograms else State.FAILS
        return Verdict(
            year, state, f"{text}.", got.mid, self.kilograms, "kg", got.mid - self.kilograms, (got.low, got.high)
        )
