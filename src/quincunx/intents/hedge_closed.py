"""A hedge has closed and come to its height."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.grow.plantings import planting
from quincunx.grow.reached import When, closed, height
from quincunx.intents._base import Words
from quincunx.intents._growing import ByYear, not_planted, slowest
from quincunx.plants.ranges import Range
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Length, Slug, field, length


class HedgeClosed(ByYear):
    """The plants of a hedge have met and are as high as wanted."""

    words: ClassVar[str] = "hedge closed"
    about: ClassVar[str] = (
        "The plants of a hedge or row touch each other and are as high as wanted; by growth as usual, with the earliest"
        " and the surest year beside it."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"plants"})
    example: ClassVar = {"id": "hedge-by-2031", "feature": "long-hedge", "high": 1.5, "by": 2031}

    kind: Literal["hedge-closed"] = "hedge-closed"
    feature: Slug = field("Hedge or row")
    high: Length = length("At least so high", 1.2, ge=0.1, le=12.0)

    def things(self) -> tuple[str, ...]:
        """Return the hedge."""
        return (self.feature,)

    def sentence(self, words: Words) -> str:
        """Say which hedge is to be closed, how high and by when."""
        name, high = capital(words.the(self.feature)), words.length(float(self.high))
        return f"{name} has closed and is {high} high{self.in_time()}."

    def ready(self, timeline: Timeline) -> When:
        """Return when it is closed and so high."""
        high = float(self.high)
        return slowest(timeline, (self.feature,), lambda p: _least(closed(p), height(p).times(1 / high)), 1.0)[1]

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look when the plants meet and when they are so high."""
        wrong = not_planted(timeline, year, self.things(), words)
        one = planting(timeline, self.feature, timeline.leaf_date(year))
        if wrong is not None or one is None:
            return wrong or Verdict(year, State.UNKNOWN, "Nobody knows this plant. Choose one of the list or add it.")
        high = float(self.high)
        both = self.ready(timeline)
        tall, met = height(one), closed(one).most(1.0)
        holds = both.usually is not None and both.usually <= year
        share = "closed" if met.mid > 0.99 else f"{round(100 * met.mid)} in 100 closed"
        text = f"{words.length(tall.mid)} high and {share}; so high and closed {both.words}.{self.too_late(both, timeline)}"
        state = State.HOLDS if holds else State.FAILS
        return Verdict(year, state, capital(text), tall.mid, high, "m", tall.mid - high, (tall.low, tall.high))


def _least(one: Range, other: Range) -> Range:
    return Range(*(min(a, b) for a, b in zip(one.triple, other.triple, strict=True)))
