"""A walker gets from one place to another."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Words
from quincunx.intents._between import Between
from quincunx.intents._walking import by_way_of, drawn_way, missing, same_reason, same_way, way_figure, why_not
from quincunx.scene import Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Length, Slug, field, length
from quincunx.units.sides import apart
from quincunx.walk.reach import walk_of


class Reaches(Between):
    """Somebody can get from one place to another, if wished within a distance."""

    words: ClassVar[str] = "can get there"
    about: ClassVar[str] = "Somebody gets from one place to another, keeping off plants, through gates they can open."
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "barrow-to-compost", "walker": "barrow", "start": "road", "end": "compost"}

    kind: Literal["reaches"] = "reaches"
    walker: Slug = field("Who", "person")
    within: Length | None = length("No farther than", None, ge=0.1, le=1000.0)

    def sentence(self, words: Words) -> str:
        """Say who gets where."""
        who = words.walker(self.walker)
        subject = capital(who.name) if who else self.walker
        verb = who.says("gets", "get") if who else "gets"
        far = f" in no more than {words.distance(float(self.within))}" if self.within is not None else ""
        return f"{subject} {verb} from {words.the(self.start)} to {words.the(self.end)}{far}."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the way surely is the same, or why there is none."""
        on, who = was.leaf_date(verdict.year), words.walker(self.walker)
        if who is None or verdict.state is State.UNKNOWN:
            return False
        found = difference(was.at(on), now.at(on))
        walk = walk_of(found.rest, who, polite=True)
        if drawn_way(verdict):
            return same_way(found, walk, self.start, self.end, crossed=True)
        return verdict.state is State.FAILS and same_reason(found, walk, self.start, self.end)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look for the way at the end of the summer."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        walk = walk_of(timeline.at(timeline.leaf_date(year)), who, polite=True)
        gone = missing(walk, self.things(), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        if not walk.reaches(self.start, self.end):
            why, drawn = why_not(walk, self.start, self.end, words)
            lead = f"{who.subject} {who.says('does', 'do')} not get from {words.the(self.start)} to"
            text = f"{lead} {words.the(self.end)}: {why}."
            return Verdict(year, State.FAILS, text, evidence=drawn)
        way = walk.way(self.start, self.end)
        if way is None:
            return Verdict(year, State.HOLDS, f"{who.subject} {who.says('gets', 'get')} there.")
        target = None if self.within is None else float(self.within)
        far = target is not None and way.length_m > target
        by = by_way_of(walk, way, words, self.end)
        told = words.distance(way.length_m)
        if far and target is not None:
            told = apart(way.length_m, target, words.distance, words.length)
        text = f"{who.subject} {who.says('walks', 'walk')} {told}" + (f", {by}." if by else ".")
        if far:
            text = text[:-1] + f"; no more than {words.distance(target or 0.0)} was wanted."
        margin = None if target is None else target - way.length_m
        return Verdict(
            year,
            State.FAILS if far else State.HOLDS,
            text,
            way.length_m,
            target,
            "m",
            margin,
            evidence=(way_figure(way),),
        )
