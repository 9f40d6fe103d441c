"""A made garden of 40 x 30 m for measuring walking, seeded: walls and hedges with openings, trees, beds, spots."""

from __future__ import annotations

from datetime import date

import numpy as np
import shapely
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate

from quincunx.scene import Room, Scene, Spot, Stood, assemble
from quincunx.shapes import Cut, Height, Leaf, Opening, Solid
from quincunx.site.ground import Ground

WIDE_M, DEEP_M = 40.0, 30.0

RUNS: tuple[tuple[str, tuple[float, float], tuple[float, float], float, tuple[float, ...]], ...] = (
    ("south-hedge", (0, 8), (40, 8), 0.7, (4.0, 15.0, 27.0, 36.0)),
    ("middle-wall", (0, 18), (28, 18), 0.25, (6.0, 19.0)),
    ("east-hedge", (28, 8), (28, 30), 0.6, (3.0, 8.0, 17.0)),
    ("cross-hedge", (12, 8), (12, 30), 0.8, (5.0, 16.0)),
    ("far-fence", (28, 20), (40, 20), 0.1, (5.0,)),
    ("house-screen", (20, 0), (20, 8), 0.15, (5.5,)),
    ("road-wall", (0, 0), (40, 0), 0.3, (9.0, 31.0)),
)
"""Walls and hedges: name, ends, thickness, and where along them there is an opening [m]."""


def strip(start: tuple[float, float], end: tuple[float, float], thick_m: float) -> Polygon:
    """Return the strip along a line."""
    return shapely.buffer(LineString([start, end]), thick_m / 2, cap_style="flat")


def scene(seed: int = 3, *, small: bool = False, shrub_m: float = 0.35) -> Scene:
    """Return the garden; ``shrub_m`` is how far a shrub reaches from its middle, so that years differ."""
    rng = np.random.default_rng(seed)
    stood = [Stood((Solid(n, "", strip(a, b, t), top=Height(1.8), grown="hedge" in n),)) for n, a, b, t, _ in RUNS]
    stood += [_opening(run, k, at) for run in RUNS for k, at in enumerate(run[4])]
    ring = [((0, 0), (0, 30)), ((40, 0), (40, 30)), ((0, 30), (40, 30))]
    stood += [Stood((Solid(f"fence-{i}", "", strip(a, b, 0.1), top=Height(1.8)),)) for i, (a, b) in enumerate(ring)]
    stood.append(Stood(tuple(Solid(f"thing-{i:02d}", "", s) for i, s in enumerate(_things(rng, shrub_m, small=small)))))
    blocked = shapely.union_all([s.footprint for one in stood for s in one.solids])
    rooms = [(6, 4), (30, 4), (6, 13), (20, 13), (34, 14), (6, 24), (20, 24), (34, 25)]
    blank = Scene(
        date(2027, 8, 31),
        box(0, 0, WIDE_M, DEEP_M),
        Ground.flat(),
        rooms=tuple(Room(f"room-{i}", f"room {i}", (float(x), float(y))) for i, (x, y) in enumerate(rooms)),
        spots=tuple(Spot(f"spot-{i:02d}", f"spot {i}", at) for i, at in enumerate(_spots(rng, blocked, small=small))),
    )
    return assemble(blank, stood)


def _opening(
    run: tuple[str, tuple[float, float], tuple[float, float], float, tuple[float, ...]], k: int, at: float
) -> Stood:
    name, (ax, ay), (bx, by), _, _ = run
    long = float(np.hypot(bx - ax, by - ay))
    ux, uy = (bx - ax) / long, (by - ay) / long
    width = (0.9, 1.0, 1.2, 1.5)[(k + len(name)) % 4]
    line = LineString([(ax + ux * at, ay + uy * at), (ax + ux * (at + width), ay + uy * (at + width))])
    owner = f"{name}-gate-{k}"
    opening = Opening(owner, line, width, latch="latched", leaf=Leaf(1.5) if k % 2 == 0 else None)
    return Stood(openings=(opening,), changes=(Cut(owner, shapely.buffer(line, 0.6, cap_style="flat")),))


def _things(rng: np.random.Generator, shrub_m: float, *, small: bool) -> list[Polygon]:
    """Return house, shed, trunks, shrubs, beds and posts."""
    few = 4 if small else 1
    out = [box(22, 0.5, 33, 6.5), box(36, 26, 39, 29), box(14, 20, 17, 23)]
    out += [Point(*p).buffer(0.12, quad_segs=4) for p in rng.uniform((1.5, 9.5), (38.5, 28.5), (18 // few, 2))]
    out += [Point(*p).buffer(shrub_m, quad_segs=4) for p in rng.uniform((1.5, 9.5), (38.5, 28.5), (22 // few, 2))]
    beds = [rotate(box(x - 1, y - 0.6, x + 1, y + 0.6), float(rng.uniform(0, 90))) for x, y in
            rng.uniform((3, 10), (37, 27), (16 // few, 2))]  # fmt: skip
    return [*out, *beds, *(box(x, 6.6, x + 0.12, 6.72) for x in (23, 25.5, 28, 30.5))]


def _spots(rng: np.random.Generator, blocked: Polygon, *, small: bool) -> list[tuple[float, float]]:
    out: list[tuple[float, float]] = []
    while len(out) < (8 if small else 40):
        x, y = (float(v) for v in rng.uniform((0.6, 0.6), (39.4, 29.4)))
        if blocked.distance(Point(x, y)) > 0.65:
            out.append((x, y))
    return out
