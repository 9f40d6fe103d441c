"""A place has sun before an hour of the morning."""

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

HAIR_H = 0.02


class SunBefore(InSun):
    """A place has at least some sun before an hour of the clock, in each of some months."""

    words: ClassVar[str] = "sun before"
    about: ClassVar[str] = (
        "Before an hour of the clock (summer time included) a place has at least so much direct sun on clear days, in each "
        "of the months given."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"light"})
    example: ClassVar = {"id": "breakfast-sun", "place": "seat", "before": 10, "hours": 1.0}

    kind: Literal["sun-before"] = "sun-before"
    before: Hour = field("Before the hour", 10)
    hours: float = field("At least so much sun", 1.0, unit="h", ge=0.25, le=12)
    first: Month = field("From the month", 6)
    last: Month = field("To the month", 8)

    def months(self) -> tuple[int, ...]:
        """Return the months from the first to the last."""
        return months_of(self.first, self.last)

    def sentence(self, words: Words) -> str:
        """Say how much sun comes before the hour."""
        when = f"before {clock_words(self.before)} {season_words(self.first, self.last)}"
        return f"{capital(words.the(self.place))} has at least {words.hours(self.hours)} of sun {when}."

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Cast the morning suns of the months and take the least month."""
        scene = timeline.at(timeline.leaf_date(year))
        asked = asked_at(scene, self.place)
        if asked is None:
            return Verdict(year, State.UNKNOWN, gone_words(self.place, words))
        months = self.months()
        found = shades(scene, timeline, asked, months)
        by_month = {m: sum(s.sun_between_h(m, 0, self.before) for s in found) / len(found) for m in months}
        least = min(months, key=lambda m: (by_month[m], m))
        measured = by_month[least]
        state = State.HOLDS if measured >= self.hours - HAIR_H else State.FAILS
        why = blamed(found, (least,), words, 0, self.before) if state == State.FAILS else ""
        text = f"{words.hours(measured)} of sun before {clock_words(self.before)} {season_words(least, least)}"
        text = f"{text}, {time_words(timeline)}{f'; shaded{why}' if why else ''}."
        drawn = marks(asked, words.hours(measured))
        return Verdict(year, state, text, measured, self.hours, "h", measured - self.hours, evidence=drawn)
