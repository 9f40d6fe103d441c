"""Where a seat would have shade at midday and sun in the morning, and where a parasol or a tree would stand for one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from quincunx.light._field import field_of
from quincunx.light._rays import Bodies
from quincunx.light.hours import Cast
from quincunx.light.shade import in_the_way
from quincunx.light.sky import Sky, local_hours, suns
from quincunx.scene import Scene
from quincunx.scene.parts import kept_parts, parts_of
from quincunx.shapes import XY, united

Floats = NDArray[np.float64]

HEAD_M = 1.2
PARASOL_M, UNDER_M = 1.35, 2.1
"""Half the width of a usual parasol, and its height over the ground (common practice, no source) [m]."""
ASIDE_M = 1.6
"""A parasol's foot is tried so far from the seat [m]."""
CROWN_M, CROWN_UP_M = 2.0, 4.0
"""Radius of a small tree's round crown and the height of its middle (common practice, no source) [m]."""
IN_LEAF = 0.25
"""Share of the sun through it (Pyrus calleryana: Gardner and Sydnor, J. Amer. Soc. Hort. Sci. 109, 1984, 448-450)."""
STEM_M = (1.5, 8.0)
"""A tree's stem is tried so far from the seat, from and to [m]."""
NOON, MORNING = (12, 16), 10
CELL_M = 0.5
APART_M = 3.0
"""Places told are so far apart [m]."""
FREE_M = 0.6
"""A seat is not put nearer than this to what stands [m]."""
BEST = 3
MORNING_H = 2.0
"""Morning sun beyond this counts no more when places are chosen [h]."""


@dataclass(frozen=True, slots=True)
class Parasol:
    """Where a parasol's foot goes [m], half its width, and the share of the midday sun kept off with it."""

    at: XY
    radius_m: float
    shade: float


@dataclass(frozen=True, slots=True)
class SmallTree:
    """Where a small tree's stem goes [m], its crown's radius and middle [m], and the midday sun kept off with it grown."""

    at: XY
    radius_m: float
    middle_m: float
    shade: float


@dataclass(frozen=True, slots=True)
class SeatPlace:
    """A place for a seat [m]: the share of midday sun kept off there, and the least month's sun before ten [h]."""

    at: XY
    shade: float
    morning_h: float


def parasol(scene: Scene, seat: XY, sky: Sky, warm: tuple[int, ...]) -> Parasol | None:
    """Return where a parasol keeps most midday sun off a seat in some months; None where the sun is not up then.

    Its cloth is taken as a level disc: a ray from the head meets it where its height is reached.
    """
    found = _midday(scene, seat, sky, warm)
    if found is None:
        return None
    towards, weight, left = found
    meets = towards[:, :2] / towards[:, 2:] * (UNDER_M - HEAD_M)
    side = np.arange(-ASIDE_M, ASIDE_M + 0.05, 0.1)
    foot = np.column_stack([g.ravel() for g in np.meshgrid(side, side)])
    hidden = np.linalg.norm(meets[None] - foot[:, None], axis=2) <= PARASOL_M
    kept = (weight * (1.0 - left * ~hidden)).sum(axis=1) / weight.sum()
    near = np.round(kept, 3) - 0.01 * np.linalg.norm(foot, axis=1)
    best = int(near.argmax())
    return Parasol((float(seat[0] + foot[best, 0]), float(seat[1] + foot[best, 1])), PARASOL_M, float(kept[best]))


def small_tree(scene: Scene, seat: XY, sky: Sky, warm: tuple[int, ...]) -> SmallTree | None:
    """Return where a small tree, once grown, keeps most midday sun off a seat in some months of leaf.

    None where the sun is not up then, or no ground near is free.  Its crown is taken as a ball that lets :data:`IN_LEAF`
    of the sun through wherever a ray meets it.
    """
    found = _midday(scene, seat, sky, warm)
    if found is None:
        return None
    towards, weight, left = found
    side = np.arange(-STEM_M[1], STEM_M[1] + 0.25, 0.5)
    foot = np.column_stack([g.ravel() for g in np.meshgrid(side, side)])
    off = np.linalg.norm(foot, axis=1)
    at = foot + seat
    foot = foot[(off >= STEM_M[0]) & (off <= STEM_M[1]) & _free_at(scene, at[:, 0], at[:, 1])]
    if not len(foot):
        return None
    up = np.asarray(scene.ground.height(foot[:, 0] + seat[0], foot[:, 1] + seat[1]), np.float64)
    ball = np.column_stack([foot, up + CROWN_UP_M - scene.ground_z_m(*seat) - HEAD_M])
    along = ball @ towards.T
    beside = np.sqrt(np.maximum((ball**2).sum(axis=1)[:, None] - along**2, 0.0))
    through = np.where((along > 0) & (beside <= CROWN_M), IN_LEAF, 1.0)
    kept = (weight * (1.0 - left * through)).sum(axis=1) / weight.sum()
    best = int((np.round(kept, 3) - 0.005 * np.linalg.norm(foot, axis=1)).argmax())
    stem = (float(seat[0] + foot[best, 0]), float(seat[1] + foot[best, 1]))
    return SmallTree(stem, CROWN_M, CROWN_UP_M, float(kept[best]))


def _midday(scene: Scene, seat: XY, sky: Sky, warm: tuple[int, ...]) -> tuple[Floats, Floats, Floats] | None:
    """Return where the midday suns of some months stand (n, 3), their hours and the share of each that is left (n)."""
    some = suns(sky, warm, "mid", 10.0)
    hour = local_hours(sky, some.times)
    noon = (hour >= NOON[0]) & (hour < NOON[1])
    if not noon.any():
        return None
    towards, weight = some.towards[noon], some.hours[noon]
    at = np.array([[*seat, scene.ground_z_m(*seat) + HEAD_M]])
    parts = parts_of(in_the_way(scene, at, towards), scene.ground)
    left = Bodies.of(parts).shares(at, towards, parts.through(towards, some.month[noon]))[0]
    return towards, weight, left


def best_places(scene: Scene, sky: Sky, warm: tuple[int, ...]) -> tuple[SeatPlace, ...]:
    """Return up to three places for a seat, best first: shaded at midday, with sun before ten, and free ground."""
    cast = Cast(field_of(scene, CELL_M), kept_parts(scene.solids, scene.ground), HEAD_M)
    some = suns(sky, warm, "mid", 15.0)
    hour = local_hours(sky, some.times)
    noon, early = (hour >= NOON[0]) & (hour < NOON[1]), hour < MORNING
    if not noon.any():
        return ()
    lit = np.zeros((1 + len(warm), *cast.field.z_m.shape), np.float32)
    slot = np.where(noon, 0, 1 + np.array([warm.index(m) for m in some.month], np.int64))
    kept = noon | early
    cast.add(some.of(kept), slot[kept].astype(np.int64), lit)
    shade = 1.0 - lit[0] / float(some.hours[noon].sum())
    morning = lit[1:].min(axis=0)
    score = np.where(_free(scene, cast), shade + 0.25 * np.minimum(morning, MORNING_H) / MORNING_H, -1.0)
    out: list[SeatPlace] = []
    x, y = cast.field.x_m, cast.field.y_m
    for k in np.argsort(-score, axis=None, kind="stable"):
        row, column = divmod(int(k), score.shape[1])
        at = (float(x[column]), float(y[row]))
        if score[row, column] < 0 or len(out) == BEST:
            break
        if all(np.hypot(at[0] - p.at[0], at[1] - p.at[1]) >= APART_M for p in out):
            out.append(SeatPlace(at, float(shade[row, column]), float(morning[row, column])))
    return tuple(out)


def _free(scene: Scene, cast: Cast) -> NDArray[np.bool_]:
    """Return the cells inside the boundary where nothing stands or is planted and no water lies."""
    x, y = np.meshgrid(cast.field.x_m, cast.field.y_m)
    return _free_at(scene, x, y)


def _free_at(scene: Scene, x: Floats, y: Floats) -> NDArray[np.bool_]:
    """Return at which points inside the boundary nothing stands or is planted and no water lies."""
    low = [s.footprint for s in scene.solids if s.base.value_m < HEAD_M or s.base.datum == "site"]
    wet = [s.area for s in scene.surfaces if s.planted or s.water_depth_m > 0]
    taken = united([g.buffer(FREE_M) for g in (*low, *wet)])
    shapely.prepare(taken)
    inside = scene.boundary.buffer(-FREE_M)
    return np.asarray(shapely.contains_xy(inside, x, y) & ~shapely.contains_xy(taken, x, y))
