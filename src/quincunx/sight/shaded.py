"""Where a picture ahead of an eye lies in shade: on the ground, on faces turned from the sun, and where shadows fall on them.

The sun and the shadows on the ground are given; this module knows neither place nor hour.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import GeometryCollection, MultiPoint, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene.parts import CONE, DOME, ELLIPSOID, Parts
from quincunx.shapes import XY

Floats = NDArray[np.float64]
Pictured = Callable[[Floats], Floats]
"""Takes points ahead of the eye (n, 3) to where they are in the picture (n, 2)."""

DENSE = 0.6
"""What keeps off at least this share of the sun casts a whole shadow; what keeps off less, down to :data:`FAINT`, half one."""
FAINT = 0.2
GRAZES = 0.03
"""A face that the sun meets at no more than this (the cosine) is in shade."""
LEAST, GRID = 2e-5, 1e-6
LARGE, WIDE = 8e-4, 3e-3
"""What takes less than this share of the picture has no shaded side, and a face that takes less no shadow falling on it."""
TURNS, BANDS = 24, 10
NEAR_M = 0.3
AWAY_M = 0.02
"""What stands no farther before a face than this is part of it [m]."""


@dataclass(frozen=True)
class Sun:
    """Where the sun stands, as a unit vector to it (x, y of the plan, z up), and the shadows on the ground with their shares."""

    towards: tuple[float, float, float]
    shadows: tuple[tuple[BaseGeometry, float], ...]


@dataclass(frozen=True)
class Shade:
    """A piece of the picture in shade: its outline, then its holes; ``whole`` if all the sun is kept off, else half of it."""

    rings: tuple[tuple[XY, ...], ...]
    whole: bool


@dataclass(frozen=True)
class Picture:
    """What is shaded: the parts, what is seen of each (by number), the eye and how it sees, how dark each part's shadow is."""

    parts: Parts
    seen: Mapping[int, BaseGeometry]
    eye: Floats
    ahead: Floats
    pictured: Pictured
    dark: Floats
    area: float


def shades_of(of: Picture, sun: Sun, ground: Sequence[tuple[BaseGeometry, float]]) -> tuple[Shade, ...]:
    """Return the shaded pieces of a picture; ``ground`` are the shadows on the ground as they are seen, with their shares."""
    whole = [shape for shape, share in ground if share >= DENSE]
    half = [shape for shape, share in ground if FAINT <= share < DENSE]
    towards = np.array(sun.towards)
    balls = _balls(of.parts)
    for p, shape in of.seen.items():
        if shape.area < LARGE * of.area:
            continue
        left = areas_of(shape)
        if of.parts.kind[p] in (ELLIPSOID, DOME):
            whole.append(shared_by(_dark_side(of, p, towards), left))
            continue
        for face, lit in _faces(of, p, towards):
            flat = shared_by(_flat(of, face), left)
            if flat.area < LEAST:
                continue
            if not lit:
                whole.append(flat)
            elif flat.area >= WIDE * of.area:
                for cast, dense in _fallen(of, p, face, towards, balls):
                    (whole if dense else half).append(shared_by(_flat(of, cast), left))
    dark, pale = areas_of(*whole), areas_of(*half)
    pale = shapely.difference(pale, dark, grid_size=GRID)
    return (*_pieces(dark, whole=True), *_pieces(pale, whole=False))


def areas_of(*shapes: BaseGeometry) -> BaseGeometry:
    """Return the areas of shapes as one, on a fine grid; lines and points in which some only touch are left out.

    What is made valid, or is left of two shapes that touch, may hold lines beside areas, and such a mixture can't be laid
    over another.
    """
    flat = [part for shape in shapes for part in _polygons(shape)]
    return shapely.union_all(flat, grid_size=GRID) if flat else Polygon()


def _polygons(shape: BaseGeometry) -> Iterator[BaseGeometry]:
    for part in shapely.get_parts(shape).tolist():
        if isinstance(part, Polygon):
            if part.area > 0:
                yield part if part.is_valid else shapely.buffer(part, 0.0)
        elif isinstance(part, MultiPolygon | GeometryCollection):
            yield from _polygons(part)


def shared_by(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return what two shapes share, as an area; both may hold lines beside areas."""
    return areas_of(shapely.intersection(areas_of(one), areas_of(other), grid_size=GRID))


def _pieces(shape: BaseGeometry, *, whole: bool) -> Iterator[Shade]:
    for part in shapely.get_parts(shape).tolist():
        if isinstance(part, Polygon) and part.area > LEAST:
            rings = (part.exterior, *part.interiors)
            yield Shade(tuple(tuple((float(x), float(y)) for x, y in r.coords[:-1]) for r in rings), whole)


def _faces(of: Picture, p: int, towards: Floats) -> Iterator[tuple[Floats, bool]]:
    """Yield the faces of a part with flat sides that are turned to the eye, and whether the sun meets them."""
    ring = of.parts.corners[of.parts.first[p] : of.parts.first[p + 1]]
    middle = ring.mean(axis=0)
    for face in _sides(ring, cone=bool(of.parts.kind[p] == CONE)):
        n = _normal(face, middle)
        if n is not None and (of.eye - face[0]) @ n > 1e-9:
            yield face, bool(n @ towards > GRAZES)


def _sides(ring: Floats, *, cone: bool) -> Iterator[Floats]:
    n = len(ring) - 1 if cone else len(ring) // 2
    for i in range(n):
        j = (i + 1) % n
        yield ring[[i, j, n]] if cone else ring[[i, j, j + n, i + n]]
    if not cone:
        yield ring[n:]
        yield ring[:n]


def _normal(face: Floats, middle: Floats) -> Floats | None:
    """Return the unit vector out of a face, away from the middle of its body; None where the face has no area."""
    turned = np.cross(face, np.roll(face, -1, axis=0)).sum(axis=0)
    size = float(np.linalg.norm(turned))
    if size < 1e-9:
        return None
    out = np.asarray(turned / size)
    return out if (face.mean(axis=0) - middle) @ out >= 0 else -out


def _dark_side(of: Picture, p: int, towards: Floats) -> BaseGeometry:
    """Return what of a round part is seen to lie in its own shade.

    A plane through its middle parts what is lit from what is not.  Seen from the lit side all of the lit half shows, seen
    from the other all of the dark one; each half is convex, so that its outline is the hull of its points.
    """
    middle, radii = of.parts.crown[p, :3], of.parts.crown[p, 3:]
    dome = bool(of.parts.kind[p] == DOME)
    unit = _on_a_ball(dome=dome)
    rim = _rim(towards / radii, dome=dome)
    from_lit = bool(((of.eye - middle) / radii**2) @ towards >= 0)
    lit = unit @ (towards / radii) >= 0
    half = np.vstack([unit[lit if from_lit else ~lit], rim])
    whole, part = (_hull(of, middle + u * radii) for u in (np.vstack([unit, rim]), half))
    return shapely.difference(whole, part, grid_size=GRID) if from_lit else part


def _on_a_ball(*, dome: bool) -> Floats:
    up, turn = np.meshgrid(
        np.linspace(0.0 if dome else -np.pi / 2, np.pi / 2, BANDS + 1), np.arange(TURNS) * 2 * np.pi / TURNS
    )
    u, t = up.ravel(), turn.ravel()
    return np.column_stack([np.cos(u) * np.cos(t), np.cos(u) * np.sin(t), np.sin(u)])


def _rim(across: Floats, *, dome: bool) -> Floats:
    """Return the circle on a ball that the sun just grazes, ``across`` it."""
    w = across / np.linalg.norm(across)
    side: Floats = np.cross(w, [0.0, 0.0, 1.0] if abs(w[2]) < 0.99 else [1.0, 0.0, 0.0])
    side /= np.linalg.norm(side)
    a = np.arange(2 * TURNS) * np.pi / TURNS
    circle: Floats = np.cos(a)[:, None] * side + np.sin(a)[:, None] * np.cross(w, side)
    return circle[circle[:, 2] >= 0] if dome else circle


def _hull(of: Picture, points: Floats) -> BaseGeometry:
    ahead = points[(points[:, :2] - of.eye[:2]) @ of.ahead > NEAR_M]
    hull = MultiPoint(of.pictured(ahead)).convex_hull if len(ahead) > 2 else Polygon()
    return hull if isinstance(hull, Polygon) else Polygon()


def _flat(of: Picture, face: Floats) -> BaseGeometry:
    """Return a flat face (n, 3) as it is in the picture, as far as it lies ahead of the eye."""
    ahead = _cut(face, (face[:, :2] - of.eye[:2]) @ of.ahead - NEAR_M)
    return Polygon() if len(ahead) < 3 else shapely.make_valid(Polygon(of.pictured(ahead)))


def _cut(ring: Floats, over: Floats) -> Floats:
    """Return a flat ring as far as ``over`` is above nothing."""
    out: list[Floats] = []
    for i in range(len(ring)):
        a, b = float(over[i - 1]), float(over[i])
        if (a > 0) != (b > 0):
            out.append(ring[i - 1] + (ring[i] - ring[i - 1]) * (a / (a - b)))
        if b > 0:
            out.append(ring[i])
    return np.array(out).reshape(-1, 3)


def _balls(parts: Parts) -> Floats:
    """Return the middle and reach of each part (p, 4) [m]."""
    out = np.zeros((len(parts), 4))
    for p in range(len(parts)):
        if parts.kind[p] in (ELLIPSOID, DOME):
            out[p] = [*parts.crown[p, :3], parts.crown[p, 3:].max()]
            continue
        ring = parts.corners[parts.first[p] : parts.first[p + 1]]
        middle = ring.mean(axis=0)
        out[p] = [*middle, np.linalg.norm(ring - middle, axis=1).max()]
    return out


def _fallen(of: Picture, p: int, face: Floats, towards: Floats, balls: Floats) -> Iterator[tuple[Floats, bool]]:
    """Yield what of a face that the sun meets lies in the shadow of other parts, and whether in a whole one."""
    ring = of.parts.corners[of.parts.first[p] : of.parts.first[p + 1]]
    n = _normal(face, ring.mean(axis=0))
    if n is None:
        return
    slope = float(n @ towards)
    east = face[1] - face[0]
    east = east / np.linalg.norm(east)
    north = np.cross(n, east)
    outline = Polygon(np.column_stack([(face - face[0]) @ east, (face - face[0]) @ north]))
    if not outline.is_valid:
        return
    over = (balls[:, :3] - face[0]) @ n
    fallen = balls[:, :3] - (over / slope)[:, None] * towards
    reach = np.linalg.norm(face - face.mean(axis=0), axis=1).max() + balls[:, 3] / slope
    near = (over + balls[:, 3] > AWAY_M) & (np.linalg.norm(fallen - face.mean(axis=0), axis=1) <= reach)
    for q in np.flatnonzero(near & (of.dark >= FAINT)).tolist():
        points = np.empty((0, 3)) if q == p else _before(of.parts, q, face[0], n)
        if len(points) < 3:
            continue
        on = points - (((points - face[0]) @ n) / slope)[:, None] * towards - face[0]
        cast = shapely.intersection(MultiPoint(np.column_stack([on @ east, on @ north])).convex_hull, outline)
        for part in shapely.get_parts(cast).tolist():
            if isinstance(part, Polygon) and part.area > 1e-4:
                xy = shapely.get_coordinates(part.exterior)[:-1]
                yield face[0] + xy[:, :1] * east + xy[:, 1:] * north, bool(of.dark[q] >= DENSE)


def _before(parts: Parts, q: int, start: Floats, n: Floats) -> Floats:
    """Return the points of a convex part that stand before a plane, with those where its edges meet the plane."""
    if parts.kind[q] in (ELLIPSOID, DOME):
        points = parts.crown[q, :3] + _on_a_ball(dome=bool(parts.kind[q] == DOME)) * parts.crown[q, 3:]
        return points[(points - start) @ n > AWAY_M]
    ring = parts.corners[parts.first[q] : parts.first[q + 1]]
    pieces = [_cut(side, (side - start) @ n - AWAY_M) for side in _sides(ring, cone=bool(parts.kind[q] == CONE))]
    return np.vstack(pieces) if pieces else np.empty((0, 3))
