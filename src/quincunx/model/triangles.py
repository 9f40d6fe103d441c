"""What stands as triangles: walls, hedges, roofs, slats, rails with the gaps between them, crowns by their form."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon

from quincunx.scene.convex import convex_pieces
from quincunx.scene.parts import CONE, DOME, ELLIPSOID, STANDING, Parts, parts_of
from quincunx.shapes import Monthly, Prism, Slats, Solid
from quincunx.shapes.solids import NO_LIGHT
from quincunx.site.ground import Ground

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

AROUND, ALOFT = 14, 8
"""Sides of a crown round its stem, and bands from its foot to its top."""
ROUGH = 0.12
"""A crown is drawn this share uneven, inwards only: nowhere larger than it is."""
FOOT_M = 0.1
"""What stands on the ground is drawn this much into it, so that no light shows under it on a slope [m]."""
RAILS_MOST = 600
"""With more uprights than this a fence is drawn whole."""
LEAST_STOPS = 0.3
"""What stops less of a view than this (a net, a mesh) is drawn as a thin sheet, not as bars."""


@dataclass(frozen=True, eq=False)
class Mesh:
    """Corners (n, 3) x, y, z [m] and triangles (m, 3), anticlockwise seen from outside; ``smooth`` for what is round."""

    corners: Floats
    triangles: Ints
    smooth: bool = False

    @staticmethod
    def joined(meshes: Sequence[Mesh]) -> Mesh:
        """Return several as one."""
        if not meshes:
            return Mesh(np.empty((0, 3)), np.empty((0, 3), np.int64))
        starts = np.cumsum([0, *(len(m.corners) for m in meshes[:-1])])
        faces = [m.triangles + s for m, s in zip(meshes, starts, strict=True)]
        return Mesh(np.vstack([m.corners for m in meshes]), np.vstack(faces), all(m.smooth for m in meshes))

    @property
    def volume_m3(self) -> float:
        """Return the volume inside, if it is closed [m3]."""
        a, b, c = (self.corners[self.triangles[:, k]] for k in range(3))
        return float((a * np.cross(b, c)).sum() / 6)


def _all(_solid: Solid) -> Monthly:
    return NO_LIGHT


def meshes_of(solids: Sequence[Solid], ground: Ground) -> Iterator[tuple[Solid, Mesh]]:
    """Yield each solid with its triangles, on the ground as it lies."""
    pieces = [(whole, piece) for whole in solids for piece in _drawn(whole)]
    parts = parts_of([piece for _, piece in pieces], ground, _all)
    home = {id(piece): whole for whole, piece in pieces}
    found: dict[int, list[Mesh]] = {}
    for p in range(len(parts)):
        found.setdefault(id(home[id(parts.solids[parts.solid[p]])]), []).append(_part(parts, p))
    for whole in solids:
        if id(whole) in found:
            yield whole, Mesh.joined(found[id(whole)])


def _part(parts: Parts, p: int) -> Mesh:
    kind, ring = parts.kind[p], parts.corners[parts.first[p] : parts.first[p + 1]]
    if kind in (ELLIPSOID, DOME):
        return crown(parts.crown[p], dome=bool(kind == DOME))
    if kind == CONE:
        return _cone(ring)
    return prism(ring[: len(ring) // 2], ring[len(ring) // 2 :], sunk=bool(kind == STANDING))


def prism(bottom: Floats, top: Floats, *, sunk: bool = False) -> Mesh:
    """Return what stands between two rings (n, 3) of the same corners, anticlockwise from above [m]."""
    n = len(bottom)
    low = bottom - (0.0, 0.0, FOOT_M if sunk else 0.0)
    i, j = np.arange(n), (np.arange(n) + 1) % n
    sides = np.vstack([np.column_stack([i, j, j + n]), np.column_stack([i, j + n, i + n])])
    k = np.arange(1, n - 1)
    lid = np.column_stack([np.zeros_like(k), k, k + 1]) + n
    floor = np.column_stack([np.zeros_like(k), k + 1, k])
    return Mesh(np.vstack([low, top]), np.vstack([sides, lid, floor]).astype(np.int64))


def _cone(ring: Floats) -> Mesh:
    n = len(ring) - 1
    i, j = np.arange(n), (np.arange(n) + 1) % n
    k = np.arange(1, n - 1)
    faces = [np.column_stack([i, j, np.full(n, n)]), np.column_stack([np.zeros_like(k), k + 1, k])]
    return Mesh(np.asarray(ring), np.vstack(faces).astype(np.int64), smooth=True)


def crown(form: Floats, *, dome: bool = False) -> Mesh:
    """Return an ellipsoid, or its upper half, by its middle and radii (x, y, z, a, b, c) [m], a little uneven inwards."""
    x, y, z, a, b, c = form
    lift = np.linspace(0.0 if dome else -math.pi / 2, math.pi / 2, ALOFT + 1)[(0 if dome else 1) : -1]
    turn = np.arange(AROUND) * 2 * math.pi / AROUND
    up, round_ = (g.ravel() for g in np.meshgrid(lift, turn, indexing="ij"))
    unit = np.column_stack([np.cos(up) * np.cos(round_), np.cos(up) * np.sin(round_), np.sin(up)])
    poles = [[0.0, 0.0, 1.0], [0.0, 0.0, 0.0 if dome else -1.0]]
    k = np.arange(len(unit))
    uneven = 1.0 - ROUGH * (0.5 + 0.5 * np.sin(12.9898 * k + 4.1 * x + 7.3 * y) * np.cos(3.7 * k))
    unit[:, :] *= uneven[:, None]
    corners = np.vstack([unit, poles]) * (a, b, c) + (x, y, z)
    bands, n = len(lift), AROUND
    i = np.arange(n)
    j = (i + 1) % n
    faces = [
        np.column_stack(pair)
        for r in range(bands - 1)
        for pair in ((r * n + i, r * n + j, (r + 1) * n + j), (r * n + i, (r + 1) * n + j, (r + 1) * n + i))
    ]
    top, foot = bands * n, bands * n + 1
    faces += [np.column_stack([(bands - 1) * n + i, (bands - 1) * n + j, np.full(n, top)])]
    faces += [np.column_stack([j, i, np.full(n, foot)])]
    return Mesh(corners, np.vstack(faces).astype(np.int64), smooth=True)


def _drawn(solid: Solid) -> list[Solid]:
    """Return a solid as it is drawn: slats and uprights one by one, all else whole."""
    if isinstance(solid.form, Slats):
        return _slats(solid, solid.form)
    if isinstance(solid.form, Prism) and solid.gap_m > 0 and not solid.grown and min(solid.opacity) > LEAST_STOPS:
        return _rails(solid)
    return [solid]


def _slats(solid: Solid, form: Slats) -> list[Solid]:
    """Return the slats, each as broad as it leans and as deep."""
    lean = math.radians(form.tilt_deg)
    broad = abs(form.depth_m * math.sin(lean)) + abs(form.thickness_m * math.cos(lean))
    deep = max(abs(form.depth_m * math.cos(lean)), form.thickness_m)
    turn = math.radians(form.direction_deg)
    along, across = np.array([math.sin(turn), math.cos(turn)]), np.array([math.cos(turn), -math.sin(turn)])
    base = solid.top if solid.top.datum != solid.base.datum else None
    foot = replace(solid.top, value_m=solid.top.value_m - deep) if base is None else solid.base
    strips = _strips(solid.footprint, along, across, broad, form.gap_m + form.thickness_m)
    out = [replace(solid, footprint=s, base=foot, form=Prism()) for s in strips]
    return out if 0 < len(out) <= RAILS_MOST else [replace(solid, form=Prism())]


def _rails(solid: Solid) -> list[Solid]:
    """Return the uprights of a fence: as wide as its holes and the share of a view it stops say."""
    stops = min(max(solid.opacity), 0.95)
    wide = solid.gap_m * stops / (1 - stops)
    out: list[Solid] = []
    for ring in convex_pieces(solid.footprint):
        piece = Polygon(ring)
        box = shapely.minimum_rotated_rectangle(piece)
        sides = np.diff(shapely.get_coordinates(box), axis=0)
        long = sides[np.hypot(*sides.T).argmax()]
        along = long / np.hypot(*long)
        strips = _strips(piece, np.array([-along[1], along[0]]), along, wide, wide + solid.gap_m)
        out += [replace(solid, footprint=s) for s in strips]
    return out if 0 < len(out) <= RAILS_MOST else [solid]


def _strips(shape: Polygon, along: Floats, across: Floats, wide_m: float, step_m: float) -> list[Polygon]:
    """Return strips of a shape that run ``along``, ``step_m`` from one to the next ``across`` it [m]."""
    at = shapely.get_coordinates(shape)
    far, near = (at @ across).max(), (at @ across).min()
    count = math.floor((far - near - min(wide_m, far - near)) / step_m + 1e-9) + 1
    if count > RAILS_MOST:
        return []
    start = near + (far - near - (count - 1) * step_m) / 2
    ends = np.array([(at @ along).min() - 1.0, (at @ along).max() + 1.0])
    lines = [
        LineString([along * e + across * (start + k * step_m) for e in ends]).buffer(wide_m / 2, cap_style="flat")
        for k in range(count)
    ]
    cut = shapely.get_parts(shapely.intersection(lines, shape))
    return [p for p in cut if isinstance(p, Polygon) and p.area > 1e-6]
