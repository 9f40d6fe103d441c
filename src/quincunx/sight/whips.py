"""Young plants in a row, drawn one by one: a stem to its height and leaves on it, where the row is no wall yet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from quincunx.scene import Scene
from quincunx.scene.bodies import Bodies, entries
from quincunx.scene.moment import StandingPlant
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, Solid

if TYPE_CHECKING:
    from quincunx.sight.outlook import Camera

Floats = NDArray[np.float64]

YOUNG_M = 1.5
"""Plants of a row no taller than this are drawn one by one while one sees through the row [m] (our own choice)."""
THIN = 0.5
"""A row that stops less than this share of a view is seen through (our own choice)."""
LEAVES = 5
"""Leaves on each (our own choice: they only shape the drawing)."""
LEAF, LONGEST_M = 0.26, 0.2
"""A leaf is drawn as long as this share of its plant's height, and no longer than this [m] (our own choice)."""
STEPS = 6
"""A stem is looked at in so many pieces, from its tip down, for what hides it."""
MOST = 240
"""No more plants of one row than this are drawn, the nearest first."""
NEAR_M, FAR_M = 0.5, 40.0
"""Nearer or farther than this no plant is drawn by itself [m] (our own choice)."""


BARE = 0.75
"""What stops no more than this share of what it stops in full leaf is bare (our own choice)."""


def in_leaf(solid: Solid, month: int) -> bool:
    """Return whether what grows is in leaf in a month: it then stops about as much of a view as it ever does."""
    return solid.opacity[month - 1] > BARE * max(solid.opacity)


def young_plants(scene: Scene) -> dict[str, tuple[StandingPlant, ...]]:
    """Return what stands in rows and is young, by owner."""
    out: dict[str, tuple[StandingPlant, ...]] = {}
    for plant in scene.plants:
        if plant.spacing_m > 0 and plant.at and 0 < plant.height_m[1] <= YOUNG_M:
            out[plant.owner] = (*out.get(plant.owner, ()), plant)
    thin = {s.owner for s in scene.solids if s.grown and s.opacity[scene.on.month - 1] < THIN}
    return {owner: found for owner, found in out.items() if owner in thin}


def whips(
    scene: Scene, young: Mapping[str, Sequence[StandingPlant]], camera: Camera, bodies: Bodies, hiding: Sequence[int]
) -> list[Figure]:
    """Return the young plants that are in the picture and not hidden: a firm stem, drawn thicker than it is, and its leaves.

    In winter those that drop them have none.
    """
    out: list[Figure] = []
    leafy = {s.owner for s in scene.solids if s.grown and in_leaf(s, scene.on.month)}
    wide, high = camera.half
    hide = np.array(hiding, np.int64)
    for owner in sorted(young):
        for plant in young[owner]:
            at = np.array(plant.at, np.float64).reshape(-1, 2)
            depth = camera.depth(at)
            at = at[(depth > NEAR_M) & (depth < FAR_M)]
            at = at[np.argsort(camera.depth(at), kind="stable")][:MOST]
            if not len(at):
                continue
            foot = np.column_stack([at, np.asarray(scene.ground.height(at[:, 0], at[:, 1]), np.float64)])
            tip = foot + np.array([0.0, 0.0, plant.height_m[1]])
            ends = camera.seen_at(foot), camera.seen_at(tip)
            inside = (np.abs(ends[0][:, 0]) < wide) & (ends[1][:, 1] > -high) & (ends[0][:, 1] < high)
            down = seen_down_to(camera, foot, tip, bodies, hide)
            for i in np.flatnonzero(inside & (down < 1.0))[::-1].tolist():
                low = _between(ends[0][i], ends[1][i], float(down[i]), -high)
                top = (float(ends[1][i, 0]), min(float(ends[1][i, 1]), high))
                leaf = min(LEAF * plant.height_m[1], LONGEST_M) / float(camera.depth(at[i : i + 1])[0])
                out.append(PathFigure((low, top), "grown", owner, weight="normal"))
                out += _leaves(owner, low, top, leaf) if owner in leafy else _buds(owner, low, top, leaf)
    return out


def seen_down_to(
    camera: Camera, foot: Floats, tip: Floats, bodies: Bodies, hide: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Return how far down each stem is seen, as a share of its height (1: nothing of it): what hides one stands before it."""
    down = np.ones(len(foot))
    open_ = np.ones(len(foot), bool)
    for share in np.arange(STEPS)[::-1] / STEPS:
        at = foot + (tip - foot) * (share + 0.5 / STEPS)
        open_ &= ~_hidden(camera, at, bodies, hide)
        down[open_] = share
    return down


def _between(foot: Floats, tip: Floats, share: float, lowest: float) -> XY:
    x, y = (foot + (tip - foot) * share).tolist()
    return (x, max(y, lowest))


def _hidden(camera: Camera, points: Floats, bodies: Bodies, hide: NDArray[np.int64]) -> NDArray[np.bool_]:
    if not len(hide):
        return np.zeros(len(points), bool)
    start = np.broadcast_to(np.array([*camera.at, camera.z_m]), points.shape)
    return np.asarray((entries(bodies, start, points, hide)[:, hide] < 1.0).any(axis=1))


def _buds(owner: str, foot: XY, tip: XY, leaf: float) -> Iterator[Figure]:
    """Yield short twigs where leaves come."""
    for k in range(1, LEAVES):
        share, side = 1.0 - 0.17 * k, 1.0 if k % 2 else -1.0
        x, y = foot[0] + (tip[0] - foot[0]) * share, foot[1] + (tip[1] - foot[1]) * share
        yield PathFigure(((x, y), (x + side * 0.3 * leaf, y + 0.3 * leaf)), "grown", owner, weight="fine")


def _leaves(owner: str, foot: XY, tip: XY, leaf: float) -> Iterator[Figure]:
    for k in range(LEAVES):
        share = 1.0 - 0.17 * k
        x, y = foot[0] + (tip[0] - foot[0]) * share, foot[1] + (tip[1] - foot[1]) * share
        side = 1.0 if k % 2 else -1.0
        if k == 0:
            ring = (
                (x, y - 0.2 * leaf),
                (x - 0.22 * leaf, y + 0.3 * leaf),
                (x, y + 0.8 * leaf),
                (x + 0.22 * leaf, y + 0.3 * leaf),
            )
        else:
            ring = (
                (x, y),
                (x + side * 0.35 * leaf, y + 0.38 * leaf),
                (x + side * 0.95 * leaf, y + 0.5 * leaf),
                (x + side * 0.6 * leaf, y + 0.08 * leaf),
            )
        yield AreaFigure((ring,), "grown", owner, weight="fine")
