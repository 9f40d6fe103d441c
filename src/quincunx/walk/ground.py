"""Free ground: where a walker can stand and go on one date."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cached_property, partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Point, Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import XY
from quincunx.walk._kept import Kept
from quincunx.walk.barriers import Barrier, Gates, barriers, polygons
from quincunx.walk.links import Links, Near, links_of, near
from quincunx.walk.walkers import Walker

SLACK_M = 0.0005
"""A body is taken this much slimmer where its outline is drawn, so that a way just wide enough has an outline [m]."""
CUT_M = 2e-5
"""Half the width of the cut along a link [m]."""
ROUND_M = 0.005
"""How far the outline round a corner, drawn in straight pieces, may leave the arc [m]."""


class FreeGround:
    """The ground left to one walker by what stops it, in pieces between which it can't go.

    ``open`` is the ground no barrier stands on; :attr:`pieces` are its parts for this body, exactly;
    :attr:`stand` is where the middle of the body can be, and :attr:`stand_piece` the piece of each part of it.
    """

    def __init__(self, world: Polygon, found: Sequence[Barrier], width_m: float) -> None:
        """Hold barriers and a body width; all else is worked out when asked for."""
        self.world = world
        self.found = tuple(found)
        self.width_m = width_m

    @cached_property
    def _near(self) -> Near:
        return near(self.found, self.width_m)

    @cached_property
    def blocked(self) -> BaseGeometry:
        """Return all barriers as one shape [m]."""
        groups = self._near.groups(len(self.found))
        return shapely.multipolygons(shapely.get_parts([_united([self.found[k] for k in g]) for g in groups]))

    @cached_property
    def open(self) -> Polygon | MultiPolygon:
        """Return the ground without barriers, whatever the body [m]."""
        return shapely.difference(self.world, self.blocked)

    @cached_property
    def narrow(self) -> Links:
        """Return the links too narrow for the body."""
        return links_of(self._near).below(self.width_m)

    @cached_property
    def pieces(self) -> tuple[Polygon, ...]:
        """Return the pieces of ground between which this body can't go, largest first [m]."""
        found = polygons(cut_along(self.open, self.narrow.lines))
        return tuple(sorted(found, key=lambda p: (-round(p.area, 6), p.bounds)))

    @cached_property
    def stand(self) -> NDArray[np.object_]:
        """Return the outlines of where the middle of the body can be, a polygon each [m]."""
        return self._stand[0]

    @cached_property
    def stand_piece(self) -> NDArray[np.int64]:
        """Return the index of the piece that each of :attr:`stand` lies in."""
        return self._stand[1]

    @cached_property
    def _stand(self) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
        if not self.pieces:
            return np.empty(0, dtype=object), np.empty(0, np.int64)
        radius = self.width_m / 2 - SLACK_M
        grown = shapely.buffer(self.blocked, radius, quad_segs=quarter_pieces(radius))
        free = polygons(shapely.difference(self.world, grown))
        out = np.empty(len(free), dtype=object)
        out[:] = free
        if not free:
            return out, np.empty(0, np.int64)
        who, piece = self.piece_tree.query(shapely.point_on_surface(out), predicate="intersects")
        home = np.full(len(free), -1, np.int64)
        home[who[::-1]] = piece[::-1]
        return out[home >= 0], home[home >= 0]

    @cached_property
    def piece_tree(self) -> STRtree:
        """Return a search tree over :attr:`pieces`."""
        return STRtree(self.pieces)

    @cached_property
    def area(self) -> Polygon | MultiPolygon:
        """Return the ground the body can cover: where it can stand, and half its width round that [m]."""
        if not len(self.stand):
            return Polygon()
        radius = self.width_m / 2
        over = shapely.buffer(shapely.union_all(self.stand), radius, quad_segs=quarter_pieces(radius))
        return shapely.intersection(over, self.open)

    @cached_property
    def tree(self) -> STRtree:
        """Return a search tree over :attr:`stand`."""
        return STRtree(self.stand)

    def pieces_at(self, zone: BaseGeometry) -> frozenset[int]:
        """Return the pieces in which the middle of the body can be inside ``zone`` [m]."""
        hit = self.tree.query(zone, predicate="intersects")
        return frozenset(int(p) for p in self.stand_piece[hit])

    def piece_of(self, at: XY) -> int | None:
        """Return the piece of open ground that holds a point [m], or None on a barrier."""
        found = self.piece_tree.query(Point(at), predicate="intersects")
        return int(found.min()) if len(found) else None

    def with_barriers(self, more: Iterable[Barrier]) -> FreeGround:
        """Return the ground with further barriers."""
        return FreeGround(self.world, (*self.found, *more), self.width_m)


def quarter_pieces(radius_m: float) -> int:
    """Return in how many straight pieces a quarter turn of a radius [m] is drawn: they stay within 5 mm of the arc."""
    if radius_m <= ROUND_M:
        return 1
    return math.ceil(math.pi / 4 / math.acos(1 - ROUND_M / radius_m))


def cut_along(shape: BaseGeometry, lines: NDArray[np.float64]) -> BaseGeometry:
    """Return ``shape`` cut along ``lines`` (n, 2, 2) [m], each taken a little into what it ends at."""
    if not len(lines):
        return shape
    step = lines[:, 1] - lines[:, 0]
    length = np.maximum(np.hypot(*step.T), 1e-9)[:, None]
    ahead = step / length * 2 * CUT_M
    aside = np.stack([-step[:, 1], step[:, 0]], 1) / length * CUT_M
    start, end = lines[:, 0] - ahead, lines[:, 1] + ahead
    strips = shapely.polygons(np.stack([start + aside, end + aside, end - aside, start - aside], 1))
    return shapely.difference(shape, shapely.disjoint_subset_union_all(strips))


def _united(group: Sequence[Barrier]) -> BaseGeometry:
    """Return the union of barriers that hang together; what is built and what grows are kept for other grounds.

    What grows is another in each year, and joins what is built, which stays, when that is one already.
    """
    built, grown = (tuple(b.shape for b in group if b.grown == is_grown) for is_grown in (False, True))
    whole = [_UNITED.get(part, None, partial(_union, part)) for part in (built, grown) if part]
    return whole[0] if len(whole) == 1 else _UNITED.get((*built, *grown), "joined", partial(shapely.union, *whole))


def _union(shapes: Sequence[Polygon]) -> BaseGeometry:
    return shapes[0] if len(shapes) == 1 else shapely.union_all(shapes)


def free_ground(
    scene: Scene, walker: Walker, gates: Gates = "usable", open_gate: str | None = None, *, polite: bool = False
) -> FreeGround:
    """Return the ground left to ``walker`` on the scene's date.

    ``gates``: ``usable`` as the walker can, ``shut`` with every opening closed, ``open`` with every gate standing
    open; ``open_gate`` is left open by itself.  ``polite`` walkers keep off young hedges they could push through.
    """
    return ground_of(scene.world, barriers(scene, walker, gates, open_gate, polite=polite), float(walker.body_width))


def ground_of(world: Polygon, found: tuple[Barrier, ...], width_m: float) -> FreeGround:
    """Return the ground left by the barriers ``found``, kept for whomever and whenever the same ones stop."""
    return _GROUND.get(found, (world, width_m), lambda: FreeGround(world, found, width_m))


_UNITED: Kept[BaseGeometry] = Kept(2048)
_GROUND: Kept[FreeGround] = Kept(256)
