"""A place has at least so many hours of sun a day."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Words
from quincunx.intents._in_sun import InSun
from quincunx.intents._lighting import asked_at, blamed, gone_words, marks, months_of, season_words, shades
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.dates import MONTHS
from quincunx.units.fields import Month, field

HAIR_H = 0.02


class SunAtLeast(InSun):
    """A place has at least so many hours of direct sun a day in each of some months."""

    words: ClassVar[str] = "sun at least"
    about: ClassVar[str] = (
        "On clear days a place has at least so many hours of direct sun in each of the months, through and past all that "
        "stands that year. A bed is asked in several points, a spot at its own height. Cloud is not counted."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"light"})
    example: ClassVar = {"id": "sunny-bed", "place": "herb-bed", "hours": 6.0, "first": 5, "last": 8}

    kind: Literal["sun-at-least"] = "sun-at-least"
    hours: float = field("Hours of sun a day", 6.0, unit="h", ge=0.25, le=24)
    first: Month = field("From the month", 5)
    last: Month = field("To the month", 8)

    def months(self) -> tuple[int, ...]:
        """Return the months from the first to the last."""
        return months_of(self.first, self.last)

    def sentence(self, words: Words) -> str:
        """Say how much sun the place has."""
        when = season_words(self.first, self.last)
        return f"{capital(words.the(self.place))} has at least {words.hours(self.hours)} of sun a day {when}."

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Cast the suns of the months and take the least month's mean over the place."""
        scene = timeline.at(timeline.leaf_date(year))
        asked = asked_at(scene, self.place)
        if asked is None:
            return Verdict(year, State.UNKNOWN, gone_words(self.place, words))
        months = self.months()
        found = shades(scene, timeline, asked, months)
        by_month = {m: sum(s.sun_h(m) for s in found) / len(found) for m in months}
        least = min(months, key=lambda m: (by_month[m], m))
        measured = by_month[least]
        state = State.HOLDS if measured >= self.hours - HAIR_H else State.FAILS
        text = f"{words.hours(measured)} of sun on a clear day in {MONTHS[least - 1]}"
        why = blamed(found, (least,), words) if state == State.FAILS else ""
        text = f"{text}{f'; shaded{why}' if why else ''}."
        spread = tuple(sorted(s.sun_h(least) for s in found))
        drawn = marks(asked, words.hours(measured))
        return Verdict(
            year, state, text, measured, self.hours, "h", measured - self.hours, (spread[0], spread[-1]), drawn
        )
