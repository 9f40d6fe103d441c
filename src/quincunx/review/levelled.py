"""A place made level: the earth to dig and to bring, the height at which one fills the other, the steps at its edges."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import shapely
from shapely import Polygon

from quincunx.garden import Garden
from quincunx.review.from_stakes import heights_to_take
from quincunx.review.ground import Measured
from quincunx.shapes import XY
from quincunx.site.ground import Ground
from quincunx.survey import Earth, Steps, balanced_level_m, cut_and_fill, steps_for
from quincunx.units import Style, format_area, format_length, format_volume

BULKS = 1.25
"""How much room dug earth takes up for what it filled in the ground (common practice, no source)."""
STEP_M = 0.10
"""An edge that stands up or down by less is a slope, no step [m]."""
HIGH_M = 0.6
"""Knee height: a face of earth higher is held by something somebody has reckoned [m] (common practice, no source)."""
HOW = (
    "Earth is counted as it lies in the ground, between the heights that were measured; topsoil set aside, a base under"
    " paving and walls to hold the edges come on top."
)
XYZ = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Levelled:
    """A place made level at ``level_m``: its earth, the height ``even_m`` where digging fills, and its edges.

    ``edges`` are (from, to, how far the level lies above the ground there [m]), at the middle of each side.
    """

    level_m: float
    even_m: float
    area_m2: float
    earth: Earth
    highest_m: float
    deepest_m: float
    edges: tuple[tuple[str, str, float], ...]

    def steps(self, edge: int) -> Steps | None:
        """Return the steps up or down at a side; None where there is hardly a difference."""
        off = abs(self.edges[edge][2])
        return steps_for(off) if off >= STEP_M else None


def ground_of(garden: Garden, m: Measured) -> Ground | None:
    """Return the lie of the ground from the heights drawn and those of the stakes; None where fewer than three are known."""
    drawn = [h.xyz() for h in garden.levels.heights]
    taken = [(x, y, z) for (x, y), z in heights_to_take(m).values()]
    spare = [p for p in taken if all(math.dist(p[:2], q[:2]) > 0.02 for q in drawn)]
    breaks = [b.xyz() for b in garden.levels.breaks]
    if len({p[:2] for p in (*drawn, *spare, *(q for b in breaks for q in b))}) < 3:
        return None
    return Ground.from_levels([*drawn, *spare], breaks)


def levelled(ground: Ground, corners: Sequence[XY], names: Sequence[str], level_m: float | None = None) -> Levelled:
    """Return what making the outline through ``corners`` level comes to; without a level where digging fills.

    ``names`` call the corners.  ValueError for an outline that crosses itself or has no area.
    """
    outline = Polygon(corners)
    if not outline.is_valid or outline.area < 0.01:
        raise ValueError("the outline crosses itself or has no area: name its corners in their order round it")
    facets = list(_facets(ground, outline))
    if not facets:
        raise ValueError("two heights or more are needed to tell how the ground lies")
    even = balanced_level_m(facets)
    level = even if level_m is None else level_m
    heights = [z for facet in facets for _, _, z in facet]
    turns = zip(corners, names, [*corners[1:], corners[0]], [*names[1:], names[0]], strict=True)
    edges = tuple((a, b, level - float(ground.height((p[0] + q[0]) / 2, (p[1] + q[1]) / 2))) for p, a, q, b in turns)
    return Levelled(
        level, even, outline.area, cut_and_fill(facets, level), level - min(heights), max(heights) - level, edges
    )


def _facets(ground: Ground, outline: Polygon) -> Iterator[tuple[XYZ, XYZ, XYZ]]:
    """Yield flat triangles that cover the outline, each on one flat piece of the ground."""
    over = ground.triangles_over(outline)
    if over is None:
        return
    corners, triangles = over
    shapely.prepare(outline)
    for triangle in triangles.tolist():
        facet = Polygon([corners[k][:2] for k in triangle])
        if not facet.intersects(outline):
            continue
        for piece in shapely.get_parts(shapely.constrained_delaunay_triangles(facet.intersection(outline))):
            if piece.area < 1e-9:
                continue
            a, b, c = ((float(x), float(y)) for x, y in piece.exterior.coords[:3])
            yield _on(corners, triangle, a), _on(corners, triangle, b), _on(corners, triangle, c)


def _on(corners: Any, triangle: Sequence[int], at: XY) -> XYZ:
    """Return a point of the plane of a triangle of ground."""
    (ax, ay, az), (bx, by, bz), (cx, cy, cz) = (corners[k].tolist() for k in triangle)
    det = (by - cy) * (ax - cx) + (cx - bx) * (ay - cy)
    u = ((by - cy) * (at[0] - cx) + (cx - bx) * (at[1] - cy)) / det
    v = ((cy - ay) * (at[0] - cx) + (ax - cx) * (at[1] - cy)) / det
    return at[0], at[1], u * az + v * bz + (1.0 - u - v) * cz


def levelled_words(found: Levelled, style: Style) -> tuple[str, ...]:
    """Return in sentences what levelling comes to, side by side with its steps, and what it doesn't count."""

    def say(metres: float) -> str:
        return format_length(metres, style, kind="tape")

    earth = found.earth
    first = (
        f"{format_area(found.area_m2, style)} made level at {say(found.level_m)}: dig {format_volume(earth.cut_m3, style)},"
        f" fill {format_volume(earth.fill_m3, style)}. {_left(earth.surplus_m3, style)}"
    )
    out = [first]
    if abs(found.even_m - found.level_m) > 0.005:
        out.append(f"At {say(found.even_m)} what is dug fills what is low.")
    out.append(f"At most {say(max(found.deepest_m, 0.0))} is dug and {say(max(found.highest_m, 0.0))} filled.")
    for k, (a, b, off) in enumerate(found.edges):
        steps = found.steps(k)
        if steps is None:
            out.append(f"Half-way from {a} to {b} it meets the ground.")
            continue
        way = "above" if off > 0 else "below"
        count = f"{steps.count} steps of {say(steps.rise_m)}" if steps.count > 1 else "one step"
        run = f", each {say(steps.tread_m)} deep" if steps.count > 1 else ""
        out.append(f"Half-way from {a} to {b} it lies {say(abs(off))} {way} the ground: {count}{run}.")
    if max(found.deepest_m, found.highest_m) > HIGH_M:
        out.append(
            "A face of earth higher than a knee is held by a wall or a bank that somebody licensed has looked at; never"
            " dig below the foot of a building or of a neighbour's wall, and ask first for buried lines."
        )
    out.append(HOW)
    return tuple(out)


def _left(surplus_m3: float, style: Style) -> str:
    """Say what earth is left over, with the room it takes up once dug, or what has to be brought."""
    if abs(surplus_m3) < 0.05:
        return "One fills the other."
    if surplus_m3 < 0:
        return f"{format_volume(-surplus_m3, style)} has to be brought."
    loose = format_volume(surplus_m3 * BULKS, style)
    return f"{format_volume(surplus_m3, style)} is left over: about {loose} once dug."
