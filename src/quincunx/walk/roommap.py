"""The map of rooms: which opening leads from which room to which, drawn small, without the garden's true shapes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quincunx.scene import Scene
from quincunx.shapes import XY
from quincunx.walk.graph import RoomGraph, room_graph
from quincunx.walk.places import OUTSIDE
from quincunx.walk.walkers import Walker

UNNAMED = ""
"""Ground with no name of its own."""


@dataclass(frozen=True, slots=True)
class Node:
    """One piece of ground: the rooms in it by id (``outside`` for what lies beyond), and a point of it [m]."""

    piece: int
    rooms: tuple[str, ...]
    at: XY

    @property
    def outside(self) -> bool:
        """Return whether it is, or hangs together with, what lies beyond the boundary."""
        return OUTSIDE in self.rooms


@dataclass(frozen=True, slots=True)
class Edge:
    """One opening between two nodes (by number), whose, how wide [m], and whether the walker gets through."""

    owner: str
    a: int
    b: int
    width_m: float
    usable: bool
    at: XY


@dataclass(frozen=True)
class RoomMap:
    """The rooms and the openings between them for one walker."""

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
    loops: int
    dead_ends: tuple[str, ...]
    graph: RoomGraph

    def ways_of(self, node: int) -> tuple[Edge, ...]:
        """Return the openings of a node that the walker gets through."""
        return tuple(e for e in self.edges if e.usable and node in (e.a, e.b))


def room_map(scene: Scene, walker: Walker) -> RoomMap:
    """Return the map of rooms on the scene's date.

    Pieces without a name are on it only where an opening leads to them.
    """
    graph = room_graph(scene, walker)
    free = graph.walk.free
    named: dict[int, list[str]] = {}
    at: dict[int, XY] = {}
    for room in scene.rooms:
        piece = free.piece_of(room.inside)
        if piece is not None:
            named.setdefault(piece, []).append(room.id)
            at.setdefault(piece, room.inside)
    outside = graph.pieces_at(OUTSIDE)
    home = min(outside, default=-1)
    pieces = {home if p in outside else p for p in (*named, *(q for d in graph.doors for q in (d.a, d.b)))}
    order = sorted(pieces)
    number = {p: i for i, p in enumerate(order)}
    nodes = []
    for piece in order:
        rooms = tuple(r for p in (outside if piece == home else (piece,)) for r in named.get(p, ()))
        point = at.get(piece) or _middle(free.pieces[piece])
        nodes.append(Node(piece, (*rooms, OUTSIDE) if piece == home else rooms, point))
    clear = {o.owner: o.clear.interpolate(0.5, normalized=True) for o in scene.openings}
    edges = tuple(
        Edge(d.owner, number[a], number[b], d.width_m, d.usable, (clear[d.owner].x, clear[d.owner].y))
        for d in graph.doors
        if (a := home if d.a in outside else d.a) != (b := home if d.b in outside else d.b)
    )
    ends = {p for p in graph.dead_ends() if p not in outside}
    dead = tuple(r for p in sorted(ends) for r in named.get(p, ()))
    return RoomMap(tuple(nodes), edges, graph.loops(), dead, graph)


def _middle(shape: object) -> XY:
    point = shape.representative_point()  # type: ignore[attr-defined]
    return (float(point.x), float(point.y))


ROUNDS = 200
"""Rounds of pushing nodes apart."""


def laid_out(found: RoomMap, wide: float, high: float, apart: tuple[float, float]) -> tuple[XY, ...]:
    """Return where to draw each node in a box ``wide`` by ``high``: as they lie, at least ``apart`` (across, up).

    What lies outside is put at the top, where the drawing has its frame.
    """
    inner = [i for i, n in enumerate(found.nodes) if not n.outside]
    xs, ys = [found.nodes[i].at[0] for i in inner], [found.nodes[i].at[1] for i in inner]
    spot: dict[int, list[float]] = {}
    for i in inner:
        x, y = found.nodes[i].at
        spot[i] = [_share(x, xs) * (wide - apart[0]) + apart[0] / 2, _share(y, ys) * (high - 2.6 * apart[1]) + apart[1]]
    for _ in range(ROUNDS):
        if not _pushed(spot, inner, apart):
            break
        for i in inner:
            spot[i][0] = min(max(spot[i][0], apart[0] / 2), wide - apart[0] / 2)
            spot[i][1] = min(max(spot[i][1], apart[1] / 2), high - 1.9 * apart[1])
    return tuple(
        (spot[i][0], spot[i][1]) if i in spot else (wide / 2, high - apart[1] / 2) for i in range(len(found.nodes))
    )


def _share(value: float, of: list[float]) -> float:
    low, high = min(of), max(of)
    return 0.5 if math.isclose(low, high) else (value - low) / (high - low)


def _pushed(spot: dict[int, list[float]], inner: list[int], apart: tuple[float, float]) -> bool:
    """Push overlapping nodes apart by half their overlap, along the lesser of the two; return whether any was."""
    moved = False
    for n, i in enumerate(inner):
        for j in inner[n + 1 :]:
            dx, dy = spot[j][0] - spot[i][0], spot[j][1] - spot[i][1]
            over = (apart[0] - abs(dx), apart[1] - abs(dy))
            if over[0] <= 1e-6 or over[1] <= 1e-6:
                continue
            axis = 0 if over[0] / apart[0] < over[1] / apart[1] else 1
            way = math.copysign(1.0, (dx, dy)[axis]) if (dx, dy)[axis] else 1.0
            spot[i][axis] -= way * over[axis] * 0.52
            spot[j][axis] += way * over[axis] * 0.52
            moved = True
    return moved
