"""A walker can't reach a place: deer and young trees, a toddler and the pond."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words, capital, worst
from quincunx.intents._walking import (
    across_figure,
    between_words,
    by_way_of,
    gate_figure,
    missing,
    narrowest_between,
    way_figure,
)
from quincunx.scene import Scene, Timeline
from quincunx.shapes import Figure, State, Verdict
from quincunx.units.fields import Slug, field
from quincunx.walk.places import OUTSIDE, guarded_by
from quincunx.walk.reach import Walk, left_open, walk_of
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import Way

Kept = Literal["kept-shut", "one-left-open"]


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

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Try at the end of the summer and, if wished and snow lies, in the winter that follows."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        scenes = [timeline.at(timeline.leaf_date(year))]
        if self.winter and who.snow_lifts:
            bare = timeline.bare_date(year)
            if timeline.frame.snow_by_month_m[bare.month - 1] > 0:
                scenes.append(timeline.at(bare))
        return worst([self._on(scene, who, year, words) for scene in scenes])

    def _on(self, scene: Scene, who: Walker, year: int, words: Words) -> Verdict:
        walk = walk_of(scene, who)
        gone = missing(walk, (self.start, self.end), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        guard = guarded_by(scene, who, self.end)
        if guard is not None:
            text = f"{capital(words.the(guard))} keeps {who.name} off {words.the(self.end)}{_snow(scene, who, words)}."
            return Verdict(year, State.HOLDS, text)
        if walk.reaches(self.start, self.end):
            return self._gets_in(walk, year, words)
        open_gates = left_open(walk, self.start, self.end)
        if open_gates and self.gates == "one-left-open":
            return self._gate_open(walk, open_gates, year, words)
        if not who.hedge_holds:
            bare = walk_of(scene, who, grown="let-off")
            if bare.reaches(self.start, self.end):
                return self._only_hedge(walk, bare, year, words)
        end = words.the(self.end)
        text = f"{who.subject} can't reach {end}"
        drawn: tuple[Figure, ...] = ()
        if open_gates:
            text += f" as long as {words.both(open_gates)} {'is' if len(open_gates) == 1 else 'are'} kept shut"
            drawn = tuple(f for g in open_gates for f in gate_figure(scene, g))
        if who.digs:
            text += ", provided that the foot of what keeps them out is buried or turned out"
        return Verdict(year, State.HOLDS, f"{text}{_snow(scene, who, words)}.", evidence=drawn)

    def _gets_in(self, walk: Walk, year: int, words: Words) -> Verdict:
        who, end = walk.walker, words.the(self.end)
        way = walk.way(self.start, self.end)
        by = "" if way is None else by_way_of(walk, way, words, self.end)
        drawn: tuple[Figure, ...] = () if way is None else (way_figure(way),)
        measured = None
        if not by:
            by, line, measured = self._gap(walk, words)
            drawn += line
        lead = f"{who.subject} {who.says('reaches', 'reach')} {end}"
        text = f"{lead}{', ' + by if by else ''}{_snow(walk.scene, who, words)}."
        need = None if measured is None else float(who.body_width)
        margin = None if measured is None or need is None else need - measured
        return Verdict(
            year, State.FAILS, text, measured, need, "none" if measured is None else "m", margin, evidence=drawn
        )

    def _gap(self, walk: Walk, words: Words) -> tuple[str, tuple[Figure, ...], float | None]:
        a, b = walk.place(self.start), walk.place(self.end)
        narrow = None if a is None or b is None else narrowest_between(walk, a, b, 3.0)
        if narrow is None or narrow.width_m is None:
            return "nothing stands in the way", (), None
        where = between_words(walk.scene, narrow, words)
        line = across_figure(narrow)
        return f"through a gap of {words.length(narrow.width_m)}{where}", (line,) if line else (), narrow.width_m

    def _gate_open(self, walk: Walk, gates: tuple[str, ...], year: int, words: Words) -> Verdict:
        who = walk.walker
        drawn: tuple[Figure, ...] = tuple(f for g in gates for f in gate_figure(walk.scene, g))
        way = walk_of(walk.scene, who, open_gate=gates[0]).way(self.start, self.end)
        drawn += (way_figure(way),) if way else ()
        lead = f"{who.subject} {who.says('reaches', 'reach')} {words.the(self.end)}"
        text = f"{lead} when {_either(gates, words)} is left open."
        return Verdict(year, State.FAILS, text, evidence=drawn)

    def _only_hedge(self, walk: Walk, bare: Walk, year: int, words: Words) -> Verdict:
        who = walk.walker
        way = bare.way(self.start, self.end)
        hedges = _grown_on(walk, way)
        what = words.both(hedges) if hedges else "something planted"
        stand = "stands" if len(hedges) < 2 else "stand"
        text = f"Only {what} {stand} in the way, which discourages {who.name} but does not hold {_them(who)}."
        drawn: tuple[Figure, ...] = () if way is None else (way_figure(way),)
        return Verdict(year, State.UNKNOWN, text, evidence=drawn)


def _them(who: Walker) -> str:
    return "them" if who.many else "it"


def _either(gates: tuple[str, ...], words: Words) -> str:
    return " or ".join(words.the(g) for g in gates)


def _snow(scene: Scene, who: Walker, words: Words) -> str:
    return f", standing on {words.length(scene.snow_m)} of snow" if who.snow_lifts and scene.snow_m > 0 else ""


def _grown_on(walk: Walk, way: Way | None) -> tuple[str, ...]:
    """Return the planted things a way goes through, by id."""
    if way is None or len(way.points) < 2:
        return ()
    from shapely import LineString

    line = LineString(way.points)
    return tuple(dict.fromkeys(b.owner for b in walk.free.found if b.grown and b.shape.intersects(line)))
