"""What goes along when things are moved: points of rooms and spots that stood among them, openings that stand in them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from quincunx.board.scenes import to_come
from quincunx.board.standing import Standing
from quincunx.features import Feature
from quincunx.garden import Op, RoomDoc
from quincunx.shapes import XY, united
from quincunx.units import listed

Shift = Callable[[XY], XY]
IN_WALL_M = 0.3
"""An opening so near to what stands upright is in it [m]."""
NEAR_M, OFF_M, MOST_NEAR = 3.0, 0.5, 2
"""An opening that is dragged may come into what stands so near to it; so far from what it stands in it surely has [m]."""
ALONG_M = 2.5
"""What an opening stands in is looked along as far as this to both sides, in the middle of each [m]."""


def goes_along(at: Standing, ids: Iterable[str], shift: Shift, on: date) -> tuple[tuple[Op, ...], str]:
    """Return the edits that take along what stood among walls that are moved by ``shift``, and what that is in words.

    A room's point or a spot goes along if it lies among what stands upright of the things moved (inside a line drawn
    tightly round all of it), would no longer do so where it is, and does not leave the garden.
    """
    wanted = set(ids)
    among = _among(at, [f for f in at.garden.features if f.id in wanted], on)
    if among.area == 0:
        return (), ""
    later = shapely.transform(among, lambda points: [shift((x, y)) for x, y in points])
    ops, names = [], []
    for part, field in (("rooms", "inside"), ("spots", "at")):
        for one in getattr(at.garden, part):
            was = tuple(float(c) for c in getattr(one, field))
            if among.covers(shapely.Point(was)) and not later.covers(shapely.Point(was)):
                now = _grid(shift((was[0], was[1])))
                if at.timeline.frame.boundary.covers(shapely.Point(now)):
                    value: dict[str, Any] = {field: list(now)}
                    if isinstance(one, RoomDoc) and one.outline is not None:
                        value["outline"] = [list(_grid(shift((float(x), float(y))))) for x, y in one.outline]
                    ops.append(Op(do="change", part=part, id=one.id, value=value))
                    names.append(one.name or one.id)
    return tuple(ops), listed(names)


def carried(at: Standing, ids: Iterable[str], on: date) -> tuple[Feature, ...]:
    """Return the openings that stand in what is moved and are not moved themselves: a gate goes with its wall.

    One that stands nearer to something that stays, stays with it.
    """
    wanted = set(ids)
    openings = [f for f in at.garden.features if type(f).group == "openings" and hasattr(f, "at")]
    solid = [f for f in at.garden.features if type(f).group != "openings"]
    moved = _upright(at, [f for f in solid if f.id in wanted], on)
    out = []
    for one in openings:
        point = shapely.Point(tuple(float(c) for c in one.at))
        if one.id not in wanted and not moved.is_empty and moved.distance(point) <= IN_WALL_M:
            stays = _upright(at, [f for f in solid if f.id not in wanted], on)
            if stays.is_empty or moved.distance(point) <= stays.distance(point):
                out.append(one)
    return tuple(out)


def other_places(at: Standing, opening: Feature, on: date) -> Iterator[Feature]:
    """Yield an opening as it would stand some way along what it stands in, then in what else stands upright near it."""
    if type(opening).group != "openings" or not hasattr(opening, "at"):
        return
    x, y = (float(c) for c in opening.at)
    point = shapely.Point(x, y)
    about = {s.owner for s in at.timeline.at(on).solids if s.upright and s.footprint.dwithin(point, NEAR_M)}
    solid = [_upright(at, [f], on) for f in at.garden.features if f.id in about and type(f).group != "openings"]
    near = [(s.distance(point), k) for k, s in enumerate(solid)]
    host = united([solid[k] for how_far, k in near if how_far <= IN_WALL_M])
    about_it = shapely.difference(point.buffer(ALONG_M), point.buffer(OFF_M))
    for side in shapely.get_parts(shapely.intersection(host, about_it)):
        yield opening.changed(**opening.moved(side.centroid.x - x, side.centroid.y - y, 0.0, (0.0, 0.0)))
    others = sorted(n for n in near if n[0] > IN_WALL_M)
    for _, k in others[:MOST_NEAR]:
        clear = shapely.difference(solid[k], shapely.buffer(host, OFF_M))
        if not clear.is_empty:
            to_x, to_y = shapely.shortest_line(clear, point).coords[0]
            yield opening.changed(**opening.moved(to_x - x, to_y - y, 0.0, (0.0, 0.0)))


def shift_of(dx_m: float, dy_m: float, turn_deg: float, about: XY) -> Shift:
    """Return what turns a point clockwise about another, then shifts it [m]."""
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))

    def shift(point: XY) -> XY:
        x, y = point[0] - about[0], point[1] - about[1]
        return (about[0] + x * cos + y * sin + dx_m, about[1] - x * sin + y * cos + dy_m)

    return shift


def _among(at: Standing, features: Iterable[Feature], on: date) -> BaseGeometry:
    """Return the ground inside a line drawn tightly round what stands upright of the features."""
    return _upright(at, features, on).convex_hull


def _upright(at: Standing, features: Iterable[Feature], on: date) -> BaseGeometry:
    """Return the ground on which something of the features stands upright."""
    shapes = []
    for feature in features:
        stood = at.timeline.stood(feature, on) if at.timeline.stands_on(feature.id, on) else to_come(at, feature, on)
        shapes += [s.footprint for s in stood.solids if s.upright]
    return united(shapes)


def _grid(point: XY) -> XY:
    return (round(point[0], 3), round(point[1], 3))
