"""The heights along a walk: what stands beside it, how high, and whether they are all alike."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from quincunx.scene import Scene
from quincunx.shapes import Solid

Floats = NDArray[np.float64]

BESIDE_M = 3.0
"""What stands no farther than this from the walk's line belongs to its skyline [m]."""
STEP_M = 0.5
ALIKE, ALIKE_M = 0.25, 0.25
"""Heights that differ by less than this share, or than this [m], are one height (common practice, no source)."""
LEAST_M = 0.3
"""Lower things make no skyline [m]."""


@dataclass(frozen=True, eq=False)
class Skyline:
    """Heights over the ground of the walk every ``STEP_M`` along it, on its left and right [m]; 0 where nothing stands."""

    along_m: Floats
    left_m: Floats
    right_m: Floats

    @property
    def heights(self) -> tuple[float, ...]:
        """Return the different heights there are, lowest first: each clearly over the one before [m]."""
        found = np.sort(np.concatenate([self.left_m, self.right_m]))
        out: list[float] = []
        for high in found[found > LEAST_M].tolist():
            if not out or high > max(out[-1] * (1 + ALIKE), out[-1] + ALIKE_M):
                out.append(high)
        return tuple(out)

    @property
    def flat(self) -> bool:
        """Return whether all that stands beside it is of one height."""
        return len(self.heights) <= 1

    @property
    def bare(self) -> float:
        """Return the share of the walk, both sides, along which nothing stands."""
        return float((np.concatenate([self.left_m, self.right_m]) <= LEAST_M).mean())


def skyline(scene: Scene, line: LineString, beside_m: float = BESIDE_M) -> Skyline:
    """Return the heights along a walk's line [m]."""
    along = np.arange(0.0, line.length + 1e-9, STEP_M)
    points = shapely.line_interpolate_point(line, along)
    at = shapely.get_coordinates(points)
    ahead = shapely.get_coordinates(shapely.line_interpolate_point(line, np.minimum(along + 0.1, line.length)))
    behind = shapely.get_coordinates(shapely.line_interpolate_point(line, np.maximum(along - 0.1, 0.0)))
    way = ahead - behind
    way /= np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-12)[:, None]
    ground = scene.ground.height(at[:, 0], at[:, 1])
    side = np.column_stack([-way[:, 1], way[:, 0]]) * beside_m
    return Skyline(along, _tops(scene, at, side, ground), _tops(scene, at, -side, ground))


def _tops(scene: Scene, at: Floats, side: Floats, ground: Floats) -> Floats:
    """Return how high the highest thing on a line aside from each point stands over the ground there [m]."""
    rays = shapely.linestrings(np.stack([at, at + side], axis=1))
    solids: list[Solid] = list(scene.solids)
    out = np.zeros(len(at))
    if not solids:
        return out
    shapes = np.array([s.footprint for s in solids], dtype=object)
    ray, solid = shapely.STRtree(shapes).query(rays, predicate="intersects")
    middle = shapely.get_coordinates(shapely.centroid(shapes))
    foot = scene.ground.height(middle[:, 0], middle[:, 1])
    top = np.array([s.top.z_m(float(z)) for s, z in zip(solids, foot, strict=True)])
    np.maximum.at(out, ray, top[solid] - ground[ray])
    return np.maximum(out, 0.0)
