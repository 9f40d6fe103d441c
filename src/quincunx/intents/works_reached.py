"""Barrow and machine get to every job in its month."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._bringing import bringing_figures, bringing_words, shut_figures
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units.fields import Slug, field
from quincunx.walk.access import WORST, bringings
from quincunx.walk.brought import brought_as_before
from quincunx.walk.places import OUTSIDE
from quincunx.walk.walkers import Walker
from quincunx.works import Job


class WorksReached(Intent):
    """In each year the barrow or the machine gets to every job that needs it, in the month it begins."""

    words: ClassVar[str] = "the works are reached"
    about: ClassVar[str] = (
        "In the month a job begins, the barrow or machine it needs gets from the road to each thing it makes, with room to "
        "turn, to work and for the heap, before other jobs shut the way; if one did, it says which to do first."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk", "works"})
    example: ClassVar = {"id": "works-reached", "start": "road"}

    kind: Literal["works-reached"] = "works-reached"
    start: Slug = field("From", OUTSIDE)
    barrow: Slug = field("Where a barrow is needed", "barrow")
    machine: Slug = field("Where a machine is needed", "machine")

    def things(self) -> tuple[str, ...]:
        """Return where things come from."""
        return () if self.start == OUTSIDE else (self.start,)

    def walkers(self) -> tuple[str, ...]:
        """Return what is pushed and driven."""
        return (self.barrow, self.machine)

    def loads_from(self) -> str:
        """Return where things come from."""
        return self.start

    def sentence(self, words: Words) -> str:
        """Say that all is reached."""
        return f"Barrow and machine get from {words.the(self.start)} to every job in its month."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether to every job of the year the way surely is shut as it was, by the same jobs."""
        walkers = self._who(words)
        return all(
            brought_as_before(was, now, job, walkers[job.reach], job.comes_from or self.start)
            for job in _begun_in(was, verdict.year)
            if job.reach in walkers
        )

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Try every job that begins in the year."""
        found = bringings(timeline, self._who(words), self.start, _begun_in(timeline, year))
        if not found:
            return Verdict(year, State.HOLDS, "No job of this year needs a barrow or a machine.")
        worst = min(found, key=lambda b: (WORST.index(b.state), b.month, b.job))
        named = {j.id: j for j in timeline.jobs}
        if worst.state in ("open", "tight"):
            far = max(found, key=lambda b: b.way.length_m if b.way else 0.0)
            text = bringing_words(far, named, words) if worst.state == "open" else bringing_words(worst, named, words)
            return Verdict(year, State.HOLDS, text, evidence=tuple(f for b in found for f in bringing_figures(b)))
        shut = [b for b in found if b.state not in ("open", "tight")]
        more = f" The same trouble with {len(shut) - 1} more." if len(shut) > 1 else ""
        state = State.UNKNOWN if worst.state == "no-place" else State.FAILS
        drawn = tuple(f for b in shut for f in shut_figures(timeline, b))
        return Verdict(year, state, bringing_words(worst, named, words) + more, evidence=drawn)

    def _who(self, words: Words) -> dict[str, Walker]:
        found = {"barrow": words.walker(self.barrow), "machine": words.walker(self.machine)}
        return {reach: who for reach, who in found.items() if who is not None}


def _begun_in(timeline: Timeline, year: int) -> list[Job]:
    return [j for j in timeline.jobs if (first := timeline.first_month(j)) is not None and first // 12 == year]
