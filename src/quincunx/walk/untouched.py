"""What still holds of walking after something has moved, told without looking at the ground as it is now.

Ground on which less stands lets through all that the ground with more does.  So what is parted on the ground without
the thing moved (:attr:`~quincunx.scene.difference.Difference.rest`) stays parted wherever the thing stands, and the
shortest way on that ground stays the shortest as long as the thing keeps clear of it.  Both are looked for once, and
serve for every place to which the thing is moved.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon, Point, Polygon

from quincunx.scene import Scene
from quincunx.scene.difference import HAIR_M, Difference
from quincunx.shapes import XY
from quincunx.walk._kept import Kept
from quincunx.walk.barriers import passes_leaf
from quincunx.walk.places import OUTSIDE, Place, place_of, zone_of
from quincunx.walk.reach import Walk, _joins, walk_of
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import EDGE_M, Way, nearest_spot

SIDES = 64
"""In so many straight pieces an ellipse is drawn round."""
SAME_M = 0.005
"""Spots nearer than this are the same, as outlines of where one can stand are drawn [m]."""
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


def way_kept(found: Difference, walk: Walk, start: str, end: str) -> Way | None:
    """Return the shortest way of both scenes if that surely is the same; None if it may not be.

    ``walk`` is the walk on the rest: the way there serves for every place to which a thing is moved.  Where that leads
    by where the thing stood, the way as it was is compared with the ground as it is now.
    """
    if not keeps_off(found, walk.walker, start, end):
        return None
    was, room = _same(found.was, walk), float(walk.walker.body_width) / 2 + CLEAR_M
    known = _WAYS.get(
        (walk, was), (start, end), lambda: _unchanged(walk, was, start, end) or _only_way(walk, start, end)
    )
    if known is not None and found.apart(known[1], room):
        return known[0]
    line = _OLD.get((was,), (start, end), lambda: _line(was.way(start, end)))
    if line is None or not found.apart(line, room, come=True):
        return None
    known = _unchanged(_same(found.now, walk), was, start, end)
    return None if known is None else known[0]


def _same(scene: Scene, walk: Walk) -> Walk:
    """Return the same walk as ``walk`` in another scene."""
    return walk_of(scene, walk.walker, walk.gates, walk.open_gate, polite=walk.polite, shut=walk.shut, grown=walk.grown)


def _unchanged(walk: Walk, was: Walk, start: str, end: str) -> tuple[Way, LineString | Point] | None:
    """Return the way as it was and its line, if none on ``walk``, on the rest or as it is now, surely is shorter.

    There is more ground only where something is gone.  A way over that is at least as long as to there and on from
    there in straight lines: where that is longer, no way is shorter.
    """
    a, b = was.place(start), was.place(end)
    if a is None or b is None or not (_whole(was, a) or _whole(was, b)):
        return None
    way = was.way(start, end)
    line = _line(way)
    if way is None or line is None:
        return None
    here = walk.pieces_at(start if _whole(was, a) else end)
    if not (_only_end(walk, here, a, b, way.points[0]) and _only_end(walk, here, b, a, way.points[-1])):
        return None
    near = _within(way, way.length_m + float(walk.walker.body_width) + 2 * CLEAR_M)
    return None if shapely.intersects(_freed(walk, was), near).any() else (way, line)


def _only_end(walk: Walk, here: frozenset[int], place: Place, towards: Place, spot: XY) -> bool:
    """Return whether ways end at ``spot`` [m] for a place, however little of the ground of the pieces ``here`` is left."""
    if place.kind == "outside":
        at = shapely.point_on_surface(place.shape)
        return (at.x, at.y) == spot
    if _whole(walk, place):
        return True
    zone = zone_of(walk.free, place, walk.walker)
    stand = zip(walk.free.pieces_in(zone), walk.free.stand_in(zone), strict=True)
    parts = [p for piece, p in stand if piece in here]
    best = nearest_spot(walk.free, walk.walker, place, MultiPolygon(parts), towards) if parts else None
    if best is None or math.dist(best, spot) > SAME_M:
        return False
    far = shapely.distance(np.array(parts, dtype=object), place.shape)
    mine = shapely.dwithin(np.array(parts, dtype=object), Point(best), SAME_M)
    return bool(far[mine].min() <= far.min() + HAIR_M)


def _within(way: Way, length_m: float) -> Polygon:
    """Return where one may be on a way of ``length_m`` [m] between the ends of another: an ellipse, drawn round it."""
    (ax, ay), (bx, by) = way.points[0], way.points[-1]
    long = length_m / 2
    wide = math.sqrt(max(long**2 - ((bx - ax) ** 2 + (by - ay) ** 2) / 4, 0.0))
    turn = np.arange(SIDES) * (2 * math.pi / SIDES)
    along, aside = (np.stack([np.cos(turn) * long, np.sin(turn) * wide]) / math.cos(math.pi / SIDES)).tolist()
    c, s = math.cos(math.atan2(by - ay, bx - ax)), math.sin(math.atan2(by - ay, bx - ax))
    x, y = (ax + bx) / 2, (ay + by) / 2
    return Polygon([(x + p * c - q * s, y + p * s + q * c) for p, q in zip(along, aside, strict=True)])


def _freed(walk: Walk, was: Walk) -> NDArray[np.object_]:
    """Return the shapes of what barred the walker as it ``was`` and does so no more on ``walk`` [m]."""
    return _FREED.get((walk, was), None, lambda: _no_more(walk, was))


def _no_more(walk: Walk, was: Walk) -> NDArray[np.object_]:
    old, new = ({id(b): b.shape for b in w.free.found} for w in (was, walk))
    gone = np.array([shape for k, shape in old.items() if k not in new], dtype=object)
    left = [shape for k, shape in new.items() if k not in old]
    if not len(gone) or not left:
        return gone
    stays = shapely.buffer(shapely.union_all(left), 2 * HAIR_M, join_style="mitre")
    parts: NDArray[np.object_] = shapely.get_parts(shapely.difference(gone, stays))
    return parts


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


def line_of(way: Way) -> LineString | Point:
    """Return the line of a way [m]: a point where one is there already."""
    return shapely.linestrings(way.points) if len(way.points) > 1 else shapely.Point(way.points[0])


def _line(way: Way | None) -> LineString | Point | None:
    return None if way is None else line_of(way)


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
_FREED: Kept[NDArray[np.object_]] = Kept(512)
_OLD: Kept[LineString | Point | None] = Kept(1024)
