"""How far a jumper gets over what is low enough: a leap has a length, and nobody lands on glass.

A leap that could clear a height H over nothing, and a length L over the flat, clears what is h high and d deep while
d/L + h/H stays below 1.  For a body thrown at one speed that is exact (u^2 = g (2h + d), so L = 2H; worked out in
Physics Stack Exchange, answer 387812, with both walls h high); a running animal's L is longer than 2H, and between
its two bounds the same straight line is taken (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import Slab, Slats, Solid
from quincunx.walk._kept import Kept
from quincunx.walk.heights import Floats, Standing, above_ground, ground_m, heights_m

UNCOVERED = 0.01
"""Where more of a wall than this share sticks out from under its roof, it is got over there."""


@dataclass(frozen=True, slots=True)
class Lid:
    """The roof a thing has over its own walls.

    Its ``shape`` in plan [m], how high its top stands above the ground, and how much room there is between a wall and
    it where there is most [m].
    """

    shape: BaseGeometry
    top_m: float
    clear_m: float


def leap_at_m(leap_m: float, over_m: float, top_m: float) -> float:
    """Return how deep a thing ``top_m`` high is leapt [m], by a leap of ``leap_m`` over the flat and ``over_m`` high."""
    return leap_m * max(1.0 - max(top_m, 0.0) / over_m, 0.0) if over_m > 0 else 0.0


def bears(solid: Solid) -> bool:
    """Return whether a jumper lands on top of a thing and goes on: not on a roof, on glass or on a net.

    What is planted is pushed into instead, so it counts as bearing.
    """
    return solid.grown or (solid.upright and solid.gap_m <= 0)


def deeper_than(shape: BaseGeometry, depth_m: float) -> BaseGeometry:
    """Return the part of a shape [m] in which a circle ``depth_m`` across finds room: no shorter leap crosses it."""
    inner = shapely.buffer(shape, -depth_m / 2, join_style="mitre")
    if inner.is_empty:
        return Polygon()
    return shapely.intersection(shapely.buffer(inner, depth_m / 2), shape)


def lids(above: Standing) -> dict[int, Lid]:
    """Return the lid of each solid that stands under a roof of its own, by its number in the scene."""
    return _LIDS.get((above,), None, lambda: _lids(above.scene))


def _lids(scene: Scene) -> dict[int, Lid]:
    roofs: dict[str, list[Solid]] = {}
    for solid in scene.solids:
        if isinstance(solid.form, (Slab, Slats)):
            roofs.setdefault(solid.owner, []).append(solid)
    found = {}
    for number, solid in enumerate(scene.solids):
        if solid.owner in roofs and solid.upright:
            lid = _lid_of(scene, solid, tuple(roofs[solid.owner]))
            if lid is not None:
                found[number] = lid
    return found


def _lid_of(scene: Scene, solid: Solid, roofs: tuple[Solid, ...]) -> Lid | None:
    return _LID.get((solid, scene.ground, *roofs), None, lambda: _lid(scene, solid, roofs))


def _lid(scene: Scene, solid: Solid, roofs: tuple[Solid, ...]) -> Lid | None:
    """Return the lid the roofs of its owner make over a solid; None where it sticks out from under them."""
    wall = solid.footprint
    parts = [p for p in shapely.get_parts(shapely.union_all([r.footprint for r in roofs])) if p.intersects(wall)]
    shape = shapely.union_all(np.array(parts, dtype=object))
    if shapely.difference(wall, shape).area > UNCOVERED * wall.area:
        return None
    over = [r for r in roofs if r.footprint.intersects(shape)]
    top = max(_top_m(scene, r) for r in over)
    points = shapely.get_coordinates(shapely.segmentize(wall, 1.0))
    ground = ground_m(scene, points)
    under = np.min([_underside(r, points, ground) for r in over], axis=0)
    clear = under - above_ground(solid, points, ground)[1]
    clear = clear[np.isfinite(clear)]
    return Lid(shape, top, max(float(clear.max()), 0.0)) if len(clear) else None


def _top_m(scene: Scene, roof: Solid) -> float:
    return _TOP.get((roof, scene.ground), None, lambda: float(heights_m(scene, roof, roof.footprint)[1].max()))


def _underside(roof: Solid, points: Floats, ground: Floats) -> Floats:
    """Return how high above the ``ground`` a roof's underside lies at points [m]; infinite beside it."""
    covered = shapely.dwithin(roof.footprint, shapely.points(points), 1e-6)
    return np.where(covered, above_ground(roof, points, ground)[0], np.inf)


_LIDS: Kept[dict[int, Lid]] = Kept(64)
_TOP: Kept[float] = Kept(512)
_LID: Kept[Lid | None] = Kept(1024)
