"""What is used every day lies near: no farther to walk than a distance."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from quincunx.intents._base import Intent, Words
from quincunx.intents._walking import drawn_way, missing, same_way, way_figure, why_not
from quincunx.scene import Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import Figure, State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Length, Slug, field, length
from quincunx.units.sides import apart
from quincunx.walk.going import walking_seconds
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.ways import Way


class NearToHand(Intent):
    """Several places are no farther to walk from one than a distance."""

    words: ClassVar[str] = "near to hand"
    about: ClassVar[str] = (
        "From one place to each of the others it is no farther to walk than the distance given, by the shortest way; the "
        "farthest is named, with the minutes it takes on that floor and slope in that month."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "near-the-door", "start": "kitchen-door", "ends": ["tap", "herb-bed"], "within": 25}

    kind: Literal["near-to-hand"] = "near-to-hand"
    walker: Slug = field("Who walks", "person")
    start: Slug = field("From")
    ends: Annotated[tuple[Slug, ...], Field(min_length=1, max_length=12)] = field("To each of")
    within: Length = length("No farther than", 25.0, ge=0.5, le=1000.0)

    def things(self) -> tuple[str, ...]:
        """Return the places."""
        return (self.start, *self.ends)

    def walkers(self) -> tuple[str, ...]:
        """Return who walks."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say what lies near."""
        verb = "lies" if len(self.ends) == 1 else "lie"
        far = words.distance(float(self.within))
        who = "" if self.walker == "person" else f" for {w.name if (w := words.walker(self.walker)) else self.walker}"
        return f"{capital(words.both(self.ends))} {verb} no more than {far} from {words.the(self.start)} on foot{who}."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the ways surely are the same."""
        on, who = was.leaf_date(verdict.year), words.walker(self.walker)
        if who is None or not drawn_way(verdict):
            return False
        found = difference(was.at(on), now.at(on))
        walk = walk_of(found.rest, who, polite=True)
        return all(same_way(found, walk, self.start, end, crossed=True) for end in self.ends)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Walk to each and measure the farthest."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        walk = walk_of(timeline.at(timeline.leaf_date(year)), who, polite=True)
        gone = missing(walk, self.things(), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        ways: list[tuple[float, str, Way]] = []
        for end in self.ends:
            way = walk.way(self.start, end) if walk.reaches(self.start, end) else None
            if way is None:
                why, drawn = why_not(walk, self.start, end, words)
                text = f"There is no way from {words.the(self.start)} to {words.the(end)}: {why}."
                return Verdict(year, State.FAILS, text, evidence=drawn)
            ways.append((way.length_m, end, way))
        return self._measured(walk, ways, year, words)

    def _measured(self, walk: Walk, ways: list[tuple[float, str, Way]], year: int, words: Words) -> Verdict:
        far, end, way = max(ways, key=lambda w: (w[0], w[1]))
        target = float(self.within)
        late = [w for w in ways if w[0] > target + 1e-9]
        took = words.minutes(walking_seconds(walk.scene, walk.walker, way))
        told = apart(far, target, words.distance, words.length) if late else words.distance(far)
        lead = f"{capital(words.the(end))} is {'the farthest, ' if len(ways) > 1 else ''}{told}"
        text = f"{lead}, {took} on foot."
        if len(late) > 1:
            text = text[:-1] + f"; {len(late)} of {len(ways)} lie too far."
        drawn: tuple[Figure, ...] = tuple(way_figure(w) for _, _, w in (late or [(far, end, way)]))
        state = State.FAILS if late else State.HOLDS
        return Verdict(year, state, text, far, target, "m", target - far, evidence=drawn)
