"""Rooms are really rooms: each its own piece of ground when every opening is shut."""

from __future__ import annotations

from typing import ClassVar, Literal

from shapely import Point

from quincunx.intents._base import Intent, Words
from quincunx.intents._walking import leak_figures, leak_words
from quincunx.scene import Room, Timeline
from quincunx.scene.difference import difference
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import Slug, field
from quincunx.walk.places import OUTSIDE
from quincunx.walk.rooms import Leak, Rooms, leaks, rooms_of
from quincunx.walk.untouched import CLEAR_M


class SeparateRooms(Intent):
    """Named rooms, or all closed ones, are separate from each other and from the rest."""

    words: ClassVar[str] = "separate rooms"
    about: ClassVar[str] = (
        "With every opening shut nobody gets from one room to another; a leak is named with its width and place."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "rooms-closed", "rooms": ["green", "court"]}

    kind: Literal["separate-rooms"] = "separate-rooms"
    walker: Slug = field("For whom", "person")
    rooms: tuple[Slug, ...] = field("Rooms (none: every closed room, from all else)", ())

    def things(self) -> tuple[str, ...]:
        """Return the rooms it names."""
        return self.rooms

    def walkers(self) -> tuple[str, ...]:
        """Return for whom it is judged."""
        return (self.walker,)

    def sentence(self, words: Words) -> str:
        """Say which rooms are separate."""
        if not self.rooms:
            return "Every closed room is closed all round."
        if len(self.rooms) == 1:
            return f"{capital(words.the(self.rooms[0]))} is closed all round."
        return f"{capital(words.both(self.rooms))} are separate rooms."

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the rooms surely are closed all round as they were.

        Rooms parted on the ground on which only what stands in both is in the way are parted in both.
        """
        on, who = was.leaf_date(verdict.year), words.walker(self.walker)
        if who is None or verdict.state is not State.HOLDS:
            return False
        found = difference(was.at(on), now.at(on))
        rooms = rooms_of(found.rest, who)
        return found.upright and all(
            rooms.closed(room) and found.apart(Point(room.inside), CLEAR_M) for room in self._chosen(rooms)
        )

    def _chosen(self, found: Rooms) -> list[Room]:
        return [r for r in found.scene.rooms if (r.id in self.rooms if self.rooms else r.closed)]

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Shut every opening and look for what still hangs together."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        found = rooms_of(timeline.at(timeline.leaf_date(year)), who)
        chosen = self._chosen(found)
        stuck = [r for r in chosen if found.piece[r.id] is None]
        if not chosen or stuck:
            text = (
                f"The point inside {words.the(stuck[0].id)} stands on something. Move it."
                if stuck
                else "There is no such room."
            )
            return Verdict(year, State.UNKNOWN, text)
        holes = [leak for room in chosen for leak in self._leaks(found, room, chosen)]
        if not holes:
            return Verdict(year, State.HOLDS, self._well(chosen, words), 0.0, 0.0, "m", 0.0)
        return _leaky(year, holes, words)

    def _leaks(self, found: Rooms, room: Room, chosen: list[Room]) -> tuple[Leak, ...]:
        if len(self.rooms) < 2:
            return leaks(found, room)
        return tuple(leak for other in chosen if other.id > room.id for leak in leaks(found, room, other.id))

    def _well(self, chosen: list[Room], words: Words) -> str:
        names = words.both(tuple(r.id for r in chosen[:4]))
        if len(chosen) > 4:
            return f"All {len(chosen)} rooms are closed all round."
        return capital(f"{names} {'is' if len(chosen) == 1 else 'are'} closed all round when every opening is shut.")


def _leaky(year: int, holes: list[Leak], words: Words) -> Verdict:
    said = dict.fromkeys(f"{words.the(leak.room)} leaks{_to(leak, words)}: {leak_words(leak, words)}" for leak in holes)
    text = capital("; ".join(list(said)[:3])) + (f"; and {len(said) - 3} more." if len(said) > 3 else ".")
    drawn = leak_figures(holes, words)
    widths = [leak.width_m for leak in holes if leak.width_m is not None and leak.kind != "low"]
    widest = max(widths, default=None)
    margin = None if widest is None else -widest
    return Verdict(year, State.FAILS, text, widest, 0.0, "m", margin, evidence=drawn)


def _to(leak: Leak, words: Words) -> str:
    return "" if not leak.leads_to else " outside" if leak.leads_to == OUTSIDE else f" into {words.the(leak.leads_to)}"
