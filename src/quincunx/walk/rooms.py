"""Rooms: the pieces of ground when every opening is shut, and where a closed room leaks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point, Polygon

from quincunx.scene import Room, Scene
from quincunx.shapes import XY, Solid
from quincunx.walk._kept import Kept
from quincunx.walk.barriers import SEEN_M, Barrier, gait_of, is_overhead
from quincunx.walk.ground import CUT_M, ground_of
from quincunx.walk.places import OUTSIDE, inner_outside
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.walkers import Walker, find_walker
from quincunx.walk.widths import BESIDE_M, Forest, Widths, widths_of

LeakKind = Literal["gap", "holes", "through", "under", "low", "snow", "open"]
"""A gap between two things; holes through a thing not yet grown together, or through a built one; a thing to get under;
one low enough to get over, or so far above the snow; no wall."""

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
        rooms = self.scene.rooms
        return dict(zip((r.id for r in rooms), self.walk.free.pieces_of([r.inside for r in rooms]), strict=True))

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
        found = None if room.outline is None else self.outline(room.id)
        if found is None or room.outline is None:
            return None
        past = shapely.difference(found, room.outline.buffer(DEEPER_M, join_style="mitre"))
        parts = [p for p in shapely.get_parts(past) if isinstance(p, Polygon) and p.area > DEEPER_M]
        return max(parts, key=lambda p: p.area) if parts else None

    @cached_property
    def soft(self) -> list[tuple[Barrier, Solid]]:
        """Return what stands upright but doesn't stop the walker."""
        hard: dict[str, list[Polygon]] = {}
        for b in self.walk.free.found:
            hard.setdefault(b.owner, []).append(b.shape)
        stops = {id(b.shape) for b in self.walk.free.found}
        return [
            (barrier, solid)
            for solid in self.scene.solids
            if id(solid.footprint) not in stops  # most that stop anybody do so by their outline, and are told at once
            and (barrier := _upright(solid)) is not None
            and not any(_drawn(s) == _drawn(barrier.shape) for s in hard.get(solid.owner, ()))
        ]

    @cached_property
    def walled(self) -> Widths:
        """Return the ground with what is soft taken as walls, parted along its narrow places."""
        scene = self.scene.before
        like = None if scene is None else rooms_of(scene, self.walk.walker).walled.free
        free = self.walk.free
        soft = tuple(b for b, _ in self.soft)
        return widths_of(ground_of(free.world, (*free.found, *soft), free.width_m, like), WIDE_M)

    def forest(self, closed: set[int]) -> Forest:
        """Return how that ground hangs together for the walker, some narrow places ``closed``."""
        return self._whole if not closed else self.walled.forest(float(self.walk.walker.body_width), closed)

    @cached_property
    def _whole(self) -> Forest:
        return self.walled.forest(float(self.walk.walker.body_width))

    @cached_property
    def beyond(self) -> list[int]:
        """Return the faces of that ground in which the walker stands beyond the boundary."""
        stand = self.walk.free.stand_in(inner_outside(self.scene))
        return sorted({f for own in self.walled.faces_at(stand) for f in own})

    def faces_of(self, room: Room) -> list[int]:
        """Return the faces of that ground round a room's inside point, which may lie in the cut between two."""
        return self._faces[room.id]

    @cached_property
    def _faces(self) -> dict[str, list[int]]:
        rooms = self.scene.rooms
        found = self.walled.faces_at([_dot(r.inside) for r in rooms])
        return {r.id: own for r, own in zip(rooms, found, strict=True)}

    def hanging(self, room: Room, forest: Forest) -> frozenset[int]:
        """Return the faces that hang together with the room's inside point."""
        roots = {forest.roots[f] for f in self.faces_of(room)}
        return frozenset(f for f, root in enumerate(forest.roots) if root in roots)

    def closed(self, room: Room) -> bool:
        """Return whether the room is its own piece of ground."""
        return self.piece[room.id] is not None and not self.joined(room) and self.spills(room) is None


def rooms_of(scene: Scene, walker: Walker | None = None) -> Rooms:
    """Return the rooms of a scene, for a person unless another walker is given."""
    walk = walk_of(scene, walker or _person(), "shut")
    return _ROOMS.get((walk,), None, lambda: Rooms(scene, walk))


def _upright(solid: Solid) -> Barrier | None:
    """Return a solid as a wall; None for what nobody would take for one."""
    return _UPRIGHT.get((solid,), None, lambda: _wall(solid))


def _drawn(shape: Polygon) -> bytes:
    return _DRAWN.get((shape,), None, lambda: shapely.to_wkb(shape))


def _dot(at: XY) -> Polygon:
    return _DOT.get((), at, lambda: Point(at).buffer(2 * CUT_M))


def _wall(solid: Solid) -> Barrier | None:
    if is_overhead(solid) or solid.base.value_m > SEEN_M or solid.top.value_m < SEEN_M:
        return None
    return Barrier(solid.footprint, solid.owner, "solid", solid.grown)


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
    found: list[Leak] = []
    closed: set[int] = set()
    forest = rooms.forest(closed)
    while len(found) < MOST_LEAKS:
        leak, link = _widest_leak(rooms, room, forest, to)
        if leak is None:
            break
        found.append(leak)
        if link < 0:
            return tuple(found)
        closed.add(link)
        forest = rooms.forest(closed)
    found += _soft_leaks(rooms, room, forest, to)
    return tuple(found[:MOST_LEAKS])


def _targets(rooms: Rooms, room: Room, forest: Forest) -> list[tuple[str, list[int]]]:
    """Return what still hangs together with the room: (id or ``outside``, its faces)."""
    here = rooms.hanging(room, forest)
    found = [(r.id, rooms.faces_of(r)) for r in rooms.scene.rooms if r.id != room.id]
    found.append((OUTSIDE, rooms.beyond))
    joined = [(name, [f for f in faces if f in here]) for name, faces in found]
    joined = [(name, faces) for name, faces in joined if faces]
    if room.outline is not None and not joined:
        limit = room.outline.buffer(DEEPER_M, join_style="mitre")
        past = [f for f in sorted(here) if rooms.walled.faces[f].difference(limit).area > DEEPER_M]
        joined = [("", past)] if past else []
    return joined


def _widest_leak(rooms: Rooms, room: Room, forest: Forest, to: str | None) -> tuple[Leak | None, int]:
    """Return the widest leak left and the link that closes it (-1 where there is no wall to close)."""
    targets = [t for t in _targets(rooms, room, forest) if to is None or t[0] == to]
    if not targets:
        return None, -1
    name, faces = targets[0]
    edge = None if room.outline is None else room.outline.exterior.buffer(DEEPER_M)
    narrow = rooms.walled.widest(forest, rooms.faces_of(room), faces, edge)
    if narrow is None or narrow.line is None or narrow.width_m is None:
        return Leak(room.id, "open", room.inside, None, (), name), -1
    (ax, ay), (bx, by) = narrow.line.coords
    owners = tuple(dict.fromkeys(o for o in narrow.owners if o))
    middle = ((ax + bx) / 2, (ay + by) / 2)
    return Leak(room.id, "gap", middle, narrow.width_m, owners, name, ((ax, ay), (bx, by))), narrow.link


def _soft_leaks(rooms: Rooms, room: Room, forest: Forest, to: str | None) -> list[Leak]:
    """Return the things bordering the room by which the walker gets to other rooms or outside.

    What merely stands in the room (a cold frame, a bed with a rim) leads nowhere, however easily it is got over.
    """
    root = np.array(forest.roots, np.int64)
    mine = set(root[sorted(rooms.hanging(room, forest))].tolist())
    parted: dict[str, set[int]] = {}
    soft: dict[str, tuple[Barrier, Solid, NDArray[np.int64]]] = {}
    for (barrier, solid), by in zip(rooms.soft, rooms.walled.faces_by([b.shape for b, _ in rooms.soft]), strict=True):
        beside = set(root[by].tolist())
        parted.setdefault(barrier.owner, set()).update(beside)
        if beside & mine and beside - mine and barrier.owner not in soft:
            soft[barrier.owner] = (barrier, solid, by)
    away = _away(rooms, room, root, mine, to, list(parted.values()))
    inside = np.isin(root, sorted(mine))
    out = []
    for owner in sorted(k for k in soft if parted[k] & away):
        barrier, solid, by = soft[owner]
        near = shapely.union_all([rooms.walled.faces[k] for k in by[inside[by]]])
        edge = shapely.intersection(barrier.shape, near.buffer(BESIDE_M))
        # Only where words go: to the centimetre, as faces are cut by strips a hair wide, here or there as they were found.
        at = shapely.point_on_surface(edge)
        kind, size = _by(rooms, solid)
        out.append(Leak(room.id, kind, (round(at.x, 2), round(at.y, 2)), size, (owner,), ""))
    return out


def _away(
    rooms: Rooms, room: Room, root: NDArray[np.int64], mine: set[int], to: str | None, joins: Sequence[set[int]]
) -> set[int]:
    """Return the parts of the ground, by their roots, that lead to another room or outside without this one.

    ``root`` is each face's part, ``joins`` the parts on the sides of each soft thing.
    """
    ends = [f for r in rooms.scene.rooms if r.id != room.id and to in {None, r.id} for f in rooms.faces_of(r)]
    ends += rooms.beyond if to in {None, OUTSIDE} else []
    away = set(root[ends].tolist()) - mine
    while True:
        more = away.union(*(j - mine for j in joins if j & away))
        if more == away:
            return away
        away = more


def _by(rooms: Rooms, solid: Solid) -> tuple[LeakKind, float]:
    """Return how the walker gets by what doesn't stop it, and the size that lets it [m]."""
    gait = gait_of(rooms.walk.walker, rooms.scene.snow_m)
    if solid.gap_m >= gait.hole_m:
        return "holes" if solid.grown else "through", solid.gap_m
    foot = solid.base.value_m - gait.lift_m
    if gait.under_m is not None and foot >= gait.under_m:
        return "under", foot
    return "snow" if gait.lift_m else "low", solid.top.value_m - gait.lift_m


_ROOMS: Kept[Rooms] = Kept(256)
_UPRIGHT: Kept[Barrier | None] = Kept(8192)
_DRAWN: Kept[bytes] = Kept(4096)
_DOT: Kept[Polygon] = Kept(512)
