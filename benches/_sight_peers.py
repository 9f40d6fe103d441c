"""The other side of the sight benchmark: embree through trimesh, run by its own interpreter.

``_sight_peers.py JOB FOUND``: reads bodies, eyes, cells and points, writes seconds of CPU and shares.  All opaque bodies
are one mesh; each porous one is a mesh of its own, tried only where light is left.
"""

from __future__ import annotations

import json
import sys
import time
from typing import Any

import numpy as np

SUNK_M = 3.0
"""How far what stands is sunk below its own foot."""


def mesh_of(body: dict[str, Any], trimesh: Any) -> Any:
    """Return a body as triangles; a round one as a finely cut sphere, stretched."""
    if "round" in body:
        c = np.array(body["round"])
        ball = trimesh.creation.icosphere(subdivisions=4)
        return trimesh.Trimesh(ball.vertices * c[3:] + c[:3], ball.faces, process=False)
    ring = np.array(body["corners"])
    if body["stands"]:
        ring[: len(ring) // 2, 2] -= SUNK_M
    hull = trimesh.convex.convex_hull(ring)
    return trimesh.Trimesh(hull.vertices, hull.faces, process=False)


class Casting:
    """Embree scenes of all bodies, made once; asking them is what is timed."""

    def __init__(self, bodies: list[dict[str, Any]]) -> None:
        """Make the scenes."""
        import trimesh
        from trimesh.ray.ray_pyembree import _EmbreeWrap

        meshes = [mesh_of(b, trimesh) for b in bodies]
        lets = [b["lets"] for b in bodies]
        walls = trimesh.util.concatenate([m for m, t in zip(meshes, lets, strict=True) if t == 0])
        self.walls = _EmbreeWrap(walls.vertices, walls.faces, 1.0)
        self.porous = [
            (_EmbreeWrap(m.vertices, m.faces, 1.0), t) for m, t in zip(meshes, lets, strict=True) if 0 < t < 1
        ]

    def opaque(self, start: np.ndarray, run: np.ndarray) -> np.ndarray:
        """Return which lines get past all opaque bodies."""
        return self.walls.run(start, run, query="DISTANCE") >= 1.0

    def all(self, start: np.ndarray, run: np.ndarray) -> np.ndarray:
        """Return the share of each line that gets through everything."""
        left = self.opaque(start, run).astype(np.float32)
        some = np.flatnonzero(left)
        for scene, lets in self.porous:
            met = scene.run(start[some], run[some], query="DISTANCE") < 1.0
            left[some] *= np.where(met, np.float32(lets), np.float32(1))
        return left


def timed(work: Any, rounds: int) -> tuple[float, Any]:
    """Return the least CPU seconds of several rounds and what the last gave."""
    took, out = [], None
    for _ in range(rounds):
        began = time.process_time()
        out = work()
        took.append(time.process_time() - began)
    return min(took), out


def main() -> None:
    """Read, measure, write."""
    with np.load(sys.argv[1]) as read:
        cast = Casting(json.loads(str(read["job"])))
        cells = read["cells"].astype(np.float32)
        view, view_s, opaque_s = [], [], []
        for eye in read["eyes"].astype(np.float32):
            start = np.broadcast_to(eye, cells.shape).copy()
            run = cells - start
            s, got = timed(lambda start=start, run=run: cast.all(start, run), 5)
            view.append(got)
            view_s.append(s)
            opaque_s.append(timed(lambda start=start, run=run: cast.opaque(start, run), 5)[0])
        points = read["points"].astype(np.float32)
        a, b = np.triu_indices(len(points), 1)
        pairs_s, pairs = timed(lambda: cast.all(points[a].copy(), points[b] - points[a]), 9)
    np.savez(
        sys.argv[2],
        view=np.stack(view),
        view_s=np.mean(view_s),
        opaque_s=np.mean(opaque_s),
        pairs=pairs,
        pairs_s=pairs_s,
    )


if __name__ == "__main__":
    main()
