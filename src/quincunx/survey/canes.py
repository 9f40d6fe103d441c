"""The cane test: where to push canes, and how high to tie the string, so that a thing to come is seen full size.

What is too high for a cane is brought nearer to the eye: on the line from the eye to its top, a lower string on a
nearer cane hides just as much (similar triangles).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import shapely
from shapely import Polygon

from quincunx.shapes import XY, Crown, Slab, Solid, united

LONG_M = 2.44
"""The highest string on a garden cane of 2.75 m or 9 ft pushed in 0.3 m, or on a batten held up: 8 ft [m] (common
practice, no source)."""
APART_M = 2.5
"""Canes of one string stand no farther apart than this [m] (common practice, no source: it sags)."""
TOGETHER_M = 1.2
"""Corners nearer to each other than this share one cane: the two ends of a hedge's end [m]."""
LOW_M = 0.3
"""What rises less than this is left to the eye [m]."""
MOST = 12
"""No more canes than this for one thing."""
NEAR_EYE_M = 0.8
"""A cane brought nearer stands no closer to the eye than this [m]."""
STEPS = 200

GroundZ = Callable[[float, float], float]


@dataclass(frozen=True, slots=True)
class Cane:
    """One cane: its place [m], the string's height above the ground there [m], and the underside's if it hangs."""

    at: XY
    string_m: float
    under_m: float | None = None


@dataclass(frozen=True, slots=True)
class Nearer:
    """A cane brought nearer the eye: its place [m], its string above the ground there [m], and how far from the eye."""

    at: XY
    string_m: float
    from_eye_m: float


def canes(solids: Sequence[Solid], ground_z: GroundZ) -> tuple[Cane, ...]:
    """Return the canes that show ``solids`` (of one thing) full size; ``ground_z(x, y)`` is the ground's level [m].

    Corners of the outline and places between them; for a few round heads the middle and the four sides of each.
    """
    tall = [s for s in solids if _top(s, _inside(s.footprint), ground_z) >= LOW_M]
    if not tall:
        return ()
    crowns = [s for s in tall if isinstance(s.form, Crown)]
    places: list[XY] = []
    if crowns:
        places = _round_heads(crowns)
        tall = crowns
    else:
        for part in shapely.get_parts(united([s.footprint for s in tall])):
            places += _along(part)
    return tuple(_cane(tall, at, ground_z) for at in _fewer(places))


def _inside(shape: Polygon) -> XY:
    point = shape.representative_point()
    return (float(point.x), float(point.y))


def _round_heads(crowns: Sequence[Solid]) -> list[XY]:
    middles = [(float(s.footprint.centroid.x), float(s.footprint.centroid.y)) for s in crowns]
    if 5 * len(crowns) > MOST:
        return middles
    out: list[XY] = []
    for middle, solid in zip(middles, crowns, strict=True):
        west, south, east, north = solid.footprint.bounds
        rim = ((middle[0], north), (east, middle[1]), (middle[0], south), (west, middle[1]))
        out += [middle, *(_within(solid.footprint, at) for at in rim)]
    return out


def _within(shape: Polygon, at: XY) -> XY:
    point = shapely.get_point(shapely.shortest_line(shapely.Point(at), shape), -1)
    return (float(point.x), float(point.y))


def _along(outline: Polygon) -> list[XY]:
    """Return the corners of an outline, close ones drawn together, and places between them no farther than APART_M."""
    ring = shapely.get_coordinates(outline.simplify(0.1).exterior)[:-1]
    groups: list[list[XY]] = []
    for x, y in ring:
        at = (float(x), float(y))
        near = next((g for g in groups if math.dist(_mean(g), at) < TOGETHER_M), None)
        if near is None:
            groups.append([at])
        else:
            near.append(at)
    corners = [_within(outline, _mean(g)) for g in groups]
    if len(corners) < 2:
        return corners
    out: list[XY] = []
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        n = max(1, math.ceil(math.dist(start, end) / APART_M))
        for k in range(n):
            at = _within(outline, (start[0] + (end[0] - start[0]) * k / n, start[1] + (end[1] - start[1]) * k / n))
            if all(math.dist(at, seen) >= min(TOGETHER_M, APART_M / 2) for seen in out):
                out.append(at)
    return out


def _mean(group: Sequence[XY]) -> XY:
    return (sum(p[0] for p in group) / len(group), sum(p[1] for p in group) / len(group))


def _fewer(places: Sequence[XY]) -> list[XY]:
    """Return at most MOST of the places, spread evenly, the first and last kept."""
    if len(places) <= MOST:
        return list(places)
    return [places[round(k * (len(places) - 1) / (MOST - 1))] for k in range(MOST)]


def _cane(solids: Sequence[Solid], at: XY, ground_z: GroundZ) -> Cane:
    here = shapely.Point(at)
    near = min(solids, key=lambda s: (round(s.footprint.distance(here), 3), -_top(s, at, ground_z)))
    under = _under(near, at, ground_z)
    top = _top(near, at, ground_z)
    return Cane(at, top, under if LOW_M < under < top - LOW_M else None)


def _top(solid: Solid, at: XY, ground_z: GroundZ) -> float:
    """Return the top of ``solid`` above the ground at ``at`` [m]."""
    ground = ground_z(*at)
    if isinstance(solid.form, Crown):
        return _crown_top(solid, solid.form, at, ground)
    if not isinstance(solid.form, Slab):
        return solid.top.above_ground_m(ground)
    plane = solid.form.plane
    turn = math.radians(plane.fall_deg)
    run = (at[0] - plane.x_m) * math.sin(turn) + (at[1] - plane.y_m) * math.cos(turn)
    return plane.at.above_ground_m(ground) - plane.grade * run


def _crown_top(solid: Solid, crown: Crown, at: XY, ground: float) -> float:
    """Return how high a head of leaves reaches over ``at``: whole in the middle, its widest height at the rim [m]."""
    base, top = solid.base.above_ground_m(ground), solid.top.above_ground_m(ground)
    west, south, east, north = solid.footprint.bounds
    middle, half = ((west + east) / 2, (south + north) / 2), ((east - west) / 2, (north - south) / 2)
    out = min(1.0, math.hypot((at[0] - middle[0]) / half[0], (at[1] - middle[1]) / half[1]))
    if crown.outline == "cone":
        return base + (top - base) * (1 - out)
    round_share = math.sqrt(1 - out * out)
    if crown.outline == "dome":
        return base + (top - base) * round_share
    return (base + top) / 2 + (top - base) / 2 * round_share


def _under(solid: Solid, at: XY, ground_z: GroundZ) -> float:
    """Return the underside of ``solid`` above the ground at ``at`` [m]."""
    if isinstance(solid.form, Slab):
        return _top(solid, at, ground_z) - solid.form.thickness_m
    return solid.base.above_ground_m(ground_z(*at))


def nearer(cane: Cane, eye: XY, eye_m: float, ground_z: GroundZ, longest_m: float = LONG_M) -> Nearer | None:
    """Return the cane that stands in for one too high, seen from ``eye`` at ``eye_m`` above the ground there.

    It stands on the line to ``cane``, as far from the eye as a string of ``longest_m`` allows; None if the cane is
    low enough as it is, or would have to stand in the eye.
    """
    if cane.string_m <= longest_m:
        return None
    far = math.dist(eye, cane.at)
    level, top = ground_z(*eye) + eye_m, ground_z(*cane.at) + cane.string_m
    for k in range(STEPS - 1, 0, -1):
        share = k / STEPS
        at = (eye[0] + (cane.at[0] - eye[0]) * share, eye[1] + (cane.at[1] - eye[1]) * share)
        string = level + (top - level) * share - ground_z(*at)
        if string <= longest_m:
            return Nearer(at, string, far * share) if far * share >= NEAR_EYE_M and string > 0 else None
    return None
