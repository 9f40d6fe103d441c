"""Shelters straight from shapes, without any kind."""

from __future__ import annotations

from datetime import date

from shapely import Polygon, box

from quincunx.scene import Scene, Spot, StandingPlant
from quincunx.shapes import Height, Plane, Slab, Slats, Solid, Surface, every_month
from quincunx.site.ground import Ground

YARD = box(0, 0, 20, 20)
LEVEL = Ground.flat()


def roof(
    shape: Polygon,
    eaves_m: float = 2.4,
    grade: float = 0.0,
    fall_deg: float = 180.0,
    *,
    owner: str = "shelter",
    sheds_to: str | None = None,
    part: str = "roof",
) -> Solid:
    """Return a thin roof whose underside is at ``eaves_m`` along its lowest edge."""
    west, south, east, north = shape.bounds
    low = {180.0: (west, south), 0.0: (west, north), 90.0: (east, south), 270.0: (west, south)}[fall_deg]
    deep = (north - south) if fall_deg in (0.0, 180.0) else (east - west)
    plane = Plane(*low, Height(eaves_m + 0.03, "site"), fall_deg, grade)
    high = Height(eaves_m + 0.03 + grade * deep, "site")
    return Solid(owner, part, shape, Height(eaves_m, "site"), high, Slab(plane, 0.03), sheds_to=sheds_to)


def side(
    x0: float, y0: float, x1: float, y1: float, high_m: float = 2.4, gap_m: float = 0.0, owner: str = "shelter"
) -> Solid:
    blocks = every_month(0.5 if gap_m else 1.0)
    return Solid(owner, "side", box(x0, y0, x1, y1), top=Height(high_m), gap_m=gap_m, opacity=blocks)


def slats(shape: Polygon, at_m: float = 2.4) -> Solid:
    form = Slats(0.0, 0.1, 0.05)
    return Solid("deck", "slats", shape, Height(at_m), Height(at_m + 0.1), form, opacity=every_month(0.5))


def scene(
    *solids: Solid, spots: tuple[Spot, ...] = (), surfaces: tuple[Surface, ...] = (),
    plants: tuple[StandingPlant, ...] = (),
) -> Scene:  # fmt: skip
    return Scene(date(2027, 8, 31), YARD, LEVEL, solids=solids, spots=spots, surfaces=surfaces, plants=plants)
