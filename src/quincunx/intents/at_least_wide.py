"""A way is at least so wide all along."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Words
from quincunx.intents._between import Between
from quincunx.intents._walking import across_figure, between_words, missing, narrowest_between, why_not
from quincunx.intents._widest import narrowest_kept
from quincunx.scene import Scene, Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Length, length
from quincunx.units.sides import apart
from quincunx.walk.reach import walk_of
from quincunx.walk.widths import Narrowest

LOOK_M = 3.0
"""A way is not measured beyond this width unless more is asked for [m]."""
HAIR_M = 1e-4
"""A way that lacks no more than this is wide enough [m]."""


class AtLeastWide(Between):
    """There is a way between two places that is nowhere narrower than a width."""

    words: ClassVar[str] = "at least this wide"
    about: ClassVar[str] = (
        "The widest way between two places is nowhere narrower than the width given, gates and grown plants included."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "wide-walk", "start": "kitchen-door", "end": "seat", "width": 1.2}

    kind: Literal["at-least-wide"] = "at-least-wide"
    width: Length = length("At least so wide", 1.2, ge=0.1, le=10.0)

    def sentence(self, words: Words) -> str:
        """Say how wide the way is to be."""
        start, end = words.the(self.start), words.the(self.end)
        return f"The way from {start} to {end} is at least {words.length(float(self.width))} wide."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the widest way surely is as narrow as it was, at the same place."""
        on, who = was.leaf_date(verdict.year), words.walker(self.walker)
        if who is None or verdict.state is State.UNKNOWN:
            return False
        found = difference(was.at(on), now.at(on))
        return narrowest_kept(found, walk_of(found.rest, who, polite=True), self.start, self.end, self._look_m())

    def _look_m(self) -> float:
        return max(LOOK_M, 1.5 * float(self.width))

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Find the widest way and its narrowest place."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        walk = walk_of(timeline.at(timeline.leaf_date(year)), who, polite=True)
        gone = missing(walk, self.things(), words)
        start, end = walk.place(self.start), walk.place(self.end)
        if gone or start is None or end is None:
            return Verdict(year, State.UNKNOWN, gone or "One of the places does not stand then.")
        look = self._look_m()
        narrow = narrowest_between(walk, start, end, look)
        if narrow is None:
            why, drawn = why_not(walk, self.start, self.end, words)
            text = f"There is no way from {words.the(self.start)} to {words.the(self.end)}: {why}."
            return Verdict(year, State.FAILS, text, 0.0, float(self.width), "m", -float(self.width), evidence=drawn)
        return self._measured(walk.scene, year, narrow, look, words)

    def _measured(self, scene: Scene, year: int, narrow: Narrowest, look: float, words: Words) -> Verdict:
        target = float(self.width)
        if narrow.width_m is None:
            text = f"The way is nowhere narrower than {words.length(look)}."
            return Verdict(year, State.HOLDS, text, look, target, "m", look - target)
        where = between_words(scene, narrow, words)
        state = State.HOLDS if narrow.width_m >= target - HAIR_M else State.FAILS
        ways = (words.length,) if state is State.HOLDS else (words.length, words.tape)
        text = capital(f"the narrowest place is {apart(narrow.width_m, target, *ways)}{where}.")
        figure = across_figure(narrow)
        drawn = (figure,) if figure else ()
        return Verdict(year, state, text, narrow.width_m, target, "m", narrow.width_m - target, evidence=drawn)
