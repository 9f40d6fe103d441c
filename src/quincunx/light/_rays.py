"""Rays from a few points to many suns, through all parts at once: what a seat sees, without kernels.

A part with corners is the space inside all its faces, a round one an ellipsoid or the upper half of one; a ray is hidden
where the span inside is longer than nothing.  For some hundred parts, one point and the suns of a year this takes some
hundredths of a second and compiles nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from quincunx.scene.parts import CLEAR, CONE, DOME, ELLIPSOID, HULL, STANDING, Parts

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

DEEP_M = 100.0
"""How far down what stands on the ground is taken to reach [m]."""
AFTER_M = 1e-9
ON_M = 1e-7
"""A corner no further than this off a plane lies in it [m]."""
NARROW_M2 = 1e-9
"""Three corners that span less than this are in a line [m2]."""
SOME = 400_000
"""Rays times parts tried at a time: what is worked on stays near the processor."""


@dataclass(frozen=True, eq=False)
class Bodies:
    """Parts as faces: ``face[p, f]`` (x, y, z, 1) is not positive inside; ``flat`` and ``round`` list them by number."""

    parts: Parts
    flat: Ints
    face: Floats
    round: Ints

    @classmethod
    def of(cls, parts: Parts) -> Bodies:
        """Return the faces of all parts with corners, filled up with ones that every point is inside of."""
        rounded = np.isin(parts.kind, (ELLIPSOID, DOME))
        flat = np.flatnonzero(~rounded)
        found = [_faces(parts, int(p)) for p in flat]
        face = np.zeros((len(flat), max((len(f) for f in found), default=1), 4))
        face[:, :, 3] = -1.0
        for n, planes in enumerate(found):
            face[n, : len(planes)] = planes
        return cls(parts, flat, face, np.flatnonzero(rounded))

    def shares(self, points: Floats, towards: Floats, through: NDArray[np.float32]) -> Floats:
        """Return the share (n, s) of each sun that reaches each point (n, 3), given what parts let through (p, s)."""
        out = np.empty((len(points), len(towards)))
        step = max(SOME // max(len(self.parts) * max(len(towards), 1), 1), 1)
        for a in range(0, len(points), step):
            hit = self.hits(points[a : a + step], towards, through)
            some = np.flatnonzero(hit.any(axis=(1, 2)))
            out[a : a + step] = np.where(hit[some], through[some, None, :], 1.0).prod(axis=0)
        return out

    def hits(self, points: Floats, towards: Floats, through: NDArray[np.float32]) -> Bools:
        """Return which parts stand before which suns (p, n, s); of parts that count once together only the first."""
        hit = np.zeros((len(self.parts), len(points), len(towards)), bool)
        if len(self.flat):
            hit[self.flat] = _in_faces(self.face, points, towards)
        for p in self.round:
            hit[p] = _in_round(self.parts.crown[p], points, towards, dome=bool(self.parts.kind[p] == DOME))
        hit &= (through < CLEAR)[:, None, :]
        group = self.parts.group
        for g in np.unique(group[group >= 0]):
            mine = np.flatnonzero(group == g)
            before = np.maximum.accumulate(hit[mine], axis=0)
            hit[mine[1:]] &= ~before[:-1]
        return hit


def _in_faces(face: Floats, points: Floats, towards: Floats) -> Bools:
    """Return which rays are somewhere inside all faces of each body (b, n, s)."""
    run = face[:, :, :3] @ towards.T  # (b, f, s)
    gap = -(face[:, :, :3] @ points.T + face[:, :, 3:])  # (b, f, n)
    near = np.full((len(face), len(points), len(towards)), AFTER_M)
    far = np.full_like(near, np.inf)
    for f in range(face.shape[1]):
        r, g = run[:, f, None, :], gap[:, f, :, None]
        with np.errstate(divide="ignore", invalid="ignore"):
            at = g / r
        np.minimum(far, np.where(r > 1e-12, at, np.where((np.abs(r) <= 1e-12) & (g < 0), -np.inf, np.inf)), out=far)
        np.maximum(near, np.where(r < -1e-12, at, AFTER_M), out=near)
    return np.asarray(near < far)


def _in_round(c: Floats, points: Floats, towards: Floats, *, dome: bool) -> Bools:
    """Return which rays go through an ellipsoid, or the upper half of one (n, s)."""
    q, d = (points - c[:3]) / c[3:], towards / c[3:]
    dd, b = (d * d).sum(axis=1), q @ d.T
    inner = b * b - dd * ((q * q).sum(axis=1) - 1)[:, None]
    root = np.sqrt(np.maximum(inner, 0.0))
    near, far = np.maximum((-b - root) / dd, AFTER_M), (-b + root) / dd
    if dome:
        near = np.maximum(near, (c[2] - points[:, 2])[:, None] / towards[:, 2])
    return np.asarray((inner > 0) & (far > near))


def _faces(parts: Parts, p: int) -> Floats:
    """Return the planes round a part: of a prism its sides, top and bottom, else those of the hull of its corners."""
    ring = parts.corners[parts.first[p] : parts.first[p + 1]]
    kind = int(parts.kind[p])
    if kind in (HULL, CONE) or np.isnan(parts.tilt[p]).any():
        return _hull(ring, standing=kind == STANDING)
    half = len(ring) // 2
    bottom, top = ring[:half], ring[half:]
    planes = np.zeros((half + 2, 4))
    out = planes[:half]
    out[:-1, 0], out[-1, 0] = bottom[1:, 1] - bottom[:-1, 1], bottom[0, 1] - bottom[-1, 1]
    out[:-1, 1], out[-1, 1] = bottom[:-1, 0] - bottom[1:, 0], bottom[-1, 0] - bottom[0, 0]
    out[:, :2] /= np.hypot(out[:, 0], out[:, 1])[:, None]
    out[:, 3] = -(out[:, 0] * bottom[:, 0] + out[:, 1] * bottom[:, 1])
    for row, corner, tilt, up in ((-2, top[0], parts.tilt[p, :2], 1.0), (-1, bottom[0], parts.tilt[p, 2:], -1.0)):
        if up < 0 and kind == STANDING:
            planes[row] = 0.0, 0.0, -1.0, ring[:, 2].min() - DEEP_M
            continue
        normal = up * np.array([-tilt[0], -tilt[1], 1.0])
        planes[row, :3], planes[row, 3] = normal, -normal @ corner
    return planes


def _hull(corners: Floats, *, standing: bool) -> Floats:
    """Return the planes of the hull of a few corners: each through three with all others on one side of it.

    Plainly, and without a library whose loading takes longer than the rays of a year.
    """
    ring = corners.copy()
    if standing:
        ring[: len(ring) // 2, 2] = ring[:, 2].min() - DEEP_M
    middle = ring.mean(axis=0)
    at = ring - middle
    three = np.array(list(combinations(range(len(at)), 3)))
    a, b, c = at[three[:, 0]], at[three[:, 1]], at[three[:, 2]]
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    kept = size > NARROW_M2
    normal, a = normal[kept] / size[kept, None], a[kept]
    over = normal @ at.T - (normal * a).sum(axis=1)[:, None]
    out, back = (over <= ON_M).all(axis=1), (over >= -ON_M).all(axis=1)
    normal = np.vstack([normal[out], -normal[back]])
    level = -(normal * np.vstack([a[out], a[back]])).sum(axis=1) - normal @ middle
    planes = np.column_stack([normal, level])
    return np.asarray(planes[np.unique(np.round(planes, 6), axis=0, return_index=True)[1]])
