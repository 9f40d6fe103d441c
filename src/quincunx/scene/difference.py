"""What stands otherwise in one scene than in another of the same garden, and what is the same in both."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene._kept import Kept
from quincunx.scene.scene import Scene
from quincunx.shapes import Solid, content_key

PARTS = ("solids", "surfaces", "openings", "covers", "guards", "plants", "supplies")
"""What a scene holds of its features."""
UPRIGHT = ("solids", "openings")
"""What may have changed so that :attr:`Difference.rest` stops nobody who isn't stopped by either scene."""
NEITHER = ("surfaces", "covers", "guards")

AWAY_M = 1.0
"""How far from where two pieces of a wall differ it is taken as left standing [m]."""
HAIR_M = 4e-6
"""What is left standing is drawn this much smaller, so that it lies within what stands [m].

More than lines are let by a corner, and less than places count as just as wide.
"""
MOST_RESTS = 4
NOWHERE = Polygon()

Shapes = NDArray[np.object_]


@dataclass(frozen=True, eq=False)
class Difference:
    """What of ``was`` is gone and what of ``now`` has come, part by part, the rest being the same in both."""

    was: Scene
    now: Scene
    gone: dict[str, tuple[Any, ...]]
    come: dict[str, tuple[Any, ...]]

    @cached_property
    def owners(self) -> frozenset[str]:
        """Return the features of which anything differs."""
        return frozenset(x.owner for part in (self.gone, self.come) for found in part.values() for x in found)

    @cached_property
    def upright(self) -> bool:
        """Return whether no floor, guard or net differs: then both scenes are :attr:`rest` with more in the way."""
        return not any(self.gone[part] or self.come[part] for part in NEITHER)

    @cached_property
    def shapes(self) -> Shapes:
        """Return the shapes in plan of all that differs, as it was and as it is [m]."""
        return np.concatenate([self._differing(self.gone), self.come_shapes])

    @cached_property
    def come_shapes(self) -> Shapes:
        """Return the shapes in plan of what differs, as it is now [m]."""
        return self._differing(self.come)

    def _differing(self, found: dict[str, tuple[Any, ...]]) -> Shapes:
        """Return the shapes in plan of what is gone or has come, without what of it is left standing in both [m]."""
        left, _ = self._rest
        if not left:
            return _shapes(found)
        stays = shapely.buffer(shapely.union_all([s.footprint for s in left]), 2 * HAIR_M, join_style="mitre")
        parts = shapely.get_parts(shapely.difference(_shapes(found), stays))
        return np.array([p for p in parts if not p.is_empty], dtype=object)

    @cached_property
    def whole(self) -> Shapes:
        """Return the shapes in plan of every part of the features of which anything differs, in both scenes [m]."""
        out: list[BaseGeometry] = []
        for scene in (self.was, self.now):
            out += [s.footprint for s in scene.solids if s.owner in self.owners]
            out += [s.area for s in scene.surfaces if s.owner in self.owners]
            out += [o.clear for o in scene.openings if o.owner in self.owners]
            out += [shapely.multipoints(p.at) for p in scene.plants if p.owner in self.owners and p.at]
        return np.array(out, dtype=object)

    @cached_property
    def rest(self) -> Scene:
        """Return a scene in which only what stands in both stands: one object as long as it fits, whatever ``now`` is.

        Of a wall through which an opening moves along, what is well away from the opening is left standing.
        """
        return self._rest[1]

    @cached_property
    def _rest(self) -> tuple[tuple[Solid, ...], Scene]:
        """Return what is left standing of what differs, and the scene with only what stands in both."""
        gone = tuple(x for part in UPRIGHT for x in self.gone[part])
        rests = _REST.get((self.was, *gone), None, list)
        for left, scene in rests:
            if self._covers(left):
                return left, scene
        left = tuple(_left(self.gone["solids"], self.come["solids"]))
        scene = _with_only(self.was, gone, left)
        rests.append((left, scene))
        del rests[:-MOST_RESTS]
        return left, scene

    def _covers(self, left: tuple[Solid, ...]) -> bool:
        """Return whether all that was left standing of what is gone stands now too."""
        now = {k: shapely.union_all([s.footprint for s in of]) for k, of in _alike(self.come["solids"]).items()}
        return all(_kind(s) in now and now[_kind(s)].covers(s.footprint) for s in left)

    def apart(self, place: BaseGeometry, by_m: float = 0.0, *, whole: bool = False, come: bool = False) -> bool:
        """Return whether all that differs is farther than ``by_m`` from ``place`` [m].

        Every part of those features with ``whole``; only what has ``come`` with that.
        """
        shapes = self.whole if whole else self.come_shapes if come else self.shapes
        return not bool(shapely.dwithin(place, shapes, by_m).any())


def difference(was: Scene, now: Scene) -> Difference:
    """Return what stands otherwise ``now`` than it ``was``; it is kept while both scenes are."""
    return _FOUND.get((was, now), None, lambda: _difference(was, now))


def _difference(was: Scene, now: Scene) -> Difference:
    both = {part: _unlike(getattr(was, part), getattr(now, part)) for part in PARTS}
    return Difference(was, now, {p: b[0] for p, b in both.items()}, {p: b[1] for p, b in both.items()})


def _unlike(old: tuple[Any, ...], new: tuple[Any, ...]) -> tuple[tuple[Any, ...], tuple[Any, ...]]:
    """Return what is only in ``old`` and only in ``new``: told by identity first, since that is quick."""
    before, after = set(map(id, old)), set(map(id, new))
    gone = [x for x in old if id(x) not in after]
    come = []
    for x in (x for x in new if id(x) not in before):
        same = next((k for k, y in enumerate(gone) if y.owner == x.owner and y == x), None)
        if same is None:
            come.append(x)
        else:
            gone.pop(same)
    return tuple(gone), tuple(come)


def _shapes(found: dict[str, tuple[Any, ...]]) -> Shapes:
    return np.array([*(s.footprint for s in found["solids"]), *(o.clear for o in found["openings"])], dtype=object)


def _kind(solid: Solid) -> Solid:
    """Return a solid without its outline: pieces of one wall are alike in it."""
    return replace(solid, part="", footprint=NOWHERE)


def _alike(solids: Iterable[Solid]) -> dict[Solid, list[Solid]]:
    out: dict[Solid, list[Solid]] = {}
    for solid in solids:
        if solid.base.datum == solid.top.datum == "ground":
            out.setdefault(_kind(solid), []).append(solid)
    return out


def _left(gone: Iterable[Solid], come: Iterable[Solid]) -> Iterator[Solid]:
    """Yield what of solids stands in both, well away from where they differ."""
    now = _alike(come)
    for kind, pieces in _alike(gone).items():
        old, new = (shapely.union_all([s.footprint for s in of]) for of in (pieces, now.get(kind, [])))
        differs = shapely.buffer(shapely.symmetric_difference(old, new), AWAY_M)
        left = shapely.buffer(shapely.difference(shapely.intersection(old, new), differs), -HAIR_M, join_style="mitre")
        for n, piece in enumerate(shapely.get_parts(left)):
            if isinstance(piece, Polygon) and piece.area > HAIR_M:
                yield replace(kind, part=f"left{n}", footprint=piece)


def _with_only(scene: Scene, gone: tuple[Any, ...], left: tuple[Solid, ...]) -> Scene:
    less = set(map(id, gone))
    rest = replace(
        scene,
        solids=(*(s for s in scene.solids if id(s) not in less), *left),
        openings=tuple(o for o in scene.openings if id(o) not in less),
    )
    names = sorted(f"{g.owner}/{getattr(g, 'part', '')}" for g in gone)
    rest.__dict__["walks"] = {}  # kept with it: every place to which the thing is moved asks them again
    rest.__dict__["key"] = content_key((scene.key, "without", names, left))
    return rest.changed_from(scene)


_FOUND: Kept[Difference] = Kept(256)
_REST: Kept[list[tuple[tuple[Solid, ...], Scene]]] = Kept(64)
