"""What stays dry when it blows: under roofs and behind walls, at a seat and over the ground.

Rain is taken to fall in straight slanting lines, the same everywhere in the garden: wind that a wall stills or that
swirls round a roof's edge is not counted, nor is splash.  Roofs, walls, boards, glass and canvas stop it; slats, nets and
all that grows let it through (a crown drips).
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.scene.bodies import Bodies, bodies_of, entries
from quincunx.scene.grid import Grid, grid_over
from quincunx.scene.parts import parts_of
from quincunx.scene.spread import ASIDE_M as CELL_ASIDE_M, reached_along
from quincunx.shapes import NO_LIGHT, Crown, Monthly, Slats, Solid, every_month
from quincunx.water.weather import SIDES, Rains, Weather

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

SEAT_M, HEAD_M = 0.47, 1.25
"""Heights at which somebody on a seat must stay dry: just above the seat, and the head (from memory)."""
AROUND_M = 0.3
"""Half the width of somebody at a spot [m]."""
SLANTS = 3.0 * np.linspace(0.0, 1.0, 25) ** 1.5
"""Drifts for each metre of fall that a seat is tried at; between them the answer is taken straight."""
TALL_M = 30.0
"""Rain is followed up this far [m]."""
ASIDE_M = (0.00137, 0.00071)
"""Points are moved aside this little, so that no line runs in the seam between two slopes of a roof [m]."""
TIGHT_M = 0.02
"""What has larger holes than this lets some of the rain through [m]."""


def rain_lets(solid: Solid) -> Monthly:
    """Return the share of rain that a solid lets through, by month: all where it grows or is slatted, none of a roof."""
    if solid.grown or isinstance(solid.form, (Slats, Crown)):
        return every_month(1.0)
    if solid.gap_m > TIGHT_M:
        return tuple(1.0 - o for o in solid.opacity)
    return NO_LIGHT


_KEPT: OrderedDict[tuple[object, ...], tuple[Bodies, tuple[Solid, ...]]] = OrderedDict()
_MOST = 48


def stoppers(scene: Scene, near: BaseGeometry | None = None) -> Bodies:
    """Return what stops rain, in all of a scene or near a place; kept for as long as the same things stand."""
    solids = tuple(s for s in scene.solids if not s.grown and not isinstance(s.form, Slats))
    if near is not None:
        off = shapely.distance(np.array([s.footprint for s in solids], dtype=object), near)
        z = scene.ground_z_m(near.centroid.x, near.centroid.y)
        solids = tuple(s for s, far in zip(solids, off.tolist(), strict=True) if far <= _reach_m(s, z))
    key = (*map(id, solids), scene.ground.key())
    if key not in _KEPT:
        _KEPT[key] = (bodies_of(parts_of(solids, scene.ground, rain_lets)), solids)
        while len(_KEPT) > _MOST:
            _KEPT.popitem(last=False)
    return _KEPT[key][0]


def _reach_m(solid: Solid, z_m: float) -> float:
    """Return how far off a solid may still keep the flattest rain off a seat at ``z_m`` [m]."""
    return float(SLANTS[-1]) * max(solid.top.above_ground_m(z_m) - SEAT_M, 0.0) + 0.5


@dataclass(frozen=True, eq=False)
class Dry:
    """How dry a place stays: of the rainy hours, the share in which all of it is dry (``whole``), of its points (``part``).

    ``by_month`` holds (month, rainy hours, share of them in which all of it is dry).  ``wettest_deg`` is the bearing
    from which most of what wets it comes, None where nothing does.
    """

    whole: float
    part: float
    by_month: tuple[tuple[int, float, float], ...]
    wettest_deg: float | None

    @property
    def dry_h(self) -> float:
        """Return the rainy hours in which it stays dry [h]."""
        return sum(hours * share for _, hours, share in self.by_month)


def sitting(scene: Scene, ref: str) -> Floats | None:
    """Return points (n, 3) of people at a spot, a seat or under a shelter: seat and head; None where it doesn't stand."""
    spot = scene.spot(ref)
    if spot is not None:
        shape: BaseGeometry = Point(spot.at).buffer(AROUND_M, cap_style="square")
    else:
        found = scene.area_of(ref)
        room = scene.room(ref)
        if found is None and room is None:
            return None
        shape = found if found is not None else Point(room.inside).buffer(1.0) if room is not None else Polygon()
    return people_on(scene, shape)


def people_on(scene: Scene, shape: BaseGeometry) -> Floats:
    """Return points of people all over a shape in plan: just above a seat and at the head, not in its outer tenth."""
    box = shapely.minimum_rotated_rectangle(shape)
    middle = np.array(box.centroid.coords[0])
    corners = shapely.get_coordinates(box)[:4] if isinstance(box, Polygon) else np.repeat(middle[None], 4, 0)
    a, b = corners[1] - corners[0], corners[3] - corners[0]
    at = [middle + u * a + v * b for u in (-0.4, 0.0, 0.4) for v in (-0.4, 0.0, 0.4)]
    xy = np.array(at) + ASIDE_M
    ground = scene.ground.height(xy[:, 0], xy[:, 1])
    return np.vstack([np.column_stack([xy, ground + up]) for up in (SEAT_M, HEAD_M)])


def kept_off(bodies: Bodies, points: Floats, rains: Rains) -> Floats:
    """Return the share of each rain kept off each point (rains, points)."""
    n = len(points)
    run = np.repeat(rains.up * TALL_M, n, axis=0)
    start = np.tile(points, (len(rains.slant), 1))
    met = entries(bodies, start, start + run)
    # What a point lies inside of (the seat itself, a post) is no shelter.
    lets = np.where((met < np.inf) & (met > 0.0), bodies.shares(1), 1.0)
    return np.asarray(1.0 - np.prod(lets, axis=1).reshape(-1, n))


_DRY: OrderedDict[tuple[object, ...], tuple[Dry, Bodies]] = OrderedDict()


def dryness(scene: Scene, points: Floats, weather: Weather, months: tuple[int, ...]) -> Dry:
    """Return how dry a place, given by its ``points`` (n, 3), stays in the rains of some months."""
    bodies = stoppers(scene, shapely.convex_hull(shapely.multipoints(points[:, :2])))
    key = (id(bodies), points.tobytes(), weather, months)
    if key not in _DRY:
        _DRY[key] = (_dryness(bodies, points, weather, months), bodies)
        while len(_DRY) > _MOST:
            _DRY.popitem(last=False)
    return _DRY[key][0]


DRY = 0.95
"""A point of which at least this much of a rain is kept off is dry."""


def _dryness(bodies: Bodies, points: Floats, weather: Weather, months: tuple[int, ...]) -> Dry:
    if not len(bodies):
        none = tuple((m, weather.rainy_h(m), 0.0) for m in months)
        return Dry(0.0, 0.0, none, None)
    side = np.arange(SIDES) * 360.0 / SIDES
    tried = Rains(np.repeat(SLANTS, SIDES), np.tile(side, len(SLANTS)), np.empty(0), np.empty(0))
    off = (kept_off(bodies, points, tried) >= DRY).reshape(len(SLANTS), SIDES, -1)
    by_month, total, whole, parts = [], 0.0, 0.0, 0.0
    wet_from = np.zeros(SIDES)
    for month in months:
        rains, hours = weather.rains((month,)), weather.rainy_h(month)
        column = np.round(rains.from_deg / 360.0 * SIDES).astype(np.int64) % SIDES
        all_, some = (
            _at(np.asarray(off.all(axis=2)), rains.slant, column),
            _at(np.asarray(off.mean(axis=2)), rains.slant, column),
        )
        share = float(rains.hours @ all_)
        by_month.append((month, hours, share))
        total, whole, parts = total + hours, whole + hours * share, parts + hours * float(rains.hours @ some)
        wet_from += np.bincount(column, hours * rains.hours * (1.0 - all_), SIDES)
    dry = whole / total if total else 0.0
    return Dry(dry, parts / total if total else 0.0, tuple(by_month), _side(np.column_stack([side, wet_from])))


def _at(table: NDArray[Any], slant: Floats, column: NDArray[np.int64]) -> Floats:
    """Return values of a table (slants, sides) at slants between those tried."""
    high = np.clip(np.searchsorted(SLANTS, slant), 1, len(SLANTS) - 1)
    part = np.clip((slant - SLANTS[high - 1]) / (SLANTS[high] - SLANTS[high - 1]), 0.0, 1.0)
    return np.asarray(table[high - 1, column] * (1.0 - part) + table[high, column] * part, np.float64)


def _side(wet_from: Floats) -> float | None:
    """Return the mean bearing of what wets, None where nothing does or it comes from all round."""
    side = np.radians(wet_from[:, 0])
    east, north = float(wet_from[:, 1] @ np.sin(side)), float(wet_from[:, 1] @ np.cos(side))
    total = float(wet_from[:, 1].sum())
    if total <= 0 or np.hypot(east, north) < 0.1 * total:
        return None
    return float(np.degrees(np.arctan2(east, north)) % 360.0)


@dataclass(frozen=True, eq=False)
class Wetting:
    """The share of the rain that reaches each cell, ``height_m`` above the ground: 1 in the open, 0 where it is always dry."""

    grid: Grid
    share: Singles
    height_m: float = 0.0

    def area_m2(self, least: float, most: float) -> float:
        """Return the ground that gets from ``least`` up to below ``most`` of the rain [m2]."""
        return float(((self.share >= least) & (self.share < most)).sum()) * self.grid.cell_m**2


def wetting(
    scene: Scene,
    rains: Rains,
    *,
    cell_m: float = 0.25,
    height_m: float = 0.0,
    within: tuple[float, float, float, float] | None = None,
) -> Wetting:
    """Return how much of some rains reaches the ground of a scene, cell by cell; ``within`` (west, south, east, north) [m]."""
    grid, bodies = grid_over(scene, cell_m, within), stoppers(scene)
    out = np.zeros(grid.z_m.shape, np.float32)
    shares = bodies.shares(1)
    for up, amount in zip(rains.up, rains.amount, strict=True):
        run = tuple(float(v) for v in up * TALL_M)
        out += np.float32(amount) * reached_along(grid, bodies, shares, (run[0], run[1], run[2]), max(height_m, 0.02))
    return Wetting(grid, out, height_m)


def wetting_plainly(scene: Scene, rains: Rains, *, cell_m: float = 0.5, height_m: float = 0.0) -> Wetting:
    """Return the same as :func:`wetting` line by line in NumPy: slow, and its oracle."""
    grid, bodies = grid_over(scene, cell_m), stoppers(scene)
    start = grid.points(max(height_m, 0.02)) + (*CELL_ASIDE_M, 0.0)  # noqa: RUF005 - numbers are added, not joined
    out = np.zeros(len(start))
    for up, amount in zip(rains.up, rains.amount, strict=True):
        met = entries(bodies, start, start + up * TALL_M) < np.inf
        out += amount * np.prod(np.where(met, bodies.shares(1), 1.0), axis=1)
    return Wetting(grid, out.reshape(grid.z_m.shape).astype(np.float32), height_m)
