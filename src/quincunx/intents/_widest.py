"""Whether the narrowest place of the widest way stays what it was when something else moves."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from quincunx.intents._walking import GATE_M, narrowest_between, zone_within
from quincunx.scene._kept import Kept
from quincunx.scene.difference import Difference
from quincunx.shapes import XY
from quincunx.walk.ground import FreeGround
from quincunx.walk.links import MEET_M, TIE_M, circles
from quincunx.walk.places import OUTSIDE
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.untouched import CLEAR_M
from quincunx.walk.ways import EDGE_M
from quincunx.walk.widths import Narrowest, widths_of

TIES_M = 10 * TIE_M
"""Places whose widths differ by no more are as narrow as each other [m]."""


def narrowest_kept(found: Difference, walk: Walk, start: str, end: str, up_to_m: float) -> bool:
    """Return whether both scenes of a difference surely have the same narrowest place between two places.

    ``walk`` is the walk on the rest of the two. A body a hair wider than the narrowest place there was gets through on
    it no more than in either scene; so if one just so wide gets through now, the narrowest place is just so wide.
    """
    who = walk.walker
    room = max(up_to_m - float(who.body_width), 0.0) / 2
    far = who.radius_m + float(who.reach) + room + EDGE_M + CLEAR_M
    if not found.upright or not all(_clear(found, walk, ref, far) for ref in (start, end)):
        return False
    was, now = (walk_of(scene, who, polite=walk.polite) for scene in (found.was, found.now))
    known = _KEPT.get((walk, was), (start, end, up_to_m), lambda: _bound(walk, was, start, end, up_to_m))
    if known is None:
        return False
    narrow, up_to, ends = known
    if narrow.line is None or narrow.width_m is None:
        return widths_of(now.free, up_to).joined(up_to, *ends)
    apart = found.apart(narrow.line, GATE_M + CLEAR_M)
    alone = apart and all(_one(w.free, up_to, narrow.width_m) for w in (was, now))
    return alone and widths_of(now.free, up_to).joined(narrow.width_m, *ends)


def _clear(found: Difference, walk: Walk, ref: str, far_m: float) -> bool:
    place = None if ref in found.owners else walk.place(ref)
    return place is not None and (ref == OUTSIDE or found.apart(place.shape, far_m))


Ends = tuple[Sequence[XY], Sequence[XY]]


def _bound(walk: Walk, was: Walk, start: str, end: str, up_to_m: float) -> tuple[Narrowest, float, Ends] | None:
    """Return the narrowest place there was, how wide was looked for, and points all round both ends [m].

    None where there was no way, or where the rest lets a wider body through.
    """
    a, b = was.place(start), was.place(end)
    narrow = None if a is None or b is None else narrowest_between(was, a, b, up_to_m)
    if a is None or b is None or narrow is None:
        return None
    width = up_to_m if narrow.width_m is None else narrow.width_m
    if abs(width - up_to_m / 2) < TIES_M:
        return None
    widths = widths_of(walk.free, up_to_m if width > up_to_m / 2 else up_to_m / 2)
    one, other = (widths.points_round(zone_within(walk, place, up_to_m)) for place in (a, b))
    if narrow.width_m is not None and widths.joined(width + TIES_M, one, other):
        return None
    return narrow, widths.up_to_m, (one, other)


def _one(free: FreeGround, up_to_m: float, width_m: float) -> bool:
    """Return whether all places just so narrow lie between the same two things: at each of them the same is said."""
    rest = free.rest if len(free.come) else None
    old = free if rest is None else rest
    near = old.near_to(up_to_m)
    alike = np.flatnonzero(near.bare & (np.abs(near.length_m - width_m) < TIES_M))
    if rest is None:
        return len(_between(free, near.parts.owner, near.i[alike], near.j[alike])) == 1
    new = free.brought(width_m + TIES_M)
    alike = alike[~new.meet(*circles(near, alike))]
    come = np.flatnonzero((np.abs(new.length_m - width_m) < TIES_M) & (new.length_m > MEET_M))
    known = _between(rest, near.parts.owner, near.i[alike], near.j[alike])
    return len(known | _between(free, new.owner, new.i[come], new.j[come])) == 1


def _between(
    free: FreeGround, owner: NDArray[np.int64], i: NDArray[np.int64], j: NDArray[np.int64]
) -> set[frozenset[str]]:
    """Return between which two things lines from pieces ``i`` to pieces ``j`` lie."""
    pairs = zip(owner[i].tolist(), owner[j].tolist(), strict=True)
    return {frozenset((free.found[a].owner, free.found[b].owner)) for a, b in pairs}


_KEPT: Kept[tuple[Narrowest, float, Ends] | None] = Kept(256)
