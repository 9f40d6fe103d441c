"""A planting hides what is behind it."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.grow.plantings import Planting, planting
from quincunx.grow.reached import When, height, hiding
from quincunx.intents._base import Words
from quincunx.intents._growing import ByYear, not_planted, slowest
from quincunx.plants.ranges import Range
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Length, Slug, field, length


class PlantsHide(ByYear):
    """A planting blocks the view up to a height."""

    words: ClassVar[str] = "plants hide"
    about: ClassVar[str] = (
        "A hedge or planting is as high as wanted and so dense that it blocks most of a view through it, in leaf or bare."
        " What is seen past or over it is another must's matter."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"plants"})
    example: ClassVar = {"id": "screen-by-2030", "feature": "long-hedge", "high": 1.6, "by": 2030}

    kind: Literal["plants-hide"] = "plants-hide"
    feature: Slug = field("Hedge or planting")
    high: Length = length("Up to a height of", 1.6, ge=0.1, le=20.0)
    share: float = field("Of a view through it, at least", 0.7, unit="share", gt=0, le=1)
    winter: bool = field("In winter too", False)

    def things(self) -> tuple[str, ...]:
        """Return the planting."""
        return (self.feature,)

    def sentence(self, words: Words) -> str:
        """Say what hides, how high and by when."""
        when = ", in winter too" if self.winter else ""
        name, high = capital(words.the(self.feature)), words.length(float(self.high))
        return f"{name} hides what is behind it up to {high}{when}{self.in_time()}."

    def ready(self, timeline: Timeline) -> When:
        """Return when it is so high and dense, in leaf and, if asked for, bare."""

        def measure(p: Planting) -> Range:
            share, high = self._blocked(timeline, p).times(1 / self.share), height(p).times(1 / float(self.high))
            return Range(*(min(pair) for pair in zip(share.triple, high.triple, strict=True)))

        return slowest(timeline, self.things(), measure, 1.0)[1]

    def _blocked(self, timeline: Timeline, p: Planting) -> Range:
        year = timeline.years[0]
        months = [timeline.leaf_date(year).month, *([timeline.bare_date(year).month] if self.winter else [])]
        seen = [hiding(p, m, turned=timeline.southern) for m in months]
        return Range(*(min(s) for s in zip(*(r.triple for r in seen), strict=True)))

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look when it is so high and dense, in leaf and, if asked for, bare."""
        wrong = not_planted(timeline, year, self.things(), words)
        one = planting(timeline, self.feature, timeline.leaf_date(year))
        if wrong is not None or one is None:
            return wrong or Verdict(year, State.UNKNOWN, "Nobody knows this plant. Choose one of the list or add it.")
        found = self.ready(timeline)
        state = State.HOLDS if found.usually is not None and found.usually <= year else State.FAILS
        blocked, tall = self._blocked(timeline, one), height(one)
        thin = ""
        if found.usually is None and self.winter:
            thin = " Bare twigs let too much through: an evergreen or a denser plant would hide in winter."
        text = f"It blocks {round(100 * blocked.mid)} in 100 of a view up to {words.length(tall.mid)}; enough {found.words}."
        text += thin + self.too_late(found, timeline)
        return Verdict(
            year, state, text, blocked.mid, self.share, "share", blocked.mid - self.share, (blocked.low, blocked.high)
        )
