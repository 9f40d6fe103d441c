"""What hems a place in: how wide the room beside it is for somebody too wide for it, and what shuts it off."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point, Polygon

from quincunx.walk.barriers import polygons
from quincunx.walk.ground import FreeGround
from quincunx.walk.places import Place, zone_of
from quincunx.walk.walkers import Walker
from quincunx.walk.widths import widths_of

EXACT_M = 0.0005
"""How exactly the widest place is found [m]."""
BODY_M = 0.02
"""No narrower body is asked for [m]."""
TOUCH_M = 0.01
"""Things this near to the widest place bound it [m]."""


@dataclass(frozen=True, slots=True)
class Squeeze:
    """The widest place within reach of something: its ``width_m``, the ``line`` across it, whose things bound it.

    With no room even for a hand ``width_m`` is 0, and ``owners`` are the things that stand round.
    """

    width_m: float
    line: LineString | None
    owners: tuple[str, ...]


def widest_beside(free: FreeGround, place: Place, walker: Walker) -> Squeeze:
    """Return the widest place from which ``place`` is within reach, for a walker for whom there is none.

    It is the widest body, no wider than the walker, whose middle fits within reach of the place (found by halving).
    """
    low, high = BODY_M, float(walker.body_width)
    room = _room(free, place, walker, low)
    if not room:
        near = free.barriers_near(place.shape, walker.radius_m + float(walker.reach))
        return Squeeze(0.0, None, _names((b.owner for b in near), place.ref))
    while high - low > EXACT_M:
        middle = (low + high) / 2
        left = _room(free, place, walker, middle)
        low, high, room = (middle, high, left) if left else (low, middle, room)
    at = max(room, key=lambda p: (round(p.area, 9), p.bounds)).representative_point()
    return _across(free, at, low)


def _room(free: FreeGround, place: Place, walker: Walker, width_m: float) -> list[Polygon]:
    """Return where within reach of a place the middle of a body of a width fits [m]."""
    zone = zone_of(free, place, walker.changed(body_width=width_m))
    grown = [b.shape.buffer(width_m / 2) for b in free.barriers_near(zone, width_m / 2)]
    return polygons(shapely.difference(shapely.intersection(zone, free.world), shapely.union_all(grown)))


def _across(free: FreeGround, at: Point, width_m: float) -> Squeeze:
    """Return the line across a place in which a body just fits, between the two things most opposite each other."""
    near = free.barriers_near(at, width_m / 2 + TOUCH_M)
    ends = [(b.owner, shapely.get_coordinates(shapely.shortest_line(at, b.shape))[1]) for b in near]
    if not ends:
        return Squeeze(width_m, None, ())
    middle = np.array([at.x, at.y])
    pairs = [
        (float((a - middle) @ (b - middle)), j, k) for j, (_, a) in enumerate(ends) for k, (_, b) in enumerate(ends)
    ]
    turned, j, k = min(pairs)
    if turned >= 0:
        return Squeeze(width_m, None, _names((o for o, _ in ends), ""))
    line = LineString([ends[j][1], ends[k][1]])
    return Squeeze(width_m, line, _names((ends[j][0], ends[k][0]), ""))


def pieces_drawn(free: FreeGround, numbers: Collection[int]) -> dict[int, Polygon]:
    """Return some pieces of ground, by their numbers, as they are drawn [m]; a sliver has no number and isn't among them.

    They are those of :attr:`FreeGround.pieces`.  As things are moved most are taken from the ground without these.
    """
    faces = sorted(widths_of(free, free.width_m).faces, key=lambda p: (-round(p.area, 6), p.bounds))
    inside = shapely.get_coordinates(shapely.point_on_surface(np.array(faces, dtype=object)))
    out: dict[int, Polygon] = {}
    for number, face in zip(free.numbers([(x, y) for x, y in inside.tolist()]), faces, strict=True):
        if number is not None and number in numbers:
            out.setdefault(number, face)
    return out


def shut_in_by(free: FreeGround, piece: Polygon) -> tuple[str, ...]:
    """Return whose things bound a piece of ground, by the length of its outline along each, the longest first."""
    along: dict[str, float] = {}
    rim = piece.exterior
    for barrier in free.barriers_near(rim, TOUCH_M):
        run = float(shapely.intersection(rim, barrier.shape.buffer(TOUCH_M)).length)
        along[barrier.owner] = along.get(barrier.owner, 0.0) + run
    return _names(sorted(along, key=lambda o: (-round(along[o], 6), o)), "")


def _names(owners: Iterable[str], but: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(o for o in owners if o and o != but))
