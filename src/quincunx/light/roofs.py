"""Which roof for a seat: none, slats at their best, a climber over them, a solid one, a solid one with sides closed.

Each is put up over the seat and asked the same: how much of the sun it keeps off at midday in the warmest months, how much
morning and winter sun it leaves, which ground behind it loses winter sun, and what the beds around it lose.  What stays
dry under each is asked of the water's own engine.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.affinity import rotate, translate

from quincunx.light._rays import Bodies
from quincunx.light.drag import prepare, update
from quincunx.light.hours import SunGrid
from quincunx.light.shade import PointShade, in_the_way, shade_at
from quincunx.light.sky import Sky, local_hours, suns
from quincunx.scene import Scene
from quincunx.scene.parts import parts_of
from quincunx.scene.slats import slats_light
from quincunx.shapes import XY, Height, Slats, Solid, every_month, united

Floats = NDArray[np.float64]

OWNER = "a-roof-to-try"
HEAD_M = 1.2
"""About the head of somebody seated (common practice, no source) [m]."""
NOON, MORNING = (12, 16), 10
"""The hours in which shade is wanted, and the hour before which sun is, by the clock."""
POST_M, BOARD_M, WALL_M = 0.1, 0.1, 0.03
DEPTHS_M = (0.07, 0.095, 0.12, 0.145, 0.195)
GAPS_M = (0.05, 0.08, 0.12, 0.16, 0.2)
TURNS_DEG = tuple(range(0, 180, 15))
TILTS_DEG = (-30.0, -15.0, 0.0, 15.0, 30.0)
"""What is tried of slats: sizes of sawn timber and gaps (common practice, no source), directions and leans."""
THICK_M = 0.045
MORNING_WEIGHT, WINTER_WEIGHT = 0.25, 0.15
"""What morning and winter sun count beside midday shade when slats are chosen (our own choice, told in the answer)."""
NEAR_BEST = 0.01
LEAFY = (0.70, 0.70, 0.65, 0.50, 0.30, 0.20, 0.20, 0.20, 0.25, 0.40, 0.60, 0.70)
"""What a grown deciduous climber lets through, January first, in the north (from memory; it differs from plant to plant)."""
WINTER, GROWING = (11, 12, 1, 2), (4, 5, 6, 7, 8, 9)
AROUND_M = 12.0
"""Ground and beds are looked at so far round the roof [m]."""
CELL_M = 0.5
LOST_H = 1.0
"""Ground that loses at least so much winter sun a day is told [h]."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the roof goes: the seat [m], the bearing it looks to, the roof's width and depth, its clear height [m].

    ``middle`` is the roof's own middle, where that is not the seat.
    """

    at: XY
    facing_deg: float = 180.0
    width_m: float = 3.2
    depth_m: float = 2.8
    clear_m: float = 2.2
    middle: XY | None = None

    def plan(self) -> Polygon:
        """Return the roof in plan [m]."""
        w, d = self.width_m / 2, self.depth_m / 2
        turned = rotate(shapely.box(-w, -d, w, d), 180.0 - self.facing_deg, origin=(0, 0))
        return translate(turned, *(self.middle or self.at))


@dataclass(frozen=True, slots=True)
class Roof:
    """One roof to compare: its name, what of it stands, and how it is made, in words."""

    id: str
    words: str
    solids: tuple[Solid, ...] = ()
    made: str = ""


@dataclass(frozen=True, slots=True)
class RoofSun:
    """What one roof does to the sun.

    ``shade`` is the share of the midday sun kept off in the warmest months, ``morning_h`` the sun before ten there (least
    month), ``winter_h`` the winter sun at the seat [h a day]; ``darker_m2`` the ground outside it that loses an hour or
    more of winter sun a day, and ``beds`` the hours a day that each bed near by loses over the growing months.
    ``seat`` is the seat's shade in every month, ``lost`` the winter sun that the ground around loses [h a day].
    """

    roof: Roof
    shade: float
    morning_h: float
    winter_h: float
    darker_m2: float
    beds: tuple[tuple[str, float], ...]
    seat: PointShade
    lost: SunGrid


def warmest(sky: Sky, t_max_c: tuple[float, ...] | None = None) -> tuple[int, ...]:
    """Return the three warmest months: by their usual highest temperature, else June to August or December to February."""
    if t_max_c is None:
        return (6, 7, 8) if sky.latitude_deg >= 0 else (12, 1, 2)
    return tuple(sorted(sorted(range(1, 13), key=lambda m: (-t_max_c[m - 1], m))[:3]))


def roofs_for(scene: Scene, spot: Spot, sky: Sky, warm: tuple[int, ...]) -> tuple[Roof, ...]:
    """Return the roofs to compare over a spot, each its own solids; slats are the best of those tried."""
    best = best_slats(scene, spot, sky, warm)
    posts, walls = _posts(spot), _walls(spot)
    z = scene.ground_z_m(*spot.at) + spot.clear_m
    slats = _flat("slats", spot, z, best.depth_m, best)
    lets = LEAFY if sky.latitude_deg >= 0 else LEAFY[6:] + LEAFY[:6]
    leaves = replace(_flat("leaves", spot, z + best.depth_m, 0.15), transmittance=lets, grown=True)
    solid = _flat("roof", spot, z, BOARD_M)
    said = slats_words(best)
    return (
        Roof("none", "no roof"),
        Roof("slats", "slats", (*posts, slats), said),
        Roof("climber", "a climber over slats", (*posts, slats, leaves), f"{said}; a leafy climber grown over them"),
        Roof("solid", "a solid roof", (*posts, solid), "boards or sheet on four posts"),
        Roof("one-side", "solid, back closed", (*posts, solid, walls[0]), "the side behind the seat boarded down to the ground"),
        Roof("two-sides", "solid, back and west closed", (*posts, solid, *walls), "the side behind and the one nearer west"),
    )  # fmt: skip


def slats_words(slats: Slats) -> str:
    """Return how slats are made, in centimetres and a bearing."""
    lean = "upright" if not slats.tilt_deg else f"leaning {abs(slats.tilt_deg):.0f}°"
    run = ("north to south" if slats.direction_deg in (0, 180) else "east to west" if slats.direction_deg == 90
           else f"along {slats.direction_deg:.0f}°")  # fmt: skip
    return f"{slats.depth_m * 100:g} cm deep, {slats.gap_m * 100:g} cm apart, running {run}, {lean}"


def best_slats(scene: Scene, spot: Spot, sky: Sky, warm: tuple[int, ...]) -> Slats:
    """Return the slats that keep most midday sun off in the warmest months while leaving morning and winter sun.

    Those tried are the sizes, gaps, directions and leans named above, by the closed form of :func:`slats_light`; of those
    near the best the one with least timber.
    """
    roofed = _flat("roof", spot, scene.ground_z_m(*spot.at) + spot.clear_m, BOARD_M)
    months = tuple(sorted({*warm, *_winter(sky)}))
    some = suns(sky, months, "mid", 15.0)
    at = np.array([[*spot.at, scene.ground_z_m(*spot.at) + HEAD_M]])
    parts = parts_of(in_the_way(scene, at, some.towards), scene.ground)
    left = Bodies.of(parts).shares(at, some.towards, parts.through(some.towards, some.month))[0] * some.hours
    cover = parts_of((roofed,), scene.ground)
    under = 1.0 - Bodies.of(cover).shares(at, some.towards, cover.through(some.towards, some.month))[0]
    hour, is_warm = local_hours(sky, some.times), np.isin(some.month, warm)
    noon = left * (is_warm & (hour >= NOON[0]) & (hour < NOON[1]))
    early, cold = left * (is_warm & (hour < MORNING)), left * ~is_warm
    found: list[tuple[float, float, Slats]] = []
    for turn, depth, gap, tilt in product(TURNS_DEG, DEPTHS_M, GAPS_M, TILTS_DEG):
        slats = Slats(float(turn), depth, gap, tilt, THICK_M)
        lets = 1.0 - under * (1.0 - slats_light(slats, some.towards))
        score = 1.0 - _share(noon, lets) + MORNING_WEIGHT * _share(early, lets) + WINTER_WEIGHT * _share(cold, lets)
        found.append((score, depth / (gap + THICK_M), slats))
    best = max(f[0] for f in found)
    return min((f for f in found if f[0] >= best - NEAR_BEST), key=lambda f: (f[1], -f[0], f[2].direction_deg))[2]


def _share(weight: Floats, lets: Floats) -> float:
    total = float(weight.sum())
    return float((weight * lets).sum()) / total if total > 0 else 1.0


def _winter(sky: Sky) -> tuple[int, ...]:
    return WINTER if sky.latitude_deg >= 0 else (5, 6, 7, 8)


def compare(
    scene: Scene, spot: Spot, sky: Sky, warm: tuple[int, ...], roofs: tuple[Roof, ...] = ()
) -> tuple[RoofSun, ...]:
    """Return what each roof does over a spot: of ``roofs``, or else those of :func:`roofs_for`.

    Hours are those of clear days.  The field around is worked out with the compiled kernels where there are any.
    """
    bare = replace(scene, solids=tuple(s for s in scene.solids if s.owner != OWNER))
    growing = GROWING if sky.latitude_deg >= 0 else (10, 11, 12, 1, 2, 3)
    asked = _Asked(spot, sky, warm, _winter(sky), growing)
    small = replace(bare, boundary=_ground(bare, spot.plan().buffer(AROUND_M)))
    ready = prepare(small, OWNER, (*asked.winter, *growing), cell_m=CELL_M, step_min=20.0, sky=sky)
    before = update(ready, small)
    tried = roofs or roofs_for(bare, spot, sky, warm)
    return tuple(_judged(small, roof, before, update(ready, _with(small, roof)), asked) for roof in tried)


@dataclass(frozen=True, slots=True)
class _Asked:
    spot: Spot
    sky: Sky
    warm: tuple[int, ...]
    winter: tuple[int, ...]
    growing: tuple[int, ...]


def _ground(scene: Scene, near: Polygon) -> Polygon:
    found = shapely.intersection(scene.boundary, near)
    return found if isinstance(found, Polygon) and not found.is_empty else near


def _with(scene: Scene, roof: Roof) -> Scene:
    return replace(scene, solids=(*scene.solids, *roof.solids))


def _judged(scene: Scene, roof: Roof, before: SunGrid, after: SunGrid, asked: _Asked) -> RoofSun:
    """Return what a roof does, given the hours around before and after."""
    spot, warm, winter = asked.spot, asked.warm, asked.winter
    seat = shade_at(_with(scene, roof), spot.at, HEAD_M, sky=asked.sky)
    rows = [before.months.index(m) for m in winter]
    lost = (before.clear[rows] - after.clear[rows]).mean(axis=0)
    cells = shapely.points(*np.meshgrid(*_middles(before)))
    outside = shapely.contains(scene.boundary, cells) & ~shapely.contains(spot.plan(), cells)
    darker = float((outside & (lost >= LOST_H)).sum()) * before.cell_m**2
    beds = sorted(_beds(scene, cells, before, after, asked.growing), key=lambda b: (-b[1], b[0]))
    return RoofSun(
        roof,
        seat.between(warm, *NOON),
        min(seat.sun_between_h(m, 0, MORNING) for m in warm),
        sum(seat.sun_h(m) for m in winter) / len(winter),
        darker,
        tuple(beds),
        seat,
        replace(before, hours=lost[None], clear=lost[None], months=winter[:1]),
    )


def _beds(
    scene: Scene, cells: NDArray[np.object_], before: SunGrid, after: SunGrid, growing: tuple[int, ...]
) -> Iterable[tuple[str, float]]:
    """Return what each planted ground loses over the growing months, a twentieth of an hour and more [h a day]."""
    rows = [before.months.index(m) for m in growing]
    lost = (before.clear[rows] - after.clear[rows]).mean(axis=0)
    for owner in sorted({s.owner for s in scene.surfaces if s.planted}):
        area = united([s.area for s in scene.surfaces if s.owner == owner and s.planted])
        inside = shapely.contains(area, cells)
        if inside.any() and float(lost[inside].mean()) >= 0.05:
            yield owner, float(lost[inside].mean())


def _middles(grid: SunGrid) -> tuple[Floats, Floats]:
    rows, columns = grid.hours.shape[1:]
    x = grid.x0_m + (np.arange(columns) + 0.5) * grid.cell_m
    return np.asarray(x, np.float64), np.asarray(grid.y0_m + (np.arange(rows) + 0.5) * grid.cell_m, np.float64)


def _flat(part: str, spot: Spot, z_m: float, thick_m: float, slats: Slats | None = None) -> Solid:
    made = Solid(OWNER, part, spot.plan(), Height(z_m, "site"), Height(z_m + thick_m, "site"))
    return made if slats is None else replace(made, form=slats, transmittance=every_month(0.5))


def _posts(spot: Spot) -> tuple[Solid, ...]:
    inner = spot.plan().buffer(-POST_M / 2, join_style="mitre")
    corners = shapely.get_coordinates(inner)[:4]
    return tuple(
        Solid(OWNER, f"post{n}", shapely.Point(x, y).buffer(POST_M / 2, cap_style="square"), top=Height(spot.clear_m))
        for n, (x, y) in enumerate(corners)
    )


def _walls(spot: Spot) -> tuple[Solid, Solid]:
    """Return the side behind the seat and the side nearer west, closed."""
    ring = shapely.get_coordinates(spot.plan())[:4]
    sides = [(ring[k], ring[(k + 1) % 4]) for k in range(4)]
    ahead = np.array([np.sin(np.radians(spot.facing_deg)), np.cos(np.radians(spot.facing_deg))])
    middle = [(a + b) / 2 - np.array(spot.middle or spot.at) for a, b in sides]
    back = min(range(4), key=lambda k: float(middle[k] @ ahead))
    west = min((k for k in range(4) if (k - back) % 2), key=lambda k: float(middle[k][0]))
    made = [shapely.linestrings(sides[k]).buffer(WALL_M / 2, cap_style="flat") for k in (back, west)]
    one, other = (
        Solid(OWNER, name, shape, top=Height(spot.clear_m)) for name, shape in zip(("back", "west"), made, strict=True)
    )
    return one, other
