"""A room is no dead end: there are several ways to it that have no opening in common."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.intents._walking import gate_figure, missing, why_not
from quincunx.scene import Timeline
from quincunx.shapes import Figure, State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Slug, field
from quincunx.walk.graph import room_graph
from quincunx.walk.places import OUTSIDE
from quincunx.walk.reach import walk_of


class SeveralWays(Intent):
    """There are several ways from one place to another that have no opening in common."""

    words: ClassVar[str] = "several ways"
    about: ClassVar[str] = (
        "Between two places there are at least so many ways that share no gate, arch or steps: shut any one less and one "
        "still gets there. Two ways make a round walk; one way is a dead end."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "round-by-the-nuttery", "start": "terrace", "end": "nuttery"}

    kind: Literal["several-ways"] = "several-ways"
    walker: Slug = field("For whom", "person")
    start: Slug = field("From", OUTSIDE)
    end: Slug = field("To")
    ways: int = field("At least so many ways", 2, ge=2, le=9)

    def things(self) -> tuple[str, ...]:
        """Return the places it names."""
        return tuple(t for t in (self.start, self.end) if t != OUTSIDE)

    def walkers(self) -> tuple[str, ...]:
        """Return for whom it is judged."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say how many ways there are."""
        some = {2: "two", 3: "three", 4: "four"}.get(self.ways, str(self.ways))
        who = "" if self.walker == "person" else f" for {w.name if (w := words.walker(self.walker)) else self.walker}"
        return f"There are {some} ways from {words.the(self.start)} to {words.the(self.end)}{who} with no opening in common."

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Count how many openings would have to be shut at least to part the two places."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        scene = timeline.at(timeline.leaf_date(year))
        graph = room_graph(scene, who)
        gone = missing(graph.walk, (self.start, self.end), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        cut = graph.fewest_to_shut(self.start, self.end)
        start, end, target = words.the(self.start), words.the(self.end), float(self.ways)
        if cut is None:
            return Verdict(year, State.HOLDS, f"Nothing parts {start} from {end}, even with every opening shut.")
        found = float(len(cut))
        drawn: tuple[Figure, ...] = tuple(f for gate in cut for f in gate_figure(scene, gate))
        if not cut:
            why, shown = why_not(walk_of(scene, who), self.start, self.end, words)
            text = f"There is no way from {start} to {end}: {why}."
            return Verdict(year, State.FAILS, text, 0.0, target, "count", -target, evidence=shown)
        if found >= target:
            text = f"With {words.both(cut)} shut nobody gets from {start} to {end}; fewer would not do."
            return Verdict(year, State.HOLDS, text, found, target, "count", found - target, evidence=drawn)
        text = capital(f"{words.both(cut)} {'is' if len(cut) == 1 else 'are'} on every way from {start} to {end}.")
        return Verdict(year, State.FAILS, text, found, target, "count", found - target, evidence=drawn)
