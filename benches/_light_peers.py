"""The other side of the light benchmark: general-purpose libraries, run by their own interpreter.

``_light_peers.py JOB FOUND``: reads parts, suns and cells, writes seconds of CPU and hours.
"""

from __future__ import annotations

import json
import sys
import time
from typing import Any

import numpy as np

SUNK_M = 0.5
"""How far what stands is sunk, since rays start at the ground [m]."""


def corners(body: dict[str, Any], trimesh: Any, fine: int) -> Any:
    """Return the corners of a part; a round one's are those of a finely cut sphere, stretched."""
    if "round" in body:
        c = np.array(body["round"])
        return trimesh.creation.icosphere(subdivisions=fine).vertices * c[3:] + c[:3]
    ring = np.array(body["corners"])
    if body["stands"]:
        ring[: len(ring) // 2, 2] -= SUNK_M
    return ring


def embree(job: dict[str, Any], read: Any) -> tuple[float, Any]:
    """Return seconds and hours by rays: all opaque parts as one mesh, porous ones each where its shadow may fall."""
    import trimesh

    x, y = np.meshgrid(read["x"], read["y"])
    a, b, c = job["plane"]
    z = a * x + b * y + c
    start = np.column_stack([x.ravel(), y.ravel(), z.ravel() + 1e-3])
    through, cell = read["through"], job["cell_m"]
    began = time.process_time()
    meshes = []
    for body in job["bodies"]:
        mesh = trimesh.convex.convex_hull(corners(body, trimesh, 3))
        meshes.append(trimesh.Trimesh(mesh.vertices, mesh.faces, process=False))
    opaque = [p for p in range(len(meshes)) if through[p].max() == 0]
    porous = [p for p in range(len(meshes)) if through[p].max() > 0]
    walls = trimesh.util.concatenate([meshes[p] for p in opaque])
    hours = np.zeros((int(read["months"]), *x.shape))
    for s, sun in enumerate(read["towards"]):
        lit = 1.0 - walls.ray.intersects_any(start, np.broadcast_to(sun, start.shape)).reshape(x.shape)
        rise = sun[2] - a * sun[0] - b * sun[1]
        if rise <= 0:
            continue
        for p in porous:
            v = meshes[p].vertices
            t = np.maximum((v[:, 2] - a * v[:, 0] - b * v[:, 1] - c) / rise, 0)
            u, w = v[:, 0] - t * sun[0] - read["x"][0], v[:, 1] - t * sun[1] - read["y"][0]
            i0, i1 = max(int(u.min() / cell), 0), min(int(u.max() / cell) + 2, x.shape[1])
            j0, j1 = max(int(w.min() / cell), 0), min(int(w.max() / cell) + 2, x.shape[0])
            if i1 <= i0 or j1 <= j0:
                continue
            o = start.reshape(*x.shape, 3)[j0:j1, i0:i1].reshape(-1, 3)
            hit = meshes[p].ray.intersects_any(o, np.broadcast_to(sun, o.shape)).reshape(j1 - j0, i1 - i0)
            lit[j0:j1, i0:i1] *= np.where(hit, through[p, s], 1.0)
        hours[read["slot"][s]] += read["hours"][s] * lit
    return time.process_time() - began, hours


def burnt(job: dict[str, Any], read: Any) -> tuple[float, Any]:
    """Return seconds and hours by shadow outlines: hulls by shapely, burnt onto the cells by rasterio."""
    import rasterio.enums
    import rasterio.features
    import rasterio.transform
    import shapely
    import trimesh

    a, b, c = job["plane"]
    sun, through, cell = read["towards"], read["through"], job["cell_m"]
    shape = len(read["y"]), len(read["x"])
    west, south = read["x"][0] - cell / 2, read["y"][0] - cell / 2
    began = time.process_time()
    rise = sun[:, 2] - a * sun[:, 0] - b * sun[:, 1]
    outlines = np.empty((len(job["bodies"]), len(sun)), object)
    for p, body in enumerate(job["bodies"]):
        v = corners(body, trimesh, 2)
        t = np.maximum((v[:, 2] - a * v[:, 0] - b * v[:, 1] - c)[None] / np.maximum(rise, 1e-6)[:, None], 0)
        at = np.stack([v[:, 0] - t * sun[:, :1], v[:, 1] - t * sun[:, 1:2]], axis=-1)
        owner = np.repeat(np.arange(len(sun)), len(v))
        outlines[p] = shapely.convex_hull(shapely.multipoints(at.reshape(-1, 2), indices=owner))
    near = shapely.intersects(outlines, shapely.box(west, south, west + shape[1] * cell, south + shape[0] * cell))
    lies = rasterio.transform.Affine(cell, 0, west, 0, cell, south)
    weight, hours = np.log(np.maximum(through, 1e-6)), np.zeros((int(read["months"]), *shape))
    for s in range(len(sun)):
        if rise[s] <= 0:
            continue
        burn = [(outlines[p, s], weight[p, s]) for p in np.flatnonzero(near[:, s] & (through[:, s] < 0.999))]
        total = np.zeros(shape)
        if burn:
            total = rasterio.features.rasterize(
                burn, out_shape=shape, transform=lies, merge_alg=rasterio.enums.MergeAlg.add, dtype="float32"
            )
        hours[read["slot"][s]] += read["hours"][s] * np.exp(total) * (total > -13)
    return time.process_time() - began, hours


def main() -> None:
    """Read, measure, write."""
    with np.load(sys.argv[1]) as read:
        job = json.loads(str(read["job"]))
        found = {}
        for name, peer in (("embree", embree), ("burnt", burnt)):
            found[f"{name}_s"], found[name] = peer(job, read)
    np.savez(sys.argv[2], **found)


if __name__ == "__main__":
    main()
