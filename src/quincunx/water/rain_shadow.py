"""The ground that a roof keeps the rain off: what grows there must be watered, or does without."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import Solid, united
from quincunx.water.shelter import wetting
from quincunx.water.weather import Weather

AROUND_M = 2.0
"""Ground is looked at so far round the roof [m]."""
CELL_M = 0.25
HALF = 0.5
"""Ground that loses at least this share of its rain is told."""


def rain_shadow(
    scene: Scene, added: Sequence[Solid], weather: Weather, plan: BaseGeometry, *, cell_m: float = CELL_M
) -> tuple[tuple[str, float], ...]:
    """Return the planted grounds that lose half their year's rain or more when solids are added, and how much [m2].

    ``plan`` is the roof in plan; ground within two metres of it is looked at.  The most comes first; nothing under a
    quarter of a square metre is told.
    """
    within, rains = plan.buffer(AROUND_M).bounds, weather.rains().fewer()
    before = wetting(scene, rains, cell_m=cell_m, within=within)
    after = wetting(replace(scene, solids=(*scene.solids, *added)), rains, cell_m=cell_m, within=within)
    lost = before.share - after.share >= HALF * np.maximum(before.share, 1e-6)
    lost &= before.share > HALF
    g = before.grid
    x = g.x0_m + (np.arange(lost.shape[1]) + 0.5) * cell_m
    y = g.y0_m + (np.arange(lost.shape[0]) + 0.5) * cell_m
    xs, ys = np.meshgrid(x, y)
    out = []
    for owner in sorted({s.owner for s in scene.surfaces if s.planted}):
        area = united([s.area for s in scene.surfaces if s.owner == owner and s.planted])
        m2 = float((lost & shapely.contains_xy(area, xs, ys)).sum()) * cell_m**2
        if m2 >= HALF**2:
            out.append((owner, m2))
    return tuple(sorted(out, key=lambda one: (-one[1], one[0])))
