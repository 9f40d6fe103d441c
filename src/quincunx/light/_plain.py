"""The same shares without kernels: every cell's ray against the sides of every part; slow, and the kernels' oracle.

It shares no geometry with the kernels: parts are cut by planes in space, not thrown on the ground.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from quincunx.scene.parts import DOME, ELLIPSOID, STANDING, Parts

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

DEEP_M = 100.0
"""How far down what stands on the ground is taken to reach [m]."""
AFTER_M = 1e-9


def shares(points: Floats, towards: Floats, through: NDArray[np.float32], parts: Parts) -> Iterator[Floats]:
    """Yield, for each sun, the share that reaches each of the points (n, 3)."""
    bodies = [_faces(parts, p) for p in range(len(parts))]
    for s, sun in enumerate(towards):
        share = np.ones(len(points))
        done: dict[int, Bools] = {}
        for p, faces in enumerate(bodies):
            if through[p, s] >= 0.999:
                continue
            hit = _hits(points, sun, parts, p, faces)
            group = int(parts.group[p])
            if group >= 0:
                seen = done.get(group, np.zeros(len(points), bool))
                done[group] = seen | hit
                hit = hit & ~seen
            share[hit] *= through[p, s]
        yield share


def ground_hides(z: Floats, cell_m: float, height_m: float, sun: Floats) -> Bools:
    """Return the cells (rows, columns) from ``height_m`` over which the ground ahead hides the sun.

    Goes along the sun's line in steps of a quarter of a cell, the ground between cells taken straight.
    """
    from scipy.ndimage import map_coordinates

    flat = float(np.hypot(sun[0], sun[1]))
    rows, columns = np.indices(z.shape)
    hidden = np.zeros(z.shape, bool)
    reach = min((z.max() - z.min()) / max(sun[2], 1e-6) * flat, np.hypot(*z.shape) * cell_m)
    for far in np.arange(cell_m, reach + cell_m, cell_m / 4):
        at = np.array([rows + far / cell_m * sun[1] / flat, columns + far / cell_m * sun[0] / flat])
        inside = (at >= 0).all(0) & (at[0] <= z.shape[0] - 1) & (at[1] <= z.shape[1] - 1)
        hidden |= inside & (map_coordinates(z, at, order=1) > z + height_m + far * sun[2] / flat + 1e-9)
    return hidden


def _faces(parts: Parts, p: int) -> Floats:
    """Return the planes (n, 4) round a part with corners; none for a round one."""
    from scipy.spatial import ConvexHull

    if parts.kind[p] in (ELLIPSOID, DOME):
        return np.empty((0, 4))
    ring = parts.corners[parts.first[p] : parts.first[p + 1]].copy()
    if parts.kind[p] == STANDING:
        ring[: len(ring) // 2, 2] = ring[:, 2].min() - DEEP_M
    middle = ring.mean(axis=0)
    planes = ConvexHull(ring - middle).equations
    planes[:, 3] -= planes[:, :3] @ middle
    return np.asarray(planes)


def _hits(points: Floats, sun: Floats, parts: Parts, p: int, faces: Floats) -> Bools:
    if len(faces):
        return _between(points, sun, faces)
    c = parts.crown[p]
    q, d = (points - c[:3]) / c[3:], sun / c[3:]
    dd, b = d @ d, q @ d
    inner = b * b - dd * ((q * q).sum(axis=1) - 1)
    root = np.sqrt(np.maximum(inner, 0.0))
    near, far = np.maximum((-b - root) / dd, AFTER_M), (-b + root) / dd
    if parts.kind[p] == DOME:
        near = np.maximum(near, (c[2] - points[:, 2]) / sun[2])
    return np.asarray((inner > 0) & (far > near))


def _between(points: Floats, sun: Floats, faces: Floats) -> Bools:
    """Return which rays are somewhere inside all faces."""
    near, far = np.full(len(points), AFTER_M), np.full(len(points), np.inf)
    for face in faces:
        run, gap = face[:3] @ sun, -(points @ face[:3] + face[3])
        if run > 1e-12:
            far = np.minimum(far, gap / run)
        elif run < -1e-12:
            near = np.maximum(near, gap / run)
        else:
            far = np.where(gap < 0, -np.inf, far)
    return np.asarray(near < far)
