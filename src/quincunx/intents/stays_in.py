"""An animal or a child stays in: it doesn't get out of the garden, or out of a room."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._keeping import Keeping, Kept, kept_apart
from quincunx.scene import Timeline
from quincunx.shapes import Verdict
from quincunx.units import capital
from quincunx.units.fields import Slug, field
from quincunx.walk.places import OUTSIDE


class StaysIn(Intent):
    """Somebody who is in a place doesn't get out of the garden, or to another place."""

    words: ClassVar[str] = "stays in"
    about: ClassVar[str] = (
        "A dog, hens or a child, once in a place, don't get out. A hedge alone only discourages; each gate can also be "
        "tried standing open, and in winter an animal stands on the snow. No barrier replaces watching a child."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "hens-in", "walker": "hen", "place": "hen-run"}

    kind: Literal["stays-in"] = "stays-in"
    walker: Slug = field("Who", "dog")
    place: Slug = field("In")
    kept_from: Slug = field("Kept from", OUTSIDE, help="outside: from leaving the garden; or a room, such as the beds")
    gates: Kept = field("Gates are", "kept-shut")
    winter: bool = field("Also in mid-winter, on top of the snow", True)

    def things(self) -> tuple[str, ...]:
        """Return the places it names."""
        return tuple(t for t in (self.place, self.kept_from) if t != OUTSIDE)

    def walkers(self) -> tuple[str, ...]:
        """Return who stays in."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say who stays where."""
        who = words.walker(self.walker)
        subject, stay = (capital(who.name), who.says("stays", "stay")) if who else (self.walker, "stays")
        also = ", whichever gate is left open" if self.gates == "one-left-open" else ""
        if self.kept_from == OUTSIDE:
            return f"{subject} from {words.the(self.place)} {stay} in{also}."
        keep = who.says("keeps", "keep") if who else "keeps"
        return f"{subject} from {words.the(self.place)} {keep} off {words.the(self.kept_from)}{also}."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the walker surely is kept in as before."""
        who = words.walker(self.walker)
        if who is None:
            return False
        keeping = Keeping(who, self.place, self.kept_from, "", "", self.gates)
        return kept_apart(keeping, was, now, verdict.year, winter=self.winter)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Try every way out, in leaf and, if wished and snow lies, in winter."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        off = words.the(self.kept_from)
        does, cant = f"{who.says('gets', 'get')} to {off}", f"can't get to {off}"
        if self.kept_from == OUTSIDE:
            does, cant = f"{who.says('gets', 'get')} out", "can't get out"
        keeping = Keeping(who, self.place, self.kept_from, does, cant, self.gates)
        return keeping.judged(timeline, year, words, winter=self.winter)
