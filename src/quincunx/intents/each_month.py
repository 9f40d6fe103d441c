"""Something flowers, or is green, in each month asked for."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from quincunx.grow.bloom import in_month
from quincunx.intents._base import Intent, Words
from quincunx.plants.catalogue import Months
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital, listed
from quincunx.units.dates import MONTHS, in_turn, unbroken
from quincunx.units.fields import Slug, field


class EachMonth(Intent):
    """In each of some months something is in flower, or green."""

    words: ClassVar[str] = "in each month"
    about: ClassVar[str] = (
        "In each of the months something planted is in flower, or in leaf, as the catalogue gives it for its hemisphere;"
        " a mild or hard year shifts it by some weeks."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"plants"})
    example: ClassVar = {"id": "bees-in-spring", "what": "in flower", "months": [3, 4, 5, 6, 7, 8, 9]}

    kind: Literal["each-month"] = "each-month"
    what: Literal["in flower", "green"] = field("Something is", "in flower")
    months: Annotated[Months, Field(min_length=1)] = field("In each of the months", (3, 4, 5, 6, 7, 8, 9, 10))
    plantings: Annotated[tuple[Slug, ...], Field(max_length=60)] = field("Among (none: everything planted)", ())

    def things(self) -> tuple[str, ...]:
        """Return the plantings it is asked of."""
        return self.plantings

    def due_from(self, timeline: Timeline) -> int | None:
        """Return the year typed, else the first of the plan."""
        return self.from_year if self.from_year is not None else timeline.years.start

    def sentence(self, words: Words) -> str:
        """Say what is to be seen in which months."""
        among = f" among {words.both(self.plantings)}" if self.plantings else ""
        return f"In {_months(self.months)} something is {self.what}{among}."

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look what flowers or is green in each month."""
        seen = {m: in_month(timeline, year, m, self.what == "in flower", self.plantings) for m in self.months}
        lacking = tuple(m for m, those in seen.items() if not those)
        have = len(self.months) - len(lacking)
        if lacking:
            text = f"Nothing is {self.what} in {_months(lacking)}."
        else:
            poorest = min(seen, key=lambda m: (len(seen[m]), m))
            text = f"Least in {MONTHS[poorest - 1]}: {capital(words.both(seen[poorest][:3]))}."
        state = State.FAILS if lacking else State.HOLDS
        return Verdict(year, state, text, float(have), float(len(self.months)), "count", -float(len(lacking)))


def _months(months: tuple[int, ...]) -> str:
    run = in_turn(months)
    names = [MONTHS[m - 1] for m in run]
    if len(run) > 2 and unbroken(run):
        return f"each month from {names[0]} to {names[-1]}"
    return listed(names)
