"""The question of feet: where somebody can walk, which rooms result, where they leak, who gets in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.board.answers import Refused
from quincunx.board.asking import Answer, Given, Input, Lead, Option, Row
from quincunx.board.standing import Standing
from quincunx.intents._base import capital
from quincunx.intents._walking import leak_figures, leak_words
from quincunx.scene import Scene
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, Role, TextFigure
from quincunx.walk import OUTSIDE, Leak, Rooms, Walk, Walker, leaks, rooms_of, walk_of
from quincunx.walk.walkers import builtin

NAME = "feet"
WORDS = "Feet"
ASKS = "Who can walk where?"

SHADES = 6
"""Washes for rooms, 1 to 6; 0 is ground in no room."""
DRAWN_M = 0.005
"""Outlines are drawn true to this [m]."""


def inputs(at: Standing) -> tuple[Input, ...]:
    """Return what feet are asked with: who walks, the garden's own walkers first."""
    own = {w.id: w for w in at.garden.walkers}
    every = own | {k: v for k, v in builtin().items() if k not in own}
    return (Input("walker", "Who walks", "walker", "person", tuple(Option(w.id, w.name) for w in every.values())),)


def walker_of(at: Standing, given: Given) -> Walker:
    """Return who is asked about; :class:`Refused` if nobody is called so."""
    found = at.words.walker(given.texts["walker"])
    if found is None:
        raise Refused(404, "Nobody walks under that name. Choose one of the list.")
    return found


def answer(at: Standing, scene: Scene, given: Given) -> Answer:
    """Return free ground, rooms in washes, what is in the way, leaks, and who gets in."""
    who = walker_of(at, given)
    walk, rooms = walk_of(scene, who), rooms_of(scene, who)
    found = _washes(scene, rooms, walk)
    shades = _shades({i: shape for i, shape in found.items() if i})
    figures: list[Figure] = [_area(shape, i, shades.get(i, 0)) for i, shape in found.items() if not shape.is_empty]
    closed = shapely.difference(scene.boundary, shapely.union_all([walk.free.open]))
    figures.append(replace(_area(closed, "", None, "wall"), pattern="hatch"))
    leaking = {r.id: leaks(rooms, r) for r in scene.rooms if r.closed}
    figures += [f for some in leaking.values() for k in some for f in leak_figures(k, at.words)]
    figures += [TextFigure(r.inside, r.name, "room", r.id) for r in scene.rooms]
    figures += _open_gates(scene)
    return Answer(
        words=f"Where {who.name} can go, {_on(scene)}",
        legend=tuple(_legend(who, scene, shades)),
        figures=tuple(figures),
        leads=tuple(_leak(k, at) for r in scene.rooms for k in leaking.get(r.id, ())),
        more={"rooms": [_room(r, walk, rooms, shades, leaking, at) for r in scene.rooms]},
    )


def _on(scene: Scene) -> str:
    from quincunx.units import format_day

    return f"as the garden stands on {format_day(scene.on)}"


def _washes(scene: Scene, rooms: Rooms, walk: Walk) -> dict[str, BaseGeometry]:
    """Return the ground of each named room by id, and under "" the free ground in none of them [m].

    Two names in one piece of ground are one room as far as feet go: the first has the wash.
    """
    free = walk.free.area
    out: dict[str, BaseGeometry] = {}
    seen: set[int] = set()
    for room in scene.rooms:
        piece = rooms.piece.get(room.id)
        if piece is None or piece in seen or piece in rooms.outside:
            continue
        seen.add(piece)
        out[room.id] = shapely.intersection(rooms.walk.free.pieces[piece], free)
    rest = shapely.difference(free, shapely.union_all(list(out.values()))) if out else free
    return {"": rest, **out}


def _shades(found: Mapping[str, BaseGeometry]) -> dict[str, int]:
    """Return a wash for each room, different from its neighbours' as far as six go."""
    out: dict[str, int] = {}
    for name, shape in found.items():
        near = {out[n] for n, other in found.items() if n in out and shapely.dwithin(shape, other, 1.0)}
        wanted = len(out) % SHADES + 1
        free = [s for s in (*range(wanted, SHADES + 1), *range(1, wanted)) if s not in near]
        out[name] = free[0] if free else wanted
    return out


def _area(shape: BaseGeometry, owner: str, shade: int | None, role: Role = "room") -> AreaFigure:
    """Return a shape as one area figure of all its parts [m]."""
    parts = [p for p in shapely.get_parts(shapely.simplify(shape, DRAWN_M)) if isinstance(p, Polygon)]
    rings = [
        tuple((float(x), float(y)) for x, y in ring.coords[:-1]) for p in parts for ring in (p.exterior, *p.interiors)
    ]
    outline = shade is not None and shade > 0
    return AreaFigure(tuple(rings), role, owner, outline=outline, weight="fine", shade=shade)


def _open_gates(scene: Scene) -> list[Figure]:
    """Return the clear line of every opening."""
    return [
        PathFigure(tuple((x, y) for x, y in o.clear.coords), "way", o.owner, weight="thick") for o in scene.openings
    ]


def _legend(who: Walker, scene: Scene, shades: Mapping[str, int]) -> list[Row]:
    rows = [Row(scene.name_of(name), shade, "room") for name, shade in shades.items()]
    rows.append(Row("free ground in no room of its own", 0, "room"))
    rows.append(Row(f"{who.name} can't stand here", role="wall", pattern="hatch"))
    rows.append(Row("a way through", role="way"))
    return rows


def _leak(leak: Leak, at: Standing) -> Lead:
    words = f"{at.words.name(leak.room)}: {leak_words(leak, at.words)}"
    return Lead(f"{capital(words)}.", leak.at, leak.room)


def _room(
    room: Any,
    walk: Walk,
    rooms: Rooms,
    shades: Mapping[str, int],
    leaking: Mapping[str, tuple[Leak, ...]],
    at: Standing,
) -> dict[str, Any]:
    """Return one room in words: is it a room, does this walker get in from outside."""
    who, found = walk.walker, leaking.get(room.id, ())
    if rooms.piece.get(room.id) is None:
        state = "something stands on the point inside it"
    elif found:
        state = "leaks: " + "; ".join(leak_words(k, at.words) for k in found[:2])
    elif room.closed and rooms.closed(room):
        state = "closed all round"
    else:
        joined = rooms.joined(room)
        state = f"open to {at.words.both(joined)}" if joined else "closed all round"
    reached = walk.reaches(OUTSIDE, room.id)
    gets = who.says("gets", "get") if reached else who.says("does not get", "do not get")
    words = f"{capital(state)}. {who.subject} {gets} in from outside."
    return {"id": room.id, "name": room.name, "words": words, "shade": shades.get(room.id, 0), "reached": reached}


def value(at: Standing, scene: Scene, given: Given, where: XY) -> str:
    """Return what is under the pointer: which room, who gets there, how much room there is."""
    who = walker_of(at, given)
    point = Point(where)
    if not scene.world.covers(point):
        return "Beyond the ground of this plan."
    walk = walk_of(scene, who)
    here = next((b for b in walk.free.found if b.shape.covers(point)), None)
    if here is not None:
        return (
            f"{capital(at.words.the(here.owner))}: {who.name} can't stand here."
            if here.owner
            else "No ground to stand on."
        )
    piece = walk.free.piece_of(where)
    outside = piece is not None and piece in walk.pieces_at(OUTSIDE)
    gets = (
        f"{who.subject} {who.says('gets', 'get')} here from outside"
        if outside
        else f"{who.subject} can't get here from outside"
    )
    return f"{_name(scene, who, where)}{gets}{_clear(walk, point, at)}."


def _name(scene: Scene, who: Walker, where: XY) -> str:
    rooms = rooms_of(scene, who)
    piece = rooms.walk.free.piece_of(where)
    names = [
        r.name for r in scene.rooms if piece is not None and piece not in rooms.outside and rooms.piece[r.id] == piece
    ]
    return f"{names[0]}. " if names else ""


def _clear(walk: Walk, point: Point, at: Standing) -> str:
    """Return how far the nearest thing in the way is."""
    near = [(b.shape.distance(point), b.owner) for b in walk.free.found if b.owner]
    if not near:
        return ""
    distance, owner = min(near)
    return f"; {at.words.length(distance)} from {at.words.the(owner)}"
