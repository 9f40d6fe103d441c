"""Whether the narrowest place of the widest way stays what it was when something else moves."""

from __future__ import annotations

import numpy as np
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from quincunx.intents._walking import GATE_M, narrowest_between
from quincunx.scene._kept import Kept
from quincunx.scene.difference import Difference
from quincunx.walk.ground import FreeGround, ground_of
from quincunx.walk.links import TIE_M
from quincunx.walk.places import OUTSIDE, Place, pieces_reached
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.untouched import CLEAR_M
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import EDGE_M, shortest_way
from quincunx.walk.widths import Narrowest

TIES_M = 10 * TIE_M
"""Places whose widths differ by no more are as narrow as each other [m]."""


GRID_M = 0.002
"""A walker's measures lie on a millimetre grid, so it is taken to reach this much less [m]."""


def narrowest_kept(found: Difference, walk: Walk, start: str, end: str, up_to_m: float) -> bool:
    """Return whether both scenes of a difference surely have the same narrowest place between two places.

    ``walk`` is the walk on the rest of the two. On it nothing narrower is met than in either scene; so if a body as wide
    as its narrowest place gets through clear of all that differs, that place is the narrowest in both.
    """
    who = walk.walker
    room = max(up_to_m - float(who.body_width), 0.0) / 2
    far = who.radius_m + float(who.reach) + room + EDGE_M + CLEAR_M
    if not found.upright or not all(_clear(found, walk, ref, far) for ref in (start, end)):
        return False
    known = _KEPT.get((walk,), (start, end, up_to_m), lambda: _widest(walk, start, end, up_to_m, room))
    if known is None:
        return False
    line, narrow = known
    width = up_to_m if narrow.width_m is None else narrow.width_m
    if not found.apart(line, width / 2 + CLEAR_M):
        return False
    if narrow.line is None or narrow.width_m is None:
        return True
    both = (walk_of(scene, who, polite=walk.polite).free for scene in (found.was, found.now))
    return found.apart(narrow.line, GATE_M + CLEAR_M) and all(_one(free, up_to_m, narrow.width_m) for free in both)


def _clear(found: Difference, walk: Walk, ref: str, far_m: float) -> bool:
    place = None if ref in found.owners else walk.place(ref)
    return place is not None and (ref == OUTSIDE or found.apart(place.shape, far_m))


def _widest(walk: Walk, start: str, end: str, up_to_m: float, room_m: float) -> tuple[BaseGeometry, Narrowest] | None:
    """Return the way of a body as wide as the narrowest place, and that place; None where it can't be told by one."""
    a, b = walk.place(start), walk.place(end)
    narrow = None if a is None or b is None else narrowest_between(walk, a, b, up_to_m)
    if a is None or b is None or narrow is None:
        return None
    width = up_to_m if narrow.width_m is None else narrow.width_m
    reach = walk.walker.radius_m + float(walk.walker.reach) + room_m - width / 2
    if reach < GRID_M or (narrow.width_m is not None and not _one(walk.free, up_to_m, width)):
        return None
    line = _line(walk, width, walk.walker.changed(body_width=width, reach=max(reach - GRID_M, 0.0)), a, b)
    return None if line is None else (line, narrow)


def _line(walk: Walk, width_m: float, wide: Walker, a: Place, b: Place) -> BaseGeometry | None:
    free = ground_of(walk.scene.world, walk.free.found, width_m)
    pieces = pieces_reached(free, a, wide) & pieces_reached(free, b, wide)
    way = shortest_way(free, wide, a, b, pieces) if pieces else None
    if way is None:
        return None
    return LineString(way.points) if len(way.points) > 1 else Point(way.points[0])


def _one(free: FreeGround, up_to_m: float, width_m: float) -> bool:
    """Return whether all places just so narrow lie between the same two things: at each of them the same is said."""
    near = free.near_to(up_to_m)
    alike = near.bare & (np.abs(near.length_m - width_m) < TIES_M)
    owner = near.parts.owner
    pairs = zip(owner[near.i[alike]].tolist(), owner[near.j[alike]].tolist(), strict=True)
    return len({frozenset((free.found[a].owner, free.found[b].owner)) for a, b in pairs}) == 1


_KEPT: Kept[tuple[BaseGeometry, Narrowest] | None] = Kept(256)
