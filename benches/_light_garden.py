"""The garden of the light benchmark: 30 by 40 m, some sixty things of every form, seeded."""

from __future__ import annotations

from datetime import date
from math import cos, pi, sin

import numpy as np
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate

from quincunx.scene import Scene
from quincunx.shapes import Crown, Height, Plane, Slab, Slats, Solid, every_month
from quincunx.site.ground import Ground

WIDE_M, DEEP_M = 30.0, 40.0
GRADE = (0.02, 0.03)
LEAFY = (0.65, 0.65, 0.6, 0.45, 0.2, 0.15, 0.15, 0.15, 0.2, 0.35, 0.55, 0.65)
SHRUBBY = (0.6, 0.6, 0.5, 0.3, 0.15, 0.1, 0.1, 0.1, 0.15, 0.3, 0.5, 0.6)
HEDGED = (0.3, 0.3, 0.3, 0.2, 0.05, 0.03, 0.03, 0.03, 0.05, 0.1, 0.2, 0.3)


def ground(bumps_m: float = 0.0) -> Ground:
    """Return a plane falling south-west, or one with smooth bumps on it."""
    step = 1.0 if bumps_m else 40.0
    x, y = (g.ravel() for g in np.meshgrid(np.arange(-10, 41, step), np.arange(-10, 51, step)))
    z = GRADE[0] * x + GRADE[1] * y + bumps_m * np.sin(x / 4) * np.cos(y / 5)
    return Ground.from_levels(np.column_stack([x, y, z]).tolist())


def strip(a: tuple[float, float], b: tuple[float, float], wide_m: float) -> Polygon:
    """Return a straight strip in plan."""
    return LineString([a, b]).buffer(wide_m / 2, cap_style="flat")


def scene(bumps_m: float = 0.0, *, slats: bool = True, glass: bool = True) -> Scene:
    """Return the garden, with or without slats and glass."""
    lie = ground(bumps_m)
    solids = [*_buildings(lie, glass=glass), *_walls(lie), *_hedges(), *_trees(), *_shrubs(), *_roofs(lie, slats=slats)]
    return Scene(date(2027, 8, 31), box(0, 0, WIDE_M, DEEP_M), lie, solids=tuple(solids), latitude_deg=51.5)


def _level(owner: str, shape: Polygon, high_m: float, lie: Ground, light: float = 0.0) -> Solid:
    """Return a thing with a level top, ``high_m`` over its highest corner."""
    x, y = np.array(shape.exterior.coords).T
    top = float(lie.height(x, y).max()) + high_m
    return Solid(owner, "", shape, top=Height(top, "site"), transmittance=every_month(light))


def _buildings(lie: Ground, *, glass: bool) -> list[Solid]:
    house = _level("house", box(9, 1.5, 19, 8.5), 5.0, lie)
    eaves = house.top.value_m
    out = [house]
    for part, y, fall in (("south", 1.5, 180.0), ("north", 8.5, 0.0)):
        half = box(9, min(y, 5), 19, max(y, 5))
        slope = Plane(9, y, Height(eaves, "site"), fall, 3 / 3.5)
        out.append(Solid("house", part, half, Height(eaves, "site"), Height(eaves + 3, "site"), Slab(slope, 3.0)))
    shapes = (
        ("wing", box(19, 2.5, 23, 7), 3.0), ("shed", box(26, 34, 29, 37.5), 2.4),
        ("other-shed", strip((2, 36), (5, 37), 2.2), 2.2), ("next-door", box(-9, 10, -2, 20), 7.0),
        ("garage", box(31, 12, 35, 18), 3.0),
    )  # fmt: skip
    out += [_level(owner, shape, high, lie) for owner, shape, high in shapes]
    return [*out, _level("greenhouse", box(22, 30, 24.5, 34), 2.3, lie, 0.75)] if glass else out


def _walls(lie: Ground) -> list[Solid]:
    corner = [(0.0, 0.0), (WIDE_M, 0.0), (WIDE_M, DEEP_M), (0.0, DEEP_M)]
    out = []
    for k in range(4):
        a, b = np.array(corner[k]), np.array(corner[(k + 1) % 4])
        for n, (p, q) in enumerate(((a, a + 0.48 * (b - a)), (a + 0.52 * (b - a), b))):
            shape = strip(tuple(p), tuple(q), 0.06)
            out.append(Solid(f"fence{k}{n}", "", shape, top=Height(1.8), gap_m=0.1, transmittance=every_month(0.15)))
    lines = (((22, 20), (22, 24), 2.0), ((14, 36), (18, 39), 1.0), ((7, 20), (10, 20), 1.5))
    return out + [_level(f"wall{n}", strip(a, b, 0.22), high, lie) for n, (a, b, high) in enumerate(lines)]


def _hedges() -> list[Solid]:
    lines = (
        ((3, 12), (11, 12), 0.8, 1.8), ((14, 12), (20, 12.5), 0.8, 1.8), ((20, 12.5), (20, 20), 0.7, 1.2),
        ((20, 22), (20.5, 29), 0.7, 1.6), ((3, 22), (9, 24), 0.9, 2.2), ((11, 24.5), (18, 24.5), 0.9, 2.2),
        ((2.5, 12), (2.5, 20), 0.6, 1.0), ((26, 20), (26, 27), 0.8, 2.0), ((8, 30), (15, 33), 0.5, 0.6),
        ((15, 33), (16, 38), 0.5, 0.9), ((22, 10), (28, 10), 0.8, 1.5), ((5, 26), (5, 32), 0.6, 0.6),
    )  # fmt: skip
    light = (HEDGED, every_month(0.03))
    return [
        Solid(f"hedge{n}", "", strip(a, b, wide), top=Height(high), gap_m=0.1, transmittance=light[n % 2], grown=True)
        for n, (a, b, wide, high) in enumerate(lines)
    ]


def _trees() -> list[Solid]:
    trees = (
        (6, 16, 3.0, 9), (13, 17, 2.0, 5), (17, 21, 1.5, 4), (24, 16, 2.5, 7), (27.5, 23, 2.0, 6), (23, 25, 2.2, 5.5),
        (8, 27.5, 1.8, 4.5), (13, 28, 2.6, 8), (18, 30, 1.6, 4), (25, 38.5, 1.4, 5), (10, 36, 2.4, 7),
        (4, 33.5, 1.5, 4), (20, 36, 2.2, 6), (28, 29, 1.5, 5), (-2, 30, 3.5, 12), (32, 33, 3.0, 10),
    )  # fmt: skip
    out = []
    for n, (x, y, radius, high) in enumerate(trees):
        shape, light = Point(x, y).buffer(radius, quad_segs=16), every_month(0.1) if n % 5 == 4 else LEAFY
        base = Height(0.35 * high)
        out.append(Solid(f"tree{n:02d}", "crown", shape, base, Height(high), Crown(), transmittance=light, grown=True))
        stem = Point(x, y).buffer(0.02 * high + 0.05, quad_segs=2)
        out.append(Solid(f"tree{n:02d}", "stem", stem, top=Height(0.61 * high), grown=True))
    return out


def _shrubs() -> list[Solid]:
    rng = np.random.default_rng(7)
    out = []
    for n in range(10):
        x, y, radius = rng.uniform(2, 28), rng.uniform(14, 38), rng.uniform(0.4, 1.0)
        shape = Point(x, y).buffer(radius, quad_segs=16)
        top = Height(1.8 * radius + 0.04)
        out.append(Solid(f"shrub{n}", "", shape, Height(0.04), top, Crown(), transmittance=SHRUBBY, grown=True))
    return out


def _roofs(lie: Ground, *, slats: bool) -> list[Solid]:
    upright = Slats(90.0, 0.12, 0.10, 0.0, 0.05)
    turned = Slats(63.6, 0.12, 0.10, 20.0, 0.05)
    roofs = [("shelter", box(10, 8.6, 15, 11.2), 2.5, 0.08, None)]
    if slats:
        roofs += [
            ("slats-a", box(15.5, 13.5, 19, 18), 2.4, 0.12, upright),
            ("slats-b", strip((24, 12), (28, 14), 3.0), 2.3, 0.12, turned),
        ]
    out = []
    for owner, shape, high, thick, form in roofs:
        x, y = np.array(shape.exterior.coords)[:-1].T
        z = float(lie.height(x, y).max()) + high
        roof = Solid(
            owner,
            "roof",
            shape,
            Height(z, "site"),
            Height(z + thick, "site"),
            form or Solid.__dataclass_fields__["form"].default_factory(),
        )
        out.append(roof)
        middle = np.array(shape.centroid.coords[0])
        for n, at in enumerate(np.column_stack([x, y])):
            px, py = at + (middle - at) * 0.04
            out.append(Solid(owner, f"post{n}", box(px - 0.06, py - 0.06, px + 0.06, py + 0.06), top=Height(z, "site")))
    return out + _arches()


def _arches() -> list[Solid]:
    """Return three arches: two posts and a bar overhead each."""
    out = []
    for n, (x, y, turn, wide) in enumerate(((12.5, 12.0, 0.0, 1.2), (20.0, 21.0, pi / 2, 1.3), (10.0, 24.3, 0.1, 1.4))):
        for side in (-1, 1):
            at = x + side * (wide / 2 + 0.04) * cos(turn), y + side * (wide / 2 + 0.04) * sin(turn)
            post = rotate(box(at[0] - 0.04, at[1] - 0.2, at[0] + 0.04, at[1] + 0.2), turn, use_radians=True)
            out.append(Solid(f"arch{n}", f"post{side + 1}", post, top=Height(2.2)))
        bar = rotate(box(x - wide / 2, y - 0.2, x + wide / 2, y + 0.2), turn, use_radians=True)
        out.append(Solid(f"arch{n}", "bar", bar, Height(2.1), Height(2.2)))
    return out
