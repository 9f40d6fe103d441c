"""Rooms: the pieces of ground when every opening is shut, and where a closed room leaks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Room, Scene
from quincunx.shapes import XY
from quincunx.walk.barriers import SEEN_M, Barrier, is_overhead
from quincunx.walk.ground import FreeGround
from quincunx.walk.places import OUTSIDE
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.walkers import Walker, find_walker
from quincunx.walk.widths import Widths

LeakKind = Literal["gap", "holes", "low", "open"]
"""A gap between two things; holes through a thing not yet grown together; a thing low enough to step over; no wall."""

MOST_LEAKS = 6
"""How many leaks of one room are looked for."""
WIDE_M = 3.0
"""A leak at least this wide is no gap: there is no wall [m]."""
DEEPER_M = 1.0
"""A room whose ground goes on this far past its drawn outline isn't closed there [m]."""


@dataclass(frozen=True, slots=True)
class Leak:
    """A place where a closed room isn't: ``at`` a point [m], ``width_m`` clear, between or through ``owners``."""

    room: str
    kind: LeakKind
    at: XY
    width_m: float | None
    owners: tuple[str, ...]
    leads_to: str
    line: tuple[XY, XY] | None = None


@dataclass(frozen=True)
class Rooms:
    """The rooms of a scene as a person finds them with every opening shut."""

    scene: Scene
    walk: Walk

    @cached_property
    def piece(self) -> dict[str, int | None]:
        """Return the piece each named room's inside point lies in, by room id (None: it stands on a barrier)."""
        return {room.id: self.walk.free.piece_of(room.inside) for room in self.scene.rooms}

    def outline(self, room_id: str) -> Polygon | None:
        """Return the ground of a room as found [m], or None."""
        piece = self.piece.get(room_id)
        return None if piece is None else self.walk.free.pieces[piece]

    @cached_property
    def outside(self) -> frozenset[int]:
        """Return the pieces that reach beyond the boundary."""
        return self.walk.pieces_at(OUTSIDE)

    def joined(self, room: Room) -> tuple[str, ...]:
        """Return what shares the piece of ``room`` though every opening is shut: rooms by id, or ``outside``."""
        mine = self.piece[room.id]
        if mine is None:
            return ()
        others = [r.id for r in self.scene.rooms if r.id != room.id and self.piece[r.id] == mine]
        return (*others, OUTSIDE) if mine in self.outside else tuple(others)

    def spills(self, room: Room) -> Polygon | None:
        """Return the largest part of the room's piece that lies well past its drawn outline [m], or None."""
        found = self.outline(room.id)
        if found is None or room.outline is None:
            return None
        past = shapely.difference(found, room.outline.buffer(DEEPER_M, join_style="mitre"))
        parts = [p for p in shapely.get_parts(past) if isinstance(p, Polygon) and p.area > DEEPER_M]
        return max(parts, key=lambda p: p.area) if parts else None

    def closed(self, room: Room) -> bool:
        """Return whether the room is its own piece of ground."""
        return self.piece[room.id] is not None and not self.joined(room) and self.spills(room) is None


def rooms_of(scene: Scene, walker: Walker | None = None) -> Rooms:
    """Return the rooms of a scene, for a person unless another walker is given."""
    return Rooms(scene, walk_of(scene, walker or _person(), "shut"))


def _person() -> Walker:
    person = find_walker("person")
    if person is None:  # the package's own list always has one
        raise LookupError("the list of walkers has no person; put the package's data file back")
    return person


def leaks(rooms: Rooms, room: Room, to: str | None = None) -> tuple[Leak, ...]:
    """Return where a closed ``room`` leaks, widest gaps first; empty if it is its own piece.

    Things that stand but don't stop the walker (a young hedge, a low wall) are taken as walls first, so that gaps
    beside them are found; then each of them that borders the room is a leak itself.  With ``to`` only the leaks
    that lead to that room (or ``outside``) are looked for.
    """
    if rooms.closed(room) or (to is not None and to not in rooms.joined(room)):
        return ()
    scene, hard = rooms.scene, rooms.walk.free
    soft = _soft(rooms)
    found: list[Leak] = []
    walled = hard.with_barriers(soft)
    while len(found) < MOST_LEAKS:
        leak, extra = _widest_leak(rooms, room, walled, to)
        if leak is None:
            break
        found.append(leak)
        if extra is None:
            break
        walled = walled.with_barriers([extra])
    if not any(leak.kind == "open" for leak in found):
        found += _soft_leaks(scene, room, walled, soft)
    return tuple(found[:MOST_LEAKS])


def _soft(rooms: Rooms) -> list[Barrier]:
    """Return what stands upright but doesn't stop the walker."""
    hard = {(b.owner, b.shape.wkb) for b in rooms.walk.free.found}
    out = []
    for solid in rooms.scene.solids:
        upright = not is_overhead(solid) and solid.base.value_m <= SEEN_M and solid.top.value_m >= SEEN_M
        if upright and (solid.owner, solid.footprint.wkb) not in hard:
            out.append(Barrier(solid.footprint, solid.owner, "solid", solid.grown))
    return out


def _targets(rooms: Rooms, room: Room, walled: FreeGround) -> list[tuple[str, BaseGeometry]]:
    """Return what shares the room's piece in ``walled`` ground: (id or ``outside``, where)."""
    mine = walled.piece_of(room.inside)
    if mine is None:
        return []
    piece = walled.pieces[mine]
    found: list[tuple[str, BaseGeometry]] = [
        (r.id, Point(r.inside)) for r in rooms.scene.rooms if r.id != room.id and piece.intersects(Point(r.inside))
    ]
    beyond = shapely.intersection(piece, rooms.scene.outside)
    if shapely.area(beyond) > 1e-6 and mine in walled.pieces_at(
        shapely.buffer(rooms.scene.outside, -0.01, join_style="mitre")
    ):
        found.append((OUTSIDE, shapely.point_on_surface(beyond)))
    if room.outline is not None and not found:
        past = shapely.difference(piece, room.outline.buffer(DEEPER_M, join_style="mitre"))
        if shapely.area(past) > DEEPER_M:
            found.append(("", shapely.point_on_surface(past)))
    return found


def _widest_leak(rooms: Rooms, room: Room, walled: FreeGround, to: str | None) -> tuple[Leak | None, Barrier | None]:
    """Return the widest leak left and a barrier that closes it (None where there is no wall to close)."""
    targets = [t for t in _targets(rooms, room, walled) if to is None or t[0] == to]
    if not targets:
        return None, None
    name, where = targets[0]
    edge = None if room.outline is None else room.outline.exterior.buffer(DEEPER_M)
    narrow = Widths(walled, WIDE_M).between(Point(room.inside), where, edge)
    if narrow is None or narrow.line is None or narrow.width_m is None:
        return Leak(room.id, "open", room.inside, None, (), name), None
    (ax, ay), (bx, by) = narrow.line.coords
    middle = ((ax + bx) / 2, (ay + by) / 2)
    owners = tuple(dict.fromkeys(o for o in narrow.owners if o))
    plug = Barrier(narrow.line.buffer(0.005, cap_style="square"), "", "solid")
    return Leak(room.id, "gap", middle, narrow.width_m, owners, name, ((ax, ay), (bx, by))), plug


def _soft_leaks(scene: Scene, room: Room, walled: FreeGround, soft: list[Barrier]) -> list[Leak]:
    """Return the things bordering the room that the walker goes through or over to other ground."""
    mine = walled.piece_of(room.inside)
    if mine is None:
        return []
    near = walled.pieces[mine].buffer(0.02)
    out: dict[str, Leak] = {}
    for barrier in soft:
        edge = shapely.intersection(barrier.shape, near)
        others = [p for i, p in enumerate(walled.pieces) if i != mine and p.distance(barrier.shape) < 0.02]
        if edge.is_empty or not others or barrier.owner in out:
            continue
        at = shapely.point_on_surface(edge)
        solid = next(s for s in scene.solids if s.owner == barrier.owner and s.footprint.equals(barrier.shape))
        kind: LeakKind = "holes" if solid.gap_m > 0.05 else "low"
        width = solid.gap_m if kind == "holes" else solid.top.value_m
        out[barrier.owner] = Leak(room.id, kind, (at.x, at.y), width, (barrier.owner,), "")
    return [out[k] for k in sorted(out)]
