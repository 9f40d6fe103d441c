"""What the sheets about walking share: the map of rooms drawn small, ways on the plan, words about rooms."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from shapely import Polygon

from quincunx.intents import Words
from quincunx.intents._walking import leak_words
from quincunx.scene import Room, Scene
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, TextFigure
from quincunx.sheets.book import Block
from quincunx.sheets.svg import Look, draw
from quincunx.units import Style
from quincunx.walk import Leak, Rooms
from quincunx.walk.places import OUTSIDE
from quincunx.walk.roommap import Edge, RoomMap, laid_out

BOX_MM = (38.0, 11.0)
"""A room on the map of rooms, across and up [mm]."""
GAP_MM = (9.0, 11.0)


def map_block(found: RoomMap, words: Words, wide_mm: float, high_mm: float, style: Style) -> Block:
    """Return the map of rooms as a drawing of a size [mm]."""
    apart = (BOX_MM[0] + GAP_MM[0], BOX_MM[1] + GAP_MM[1])
    at = laid_out(found, wide_mm, high_mm, apart)
    half = [((wide_mm - 4) / 2 if n.outside else BOX_MM[0] / 2, BOX_MM[1] / 2) for n in found.nodes]
    figures: list[Figure] = []
    for (a, b), edges in _pairs(found.edges).items():
        figures += _lines(edges, (at[a], half[a]), (at[b], half[b]))
    said = {e.owner: f"{words.name(e.owner)}, {words.length(e.width_m)}" for e in found.edges}
    names = _names([f for f in figures if isinstance(f, PathFigure)], said, list(zip(at, half, strict=True)))
    for i, node in enumerate(found.nodes):
        (x, y), (w, h) = at[i], half[i]
        ring = ((x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h))
        figures.append(AreaFigure((ring,), "datum" if node.outside else "room", weight="normal"))
        figures.append(TextFigure((x, y), called(found, i, words), "note"))
    figures += names
    # One unit of the drawing is a millimetre on paper.
    svg = draw(figures, (0.0, 0.0, wide_mm, high_mm), Look(1000.0, style))
    return {"t": "drawing", "svg": svg, "w": wide_mm, "h": high_mm}


def called(found: RoomMap, node: int, words: Words) -> str:
    """Return what a piece of ground is called on the map of rooms; without a name, by the opening that leads to it."""
    rooms = found.nodes[node].rooms
    if rooms:
        named = [words.name(r) for r in rooms if r != OUTSIDE]
        if OUTSIDE in rooms:
            return "outside" if not named else f"outside, open to {' and '.join(named)}"
        return " + ".join(named)
    doors = [e.owner for e in found.edges if node in (e.a, e.b)]
    if len(doors) != 1:
        return "ground between"
    built = any(s.owner == doors[0] for s in found.graph.walk.scene.solids)
    return f"{'inside' if built else 'beyond'} {words.the(doors[0])}"


def _pairs(edges: Sequence[Edge]) -> dict[tuple[int, int], list[Edge]]:
    out: dict[tuple[int, int], list[Edge]] = {}
    for e in edges:
        out.setdefault((min(e.a, e.b), max(e.a, e.b)), []).append(e)
    return out


Spot = tuple[XY, tuple[float, float]]
"""The middle of a box and half its width and height [mm]."""


def _lines(edges: list[Edge], a: Spot, b: Spot) -> list[Figure]:
    """Return the openings between two rooms as lines side by side."""
    out: list[Figure] = []
    for k, e in enumerate(sorted(edges, key=lambda e: e.owner)):
        shift = (k - (len(edges) - 1) / 2) * 8.0
        (ax, ay), (bx, by) = a[0], b[0]
        # To what is much wider (outside) a line goes straight up.
        if a[1][0] > 2 * b[1][0]:
            ax = bx
        elif b[1][0] > 2 * a[1][0]:
            bx = ax
        flat = abs(bx - ax) > abs(by - ay)
        dx, dy = (0.0, shift / 2) if flat else (shift * 2, 0.0)
        start, end = (ax + dx, ay + dy), (bx + dx, by + dy)
        line = (_edge_of(start, end, a), _edge_of(end, start, b))
        out.append(PathFigure(line, "way" if e.usable else "note", e.owner, weight="normal", dash=not e.usable))
    return out


LETTER_MM = (0.95, 3.2)
"""Room for a small letter, across and up [mm]."""
ALONG = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
ASIDE_MM = (0.0, 1.8, -1.8, 3.6, -3.6, 5.4, -5.4, 7.2, -7.2, 9.0, -9.0)
"""Where on its line and how far over it a name is tried, the likeliest first [mm]."""


def _names(lines: Sequence[PathFigure], said: Mapping[str, str], boxes: Sequence[Spot]) -> list[Figure]:
    """Return the name of each line, by its middle if it can, where it covers no box and no other name, or least of them."""
    taken = [shapely.box(x - w, y - h, x + w, y + h) for (x, y), (w, h) in boxes]
    out: list[Figure] = []
    for line in lines:
        text, ((ax, ay), (bx, by)) = said[line.owner], line.points
        wide, high = len(text) * LETTER_MM[0] / 2, LETTER_MM[1] / 2
        tried = [(ax + t * (bx - ax), ay + t * (by - ay) + up) for up in ASIDE_MM for t in ALONG]
        rooms = [shapely.box(x - wide, y - high, x + wide, y + high) for x, y in tried]
        covers = shapely.area(shapely.intersection(np.array(rooms)[:, None], np.array(taken)[None])).sum(axis=1)
        best = int(covers.argmin())
        taken.append(rooms[best])
        out.append(TextFigure(tried[best], text, "note", line.owner, "small"))
    return out


def _edge_of(inner: XY, outer: XY, box: Spot) -> XY:
    """Return where a line from inside a box to a point outside it leaves the box [mm]."""
    (x, y), (w, h) = box
    dx, dy = outer[0] - inner[0], outer[1] - inner[1]
    shares = [1.0]
    if dx:
        shares.append(((x + w if dx > 0 else x - w) - inner[0]) / dx)
    if dy:
        shares.append(((y + h if dy > 0 else y - h) - inner[1]) / dy)
    t = min(s for s in shares if s >= 0)
    return (inner[0] + t * dx, inner[1] + t * dy)


def outlines(rooms: Rooms) -> list[Figure]:
    """Return the ground of each closed room as found, drawn as a thick line round it."""
    out: list[Figure] = []
    seen: set[int] = set()
    for room in rooms.scene.rooms:
        piece = rooms.piece.get(room.id)
        if piece is None or piece in seen or piece in rooms.outside:
            continue
        seen.add(piece)
        shape = shapely.simplify(rooms.walk.free.pieces[piece], 0.02)
        if isinstance(shape, Polygon):
            ring = tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])
            out.append(PathFigure(ring, "room", room.id, closed=True, weight="normal"))
    return out


def opening_figures(scene: Scene, words: Words) -> list[Figure]:
    """Return every opening's clear line and its clear width in words beside it."""
    out: list[Figure] = []
    for o in scene.openings:
        line = tuple((float(x), float(y)) for x, y in o.clear.coords)
        middle = o.clear.interpolate(0.5, normalized=True)
        out.append(PathFigure(line, "way", o.owner, weight="thick"))
        out.append(TextFigure((middle.x, middle.y), words.length(o.width_m), "way", o.owner, "small"))
    return out


def room_state(rooms: Rooms, room: Room, found: Sequence[Leak], words: Words) -> str:
    """Return in words whether a room is one: closed all round, where it leaks, to what it is open."""
    if rooms.piece.get(room.id) is None:
        return "something stands on the point inside it"
    if found:
        return "leaks: " + "; ".join(leak_words(k, words) for k in found[:2])
    joined = rooms.joined(room)
    return f"open to {words.both(joined)}" if joined else "closed all round"
