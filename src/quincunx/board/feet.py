"""The question of feet: where somebody can walk, which rooms result, where they leak, who gets in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.board import feet_ways, feet_wear, feet_works
from quincunx.board.asking import Answer, Given, Input, Lead, Option, Row, Table
from quincunx.board.replies import Refused
from quincunx.board.standing import Standing
from quincunx.intents._keeping import snow
from quincunx.intents._walking import leak_figures, leak_words
from quincunx.scene import Scene
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, Role, TextFigure, united
from quincunx.units import capital
from quincunx.walk import OUTSIDE, Leak, Rooms, Walk, Walker, leaks, rooms_of, walk_of
from quincunx.walk.roommap import RoomMap, room_map
from quincunx.walk.walkers import builtin

NAME = "feet"
WORDS = "Feet"
ASKS = "Who can walk where?"

SHADES = 6
"""Washes for rooms, 1 to 6; 0 is ground in no room."""
DRAWN_M = 0.005
"""Outlines are drawn true to this [m]."""


SHOWS = (
    Option("rooms", "rooms and leaks"),
    Option("ways", "the way between two places"),
    Option("wear", "where feet will go"),
    Option("works", "getting to the works"),
)


def inputs(at: Standing) -> tuple[Input, ...]:
    """Return what feet are asked with: who walks (the garden's own walkers first), what to show, between which places."""
    own = {w.id: w for w in at.garden.walkers}
    every = own | {k: v for k, v in builtin().items() if k not in own}
    spots = tuple(Option(s.id, s.name, s.at) for s in at.timeline.frame.spots)
    near = [s.id for s in at.timeline.frame.spots if s.height_m <= 0] or [o.id for o in spots]
    middle = at.timeline.frame.boundary.representative_point()
    here = f"{middle.x:.2f},{middle.y:.2f}"
    walkers = tuple(Option(w.id, w.name) for w in every.values())
    return (
        Input("show", "Show", "choice", "rooms", SHOWS),
        Input("walker", "Who walks", "walker", "person", walkers, when=("show", ("rooms", "ways"))),
        Input("start", "From", "place", _road(at, near) or here, spots, when=("show", ("ways",))),
        feet_works.loads_input(at),
        Input("end", "To", "place", near[-1] if len(near) > 1 else here, spots, when=("show", ("ways",))),
    )


def _road(at: Standing, near: list[str]) -> str:
    """Return the first spot outside the boundary, from where people come, else the first of all."""
    frame = at.timeline.frame
    out = [s.id for s in frame.spots if s.id in near and not frame.boundary.covers(Point(s.at))]
    return next(iter(out or near), "")


def walker_of(at: Standing, given: Given) -> Walker:
    """Return who is asked about; :class:`Refused` if nobody is called so."""
    found = at.words.walker(given.texts["walker"])
    if found is None:
        raise Refused(404, "Nobody walks under that name. Choose one of the list.")
    return found


def rough(at: Standing, scene: Scene, given: Given) -> Answer | None:
    """Return a way without how far all other places are, while what reckons those is not compiled; None once it is."""
    from quincunx.board.compiling import for_distances

    if given.choice("show") != "ways" or all(one.has_come() for one in for_distances()):
        return None
    return feet_ways.answer(at, scene, given, walker_of(at, given), rough=PREPARING)


PREPARING = "How far the other places are follows once this computer has prepared its reckoning, a minute or two the first time."


def ready() -> None:
    """Load, or on a new machine compile, what finds the ways between all places."""
    from quincunx.board.compiling import for_distances, make_ready

    make_ready(*for_distances())


def answer(at: Standing, scene: Scene, given: Given) -> Answer:
    """Return what was asked to be shown: rooms and leaks, a way, where feet will go, or the way to the works."""
    who, show = walker_of(at, given), given.choice("show")
    if show == "ways":
        return feet_ways.answer(at, scene, given, who)
    if show == "wear":
        return feet_wear.answer(at, scene)
    if show == "works":
        return feet_works.answer(at, scene, given)
    return _rooms(at, scene, who)


def _rooms(at: Standing, scene: Scene, who: Walker) -> Answer:
    """Return free ground, rooms in washes, what is in the way, leaks, and who gets in."""
    walk, rooms = walk_of(scene, who), rooms_of(scene, who)
    found = _washes(scene, rooms, walk)
    shades = _shades({i: shape for i, shape in found.items() if i})
    figures: list[Figure] = [_area(shape, i, shades.get(i, 0)) for i, shape in found.items() if not shape.is_empty]
    closed = shapely.difference(scene.boundary, united([walk.free.open]))
    figures.append(replace(_area(closed, "", None, "wall"), pattern="hatch"))
    leaking = {r.id: leaks(rooms, r) for r in scene.rooms if r.closed}
    figures += leak_figures([k for some in leaking.values() for k in some], at.words)
    figures += [TextFigure(r.inside, r.name, "room", r.id) for r in scene.rooms]
    figures += _open_gates(scene)
    chart = room_map(scene, who)
    figures += _between(chart)
    return Answer(
        words=f"Where {who.name} can go, {_on(scene)}{snow(scene, who, at.words)}",
        legend=tuple(_legend(who, rooms, shades)),
        figures=tuple(figures),
        below=_doors(chart, at),
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
    rest = shapely.difference(free, united(list(out.values()))) if out else free
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


def _between(chart: RoomMap) -> list[Figure]:
    """Return a fine line from room to room through each opening that can be used."""
    return [
        PathFigure((chart.nodes[e.a].at, e.at, chart.nodes[e.b].at), "datum", e.owner, weight="fine", dash=True)
        for e in chart.edges
        if e.usable and not chart.nodes[e.a].outside and not chart.nodes[e.b].outside
    ]


def _doors(chart: RoomMap, at: Standing) -> tuple[Table, ...]:
    """Return the map of rooms in words: which opening leads from where to where, how wide, used or not."""
    if not chart.edges:
        return ()
    called = [", ".join(at.words.name(r) for r in n.rooms) or "ground between" for n in chart.nodes]
    rows = tuple(
        (
            at.words.name(e.owner),
            f"{called[e.a]} to {called[e.b]}",
            at.words.length(e.width_m) if e.usable else "not opened or too narrow",
        )
        for e in chart.edges
    )
    round_ = "no way round" if not chart.loops else "1 way round" if chart.loops == 1 else f"{chart.loops} ways round"
    return (Table(f"From room to room ({round_})", ("opening", "leads from, to", "clear"), rows),)


def _legend(who: Walker, found: Rooms, shades: Mapping[str, int]) -> list[Row]:
    rows = [Row(_together(found, name), shade, "room") for name, shade in shades.items()]
    rows.append(Row("free ground in no room of its own", 0, "room"))
    rows.append(Row(f"{who.name} can't stand here", role="wall", pattern="hatch"))
    rows.append(Row("a way through", role="way"))
    rows.append(Row("from room to room", role="datum"))
    return rows


def _together(rooms: Rooms, room: str) -> str:
    """Return the names of all rooms that are one piece of ground with this one, and so have its wash."""
    return ", ".join(r.name for r in rooms.scene.rooms if rooms.piece[r.id] == rooms.piece[room])


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
    return f"{', '.join(names)}. " if names else ""


def _clear(walk: Walk, point: Point, at: Standing) -> str:
    """Return how far the nearest thing in the way is."""
    near = [(b.shape.distance(point), b.owner) for b in walk.free.found if b.owner]
    if not near:
        return ""
    distance, owner = min(near)
    return f"; {at.words.length(distance)} from {at.words.the(owner)}"
