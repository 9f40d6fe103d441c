"""The tops of walls that hold back ground: where one may walk off the upper level into the air."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import LineString, Point

from quincunx.review._air import BESIDE_M, EVERY_M, HAIR_M, STEP_OFF_M, UNDER_M, Asked, Gap, lies
from quincunx.review._view import View
from quincunx.scene import Scene
from quincunx.shapes import XY, Finding, LevelChange, Severity, Slab, Solid
from quincunx.units import capital, format_length

BACK_M, JUST_M = 0.6, 0.05
"""A fence or hedge set back so far from the edge still keeps people from it; just behind it the upper ground lies [m] (our own choice)."""
BANK = 1.0
"""What slopes no steeper than this, rise over run, is rolled down, not fallen off (our own choice)."""


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each edge off which one may step, in the first year it is so."""
    asked, style = Asked.of(view.garden), view.garden.style
    changes = [(f, change) for f in view.garden.features for change in f.level_changes()]
    seen = set[str]()
    for year, scene in view.summers() if changes else ():
        for feature, change in changes:
            if change.owner in seen or not view.timeline.stands_on(feature.id, scene.on):
                continue
            gap = _open(scene, change, asked)
            if not gap.told:
                continue
            seen.add(change.owner)
            grave = gap.deep_m >= asked.least_m or not asked.code.own
            yield Finding(
                f"edge-{change.owner}", Severity.CARE if grave else Severity.HINT,
                f"{capital(view.words.the(change.owner))} drops {format_length(gap.deep_m, style)}, and along"
                f" {format_length(gap.long_m, style)} of its top nothing high enough holds anybody back.",
                f"{asked.rule(gap.deep_m)}, or plant a dense hedge along it; at the least mark the edge so that it is seen at dusk."
                " Posts set into a wall that holds back soil pull at it: they stand on footings of their own behind it, or"
                " somebody licensed says how. Your local code and a licensed person decide.",
                asked.code.cited(), (change.owner,), gap.at, year, hurts=True,
            )  # fmt: skip


def _open(scene: Scene, change: LevelChange, asked: Asked) -> Gap:
    upper, lower = LineString(change.upper), LineString(change.lower)
    own = [s for s in scene.solids if s.owner == change.owner]
    near = _near(scene, change.owner, upper)
    count = max(round(upper.length / EVERY_M), 1)
    long, deep, at = 0.0, 0.0, None
    for n in range(count):
        top = upper.interpolate(upper.length * (n + 0.5) / count)
        thick = top.distance(lower)
        fall, behind = _fall(scene, change, top, lower, thick)
        if fall <= STEP_OFF_M or (not own and thick * BANK >= fall):
            continue
        held = asked.holds_m(fall) - HAIR_M
        if not _holds(scene, (top, behind, lower), near, own, (change.drop_m, held)):
            long += upper.length / count
            if fall > deep:
                deep, at = fall, (round(top.x, 3), round(top.y, 3))
    return Gap(long, deep, at)


def _near(scene: Scene, owner: str, upper: LineString) -> list[Solid]:
    """Return what may hold somebody back along an edge: not its own wall, and no roof."""
    return [
        s for s in scene.solids
        if s.owner != owner and not isinstance(s.form, Slab) and s.footprint.dwithin(upper, BACK_M + BESIDE_M)
    ]  # fmt: skip


def _fall(scene: Scene, change: LevelChange, top: Point, lower: LineString, thick_m: float) -> tuple[float, XY]:
    """Return how deep one falls off a point of the edge [m], and the point just behind it.

    Written down is the drop; where the measured ground falls further, that counts, and what lies below catches.
    """
    behind, below = _off(top, lower, -JUST_M - BESIDE_M), _off(top, lower, thick_m + BESIDE_M)
    ground = scene.ground_z_m(*below)
    fall = max(change.drop_m, scene.ground_z_m(*behind) - ground)
    return fall - max(max(lies(scene, change.owner, below)) - ground, 0.0), behind


def _off(top: Point, lower: LineString, far_m: float) -> XY:
    """Return the point ``far_m`` from the edge square to it, towards the lower side [m]."""
    foot = shapely.shortest_line(top, lower)
    (ax, ay), (bx, by) = foot.coords[0], foot.coords[-1]
    long = foot.length or 1.0
    return (ax + (bx - ax) / long * far_m, ay + (by - ay) / long * far_m)


def _holds(
    scene: Scene, at: tuple[Point, XY, LineString], near: list[Solid], own: list[Solid], heights: tuple[float, float]
) -> bool:
    """Return whether its own wall, or something behind or at its foot, stands so high over the upper ground."""
    top, behind, lower = at
    drop_m, holds_m = heights
    here = [s for s in own if s.footprint.dwithin(top, JUST_M)]
    if any(s.top.value_m - drop_m >= holds_m for s in here):
        return True
    z = scene.ground_z_m(*behind)
    back = LineString([(top.x, top.y), _off(top, lower, -BACK_M)])
    foot = LineString([(top.x, top.y), _off(top, lower, top.distance(lower) + BESIDE_M)])
    for solid in near:
        base, high = solid.base.z_m(z) - z, solid.top.z_m(z) - z
        if solid.footprint.intersects(back) and base <= UNDER_M and high >= holds_m:
            return True
        ground = scene.ground_z_m(*_off(top, lower, top.distance(lower) + BESIDE_M))
        if solid.footprint.intersects(foot) and solid.top.z_m(ground) - ground >= drop_m + holds_m:
            return True
    return False
