"""Kernels: what many straight lines get through; :func:`quincunx.scene.bodies.passed` is their oracle."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import helper, kernel
from quincunx.scene.bodies import Bodies

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Singles = NDArray[np.float32]

Arrays = tuple[Ints, Ints, Floats, Floats, Floats, Ints, Floats, Floats]
"""Kind, first plane, planes, crowns, boxes, groups, shares let through and slats of the bodies."""
ARRAYS = (
    "Tuple((int64[::1], int64[::1], float64[:,::1], float64[:,::1], float64[:,::1], int64[::1], float64[::1], "
    "float64[:,::1]))"
)
TINY = 1e-12
TOUCH = 1e-9
CLEAR = 0.999
"""What lets more than this through stops nothing."""
ROUND, DOME = 1, 4
"""Kinds of :mod:`quincunx.scene.parts` that have radii."""


def arrays_of(bodies: Bodies, shares: Floats) -> Arrays:
    """Return bodies as the kernels take them; ``shares`` is what each lets through."""
    slats = np.zeros((len(bodies), 7))
    for p, form in bodies.parts.slatted:
        right, tilt = math.radians(form.direction_deg + 90.0), math.radians(form.tilt_deg)
        sizes = (form.depth_m, form.thickness_m, form.gap_m + form.thickness_m)
        slats[p] = (math.sin(right), math.cos(right), math.sin(tilt), math.cos(tilt), *sizes)
    parts = bodies.parts
    return (
        parts.kind, bodies.first, bodies.planes, np.ascontiguousarray(parts.crown), bodies.box, parts.group,
        np.ascontiguousarray(shares, np.float64), slats,
    )  # fmt: skip


@helper
def crosses_planes(p: int, start: tuple[float, float, float], run: tuple[float, float, float], all_: Arrays) -> bool:
    """Return whether a line is inside body ``p``, which has planes, somewhere on its way."""
    first, planes = all_[1], all_[2]
    enter, leave = 0.0, 1.0
    for f in range(first[p], first[p + 1]):
        speed = planes[f, 0] * run[0] + planes[f, 1] * run[1] + planes[f, 2] * run[2]
        over = planes[f, 0] * start[0] + planes[f, 1] * start[1] + planes[f, 2] * start[2] + planes[f, 3]
        if speed > TINY:
            leave = min(leave, -over / speed)
        elif speed < -TINY:
            enter = max(enter, -over / speed)
        elif over > -TINY:
            return False
        if enter >= leave - TOUCH:
            return False
    return True


@helper
def crosses_round(p: int, start: tuple[float, float, float], run: tuple[float, float, float], all_: Arrays) -> bool:
    """Return whether a line is inside the round body ``p`` somewhere on its way."""
    crown = all_[3]
    qx, qy, qz = (
        (start[0] - crown[p, 0]) / crown[p, 3],
        (start[1] - crown[p, 1]) / crown[p, 4],
        (start[2] - crown[p, 2]) / crown[p, 5],
    )
    dx, dy, dz = run[0] / crown[p, 3], run[1] / crown[p, 4], run[2] / crown[p, 5]
    dd = dx * dx + dy * dy + dz * dz
    b = qx * dx + qy * dy + qz * dz
    inner = b * b - dd * (qx * qx + qy * qy + qz * qz - 1.0)
    if inner <= 0.0:
        return False
    root = math.sqrt(inner)
    enter, leave = max((-b - root) / dd, 0.0), min((-b + root) / dd, 1.0)
    if all_[0][p] == DOME:
        if dz > 0.0:
            enter = max(enter, -qz / dz)
        elif dz < 0.0:
            leave = min(leave, -qz / dz)
        elif qz < 0.0:
            return False
    return bool(enter < leave - TOUCH)


@helper
def crosses(p: int, start: tuple[float, float, float], run: tuple[float, float, float], all_: Arrays) -> bool:
    """Return whether a line from ``start`` along the whole of ``run`` meets body ``p``."""
    if all_[0][p] == ROUND or all_[0][p] == DOME:
        return crosses_round(p, start, run, all_)
    return crosses_planes(p, start, run, all_)


@helper
def lets(p: int, run: tuple[float, float, float], all_: Arrays) -> float:
    """Return what body ``p`` lets through of a line: its share, or as its slats stand to it."""
    share, slats = all_[6][p], all_[7]
    if slats[p, 6] <= 0.0 or share >= 1.0:
        return float(share)
    up = abs(run[2])
    if up <= 0.0:
        return 0.0
    across = (run[0] * slats[p, 0] + run[1] * slats[p, 1]) / up * (1.0 if run[2] > 0.0 else -1.0)
    thrown = slats[p, 4] * abs(slats[p, 2] - slats[p, 3] * across) + slats[p, 5] * abs(
        slats[p, 3] + slats[p, 2] * across
    )
    return float(max(0.0, min(1.0, 1.0 - thrown / slats[p, 6])))


@helper
def passes(start: tuple[float, float, float], run: tuple[float, float, float], all_: Arrays) -> float:
    """Return the share of one line that gets through all bodies."""
    box, group, share = all_[4], all_[5], all_[6]
    x0, x1 = min(start[0], start[0] + run[0]), max(start[0], start[0] + run[0])
    y0, y1 = min(start[1], start[1] + run[1]), max(start[1], start[1] + run[1])
    z0, z1 = min(start[2], start[2] + run[2]), max(start[2], start[2] + run[2])
    left, met = 1.0, -1
    for p in range(len(group)):
        if share[p] >= CLEAR or (group[p] >= 0 and group[p] == met):
            continue
        if box[p, 0] > x1 or box[p, 1] < x0 or box[p, 2] > y1 or box[p, 3] < y0 or box[p, 4] > z1 or box[p, 5] < z0:
            continue
        if crosses(p, start, run, all_):
            left *= lets(p, run, all_)
            met = group[p]
            if left <= 0.0:
                return 0.0
    return left


@kernel(f"float64[:,::1], float64[:,::1], {ARRAYS}, float64[::1]")
def pass_lines(start: Floats, end: Floats, all_: Arrays, out: Floats) -> None:
    """Put into ``out`` the share of each line from ``start`` to ``end`` (n, 3) that gets through."""
    for n in range(len(out)):
        at = (start[n, 0], start[n, 1], start[n, 2])
        out[n] = passes(at, (end[n, 0] - at[0], end[n, 1] - at[1], end[n, 2] - at[2]), all_)


@kernel(f"float64[:,::1], {ARRAYS}, float64[:,::1]")
def pass_pairs(points: Floats, all_: Arrays, out: Floats) -> None:
    """Put into ``out`` (n, n) the share of the line between each two of the points (n, 3) that gets through."""
    for a in range(len(points)):
        at = (points[a, 0], points[a, 1], points[a, 2])
        out[a, a] = 1.0
        for b in range(a + 1, len(points)):
            run = (points[b, 0] - at[0], points[b, 1] - at[1], points[b, 2] - at[2])
            share = passes(at, run, all_)
            out[a, b] = share
            out[b, a] = share


def lines_passed(bodies: Bodies, shares: Floats, start: Floats, end: Floats) -> Floats:
    """Return the share of each line from ``start`` to ``end`` (n, 3) that gets through all bodies, compiled."""
    out = np.empty(len(start))
    pass_lines(np.ascontiguousarray(start), np.ascontiguousarray(end), arrays_of(bodies, shares), out)
    return out


def pairs_passed(bodies: Bodies, shares: Floats, points: Floats) -> Floats:
    """Return the share of the line between each two of the points (n, 3) that gets through (n, n), compiled."""
    out = np.empty((len(points), len(points)))
    pass_pairs(np.ascontiguousarray(points), arrays_of(bodies, shares), out)
    return out
