"""Works and upkeep take no more hours than there are."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import field


class HoursNoMore(Intent):
    """A year's works and upkeep together fit into the hours given."""

    words: ClassVar[str] = "hours no more"
    about: ClassVar[str] = "The works of a year and its upkeep together take no more hours than given."
    reads: ClassVar[frozenset[str]] = frozenset({"hours"})
    example: ClassVar = {"id": "weekends-only", "hours": 90.0}

    kind: Literal["hours-no-more"] = "hours-no-more"
    hours: float | None = field("Hours a year (none: as many as there are)", None, unit="h", ge=0)

    def sentence(self, words: Words) -> str:
        """Say how many hours a year may take."""
        most = "there are" if self.hours is None else words.hours(self.hours)
        return (
            f"Works and upkeep take no more hours than {most}."
            if self.hours is None
            else f"Works and upkeep take no more than {most} a year."
        )

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Add up the year's hours."""
        row = next((m for m in timeline.money() if m.year == year), None)
        if row is None:
            return Verdict(year, State.UNKNOWN, f"{year} lies outside the plan.")
        target = row.given_h if self.hours is None else self.hours
        taken = row.worked_h + row.upkeep_h
        over = taken - target
        parts = f"works {words.hours(row.worked_h)} and upkeep {words.hours(row.upkeep_h)}"
        rest = f"{words.hours(over)} too much" if over > 1e-9 else f"{words.hours(-over)} to spare"
        state = State.FAILS if over > 1e-9 else State.HOLDS
        return Verdict(year, state, f"{capital(parts)}: {rest}.", taken, target, "h", -over)
