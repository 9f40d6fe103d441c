"""Free ground: where a walker can stand and go on one date."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property, partial
from threading import Lock
from weakref import ref

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Point, Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from quincunx.kernels import at_work
from quincunx.scene import Scene
from quincunx.shapes import XY, united
from quincunx.walk._arrivals import circles_met, pairs_near, that_part
from quincunx.walk._coming import Coming, Firm, closed_round, crossed_over
from quincunx.walk._kept import Kept
from quincunx.walk._parting import Net, Parting, grow, loops_round, net_of, rim_of
from quincunx.walk._string import taut_string
from quincunx.walk.barriers import Barrier, Gates, barriers, polygons
from quincunx.walk.links import (
    Added,
    Links,
    Near,
    added,
    convex_parts,
    holding,
    links_of,
    near,
    near_with,
    near_without,
)
from quincunx.walk.walkers import Walker

SLACK_M = 0.0005
"""A body is taken this much slimmer where its outline is drawn, so that a way just wide enough has an outline [m]."""
CUT_M = 2e-5
"""Half the width of the cut along a link [m]."""
AROUND_M = 0.02
"""So far round what is gone the ground is worked out anew, over what is known of it [m]."""
MOST_OVER = 400
"""Of so many points is remembered what they lie on."""
FEW = 60
"""With more barriers than this changed, the ground is worked out from nothing."""
ROUND_M = 0.005
"""How far the outline round a corner, drawn in straight pieces, may leave the arc [m]."""


class FreeGround:
    """The ground left to one walker by what stops it, in pieces between which it can't go.

    ``open`` is the ground no barrier stands on; :attr:`pieces` are its parts for this body, exactly;
    :attr:`stand` is where the middle of the body can be, and :attr:`stand_piece` the piece of each part of it.
    Pieces go by numbers; which one a place lies in is told without drawing any (:class:`Parting`).
    """

    def __init__(
        self,
        world: Polygon,
        found: Sequence[Barrier],
        width_m: float,
        rest: FreeGround | None = None,
        full: FreeGround | None = None,
    ) -> None:
        """Hold barriers and a body width; all else is worked out when asked for.

        ``rest`` is the ground without some of the barriers, ``full`` one with more of them: what those know is used
        where the others make no difference.  ``full`` is not held, so that no ground holds all that came before it.
        """
        self.world = world
        self.found = tuple(found)
        self.width_m = width_m
        self.rest = rest
        self._full = None if full is None else ref(full)
        known = frozenset[int]() if rest is None else rest.ids
        self.come = () if rest is None else tuple(b for b in self.found if id(b) not in known)
        self._numbers: dict[object, int] = {}
        self._known: dict[XY, int | None] = {}
        self._over: dict[XY, tuple[Barrier, ...]] = {}
        self._drawn = False
        self._nears: dict[float, Near] = {}
        self._parted: dict[tuple[float, float], Parting | Coming] = {}
        self._firm: dict[tuple[float, float], Firm] = {}
        self._brought: dict[float, Added] = {}
        self._lock = Lock()

    def near_to(self, up_to_m: float) -> Near:
        """Return the convex pieces of the barriers and all lines between them up to ``up_to_m`` long [m]."""
        known = self._nears.get(up_to_m)
        # The first one stays, whichever thread made it: what counts its lines is told apart from it by their order.
        return self._nears.setdefault(up_to_m, self._near_to(up_to_m)) if known is None else known

    def _near_to(self, up_to_m: float) -> Near:
        if self.rest is None:
            full = self.full
            known = None if full is None else full._nears.get(up_to_m)  # noqa: SLF001
            return near(self.found, up_to_m) if known is None else near_without(known, self._among_full)
        return near_with(self.rest.near_to(up_to_m), *self._places[:1], self.come, self._places[1], up_to_m)

    @cached_property
    def ids(self) -> frozenset[int]:
        """Return the identities of the barriers."""
        return frozenset(map(id, self.found))

    @property
    def full(self) -> FreeGround | None:
        """Return the ground with more barriers from which this one is known, while it is there."""
        return None if self._full is None else self._full()

    @cached_property
    def _among_full(self) -> NDArray[np.int64]:
        """Return the number here of each barrier of :attr:`full`, -1 for those that don't stand here."""
        here = {id(b): k for k, b in enumerate(self.found)}
        full = self.full
        return np.array([] if full is None else [here.get(id(b), -1) for b in full.found], np.int64)

    @cached_property
    def _places(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Return where among all barriers those of :attr:`rest` stand, and where those that have come."""
        new = set(map(id, self.come))
        is_new = np.array([id(b) in new for b in self.found], bool)
        return np.flatnonzero(~is_new), np.flatnonzero(is_new)

    @cached_property
    def _near(self) -> Near:
        return self.near_to(self.width_m)

    def parted(self, width_m: float, up_to_m: float) -> Parting | Coming:
        """Return how the ground is parted for a body of ``width_m`` [m], no wider than ``up_to_m`` as looked at elsewhere."""
        known = self._parted.get((width_m, up_to_m))
        if known is None:
            known = self._parted[width_m, up_to_m] = self._parted_for(width_m, up_to_m)
        return known

    def _parted_for(self, width_m: float, up_to_m: float) -> Parting | Coming:
        if self.rest is None or not len(self.come):
            return self.parting(self.near_to(up_to_m), width_m)
        firm, new = self.rest.firm(width_m, up_to_m), self.brought(width_m)
        return Coming(firm, rim_of(self.world), new.holding(width_m))

    def firm(self, width_m: float, up_to_m: float) -> Firm:
        """Return how the ground is parted for a body, so that more may come."""
        known = self._firm.get((width_m, up_to_m))
        if known is None:
            near = self.near_to(up_to_m)
            known = self._firm[width_m, up_to_m] = Firm(near, holding(near, width_m), self.net(near, width_m))
        return known

    def brought(self, up_to_m: float) -> Added:
        """Return what has come to :attr:`rest`, and the lines to it up to ``up_to_m`` long [m]."""
        if self.rest is None:
            raise ValueError("nothing has come to a ground without a rest")
        known = self._brought.get(up_to_m)
        if known is None:
            old, new = self._places
            known = self._brought[up_to_m] = added(self.rest._near, old, self.come, new, up_to_m)  # noqa: SLF001
        return known

    def parting(self, near: Near, width_m: float) -> Parting:
        """Return how lines among ``near`` ones part the ground for a body of ``width_m`` [m]."""
        return Parting(self.net(near, width_m), quick=self.rest is not None or at_work(grow, loops_round))

    def net(self, near: Near, width_m: float) -> Net:
        """Return the lines among ``near`` ones that a body of ``width_m`` [m] doesn't cross."""
        hold = holding(near, width_m)
        return net_of(rim_of(self.world), near.tree, near.parts.middle, near.lines[hold], near.i[hold], near.j[hold])

    @cached_property
    def blocked(self) -> BaseGeometry:
        """Return all barriers as one shape [m]."""
        groups = self._near.groups(len(self.found))
        return shapely.multipolygons(shapely.get_parts([_united([self.found[k] for k in g]) for g in groups]))

    @cached_property
    def open(self) -> Polygon | MultiPolygon:
        """Return the ground without barriers, whatever the body [m]."""
        if self.rest is not None:
            return shapely.difference(self.rest.open, shapely.union_all(self.come_shapes))
        return shapely.difference(self.world, self.blocked)

    @cached_property
    def narrow(self) -> Links:
        """Return the links too narrow for the body."""
        return links_of(self._near).below(self.width_m)

    @cached_property
    def pieces(self) -> tuple[Polygon, ...]:
        """Return the pieces of ground between which this body can't go, by their numbers [m].

        Those whose number nobody asked for yet come last, the largest first.
        """
        found = sorted(polygons(cut_along(self.open, self.narrow.lines)), key=lambda p: (-round(p.area, 6), p.bounds))
        marks = self._marks(_inside(found))
        drawn: dict[int, Polygon] = {}
        with self._lock:
            for mark, piece in zip(marks, found, strict=True):
                drawn.setdefault(self._numbers.setdefault(mark, len(self._numbers)), piece)
            self._drawn = True
            return tuple(drawn.get(number, Polygon()) for number in range(len(self._numbers)))

    def numbers(self, points: Sequence[XY]) -> list[int | None]:
        """Return the number of the piece each point [m] lies in, none of them on a barrier; None for a sliver."""
        out = []
        for mark in self._marks(points) if len(points) else ():
            with self._lock:
                if mark not in self._numbers and not self._drawn:
                    self._numbers[mark] = len(self._numbers)
                out.append(self._numbers.get(mark))
        return out

    def _marks(self, points: Sequence[XY]) -> list[object]:
        """Return what is equal for points of one piece and differs from piece to piece."""
        marks: list[object] = list(self.parted(self.width_m, self.width_m).round(points))
        if not self._holed:
            return marks
        # A small hole in a barrier counts as filled, so no line of the net goes round it.
        for k, barrier in self.under(points):
            marks[k] = self._hole(barrier, points[k])
        return marks

    def under(self, points: Sequence[XY]) -> list[tuple[int, Barrier]]:
        """Return which points lie on which barriers, small holes in these filled."""
        if self.rest is not None:
            return [*self.rest.under(points), *self._under_come(points)]
        over = self._over
        new = [p for p in dict.fromkeys(points) if p not in over]
        if len(over) + len(new) > MOST_OVER:
            over = self._over = {}
            new = list(dict.fromkeys(points))
        if new:
            found: dict[XY, tuple[Barrier, ...]] = dict.fromkeys(new, ())
            who, piece = self._near.tree.query(shapely.points(new), predicate="intersects")
            for k, owner in zip(who.tolist(), self._near.parts.owner[piece].tolist(), strict=True):
                found[new[k]] = (*found[new[k]], self.found[owner])
            over.update(found)  # all at once: others may ask at the same time
        return [(k, barrier) for k, p in enumerate(points) for barrier in over[p]]

    def _under_come(self, points: Sequence[XY]) -> Iterator[tuple[int, Barrier]]:
        west, south, east, north = self._come_bounds
        near = [k for k, (x, y) in enumerate(points) if west <= x <= east and south <= y <= north]
        if near:
            pieces, owner = self._come_pieces
            at = shapely.points([points[k] for k in near])
            for k, piece in zip(*shapely.intersects(at[:, None], pieces).nonzero(), strict=True):
                yield near[k], self.come[owner[piece]]

    @cached_property
    def _come_pieces(self) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
        return convex_parts(self.come)

    def _hole(self, barrier: Barrier, point: XY) -> object:
        at = Point(point)
        shape = barrier.shape
        holes = _HOLES.get((shape,), None, lambda: tuple(Polygon(r) for r in shape.interiors))
        hole = next((h for h in holes if h.intersects(at)), None)
        if hole is None:
            return ("on", id(barrier))
        within = tuple(b.shape for b in self.barriers_near(hole))
        parts = _PARTS.get((hole, *within), None, lambda: polygons(shapely.difference(hole, shapely.union_all(within))))
        return ("in", next((p.bounds for p in parts if p.intersects(at)), hole.bounds))

    @cached_property
    def stand(self) -> NDArray[np.object_]:
        """Return the outlines of where the middle of the body can be, a polygon each [m]."""
        return self._stand[0]

    @cached_property
    def stand_piece(self) -> NDArray[np.int64]:
        """Return the number of the piece that each of :attr:`stand` lies in."""
        return self._stand[1]

    @cached_property
    def _stand(self) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
        free = self._standing()
        out = np.empty(len(free), dtype=object)
        out[:] = free
        home = np.array([-1 if n is None else n for n in self.numbers(_inside(free))], np.int64)
        return out[home >= 0], home[home >= 0]

    def _standing(self) -> list[Polygon]:
        radius = self.width_m / 2 - SLACK_M
        if self.rest is None:
            full = self.full
            if full is not None and "_stand" in full.__dict__:
                return self._standing_too(full, radius)
            # Side by side, not merged: GEOS fills shallow corners of a merged outline, by up to 6 cm for two abreast.
            barred = MultiPolygon([b.shape for b in self.found])
            grown = shapely.buffer(barred, radius, quad_segs=quarter_pieces(radius))
            return polygons(shapely.difference(self.world, grown))
        come = self._come_grown(radius)
        met = shapely.intersects(self.rest.stand, come)
        return [*self.rest.stand[~met], *polygons(shapely.difference(self.rest.stand[met], come))]

    def _standing_too(self, full: FreeGround, radius_m: float) -> list[Polygon]:
        """Return where the middle can be: where it can on ``full``, and round what is gone from there."""
        gone = [b.shape for b, k in zip(full.found, self._among_full.tolist(), strict=True) if k < 0]
        wide = radius_m + AROUND_M
        zone = shapely.union_all(shapely.buffer(gone, wide, quad_segs=quarter_pieces(wide)))
        stay = [_grown(b.shape, radius_m) for b in self.barriers_near(zone, radius_m)]
        free = polygons(shapely.difference(shapely.intersection(zone, self.world), shapely.union_all(stay)))
        met = shapely.intersects(full.stand, zone)
        return [*full.stand[~met], *polygons(shapely.union_all([*full.stand[met], *free]))]

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

    def barriers_near(self, shape: BaseGeometry, within_m: float = 0.0) -> list[Barrier]:
        """Return the barriers that come nearer than ``within_m`` to a shape, in order [m]."""
        return [self.found[k] for k in self._close(shape, within_m)]

    def _close(self, shape: BaseGeometry, within_m: float) -> list[int]:
        if self.rest is None:
            return _CLOSE.get((self, shape), within_m, lambda: self._closest(shape, within_m))
        old, new = self._places
        found: list[int] = old[self.rest._close(shape, within_m)].tolist()  # noqa: SLF001
        if _apart(self._come_bounds, shape.bounds, within_m):
            return found
        met = np.flatnonzero(shapely.dwithin(self.come_shapes, shape, within_m))
        return sorted([*found, *new[met].tolist()])

    def _closest(self, shape: BaseGeometry, within_m: float) -> list[int]:
        full = self.full
        if full is not None and _CLOSE.has((full, shape), within_m):
            order = self._among_full
            return [k for k in order[full._close(shape, within_m)].tolist() if k >= 0]  # noqa: SLF001
        hit = self._near.tree.query(shape, predicate="dwithin", distance=within_m)
        return sorted(set(self._near.parts.owner[hit].tolist()))

    @cached_property
    def _come_bounds(self) -> tuple[float, float, float, float]:
        west, south, east, north = zip(*(b.shape.bounds for b in self.come), strict=True)
        return min(west), min(south), max(east), max(north)

    @cached_property
    def _holed(self) -> bool:
        shapes = self.come_shapes if self.rest is not None else [b.shape for b in self.found]
        own = bool(shapely.get_num_interior_rings(shapes).any())
        return own or (self.rest is not None and self.rest._holed)  # noqa: SLF001

    @cached_property
    def come_shapes(self) -> NDArray[np.object_]:
        """Return the shapes of the barriers that aren't in :attr:`rest`."""
        return np.array([b.shape for b in self.come], dtype=object)

    def pieces_at(self, zone: BaseGeometry) -> frozenset[int]:
        """Return the pieces in which the middle of the body can be inside ``zone`` [m]."""
        if isinstance(zone, Point):
            clear = self._is_clear(zone, self.width_m / 2 - SLACK_M)
            return frozenset(n for n in self.numbers([(zone.x, zone.y)] if clear else []) if n is not None)
        return frozenset(n for n in self.pieces_in(zone) if n is not None)

    def _is_clear(self, at: Point, radius_m: float) -> bool:
        """Return whether a point lies in the world, and no barrier nearer to it than ``radius_m`` [m]."""
        if self.rest is not None:
            if not self.rest._is_clear(at, radius_m):  # noqa: SLF001
                return False
            if self.is_beyond(at, radius_m):
                return True
            return not bool((shapely.distance(self.come_shapes, at) < radius_m).any())
        return _BARE.get((self, at), radius_m, lambda: self._is_bare(at, radius_m))

    def _is_bare(self, at: Point, radius_m: float) -> bool:
        near = self.barriers_near(at, radius_m)
        return bool(self.world.intersects(at)) and not any(b.shape.distance(at) < radius_m for b in near)

    def is_beyond(self, shape: BaseGeometry, by_m: float) -> bool:
        """Return whether what has come surely lies farther from a shape than ``by_m`` [m]."""
        return _apart(self._come_bounds, shape.bounds, by_m)

    def pieces_in(self, zone: BaseGeometry, width_m: float | None = None) -> list[int | None]:
        """Return the piece of each part of :meth:`stand_in`; or of where the middle of a wider body can be [m]."""
        return self.numbers(self._clear(zone, width_m)[0])

    def stand_in(self, zone: BaseGeometry) -> Sequence[Polygon]:
        """Return where in ``zone`` the middle of the body can be, in parts [m]."""
        return self._clear(zone)[1]

    def _clear(self, zone: BaseGeometry, width_m: float | None = None) -> tuple[list[XY], Sequence[Polygon]]:
        radius = (width_m or self.width_m) / 2 - SLACK_M
        if self.rest is not None:
            return self._clear_of_come(*self.rest._clear(zone, width_m), zone, radius)  # noqa: SLF001
        return _CLEAR_HERE.get((self, zone), radius, lambda: self._clear_here(zone, radius))

    def _clear_here(self, zone: BaseGeometry, radius_m: float) -> tuple[list[XY], Sequence[Polygon]]:
        shapes = tuple(b.shape for b in self.barriers_near(zone, radius_m))
        return _CLEAR.get((zone, self.world, *shapes), radius_m, lambda: _clear(zone, self.world, shapes, radius_m))

    def _come_grown(self, radius_m: float) -> BaseGeometry:
        """Return what has come, a radius larger all round [m]."""
        shapes = tuple(b.shape for b in self.come)
        return _COME.get(shapes, radius_m, lambda: shapely.union_all([_grown(s, radius_m) for s in shapes]))

    def _clear_of_come(
        self, points: list[XY], parts: Sequence[Polygon], zone: BaseGeometry, radius_m: float
    ) -> tuple[list[XY], Sequence[Polygon]]:
        """Return what is left of ``parts`` of a zone where the middle of a body can be, and a point in each."""
        if _apart(self._come_bounds, zone.bounds, radius_m) or not len(parts):
            return points, parts
        come = self._come_grown(radius_m)
        found = shapely.intersects(np.array(parts, dtype=object), come)
        if not found.any():
            return points, parts
        met = found.tolist()
        left = [q for p, hit in zip(parts, met, strict=True) if hit for q in polygons(shapely.difference(p, come))]
        same = [k for k, hit in enumerate(met) if not hit]
        return [*(points[k] for k in same), *_inside(left)], [*(parts[k] for k in same), *left]

    def piece_of(self, at: XY) -> int | None:
        """Return the piece of open ground that holds a point [m], or None on a barrier."""
        return self.pieces_of([at])[0]

    def pieces_of(self, points: Sequence[XY]) -> list[int | None]:
        """Return the piece of open ground that holds each point [m], None for those on a barrier: quicker together."""
        new = [p for p in dict.fromkeys(points) if p not in self._known]
        if new:
            spots = shapely.points(np.asarray(new, np.float64))
            bare = shapely.intersects(self.world, spots)
            for k, barrier in self.under(new):
                bare[k] &= not barrier.shape.intersects(spots[k])
            open_ones = [p for p, ok in zip(new, bare.tolist(), strict=True) if ok]
            found = dict(zip(open_ones, self.numbers(open_ones), strict=True))
            self._known.update((p, found.get(p)) for p in new)
        return [self._known[p] for p in points]


Bounds = tuple[float, float, float, float]


def _apart(one: Bounds, other: Bounds, by_m: float) -> bool:
    """Return whether two boxes (west, south, east, north) are farther apart than ``by_m`` [m]."""
    x = max(one[0] - other[2], other[0] - one[2])
    y = max(one[1] - other[3], other[1] - one[3])
    return max(x, y) > by_m


def _inside(shapes: Sequence[Polygon]) -> list[XY]:
    """Return a point inside each shape [m]."""
    at = shapely.get_coordinates(shapely.point_on_surface(np.array(shapes, dtype=object)))
    return [(x, y) for x, y in at.tolist()]


def _clear(
    zone: BaseGeometry, world: Polygon, shapes: tuple[Polygon, ...], radius_m: float
) -> tuple[list[XY], Sequence[Polygon]]:
    """Return the parts of ``zone`` in which the middle of a body can be [m], and a point in each."""
    grown = [_grown(s, radius_m) for s in shapes]
    parts = polygons(shapely.difference(shapely.intersection(zone, world), shapely.union_all(grown)))
    return _inside(parts), parts


def _grown(shape: Polygon, radius_m: float) -> Polygon:
    segs = quarter_pieces(radius_m)
    return _GROWN.get((shape,), radius_m, lambda: shapely.buffer(shape, radius_m, quad_segs=segs))


def quarter_pieces(radius_m: float) -> int:
    """Return in how many straight pieces a quarter turn of a radius [m] is drawn: they stay within 5 mm of the arc."""
    if radius_m <= ROUND_M:
        return 1
    return math.ceil(math.pi / 4 / math.acos(1 - ROUND_M / radius_m))


def cut_along(
    shape: BaseGeometry | NDArray[np.object_], lines: NDArray[np.float64]
) -> BaseGeometry | NDArray[np.object_]:
    """Return a shape, or each of several, cut along ``lines`` (n, 2, 2) [m], each taken a little into what it ends at."""
    return shapely.difference(shape, cut_strips(lines)) if len(lines) else shape


def cut_strips(lines: NDArray[np.float64], half_m: float = CUT_M) -> BaseGeometry:
    """Return the strips cut out along ``lines`` (n, 2, 2), on each side as wide as ``half_m`` [m]."""
    step = lines[:, 1] - lines[:, 0]
    length = np.maximum(np.hypot(*step.T), 1e-9)[:, None]
    ahead = step / length * 2 * CUT_M
    aside = np.stack([-step[:, 1], step[:, 0]], 1) / length * half_m
    start, end = lines[:, 0] - ahead, lines[:, 1] + ahead
    strips = shapely.polygons(np.stack([start + aside, end + aside, end - aside, start - aside], 1))
    return shapely.disjoint_subset_union_all(strips)


def _united(group: Sequence[Barrier]) -> BaseGeometry:
    """Return the union of barriers that hang together; what is built and what grows are kept for other grounds.

    What grows is another in each year, and joins what is built, which stays, when that is one already.
    """
    if len(group) == 1:
        return group[0].shape
    built, grown = (tuple(b.shape for b in group if b.grown == is_grown) for is_grown in (False, True))
    whole = [_UNITED.get(part, None, partial(_union, part)) for part in (built, grown) if part]
    return whole[0] if len(whole) == 1 else _UNITED.get((*built, *grown), "joined", partial(shapely.union, *whole))


def _union(shapes: Sequence[Polygon]) -> BaseGeometry:
    return shapes[0] if len(shapes) == 1 else united(shapes)


def free_ground(
    scene: Scene, walker: Walker, gates: Gates = "usable", open_gate: str | None = None, *, polite: bool = False
) -> FreeGround:
    """Return the ground left to ``walker`` on the scene's date.

    ``gates``: ``usable`` as the walker can, ``shut`` with every opening closed, ``open`` with every gate standing
    open; ``open_gate`` is left open by itself.  ``polite`` walkers keep off young hedges they could push through.
    """
    return ground_of(scene.world, barriers(scene, walker, gates, open_gate, polite=polite), float(walker.body_width))


def ground_of(world: Polygon, found: tuple[Barrier, ...], width_m: float, like: FreeGround | None = None) -> FreeGround:
    """Return the ground left by the barriers ``found``, kept for whomever and whenever the same ones stop.

    Where all but a few of them stand in the ground ``like`` this one too, what is known of the ground with only those
    is used; not as long as that would wait for the compiler.
    """
    return _GROUND.get((world, *found), width_m, lambda: _new_ground(world, found, width_m, like))


def _new_ground(world: Polygon, found: tuple[Barrier, ...], width_m: float, like: FreeGround | None) -> FreeGround:
    if like is not None and like.world is world:
        same = like.ids
        common = tuple(b for b in found if id(b) in same)
        if len(common) == len(found) >= len(like.found) - FEW:
            return FreeGround(world, found, width_m, full=like)
        come = all(one.has_come() for one in _QUICK)
        if come and len(common) < len(found) <= len(common) + FEW:
            return FreeGround(world, found, width_m, ground_of(world, common, width_m, like))
    return FreeGround(world, found, width_m)


_QUICK = (grow, loops_round, crossed_over, closed_round, pairs_near, that_part, circles_met, taut_string)
_UNITED: Kept[BaseGeometry] = Kept(2048)
_GROUND: Kept[FreeGround] = Kept(512)
_HOLES: Kept[tuple[Polygon, ...]] = Kept(512)
_PARTS: Kept[list[Polygon]] = Kept(1024)
_CLEAR: Kept[tuple[list[XY], Sequence[Polygon]]] = Kept(4096)
_CLEAR_HERE: Kept[tuple[list[XY], Sequence[Polygon]]] = Kept(4096)
_BARE: Kept[bool] = Kept(4096)
_CLOSE: Kept[list[int]] = Kept(16384)
_GROWN: Kept[Polygon] = Kept(8192)
_COME: Kept[BaseGeometry] = Kept(512)
