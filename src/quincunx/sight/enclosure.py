"""How enclosed a place is: the share of what stands round it above the eye, how far and how high; and what is looked at."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.scene._kept import Kept
from quincunx.scene.bodies import Bodies, entries, through
from quincunx.scene.difference import Difference
from quincunx.shapes import XY, Solid
from quincunx.sight.eyes import EYE_M, Eye
from quincunx.sight.seen import LEAF_M, bodies_in, inside, leaf_of
from quincunx.site.ground import Ground

Floats = NDArray[np.float64]

SIDES = 72
"""Bearings looked along."""
FAR_M = 30.0
"""What stands further off than this encloses nothing [m]."""
HIDES = 0.5
"""What blocks at least this share of a view is an edge."""
FULL, ENCLOSED, BARELY = 1.0, 2.0, 3.0
"""Distance over height at which a place is fully enclosed, at the threshold, at the least: 1:1, 2:1, 3:1; at 4:1 it is lost
(G. O. Robinette, Plants, people and environmental quality, 1972, as cited by N. K. Booth, Basic elements of landscape
architectural design, 1983, p. 137 of a copy read). Such ratios are weakly tested."""


@dataclass(frozen=True, eq=False)
class Enclosure:
    """What stands round a point above an eye: for each of ``bearings`` how far [m] (inf: nothing) and how high over the ground.

    ``share`` is the part of the edge that stands above the eye.  ``ratio`` is the median of distance over height where
    something stands; None where nothing does.
    """

    at: XY
    bearings: Floats
    distance_m: Floats
    height_m: Floats

    @property
    def share(self) -> float:
        """Return the share of the bearings along which something stands above the eye."""
        return float(np.isfinite(self.distance_m).mean())

    @property
    def ratio(self) -> float | None:
        """Return the median distance over height; None where nothing stands above the eye."""
        some = np.isfinite(self.distance_m)
        return float(np.median(self.distance_m[some] / self.height_m[some])) if some.any() else None

    @property
    def widest_open_deg(self) -> tuple[float, float] | None:
        """Return the middle bearing and the width of the widest side that is open [deg]; None where none is."""
        free = ~np.isfinite(self.distance_m)
        if not free.any():
            return None
        if free.all():
            return 0.0, 360.0
        step = 360.0 / len(free)
        start = int(np.flatnonzero(~free)[0])
        turned = np.roll(free, -start)
        edges = np.diff(np.concatenate([[0], turned.astype(np.int64), [0]]))
        first, last = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
        k = int((last - first).argmax())
        middle = (first[k] + last[k] - 1) / 2 + start
        return float(middle * step % 360.0), float((last[k] - first[k]) * step)


def enclosure(scene: Scene, at: XY, height_m: float = EYE_M["standing"], month: int | None = None) -> Enclosure:
    """Return what stands round a point above an eye ``height_m`` over its ground, gates shut.

    Walls, fences, hedges and buildings that block half of a view or more are an edge; crowns, slats and roofs are none.
    """
    z_m = scene.ground_z_m(*at) + height_m
    bearings = np.arange(SIDES) * 360.0 / SIDES
    edges = _edges(scene, month or scene.on.month)
    far, high = np.full(SIDES, np.inf), np.full(SIDES, 0.1)
    if not edges:
        return Enclosure(at, bearings, far, high)
    met = [_MET.get((s, scene.ground), (at, z_m), partial(_met, s, scene.ground, at, z_m)) for s in edges]
    ray, off, over = (np.concatenate([m[k] for m in met]) for k in range(3))
    order = np.lexsort((off, ray))  # the nearest of each line first, and of equals the first
    ray, off, over = ray[order], off[order], over[order]
    nearest = np.append(True, ray[1:] != ray[:-1])[: len(ray)]
    far[ray[nearest]], high[ray[nearest]] = off[nearest], np.maximum(over[nearest], 0.1)
    return Enclosure(at, bearings, far, high)


def enclosed_alike(found: Difference, at: XY, height_m: float) -> bool:
    """Return whether surely the same stands round a point in both scenes: all that differs is hidden by what is nearer."""
    if found.was.ground is not found.now.ground:
        return False
    before = _BEFORE.get((found.was,), (at, height_m), partial(enclosure, found.was, at, height_m))
    return all(
        (before.distance_m[_towards(shape, at)] < shape.distance(Point(at)) - LEAF_M).all()
        for shape in _edging(found, at)
    )


def _edging(found: Difference, at: XY) -> list[BaseGeometry]:
    """Return the shapes near enough of what differs and may be an edge in either scene [m]."""
    shapes: list[BaseGeometry] = []
    for part in (found.gone, found.come):
        shapes += [s.footprint for s in part["solids"] if s.upright]
        shapes += [o.clear for o in part["openings"] if o.leaf is not None]
    return [s for s in shapes if s.distance(Point(at)) < FAR_M + LEAF_M]


def _towards(shape: BaseGeometry, at: XY) -> NDArray[np.bool_]:
    """Return which of the lines all round a point may meet a shape: all where it lies round the point."""
    dx, dy = (shapely.get_coordinates(shape) - at).T
    turn = np.degrees(np.arctan2(dx, dy))
    aside = (turn - turn[0] + 180.0) % 360.0 - 180.0
    if aside.max() - aside.min() >= 180.0 - SLACK_DEG:
        return np.ones(SIDES, bool)
    ray = (np.arange(SIDES) * 360.0 / SIDES - turn[0] + 180.0) % 360.0 - 180.0
    return np.asarray((ray >= aside.min() - SLACK_DEG) & (ray <= aside.max() + SLACK_DEG), bool)


_BEFORE: Kept[Enclosure] = Kept(128)
SLACK_DEG = 0.5
"""Lines so little beside a shape are taken to meet it [deg]."""
TINY_M = 1e-6


Met = tuple[NDArray[np.int64], Floats, Floats]
"""Lines by their numbers, how far off they meet something, and how high above the ground that stands there [m]."""


def _met(solid: Solid, ground: Ground, at: XY, z_m: float) -> Met:
    """Return which lines all round a point, at a height, meet a solid, how far off, and how high it is there [m]."""
    shape, rays = solid.footprint, _rays(at)
    if shape.distance(Point(at)) >= FAR_M:
        return NOTHING_MET
    ray = np.flatnonzero(shapely.intersects(rays, shape))
    off = np.asarray(shapely.distance(Point(at), shapely.intersection(rays[ray], shape)), np.float64)
    hit = np.asarray(at) + _ahead()[ray] * off[:, None]
    under = np.asarray(ground.height(hit[:, 0], hit[:, 1]), np.float64)
    base, top = (side.value_m + (under if side.datum == "ground" else 0.0) for side in (solid.base, solid.top))
    hides = (top > z_m) & (base < z_m) & (off > TINY_M)
    return ray[hides], off[hides], (top - under)[hides]


NOTHING_MET: Met = (np.empty(0, np.int64), np.empty(0), np.empty(0))


@lru_cache(maxsize=1)
def _ahead() -> Floats:
    """Return a step of one metre along each line."""
    turn = np.radians(np.arange(SIDES) * 360.0 / SIDES)
    return np.column_stack([np.sin(turn), np.cos(turn)])


@lru_cache(maxsize=64)
def _rays(at: XY) -> NDArray[np.object_]:
    ends = np.asarray(at) + FAR_M * _ahead()
    return np.asarray(shapely.linestrings([[at, end] for end in ends.tolist()]))


_MET: Kept[Met] = Kept(4096)


def _edges(scene: Scene, month: int) -> list[Solid]:
    """Return what may be an edge."""
    leaves = (leaf for o in scene.openings if (leaf := leaf_of(o)) is not None)
    return [
        s for s in (*scene.solids, *leaves)
        if s.upright and s.opacity[month - 1] >= HIDES
    ]  # fmt: skip


@dataclass(frozen=True)
class Mix:
    """What fills the view all round, from a little below level to where the eye rises without effort: shares that add to 1."""

    plants: float
    built: float
    ground: float
    sky: float


LOW_DEG, HIGH_DEG = -20.0, 27.0
"""From how far below level to how far above a view is taken; 27 degrees up is the usual cone of vision (H. Maertens, 1877;
from memory)."""
ROWS, COLUMNS = 16, 90
STEEP = 0.2
"""Lines that rise more than this (m per m) are taken to meet no ground."""


def mix(scene: Scene, eye: Eye, month: int | None = None) -> Mix:
    """Return how much of the view all round an eye is plants, built things, ground and sky, through what is porous."""
    bodies = bodies_in(scene, shut=True)
    up = np.radians(np.linspace(LOW_DEG, HIGH_DEG, ROWS))
    turn = np.arange(COLUMNS) * 2 * np.pi / COLUMNS
    u, t = (g.ravel() for g in np.meshgrid(up, turn))
    run = np.column_stack([np.sin(t) * np.cos(u), np.cos(t) * np.cos(u), np.sin(u)]) * FAR_M
    start = np.broadcast_to(eye.xyz, run.shape)
    ground_at = ground_met(scene, start, run)
    shares = bodies.shares(month or scene.on.month).copy()
    shares[inside(bodies, eye)] = 1.0
    plants, built, left = taken(bodies, shares, start, run, ground_at)
    ends = np.isfinite(ground_at)
    return Mix(float(plants.mean()), float(built.mean()), float((left * ends).mean()), float((left * ~ends).mean()))


def ground_met(scene: Scene, start: Floats, run: Floats) -> Floats:
    """Return how far along each line, 0 to 1, it meets the ground; infinite where it doesn't."""
    shares = np.geomspace(0.02, 1.0, 24)
    out = np.full(len(run), np.inf)
    low = np.flatnonzero(run[:, 2] < STEEP * FAR_M)
    x, y = start[low, :1] + run[low, :1] * shares, start[low, 1:2] + run[low, 1:2] * shares
    under = scene.ground.height(x, y) >= start[low, 2:] + run[low, 2:] * shares
    out[low] = np.where(under.any(axis=1), shares[under.argmax(axis=1)], np.inf)
    return out


def taken(bodies: Bodies, shares: Floats, start: Floats, run: Floats, until: Floats) -> tuple[Floats, Floats, Floats]:
    """Return what of each line plants take, what built things take, and what is left when it meets the ground."""
    met = entries(bodies, start, start + run)
    met[met > until[:, None]] = np.inf
    lets = np.where(np.isfinite(met), through(bodies, shares, start, run), 1.0)
    grown = np.array([bodies.parts.solids[n].grown for n in bodies.parts.solid], bool)
    order = np.argsort(met, axis=1, kind="stable")
    lets = np.take_along_axis(lets, order, axis=1)
    before = np.cumprod(np.concatenate([np.ones((len(start), 1)), lets[:, :-1]], axis=1), axis=1)
    took = before * (1.0 - lets)
    of_plants = np.where(grown[order], took, 0.0).sum(axis=1)
    return of_plants, took.sum(axis=1) - of_plants, np.prod(lets, axis=1)
