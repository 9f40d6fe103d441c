"""The garden as it stands on one date."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from operator import attrgetter

import numpy as np
import shapely
from shapely import MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene._kept import Kept
from quincunx.scene._passages import passages
from quincunx.scene.moment import StandingPlant, Stood
from quincunx.scene.opened import opened
from quincunx.shapes import (
    XY,
    Buried,
    Change,
    Cover,
    Crown,
    Cut,
    Figure,
    Guard,
    Height,
    Leaf,
    Narrow,
    Opening,
    Shut,
    Slab,
    Slats,
    Solid,
    Supply,
    Surface,
    Work,
    content_key,
    united,
)
from quincunx.site.ground import Ground

OUTSIDE_M = 4.0
"""Width of the strip of the world outside the boundary that belongs to a scene [m]."""
THROUGH_M = 0.1
"""How far a wall may lie from the line of an opening drawn a little beside it [m]."""


@dataclass(frozen=True, slots=True)
class Room:
    """A room as the person named it: a point inside, an outline if drawn, closed or open."""

    id: str
    name: str
    inside: XY
    outline: Polygon | None = None
    closed: bool = True


@dataclass(frozen=True, slots=True)
class Spot:
    """A named point people care about, with the height of an eye or thing above ground [m]."""

    id: str
    name: str
    at: XY
    height_m: float = 0.0


@dataclass(frozen=True)
class Scene:
    """Everything that stands on ``on``, after changes: solids are already cut where gates stand in them.

    ``unmet`` holds the changes that met nothing (a gate in no wall).  ``areas`` gives a feature's ground by id.
    """

    on: date
    boundary: Polygon
    ground: Ground
    solids: tuple[Solid, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    openings: tuple[Opening, ...] = ()
    covers: tuple[Cover, ...] = ()
    guards: tuple[Guard, ...] = ()
    rooms: tuple[Room, ...] = ()
    spots: tuple[Spot, ...] = ()
    plants: tuple[StandingPlant, ...] = ()
    drawn_whole: tuple[Figure, ...] = ()
    cuts: tuple[Cut, ...] = ()
    work: tuple[Work, ...] = ()
    buried: tuple[Buried, ...] = ()
    supplies: tuple[Supply, ...] = ()
    unmet: tuple[Change, ...] = ()
    names: tuple[tuple[str, str], ...] = ()
    latitude_deg: float = 52.0
    snow_m: float = 0.0

    @cached_property
    def figures(self) -> tuple[Figure, ...]:
        """Return what stands as it is drawn: each thing whole, but with a gap where an opening cuts it."""
        return opened(self.drawn_whole, self.cuts, self.solids)

    @cached_property
    def key(self) -> str:
        """Return a digest of all that stands: scenes with equal keys are equal, in every process.

        :func:`assemble` sets it from the keys of what stood up, since digesting each scene whole takes longer.
        """
        parts = (self.boundary, self.ground.key(), self.solids, self.surfaces, self.openings, self.covers)
        more = (self.guards, self.rooms, self.spots, self.plants, self.unmet, self.on, self.latitude_deg, self.snow_m)
        return content_key(parts + more + ((self.supplies,) if self.supplies else ()))

    @property
    def before(self) -> Scene | None:
        """Return the scene this one was said to be changed from, or None."""
        found: Scene | None = self.__dict__.get("_before")
        return found

    def changed_from(self, old: Scene) -> Scene:
        """Say that this is ``old`` with few things otherwise, so that engines redo only what differs; return it."""
        if self.key != old.key:
            self.__dict__["_before"] = old
        return self

    @cached_property
    def world(self) -> Polygon:
        """Return the boundary with the strip outside it: all the ground a scene knows [m].

        The same object in every scene of the same boundary and spots.
        """
        return _WORLD.get((self.boundary,), self._far_spots, lambda: _world(self.boundary, self._far_spots))

    @cached_property
    def spots_outside(self) -> tuple[Spot, ...]:
        """Return the spots beyond the boundary."""
        bounds = self.boundary
        return _FAR.get(
            (bounds, self.spots), None, lambda: tuple(s for s in self.spots if not bounds.covers(Point(s.at)))
        )

    @cached_property
    def _far_spots(self) -> tuple[XY, ...]:
        return tuple(s.at for s in self.spots_outside)

    @cached_property
    def outside(self) -> Polygon | MultiPolygon:
        """Return the ground beyond the boundary [m]."""
        return _OUTSIDE.get((self.world, self.boundary), None, lambda: shapely.difference(self.world, self.boundary))

    def ground_z_m(self, x_m: float, y_m: float) -> float:
        """Return the ground's height above the datum at a point [m]: of the same ground it is worked out once."""
        return _HEIGHT.get((self.ground,), (x_m, y_m), lambda: float(self.ground.height(x_m, y_m)))

    def spot(self, spot_id: str) -> Spot | None:
        """Return the spot called ``spot_id``, or None."""
        return next((s for s in self.spots if s.id == spot_id), None)

    def room(self, room_id: str) -> Room | None:
        """Return the room called ``room_id``, or None."""
        return next((r for r in self.rooms if r.id == room_id), None)

    def name_of(self, thing_id: str) -> str:
        """Return what the person calls the feature, room or spot ``thing_id`` (its id if it has no name)."""
        return dict(self.names).get(thing_id, thing_id)

    def stands(self, owner: str) -> bool:
        """Return whether anything of the feature ``owner`` stands."""
        return owner in self._owners

    @cached_property
    def _owners(self) -> frozenset[str]:
        built = [s.owner for s in self.solids] + [s.owner for s in self.surfaces] + [o.owner for o in self.openings]
        more = [p.owner for p in self.plants] + [c.owner for c in self.covers] + [g.owner for g in self.guards]
        return frozenset(built + more)

    def area_of(self, owner: str) -> Polygon | MultiPolygon | None:
        """Return the ground a feature takes in plan [m]; None if it doesn't stand."""
        shapes, points = self._given.get(owner, ((), ()))
        return _AREA.get(shapes, points, lambda: _area(shapes, points)) if shapes or points else None

    @cached_property
    def _given(self) -> dict[str, tuple[tuple[BaseGeometry, ...], tuple[XY, ...]]]:
        """Return the shapes and the plants' places of each feature."""
        shapes: dict[str, list[BaseGeometry]] = {}
        points: dict[str, list[XY]] = {}
        for s in self.solids:
            shapes.setdefault(s.owner, []).append(s.footprint)
        for f in self.surfaces:
            shapes.setdefault(f.owner, []).append(f.area)
        for o in self.openings:
            shapes.setdefault(o.owner, []).append(o.clear)
        for p in self.plants:
            points.setdefault(p.owner, []).extend(p.at)
        return {w: (tuple(shapes.get(w, ())), tuple(points.get(w, ()))) for w in {*shapes, *points}}


def _world(boundary: Polygon, far: tuple[XY, ...]) -> Polygon:
    """Return the boundary with the strip outside it, and what leads to spots ``far`` outside [m]."""
    near = [
        shapely.buffer(shapely.get_point(shapely.shortest_line(Point(at), boundary), -1), OUTSIDE_M / 2) for at in far
    ]
    hulls = [
        shapely.convex_hull(shapely.union_all([Point(at).buffer(1.5), n])) for at, n in zip(far, near, strict=True)
    ]
    strip = shapely.union_all(hulls) if hulls else Polygon()
    grown = shapely.union_all([boundary.buffer(OUTSIDE_M, join_style="mitre"), strip])
    return grown if isinstance(grown, Polygon) else max(grown.geoms, key=lambda g: g.area)


def _area(shapes: tuple[BaseGeometry, ...], points: tuple[XY, ...]) -> Polygon | MultiPolygon:
    grounds = [s if isinstance(s, Polygon) else s.buffer(0.05, cap_style="flat") for s in shapes]
    return united([*grounds, *(Point(at).buffer(0.15) for at in points)])


_HEIGHT: Kept[float] = Kept(4096)
_FAR: Kept[tuple[Spot, ...]] = Kept(32)
_WORLD: Kept[Polygon] = Kept(32)
_OUTSIDE: Kept[Polygon | MultiPolygon] = Kept(32)
_AREA: Kept[Polygon | MultiPolygon] = Kept(4096)


Cuts = dict[tuple[int, int], tuple[Solid, Cut, tuple[Solid, ...] | None]]
"""What each cut left of each solid, by their identities (both are held, so that these stay theirs)."""


def assemble(blank: Scene, stood: Iterable[Stood], kept: Cuts | None = None) -> Scene:
    """Return ``blank`` with everything of ``stood`` put up, in the order ground, solids, changes.

    Ordered by owner and part, so the same garden gives the same bytes whatever the order of its features.  ``kept``
    remembers cuts from one scene of the garden to the next.
    """
    standing = list(stood)
    solids = sorted((s for one in standing for s in one.solids), key=attrgetter("owner", "part"))
    openings = sorted((o for one in standing for o in one.openings), key=attrgetter("owner"))
    changes = sorted((c for one in standing for c in one.changes), key=lambda c: (type(c).__name__, c.owner))
    surfaces = sorted((s for one in standing for s in one.surfaces), key=attrgetter("layer", "owner", "part"))
    plants = sorted((p for one in standing for p in one.plants), key=attrgetter("owner", "plant", "at"))
    cuts = [c for c in changes if isinstance(c, Cut)]
    openings = sorted((*openings, *passages(solids, cuts)), key=attrgetter("owner"))
    solids, unmet = cut_solids(solids, cuts, blank.ground, kept)
    openings, lost = _change_openings(openings, changes)
    scene = replace(
        blank,
        solids=tuple(solids),
        surfaces=tuple(surfaces),
        openings=tuple(openings),
        covers=tuple(c for c in changes if isinstance(c, Cover)),
        guards=tuple(c for c in changes if isinstance(c, Guard)),
        plants=tuple(plants),
        drawn_whole=tuple(f for one in standing for f in one.figures),
        cuts=tuple(cuts),
        work=tuple(w for one in standing for w in one.work),
        buried=tuple(b for one in standing for b in one.buried),
        supplies=tuple(sorted((s for one in standing for s in one.supplies), key=lambda s: s.owner)),
        unmet=tuple(unmet + lost),
    )
    scene.__dict__["key"] = content_key("\n".join([blank.key, *sorted(one.key for one in standing if one.key)]))
    return scene


def cut_solids(
    solids: list[Solid], cuts: list[Cut], ground: Ground, kept: Cuts | None = None
) -> tuple[list[Solid], list[Change]]:
    """Return the solids with every cut made, and the cuts that met no standing wall.

    A cut takes all of a wall inside its place; with ``up_to_m`` what is above stays as a lintel, and what
    begins above it is left alone.  So are roofs, slats, crowns, things of the cutter itself and what its line
    doesn't run in.
    """
    unmet: list[Change] = []
    if not cuts:
        return solids, unmet
    boxes = shapely.bounds(np.array([s.footprint for s in solids], dtype=object)).reshape(-1, 4)
    pieces = [[s] for s in solids]
    for cut in cuts:
        west, south, east, north = cut.place.bounds
        near = (boxes[:, 0] <= east) & (boxes[:, 2] >= west) & (boxes[:, 1] <= north) & (boxes[:, 3] >= south)
        met = False
        for i in np.flatnonzero(near).tolist():
            left = [_after(solid, cut, ground, kept) for solid in pieces[i]]
            met = met or any(found is not None for found in left)
            pieces[i] = [
                p for s, found in zip(pieces[i], left, strict=True) for p in ((s,) if found is None else found)
            ]
        unmet.extend([cut] if cut.needed and not met else [])
    return [piece for row in pieces for piece in row], unmet


def _after(solid: Solid, cut: Cut, ground: Ground, kept: Cuts | None) -> tuple[Solid, ...] | None:
    """Return what a cut leaves of a solid; None if it doesn't cut it."""
    if kept is None:
        return tuple(_cut_one(solid, cut, ground)) if _cuttable(solid, cut) else None
    key = (id(solid), id(cut))
    known = kept.get(key)
    if known is None:
        known = kept[key] = (solid, cut, _after(solid, cut, ground, None))
    return known[2]


def _cuttable(solid: Solid, cut: Cut) -> bool:
    if isinstance(solid.form, (Slab, Slats, Crown)) or solid.owner == cut.owner:
        return False
    if cut.only == "retaining" and not solid.retains:
        return False
    if cut.through is not None and solid.footprint.distance(cut.through) > THROUGH_M:
        return False
    return bool(solid.footprint.intersection(cut.place).area > 1e-9) and _reaches(solid, cut)


def _reaches(solid: Solid, cut: Cut) -> bool:
    if cut.up_to_m is None or solid.base.datum == "site":
        return True
    return solid.base.value_m < cut.up_to_m


def _cut_one(solid: Solid, cut: Cut, ground: Ground) -> list[Solid]:
    rest = _pieces(solid.footprint.difference(cut.place))
    out = [_replace(solid, f"{solid.part}~{cut.owner}{n}" if n else solid.part, p) for n, p in enumerate(rest)]
    if cut.up_to_m is None:
        return out
    for n, piece in enumerate(_pieces(solid.footprint.intersection(cut.place))):
        inside = piece.representative_point()
        ground_z_m = float(ground.height(inside.x, inside.y))
        if solid.top.above_ground_m(ground_z_m) > cut.up_to_m + 1e-9:
            out.append(_replace(solid, f"{solid.part}^{cut.owner}{n}", piece, Height(cut.up_to_m)))
    return out


def _replace(solid: Solid, part: str, footprint: Polygon, base: Height | None = None) -> Solid:
    return replace(solid, part=part, footprint=footprint, base=base or solid.base)


def _pieces(shape: object) -> list[Polygon]:
    parts = getattr(shape, "geoms", [shape])
    found = [p for p in parts if isinstance(p, Polygon) and p.area > 1e-9]
    return sorted(found, key=lambda p: (p.bounds, p.area))


def _change_openings(openings: list[Opening], changes: list[Change]) -> tuple[list[Opening], list[Change]]:
    now, lost = list(openings), list[Change]()
    for change in changes:
        if not isinstance(change, (Shut, Narrow)):
            continue
        if not any(o.owner == change.target for o in now):
            lost.append(change)
        now = [_changed_opening(o, change) if o.owner == change.target else o for o in now]
    return now, lost


def _changed_opening(old: Opening, change: Shut | Narrow) -> Opening:
    if isinstance(change, Shut):
        return replace(old, latch="shut", leaf=old.leaf or change.leaf or Leaf(1.2))
    head = None if old.headroom_m is None else max(old.headroom_m - change.head_m, 0.0)
    return replace(old, width_m=max(old.width_m - 2 * change.side_m, 0.0), headroom_m=head)
