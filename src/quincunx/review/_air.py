"""Where one may step into the air: how deep it is beside a floor, what holds a person back there, and what a code asks for."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import LineString, Point

from quincunx.build.safe_places import guard_height_m
from quincunx.garden import Garden
from quincunx.garden.safety import country
from quincunx.scene import Scene
from quincunx.shapes import XY, Plane, Risers, Slab, Surface
from quincunx.site.codes import Held, held
from quincunx.site.country_names import country_name
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
OFFICE = "ask your local building office"


@dataclass(frozen=True, slots=True)
class Asked:
    """What the garden's country asks of guards, as far as the table has it."""

    code: Held
    garden: Garden

    @classmethod
    def of(cls, garden: Garden) -> Asked:
        """Return it for a garden."""
        return cls(held(country(garden), "guard"), garden)

    @property
    def least_m(self) -> float:
        """The drop from which a guard is asked for [m]."""
        return self.code.figures["drop_m"]

    def high_m(self, drop_m: float) -> float:
        """Return how high a guard beside a drop is to be [m]."""
        return guard_height_m(self.code, drop_m)

    def holds_m(self, drop_m: float) -> float:
        """Return how high what stands beside a drop must be to hold anybody back [m]."""
        return max(HOLDS_M, self.high_m(drop_m)) if drop_m >= self.least_m else HOLDS_M

    def rule(self, drop_m: float) -> str:
        """Say whether a guard is asked for and how high: by the garden's own code, else whom to ask and what another asks."""
        style = self.garden.style
        least, high = format_length(self.least_m, style), format_length(self.high_m(drop_m), style)
        if not self.code.own and self.code.row is not None:
            return (
                f"Our table doesn't say from what drop on a guard is asked for here: {OFFICE}"
                f" ({country_name(self.code.row.country)}: from {least} on, {high} high). Put one there"
            )
        if drop_m >= self.least_m:
            return f"From {least} on a guard {high} high is asked for: put one there"
        return f"Guards are asked for from {least} on, but a lower fall hurts too: put one there"


@dataclass(frozen=True, slots=True)
class Gap:
    """Along how much one may step off [m], how deep at most [m], and where that is."""

    long_m: float = 0.0
    deep_m: float = 0.0
    at: XY | None = None

    @property
    def told(self) -> bool:
        """Whether it is worth a word."""
        return self.long_m >= LONG_M and self.at is not None


def gap_beside(scene: Scene, floor: Surface, edges: Sequence[LineString], asked: Asked) -> Gap:
    """Return where one may step into the air along some sides of a floor."""
    long, deep, at = 0.0, 0.0, None
    for edge in edges:
        points = _beside(edge, floor)
        each = edge.length / max(len(points), 1)
        for inner, outer in points:
            z = z_on(scene, floor, inner)
            fall = z - max(lies(scene, floor.owner, outer))
            if fall > STEP_OFF_M and not _held(scene, floor.owner, outer, z, asked.holds_m(fall)):
                long += each
                if fall > deep:
                    deep, at = fall, (round(inner[0], 3), round(inner[1], 3))
    return Gap(long, deep, at)


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


def lies(scene: Scene, owner: str, at: XY) -> Iterator[float]:
    """Yield how high the ground and what lies on it is at a point [m]."""
    yield scene.ground_z_m(*at)
    spot = Point(at)
    for surface in scene.surfaces:
        if surface.owner != owner and not surface.floods_m and surface.area.covers(spot):
            yield z_on(scene, surface, at)


def z_on(scene: Scene, surface: Surface, at: XY) -> float:
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
