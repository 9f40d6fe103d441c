"""A room has one way in."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import LineString, Point

from quincunx.intents._base import Intent, Words
from quincunx.intents._walking import by_way_of, gate_figure, leak_figures, leak_words, missing, way_figure, why_not
from quincunx.scene import Scene, Timeline
from quincunx.scene._kept import Kept
from quincunx.scene.difference import difference
from quincunx.shapes import Figure, State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Slug, field
from quincunx.walk.ground import ground_of
from quincunx.walk.places import OUTSIDE, Place
from quincunx.walk.reach import Walk, sides_at, walk_of
from quincunx.walk.rooms import leaks, rooms_of
from quincunx.walk.untouched import CLEAR_M, keeps_off
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import shortest_way

LOCAL_M = 1.0
"""So far round a gate it is looked at by itself [m]."""
HAIR_M = 1e-6


class OnlyWayIn(Intent):
    """The only way into a room is one gate or opening."""

    words: ClassVar[str] = "only way in"
    about: ClassVar[str] = "With that gate shut nothing else leads into the room; with it open, it can be entered."
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "green-by-side-gate", "room": "green", "gate": "side-gate"}

    kind: Literal["only-way-in"] = "only-way-in"
    walker: Slug = field("For whom", "person")
    room: Slug = field("Room")
    gate: Slug = field("Gate or opening")

    def things(self) -> tuple[str, ...]:
        """Return the room and the gate."""
        return (self.room, self.gate)

    def walkers(self) -> tuple[str, ...]:
        """Return for whom it is judged."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say which way is the only one."""
        who = "" if self.walker == "person" else f" for {w.name if (w := words.walker(self.walker)) else self.walker}"
        return f"The only way into {words.the(self.room)}{who} is {words.the(self.gate)}."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the gate surely is the only way in as it was.

        What is parted on the ground on which only what stands in both is in the way is parted in both; and the way from
        the room to the gate must keep clear of all that differs.
        """
        on, who = was.leaf_date(verdict.year), words.walker(self.walker)
        if who is None or verdict.state is not State.HOLDS:
            return False
        found = difference(was.at(on), now.at(on))
        if not keeps_off(found, who, self.room, self.gate):
            return False
        line = _LINES.get((found.rest, who), (self.room, self.gate), lambda: _only_line(found.rest, who, self))
        far = float(who.body_width) + CLEAR_M
        return line is not None and found.apart(line, far) and found.apart(Point(line.coords[-1]), 2 * LOCAL_M + far)

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Shut the gate and see what the room still meets."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        scene = timeline.at(timeline.leaf_date(year))
        opening = next((o for o in scene.openings if o.owner == self.gate), None)
        room = scene.room(self.room)
        shut = walk_of(scene, who, shut=frozenset({self.gate}))
        gone = missing(shut, self.things(), words)
        if gone or opening is None or room is None:
            return Verdict(
                year,
                State.UNKNOWN,
                gone or f"{words.the(self.gate)} is no opening in a wall, or {words.the(self.room)} no room.",
            )
        mine = shut.pieces_at(self.room)
        if not mine:
            return Verdict(
                year, State.UNKNOWN, f"Nobody can stand in {words.the(self.room)} where its point is. Move the point."
            )
        others = _met(shut, mine, self.room, opening.owner)
        if others:
            return self._other_way(scene, shut, others[0], year, words)
        usable = walk_of(scene, who)
        near, far = shut.sides(opening)
        beyond = (near | far) - mine
        if not beyond or not ((near | far) & mine):
            text = f"{words.the(self.gate)} does not lead into {words.the(self.room)}."
            return Verdict(year, State.FAILS, capital(text), evidence=gate_figure(scene, self.gate))
        if not _enters(usable, opening.owner, self.room):
            why, drawn = why_not(usable, self.gate, self.room, words)
            return Verdict(
                year, State.FAILS, f"There is no way into {words.the(self.room)} at all: {why}.", evidence=drawn
            )
        text = f"With {words.the(self.gate)} shut nothing leads into {words.the(self.room)}."
        return Verdict(year, State.HOLDS, text, 1.0, 1.0, "count", 0.0, evidence=gate_figure(scene, self.gate))

    def _other_way(self, scene: Scene, shut: Walk, other: str, year: int, words: Words) -> Verdict:
        way = shut.way(other, self.room) if other != self.gate else None
        by = by_way_of(shut, way, words, self.room, other) if way else ""
        drawn: tuple[Figure, ...] = () if way is None else (way_figure(way),)
        width = None
        if not by:
            found = leaks(rooms_of(scene, shut.walker), next(r for r in scene.rooms if r.id == self.room))
            if found:
                by = leak_words(found[0], words)
                width = found[0].width_m
                drawn += leak_figures(found[:1], words)
        start = "its far side" if other == self.gate else words.the(other)
        text = f"{words.the(self.room)} can also be reached from {start}" + (f": {by}." if by else ".")
        text = capital(text)
        unit, target = ("m", 0.0) if width is not None else ("none", None)
        margin = None if width is None else -width
        return Verdict(year, State.FAILS, text, width, target, unit, margin, evidence=drawn)  # type: ignore[arg-type]


def _only_line(scene: Scene, who: Walker, must: OnlyWayIn) -> LineString | None:
    """Return the way from the room into the gate if that is the only way in, the gate's own side of it plainly so."""
    opening = next((o for o in scene.openings if o.owner == must.gate), None)
    shut, usable = walk_of(scene, who, shut=frozenset({must.gate})), walk_of(scene, who)
    room, mine = shut.place(must.room), shut.pieces_at(must.room)
    if opening is None or room is None or not mine or _met(shut, mine, must.room, must.gate):
        return None
    middle = opening.clear.interpolate(0.5, normalized=True)
    way = shortest_way(usable.free, who, room, Place(must.gate, "spot", middle), usable.pieces_at(must.room))
    if way is None or len(way.points) < 2 or middle.distance(Point(way.points[-1])) > HAIR_M:
        return None
    line, sides = LineString(way.points), [shut.free.piece_of(p) for p in sides_at(opening)]
    if line.length < LOCAL_M or None in sides or len({s in mine for s in sides}) != 2:
        return None
    # Close round the gate alone, its own side must lie in one piece with where the way comes from.
    near = middle.buffer(LOCAL_M, join_style="mitre").envelope
    around = tuple(b for b in shut.free.found if b.shape.dwithin(near, float(who.body_width)))
    before = line.interpolate(-LOCAL_M / 2)
    local = ground_of(near, around, float(who.body_width))
    here, *own = local.pieces_of([(before.x, before.y), *sides_at(opening)])
    return line if here is not None and [s in mine for s in sides] == [p == here for p in own] else None


def _met(shut: Walk, mine: frozenset[int], room: str, gate: str) -> tuple[str, ...]:
    """Return what gives the room another way in while the gate is shut: the outside, other rooms, the gate's far side.

    Rooms that lie behind it, with no way of their own to the outside, are no other way in.
    """
    opening = next(o for o in shut.scene.openings if o.owner == gate)
    sides = shut.sides(opening)
    rooms = tuple(r.id for r in shut.scene.rooms if r.id != room and shut.free.piece_of(r.inside) in mine)
    outside = shut.pieces_at(OUTSIDE)
    if outside & mine:
        return (*rooms, OUTSIDE) if not sides[0] & outside and not sides[1] & outside else (OUTSIDE, *rooms)
    if sides[0] & mine and sides[1] & mine:
        return (*rooms, gate)
    if not rooms:
        return ()
    leaky = set(rooms_of(shut.scene, shut.walker).joined(next(r for r in shut.scene.rooms if r.id == room)))
    beyond = (sides[0] | sides[1]) - mine
    return tuple(r for r in rooms if r in leaky or not beyond & outside)


def _enters(walk: Walk, gate: str, room: str) -> bool:
    """Return whether the walker gets through the gate into the room."""
    opening = next(o for o in walk.scene.openings if o.owner == gate)
    mine = walk.pieces_at(room)
    middle = opening.clear.interpolate(0.5, normalized=True)
    return walk.free.piece_of((middle.x, middle.y)) in mine


_LINES: Kept[LineString | None] = Kept(256)
