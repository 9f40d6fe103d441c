"""Small made-up gardens for the tests of sight, straight from shapes, without any kind."""

from __future__ import annotations

from datetime import date

import numpy as np
from shapely import Point, Polygon, box

from quincunx.scene import Room, Scene, Spot
from quincunx.shapes import Crown, Height, Monthly, Opening, Solid, Surface, every_month
from quincunx.site.ground import Ground

YARD = box(0, 0, 30, 30)
LEVEL = Ground.flat()
HEDGE: Monthly = (0.4, 0.4, 0.5, 0.7, 0.95, 0.95, 0.95, 0.95, 0.9, 0.8, 0.6, 0.4)
"""Share of a view that a hedge blocks, by month."""


def wall(
    x0: float, y0: float, x1: float, y1: float, high_m: float = 2.0, base_m: float = 0.0, owner: str = "wall"
) -> Solid:
    return Solid(owner, "", box(x0, y0, x1, y1), Height(base_m), Height(high_m))


def hedge(x0: float, y0: float, x1: float, y1: float, high_m: float = 2.0, owner: str = "hedge") -> Solid:
    return Solid(owner, "", box(x0, y0, x1, y1), top=Height(high_m), opacity=HEDGE, grown=True)


def crown(
    x: float, y: float, radius_m: float, base_m: float, top_m: float, form: Crown | None = None, blocks: float = 0.7
) -> Solid:
    shape = Point(x, y).buffer(radius_m, quad_segs=32)
    return Solid(
        f"tree{x}-{y}", "crown", shape, Height(base_m), Height(top_m), form or Crown(), opacity=every_month(blocks),
        grown=True,
    )  # fmt: skip


def scene(
    *solids: Solid,
    ground: Ground = LEVEL,
    spots: tuple[Spot, ...] = (),
    surfaces: tuple[Surface, ...] = (),
    rooms: tuple[Room, ...] = (),
    openings: tuple[Opening, ...] = (),
    boundary: Polygon = YARD,
    month: int = 8,
) -> Scene:
    return Scene(
        date(2027, month, 15), boundary, ground, solids=solids, spots=spots, surfaces=surfaces, rooms=rooms,
        openings=openings,
    )  # fmt: skip


def ridge(high_m: float) -> Ground:
    """Return level ground with a ridge ``high_m`` high along y = 10, two metres to each side."""
    points = [(x, y, 0.0) for x in (-5.0, 40.0) for y in (-5.0, 8.0, 12.0, 40.0)]
    return Ground.from_levels(points, [[(-5.0, 10.0, high_m), (40.0, 10.0, high_m)]])


def some_lines(n: int, seed: int = 5, size_m: float = 20.0) -> tuple[np.ndarray, np.ndarray]:
    """Return the ends of lines strewn over a garden, from the ground to 6 m up."""
    rng = np.random.default_rng(seed)
    start, end = rng.uniform(0, size_m, (n, 3)), rng.uniform(0, size_m, (n, 3))
    start[:, 2], end[:, 2] = rng.uniform(0.01, 6, n), rng.uniform(0.01, 6, n)
    return start, end
