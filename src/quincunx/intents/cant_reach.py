"""A walker can't reach a place: deer and young trees, a toddler and the pond."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._keeping import Keeping, Kept, kept_apart
from quincunx.scene import Timeline
from quincunx.shapes import Verdict
from quincunx.units import capital
from quincunx.units.fields import Slug, field
from quincunx.walk.places import OUTSIDE


class CantReach(Intent):
    """Somebody can't get to a place, with every gate shut and, if wished, with any one left open."""

    words: ClassVar[str] = "can't get there"
    about: ClassVar[str] = (
        "Somebody can't get from outside (or another place) to a place. A hedge alone only discourages an animal or a "
        "child; each gate is also tried standing open. No barrier replaces watching a child."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "roe-off-trees", "walker": "roe", "end": "young-trees"}

    kind: Literal["cant-reach"] = "cant-reach"
    walker: Slug = field("Who", "roe")
    start: Slug = field("From", OUTSIDE)
    end: Slug = field("To")
    gates: Kept = field("Gates are", "kept-shut")
    winter: bool = field("Also in mid-winter, on top of the snow", True)

    def things(self) -> tuple[str, ...]:
        """Return the places it names."""
        return tuple(t for t in (self.start, self.end) if t != OUTSIDE)

    def walkers(self) -> tuple[str, ...]:
        """Return who must be kept away."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say who can't reach what."""
        who = words.walker(self.walker)
        subject = capital(who.name) if who else self.walker
        start = "" if self.start == OUTSIDE else f" from {words.the(self.start)}"
        also = ", whichever gate is left open" if self.gates == "one-left-open" else ""
        return f"{subject} can't reach {words.the(self.end)}{start}{also}."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the walker surely is kept off as before."""
        who = words.walker(self.walker)
        if who is None:
            return False
        return kept_apart(
            Keeping(who, self.start, self.end, "", "", self.gates), was, now, verdict.year, winter=self.winter
        )

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Try at the end of the summer and, if wished and snow lies, in the winter that follows."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        end = words.the(self.end)
        does = f"{who.says('reaches', 'reach')} {end}"
        keeping = Keeping(who, self.start, self.end, does, f"can't reach {end}", self.gates)
        return keeping.judged(timeline, year, words, winter=self.winter)
