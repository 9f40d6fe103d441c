"""The shade at one point, hour by hour and month by month."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field as having, replace
from functools import cached_property, lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from quincunx.light._owners import Asked, OwnerShade, owners_shade
from quincunx.light.sky import MONTHS, Days, Sky, local_hours, suns
from quincunx.scene import Scene
from quincunx.scene._kept import Kept
from quincunx.shapes import XY, Slab, Solid
from quincunx.site.ground import Ground

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

FLAT_M, TINY = 0.05, 1e-9
EVERY_DEG = 2.0
REACH_M = 80.0
"""How far off the ground itself is looked at for what it hides [m]."""


@dataclass(frozen=True, eq=False)
class PointShade:
    """Shade at a point: ``share[month, hour]`` of the sun kept off, and how much of that hour the sun is up at all.

    Hour 14 is from 14:00 to 15:00 by the ``sky``'s clock (sun time if it has none).  ``share`` is nan where the sun is
    not up.  ``kept_off`` has the hours of sun a day that each thing keeps off, whatever stands beside it.
    """

    x_m: float
    y_m: float
    height_m: float
    share: Floats
    sun_up_h: Floats
    sky: Sky
    months: tuple[int, ...] = MONTHS
    kept_off: Mapping[str, Floats] = having(default_factory=dict)

    def between(self, months: tuple[int, ...], start: int, end: int) -> float:
        """Return the share of shade over some months from ``start`` to ``end`` o'clock; nan if the sun isn't up."""
        rows = [self.months.index(m) for m in months]
        up, share = self.sun_up_h[rows, start:end], np.nan_to_num(self.share[rows, start:end])
        return float((up * share).sum() / up.sum()) if up.sum() > 0 else float("nan")

    def sun_between_h(self, month: int, start: int, end: int) -> float:
        """Return the hours of clear sun a day in a month from ``start`` to ``end`` o'clock [h]."""
        row = self.months.index(month)
        return float(self._lit_h[row, start:end].sum())

    def by(self, months: tuple[int, ...], start: int = 0, end: int = 24) -> list[tuple[str, float]]:
        """Return what keeps the sun off over some months and hours, the most first, with its hours a day [h]."""
        rows = [self.months.index(m) for m in months]
        found = [(owner, float(h[rows, start:end].sum() / len(rows))) for owner, h in self.kept_off.items()]
        return sorted((f for f in found if f[1] > 0.01), key=lambda f: (-f[1], f[0]))

    def sun_h(self, month: int) -> float:
        """Return the hours of clear sun a day in a month [h]."""
        return float(self._lit_h[self.months.index(month)].sum())

    @cached_property
    def _lit_h(self) -> Floats:
        """Return the hours of clear sun in each hour of each month [h]."""
        lit: Floats = self.sun_up_h * (1.0 - np.nan_to_num(self.share, nan=1.0))
        return lit


def shade_at(
    scene: Scene,
    point: XY,
    height_m: float = 1.2,
    *,
    months: tuple[int, ...] = MONTHS,
    step_min: float = 10.0,
    days: Days = "mid",
    sky: Sky | None = None,
    without: frozenset[str] = frozenset(),
) -> PointShade:
    """Return the share of shade at a point ``height_m`` above the ground, by hour and month.

    1.2 m is about the head of somebody seated (common practice, no source).  The solids named in ``without`` (by
    :attr:`~quincunx.shapes.Solid.name`) count as not there.
    """
    return shades_at(scene, (point,), height_m, months=months, step_min=step_min, days=days, sky=sky, without=without)[
        0
    ]


def shades_at(
    scene: Scene,
    points: Sequence[XY],
    height_m: float = 1.2,
    *,
    months: tuple[int, ...] = MONTHS,
    step_min: float = 10.0,
    days: Days = "mid",
    sky: Sky | None = None,
    without: frozenset[str] = frozenset(),
) -> list[PointShade]:
    """Return the same at several points near each other, worked out together."""
    over = sky or Sky.of(scene)
    some = suns(over, months, days, step_min)
    at = _eyes(scene, points, height_m)
    solids = tuple(s for s in in_the_way(scene, at, some.towards) if s.name not in without)
    found = owners_shade(solids, scene.ground, at, (over, months, days, step_min))
    slot = _slots(over, months, days, step_min)
    out = []
    for n, point in enumerate(points):
        clear = ~ground_before(scene, (float(at[n, 0]), float(at[n, 1]), float(at[n, 2])), some.towards)
        share = clear.astype(np.float64)
        for one in found:
            share[one.suns] *= one.through[n]
        up, lit = _by_hour(slot, some.hours, months), _by_hour(slot, some.hours * share, months)
        with np.errstate(divide="ignore", invalid="ignore"):
            shade = np.where(up > 0, np.clip(1.0 - lit / up, 0.0, 1.0), np.nan)
        by = {o.owner: _by_hour(slot[o.suns], some.hours[o.suns] * o.off[n], months) for o in found if o.off[n].any()}
        out.append(PointShade(*point, height_m, shade, up, over, months, by))
    return out


@lru_cache(maxsize=16)
def _slots(sky: Sky, months: tuple[int, ...], days: Days, step_min: float) -> NDArray[np.int64]:
    """Return the place of each sun in a table of months and hours of the clock."""
    some = suns(sky, months, days, step_min)
    return np.array([months.index(m) for m in some.month], np.int64) * 24 + local_hours(sky, some.times)


def _by_hour(slot: NDArray[np.int64], weight: Floats, months: tuple[int, ...]) -> Floats:
    return np.asarray(np.bincount(slot, weight, 24 * len(months)).reshape(-1, 24), np.float64)


def in_the_way(scene: Scene, at: Floats, towards: Floats) -> tuple[Solid, ...]:
    """Return the solids that may stand before one of some suns seen from some points, each with all of its owner's."""
    if not scene.solids or not len(towards):
        return ()
    box = shapely.bounds(np.array([s.footprint for s in scene.solids]))
    levels = scene.ground.vertices
    lowest, highest = (float(levels[:, 2].min()), float(levels[:, 2].max())) if len(levels) else (0.0, 0.0)
    slack = highest - lowest + FLAT_M  # beyond the levels the ground may go on falling and rising as within them
    top = np.array([_top_m(s, highest + slack) for s in scene.solids])
    middle, radius = (box[:, :2] + box[:, 2:]) / 2, np.hypot(*(box[:, 2:] - box[:, :2]).T) / 2
    centre = (at[:, :2].min(axis=0) + at[:, :2].max(axis=0)) / 2
    radius = radius + np.hypot(*(at[:, :2] - centre).T).max()
    far = middle - centre
    away = np.hypot(*far.T)
    flat = np.hypot(towards[:, 0], towards[:, 1])
    along = far @ (towards[:, :2] / np.maximum(flat, TINY)[:, None]).T
    met = (along > -radius[:, None]) & (away[:, None] ** 2 - along**2 <= radius[:, None] ** 2 + FLAT_M)
    near = np.maximum(along - radius[:, None], 0.0)
    met &= at[:, 2].min() + near * (towards[:, 2] / np.maximum(flat, TINY)) <= top[:, None]
    some = np.flatnonzero(met.any(axis=1))
    some = some[_crosses(box[some], at[:, :2], towards, met[some])]
    owners = {scene.solids[k].owner for k in some.tolist()}
    return tuple(s for s in scene.solids if s.owner in owners)


def _crosses(box: Floats, at: Floats, towards: Floats, met: Bools) -> Bools:
    """Return which boxes in plan (n, 4) some line from one of the points (m, 2) towards a sun may cross, where ``met``."""
    flat = np.hypot(towards[:, 0], towards[:, 1])
    across = np.column_stack([-towards[:, 1], towards[:, 0]]) / np.maximum(flat, TINY)[:, None]
    corners = np.stack([box[:, [0, 1]], box[:, [2, 1]], box[:, [2, 3]], box[:, [0, 3]]], 1)
    side, own = corners @ across.T, at @ across.T
    beside = (side.min(axis=1) <= own.max(axis=0) + FLAT_M) & (side.max(axis=1) >= own.min(axis=0) - FLAT_M)
    return np.asarray((beside & met | (met & (flat < TINY))).any(axis=1))


OfSuns = Asked
"""Which suns: the sky, the months, the days of each and the minutes between suns."""


def same_shade(
    was: Scene,
    now: Scene,
    owners: Collection[str],
    points: Sequence[XY],
    height_m: float,
    asked: Asked,
    without: frozenset[str] = frozenset(),
) -> bool:
    """Return whether what ``owners`` keep off some points is the same in both scenes, all else standing alike there.

    ``asked`` are the sky, the months, the days of each and the minutes between suns.
    """
    of = frozenset(owners)
    more = (of, tuple(points), height_m, asked, without)
    # What was stays the same for every place to which something is moved.
    one = _OFF.get((was,), more, lambda: _kept_off(was, of, _eyes(was, points, height_m), asked, without))
    other = _kept_off(now, of, _eyes(now, points, height_m), asked, without)
    return one.keys() == other.keys() and all(_same(one[k], other[k]) for k in one)


def _kept_off(
    scene: Scene, owners: Collection[str], at: Floats, asked: Asked, without: frozenset[str]
) -> dict[str, OwnerShade]:
    """Return what each of ``owners`` keeps off some points."""
    few = replace(scene, solids=tuple(s for s in scene.solids if s.owner in owners))
    solids = tuple(s for s in in_the_way(few, at, suns(*asked).towards) if s.name not in without)
    return {one.owner: one for one in owners_shade(solids, scene.ground, at, asked)}


def _eyes(scene: Scene, points: Sequence[XY], height_m: float) -> Floats:
    """Return points (n, 3) so high above the ground [m]."""
    return _EYES.get(
        (scene.ground,),
        (tuple(points), height_m),
        lambda: np.array([[x, y, scene.ground_z_m(x, y) + height_m] for x, y in points]),
    )


_OFF: Kept[dict[str, OwnerShade]] = Kept(512)
_EYES: Kept[Floats] = Kept(512)


def _same(one: OwnerShade, other: OwnerShade) -> bool:
    pairs = ((one.suns, other.suns), (one.through, other.through), (one.off, other.off))
    return all(np.array_equal(a, b) for a, b in pairs)


def _top_m(solid: Solid, highest_m: float) -> float:
    """Return a height that a solid doesn't reach above [m]: that of a roof slope is left open."""
    if isinstance(solid.form, Slab):
        return float("inf")
    return solid.top.value_m + (highest_m if solid.top.datum == "ground" else 0.0)


def ground_before(scene: Scene, at: tuple[float, float, float], towards: Floats) -> Bools:
    """Return which directions (n, 3) the ground hides from a point over it; looked at up to 80 m off.

    The ground's own skyline is taken every two degrees and straight between; what was asked of it is kept.
    """
    key = (scene.ground.key(), *at)
    if key not in _SKYLINES:
        _SKYLINES[key] = np.full(round(360.0 / EVERY_DEG), np.nan)
        while len(_SKYLINES) > _MOST:
            _SKYLINES.popitem(last=False)
    line = _SKYLINES[key]
    flat = np.hypot(towards[:, 0], towards[:, 1])
    bearing = np.degrees(np.arctan2(towards[:, 0], towards[:, 1])) % 360.0
    before = (bearing // EVERY_DEG).astype(np.int64) % len(line)
    asked = np.union1d(before, (before + 1) % len(line))
    new = asked[np.isnan(line[asked])]
    if len(new):
        line[new] = _skyline(scene.ground, at, np.asarray(new * EVERY_DEG, np.float64))
    rise = np.interp(bearing, np.arange(len(line) + 1) * EVERY_DEG, np.append(line, line[0]))
    return np.asarray((flat > TINY) & (towards[:, 2] < rise * flat))


_SKYLINES: OrderedDict[tuple[object, ...], Floats] = OrderedDict()
_MOST = 512


def _skyline(ground: Ground, at: tuple[float, float, float], bearing_deg: Floats) -> Floats:
    """Return how much the ground rises at most for a metre away from a point, by bearing; least where it falls."""
    a = np.radians(bearing_deg)
    far = np.geomspace(0.25, REACH_M, 40)
    x, y = at[0] + np.sin(a)[:, None] * far, at[1] + np.cos(a)[:, None] * far
    return np.asarray(((ground.height(x, y) - at[2] - 1e-6) / far).max(axis=1), np.float64)
