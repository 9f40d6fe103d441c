"""Keeping somebody from a place: deer from young trees, hens in their run; what every such must shares."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from shapely import LineString

from quincunx.intents._base import Words, worst
from quincunx.intents._walking import (
    MOST_TOLD,
    across_figure,
    between_words,
    by_way_of,
    gate_figure,
    missing,
    narrowest_between,
    way_figure,
)
from quincunx.scene import Scene, Timeline
from quincunx.scene.difference import Difference, difference
from quincunx.shapes import Figure, State, Verdict
from quincunx.units import capital
from quincunx.walk.crossings import crossings
from quincunx.walk.places import guarded_by
from quincunx.walk.reach import Walk, left_open, walk_of
from quincunx.walk.untouched import crossed_kept, gates_to_try, keeps_off, way_kept
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import Way

Kept = Literal["kept-shut", "one-left-open"]
"""Every gate shut, or each of them left open in turn."""


OPEN = "nothing stands in the way"
"""What is said where no hole was found to come through, for the whole side is open."""


@dataclass(frozen=True, slots=True)
class Keeping:
    """Who is to be kept from getting from ``start`` to ``end``, and the words for getting there and not.

    ``does`` and ``cant`` follow the subject: ``reaches the pond``, ``can't reach the pond``.
    """

    who: Walker
    start: str
    end: str
    does: str
    cant: str
    gates: Kept = "kept-shut"

    def judged(self, timeline: Timeline, year: int, words: Words, *, winter: bool) -> Verdict:
        """Return the worst of the end of the summer and, if wished and snow lies, of the winter that follows."""
        return worst([self.on(scene, year, words) for scene in scenes(timeline, self.who, year, winter=winter)])

    def on(self, scene: Scene, year: int, words: Words) -> Verdict:
        """Return how it stands on the scene's date."""
        who = self.who
        walk = walk_of(scene, who)
        gone = missing(walk, (self.start, self.end), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        guard = guarded_by(scene, who, self.end)
        if guard is not None:
            text = f"{capital(words.the(guard))} keeps {who.name} off {words.the(self.end)}{snow(scene, who, words)}."
            return Verdict(year, State.HOLDS, text)
        if walk.reaches(self.start, self.end):
            return self._gets_there(walk, year, words)
        open_gates = left_open(walk, self.start, self.end)
        if open_gates and self.gates == "one-left-open":
            return self._gate_open(walk, open_gates, year, words)
        if not who.hedge_holds:
            bare = walk_of(scene, who, grown="let-off")
            if bare.reaches(self.start, self.end):
                return self._only_hedge(walk, bare, year, words)
        text = f"{who.subject} {self.cant}"
        drawn: tuple[Figure, ...] = ()
        if open_gates:
            text += f" as long as {words.both(open_gates)} {'is' if len(open_gates) == 1 else 'are'} kept shut"
            drawn = tuple(f for g in open_gates for f in gate_figure(scene, g))
        if who.digs:
            side = "in" if self.end == "outside" else "out"
            text += f", provided that the foot of what keeps them {side} is buried or turned out"
        return Verdict(year, State.HOLDS, f"{text}{snow(scene, who, words)}.", evidence=drawn)

    def stays(self, found: Difference) -> bool:
        """Return whether surely the same is said of both scenes of a difference.

        Every gate is tried open on the rest of the two: what doesn't let them in there lets them in nowhere, and a way
        that keeps clear of what has moved stays.
        """
        who, rest = self.who, found.rest
        if not keeps_off(found, who, self.start, self.end):
            return False
        if guarded_by(rest, who, self.end) is not None:
            return True
        walk = walk_of(rest, who)
        if walk.reaches(self.start, self.end):
            return self._same_way(found, walk)
        for gate in gates_to_try(found, walk, self.start, self.end):
            if not (self._none_by(found, gate) if gate in found.owners else self._same_gate(found, gate)):
                return False
        bare = walk_of(rest, who, grown="let-off")
        return who.hedge_holds or not bare.reaches(self.start, self.end) or self._same_way(found, bare)

    def _same_way(self, found: Difference, walk: Walk) -> bool:
        """Return whether both scenes surely have the same way, and few enough things on it to tell them all."""
        way = way_kept(found, walk, self.start, self.end)
        if way is None or not crossed_kept(found, way):
            return False
        return 0 < len(crossings(found.was, self.who, way)) <= MOST_TOLD

    def _same_gate(self, found: Difference, gate: str) -> bool:
        """Return whether with a gate left open both scenes surely let somebody through, or neither."""
        walk = walk_of(found.rest, self.who, open_gate=gate)
        if not walk.reaches(self.start, self.end) or way_kept(found, walk, self.start, self.end) is not None:
            return True
        return self.gates == "kept-shut" and len(set(self._by(found, gate))) == 1

    def _none_by(self, found: Difference, gate: str) -> bool:
        """Return whether a gate that has moved, left open, lets nobody in, neither where it was nor where it is now."""
        return not any(self._by(found, gate))

    def _by(self, found: Difference, gate: str) -> Iterator[bool]:
        """Yield whether with a gate left open somebody gets there, as it was and as it is now."""
        for scene in (found.was, found.now):
            yield walk_of(scene, self.who, open_gate=gate).reaches(self.start, self.end)

    def _gets_there(self, walk: Walk, year: int, words: Words) -> Verdict:
        who = self.who
        way = walk.way(self.start, self.end)
        by = "" if way is None else by_way_of(walk, way, words, self.end, self.start)
        drawn: tuple[Figure, ...] = () if way is None else (way_figure(way),)
        measured = None
        if not by:
            by, line, measured = self._gap(walk, words)
            drawn += line
        lead = ": " if by == OPEN else ", "
        text = f"{who.subject} {self.does}{lead + by if by else ''}{snow(walk.scene, who, words)}."
        need = None if measured is None else float(who.body_width)
        margin = None if measured is None or need is None else need - measured
        return Verdict(
            year, State.FAILS, text, measured, need, "none" if measured is None else "m", margin, evidence=drawn
        )

    def _gap(self, walk: Walk, words: Words) -> tuple[str, tuple[Figure, ...], float | None]:
        a, b = walk.place(self.start), walk.place(self.end)
        narrow = None if a is None or b is None else narrowest_between(walk, a, b, 3.0)
        if narrow is None or narrow.width_m is None:
            return OPEN, (), None
        where = between_words(walk.scene, narrow, words)
        line = across_figure(narrow)
        return f"through a gap of {words.length(narrow.width_m)}{where}", (line,) if line else (), narrow.width_m

    def _gate_open(self, walk: Walk, gates: tuple[str, ...], year: int, words: Words) -> Verdict:
        drawn: tuple[Figure, ...] = tuple(f for g in gates for f in gate_figure(walk.scene, g))
        way = walk_of(walk.scene, self.who, open_gate=gates[0]).way(self.start, self.end)
        drawn += (way_figure(way),) if way else ()
        either = " or ".join(words.the(g) for g in gates)
        return Verdict(year, State.FAILS, f"{self.who.subject} {self.does} when {either} is left open.", evidence=drawn)

    def _only_hedge(self, walk: Walk, bare: Walk, year: int, words: Words) -> Verdict:
        who = self.who
        way = bare.way(self.start, self.end)
        hedges = _grown_on(walk, way)
        what = words.both(hedges) if hedges else "something planted"
        stand = "stands" if len(hedges) < 2 else "stand"
        them = "them" if who.many else "it"
        text = f"Only {what} {stand} in the way, which discourages {who.name} but does not hold {them}."
        drawn: tuple[Figure, ...] = () if way is None else (way_figure(way),)
        return Verdict(year, State.UNKNOWN, text, evidence=drawn)


def kept_apart(keeping: Keeping, was: Timeline, now: Timeline, year: int, *, winter: bool) -> bool:
    """Return whether on each date looked at in a year somebody surely is kept off as before."""
    dates = (scenes(t, keeping.who, year, winter=winter) for t in (was, now))
    return all(keeping.stays(difference(old, new)) for old, new in zip(*dates, strict=True))


def scenes(timeline: Timeline, who: Walker, year: int, *, winter: bool) -> Iterator[Scene]:
    """Yield the garden at the end of a summer and, if wished and snow lifts ``who`` then, in the winter that follows."""
    yield timeline.at(timeline.leaf_date(year))
    bare = timeline.bare_date(year)
    if winter and who.snow_lifts and timeline.frame.snow_by_month_m[bare.month - 1] > 0:
        yield timeline.at(bare)


def snow(scene: Scene, who: Walker, words: Words) -> str:
    """Return on how much snow somebody stands, as the end of a sentence; empty where none lies."""
    return f", standing on {words.length(scene.snow_m)} of snow" if who.snow_lifts and scene.snow_m > 0 else ""


def _grown_on(walk: Walk, way: Way | None) -> tuple[str, ...]:
    """Return the planted things a way goes through, by id."""
    if way is None or len(way.points) < 2:
        return ()
    line = LineString(way.points)
    return tuple(dict.fromkeys(b.owner for b in walk.free.found if b.grown and b.shape.intersects(line)))
