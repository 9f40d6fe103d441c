"""Where a seat would have shade at midday and sun in the morning, and where a parasol would stand for one."""

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
from quincunx.shapes import XY

Floats = NDArray[np.float64]

HEAD_M = 1.2
PARASOL_M, UNDER_M = 1.35, 2.1
"""Half the width of a usual parasol, and its height over the ground (common practice, no source) [m]."""
ASIDE_M = 1.6
"""A parasol's foot is tried so far from the seat [m]."""
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
class SeatPlace:
    """A place for a seat [m]: the share of midday sun kept off there, and the least month's sun before ten [h]."""

    at: XY
    shade: float
    morning_h: float


def parasol(scene: Scene, seat: XY, sky: Sky, warm: tuple[int, ...]) -> Parasol | None:
    """Return where a parasol keeps most midday sun off a seat in some months; None where the sun is not up then.

    Its cloth is taken as a level disc: a ray from the head meets it where its height is reached.
    """
    some = suns(sky, warm, "mid", 10.0)
    hour = local_hours(sky, some.times)
    noon = (hour >= NOON[0]) & (hour < NOON[1])
    if not noon.any():
        return None
    towards, weight = some.towards[noon], some.hours[noon]
    at = np.array([[*seat, scene.ground_z_m(*seat) + HEAD_M]])
    parts = parts_of(in_the_way(scene, at, towards), scene.ground)
    left = Bodies.of(parts).shares(at, towards, parts.through(towards, some.month[noon]))[0]
    meets = towards[:, :2] / towards[:, 2:] * (UNDER_M - HEAD_M)
    side = np.arange(-ASIDE_M, ASIDE_M + 0.05, 0.1)
    foot = np.column_stack([g.ravel() for g in np.meshgrid(side, side)])
    hidden = np.linalg.norm(meets[None] - foot[:, None], axis=2) <= PARASOL_M
    kept = (weight * (1.0 - left * ~hidden)).sum(axis=1) / weight.sum()
    near = np.round(kept, 3) - 0.01 * np.linalg.norm(foot, axis=1)
    best = int(near.argmax())
    return Parasol((float(seat[0] + foot[best, 0]), float(seat[1] + foot[best, 1])), PARASOL_M, float(kept[best]))


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
    low = [s.footprint for s in scene.solids if s.base.value_m < HEAD_M or s.base.datum == "site"]
    wet = [s.area for s in scene.surfaces if s.planted or s.water_depth_m > 0]
    taken = shapely.union_all([g.buffer(FREE_M) for g in (*low, *wet)])
    shapely.prepare(taken)
    inside = scene.boundary.buffer(-FREE_M)
    return np.asarray(shapely.contains_xy(inside, x, y) & ~shapely.contains_xy(taken, x, y))
