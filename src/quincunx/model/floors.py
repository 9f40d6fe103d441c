"""The ground as it lies and what lies on it, as triangles: each floor where it shows, steps step by step."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.model.triangles import Mesh
from quincunx.scene import Scene
from quincunx.shapes import Height, Plane, Risers, Surface, united
from quincunx.site.ground import Ground

Floats = NDArray[np.float64]

BEYOND_M = 30.0
"""How far the ground is drawn outside the boundary [m]."""
SIMPLE_M = 0.01
"""Outlines of floors are drawn no further off than this [m]."""
UP_M = 0.006
"""A floor that lies flush with the ground is drawn this much over it [m]."""
THIN_M2 = 1e-6
HAIR_M = 1e-6
EDGE_M = 0.02
"""A floor no further over or under the ground than this has no edge to be seen [m]."""
BANK = "earth"
"""What the sides of water below the ground are made of."""


@dataclass(frozen=True, eq=False)
class Floor:
    """A piece of ground: whose it is, what it is made of, its triangles."""

    owner: str
    material: str
    mesh: Mesh


def floors_of(scene: Scene) -> Iterator[Floor]:
    """Yield every floor where it shows, then the open ground inside the boundary and the ground around it.

    The owner of the open ground is ``""``, its material ``ground``; that of the ground around ``around``.
    """
    ground, covered = scene.ground, list[BaseGeometry]()
    for surface in sorted(scene.surfaces, key=lambda s: -s.layer):
        seen = shapely.difference(surface.area, united(covered)) if covered else surface.area
        covered.append(surface.area)
        meshes = [m for piece in polygons(seen) for m in _floor(surface, piece.simplify(SIMPLE_M), ground)]
        if meshes:
            yield Floor(surface.owner, surface.material, Mesh.joined(meshes))
        if meshes and (banks := _banks(surface, seen, ground)):
            yield Floor(surface.owner, BANK, Mesh.joined(banks))
    # What is dug, or lies in a hollow, takes the ground's place; what lies on the ground leaves it as it is.
    low = [s.area for s in scene.surfaces if isinstance(s.lie, Height) and (s.water_depth_m > 0 or s.lie.value_m < 0)]
    bare = shapely.difference(scene.boundary, united(low)) if low else scene.boundary
    yield Floor("", "ground", _draped(bare, ground, 0.0))
    around = shapely.difference(scene.boundary.buffer(BEYOND_M, quad_segs=4), scene.boundary)
    yield Floor("", "around", _draped(around, ground, 0.0))


def polygons(shape: BaseGeometry) -> list[Polygon]:
    """Return the polygons of a shape, without lines, points and slivers."""
    return [p for p in shapely.get_parts(shape).tolist() if isinstance(p, Polygon) and p.area > THIN_M2]


def surface_z(surface: Surface, ground: Ground, at: Floats) -> Floats:
    """Return how high a floor lies at points (n, 2) [m above the datum]."""
    lie = surface.lie
    under = np.asarray(ground.height(at[:, 0], at[:, 1]), np.float64)
    if isinstance(lie, Height):
        return under + lie.value_m if lie.datum == "ground" else np.full(len(at), lie.value_m)
    if isinstance(lie, Plane):
        return _plane_z(lie, ground, at)
    rise, _, _ = _treads(lie, surface.area, ground, at)
    return rise


def _plane_z(plane: Plane, ground: Ground, at: Floats) -> Floats:
    turn = math.radians(plane.fall_deg)
    down = (at - (plane.x_m, plane.y_m)) @ (math.sin(turn), math.cos(turn))
    return np.asarray(plane.at.z_m(float(ground.height(plane.x_m, plane.y_m))) - plane.grade * down, np.float64)


def _treads(lie: Risers, area: Polygon, ground: Ground, at: Floats) -> tuple[Floats, Floats, float]:
    """Return the height of the tread at points, how far up the flight they lie, and the height of its foot [m]."""
    turn = math.radians(lie.up_deg)
    way = np.array([math.sin(turn), math.cos(turn)])
    ring = shapely.get_coordinates(area)
    start = float((ring @ way).min())
    low = ring[np.abs(ring @ way - start) < 0.02].mean(axis=0)
    foot = lie.foot.z_m(float(ground.height(*(low - way * 0.05))))
    along = at @ way - start
    step = np.clip(np.floor(along / lie.going_m + 1e-6) + 1, 1, lie.count)
    return foot + lie.rise_m * step, along, foot


def _floor(surface: Surface, piece: Polygon, ground: Ground) -> list[Mesh]:
    lie = surface.lie
    if isinstance(lie, Risers):
        return _steps(surface, piece, lie, ground)
    if isinstance(lie, Height) and lie.datum == "ground":
        over = lie.value_m if abs(lie.value_m) > UP_M else UP_M
        out = [_draped(piece, ground, over)]
        return (
            out
            if abs(over) < EDGE_M or _is_low_water(surface)
            else [*out, _skirt(piece, ground, lambda at: _ground_z(ground, at) + over)]
        )
    return [
        _flat(piece, lambda at: surface_z(surface, ground, at)),
        _skirt(piece, ground, lambda at: surface_z(surface, ground, at)),
    ]


def _is_low_water(surface: Surface) -> bool:
    """Return whether a surface is water that lies below its banks."""
    lie = surface.lie
    return surface.water_depth_m > 0 and isinstance(lie, Height) and lie.datum == "ground" and lie.value_m <= -EDGE_M


def _banks(surface: Surface, seen: BaseGeometry, ground: Ground) -> list[Mesh]:
    """Return the banks down to water that lies below them; none of other surfaces."""
    if not _is_low_water(surface):
        return []
    return [_skirt(p.simplify(SIMPLE_M), ground, lambda at: surface_z(surface, ground, at)) for p in polygons(seen)]


def _ground_z(ground: Ground, at: Floats) -> Floats:
    return np.asarray(ground.height(at[:, 0], at[:, 1]), np.float64)


def _steps(surface: Surface, piece: Polygon, lie: Risers, ground: Ground) -> list[Mesh]:
    """Return a flight step by step: each tread with its riser."""
    turn = math.radians(lie.up_deg)
    way, side = np.array([math.sin(turn), math.cos(turn)]), np.array([math.cos(turn), -math.sin(turn)])
    ring = shapely.get_coordinates(surface.area)
    start, wide = float((ring @ way).min()), float(np.abs(ring @ side).max()) + 1.0
    out = []
    for k in range(lie.count):
        ends = (start + k * lie.going_m, start + (k + 1) * lie.going_m if k < lie.count - 1 else start + 1e3)
        box = Polygon(
            [way * a + side * b for a, b in ((ends[0], -wide), (ends[0], wide), (ends[1], wide), (ends[1], -wide))]
        )
        for tread in polygons(shapely.intersection(piece, box)):
            middle = shapely.get_coordinates(tread.representative_point())
            z = float(surface_z(surface, ground, middle)[0])
            level = lambda at, z=z: np.full(len(at), z)  # noqa: E731 - the height of this tread
            out += [_flat(tread, level), _skirt(tread, ground, level, least_m=lie.rise_m)]
    return out


def _flat(piece: Polygon, height: Callable[[Floats], Floats]) -> Mesh:
    """Return a piece as triangles at the heights that ``height`` gives its corners."""
    faces = shapely.get_parts(shapely.constrained_delaunay_triangles(piece))
    return _soup([shapely.get_coordinates(f)[:3] for f in faces], height)


def _soup(rings: list[Floats], height: Callable[[Floats], Floats]) -> Mesh:
    if not rings:
        return Mesh.joined([])
    at = np.vstack(rings)
    a, b, c = at[0::3], at[1::3], at[2::3]
    turn = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    faces = np.arange(len(at)).reshape(-1, 3)
    faces[turn < 0] = faces[turn < 0][:, ::-1]
    return _welded(np.column_stack([at, height(at)]), faces)


def _welded(corners: Floats, faces: NDArray[np.int64]) -> Mesh:
    """Return a mesh in which equal corners are one."""
    keys = np.round(corners, 6)
    _, first, which = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    joined = which.reshape(-1)[faces]
    real = (joined[:, 0] != joined[:, 1]) & (joined[:, 1] != joined[:, 2]) & (joined[:, 2] != joined[:, 0])
    return Mesh(corners[first], joined[real])


def _skirt(piece: Polygon, ground: Ground, height: Callable[[Floats], Floats], least_m: float = 0.0) -> Mesh:
    """Return the upright edges of a piece that lies over the ground, or of the hollow it lies in."""
    meshes = []
    for ring in (piece.exterior, *piece.interiors):
        at = shapely.get_coordinates(shapely.segmentize(ring, 1.0))
        top, lies = height(at), _ground_z(ground, at)
        hollow = bool((top < lies - HAIR_M).all())
        low, top = np.minimum(lies, top - least_m), lies if hollow else top
        n = len(at)
        corners = np.vstack([np.column_stack([at, low]), np.column_stack([at, top])])
        i = np.arange(n - 1)
        faces = np.vstack([np.column_stack([i, i + 1, i + 1 + n]), np.column_stack([i, i + 1 + n, i + n])])
        if ring.is_ccw == hollow:  # a hollow is seen from within
            faces = faces[:, ::-1]
        meshes.append(Mesh(corners, faces))
    return Mesh.joined(meshes)


def _draped(shape: BaseGeometry, ground: Ground, over_m: float) -> Mesh:
    """Return a shape laid on the ground, ``over_m`` above it: its triangles bend where the ground does [m]."""
    pieces = polygons(shape)
    vertices, triangles = _facets(ground, shapely.box(*united(pieces).bounds)) if pieces else _NONE
    if not len(triangles):
        return Mesh.joined([_flat(p, lambda at: _ground_z(ground, at) + over_m) for p in pieces])
    facets = shapely.polygons(vertices[triangles][:, :, :2])
    which, face = shapely.STRtree(facets).query(pieces, predicate="intersects")
    out = []
    cut = shapely.intersection(np.array(pieces, dtype=object)[which], facets[face])
    for part, f in zip(cut, face.tolist(), strict=True):
        corners = vertices[triangles[f]]
        normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
        if abs(normal[2]) < 1e-9:
            continue
        rise = -normal[:2] / normal[2]
        z0 = corners[0, 2] - rise @ corners[0, :2] + over_m
        plane = lambda at, rise=rise, z0=z0: at @ rise + z0  # noqa: E731 - the plane of this facet
        out += [_flat(p, plane) for p in polygons(part)]
    return _joined(out)


def _joined(meshes: Iterable[Mesh]) -> Mesh:
    whole = Mesh.joined(list(meshes))
    return _welded(whole.corners, whole.triangles)


_NONE = (np.empty((0, 3)), np.empty((0, 3), np.int64))


@lru_cache(maxsize=32)
def _facets(ground: Ground, area: Polygon) -> tuple[Floats, NDArray[np.int64]]:
    return ground.triangles_over(area) if len(ground.vertices) > 1 else _NONE
