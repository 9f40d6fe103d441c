"""What a way goes through, over and under: gates, young hedges, low walls, the gap it squeezes through."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely
from shapely import LineString, Point, STRtree

from quincunx.scene import Scene
from quincunx.shapes import XY, Crown, Opening, Solid
from quincunx.walk._kept import Kept
from quincunx.walk.barriers import SEEN_M, over_leaf
from quincunx.walk.heights import heights_m
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import Way

How = Literal["opening", "opens", "over", "under", "through"]
"""By an opening that stands open; by opening a gate; over, under or through a thing."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """One thing a way crosses: whose, ``how``, where ``at`` [m], and the height or hole that lets it by [m]."""

    owner: str
    how: How
    at: XY
    size_m: float | None = None


def crossings(scene: Scene, walker: Walker, way: Way) -> tuple[Crossing, ...]:
    """Return what ``way`` crosses, in the order in which the walker meets it."""
    if len(way.points) < 2:
        return ()
    line = _LINE.get((way,), None, lambda: _prepared(way))
    openings = [o for o in scene.openings if line.intersects(o.clear)]
    solids = [scene.solids[k] for k in np.sort(_tree(scene).query(line, predicate="intersects")).tolist()]
    more = (walker, scene.snow_m)
    met = (way, scene.ground, *openings, *solids)
    return _FOUND.get(met, more, lambda: _crossings(scene, walker, line, openings, solids))


def _prepared(way: Way) -> LineString:
    line = LineString(way.points)
    shapely.prepare(line)
    return line


def _tree(scene: Scene) -> STRtree:
    return _TREE.get((scene,), None, lambda: STRtree([s.footprint for s in scene.solids]))


def _crossings(
    scene: Scene, walker: Walker, line: LineString, openings: list[Opening], solids: list[Solid]
) -> tuple[Crossing, ...]:
    found: list[tuple[float, Crossing]] = []
    for opening in openings:
        at = shapely.point_on_surface(shapely.intersection(line, opening.clear))
        how, size = _by_opening(walker, opening, scene.snow_m)
        found.append((line.project(at), Crossing(opening.owner, how, (at.x, at.y), size)))
    for solid in solids:
        if isinstance(solid.form, Crown):
            continue
        at = shapely.point_on_surface(shapely.intersection(line, solid.footprint))
        met = _by_solid(scene, walker, solid, at)
        if met is not None:
            found.append((line.project(at), Crossing(solid.owner, met[0], (at.x, at.y), met[1])))
    found.sort(key=lambda f: (round(f[0], 6), f[1].owner))
    high: dict[str, float] = {}
    for _, c in found:  # over a thing is over the highest of its parts
        if c.how == "over" and c.size_m is not None:
            high[c.owner] = max(c.size_m, high.get(c.owner, 0.0))
    first = tuple({(c.owner, c.how): c for _, c in reversed(found)}.values())[::-1]
    return tuple(replace(c, size_m=high.get(c.owner, c.size_m)) if c.how == "over" else c for c in first)


def _by_opening(walker: Walker, opening: Opening, snow_m: float) -> tuple[How, float | None]:
    leaf = opening.leaf
    if leaf is None:
        return "opening", opening.width_m
    if walker.opens_latch(opening.latch):
        return "opens", opening.width_m
    lift = snow_m if walker.snow_lifts else 0.0
    if over_leaf(walker, opening, snow_m):
        return "over", leaf.height_m - lift
    gap = walker.crawl_gap
    if gap is not None and leaf.under_m >= float(gap):
        return "under", leaf.under_m
    if gap is not None and leaf.gap_m >= float(gap):
        return "through", leaf.gap_m
    return "opening", opening.width_m


def _by_solid(scene: Scene, walker: Walker, solid: Solid, at: Point) -> tuple[How, float] | None:
    """Return how the walker gets by a solid it crosses, or None where it just walks beneath or steps over."""
    under, top = (float(v.min()) for v in heights_m(scene, solid, at.buffer(0.01)))
    lift = scene.snow_m if walker.snow_lifts else 0.0
    if under - lift >= float(walker.headroom) or top - lift < SEEN_M:
        return None
    hole = float(walker.body_width if walker.crawl_gap is None else walker.crawl_gap)
    if solid.gap_m >= hole:
        return "through", solid.gap_m
    if walker.crawl_gap is not None and under - lift >= hole:
        return "under", under - lift
    return "over", top - lift


_LINE: Kept[LineString] = Kept(1024)
_TREE: Kept[STRtree] = Kept(64)
_FOUND: Kept[tuple[Crossing, ...]] = Kept(2048)
