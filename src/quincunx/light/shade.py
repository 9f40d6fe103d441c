"""The shade at one point, hour by hour and month by month."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quincunx.light._field import Field
from quincunx.light.hours import Cast
from quincunx.light.sky import MONTHS, Days, Sky, local_hours, suns
from quincunx.scene import Scene
from quincunx.scene.parts import parts_of
from quincunx.shapes import XY

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

REACH_M = 80.0
"""How far off the ground itself is looked at for what it hides [m]."""


@dataclass(frozen=True, eq=False)
class PointShade:
    """Shade at a point: ``share[month, hour]`` of the sun kept off, and how much of that hour the sun is up at all.

    Hour 14 is from 14:00 to 15:00 by the ``sky``'s clock (sun time if it has none).  ``share`` is nan where the sun is
    not up.
    """

    x_m: float
    y_m: float
    height_m: float
    share: Floats
    sun_up_h: Floats
    sky: Sky
    months: tuple[int, ...] = MONTHS

    def between(self, months: tuple[int, ...], start: int, end: int) -> float:
        """Return the share of shade over some months from ``start`` to ``end`` o'clock; nan if the sun isn't up."""
        rows = [self.months.index(m) for m in months]
        up, share = self.sun_up_h[rows, start:end], np.nan_to_num(self.share[rows, start:end])
        return float((up * share).sum() / up.sum()) if up.sum() > 0 else float("nan")

    def sun_h(self, month: int) -> float:
        """Return the hours of clear sun a day in a month [h]."""
        row = self.months.index(month)
        return float((self.sun_up_h[row] * (1.0 - np.nan_to_num(self.share[row], nan=1.0))).sum())


def shade_at(
    scene: Scene,
    point: XY,
    height_m: float = 1.2,
    *,
    months: tuple[int, ...] = MONTHS,
    step_min: float = 10.0,
    days: Days = "mid",
    sky: Sky | None = None,
) -> PointShade:
    """Return the share of shade at a point ``height_m`` above the ground, by hour and month.

    1.2 m is about the head of somebody seated (common practice, no source).
    """
    over = sky or Sky.of(scene)
    some = suns(over, months, days, step_min)
    z = scene.ground_z_m(*point)
    field = Field(point[0] - 0.5, point[1] - 0.5, 1.0, np.array([[z]]))
    cast = Cast(field, parts_of(scene.solids, scene.ground), height_m)
    row = np.array([months.index(m) for m in some.month], np.int64)
    slot = row * 24 + local_hours(over, some.times)
    clear = ~ground_before(scene, (*point, z + height_m), some.towards)
    lit = np.zeros((24 * len(months), 1, 1), np.float32)
    cast.add(some.of(clear), slot[clear], lit)
    up = np.asarray(np.bincount(slot, some.hours, 24 * len(months)).reshape(-1, 24), np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(up > 0, np.clip(1.0 - lit.reshape(-1, 24) / up, 0.0, 1.0), np.nan)
    return PointShade(*point, height_m, share, up, over, months)


def ground_before(scene: Scene, at: tuple[float, float, float], towards: Floats) -> Bools:
    """Return which directions (n, 3) the ground hides from a point over it; looked at up to 80 m off."""
    flat = np.hypot(towards[:, 0], towards[:, 1])
    far = np.geomspace(0.25, REACH_M, 40)
    with np.errstate(divide="ignore", invalid="ignore"):
        ahead = np.where(flat[:, None] > 1e-9, towards[:, :2] / flat[:, None], 0.0)
        rise = np.where(flat > 1e-9, towards[:, 2] / flat, np.inf)
    x, y = at[0] + ahead[:, :1] * far, at[1] + ahead[:, 1:] * far
    return np.asarray((scene.ground.height(x, y) > at[2] + rise[:, None] * far + 1e-6).any(axis=1))
