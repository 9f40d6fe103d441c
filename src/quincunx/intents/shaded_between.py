"""A seat is shaded between two hours."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Words
from quincunx.intents._in_sun import InSun
from quincunx.intents._lighting import (
    Hour,
    asked_at,
    blamed,
    clock_words,
    gone_words,
    marks,
    months_of,
    season_words,
    shades,
    time_words,
)
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Month, field


class ShadedBetween(InSun):
    """A place lies in shade for most of the time between two hours of the clock, in some months."""

    words: ClassVar[str] = "shaded between"
    about: ClassVar[str] = (
        "Between two hours of the clock (summer time included) at least a share of the sun is kept off a place, over the "
        "months given: by crowns in leaf, roofs, slats as they stand to the sun. A spot is asked at its own height: 1.2 m "
        "is about the head of somebody seated."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"light"})
    example: ClassVar = {"id": "shady-seat", "place": "seat", "start": 12, "end": 16, "share": 70}

    kind: Literal["shaded-between"] = "shaded-between"
    start: Hour = field("From the hour", 12)
    end: Hour = field("To the hour", 16)
    share: float = field("Shade", 70.0, unit="%", ge=1, le=100)
    first: Month = field("From the month", 6)
    last: Month = field("To the month", 8)

    def months(self) -> tuple[int, ...]:
        """Return the months from the first to the last."""
        return months_of(self.first, self.last)

    def sentence(self, words: Words) -> str:
        """Say when the place is shaded."""
        hours = f"between {clock_words(self.start)} and {clock_words(self.end)}"
        when = season_words(self.first, self.last)
        return f"{capital(words.the(self.place))} is shaded {hours} {when}, at least {self.share:.0f} %."

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Cast the suns of those hours and months."""
        scene = timeline.at(timeline.leaf_date(year))
        asked = asked_at(scene, self.place)
        if asked is None:
            return Verdict(year, State.UNKNOWN, gone_words(self.place, words))
        start, end = min(self.start, self.end), max(self.start, self.end)
        months = self.months()
        found = shades(scene, timeline, asked, months)
        each = [s.between(months, start, end) for s in found]
        if any(share != share for share in each):  # noqa: PLR0124 - not a number: the sun is not up
            return Verdict(year, State.UNKNOWN, "The sun is not up at those hours in those months.")
        share = sum(each) / len(each)
        state = State.HOLDS if 100 * share >= self.share - 0.5 else State.FAILS
        why = blamed(found, months, words, start, end) if share > 0.05 else ""
        text = f"{100 * share:.0f} % of the sun is kept off then, {time_words(timeline)}{why}."
        drawn = marks(asked, f"{100 * share:.0f} %")
        return Verdict(year, state, text, share, self.share / 100, "share", share - self.share / 100, evidence=drawn)
