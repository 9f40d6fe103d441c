"""The path goes where people walk: nobody has reason to cut the corner."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Words
from quincunx.intents._between import Between
from quincunx.intents._walking import drawn_way, missing, same_way, way_figure, why_not
from quincunx.scene import Scene, Timeline
from quincunx.scene._kept import Kept
from quincunx.scene.difference import difference
from quincunx.shapes import Figure, PathFigure, State, Verdict, united
from quincunx.units import capital
from quincunx.units.fields import Slug, field
from quincunx.walk.eased import UNMADE
from quincunx.walk.going import going, is_made
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.untouched import CLEAR_M, line_of
from quincunx.walk.ways import Way, way_within

NEAR_M = 2.0
"""The first and last steps, from a door to its path, may be on any ground [m]."""


class KeepsToPath(Between):
    """The made way between two places is so direct that people keep to it."""

    words: ClassVar[str] = "the path is kept to"
    about: ClassVar[str] = (
        "On made ground it is no more than a quarter farther between two places than straight across what may be walked "
        "on: else people cut the corner and tread a line. The first and last two metres may lie on any ground."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "path-to-compost", "start": "kitchen-door", "end": "compost"}

    kind: Literal["keeps-to-path"] = "keeps-to-path"
    walker: Slug = field("Who walks", "person")

    def sentence(self, words: Words) -> str:
        """Say between what the path is kept to."""
        who = words.walker(self.walker)
        subject = "People" if self.walker == "person" or who is None else who.subject
        keep = "keep" if self.walker == "person" or who is None else who.says("keeps", "keep")
        return f"{subject} {keep} to the path from {words.the(self.start)} to {words.the(self.end)}."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the shortest way and the way by the path surely are the same."""
        on, who = was.leaf_date(verdict.year), words.walker(self.walker)
        if who is None or not drawn_way(verdict):
            return False
        found = difference(was.at(on), now.at(on))
        walk = walk_of(found.rest, who, polite=True)
        if not same_way(found, walk, self.start, self.end, crossed=True):
            return False
        made = _MADE.get((walk,), (self.start, self.end), lambda: _made_way(walk, self.start, self.end))
        # Where the rest has no path all along, neither scene has one: more stands in the way there.
        return made is None or found.apart(line_of(made), float(who.body_width) / 2 + CLEAR_M)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Measure the way on made ground against the shortest way of all."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        scene = timeline.at(timeline.leaf_date(year))
        walk = walk_of(scene, who, polite=True)
        gone = missing(walk, self.things(), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        start, end = words.the(self.start), words.the(self.end)
        straight = walk.way(self.start, self.end) if walk.reaches(self.start, self.end) else None
        if straight is None:
            why, drawn = why_not(walk, self.start, self.end, words)
            return Verdict(year, State.FAILS, f"There is no way from {start} to {end}: {why}.", evidence=drawn)
        if all(s.made for s in going(scene, straight).stretches):
            return Verdict(
                year, State.HOLDS, f"The shortest way, {words.distance(straight.length_m)}, is a path all along.", 1.0,
                UNMADE, "ratio", UNMADE - 1.0, evidence=(way_figure(straight),),
            )  # fmt: skip
        made = _made_way(walk, self.start, self.end)
        if made is None:
            off = words.distance(going(scene, straight).soft_m)
            text = f"No path leads from {start} to {end}; {off} of the way are on ground that is not made."
            return Verdict(year, State.FAILS, text, evidence=(way_figure(straight),))
        return self._measured(year, made, straight, words)

    def _measured(self, year: int, made: Way, straight: Way, words: Words) -> Verdict:
        share = made.length_m / max(straight.length_m, 1e-9)
        lead = f"{words.distance(made.length_m)} by the path and {words.distance(straight.length_m)} straight across"
        holds = share <= UNMADE + 1e-9
        end = "near enough to keep to it" if holds else "a corner people will cut"
        drawn: tuple[Figure, ...] = (way_figure(straight), PathFigure(made.points, "way", weight="normal", dash=True))
        state = State.HOLDS if holds else State.FAILS
        return Verdict(year, state, capital(f"{lead}: {end}."), share, UNMADE, "ratio", UNMADE - share, evidence=drawn)


def _made_way(walk: Walk, start: str, end: str) -> Way | None:
    """Return the shortest way that keeps to made ground, but for its first and last steps; None if there is none."""
    scene: Scene = walk.scene
    a, b = walk.place(start), walk.place(end)
    if a is None or b is None:
        return None
    floors = [s.area for s in scene.surfaces if is_made(s)]
    ends = [p.shape.buffer(NEAR_M) for p in (a, b)]
    made = united([*floors, *ends])
    # Half the body's width beside the floor is still on the path; what the body can't turn into is not.
    within = made.buffer(walk.walker.radius_m).buffer(-walk.walker.radius_m)
    return way_within(walk.free, walk.walker, a, b, within)


_MADE: Kept[Way | None] = Kept(64)
