"""The shadows of one moment as outlines on the ground, for the sheet and for a scrub through a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.light.sky import Sky
from quincunx.scene import Scene
from quincunx.scene.parts import DOME, ELLIPSOID, STANDING, Parts, kept_parts
from quincunx.shapes import united
from quincunx.site.ground import Ground

Floats = NDArray[np.float64]

RIM = 48
"""Corners given to the shadow of a round thing."""
ROUNDS = 6
"""How often the place where a ray meets the ground is corrected for the ground's height there."""


@dataclass(frozen=True, slots=True)
class Shadow:
    """The shadow of one solid on the ground: whose, its outline [m] and the share of the sun it keeps off."""

    owner: str
    part: str
    shape: Polygon | MultiPolygon
    share: float


def shadows(scene: Scene, when: datetime, sky: Sky | None = None) -> tuple[Shadow, ...]:
    """Return the shadows of a scene's solids at a moment (aware), within the ground it knows; none without sun.

    Ordered as the scene's solids.  Each outline is the hull of where the rays past a part's corners meet the ground.
    """
    over = sky or Sky.of(scene)
    sun = over.direction(when)
    if not over.seen(sun)[0]:
        return ()
    parts = kept_parts(scene.solids, scene.ground)
    month = np.array([when.astimezone(over.clock()).month], np.int64)
    through = parts.through(sun, month)[:, 0]
    pieces: dict[int, list[BaseGeometry]] = {}
    for p in range(len(parts)):
        pieces.setdefault(int(parts.solid[p]), []).append(_outline(parts, p, sun[0], scene.ground))
    share = {int(n): 1.0 - float(t) for n, t in zip(parts.solid, through, strict=True)}
    found = [(n, shapely.intersection(united(shapes), scene.world)) for n, shapes in sorted(pieces.items())]
    return tuple(
        Shadow(parts.solids[n].owner, parts.solids[n].part, shape, share[n])
        for n, shape in found
        if isinstance(shape, (Polygon, MultiPolygon)) and shape.area > 1e-6 and share[n] > 1e-3
    )


def _outline(parts: Parts, p: int, sun: Floats, ground: Ground) -> BaseGeometry:
    ring = parts.corners[parts.first[p] : parts.first[p + 1]]
    if parts.kind[p] in (ELLIPSOID, DOME):
        ring = _rim(parts.crown[p], sun, dome=bool(parts.kind[p] == DOME))
    at = _fall(ring, sun, ground)
    if parts.kind[p] == STANDING:
        at[: len(ring) // 2] = ring[: len(ring) // 2, :2]
    return shapely.convex_hull(shapely.multipoints(at))


def _rim(crown: Floats, sun: Floats, *, dome: bool) -> Floats:
    """Return the points (n, 3) past which the sun just shines, and the rim of the flat side of a dome."""
    radii = crown[3:]
    d = sun / radii
    d /= np.linalg.norm(d)
    side = np.cross(d, [0.0, 0.0, 1.0]) if abs(d[2]) < 0.999 else np.array([1.0, 0.0, 0.0])
    side /= np.linalg.norm(side)
    a = np.arange(RIM) * 2 * np.pi / RIM
    circle = np.cos(a)[:, None] * side + np.sin(a)[:, None] * np.cross(side, d)
    if dome:
        flat = np.column_stack([np.cos(a), np.sin(a), np.zeros(RIM)])
        circle = np.vstack([circle[circle[:, 2] >= 0], flat])
    return np.asarray(crown[:3] + circle * radii)


def _fall(points: Floats, sun: Floats, ground: Ground) -> Floats:
    """Return where rays from the sun past points meet the ground [m]; points below it stay where they are."""
    xy = points[:, :2].copy()
    for _ in range(ROUNDS):
        drop = np.maximum(points[:, 2] - ground.height(xy[:, 0], xy[:, 1]), 0.0)
        xy = points[:, :2] - (drop / sun[2])[:, None] * sun[:2]
    return xy
