"""What stands in a scene as bodies that straight lines meet: each convex part by the planes round it.

Sight and rain go along straight lines from one point to another.  :func:`entries` says where each line enters each
body; the compiled form of the same question is in :mod:`quincunx.scene.lines`.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from quincunx.scene.parts import CONE, DOME, ELLIPSOID, HULL, STANDING, Parts
from quincunx.scene.slats import slats_light

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

DEEP_M = 100.0
"""How far down what stands on the ground is taken to reach [m]."""
TINY = 1e-12
TOUCH = 1e-9
"""A line that is inside a body for a smaller share of its length than this passes it by."""
LEVEL_M = 0.001
"""Corners no further than this from one plane lie in it [m]."""
ROOM = 1_500_000
"""Lines times planes worked on at a time."""


@dataclass(frozen=True, eq=False)
class Bodies:
    """Convex bodies: ``planes[first[p] : first[p + 1]]`` (east, north, up, off) face outward from body p.

    A point x is inside where ``plane[:3] @ x + plane[3]`` is nowhere positive.  Round ones have no planes but
    middle and radii in ``crown``.  ``box`` holds west, east, south, north, low and high of each.  Bodies of one
    ``group`` follow each other and count once together; ``group`` is -1 for one by itself.
    """

    parts: Parts
    planes: Floats
    first: Ints
    box: Floats

    def __len__(self) -> int:
        return len(self.parts)

    @property
    def owners(self) -> tuple[str, ...]:
        """Return the owner of each body."""
        return tuple(self.parts.solids[n].owner for n in self.parts.solid)

    def of(self, owner: str) -> Bools:
        """Return which bodies belong to a feature."""
        return np.array([name == owner for name in self.owners], bool)

    def shares(self, month: int) -> Floats:
        """Return what each lets through in a month, slats seen straight on."""
        return np.ascontiguousarray(self.parts.light[:, month - 1])


def bodies_of(parts: Parts) -> Bodies:
    """Return the parts of a scene as bodies, those of one group behind each other."""
    lead = np.where(parts.group >= 0, parts.group, parts.solid)
    ordered = _taken(parts, np.argsort(lead, kind="stable"))
    faces = [_kept_planes(ordered, p) for p in range(len(ordered))]
    first = np.concatenate([[0], np.cumsum([len(f) for f in faces])]).astype(np.int64)
    boxes = np.array([_box(ordered, p) for p in range(len(ordered))], np.float64).reshape(-1, 6)
    return Bodies(ordered, np.vstack([np.empty((0, 4)), *faces]), first, boxes)


def _taken(parts: Parts, order: Ints) -> Parts:
    """Return the parts in another order."""
    place = {int(old): new for new, old in enumerate(order)}
    corners = [parts.corners[parts.first[p] : parts.first[p + 1]] for p in order]
    return Parts(
        parts.solids,
        parts.solid[order],
        parts.kind[order],
        np.concatenate([[0], np.cumsum([len(c) for c in corners])]).astype(np.int64),
        np.vstack([np.empty((0, 3)), *corners]),
        parts.crown[order],
        parts.tilt[order],
        parts.group[order],
        parts.light[order],
        tuple(sorted((place[p], form) for p, form in parts.slatted)),
    )


_FACES: OrderedDict[tuple[bytes, ...], Floats] = OrderedDict()
"""The planes round parts seen before, by their corners: most things stand the same from one year to the next."""
_MOST = 8192


def _kept_planes(parts: Parts, p: int) -> Floats:
    ring = parts.corners[parts.first[p] : parts.first[p + 1]]
    key = (parts.kind[p].tobytes(), ring.tobytes(), parts.tilt[p].tobytes())
    if key not in _FACES:
        _FACES[key] = _planes(parts, p)
        while len(_FACES) > _MOST:
            _FACES.popitem(last=False)
    return _FACES[key]


def _planes(parts: Parts, p: int) -> Floats:
    """Return the planes (n, 4) round a part with corners; none for a round one."""
    kind = parts.kind[p]
    if kind in (ELLIPSOID, DOME):
        return np.empty((0, 4))
    ring = parts.corners[parts.first[p] : parts.first[p + 1]]
    if kind == CONE:
        return _cone(ring[:-1], ring[-1])
    half = len(ring) // 2
    top, under = _level(ring[half:], parts.tilt[p, :2]), _level(ring[:half], parts.tilt[p, 2:])
    if kind == HULL or top is None or (under is None and kind != STANDING):
        return _hull(ring, stands=kind == STANDING)
    bottom = np.array([0.0, 0.0, -1.0, ring[:, 2].min() - DEEP_M]) if kind == STANDING or under is None else -under
    return np.vstack([_sides(ring[:half]), top, bottom])


def _sides(ring: Floats) -> Floats:
    """Return the upright planes along the sides of a ring that goes anticlockwise."""
    along = np.roll(ring[:, :2], -1, 0) - ring[:, :2]
    length = np.hypot(along[:, 0], along[:, 1])
    keep = length > TINY
    out = np.column_stack([along[keep, 1], -along[keep, 0]]) / length[keep, None]
    return np.column_stack([out, np.zeros(len(out)), -(out * ring[keep, :2]).sum(1)])


def _level(ring: Floats, tilt: Floats) -> Floats | None:
    """Return the plane of a ring facing up, rising by ``tilt`` east and north; None if its corners don't lie in it."""
    east, north = float(tilt[0]), float(tilt[1])
    up = ring[:, 2] - east * ring[:, 0] - north * ring[:, 1]
    if not up.max() - up.min() < 2 * LEVEL_M:
        return None
    size = math.sqrt(1.0 + east * east + north * north)
    return np.array([-east, -north, 1.0, -(up.max() + up.min()) / 2]) / size


def _cone(ring: Floats, apex: Floats) -> Floats:
    """Return the planes of a cone: its foot, and one through each side of the foot and the apex."""
    edges = np.roll(ring, -1, 0) - ring
    faces = np.cross(edges, apex - ring)
    faces /= np.linalg.norm(faces, axis=1)[:, None]
    sides = np.column_stack([faces, -(faces * ring).sum(1)])
    return np.vstack([sides, [0.0, 0.0, -1.0, ring[0, 2]]])


def _hull(ring: Floats, *, stands: bool) -> Floats:
    """Return the planes round the hull of a few corners: those through three of them that have all others on one side."""
    points = ring.copy()
    if stands:
        points[: len(ring) // 2, 2] = ring[:, 2].min() - DEEP_M
    middle = points.mean(axis=0)
    at = points - middle
    three = np.array(list(combinations(range(len(at)), 3)))
    faces = np.cross(at[three[:, 1]] - at[three[:, 0]], at[three[:, 2]] - at[three[:, 0]])
    size = np.linalg.norm(faces, axis=1)
    three, faces = three[size > TOUCH], faces[size > TOUCH] / size[size > TOUCH][:, None]
    off = -(faces * at[three[:, 0]]).sum(axis=1)
    turn = np.where(off > 0, -1.0, 1.0)  # the middle lies inside
    planes = np.column_stack([faces, off]) * turn[:, None]
    outer = planes[(planes[:, :3] @ at.T + planes[:, 3:]).max(axis=1) < 1e-7]
    kept = np.array([p for n, p in enumerate(outer) if not any(np.abs(outer[:n] - p).max(axis=1) < 1e-6)])
    kept[:, 3] -= kept[:, :3] @ middle
    return np.asarray(kept)


def _box(parts: Parts, p: int) -> tuple[float, ...]:
    if parts.kind[p] in (ELLIPSOID, DOME):
        x, y, z, a, b, c = parts.crown[p]
        return x - a, x + a, y - b, y + b, z - (0.0 if parts.kind[p] == DOME else c), z + c
    ring = parts.corners[parts.first[p] : parts.first[p + 1]]
    (west, south, low), (east, north, high) = ring.min(0), ring.max(0)
    return west, east, south, north, low - DEEP_M if parts.kind[p] == STANDING else low, high


def near(bodies: Bodies, start: Floats, end: Floats) -> Ints:
    """Return the bodies whose boxes meet the box round all lines from ``start`` to ``end`` (n, 3) [m]."""
    low, high = np.minimum(start.min(0), end.min(0)), np.maximum(start.max(0), end.max(0))
    b = bodies.box
    meets = (b[:, 0] <= high[0]) & (b[:, 1] >= low[0]) & (b[:, 2] <= high[1]) & (b[:, 3] >= low[1])
    return np.flatnonzero(meets & (b[:, 4] <= high[2]) & (b[:, 5] >= low[2]))


def entries(bodies: Bodies, start: Floats, end: Floats, which: Ints | None = None) -> Floats:
    """Return where on its way, 0 to 1, each line from ``start`` to ``end`` (n, 3) enters each body (n, bodies).

    It is infinite where the line passes the body by.  ``which`` names the bodies looked at (default: those near).
    """
    out = np.full((len(start), len(bodies)), np.inf)
    chosen = near(bodies, start, end) if which is None else which
    if not len(chosen) or not len(start):
        return out
    step = max(ROOM // max(int(np.diff(bodies.first)[chosen].sum()), 1), 1)
    for at in range(0, len(start), step):
        some = slice(at, at + step)
        out[some, chosen] = _entered(bodies, start[some], end[some] - start[some], chosen)
    return out


def _entered(bodies: Bodies, start: Floats, run: Floats, chosen: Ints) -> Floats:
    out = np.full((len(start), len(chosen)), np.inf)
    kind = bodies.parts.kind[chosen]
    is_round = (kind == ELLIPSOID) | (kind == DOME)
    flat = np.flatnonzero(~is_round)
    if len(flat):
        out[:, flat] = _between(bodies, start, run, chosen[flat])
    for k in np.flatnonzero(is_round):
        out[:, k] = _round(bodies.parts.crown[chosen[k]], start, run, dome=kind[k] == DOME)
    return out


def _between(bodies: Bodies, start: Floats, run: Floats, chosen: Ints) -> Floats:
    """Return where lines enter the bodies with planes: the last way in, if it comes before the first way out."""
    count = np.diff(bodies.first)[chosen]
    index = np.concatenate([np.arange(bodies.first[p], bodies.first[p + 1]) for p in chosen])
    heads = np.concatenate([[0], np.cumsum(count)[:-1]])
    planes = bodies.planes[index]
    speed = run @ planes[:, :3].T
    over = start @ planes[:, :3].T + planes[:, 3]
    with np.errstate(divide="ignore", invalid="ignore"):
        t = -over / speed
    in_at = np.where(speed < -TINY, t, np.where((np.abs(speed) <= TINY) & (over > -TINY), np.inf, 0.0))
    out_at = np.where(speed > TINY, t, 1.0)
    enter = np.maximum(np.maximum.reduceat(in_at, heads, axis=1), 0.0)
    leave = np.minimum(np.minimum.reduceat(out_at, heads, axis=1), 1.0)
    return np.where(enter < leave - TOUCH, enter, np.inf)


def _round(crown: Floats, start: Floats, run: Floats, *, dome: bool) -> Floats:
    q, d = (start - crown[:3]) / crown[3:], run / crown[3:]
    dd, b, c = (d * d).sum(1), (q * d).sum(1), (q * q).sum(1) - 1.0
    inner = b * b - dd * c
    root = np.sqrt(np.maximum(inner, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        enter, leave = np.maximum((-b - root) / dd, 0.0), np.minimum((-b + root) / dd, 1.0)
        if dome:
            floor = -q[:, 2] / d[:, 2]
            enter = np.where(
                d[:, 2] > 0, np.maximum(enter, floor), np.where((d[:, 2] == 0) & (q[:, 2] < 0), 2.0, enter)
            )
            leave = np.where(d[:, 2] < 0, np.minimum(leave, floor), leave)
    return np.where((inner > 0) & (enter < leave - TOUCH), enter, np.inf)


def through(bodies: Bodies, shares: Floats, start: Floats, run: Floats) -> Floats:
    """Return what each body lets through of each line (n, bodies): its share, or as slats stand to the line.

    ``run`` (n, 3) is each line from end to end; looking down through slats is looking up through them.
    """
    out = np.broadcast_to(shares, (len(start), len(bodies))).copy()
    if any(shares[p] < 1.0 for p, _ in bodies.parts.slatted):
        towards = run * np.where(run[:, 2:] < 0, -1.0, 1.0)
        for p, form in bodies.parts.slatted:
            if shares[p] < 1.0:
                out[:, p] = slats_light(form, towards)
    return out


def passed(bodies: Bodies, shares: Floats, start: Floats, end: Floats) -> Floats:
    """Return the share of each line from ``start`` to ``end`` (n, 3) that gets through all bodies (n,).

    ``shares`` is what each body lets through; those of one group count once.
    """
    met = entries(bodies, start, end, _stopping(bodies, shares, start, end)) < np.inf
    lets = np.where(met, through(bodies, shares, start, end - start), 1.0)
    return np.asarray(np.prod(np.where(_again(bodies, met), 1.0, lets), axis=1))


def _stopping(bodies: Bodies, shares: Floats, start: Floats, end: Floats) -> Ints:
    close = near(bodies, start, end) if len(start) else np.empty(0, np.int64)
    return np.asarray(close[shares[close] < 1.0])


def _again(bodies: Bodies, met: Bools) -> Bools:
    """Return which of the bodies met belong to a group met already."""
    group = bodies.parts.group
    out = np.zeros_like(met)
    for one in sorted(set(group[group >= 0].tolist())):
        of = np.flatnonzero(group == one)
        out[:, of] = met[:, of] & (np.cumsum(met[:, of], axis=1) > 1)
    return out
