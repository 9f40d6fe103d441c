"""Small made-up gardens for the tests of light, straight from shapes, without any kind."""

from __future__ import annotations

from datetime import date

import numpy as np
from shapely import Point, Polygon, box

from quincunx.scene import Scene
from quincunx.shapes import Crown, Height, Plane, Slab, Slats, Solid, every_month
from quincunx.site.ground import Ground

YARD = box(0, 0, 20, 20)
LEVEL = Ground.flat()
SLOPE = Ground.from_levels([(0, 0, 0), (20, 0, 0.4), (0, 20, 0.8), (20, 20, 1.2)])


def bumpy(high_m: float = 0.4) -> Ground:
    """Return ground of smooth bumps on a slope."""
    x, y = (g.ravel() for g in np.meshgrid(np.arange(-2, 24, 2.0), np.arange(-2, 24, 2.0)))
    return Ground.from_levels(np.column_stack([x, y, 0.03 * y + high_m * np.sin(x / 4) * np.cos(y / 5)]).tolist())


def wall(
    x0: float, y0: float, x1: float, y1: float, high_m: float = 2.0, light: float = 0.0, owner: str = "w"
) -> Solid:
    return Solid(owner, "", box(x0, y0, x1, y1), top=Height(high_m), transmittance=every_month(light))


def crown(
    x: float, y: float, radius_m: float, base_m: float, top_m: float, form: Crown | None = None, light: float = 0.0
) -> Solid:
    shape = Point(x, y).buffer(radius_m, quad_segs=32)
    return Solid(
        f"tree{x}-{y}", "crown", shape, Height(base_m), Height(top_m), form or Crown(), transmittance=every_month(light)
    )


def scene(*solids: Solid, ground: Ground = LEVEL, boundary: Polygon = YARD, latitude_deg: float = 51.5) -> Scene:
    return Scene(date(2027, 8, 31), boundary, ground, solids=solids, latitude_deg=latitude_deg)


def one_of_each() -> tuple[Solid, ...]:
    """Return a wall, crowns of each outline, a bent hedge, slats, a pitched roof and a shed with a steep one."""
    hedge = box(2, 2, 3, 8).union(box(2, 7, 5, 8))
    steep = Slab(Plane(15.0, 2.0, Height(3.0), 0.0, 1.2), 0.08)
    return (
        wall(5.013, 10.007, 12.013, 10.207),
        crown(14.003, 8.004, 2, 1.5, 6, light=0.3),
        crown(6.003, 5.002, 1.2, 0, 1.5, Crown("dome"), 0.3),
        crown(10.003, 4.002, 1.2, 0.2, 3.5, Crown("cone"), 0.3),
        Solid("h", "", hedge, top=Height(1.5), transmittance=every_month(0.4)),
        Solid("p", "slats", box(12, 14, 16, 17), Height(2.3), Height(2.45), Slats(30, 0.12, 0.1, 20, 0.045)),
        Solid(
            "r", "roof", box(4, 14, 8, 17), Height(2.3), Height(3.45), Slab(Plane(4, 14, Height(2.3), 180, 0.3), 0.1)
        ),
        Solid("s", "roof", box(15, 2, 17, 3.5), Height(1.0), Height(3.0), steep),
    )
