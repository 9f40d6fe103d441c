"""A way without a step, nowhere steeper than a slope."""

from __future__ import annotations

from functools import lru_cache
from typing import ClassVar, Literal

from quincunx.intents._base import Words
from quincunx.intents._between import Between
from quincunx.intents._walking import by_way_of, missing, same_way, steep_figures, way_figure, why_not
from quincunx.scene import Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import State, Verdict
from quincunx.site.codes import held
from quincunx.site.country import country_of
from quincunx.units import capital
from quincunx.units.fields import field
from quincunx.walk.going import going
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.walkers import Walker

STEP_M = 0.013
"""What is no higher is no step: half an inch, bevelled (2010 ADA Standards 303.3; from memory) [m]."""

HAIR = 1e-3
"""Slopes nearer than this are one, so that who climbs nothing steeper anyway stays the same walker."""


class StepFree(Between):
    """There is a way between two places without a step and nowhere steeper than a slope."""

    words: ClassVar[str] = "a way without steps"
    about: ClassVar[str] = (
        "There is a way without a step, nowhere steeper than the slope given; ramps and the lie of the ground count."
        " What your country asks of ramps, their landings and their width too, the must “fit for wheels” looks at."
    )
    eases: ClassVar[bool] = True
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "no-steps-to-seat", "start": "kitchen-door", "end": "seat", "run": 12}
    begins: ClassVar = {"walker": "wheelchair"}
    """For whom it is offered first; a must that names nobody stays a person's."""

    kind: Literal["step-free"] = "step-free"
    run: float = field("No steeper than 1 in", 12.0, ge=2, le=100)

    def sentence(self, words: Words) -> str:
        """Say between what no step lies."""
        start, end = words.the(self.start), words.the(self.end)
        who = "" if self.walker == "person" else f" for {w.name if (w := words.walker(self.walker)) else self.walker}"
        return f"There is a way from {start} to {end}{who} without a step, no steeper than 1 in {self.run:g}."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the way without a step surely is the same."""
        on, who = was.leaf_date(verdict.year), words.walker(self.walker)
        if who is None or verdict.state is not State.HOLDS:
            return False
        found = difference(was.at(on), now.at(on))
        walk = walk_of(found.rest, _rolling(who, 1 / self.run), polite=True)
        return same_way(found, walk, self.start, self.end, crossed=True)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look for a way that no step and no steeper slope bars."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        scene = timeline.at(timeline.leaf_date(year))
        walk = walk_of(scene, _rolling(who, 1 / self.run), polite=True)
        gone = missing(walk, self.things(), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        way = walk.way(self.start, self.end) if walk.reaches(self.start, self.end) else None
        if way is None:
            return self._barred(walk_of(scene, who, polite=True), walk, year, words)
        steep = going(scene, way).steepest
        slope = 0.0 if steep is None else steep.grade
        by = by_way_of(walk, way, words, self.end)
        text = f"{words.distance(way.length_m)} without a step{', ' + by if by else ''}, at its steepest "
        text = capital(text + f"{words.slope(slope)}.") + self._by_code(timeline, slope, words)
        return Verdict(
            year, State.HOLDS, text, slope, 1 / self.run, "slope", 1 / self.run - slope, evidence=(way_figure(way),)
        )

    def _by_code(self, timeline: Timeline, slope: float, words: Words) -> str:
        """Say where the code of the garden's country asks for gentler ramps than the way has, whatever slope the must names."""
        code = held(country_of(timeline.frame.place, words.style.currency), "ramp")
        grades = [value for name, value in code.figures.items() if name.startswith("g")]
        if self.walker == "person" or not grades or slope <= max(grades) + HAIR:
            return ""
        return f" By {code.cited()} a ramp for wheels is no steeper than {words.slope(max(grades))}."

    def _barred(self, any_way: Walk, walk: Walk, year: int, words: Words) -> Verdict:
        """Say what stands in the way: the step or slope of the way there is, or what bars everybody."""
        start, end = words.the(self.start), words.the(self.end)
        way = any_way.way(self.start, self.end) if any_way.reaches(self.start, self.end) else None
        if way is None:
            why, drawn = why_not(any_way, self.start, self.end, words)
            return Verdict(year, State.FAILS, f"There is no way at all from {start} to {end}: {why}.", evidence=drawn)
        under = going(any_way.scene, way)
        steep = under.steepest
        if under.steps:
            flight = next(s for s in under.stretches if s.steps)
            owner = words.the(flight.owner) if flight.owner else "the ground"
            some = "1 step" if under.steps == 1 else f"{under.steps} steps"
            text = f"The way from {start} to {end} has {some}, at {owner}."
            return Verdict(year, State.FAILS, text, evidence=(way_figure(way), *steep_figures(flight)))
        if steep is not None and steep.grade > 1 / self.run + 1e-6:
            where = f" on {words.the(steep.owner)}" if steep.owner else ""
            text = f"The shortest way from {start} to {end} is as steep as {words.slope(steep.grade)}{where}, "
            text += "and no other is gentler all along."
            drawn = (way_figure(way), *steep_figures(steep))
            margin = 1 / self.run - steep.grade
            return Verdict(year, State.FAILS, text, steep.grade, 1 / self.run, "slope", margin, evidence=drawn)
        for ref in (self.start, self.end):
            if not walk.pieces_at(ref):
                text = f"The ground at {words.the(ref)} is steeper than 1 in {self.run:g}."
                return Verdict(year, State.FAILS, text, evidence=(way_figure(way),))
        why, drawn_why = why_not(walk, self.start, self.end, words)
        text = f"There is no way without a step from {start} to {end}: {why}."
        return Verdict(year, State.FAILS, text, evidence=(way_figure(way), *drawn_why))


@lru_cache(maxsize=64)
def _rolling(who: Walker, steepest: float) -> Walker:
    """Return a walker who takes no step and climbs nothing steeper."""
    step = min(float(who.step_up), STEP_M)
    return who.changed(
        step_up=step, over=step, steepest=who.steepest if who.steepest < steepest + HAIR else steepest + 1e-6
    )
