"""Where a way goes up or down so that one wants something to hold, and on which sides a hand finds it.

A rail is what stands beside the steps or the ramp, thin enough for a hand, at a height a hand reaches, along nearly all
of it: a handrail, or the top of a light fence.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import XY, Plane, Prism, Risers, Solid
from quincunx.walk.going import Going, Stretch

THIN_M = 0.07
"""Nothing thicker than this is closed in a hand [m] (common practice, no source; ADA 505.7 asks for 51 mm or less across)."""
BESIDE_M = 0.2
"""A rail stands no farther than this from the side of the steps or the ramp [m] (common practice, no source)."""
ARM_M = 0.6
"""On ground without a floor of its own a rail is reached so far from the way [m] (common practice, no source)."""
WHOLE = 0.95
"""Share of the length along which a rail counts as going all along: continuous, 2010 ADA Standards 505.3 (read)."""
RISE_M = 0.15
"""A ramp that climbs no more than 6 in asks for no handrail: 2010 ADA Standards 405.8 (read) [m]."""
HAIR_M = 0.003
"""Heights nearer than this are the same: standards print inches and rounded millimetres [m]."""

Side = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Climb:
    """A piece of a way to hold on: whose, from where to where in plan [m], ``steps`` or the ``grade`` of a slope.

    ``shape`` is the ground beside which a rail would stand; ``sides`` where one does (as walked), ``off_m`` the height of
    one that stands too low or too high, if any.
    """

    owner: str
    start: XY
    end: XY
    steps: int
    grade: float
    rise_m: float
    shape: BaseGeometry
    sides: frozenset[Side] = frozenset()
    off_m: float | None = None


def climbs(scene: Scene, under: Going, steps_from: int, steeper: float) -> tuple[Climb, ...]:
    """Return the flights of at least ``steps_from`` steps and the made ways steeper than ``steeper`` (rise over run)."""
    return tuple(_climb(scene, run) for run in _runs(under, steeper) if _counts(run, steps_from))


def _counts(run: list[Stretch], steps_from: int) -> bool:
    if run[0].steps:
        return round(math.fsum(s.steps for s in run)) >= steps_from
    return abs(math.fsum(s.rise_m for s in run)) > RISE_M


def _runs(under: Going, steeper: float) -> Iterator[list[Stretch]]:
    """Yield stretches on end that are steps, or steep made ground, of one owner."""
    run: list[Stretch] = []
    for s in under.stretches:
        wanted = bool(s.steps) or (s.made and s.grade > steeper * (1 + 1e-6))
        if run and not (wanted and s.owner == run[-1].owner and bool(s.steps) == bool(run[-1].steps)):
            yield run
            run = []
        if wanted:
            run.append(s)
    if run:
        yield run


def _climb(scene: Scene, run: list[Stretch]) -> Climb:
    owner, start, end = run[0].owner, run[0].start, run[-1].end
    steps = round(math.fsum(s.steps for s in run))
    rise = abs(math.fsum(s.rise_m for s in run))
    lie = next((s for s in scene.surfaces if s.owner == owner and isinstance(s.lie, (Plane, Risers))), None)
    line = LineString([run[0].start, *(s.end for s in run)])
    shape = line.buffer(ARM_M - BESIDE_M, cap_style="flat") if lie is None else lie.area
    return Climb(owner, start, end, steps, max(s.grade for s in run), rise, shape)


def held(scene: Scene, climb: Climb, low_m: float, high_m: float) -> Climb:
    """Return a climb with the sides on which a rail ``low_m`` to ``high_m`` high goes all along it."""
    near = [s for s in _thin(scene) if shapely.dwithin(s.footprint, climb.shape, BESIDE_M)]
    told: list[tuple[Solid, float]] = [(s, _height_m(scene, s)) for s in near]
    good = [s for s, high in told if low_m - HAIR_M <= high <= high_m + HAIR_M]
    sides = frozenset[Side](side for side in ("left", "right") if _share(climb, good, side) >= WHOLE)
    off = [h for s, h in told if s not in good and any(_share(climb, [s], side) >= WHOLE for side in ("left", "right"))]
    return Climb(
        climb.owner, climb.start, climb.end, climb.steps, climb.grade, climb.rise_m, climb.shape, sides, min(off, default=None)
    )  # fmt: skip


def _thin(scene: Scene) -> Iterator[Solid]:
    for solid in scene.solids:
        if solid.grown or not isinstance(solid.form, Prism) or not 0.5 <= _height_m(scene, solid) <= 1.3:
            continue
        if shapely.buffer(solid.footprint, -(THIN_M / 2 + 1e-4), join_style="mitre").is_empty:
            yield solid


def _height_m(scene: Scene, solid: Solid) -> float:
    if solid.top.datum == "ground":
        return float(solid.top.value_m)
    at = solid.footprint.representative_point()
    return float(solid.top.above_ground_m(float(scene.ground.height(at.x, at.y))))


def _share(climb: Climb, rails: list[Solid], side: Side) -> float:
    """Return along what share of a climb rails stand on one side."""
    (ax, ay), (bx, by) = climb.start, climb.end
    long = math.dist(climb.start, climb.end)
    if not rails or long < 1e-6:
        return 0.0
    ux, uy = (bx - ax) / long, (by - ay) / long
    middle = climb.shape.centroid if isinstance(climb.shape.centroid, Point) else Point(ax, ay)
    spans = []
    for rail in rails:
        xy = shapely.get_coordinates(rail.footprint)
        aside = ux * (rail.footprint.centroid.y - middle.y) - uy * (rail.footprint.centroid.x - middle.x)
        if (aside > 0) == (side == "left"):
            along = (xy[:, 0] - ax) * ux + (xy[:, 1] - ay) * uy
            spans.append(
                LineString([(float(np.clip(along.min(), 0, long)), 0), (float(np.clip(along.max(), 0, long)), 0)])
            )
    return float(shapely.union_all(spans).length) / long if spans else 0.0
