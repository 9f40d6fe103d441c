"""Outlines cut into convex pieces, on ground that is a plane under each to within a few centimetres."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from quincunx.site.ground import Ground

Floats = NDArray[np.float64]

NEAR_M = 0.01
"""Outlines of many corners (round ones) are drawn with fewer, nowhere further off than this [m]."""
MANY = 16
FLAT_M = 0.03
"""Ground further than this from one plane has what stands on it cut in two there [m]."""
SHORT_M = 1.0
"""Pieces shorter than this are left whole whatever the ground does [m]."""


@lru_cache(maxsize=8192)
def convex_pieces(shape: Polygon) -> tuple[Floats, ...]:
    """Return the convex pieces of an outline, each its corners (n, 2) anticlockwise without a last one twice [m]."""
    if len(shape.exterior.coords) > MANY + 1 or shape.interiors:
        shape = shape.simplify(NEAR_M)
    if not shape.interiors and shape.convex_hull.area - shape.area < 1e-7:
        return (corners(shape.convex_hull),)
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(shapely.make_valid(shape)))
    return tuple(_merged([corners(t) for t in triangles if t.area > 1e-9]))


def corners(shape: Polygon) -> Floats:
    """Return the corners of a convex outline, anticlockwise, none of them in a straight line with its neighbours."""
    ring = shapely.get_coordinates(shapely.orient_polygons(shape))[:-1]
    after = _next(ring) - ring
    before = np.concatenate((after[-1:], after[:-1]))
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    kept: Floats = ring[turn > 1e-12]
    return kept if len(kept) >= 3 else np.asarray(ring, np.float64)


def _merged(pieces: list[Floats]) -> list[Floats]:
    """Return neighbouring pieces joined as long as what they make is convex."""
    at = 0
    ends = [_ends(ring) for ring in pieces]
    while at < len(pieces):
        for other in range(at + 1, len(pieces)):
            whole = _joined(pieces[at], pieces[other]) if len(ends[at] & ends[other]) > 1 else None
            if whole is not None:
                pieces[at], ends[at] = whole, _ends(whole)
                del pieces[other], ends[other]
                break
        else:
            at += 1
    return pieces


def _ends(ring: Floats) -> set[tuple[float, float]]:
    """Return the corners of a piece, for finding its neighbours: those of one outline share theirs to the last bit."""
    return {(x, y) for x, y in ring.tolist()}


def _joined(one: Floats, other: Floats) -> Floats | None:
    """Return two pieces that share a side as one, if that is convex."""
    hull = shapely.convex_hull(shapely.multipoints(np.vstack([one, other])))
    areas = _area(one) + _area(other)
    return corners(hull) if hull.area - areas < 1e-7 else None


def _area(ring: Floats) -> float:
    x, y = ring.T
    then_x, then_y = _next(ring).T
    return float(0.5 * np.abs(x @ then_y - y @ then_x))


def _next(ring: Floats) -> Floats:
    """Return the corner after each (``np.roll`` by hand: it is asked thousands of times for a garden)."""
    return np.concatenate((ring[1:], ring[:1]))


def on_planes(ground: Ground, shapes: Sequence[tuple[int, Polygon, bool]]) -> list[tuple[int, Floats, Floats]]:
    """Return the convex pieces of numbered outlines, each with the plane (east, north, at 0) under it [m].

    Those that follow the ground (third: True) are cut where it bends.  What was found is kept for the next time.
    """
    if is_plane(ground):
        plane = _plane_of(ground)
        return [(n, ring, plane) for n, shape, _ in shapes for ring in convex_pieces(shape)]
    key = ground.key()
    missing = {(key, shape, follows): None for _, shape, follows in shapes if (key, shape, follows) not in _KEPT}
    _KEPT.update(_cut(ground, list(missing)))
    found = [(n, ring, plane) for n, shape, follows in shapes for ring, plane in _KEPT[key, shape, follows]]
    while len(_KEPT) > _MOST:
        _KEPT.popitem(last=False)
    return found


Key = tuple[bytes, Polygon, bool]
_KEPT: OrderedDict[Key, list[tuple[Floats, Floats]]] = OrderedDict()
_MOST = 4096


def _cut(ground: Ground, keys: list[Key]) -> dict[Key, list[tuple[Floats, Floats]]]:
    """Return the pieces of each outline and the planes under them, all heights of a round looked up at once."""
    done: dict[Key, list[tuple[Floats, Floats]]] = {key: [] for key in keys}
    pieces = [(key, ring) for key in keys for ring in convex_pieces(key[1])]
    while pieces:
        points = [_around(ring) for _, ring in pieces]
        z = np.split(_heights(ground, np.vstack(points)), np.cumsum([len(p) for p in points])[:-1])
        rest: list[tuple[Key, Floats]] = []
        for (key, ring), xy, up in zip(pieces, points, z, strict=True):
            plane, off = _fit(xy, up)
            halves = _halves(ring) if off > FLAT_M and key[2] else []
            if not halves:
                done[key].append((ring, plane))
            rest += [(key, half) for half in halves]
        pieces = rest
    return done


def is_plane(ground: Ground) -> bool:
    """Return whether all levels of the ground lie in one plane, to a millimetre."""
    levels = ground.vertices
    return len(levels) < 2 or bool(
        np.abs(levels @ (*[-t for t in ground.trend], 1.0) - _plane_of(ground)[2]).max() < 1e-3
    )


def _plane_of(ground: Ground) -> Floats:
    east, north = ground.trend
    levels = ground.vertices
    middle = levels.mean(axis=0) if len(levels) else np.zeros(3)
    return np.array([east, north, middle[2] - east * middle[0] - north * middle[1]])


def _heights(ground: Ground, points: Floats) -> Floats:
    return np.asarray(ground.height(points[:, 0], points[:, 1]), np.float64)


def _around(ring: Floats) -> Floats:
    sides = [ring + (_next(ring) - ring) * share for share in (0.0, 0.25, 0.5, 0.75)]
    return np.vstack([*sides, ring.mean(axis=0)])


def _fit(xy: Floats, z: Floats) -> tuple[Floats, float]:
    """Return the plane (east, north, at 0) nearest to points, level across what is too narrow, and how far it is off."""
    middle = xy.mean(axis=0)
    u, s, vt = np.linalg.svd(xy - middle, full_matrices=False)
    keep = s > 0.02 * s[0]
    east, north = vt[keep].T @ ((u.T @ (z - z.mean()))[keep] / s[keep])
    plane = np.array([east, north, z.mean() - east * middle[0] - north * middle[1]])
    return plane, float(np.abs(xy @ plane[:2] + plane[2] - z).max())


def _halves(ring: Floats) -> list[Floats]:
    """Return a convex piece cut across the middle of its length; nothing when it is short."""
    middle = ring.mean(axis=0)
    along = np.linalg.svd(ring - middle, full_matrices=False)[2][0]
    s = (ring - middle) @ along
    if s.max() - s.min() < SHORT_M:
        return []
    cut = (s.max() + s.min()) / 2
    return [_clip(ring, s - cut), _clip(ring, cut - s)]


def _clip(ring: Floats, over: Floats) -> Floats:
    """Return the part of a convex ring where ``over`` is not negative."""
    out: list[Floats] = []
    for a, b, u, v in zip(ring, _next(ring), over, _next(over), strict=True):
        if u >= 0:
            out.append(a)
        if u * v < 0:
            out.append(a + (b - a) * (u / (u - v)))
    return np.array(out)
