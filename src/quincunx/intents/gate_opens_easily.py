"""Somebody opens a gate alone, from a chair or with one hand: its width, its step, and the room and ground before it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from shapely import Polygon

from quincunx.intents._base import Intent, Words
from quincunx.intents._walking import missing
from quincunx.scene import Timeline
from quincunx.shapes import AreaFigure, DimensionFigure, Figure, Opening, State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Length, Slug, field, length
from quincunx.walk.gate_room import LATCH_M, PULL_M, PUSH_M, Before, before
from quincunx.walk.reach import walk_of
from quincunx.walk.walkers import Walker

INCH_M = 0.0254
WIDE_M = 32 * INCH_M
"""Clear width of a gate: 32 in, 2010 ADA Standards 404.2.3 (read) [m]."""
STEP_M = 0.013
"""A threshold no higher than half an inch: 404.2.5 (from memory) [m]."""
HAIR_M = 1e-3


class GateOpensEasily(Intent):
    """A gate can be opened by somebody alone from a chair or with one hand, as far as the plan knows."""

    words: ClassVar[str] = "a gate one opens alone"
    about: ClassVar[str] = (
        "The gate is 32 in (81 cm) clear or more (2010 ADA Standards 404.2.3), no key and no step over half an inch (404.2.5, from "
        "memory); before it is firm ground no steeper than 1 in 48 (404.2.4.4, from memory), free for 48 in (1.22 m) on the side "
        "where it is pushed and for 60 in (1.52 m) and 18 in (46 cm) beside the latch where it is pulled (404.2.4.1). Where a spring "
        "shuts a gate that latches, 12 in (30 cm) beside the latch are wanted on the pushed side too (its note, from memory): that "
        "isn't looked at. The plan doesn't know to which side it swings: one side has to have room to pull. Latch and spring it "
        "doesn't know either: they are asked on the page Take care. A yardstick from the United States, not your law."
    )
    eases: ClassVar[bool] = True
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "gate-by-hand", "gate": "side-gate"}

    kind: Literal["gate-opens-easily"] = "gate-opens-easily"
    walker: Slug = field("For whom", "wheelchair")
    gate: Slug = field("Gate")
    width: Length = length("At least so wide", WIDE_M, ge=0.4, le=4.0)
    run: float = field("Before it no steeper than 1 in", 48.0, ge=8, le=200)

    def things(self) -> tuple[str, ...]:
        """Return the gate."""
        return (self.gate,)

    def walkers(self) -> tuple[str, ...]:
        """Return who opens it."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say which gate is easy to open."""
        who = words.walker(self.walker)
        wide = words.length(float(self.width))
        easy = f"is easy to open alone for {who.name if who else self.walker}"
        return capital(f"{words.the(self.gate)} {easy}: {wide} wide, with firm, level room before it.")

    def asks(self, words: Words) -> tuple[str, ...]:
        """Return what of the latch has to be looked at."""
        low, high = words.length(34 * INCH_M), words.length(48 * INCH_M)
        hand = f"Does one hand, a closed fist even, work the latch of {words.the(self.gate)} from both sides, {low} to {high} above"
        return (f"{hand} the ground (ADA 404.2.7)? Does the leaf stay open by itself, and swing without a hard push?",)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Measure the gate and look at the ground on both sides."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        walk = walk_of(timeline.at(timeline.leaf_date(year)), who, polite=True)
        gone = missing(walk, self.things(), words)
        gate = next((o for o in walk.scene.openings if o.owner == self.gate), None)
        if gate is None:
            return Verdict(year, State.UNKNOWN, gone or capital(f"{words.the(self.gate)} is no opening."))
        sides = (before(walk, gate, 1, 1 / self.run), before(walk, gate, -1, 1 / self.run))
        told = (*self._itself(gate, who, words), *self._ground(sides, words), *_room(sides, gate, words))
        figures = tuple(_figures(gate, sides))
        wide, asked = gate.width_m, float(self.width)
        if told:
            text = capital("; ".join(told) + ".")
            if wide >= asked - HAIR_M:  # its width is not what fails: no figure beside the mark
                return Verdict(year, State.FAILS, text, evidence=figures)
            return Verdict(year, State.FAILS, text, wide, asked, "m", wide - asked, evidence=figures)
        text = f"{words.length(wide)} clear, with firm, level room on both sides. Latch and spring: look yourself."
        return Verdict(year, State.HOLDS, capital(text), wide, asked, "m", wide - asked, evidence=figures)

    def _itself(self, gate: Opening, who: Walker, words: Words) -> Iterator[str]:
        """Yield what of the gate itself is hard."""
        if gate.width_m < float(self.width) - HAIR_M:
            yield f"it is {words.length(gate.width_m)} clear, and {words.length(float(self.width))} is asked for"
        if gate.step_m > STEP_M + HAIR_M:
            # 1 in 12: 2010 ADA Standards 405.2.
            yield f"there is a step of {words.tape(gate.step_m)} at it: put a slope of 1 in 12 or less in its place"
        if not who.opens_latch(gate.latch):
            yield "it is shut for good" if gate.latch == "shut" else "it wants a key"

    def _ground(self, sides: tuple[Before, Before], words: Words) -> Iterator[str]:
        """Yield what the ground before the gate lacks."""
        steep = max(sides, key=lambda s: s.grade)
        if any(s.floor == "slope" for s in sides):
            yield f"the ground before it is as steep as {words.slope(steep.grade)}, and 1 in {self.run:g} is the most: level it"
        soft = sum(s.floor == "soft" for s in sides)
        if soft:
            yield f"on {'both sides' if soft == 2 else 'one side'} the ground is not firm all the year: lay a floor there"


def _room(sides: tuple[Before, Before], gate: Opening, words: Words) -> Iterator[str]:
    """Yield what takes the room to push on one side, and to pull on both."""
    for side in sides:
        if side.in_push:
            yield f"{words.both(side.in_push[:2])} {_stand(side.in_push)} within {words.length(PUSH_M)} before it"
    if all(s.in_pull for s in sides) and not any(s.in_push for s in sides):
        what = words.both(sides[0].in_pull[:1])
        beside = f" and {words.length(LATCH_M)} beside the latch" if gate.hinge else ""
        yield f"on neither side is there room to pull it, {words.length(PULL_M)} deep{beside}: {what} {_stand(sides[0].in_pull[:1])} there"


def _stand(some: tuple[str, ...]) -> str:
    return "stands" if len(some) == 1 else "stand"


def _figures(gate: Opening, sides: tuple[Before, Before]) -> Iterator[Figure]:
    """Yield the clear width measured, and the room before the gate: hatched where something is in it."""
    (ax, ay), (bx, by) = gate.clear.coords[0], gate.clear.coords[-1]
    yield DimensionFigure((ax, ay), (bx, by), gate.width_m, "evidence", gate.owner)
    best = min(sides, key=lambda s: len(s.in_pull))
    for side in sides:
        shape, taken = (side.pull, side.in_pull) if side is best else (side.push, side.in_push)
        yield _area(shape, hatched=bool(taken or side.floor))


def _area(shape: Polygon, *, hatched: bool) -> AreaFigure:
    ring = tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])
    return AreaFigure((ring,), "evidence", "", "hatch") if hatched else AreaFigure((ring,), "evidence")
