"""What the musts share that look at what lies beside the shortest way between two places."""

from __future__ import annotations

from abc import abstractmethod

from quincunx.intents._base import Words
from quincunx.intents._between import Between
from quincunx.intents._walking import drawn_way, missing, why_not
from quincunx.scene import Timeline
from quincunx.scene.difference import Difference, difference
from quincunx.shapes import State, Verdict
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.untouched import way_kept
from quincunx.walk.ways import Way


class Along(Between):
    """A must about what stands along somebody's shortest way from one place to another."""

    @abstractmethod
    def along(self, walk: Walk, way: Way, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Judge what stands along the way that was found."""

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Find the way and look along it."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        walk = walk_of(timeline.at(timeline.leaf_date(year)), who, polite=True)
        gone = missing(walk, self.things(), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        way = walk.way(self.start, self.end) if walk.reaches(self.start, self.end) else None
        if way is None:
            why, drawn = why_not(walk, self.start, self.end, words)
            text = f"There is no way from {words.the(self.start)} to {words.the(self.end)}: {why}."
            return Verdict(year, State.FAILS, text, evidence=drawn)
        return self.along(walk, way, timeline, year, words)

    def way_stays(
        self, verdict: Verdict, was: Timeline, now: Timeline, words: Words
    ) -> tuple[Difference, Way] | tuple[None, None]:
        """Return what differs between two gardens and the way, if that surely is the same in both."""
        on, who = was.leaf_date(verdict.year), words.walker(self.walker)
        if who is None or not drawn_way(verdict):
            return None, None
        found = difference(was.at(on), now.at(on))
        way = way_kept(found, walk_of(found.rest, who, polite=True), self.start, self.end)
        return (None, None) if way is None else (found, way)
