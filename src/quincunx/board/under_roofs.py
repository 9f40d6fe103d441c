"""What lies inside buildings: no ground that anybody looks at or that rain could reach."""

from __future__ import annotations

from shapely import Polygon

from quincunx.scene import Scene
from quincunx.shapes import Prism

LEAST_M2, LEAST_M = 3.0, 1.5
"""A body over more ground than this, and higher, is a building [m2, m]."""


def indoors(scene: Scene) -> tuple[Polygon, ...]:
    """Return the ground inside buildings [m]."""
    out = []
    for solid in scene.solids:
        at = solid.footprint.centroid
        high = solid.top.above_ground_m(scene.ground_z_m(at.x, at.y))
        deep = solid.footprint.buffer(-0.5).area  # walls and fences are thin, however long
        if isinstance(solid.form, Prism) and not solid.grown and deep > LEAST_M2 and high > LEAST_M:
            out.append(solid.footprint)
    return tuple(out)
