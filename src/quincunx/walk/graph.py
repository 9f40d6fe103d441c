"""Rooms and the openings between them as a graph: ways in, what lies on every way, what to shut."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from quincunx.scene import Scene
from quincunx.shapes import Opening
from quincunx.walk.barriers import passes_leaf
from quincunx.walk.links import TIE_M
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.walkers import Walker


@dataclass(frozen=True, slots=True)
class Door:
    """An opening between the pieces ``a`` and ``b``; ``usable`` if the walker gets through it as it stands."""

    owner: str
    a: int
    b: int
    usable: bool
    width_m: float


@dataclass(frozen=True)
class RoomGraph:
    """The pieces of ground with every opening shut, and the doors between them."""

    walk: Walk
    doors: tuple[Door, ...]

    def pieces_at(self, ref: str) -> frozenset[int]:
        """Return the pieces a place lies in."""
        return self.walk.pieces_at(ref)

    def reached(self, start: str, shut: Collection[str] = ()) -> frozenset[int]:
        """Return the pieces reached from a place through usable doors that aren't ``shut``."""
        return frozenset(_spread(self._open(shut), self.pieces_at(start)))

    def _open(self, shut: Collection[str] = ()) -> list[Door]:
        return [d for d in self.doors if d.usable and d.owner not in shut]

    def ways_in(self, ref: str) -> tuple[str, ...]:
        """Return the usable doors that lead into the ground of a place from elsewhere."""
        mine = self.pieces_at(ref)
        return tuple(d.owner for d in self._open() if (d.a in mine) != (d.b in mine))

    def only_through(self, start: str, end: str) -> tuple[str, ...]:
        """Return the doors that lie on every way from ``start`` to ``end``: shut one and there is no way."""
        goal = self.pieces_at(end)
        if not self.reached(start) & goal:
            return ()
        return tuple(d.owner for d in self._open() if not self.reached(start, {d.owner}) & goal)

    def fewest_to_shut(self, start: str, end: str) -> tuple[str, ...] | None:
        """Return a smallest set of doors that, shut together, part two places; None if no doors can.

        Maximum flow with one unit a door (L. R. Ford and D. R. Fulkerson, Canadian Journal of Mathematics 8, 1956;
        from memory), nearest to ``start`` where several sets are as small.
        """
        sources, goal = self.pieces_at(start), self.pieces_at(end)
        if sources & goal:
            return None
        doors = self._open()
        flow = [0] * len(doors)
        while _augment(doors, flow, sources, goal):
            pass
        near = _residual(doors, flow, sources)
        return tuple(sorted(d.owner for d in doors if (d.a in near) != (d.b in near)))

    def loops(self) -> int:
        """Return how many ways round there are: doors that could be shut without parting any two pieces."""
        pieces = {p for d in self._open() for p in (d.a, d.b)}
        groups, left = 0, set(pieces)
        while left:
            left -= _spread(self._open(), {min(left)})
            groups += 1
        return len(self._open()) - len(pieces) + groups

    def dead_ends(self) -> tuple[int, ...]:
        """Return the pieces entered by one usable door only."""
        doors = [p for d in self._open() for p in {d.a, d.b}]
        return tuple(sorted(p for p in set(doors) if doors.count(p) == 1))


def room_graph(scene: Scene, walker: Walker) -> RoomGraph:
    """Return the graph of rooms and doors for ``walker`` on the scene's date."""
    walk = walk_of(scene, walker, "shut")
    doors = []
    for opening, (a, b) in zip(scene.openings, walk.all_sides(), strict=True):
        if a and b and min(a) != min(b):
            doors.append(Door(opening.owner, min(a), min(b), _usable(scene, walker, opening), opening.width_m))
    return RoomGraph(walk, tuple(doors))


def _usable(scene: Scene, walker: Walker, opening: Opening) -> bool:
    high = opening.headroom_m is None or opening.headroom_m >= float(walker.headroom)
    fits = opening.width_m >= float(walker.body_width) - TIE_M and opening.step_m <= float(walker.step_up)
    return high and fits and passes_leaf(walker, opening, scene.snow_m)


def _spread(doors: Iterable[Door], start: Collection[int]) -> set[int]:
    beside: dict[int, set[int]] = {}
    for d in doors:
        beside.setdefault(d.a, set()).add(d.b)
        beside.setdefault(d.b, set()).add(d.a)
    seen, todo = set(start), list(start)
    while todo:
        new = beside.get(todo.pop(), set()) - seen
        seen |= new
        todo.extend(new)
    return seen


def _steps(doors: list[Door], flow: list[int], piece: int) -> Iterable[tuple[int, int, int]]:
    """Yield (door, next piece, direction) for each door that can take another unit from ``piece``."""
    for k, d in enumerate(doors):
        if d.a == piece and flow[k] < 1:
            yield k, d.b, 1
        elif d.b == piece and flow[k] > -1:
            yield k, d.a, -1


def _search(doors: list[Door], flow: list[int], sources: Collection[int]) -> dict[int, tuple[int, int, int] | None]:
    """Return, for each piece another unit can reach, the (piece, door, direction) it comes by."""
    came: dict[int, tuple[int, int, int] | None] = dict.fromkeys(sorted(sources))
    queue = deque(came)
    while queue:
        piece = queue.popleft()
        for k, other, way in _steps(doors, flow, piece):
            if other not in came:
                came[other] = (piece, k, way)
                queue.append(other)
    return came


def _augment(doors: list[Door], flow: list[int], sources: Collection[int], goal: Collection[int]) -> bool:
    came = _search(doors, flow, sources)
    end = next((p for p in came if p in goal), None)
    if end is None:
        return False
    step = came[end]
    while step is not None:
        piece, k, way = step
        flow[k] += way
        step = came[piece]
    return True


def _residual(doors: list[Door], flow: list[int], sources: Collection[int]) -> set[int]:
    return set(_search(doors, flow, sources))
