"""Raised floors that end in a drop with nothing to hold anybody back: sides without a guard, and open sides nothing leads up to."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from shapely import LineString, Point

from quincunx.garden.safety import country
from quincunx.review._view import View
from quincunx.scene import Scene
from quincunx.shapes import XY, DropWork, Finding, Plane, Risers, Severity, Slab, Surface
from quincunx.site.codes import held
from quincunx.units import format_length

STEP_OFF_M = 0.3
"""What lies no lower than this is stepped down on to [m] (common practice, no source: a high step)."""
BESIDE_M, EVERY_M = 0.15, 0.25
"""So far outside a side it is looked where a foot would come down, and so often along it [m] (our own choice)."""
HOLDS_M = 0.6
"""What stands so much higher than the floor holds a person back where no guard is asked for yet [m] (our own choice: about
the hip of a child of ten); where one is, what stands there must be as high as that."""
UNDER_M = 0.1
"""What begins higher over the floor, as a crown or slats overhead, is fallen under [m] (our own choice: the gap of a guard)."""
HAIR_M = 0.01
"""By so much lower counts as high enough, as heights are read to a centimetre [m]."""
LONG_M = 0.5
"""A shorter gap is not worth a word [m] (our own choice)."""


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each raised floor from which one may step into the air along some of its sides."""
    seen, style = set[str](), view.garden.style
    code = held(country(view.garden), "guard")
    least, high = code.figures["drop_m"], code.figures["height_m"]
    for year, scene in view.summers():
        for work in scene.work:
            if not isinstance(work, DropWork) or not work.edges or work.owner in seen:
                continue
            seen.add(work.owner)
            open_m, deep_m, at = _open(scene, work, least, high)
            if open_m < LONG_M or at is None:
                continue
            asked = deep_m >= least
            rule = (
                f"From {format_length(least, style)} on a guard {format_length(high, style)} high is asked for: put one there"
                if asked
                else f"Guards are asked for from {format_length(least, style)} on, but a lower fall hurts too: put one there"
            )
            yield Finding(
                f"drop-{work.owner}", Severity.CARE,
                f"{view.called(work.owner)} ends {format_length(deep_m, style)} above what lies beside it, and along"
                f" {format_length(open_m, style)} nothing high enough holds anybody back.",
                f"{rule}, lead steps or a ramp up where one comes and goes, or plant beside it; at the least mark the edge so"
                " that it is seen at dusk. Your local code and a licensed person decide.",
                code.cited(), (work.owner,), at, year, hurts=True,
            )  # fmt: skip


def _open(scene: Scene, work: DropWork, least_m: float, high_m: float) -> tuple[float, float, XY | None]:
    """Return along how much one may step off [m], how deep at most [m], and where that is.

    From a fall of ``least_m`` on only what stands ``high_m`` over the floor holds anybody back [m].
    """
    floor = next((s for s in scene.surfaces if s.owner == work.owner), None)
    if floor is None:
        return 0.0, 0.0, None
    long, deep, at = 0.0, 0.0, None
    for edge in work.edges:
        points = _beside(edge, floor)
        each = edge.length / max(len(points), 1)
        for inner, outer in points:
            fall = _z(scene, floor, inner) - max(_lies(scene, work.owner, outer))
            holds = max(HOLDS_M, high_m) if fall >= least_m else HOLDS_M
            if fall > STEP_OFF_M and not _held(scene, work.owner, outer, _z(scene, floor, inner), holds):
                long += each
                if fall > deep:
                    deep, at = fall, (round(inner[0], 3), round(inner[1], 3))
    return long, deep, at


def _beside(edge: LineString, floor: Surface) -> Sequence[tuple[XY, XY]]:
    """Return points along a side, each with the one beside it that is not on the floor."""
    (ax, ay), (bx, by) = edge.coords[0], edge.coords[-1]
    long = math.hypot(bx - ax, by - ay)
    if long < 1e-6:
        return ()
    nx, ny = (by - ay) / long * BESIDE_M, (ax - bx) / long * BESIDE_M
    count = max(round(long / EVERY_M), 1)
    middle = Point((ax + bx) / 2 + nx, (ay + by) / 2 + ny)
    sign = -1.0 if floor.area.covers(middle) else 1.0
    on = [(ax + (bx - ax) * (n + 0.5) / count, ay + (by - ay) * (n + 0.5) / count) for n in range(count)]
    return [((x, y), (x + sign * nx, y + sign * ny)) for x, y in on]


def _lies(scene: Scene, owner: str, at: XY) -> Iterator[float]:
    """Yield how high the ground and what lies on it is at a point [m]."""
    yield scene.ground_z_m(*at)
    spot = Point(at)
    for surface in scene.surfaces:
        if surface.owner != owner and not surface.floods_m and surface.area.covers(spot):
            yield _z(scene, surface, at)


def _z(scene: Scene, surface: Surface, at: XY) -> float:
    """Return how high a floor lies at a point [m]; of steps the tread there."""
    lie = surface.lie
    if isinstance(lie, Risers):
        return _tread_z(scene, surface, lie, at)
    if isinstance(lie, Plane):
        turn = math.radians(lie.fall_deg)
        run = (at[0] - lie.x_m) * math.sin(turn) + (at[1] - lie.y_m) * math.cos(turn)
        return lie.at.z_m(scene.ground_z_m(lie.x_m, lie.y_m)) - lie.grade * run
    return lie.z_m(scene.ground_z_m(*at))


def _tread_z(scene: Scene, surface: Surface, lie: Risers, at: XY) -> float:
    turn = math.radians(lie.up_deg)
    corners = [(x * math.sin(turn) + y * math.cos(turn), (x, y)) for x, y in surface.area.exterior.coords]
    low, foot = min(corners)
    run = at[0] * math.sin(turn) + at[1] * math.cos(turn) - low
    climbed = min(max(math.floor(run / lie.going_m) + 1, 1), lie.count)
    return float(lie.foot.z_m(scene.ground_z_m(*foot)) + climbed * lie.rise_m)


def _held(scene: Scene, owner: str, at: XY, floor_z: float, holds_m: float) -> bool:
    """Return whether something beside the floor reaches from there to ``holds_m`` over it [m]."""
    spot, ground = Point(at), scene.ground_z_m(*at)
    near = (s for s in scene.solids if s.owner != owner and s.footprint.dwithin(spot, BESIDE_M))
    high = (s for s in near if not isinstance(s.form, Slab) and s.top.z_m(ground) - floor_z >= holds_m - HAIR_M)
    return any(s.base.z_m(ground) - floor_z <= UNDER_M for s in high)
