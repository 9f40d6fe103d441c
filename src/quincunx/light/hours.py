"""Hours of direct sun a day, by month, on a grid over the ground as it lies."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cached_property
from types import FunctionType

import numpy as np
from numpy.typing import NDArray

from quincunx.light import _plain
from quincunx.light._cast import Light, add_suns
from quincunx.light._field import Field, field_of
from quincunx.light._raster import Arrays, World
from quincunx.light.sky import MONTHS, Days, Sky, Suns, suns
from quincunx.scene import Scene
from quincunx.scene.parts import Parts, kept_parts

Singles = NDArray[np.float32]
Bytes = NDArray[np.uint8]
Ints = NDArray[np.int64]

WORKERS = 2
"""Months worked on at a time where there is much to do; the kernels let other threads run."""
MUCH = 40_000_000
"""With fewer suns times cells than this, threads would cost more than they save (measured)."""
NOTHING_KEPT: Bytes = np.empty((0, 1, 1), np.uint8)


@dataclass(frozen=True, eq=False)
class SunGrid:
    """Hours of sun a day: ``hours[month, row, column]`` for each of ``months``, rows from ``y0_m`` north, columns east.

    ``clear`` is the same were every day clear; where the sky knows its sunshine ``hours`` is less by that share.
    """

    x0_m: float
    y0_m: float
    cell_m: float
    hours: Singles
    clear: Singles
    sky: Sky
    months: tuple[int, ...] = MONTHS
    height_m: float = 0.0

    def at(self, x_m: float, y_m: float) -> Singles:
        """Return the hours by month of the cell at a point [m]; raises ValueError outside the grid."""
        row, column = int((y_m - self.y0_m) // self.cell_m), int((x_m - self.x0_m) // self.cell_m)
        if not (0 <= row < self.hours.shape[1] and 0 <= column < self.hours.shape[2]):
            raise ValueError(f"got the point {x_m}, {y_m}, which lies off the grid; expected one on the ground drawn")
        return np.asarray(self.hours[:, row, column])

    def mean(self, months: Sequence[int]) -> Singles:
        """Return the mean of some months, by row and column [h]."""
        return np.asarray(self.hours[[self.months.index(m) for m in months]].mean(axis=0))


@dataclass(frozen=True, eq=False)
class Cast:
    """Everything the suns are cast by: the grid, the parts that stand on it and the height looked at [m]."""

    field: Field
    parts: Parts
    height_m: float = 0.0

    @cached_property
    def arrays(self) -> Arrays:
        """Return the parts as the kernels take them."""
        p = self.parts
        return p.kind, p.first, p.corners, p.crown, p.tilt, p.group

    @cached_property
    def world(self) -> World:
        """Return the ground, raised to the height looked at, as the kernels take it."""
        f, (east, north, at) = self.field, self.field.plane
        field = float(f.x0_m), float(f.y0_m), float(f.cell_m), float(self.height_m)
        return f.lie, (east, north, at + field[3]), field, f.span

    @cached_property
    def room(self) -> int:
        """Return the corners an outline may have."""
        return int(np.diff(self.parts.first).max(initial=0)) + 8

    def light(self, some: Suns) -> Light:
        """Return some suns and what the parts let through of them, as the kernels take them."""
        through = self.parts.through(some.towards, some.month)
        return np.array(some.towards), through, some.hours.astype(np.float32)  # not the kept, read-only one

    def add(self, some: Suns, slot: Ints, out: Singles, kept: Bytes = NOTHING_KEPT) -> None:
        """Add the hours of some suns to ``out[slot]`` and keep their shares where there is room."""
        if isinstance(add_suns.compiled(), FunctionType):
            self._add_plainly(some, slot, out, kept)
        else:
            add_suns(self.light(some), self.arrays, self.world, self.room, slot, out, kept)

    def _add_plainly(self, some: Suns, slot: Ints, out: Singles, kept: Bytes) -> None:
        f = self.field
        east, north, at = f.plane
        z = f.over + (east * f.x_m + north * f.y_m[:, None] + at)
        x, y = np.meshgrid(f.x_m, f.y_m)
        points = np.column_stack([x.ravel(), y.ravel(), z.ravel() + self.height_m])
        through = self.parts.through(some.towards, some.month)
        for s, share in enumerate(_plain.shares(points, some.towards, through, self.parts)):
            sx, sy, sz = some.towards[s]
            lit = share.reshape(z.shape) * (sz - east * sx - north * sy > 1e-6)
            if f.over.any():
                lit = lit * ~_plain.ground_hides(z, f.cell_m, self.height_m, some.towards[s])
            out[slot[s]] += (some.hours[s] * lit).astype(np.float32)
            if len(kept):
                kept[s] = np.round(lit * 255)


def sun_hours(
    scene: Scene,
    month: int | Sequence[int] = MONTHS,
    *,
    cell_m: float = 0.25,
    height_m: float = 0.0,
    step_min: float = 10.0,
    days: Days = "mid",
    sky: Sky | None = None,
) -> SunGrid:
    """Return the hours of direct sun a day, by month, ``height_m`` above the ground of a scene.

    Suns are taken every ``step_min`` minutes of the 15th (``days`` "mid") or of every day of the month ("all").  They
    go through walls, fences, hedges and crowns as the scene's solids let them in that month, through slats as these
    stand to the sun, under roofs from the side; the ground hides itself, and so does the sky's far skyline.  Light from
    the rest of the sky is not counted here (:func:`~quincunx.light.sky_view`).
    """
    months = (month,) if isinstance(month, int) else tuple(month)
    over = sky or Sky.of(scene)
    cast = Cast(field_of(scene, cell_m), kept_parts(scene.solids, scene.ground), height_m)
    found = [suns(over, (m,), days, step_min) for m in months]
    out = np.zeros((len(months), *cast.field.z_m.shape), np.float32)
    add_by_month(cast, found, out)
    return grid_of(cast, out, months, over)


def add_by_month(cast: Cast, found: Sequence[Suns], out: Singles, kept: Sequence[Bytes] = ()) -> None:
    """Add the hours of each month's suns to its row of ``out``; keep their shares where there is room for them."""
    count = [len(some.hours) for some in found]
    if kept or sum(count) * out[0].size >= MUCH:

        def one(k: int) -> None:
            room = kept[k] if kept else NOTHING_KEPT
            cast.add(found[k], np.zeros(count[k], np.int64), out[k : k + 1], room)

        side_by_side(one, len(found))
    elif found:
        cast.add(together(found), np.repeat(np.arange(len(found)), count), out)


def together(found: Sequence[Suns]) -> Suns:
    """Return suns one after another."""
    return Suns(*(np.concatenate(part) for part in zip(*found, strict=True)))


def grid_of(cast: Cast, clear: Singles, months: tuple[int, ...], sky: Sky) -> SunGrid:
    """Return clear hours as a grid, less what cloud takes."""
    share = np.ones(12) if sky.sunshine is None else np.asarray(sky.sunshine)
    hours = clear * share[np.asarray(months, np.int64) - 1].astype(np.float32)[:, None, None]
    f = cast.field
    return SunGrid(f.x0_m, f.y0_m, f.cell_m, hours, clear, sky, months, cast.height_m)


def side_by_side(work: Callable[[int], None], count: int) -> None:
    """Do ``work(0)`` ... ``work(count - 1)``, several at a time where the kernels are compiled."""
    workers = min(count, WORKERS)
    if workers < 2 or isinstance(add_suns.compiled(), FunctionType):
        for k in range(count):
            work(k)
        return
    with ThreadPoolExecutor(workers) as pool:
        for done in [pool.submit(work, k) for k in range(count)]:
            done.result()
