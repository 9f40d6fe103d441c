"""What an eye sees ahead as a line drawing: outlines in perspective, the nearer before the farther, for paper and screen.

A picture plane stands 1 m before the eye; the drawing's x runs to the right and its y up, 0 at the eye's own height.  The
figures are as those of a plan, so that they go on paper with no other means.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPoint, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.scene.bodies import Bodies, bodies_of, entries
from quincunx.scene.parts import CONE, DOME, ELLIPSOID, Parts, parts_of
from quincunx.shapes import (
    XY,
    AreaFigure,
    Figure,
    Height,
    Monthly,
    PathFigure,
    Pattern,
    Role,
    Slab,
    Solid,
    TextFigure,
    united,
)
from quincunx.shapes.solids import NO_LIGHT
from quincunx.sight.saplings import grown_by_then, saplings
from quincunx.sight.seen import leaf_of
from quincunx.sight.shaded import GRID, Picture, Shade, Sun, areas_of, shades_of, shared_by
from quincunx.sight.whips import whips, young_plants

Floats = NDArray[np.float64]

WIDE_DEG = 60.0
"""Width of the view: about that of an ordinary camera or telephone held flat (common practice, no source)."""
SHAPE = 1.5
"""Width over height of the picture (our own choice, as are the sizes below, which only shape drawings)."""
NEAR_M, FAR_M = 0.3, 80.0
STEP_M = 0.5
BESIDE = 0.55
"""Names further aside than this share of half the width are written inwards."""
HIDES = 0.5
"""What stops at least this share of a view is drawn whole; what stops less is drawn in dashes, and seen through."""
NAMED = 0.012
"""Things that take at least this share of the picture are named."""
NAMED_YOUNG, LIFT = 0.003, 0.02
"""So are young trees that take at least this share, over their tips by so much of a metre before the eye."""
LEAST = 1e-5
EXACT = 12
"""Decimals of a place in the picture: numbers next to nothing, such as 1e-309, make overlays of outlines wrong."""
ROUND, BANDS = 16, 8


@dataclass(frozen=True)
class Camera:
    """Where an eye is (x, y of the plan and z above the datum [m]), the bearing of the plan it looks along and how wide."""

    at: XY
    z_m: float
    bearing_deg: float
    wide_deg: float = WIDE_DEG

    @property
    def half(self) -> tuple[float, float]:
        """Return half the width and height of the picture, 1 m before the eye [m]."""
        wide = math.tan(math.radians(self.wide_deg / 2))
        return wide, wide / SHAPE

    @property
    def ways(self) -> tuple[Floats, Floats]:
        """Return the directions ahead and to the right, in plan."""
        turn = math.radians(self.bearing_deg)
        return np.array([math.sin(turn), math.cos(turn)]), np.array([math.cos(turn), -math.sin(turn)])

    def depth(self, points: Floats) -> Floats:
        """Return how far ahead points (n, 2 or 3) lie [m]."""
        return np.asarray((points[:, :2] - self.at) @ self.ways[0])

    def seen_at(self, points: Floats) -> Floats:
        """Return where points (n, 3) ahead of the eye are seen in the picture (n, 2), to :data:`EXACT` decimals."""
        ahead, right = self.ways
        off = points[:, :2] - self.at
        depth = off @ ahead
        seen = np.column_stack([(off @ right) / depth, (points[:, 2] - self.z_m) / depth])
        return np.asarray(seen.round(EXACT))


@dataclass(frozen=True)
class Outlook:
    """A drawing of what is seen: its figures, half its width and height, and the share of the picture of each owner.

    ``shares`` are of what stands and hides; ``besides`` of floors, and of what one sees through.
    """

    figures: tuple[Figure, ...]
    half: tuple[float, float]
    shares: tuple[tuple[str, float], ...]
    besides: tuple[tuple[str, float], ...] = ()
    shades: tuple[Shade, ...] = ()
    """What of the picture lies in shade, if the sun was told."""
    stems: tuple[Figure, ...] = ()
    """Young plants of a row one by one: they are drawn last, as what stands before them hides them already."""

    def owners(self, least: float) -> tuple[str, ...]:
        """Return the ids of what takes at least that share of the picture, the largest first."""
        both = sorted((*self.shares, *self.besides), key=lambda one: (-one[1], one[0]))
        return tuple(dict.fromkeys(owner for owner, share in both if owner and share >= least))

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Return the picture's edges (left, bottom, right, top)."""
        wide, high = self.half
        return -wide, -high, wide, high


def outlook(scene: Scene, camera: Camera, sun: Sun | None = None) -> Outlook:
    """Return what is seen ahead of a camera on the scene's date; gates stand shut.  With a ``sun`` also what lies in shade.

    Ground that rises is drawn to its own skyline, but hides nothing that stands.  Young plants in rows, through which one
    sees, are drawn one by one, and young trees by their stem and branches.
    """
    wide, high = camera.half
    frame = box(-wide, -high, wide, high)
    month = scene.on.month
    leaves = (leaf for o in scene.openings if (leaf := leaf_of(o)) is not None)
    roles = _roles(scene)
    bodies = bodies_of(parts_of((*scene.solids, *leaves), scene.ground, _all))
    parts = bodies.parts
    seen = _seen(bodies, camera, frame)
    over = _before(bodies, camera, seen)
    trees = saplings(scene)
    heads = {id(one.crown) for one in trees.values()}
    hides = {
        p: (solid := parts.solids[parts.solid[p]]).opacity[month - 1] >= HIDES and id(solid) not in heads for p in seen
    }
    whole: dict[tuple[str, Role, Pattern], list[BaseGeometry]] = {}
    thin: list[tuple[str, Role, BaseGeometry]] = []
    young = young_plants(scene)
    shown: dict[int, BaseGeometry] = {}
    for p, shape in seen.items():
        solid = parts.solids[parts.solid[p]]
        nearer = [seen[q] for q in over[p] if hides[q]]
        left = shapely.difference(shape, united(nearer)) if nearer else shape
        if hides[p]:
            whole.setdefault((solid.owner, _role(solid), _pattern(solid, roles)), []).append(left)
            shown[p] = left
        else:
            thin.append((solid.owner, _role(solid), left))
    covered = united([seen[p] for p in seen if hides[p]])
    figures: list[Figure] = list(_floors(scene, camera, frame, covered, roles))
    besides = [(f.owner, Polygon(f.rings[0], f.rings[1:]).area) for f in figures if isinstance(f, AreaFigure)]
    besides += [(owner, shape.area) for owner, _role_, shape in thin]
    areas: dict[str, float] = {}
    for (owner, role, pattern), shapes in whole.items():
        joined = united(shapes)
        areas[owner] = areas.get(owner, 0.0) + joined.area / frame.area
        figures += _areas(joined, role, owner, pattern=pattern)
    drawn = [one for one in thin if not ((one[0] in young or one[0] in trees) and one[1] == "grown")]
    figures += [f for owner, role, shape in drawn for f in _dashes(shape, role, owner)]
    eye = np.array([*camera.at, camera.z_m])
    hiding = [p for p in seen if hides[p]]
    stems = (
        *grown_by_then(scene, tuple(trees.values()), camera, bodies, hiding),
        *whips(scene, young, camera, bodies, hiding),
    )
    for owner, _, shape in thin:
        if owner in trees:
            figures += _over(scene, owner, shape, frame)
    figures += _names(scene, whole, frame)
    figures.append(
        PathFigure(((-wide, -high), (wide, -high), (wide, high), (-wide, high)), "note", closed=True, weight="thin")
    )
    shades: tuple[Shade, ...] = ()
    if sun is not None:
        dark = np.array([1.0 - parts.solids[s].transmittance[month - 1] for s in parts.solid])
        picture = Picture(parts, shown, eye, camera.ways[0], camera.seen_at, dark, frame.area)
        shades = shades_of(picture, sun, _shadows(scene, camera, frame, covered, sun))
    return Outlook(tuple(figures), camera.half, _largest(areas), _largest(_summed(besides, frame.area)), shades, stems)


def _shadows(
    scene: Scene, camera: Camera, frame: Polygon, covered: BaseGeometry, sun: Sun
) -> list[tuple[BaseGeometry, float]]:
    """Return the shadows on the ground as they are seen, with their shares."""
    wide, high = camera.half
    ground = shared_by(_skyline(scene, camera, 1.05 * wide, high), frame)
    open_ground = areas_of(shapely.difference(ground, areas_of(covered), grid_size=GRID))
    wedge = _wedge(camera)
    out = []
    for shape, share in sun.shadows:
        piece = shapely.intersection(shape, wedge)
        if not piece.is_empty:
            out.append((shared_by(_laid(scene, camera, piece, 0.0), open_ground), share))
    return out


def _summed(areas: Iterable[tuple[str, float]], whole: float) -> dict[str, float]:
    """Return the share of the whole of each owner."""
    found: dict[str, float] = {}
    for owner, area in areas:
        found[owner] = found.get(owner, 0.0) + area / whole
    return found


def _largest(shares: dict[str, float]) -> tuple[tuple[str, float], ...]:
    return tuple(sorted(((o, round(s, 4)) for o, s in shares.items() if s > 1e-4), key=lambda f: (-f[1], f[0])))


def _all(_solid: Solid) -> Monthly:
    return NO_LIGHT


def _roles(scene: Scene) -> dict[str, Role]:
    """Return the role in which each thing is drawn on the plan."""
    out: dict[str, Role] = {}
    for figure in scene.figures:
        if isinstance(figure, AreaFigure):
            out.setdefault(figure.owner, figure.role)
    return out


def _role(solid: Solid) -> Role:
    if solid.grown:
        return "grown"
    if isinstance(solid.form, Slab):
        return "roof"
    return "built"


def _pattern(solid: Solid, roles: dict[str, Role]) -> Pattern:
    """Return how an upright face is drawn: a wall by its courses, what has holes by its boards."""
    if solid.grown:
        return "tufts"
    if isinstance(solid.form, Slab):
        return "hatch"
    if solid.gap_m > 0:
        return "boards"
    return "bricks" if roles.get(solid.owner) == "wall" else "plain"


def _seen(bodies: Bodies, camera: Camera, frame: Polygon) -> dict[int, BaseGeometry]:
    """Return the outline in the picture of each part ahead, whatever stands before it; not of what the eye is inside of."""
    found: dict[int, BaseGeometry] = {}
    eye, parts = Point(camera.at), bodies.parts
    for p in range(len(parts)):
        plan, low, high = _plan(parts, p)
        around = plan.intersects(eye) and low <= camera.z_m <= high
        if around or camera.depth(shapely.get_coordinates(plan)).max() <= NEAR_M:
            continue
        shape = shapely.intersection(_outline(parts, p, camera), frame)
        if shape.area >= LEAST:
            found[p] = shape
    return found


def _before(bodies: Bodies, camera: Camera, seen: dict[int, BaseGeometry]) -> dict[int, list[int]]:
    """Return, for each part, which others stand before it where their outlines meet.

    Of two convex bodies apart from each other one is nearer on every line from the eye that meets both, so that one
    line through the middle of what they share tells it.
    """
    names, shapes = list(seen), list(seen.values())
    out: dict[int, list[int]] = {p: [] for p in names}
    if not names:
        return out
    outlines = np.array(shapes, dtype=object)
    one, other = shapely.STRtree(outlines).query(outlines, predicate="intersects")
    i, j = one[one < other], other[one < other]
    shared = shapely.intersection(outlines[i], outlines[j])
    enough = shapely.area(shared) >= LEAST / 10
    i, j, shared = i[enough], j[enough], shared[enough]
    if not len(i):
        return out
    ahead, right = camera.ways
    middle = shapely.get_coordinates(shapely.point_on_surface(shared))
    run = np.column_stack([ahead + middle[:, :1] * right, middle[:, 1]]) * FAR_M
    start = np.broadcast_to([*camera.at, camera.z_m], run.shape)
    which = np.array(names, np.int64)
    near, far = (_met(bodies, start, run, which[of]) for of in (i, j))
    for p, q, first in zip(which[i].tolist(), which[j].tolist(), (near <= far).tolist(), strict=True):
        out[q if first else p].append(p if first else q)
    return out


def _met(bodies: Bodies, start: Floats, run: Floats, which: NDArray[np.int64]) -> Floats:
    """Return where on its way each line enters the one body it is asked about."""
    out = np.full(len(which), np.inf)
    for p in np.unique(which).tolist():
        own = np.flatnonzero(which == p)
        out[own] = entries(bodies, start[own], start[own] + run[own], np.array([p]))[:, p]
    return out


def _plan(parts: Parts, p: int) -> tuple[BaseGeometry, float, float]:
    if parts.kind[p] in (ELLIPSOID, DOME):
        x, y, z, a, _, c = parts.crown[p].tolist()
        return Point(x, y).buffer(a), z if parts.kind[p] == DOME else z - c, z + c
    ring = parts.corners[parts.first[p] : parts.first[p + 1]]
    return MultiPoint(ring[:, :2]).convex_hull, float(ring[:, 2].min()), float(ring[:, 2].max())


def _outline(parts: Parts, p: int, camera: Camera) -> BaseGeometry:
    """Return the outline in the picture of one convex part: the hull of what of it lies ahead."""
    ring = parts.corners[parts.first[p] : parts.first[p + 1]]
    if parts.kind[p] in (ELLIPSOID, DOME):
        points = _round(parts.crown[p], dome=bool(parts.kind[p] == DOME))
        points = points[camera.depth(points) > NEAR_M]
    else:
        points = _ahead(ring, camera, cone=bool(parts.kind[p] == CONE))
    return Polygon() if len(points) < 3 else MultiPoint(camera.seen_at(points)).convex_hull


def _round(form: Floats, *, dome: bool) -> Floats:
    x, y, z, a, b, c = form
    up, turn = np.meshgrid(
        np.linspace(0 if dome else -np.pi / 2, np.pi / 2, BANDS + 1), np.arange(ROUND) * 2 * np.pi / ROUND
    )
    u, t = up.ravel(), turn.ravel()
    return np.column_stack([x + a * np.cos(u) * np.cos(t), y + b * np.cos(u) * np.sin(t), z + c * np.sin(u)])


def _ahead(ring: Floats, camera: Camera, *, cone: bool) -> Floats:
    """Return the corners ahead, and where its edges meet the plane just before the eye."""
    n = len(ring) - 1 if cone else len(ring) // 2
    i = np.arange(n)
    j = (i + 1) % n
    pairs = [(i, j), (i, np.full(n, n))] if cone else [(i, j), (i + n, j + n), (i, i + n)]
    start, end = np.concatenate([a for a, _ in pairs]), np.concatenate([b for _, b in pairs])
    depth = camera.depth(ring) - NEAR_M
    cut = depth[start] * depth[end] < 0
    s, e = start[cut], end[cut]
    share = depth[s] / (depth[s] - depth[e])
    crossing = ring[s] + (ring[e] - ring[s]) * share[:, None]
    return np.vstack([ring[depth > 0], crossing + np.append(camera.ways[0], 0.0) * 1e-9])


def _floors(
    scene: Scene, camera: Camera, frame: Polygon, covered: BaseGeometry, roles: dict[str, Role]
) -> Iterable[Figure]:
    """Yield the ground to its skyline, and every floor where it is seen."""
    wide, high = camera.half
    reach = 1.05 * wide
    wedge = _wedge(camera)
    shapes: list[tuple[str, Role, BaseGeometry]] = [("", "lawn", _skyline(scene, camera, reach, high))]
    for surface in sorted(scene.surfaces, key=lambda s: s.layer):
        piece = shapely.intersection(surface.area, wedge)
        if piece.is_empty:
            continue
        drop = surface.lie.value_m if isinstance(surface.lie, Height) and surface.lie.datum == "ground" else 0.0
        role: Role = "water" if surface.water_depth_m > 0 else roles.get(surface.owner, "way")
        shapes.append((surface.owner, role, _laid(scene, camera, piece, drop)))
    left = shapely.difference(frame, covered)
    found: list[Figure] = []
    for owner, role, shape in reversed(shapes):
        seen = shapely.intersection(shapely.make_valid(shape), left)
        if seen.area > LEAST:
            found += _areas(seen, role, owner, edge=bool(owner))
            left = shapely.difference(left, seen)
    yield from reversed(found)


def _wedge(camera: Camera) -> Polygon:
    """Return the piece of the plan that is in the picture."""
    ahead, right = camera.ways
    reach = 1.05 * camera.half[0]
    return Polygon(
        [
            tuple(np.asarray(camera.at) + ahead * d + right * d * side)
            for d, side in ((NEAR_M * 2, -reach), (NEAR_M * 2, reach), (FAR_M, reach), (FAR_M, -reach))
        ]
    )


def _laid(scene: Scene, camera: Camera, piece: BaseGeometry, over_m: float) -> BaseGeometry:
    out = []
    for part in shapely.get_parts(shapely.segmentize(piece, STEP_M)).tolist():
        if isinstance(part, Polygon):
            rings = [_ring(scene, camera, r, over_m) for r in (part.exterior, *part.interiors)]
            out.append(shapely.make_valid(Polygon(rings[0], rings[1:])))
    return united(out) if out else Polygon()


def _ring(scene: Scene, camera: Camera, ring: BaseGeometry, over_m: float) -> Floats:
    at = shapely.get_coordinates(ring)
    z = np.asarray(scene.ground.height(at[:, 0], at[:, 1]), np.float64) + over_m
    return camera.seen_at(np.column_stack([at, z]))


def _skyline(scene: Scene, camera: Camera, reach: float, high: float) -> Polygon:
    """Return the ground in the picture: all under its own skyline, as far as is drawn."""
    ahead, right = camera.ways
    sides = np.linspace(-reach, reach, 49)
    depths = np.geomspace(NEAR_M * 2, FAR_M, 60)
    d, s = np.meshgrid(depths, sides)
    at = np.asarray(camera.at) + d.reshape(-1, 1) * ahead + (d * s).reshape(-1, 1) * right
    z = np.asarray(scene.ground.height(at[:, 0], at[:, 1]), np.float64)
    up = ((z - camera.z_m) / d.ravel()).reshape(d.shape).max(axis=1)
    low = -2 * high
    return Polygon(
        [(-reach, low), *zip(sides.tolist(), np.maximum(up, low + 1e-6).tolist(), strict=True), (reach, low)]
    )


def _areas(
    shape: BaseGeometry, role: Role, owner: str, *, edge: bool = True, pattern: Pattern = "plain"
) -> list[Figure]:
    out: list[Figure] = []
    for part in shapely.get_parts(shape).tolist():
        if isinstance(part, Polygon) and part.area > LEAST:
            rings = tuple(
                tuple((float(x), float(y)) for x, y in r.coords[:-1]) for r in (part.exterior, *part.interiors)
            )
            out.append(AreaFigure(rings, role, owner, pattern, edge, "thin"))
    return out


def _dashes(shape: BaseGeometry, role: Role, owner: str) -> list[Figure]:
    return [
        PathFigure(
            tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1]),
            role,
            owner,
            closed=True,
            weight="fine",
            dash=True,
        )
        for part in shapely.get_parts(shape).tolist()
        if isinstance(part, Polygon) and part.area > LEAST
    ]


def _names(scene: Scene, whole: dict[tuple[str, Role, Pattern], list[BaseGeometry]], frame: Polygon) -> list[Figure]:
    """Return the names of what takes much of the picture, each where most of it is seen."""
    shapes: dict[str, list[BaseGeometry]] = {}
    for (owner, _, _), found in whole.items():
        shapes.setdefault(owner, []).extend(found)
    out: list[Figure] = []
    for owner, found in shapes.items():
        parts = [p for p in shapely.get_parts(united(found)).tolist() if isinstance(p, Polygon)]
        largest = max(parts, key=lambda p: p.area, default=None)
        if largest is not None and largest.area >= NAMED * frame.area:
            x, y = (float(v) for v in shapely.maximum_inscribed_circle(largest).coords[0])
            aside = x / frame.bounds[2]
            anchor: Literal["start", "middle", "end"] = (
                "start" if aside < -BESIDE else "end" if aside > BESIDE else "middle"
            )
            out.append(TextFigure((x, y), scene.name_of(owner), "note", owner, "small", anchor=anchor))
    return out


def _over(scene: Scene, owner: str, shape: BaseGeometry, frame: Polygon) -> list[Figure]:
    """Return the name of what is drawn line by line, over its tip, if it takes enough of the picture."""
    west, _, east, top = shape.bounds
    at = ((west + east) / 2, top + LIFT)
    named = shape.area >= NAMED_YOUNG * frame.area and at[1] < frame.bounds[3] - LIFT
    return [TextFigure(at, scene.name_of(owner), "note", owner, "small")] if named else []


def bearing_to(start: XY, end: XY) -> float:
    """Return the bearing of the plan from one point to another [deg]."""
    return math.degrees(math.atan2(end[0] - start[0], end[1] - start[1])) % 360
