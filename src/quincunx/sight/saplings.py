"""Young trees that stand alone: a stem to their height and first branches to their spread, where there is no crown yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from quincunx.scene import Scene
from quincunx.scene.bodies import Bodies
from quincunx.shapes import XY, AreaFigure, Crown, Figure, PathFigure, Solid
from quincunx.sight.whips import in_leaf, seen_down_to

if TYPE_CHECKING:
    from quincunx.sight.outlook import Camera

Floats = NDArray[np.float64]

YOUNG_YEARS = 4.0
"""A tree is drawn by its branches while it has grown for no more years than this since it was planted (our own choice)."""
YOUNG_M, WIDE_M = 4.5, 1.8
"""Nor is a tree taller or wider than this young [m] (our own choice)."""
FIRST, A_YEAR, MOST = 4, 2, 10
"""Branches it is drawn with when planted, more in each year, and at most (our own choice: they only shape the drawing)."""
UP = 0.8
"""A branch rises by so many times its own reach (our own choice)."""
LEAF_M = 0.09
"""Length of the leaves at the tips, drawn as a hint [m] (our own choice)."""
NEAR_M, FAR_M = 0.5, 60.0
"""Nearer or farther than this no tree is drawn so [m] (our own choice)."""


@dataclass(frozen=True)
class Sapling:
    """A young tree: whose, where [m], its crown, how high and wide it is, where its branches begin [m], its age and leaves."""

    owner: str
    at: XY
    crown: Solid
    height_m: float
    spread_m: float
    clear_m: float
    years: float
    leafy: bool


def saplings(scene: Scene) -> dict[str, Sapling]:
    """Return the young trees that stand alone, by owner: what has a crown over a clear stem, and was planted lately."""
    crowns = {s.owner: s for s in scene.solids if s.grown and isinstance(s.form, Crown)}
    stems = {s.owner for s in scene.solids if s.grown and not isinstance(s.form, Crown)}
    out: dict[str, Sapling] = {}
    for plant in scene.plants:
        crown = crowns.get(plant.owner)
        if crown is None or plant.owner not in stems or len(plant.at) != 1 or plant.spacing_m > 0:
            continue
        high, wide = plant.height_m[1], plant.spread_m[1]
        if plant.grown_years[1] > YOUNG_YEARS or high > YOUNG_M or wide > WIDE_M or high <= 0:
            continue
        ground = scene.ground_z_m(*plant.at[0])
        clear = min(max(crown.base.above_ground_m(ground), 0.0), 0.8 * high)
        leafy = in_leaf(crown, scene.on.month)
        out[plant.owner] = Sapling(plant.owner, plant.at[0], crown, high, wide, clear, plant.grown_years[1], leafy)
    return out


def grown_by_then(
    scene: Scene, young: Sequence[Sapling], camera: Camera, bodies: Bodies, hiding: Sequence[int]
) -> list[Figure]:
    """Return the young trees as they are seen, the farthest first: stem to its height, branches to its spread, leaves if any."""
    out: list[Figure] = []
    wide, high = camera.half
    parts = bodies.parts
    for one in sorted(young, key=lambda s: (-float(camera.depth(np.array([s.at]))[0]), s.owner)):
        depth = float(camera.depth(np.array([one.at]))[0])
        if not NEAR_M < depth < FAR_M:
            continue
        foot = np.array([[*one.at, scene.ground_z_m(*one.at)]])
        tip = foot + np.array([0.0, 0.0, one.height_m])
        (x, low), (_, top) = (camera.seen_at(p)[0].tolist() for p in (foot, tip))
        if abs(x) > wide or top < -high or low > high:
            continue
        hide = np.array([p for p in hiding if parts.solids[parts.solid[p]].owner != one.owner], np.int64)
        down = float(seen_down_to(camera, foot, tip, bodies, hide)[0])
        if down < 1.0:
            out += [f for f in _tree(one, (x, low), 1.0 / depth, down) if _inside(f, wide, high)]
    return out


def _tree(one: Sapling, foot: XY, scale: float, down: float) -> Iterator[Figure]:
    """Yield a young tree with its foot in the picture, so large [1/m], down to a share of its height."""
    (x, low), size = foot, one.height_m * scale
    yield PathFigure(((x, low + down * size), (x, low + size)), "grown", one.owner, weight="normal")
    if one.leafy:
        yield _leaf(one.owner, (x, low + size), LEAF_M * scale, 0.0)
    for rise, reach in branches(one):
        if rise < down * one.height_m:
            continue
        start = (x, low + rise * scale)
        end = (x + reach * scale, low + min(rise + UP * abs(reach), one.height_m) * scale)
        yield PathFigure((start, end), "grown", one.owner, weight="thin")
        if one.leafy:
            side = 1.0 if reach > 0 else -1.0
            yield _leaf(one.owner, end, LEAF_M * scale, side)
            middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
            yield _leaf(one.owner, middle, LEAF_M * scale, side)


def branches(one: Sapling) -> list[tuple[float, float]]:
    """Return each branch: how high it leaves the stem and how far it reaches, to the right or (negative) the left [m].

    The widest is as wide as the tree, and low; those above are shorter, and none reaches over its tip.
    """
    count = min(FIRST + int(A_YEAR * one.years), MOST)
    span = one.height_m - one.clear_m
    out = []
    for k in range(count):
        share = k / count
        rise = one.clear_m + 0.85 * span * share
        reach = one.spread_m / 2 * (1.0 - 0.75 * share)
        out.append((rise, reach if k % 2 else -reach))
    return out


def _leaf(owner: str, at: XY, long: float, side: float) -> AreaFigure:
    """Return a leaf at a point, pointing aside, or up for a side of 0."""
    x, y = at
    along, over = (side * long, 0.45 * long) if side else (0.0, long)
    out = (-over * 0.3, along * 0.3)
    middle = (x + along / 2, y + over / 2)
    ring = (
        (x, y), (middle[0] + out[0], middle[1] + out[1]), (x + along, y + over), (middle[0] - out[0], middle[1] - out[1]),
    )  # fmt: skip
    return AreaFigure((ring,), "grown", owner, weight="fine")


def _inside(figure: Figure, wide: float, high: float) -> bool:
    points = (
        figure.points if isinstance(figure, PathFigure) else figure.rings[0] if isinstance(figure, AreaFigure) else ()
    )
    return all(abs(x) <= wide and abs(y) <= high for x, y in points)
