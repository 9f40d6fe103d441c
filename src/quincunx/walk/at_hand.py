"""How much of a bed a hand reaches from firm, level ground beside it, and how high its rim stands."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import XY, Plane, Prism
from quincunx.walk.going import floor_at, is_made
from quincunx.walk.reach import Walk

Floats = NDArray[np.float64]

STEP_M = 0.05
"""A bed's side is looked at so far apart [m]."""
CLOSE_M = 0.05
"""One comes so near to a bed's side [m] (common practice, no source)."""
PLAY_M = 0.1
"""Where one stands beside a bed may lie so far from where it is looked for [m]."""
PARK_M = 0.76
"""The least length of a bed's side beside which a chair stands head-on: 30 in, 2010 ADA Standards 305.3 (from memory)."""
HAIR = 1e-3

Lack = Literal["room", "soft", "slope"]


@dataclass(frozen=True, slots=True)
class AtHand:
    """A bed as it is worked: ``rim_m`` high, ``share`` of its ground reached, ``reached`` and the ``rest`` in plan [m].

    ``sides`` are the pieces of its edge beside which one stands; ``lack`` is what most of the other sides lack.
    """

    rim_m: float
    share: float
    reached: BaseGeometry
    rest: BaseGeometry
    sides: tuple[LineString, ...]
    lack: Lack | None


def at_hand(walk: Walk, start: str, bed: str, reach_m: float, steepest: float) -> AtHand | None:
    """Return how a bed is worked by who comes from ``start``, reaching ``reach_m`` [m] over its edge; None without one.

    One stands on ground that is firm all the year and nowhere steeper than ``steepest`` (rise over run).
    """
    area = walk.scene.area_of(bed)
    if area is None or area.is_empty:
        return None
    sides: list[LineString] = []
    lacks: Counter[Lack] = Counter()
    for part in shapely.get_parts(area):
        if isinstance(part, Polygon):
            sides += _sides(walk, start, part, steepest, lacks)
    reached = shapely.intersection(area, shapely.union_all([s.buffer(reach_m) for s in sides]) if sides else Polygon())
    lack = lacks.most_common(1)[0][0] if lacks else None
    rest = shapely.difference(area, reached)
    return AtHand(rim_m(walk.scene, bed), reached.area / area.area, reached, rest, tuple(sides), lack)


def rim_m(scene: Scene, bed: str) -> float:
    """Return how high a bed's rim stands above the ground [m]; 0 for a bed without one."""
    tops = [
        s.top.value_m
        for s in scene.solids
        if s.owner == bed and isinstance(s.form, Prism) and not s.grown and s.top.datum == "ground"
    ]
    return max(tops, default=0.0)


def _sides(walk: Walk, start: str, part: Polygon, steepest: float, lacks: Counter[Lack]) -> list[LineString]:
    """Return the pieces of a bed's edge beside which one stands; what the others lack is counted in ``lacks``."""
    ring = shapely.geometry.polygon.orient(part).exterior
    count = max(math.ceil(ring.length / STEP_M), 8)
    marks = np.linspace(0.0, ring.length, count, endpoint=False)
    edge = shapely.get_coordinates(shapely.line_interpolate_point(ring, marks))
    ahead = shapely.get_coordinates(shapely.line_interpolate_point(ring, marks + HAIR)) - edge
    out = np.stack([ahead[:, 1], -ahead[:, 0]], axis=1) / np.maximum(np.hypot(*ahead.T), 1e-12)[:, None]
    stand = edge + out * (float(walk.walker.body_width) / 2 + CLOSE_M)
    told = _lacking(walk, start, part, stand, steepest)
    lacks.update(t for t in told if t is not None)
    return _runs(edge, [t is None for t in told])


def _lacking(walk: Walk, start: str, part: Polygon, stand: Floats, steepest: float) -> list[Lack | None]:
    """Return what each place to stand lacks: room (or no way there), a firm floor, level ground; None for nothing."""
    scene, here = walk.scene, walk.pieces_at(start)
    zone = part.buffer(float(walk.walker.body_width) / 2 + CLOSE_M + PLAY_M)
    free = [p for n, p in zip(walk.free.pieces_in(zone), walk.free.stand_in(zone), strict=True) if n in here]
    points = shapely.points(stand)
    room = shapely.dwithin(points, MultiPolygon(free), PLAY_M) if free else np.zeros(len(stand), bool)
    grade = np.asarray(scene.ground.slope(stand[:, 0], stand[:, 1])[0], np.float64)
    out: list[Lack | None] = []
    for k, shown in enumerate(floor_at(scene, stand)):
        floor = scene.surfaces[shown] if shown >= 0 else None
        slope = floor.lie.grade if floor is not None and isinstance(floor.lie, Plane) else float(grade[k])
        lack: Lack | None = None
        if not room[k]:
            lack = "room"
        elif floor is None or not is_made(floor):
            lack = "soft"
        elif slope > steepest * (1 + HAIR):
            lack = "slope"
        out.append(lack)
    return out


def _runs(edge: Floats, good: Sequence[bool]) -> list[LineString]:
    """Return the pieces of a closed edge along which all is good, none shorter than a chair is wide."""
    n = len(good)
    if all(good):
        return [LineString([*edge.tolist(), edge[0].tolist()])]
    first = next(k for k in range(n) if not good[k])
    out: list[list[XY]] = [[]]
    for k in ((first + i) % n for i in range(n)):
        if good[k]:
            out[-1].append((float(edge[k, 0]), float(edge[k, 1])))
        elif out[-1]:
            out.append([])
    return [line for run in out if len(run) > 1 and (line := LineString(run)).length >= PARK_M - STEP_M]
