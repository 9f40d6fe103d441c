"""Who reaches what, and what happens when a gate is left open."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from quincunx.scene import Scene
from quincunx.shapes import XY, Opening
from quincunx.walk import heights, links
from quincunx.walk._kept import Kept, forget_all
from quincunx.walk.barriers import Barrier, Gates, barriers, opening_barriers, passes_leaf
from quincunx.walk.ground import FreeGround, ground_of
from quincunx.walk.places import Place, pieces_reached, place_of
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import Way, shortest_way

Grown = Literal["stands", "let-off"]
"""Whether planted things stop the walker, or are taken as no barrier at all."""

BESIDE_M = 0.06
"""How far from a leaf's middle its two sides are looked at [m]."""


@dataclass(frozen=True)
class Walk:
    """One walker in one scene: the ground it has and who gets where.

    ``open_gate`` is left standing open, ``shut`` openings are closed to everybody, ``grown`` lets planted things
    off.  Use :func:`walk_of`, which keeps what was worked out.
    """

    scene: Scene
    walker: Walker
    gates: Gates = "usable"
    open_gate: str | None = None
    polite: bool = False
    shut: frozenset[str] = frozenset()
    grown: Grown = "stands"
    _places: dict[str, tuple[Place | None, frozenset[int]]] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def free(self) -> FreeGround:
        """Return the walker's ground."""
        found = barriers(self.scene, self.walker, self.gates, self.open_gate, polite=self.polite)
        if self.grown == "let-off":
            found = tuple(b for b in found if not b.grown)
        like = self.before or self._plainer
        ground = None if like is None else like.free
        return ground_of(self.scene.world, (*found, *self._closed()), float(self.walker.body_width), ground)

    @property
    def before(self) -> Walk | None:
        """Return the same walk in the scene this one was changed from; None if that isn't known."""
        scene = self.scene.before
        if scene is None:
            return None
        return walk_of(
            scene, self.walker, self.gates, self.open_gate, polite=self.polite, shut=self.shut, grown=self.grown
        )

    @property
    def _plainer(self) -> Walk | None:
        """Return the walk with no gate left open, which is stopped by all that stops this one; None if this is it."""
        if self.open_gate is None and self.gates != "open" and self.grown == "stands":
            return None
        return walk_of(self.scene, self.walker, polite=self.polite, shut=self.shut)

    def _closed(self) -> list[Barrier]:
        shut = [o for o in self.scene.openings if o.owner in self.shut]
        return [b for o in shut for b in opening_barriers(self.scene, self.walker, o, "shut", None)]

    def _at(self, ref: str) -> tuple[Place | None, frozenset[int]]:
        if ref not in self._places:
            place = place_of(self.scene, ref)
            found = frozenset[int]() if place is None else pieces_reached(self.free, place, self.walker)
            self._places[ref] = (place, found)
        return self._places[ref]

    def place(self, ref: str) -> Place | None:
        """Return the place called ``ref``, or None where nothing of it stands."""
        return self._at(ref)[0]

    def pieces_at(self, ref: str) -> frozenset[int]:
        """Return the pieces of the walker's ground from which it is at ``ref``."""
        return self._at(ref)[1]

    def reaches(self, start: str, end: str) -> bool:
        """Return whether the walker gets from one place to another."""
        return bool(self.pieces_at(start) & self.pieces_at(end))

    def way(self, start: str, end: str) -> Way | None:
        """Return the shortest way between two places, or None if there is none."""
        a, b = self.place(start), self.place(end)
        if a is None or b is None or not self.reaches(start, end):
            return None
        return shortest_way(self.free, self.walker, a, b, self.pieces_at(start) & self.pieces_at(end))

    def sides(self, opening: Opening) -> tuple[frozenset[int], frozenset[int]]:
        """Return the pieces on the two sides of an opening."""
        one, other = self.free.pieces_of(sides_at(opening))
        return _own(one), _own(other)

    def all_sides(self) -> list[tuple[frozenset[int], frozenset[int]]]:
        """Return the pieces on the two sides of each opening: quicker together."""
        self.free.pieces_of([p for o in self.scene.openings for p in sides_at(o)])
        return [self.sides(o) for o in self.scene.openings]


def _own(piece: int | None) -> frozenset[int]:
    return frozenset[int]() if piece is None else frozenset({piece})


def sides_at(opening: Opening) -> list[XY]:
    """Return a point on each side of an opening [m]."""
    return _SIDES.get((opening,), None, lambda: _sides(opening))


def _sides(opening: Opening) -> list[XY]:
    (ax, ay), (bx, by) = opening.clear.coords[0], opening.clear.coords[-1]
    run = opening.clear.length or 1.0
    nx, ny = -(by - ay) / run, (bx - ax) / run
    x, y = (ax + bx) / 2, (ay + by) / 2
    return [(x + side * nx * BESIDE_M, y + side * ny * BESIDE_M) for side in (1.0, -1.0)]


_KEPT: Kept[Walk] = Kept(600)
_SIDES: Kept[list[XY]] = Kept(512)


def walk_of(
    scene: Scene,
    walker: Walker,
    gates: Gates = "usable",
    open_gate: str | None = None,
    *,
    polite: bool = False,
    shut: frozenset[str] = frozenset(),
    grown: Grown = "stands",
) -> Walk:
    """Return the :class:`Walk`, kept by the scene's content and the walker, so that a question asked twice costs once."""
    how = (gates, open_gate, polite, shut, grown)
    own: dict[tuple[object, ...], Walk] | None = scene.__dict__.get("walks")
    if own is None:
        return _KEPT.get((walker,), (scene.key, how), lambda: Walk(scene, walker, *how))
    walk = own.get((id(walker), how))
    if walk is None:
        walk = own[id(walker), how] = Walk(scene, walker, *how)  # it holds the walker, whose identity stays its own
    return walk


def forget() -> None:
    """Forget all that is kept, so that the next walk is worked out from nothing."""
    forget_all()
    heights.forget()
    links.forget()


def left_open(walk: Walk, start: str, end: str) -> tuple[str, ...]:
    """Return the openings (owner ids) each of which, left open by itself, lets the walker from ``start`` to ``end``."""
    if walk.reaches(start, end):
        return ()
    found = []
    for opening in walk.scene.openings:
        if opening.leaf is None or opening.latch == "shut" or passes_leaf(walk.walker, opening, walk.scene.snow_m):
            continue
        if _joins(walk, opening, start, end):
            other = walk_of(
                walk.scene, walk.walker, walk.gates, opening.owner, polite=walk.polite, shut=walk.shut, grown=walk.grown
            )
            if other.reaches(start, end):
                found.append(opening.owner)
    return tuple(found)


def _joins(walk: Walk, opening: Opening, start: str, end: str) -> bool:
    """Return whether the two sides of an opening lie in the ground of ``start`` and of ``end``, or may do so."""
    a, b = walk.sides(opening)
    if not a or not b:
        return True
    here, there = walk.pieces_at(start), walk.pieces_at(end)
    return bool((a & here and b & there) or (a & there and b & here)) or not here or not there
