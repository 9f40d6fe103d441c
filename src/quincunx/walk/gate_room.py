"""Room, floor and level at a gate for who opens it alone: the published space on its pull and its push side.

Front approaches: 60 in deep and 18 in beside the latch where the leaf is pulled, 48 in deep where it is pushed (2010 ADA
Standards 404.2.4.1 and its table, read); measured from no more than 8 in beside the leaf's face (404.2.4.3, read).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import Polygon

from quincunx.shapes import XY, Opening, Plane
from quincunx.walk.going import floor_at, is_made
from quincunx.walk.reach import Walk

INCH_M = 0.0254
PULL_M, LATCH_M, PUSH_M = 60 * INCH_M, 18 * INCH_M, 48 * INCH_M
FACE_M = 8 * INCH_M
"""How far what is beside a leaf may stand out before it takes from its room [m]."""
HAIR_M2 = 1e-3
APART_M = 0.15
"""The floor and the slope are looked at so far apart [m]."""

Bare = Literal["", "soft", "slope"]


@dataclass(frozen=True, slots=True)
class Before:
    """One side of a gate: the room to push and to pull it, as ``push`` and ``pull`` in plan [m], and what is in the way.

    ``in_push`` and ``in_pull`` name what stands in each; ``floor`` says what the ground in the smaller one lacks.
    """

    push: Polygon
    pull: Polygon
    in_push: tuple[str, ...]
    in_pull: tuple[str, ...]
    floor: Bare
    grade: float


def before(walk: Walk, gate: Opening, side: Literal[1, -1], steepest: float) -> Before:
    """Return the room on one side of a gate (1: left of its line as drawn), its ground no steeper than ``steepest``."""
    push, pull = room(gate, side, PUSH_M, 0.0), room(gate, side, PULL_M, LATCH_M)
    floor, grade = _floor(walk, push, steepest)
    return Before(push, pull, _in(walk, gate, push), _in(walk, gate, pull), floor, grade)


def room(gate: Opening, side: Literal[1, -1], deep_m: float, beside_m: float) -> Polygon:
    """Return the ground before a gate ``deep_m`` deep, and ``beside_m`` past its latch [m]; past neither end of two leaves."""
    start, end = _point(gate, 0), _point(gate, -1)
    long = math.dist(start, end)
    u = ((end[0] - start[0]) / long, (end[1] - start[1]) / long)
    n = (-u[1] * side, u[0] * side)
    low = -beside_m if gate.hinge == "end" else 0.0
    high = long + beside_m if gate.hinge == "start" else long
    corners = ((low, FACE_M), (high, FACE_M), (high, deep_m), (low, deep_m))
    return Polygon([(start[0] + u[0] * a + n[0] * b, start[1] + u[1] * a + n[1] * b) for a, b in corners])


def _point(gate: Opening, k: int) -> XY:
    x, y = gate.clear.coords[k][:2]
    return float(x), float(y)


def _in(walk: Walk, gate: Opening, place: Polygon) -> tuple[str, ...]:
    """Return what stops the walker in some ground, by id, the largest first; the gate itself is nothing in the way."""
    found: dict[str, float] = {}
    for barrier in walk.free.barriers_near(place):
        if barrier.owner != gate.owner:
            size = float(shapely.intersection(barrier.shape, place).area)
            if size > HAIR_M2:
                found[barrier.owner] = found.get(barrier.owner, 0.0) + size
    return tuple(sorted(found, key=lambda o: (-found[o], o)))


def _floor(walk: Walk, place: Polygon, steepest: float) -> tuple[Bare, float]:
    """Return what the ground in a place lacks, and its steepest slope (rise over run)."""
    points = _points(place)
    grades = np.asarray(walk.scene.ground.slope(points[:, 0], points[:, 1])[0], np.float64)
    soft, worst = False, 0.0
    for k, shown in enumerate(floor_at(walk.scene, points)):
        floor = walk.scene.surfaces[shown] if shown >= 0 else None
        soft = soft or floor is None or not is_made(floor)
        worst = max(worst, floor.lie.grade if floor is not None and isinstance(floor.lie, Plane) else float(grades[k]))
    return ("slope" if worst > steepest * (1 + 1e-3) else "soft" if soft else ""), worst


def _points(place: Polygon) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Return points spread over a four-cornered place [m]."""
    a, b, _, d = shapely.get_coordinates(place)[:4]
    across = max(math.ceil(math.dist(a, b) / APART_M), 2)
    deep = max(math.ceil(math.dist(a, d) / APART_M), 2)
    s, t = np.meshgrid(np.linspace(0.02, 0.98, across), np.linspace(0.02, 0.98, deep))
    return np.asarray(a + s.reshape(-1, 1) * (b - a) + t.reshape(-1, 1) * (d - a), np.float64)
