"""How high things stand above the ground below them, worked out once for a scene."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import Height, Plane, Slab, Solid, Surface
from quincunx.walk._kept import Kept

CELL_M = 0.5
"""Size of the pieces a thing is looked at in, where its height above the ground varies [m]."""
Floats = NDArray[np.float64]
Pair = tuple[float, float]


def heights_m(scene: Scene, solid: Solid, shape: Polygon) -> tuple[Floats, Floats]:
    """Return the underside and top of ``solid`` above the ground [m] at points round ``shape``."""
    return above_m(scene, solid, shapely.get_coordinates(shapely.segmentize(shape, 1.0)))


def above_m(scene: Scene, solid: Solid, points: Floats) -> tuple[Floats, Floats]:
    """Return the underside and top of ``solid`` above the ground [m] at points (n, 2)."""
    return above_ground(solid, points, ground_m(scene, points) if depends(solid) else np.zeros(len(points)))


def ground_m(scene: Scene, points: Floats) -> Floats:
    """Return the height of the ground at points (n, 2) [m]."""
    return np.asarray(scene.ground.height(points[:, 0], points[:, 1]), np.float64)


def above_ground(solid: Solid, points: Floats, ground: Floats) -> tuple[Floats, Floats]:
    """Return the underside and top of ``solid`` above the ground [m], which lies at ``ground`` (n,), at points (n, 2)."""
    if isinstance(solid.form, Slab):
        plane = solid.form.plane
        upper = _plane_m(plane, points) - (ground if plane.at.datum == "site" else 0.0)
        return upper - solid.form.thickness_m, upper
    return _above_ground(solid.base, ground), _above_ground(solid.top, ground)


def _above_ground(height: Height, ground: Floats) -> Floats:
    return np.full(len(ground), height.value_m) - (ground if height.datum == "site" else 0.0)


def _plane_m(plane: Plane, points: Floats) -> Floats:
    a = np.radians(plane.fall_deg)
    run = (points[:, 0] - plane.x_m) * np.sin(a) + (points[:, 1] - plane.y_m) * np.cos(a)
    return np.asarray(plane.at.value_m - plane.grade * run, np.float64)


class Laid:
    """Surfaces that lie over each other: the same in every scene that has the same ones."""

    def __init__(self, surfaces: tuple[Surface, ...]) -> None:
        """Hold the surfaces."""
        self.surfaces = surfaces
        self._over: dict[int, tuple[Surface, ...]] = {}

    def over(self, number: int) -> tuple[Surface, ...]:
        """Return the surfaces that may lie over a surface: of higher layers, within its bounds."""
        if number not in self._over:
            low = self.surfaces[number]
            west, south, east, north = low.area.bounds
            near = [int(i) for i in self._tree.query(shapely.box(west, south, east, north))]
            above = (self.surfaces[i] for i in sorted(near))
            self._over[number] = tuple(s for s in above if s.layer > low.layer)
        return self._over[number]

    def planted_near(self, shape: BaseGeometry) -> tuple[Surface, ...]:
        """Return the planted surfaces whose bounds a shape meets."""
        some = self.surfaces
        return tuple(some[i] for i in np.sort(self._tree.query(shape)).tolist() if some[i].planted)

    @cached_property
    def _tree(self) -> STRtree:
        return STRtree([s.area for s in self.surfaces])


class Standing:
    """The heights above the ground of every solid of a scene, where they vary from place to place."""

    def __init__(self, scene: Scene) -> None:
        """Hold the scene."""
        self.scene = scene
        self.laid = _LAID.get(scene.surfaces, None, lambda: Laid(scene.surfaces))

    @cached_property
    def varied(self) -> dict[int, frozenset[Pair]]:
        """Return (underside, top) above the ground [m] round each solid on whose place they depend, by its number."""
        which = [i for i, s in enumerate(self.scene.solids) if depends(s)]
        new = [s for i in which if not _ROUND.has(((s := self.scene.solids[i]), self.scene.ground), None)]
        made = dict(zip(map(id, new), self._pairs(new, [s.footprint for s in new]) if new else [], strict=True))
        return {i: self._round(self.scene.solids[i], made) for i in which}

    def _round(self, solid: Solid, made: Mapping[int, frozenset[Pair]]) -> frozenset[Pair]:
        def one() -> frozenset[Pair]:
            return made[id(solid)] if id(solid) in made else self._pairs([solid], [solid.footprint])[0]

        return _ROUND.get((solid, self.scene.ground), None, one)

    def cells(self, number: int) -> tuple[tuple[Polygon, frozenset[Pair]], ...]:
        """Return a solid in pieces of half a metre, each with its (underside, top) above the ground [m]."""
        solid = self.scene.solids[number]
        return _CELLS.get((solid, self.scene.ground), None, lambda: self._diced(solid))

    def _diced(self, solid: Solid) -> tuple[tuple[Polygon, frozenset[Pair]], ...]:
        pieces = diced(solid.footprint)
        pairs = self._pairs([solid] * len(pieces), pieces) if pieces else []
        return tuple(zip(pieces, pairs, strict=True))

    def _pairs(self, solids: list[Solid], shapes: list[Polygon]) -> list[frozenset[Pair]]:
        points, home = shapely.get_coordinates(shapely.segmentize(shapes, 1.0), return_index=True)
        ground = ground_m(self.scene, points)
        out = []
        for i, solid in enumerate(solids):
            own = home == i
            under, top = above_ground(solid, points[own], ground[own])
            out.append(frozenset(zip(under.tolist(), top.tolist(), strict=True)))
        return out


def depends(solid: Solid) -> bool:
    """Return whether how high a solid stands above the ground depends on the ground below it."""
    return isinstance(solid.form, Slab) or "site" in (solid.base.datum, solid.top.datum)


def diced(shape: Polygon) -> list[Polygon]:
    """Return a shape in pieces no larger than half a metre across."""
    x0, y0, x1, y1 = shape.bounds
    gx, gy = (g.ravel() for g in np.meshgrid(np.arange(x0, x1, CELL_M), np.arange(y0, y1, CELL_M)))
    cut = shapely.get_parts(shapely.intersection(shape, shapely.box(gx, gy, gx + CELL_M, gy + CELL_M)))
    return [p for p in cut if isinstance(p, Polygon) and p.area > 1e-9]


_LAID: Kept[Laid] = Kept(128)
_ROUND: Kept[frozenset[Pair]] = Kept(8192)
_CELLS: Kept[tuple[tuple[Polygon, frozenset[Pair]], ...]] = Kept(2048)
_KEPT: OrderedDict[str, Standing] = OrderedDict()
_MOST = 64


def standing(scene: Scene) -> Standing:
    """Return the :class:`Standing` of a scene, kept by its content."""
    if scene.key not in _KEPT:
        _KEPT[scene.key] = Standing(scene)
        while len(_KEPT) > _MOST:
            _KEPT.popitem(last=False)
    return _KEPT[scene.key]


def forget() -> None:
    """Forget the heights of all scenes."""
    _KEPT.clear()
