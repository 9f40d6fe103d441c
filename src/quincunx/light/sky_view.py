"""How much of the sky is seen from each cell: the light of a bright grey day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from quincunx.light._field import field_of
from quincunx.light._raster import Singles
from quincunx.light.hours import Cast, add_by_month
from quincunx.light.sky import MONTHS, Sky, Suns
from quincunx.scene import Scene
from quincunx.scene.parts import kept_parts

DIRECTIONS = 300
"""Directions the sky is looked at in: the greatest error of a share was 0.03 with so many (measured)."""
GOLDEN = np.pi * (3 - np.sqrt(5))


@dataclass(frozen=True, eq=False)
class SkyGrid:
    """The share of an evenly bright sky's light, ``seen[month, row, column]``, that falls on level ground (1: all)."""

    x0_m: float
    y0_m: float
    cell_m: float
    seen: Singles
    months: tuple[int, ...] = MONTHS


def sky_view(
    scene: Scene,
    month: int | Sequence[int] = MONTHS,
    *,
    cell_m: float = 0.25,
    height_m: float = 0.0,
    directions: int = DIRECTIONS,
    sky: Sky | None = None,
) -> SkyGrid:
    """Return the share of the sky's light that reaches each cell through and between what stands.

    The sky is taken as equally bright all over; each direction counts by its height, as on a level face.
    """
    months = (month,) if isinstance(month, int) else tuple(month)
    over = sky or Sky.of(scene)
    cast = Cast(field_of(scene, cell_m), kept_parts(scene.solids, scene.ground), height_m)
    out = np.zeros((len(months), *cast.field.z_m.shape), np.float32)
    add_by_month(cast, [dome(over, m, directions) for m in months], out)
    return SkyGrid(cast.field.x0_m, cast.field.y0_m, cast.field.cell_m, out, months)


def dome(sky: Sky, month: int, directions: int = DIRECTIONS) -> Suns:
    """Return directions over the sky above its skyline, spread so that each brings as much light to level ground."""
    k = np.arange(directions) + 0.5
    flat = np.sqrt(k / directions)
    towards = np.column_stack([flat * np.cos(k * GOLDEN), flat * np.sin(k * GOLDEN), np.sqrt(1 - flat**2)])
    same = np.full(directions, month), np.full(directions, 1 / directions), np.zeros(directions, "datetime64[us]")
    bearing = np.degrees(np.arctan2(towards[:, 0], towards[:, 1])) + sky.north_offset_deg
    above = np.degrees(np.arcsin(towards[:, 2])) >= sky.horizon.angle_deg(bearing)
    return Suns(towards, *same).of(above)
