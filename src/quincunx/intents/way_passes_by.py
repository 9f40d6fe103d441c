"""The shortest way between two places comes by a third."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString, Point, shortest_line as line_between

from quincunx.intents._base import Intent, Words
from quincunx.intents._walking import missing, same_way, way_figure, why_not
from quincunx.scene import Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import DimensionFigure, Figure, State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Length, Slug, field, length
from quincunx.walk.places import Place
from quincunx.walk.reach import walk_of
from quincunx.walk.ways import Way


class WayPassesBy(Intent):
    """Whoever takes the shortest way from one place to another comes by a third."""

    words: ClassVar[str] = "the way comes by"
    about: ClassVar[str] = (
        "The shortest way from one place to another comes within a distance of a third: a seat, a view, the herbs."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {
        "id": "by-the-herbs",
        "start": "kitchen-door",
        "end": "compost",
        "by": "herb-bed",
        "within": 1.5,
    }

    kind: Literal["way-passes-by"] = "way-passes-by"
    walker: Slug = field("Who", "person")
    start: Slug = field("From")
    end: Slug = field("To")
    by: Slug = field("Comes by")
    within: Length = length("As near as", 1.5, ge=0.05, le=50.0)

    def things(self) -> tuple[str, ...]:
        """Return the three places."""
        return (self.start, self.end, self.by)

    def walkers(self) -> tuple[str, ...]:
        """Return who walks."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say which way comes by what."""
        near = words.length(float(self.within))
        start, end, by = (words.the(r) for r in (self.start, self.end, self.by))
        return f"The way from {start} to {end} comes within {near} of {by}."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the way surely is the same, and what it is to come by."""
        on, who = was.leaf_date(verdict.year), words.walker(self.walker)
        if who is None or verdict.measured is None:
            return False
        found = difference(was.at(on), now.at(on))
        walk = walk_of(found.rest, who, polite=True)
        return self.by not in found.owners and same_way(found, walk, self.start, self.end)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Find the way and measure how near it comes."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        walk = walk_of(timeline.at(timeline.leaf_date(year)), who, polite=True)
        gone = missing(walk, self.things(), words)
        by, way = walk.place(self.by), None if gone else walk.way(self.start, self.end)
        if gone or by is None:
            return Verdict(year, State.UNKNOWN, gone or f"{capital(words.the(self.by))} does not stand then.")
        if way is None:
            why, drawn = why_not(walk, self.start, self.end, words)
            return Verdict(
                year,
                State.FAILS,
                f"There is no way from {words.the(self.start)} to {words.the(self.end)}: {why}.",
                evidence=drawn,
            )
        apart, figure = _nearest(way, by)
        holds = apart <= float(self.within) + 1e-9
        text = f"The way of {words.distance(way.length_m)} comes {'within' if apart > 0 else 'right up to'} "
        text += f"{words.length(apart)} of {words.the(self.by)}." if apart > 0 else f"{words.the(self.by)}."
        state = State.HOLDS if holds else State.FAILS
        margin = float(self.within) - apart
        return Verdict(year, state, text, apart, float(self.within), "m", margin, evidence=(way_figure(way), *figure))


def _nearest(way: Way, place: Place) -> tuple[float, tuple[Figure, ...]]:
    line = LineString(way.points) if len(way.points) > 1 else Point(way.points[0])
    across = line_between(line, place.shape)
    apart = float(across.length)
    if apart < 1e-6:
        return 0.0, ()
    (ax, ay), (bx, by) = across.coords
    return apart, (DimensionFigure((ax, ay), (bx, by), apart, "evidence"),)
