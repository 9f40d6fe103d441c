"""What still holds of walking after something has moved, told without looking at the ground as it is now.

Ground on which less stands lets through all that the ground with more does.  So what is parted on the ground without
the thing moved (:attr:`~quincunx.scene.difference.Difference.rest`) stays parted wherever the thing stands, and the
shortest way on that ground stays the shortest as long as the thing keeps clear of it.  Both are looked for once, and
serve for every place to which the thing is moved.
"""

from __future__ import annotations

from collections.abc import Iterator

from shapely import LineString, Point

from quincunx.scene.difference import Difference
from quincunx.walk._kept import Kept
from quincunx.walk.barriers import passes_leaf
from quincunx.walk.places import OUTSIDE, Place, place_of, zone_of
from quincunx.walk.reach import Walk, _joins, walk_of
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import EDGE_M, Way

CLEAR_M = 0.05
"""So much farther off than it would have to be a thing moved must keep [m]."""


def keeps_off(found: Difference, who: Walker, *refs: str) -> bool:
    """Return whether nothing that differs is one of some places, or within a walker's reach of one."""
    return found.upright and all(_keeps_off(found, who, ref) for ref in refs)


def _keeps_off(found: Difference, who: Walker, ref: str) -> bool:
    if ref == OUTSIDE:
        return True
    place = None if ref in found.owners else place_of(found.rest, ref)
    reach = who.radius_m + float(who.reach) + EDGE_M + CLEAR_M
    return place is not None and found.apart(place.shape, reach)


def stays_apart(found: Difference, walk: Walk, start: str, end: str) -> bool:
    """Return whether ``walk``, on the rest, shows that nobody gets from ``start`` to ``end`` in either scene."""
    return keeps_off(found, walk.walker, start, end) and not walk.reaches(start, end)


def still_reaches(found: Difference, walk: Walk, start: str, end: str) -> bool:
    """Return whether one who got from ``start`` to ``end`` as it was, by the shortest way, still can go that way."""
    if not keeps_off(found, walk.walker, start, end):
        return False
    was = walk_of(
        found.was, walk.walker, walk.gates, walk.open_gate, polite=walk.polite, shut=walk.shut, grown=walk.grown
    )
    line = _OLD.get((was,), (start, end), lambda: _line(was.way(start, end)))
    return line is not None and found.apart(line, float(walk.walker.body_width) / 2 + CLEAR_M, come=True)


def way_kept(found: Difference, walk: Walk, start: str, end: str) -> Way | None:
    """Return the shortest way of both scenes if ``walk``, on the rest, shows that it is the same; None if it may not be."""
    if not keeps_off(found, walk.walker, start, end):
        return None
    known = _WAYS.get((walk,), (start, end), lambda: _only_way(walk, start, end))
    if known is None:
        return None
    way, line = known
    return way if found.apart(line, float(walk.walker.body_width) / 2 + CLEAR_M) else None


def _only_way(walk: Walk, start: str, end: str) -> tuple[Way, LineString | Point] | None:
    """Return the way and its line, if both ends lie in one piece of ground whatever else comes."""
    places = walk.place(start), walk.place(end)
    if len(walk.pieces_at(start) & walk.pieces_at(end)) != 1 or not any(
        _whole(walk, p) for p in places if p is not None
    ):
        return None
    way = walk.way(start, end)
    line = _line(way)
    return None if way is None or line is None else (way, line)


def _line(way: Way | None) -> LineString | Point | None:
    if way is None:
        return None
    return LineString(way.points) if len(way.points) > 1 else Point(way.points[0])


def _whole(walk: Walk, place: Place) -> bool:
    """Return whether the ground on which the walker is at a place hangs together within reach of it."""
    if place.kind == "outside":
        return False
    if place.kind != "feature" and walk.free.pieces_at(place.shape):
        return True
    return len(walk.free.stand_in(zone_of(walk.free, place, walk.walker))) == 1


def gates_to_try(found: Difference, walk: Walk, start: str, end: str) -> Iterator[str]:
    """Yield the gates that, left open, may let a walker from ``start`` to ``end`` in either scene of a difference.

    A gate whose two sides don't lie in the ground of the two on the rest lets nobody through there, so nowhere.
    """
    known = {o.owner for o in found.rest.openings}
    yield from (o.owner for o in found.was.openings if o.owner not in known and o.leaf is not None)
    for opening in found.rest.openings:
        shut = opening.leaf is not None and opening.latch != "shut"
        if shut and not passes_leaf(walk.walker, opening, walk.scene.snow_m) and _joins(walk, opening, start, end):
            yield opening.owner


def crossed_kept(found: Difference, way: Way) -> bool:
    """Return whether nothing of the features that differ lies on a way: then it crosses the same things in both scenes."""
    line = _line(way)
    return line is not None and found.apart(line, CLEAR_M, whole=True)


_WAYS: Kept[tuple[Way, LineString | Point] | None] = Kept(2048)
_OLD: Kept[LineString | Point | None] = Kept(1024)
