"""What stands in a scene, as convex parts in arrays: what sun, sight and rain are cast through."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from quincunx.scene._kept import Kept
from quincunx.scene.convex import on_planes
from quincunx.scene.slats import slats_light
from quincunx.shapes import Crown, Height, Monthly, Slab, Slats, Solid
from quincunx.site.ground import Ground

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HULL, ELLIPSOID, STANDING, OVERHEAD, DOME, CONE = range(6)
"""A prism with a bent side; ellipsoid; prism from the ground up; prism in the air; upper half of an ellipsoid; cone."""
ROUND = 0.95
"""Crowns whose outline fills this share of a circle of the same girth are round; others stand as prisms."""
RING = 20
"""Corners given to the round foot of a cone."""
CLEAR = 0.999
"""What lets more than this through casts no shadow."""
OVERLAP = 0.2
"""Porous things of one owner are one where they share this much of the smaller's outline."""


@dataclass(frozen=True, eq=False)
class Parts:
    """Convex parts, ``kind`` by ``kind``, in arrays.

    ``corners[first[p] : first[p + 1]]`` (x, y, z) are those of part p: of a prism the bottom ring, then the top one.
    ``crown`` holds middle and radii of the round ones; ``tilt`` the rise east and north of a prism's top and bottom.
    ``group`` numbers porous parts that count once together (-1: by itself).  ``solid`` is the place of its solid in
    ``solids`` and ``light`` (p, 12) what it lets through; ``slatted`` names those ruled by their slats.
    """

    solids: tuple[Solid, ...]
    solid: Ints
    kind: Ints
    first: Ints
    corners: Floats
    crown: Floats
    tilt: Floats
    group: Ints
    light: Floats
    slatted: tuple[tuple[int, Slats], ...]

    def __len__(self) -> int:
        return len(self.kind)

    def through(self, towards: Floats, month: Ints) -> NDArray[np.float32]:
        """Return the share each part lets through of each sun (p, n)."""
        out = np.ascontiguousarray(self.light[:, month - 1], np.float32)
        for part, slats in self.slatted:
            out[part] = slats_light(slats, towards)
        return out


@dataclass(slots=True)
class _Part:
    solid: int
    kind: int
    corners: Floats
    crown: tuple[float, ...] = (0.0,) * 6
    tilt: tuple[float, ...] = (0.0,) * 4


def sunlight(solid: Solid) -> Monthly:
    """Return the share of the sun a solid lets through, by month."""
    return solid.transmittance


def parts_of(solids: Sequence[Solid], ground: Ground, lets: Callable[[Solid], Monthly] = sunlight) -> Parts:
    """Return the parts of ``solids`` on ``ground``, in their order; what lets all through is left out.

    ``lets`` gives the share of what is cast that each solid lets through, by month.
    """
    let = {id(s): lets(s) for s in solids}
    shading = tuple(s for s in solids if isinstance(s.form, Slats) or min(let[id(s)]) <= CLEAR)
    crowns = {n: _round_m(s) for n, s in enumerate(shading) if isinstance(s.form, Crown)}
    round_ones = {n: found for n, found in crowns.items() if found is not None}
    shapes = [(n, s.footprint, _follows(s)) for n, s in enumerate(shading) if n not in round_ones]
    made = [_prism(n, shading[n], ring, plane, ground) for n, ring, plane in on_planes(ground, shapes)]
    made += [_crown(n, shading[n], *found, ground) for n, found in round_ones.items()]
    shares = [let[id(s)] for s in shading]
    return _arrays(shading, shares, sorted((part for part in made if part is not None), key=lambda part: part.solid))


def kept_parts(solids: Sequence[Solid], ground: Ground) -> Parts:
    """Return :func:`parts_of` as the sun sees them, kept for whoever asks next about the same things."""
    return _PARTS.get((ground, *solids), None, lambda: parts_of(solids, ground))


def _arrays(solids: tuple[Solid, ...], shares: list[Monthly], made: list[_Part]) -> Parts:
    home = np.array([part.solid for part in made], np.int64)
    light = np.array(shares, np.float64).reshape(-1, 12)
    slatted = tuple((p, form) for p, n in enumerate(home) if isinstance(form := solids[n].form, Slats))
    return Parts(
        solids,
        home,
        np.array([part.kind for part in made], np.int64),
        np.concatenate([[0], np.cumsum([len(part.corners) for part in made])]).astype(np.int64),
        np.vstack([np.empty((0, 3)), *(part.corners for part in made)]),
        np.array([part.crown for part in made], np.float64).reshape(-1, 6),
        np.array([part.tilt for part in made], np.float64).reshape(-1, 4),
        _groups(solids, shares, home),
        light[home],
        slatted,
    )


def _follows(solid: Solid) -> bool:
    """Return whether its top, or its underside in the air, goes up and down with the ground."""
    if isinstance(solid.form, Slab):
        return False
    return solid.top.datum == "ground" or (solid.base.datum == "ground" and solid.base.value_m > 0.01)


def _round_m(solid: Solid) -> tuple[float, float, float] | None:
    """Return the middle and radius of a round outline, equal in area [m]; None if it isn't round."""
    shape = solid.footprint
    if 4 * np.pi * shape.area < ROUND * shape.length**2:
        return None
    middle = shape.centroid
    return middle.x, middle.y, float(np.sqrt(shape.area / np.pi))


def _z(height: Height, x: float, y: float, ground: Ground) -> float:
    return height.value_m if height.datum == "site" else height.z_m(float(ground.height(x, y)))


def _crown(n: int, solid: Solid, x: float, y: float, radius: float, ground: Ground) -> _Part | None:
    base, top = _z(solid.base, x, y, ground), _z(solid.top, x, y, ground)
    if top - base < 1e-6 or not isinstance(solid.form, Crown):
        return None
    if solid.form.outline == "cone":
        a = np.arange(RING) * 2 * np.pi / RING
        r = radius * np.sqrt(2 * np.pi / (RING * np.sin(2 * np.pi / RING)))
        foot = np.column_stack([x + r * np.cos(a), y + r * np.sin(a), np.full(RING, base)])
        return _Part(n, CONE, np.vstack([foot, [[x, y, top]]]))
    if solid.form.outline == "dome":
        return _Part(n, DOME, np.empty((0, 3)), (x, y, base, radius, radius, top - base))
    return _Part(n, ELLIPSOID, np.empty((0, 3)), (x, y, (base + top) / 2, radius, radius, (top - base) / 2))


def _prism(n: int, solid: Solid, ring: Floats, ground_plane: Floats, ground: Ground) -> _Part | None:
    under = ring @ ground_plane[:2] + ground_plane[2]
    bottom, bottom_tilt = _side(solid.base, ring, ground_plane)
    top, top_tilt = _side(solid.top, ring, ground_plane)
    level = True
    if isinstance(solid.form, Slab):
        plane = solid.form.plane
        fall = np.radians(plane.fall_deg)
        top_tilt = (-plane.grade * np.sin(fall), -plane.grade * np.cos(fall))
        top = _z(plane.at, plane.x_m, plane.y_m, ground) + (ring - (plane.x_m, plane.y_m)) @ top_tilt
        sheet, low = top - solid.form.thickness_m, bottom
        bottom, bottom_tilt = (low, bottom_tilt) if (low >= sheet).all() else (sheet, top_tilt)
        level = bool((low >= sheet).all() or (low <= sheet + 1e-6).all())
        bottom = np.maximum(bottom, low)
    if (top - bottom).max() < 1e-6:
        return None
    level = level and bool((top >= bottom).all())
    top = np.maximum(top, bottom)
    stands = (bottom <= under + 0.01).mean() > 0.5
    kind = STANDING if stands else OVERHEAD if level else HULL
    top_tilt = top_tilt if level else (np.nan, np.nan)  # its outline is a hull from every side
    solid_corners = np.vstack([np.column_stack([ring, bottom]), np.column_stack([ring, top])])
    return _Part(n, kind, solid_corners, tilt=(*top_tilt, *bottom_tilt))


def _side(height: Height, ring: Floats, plane: Floats) -> tuple[Floats, tuple[float, float]]:
    if height.datum == "site":
        return np.full(len(ring), height.value_m), (0.0, 0.0)
    return ring @ plane[:2] + plane[2] + height.value_m, (float(plane[0]), float(plane[1]))


def _groups(solids: tuple[Solid, ...], shares: list[Monthly], home: Ints) -> Ints:
    """Return the group of each part: pieces of one porous solid, and solids of one owner that fill the same place."""
    first = list(range(len(solids)))
    owners: dict[tuple[object, ...], list[int]] = {}
    for n, s in enumerate(solids):
        if max(shares[n]) > 0 and not isinstance(s.form, Slats):
            owners.setdefault((s.owner, shares[n]), []).append(n)
    for same in owners.values():
        for a, b in _near(solids, same):
            if first[a] != first[b] and _one_place(solids[a], solids[b]):
                old, new = first[b], first[a]
                first = [new if f == old else f for f in first]
    leader = np.array(first, np.int64)[home] if len(home) else home
    porous = np.array([max(shares[n]) > 0 or isinstance(s.form, Slats) for n, s in enumerate(solids)], bool)
    several = np.isin(leader, [f for f, c in zip(*np.unique(leader, return_counts=True), strict=True) if c > 1])
    return np.where(several & porous[home], leader, -1) if len(home) else home


def _near(solids: tuple[Solid, ...], same: list[int]) -> list[tuple[int, int]]:
    """Return the pairs of solids whose outlines meet."""
    if len(same) < 2:
        return []
    shapes = [solids[n].footprint for n in same]
    one, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    return sorted((same[i], same[j]) for i, j in zip(one.tolist(), other.tolist(), strict=True) if i < j)


def _one_place(a: Solid, b: Solid) -> bool:
    if a.base.datum == b.base.datum == a.top.datum == b.top.datum and (
        a.base.value_m >= b.top.value_m or b.base.value_m >= a.top.value_m
    ):
        return False
    shared = shapely.area(shapely.intersection(a.footprint, b.footprint))
    return bool(shared > OVERLAP * min(a.footprint.area, b.footprint.area))


_PARTS: Kept[Parts] = Kept(32)
