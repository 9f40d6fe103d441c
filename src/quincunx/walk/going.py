"""What a way is like underfoot: floors, slopes, steps, and how long it takes in a month.

A way is parted where the floor under it changes and where the ground bends, so that each stretch has one floor and
one slope.  What shows is the surface of the highest layer.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, STRtree

from quincunx.scene import Scene
from quincunx.shapes import XY, Height, Plane, Risers, Surface
from quincunx.site.ground import Ground
from quincunx.walk._kept import Kept
from quincunx.walk.walkers import Walker
from quincunx.walk.ways import Way

Floats = NDArray[np.float64]

FIRM_ALL_YEAR = 0.6
"""A floor at least so firm in its softest month is a made one (common practice, no source)."""
BARE_FIRM = 0.6
"""Firmness of ground about which nothing is known (common practice, no source)."""
LEAST_M = 1e-6
"""Stretches shorter than this are none [m]."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight piece of a way over one floor.

    ``length_m`` measured level, ``rise_m`` up (positive) or down, ``cross`` the slope across it (rise over run),
    ``steps`` how many risers it climbs, ``firm`` how firm the floor is in the month asked, ``made`` whether it is firm
    all the year; ``owner`` and ``floor`` are empty where no surface lies.
    """

    start: XY
    end: XY
    length_m: float
    rise_m: float
    cross: float
    steps: float
    owner: str
    floor: str
    firm: float
    made: bool

    @property
    def grade(self) -> float:
        """Return rise over run along it, up or down, without sign; steps have none."""
        return 0.0 if self.steps else abs(self.rise_m) / max(self.length_m, LEAST_M)


@dataclass(frozen=True, slots=True)
class Going:
    """A way underfoot: its stretches in order, from start to end."""

    stretches: tuple[Stretch, ...]

    @property
    def length_m(self) -> float:
        """Return how long it is, measured level [m]."""
        return math.fsum(s.length_m for s in self.stretches)

    @property
    def climb_m(self) -> float:
        """Return how much it climbs, its falls left out [m]."""
        return math.fsum(max(s.rise_m, 0.0) for s in self.stretches)

    @property
    def steps(self) -> int:
        """Return how many steps it goes up or down."""
        return round(math.fsum(s.steps for s in self.stretches))

    @property
    def steepest(self) -> Stretch | None:
        """Return the steepest stretch that is not steps, or None where all is steps or there is no way."""
        return max((s for s in self.stretches if not s.steps), key=lambda s: s.grade, default=None)

    @property
    def soft_m(self) -> float:
        """Return how much of it is on ground that is not made [m]."""
        return math.fsum(s.length_m for s in self.stretches if not s.made)


def is_made(surface: Surface) -> bool:
    """Return whether a surface is a floor that stays firm all the year and may be walked on."""
    return not surface.planted and surface.water_depth_m <= 0 and min(surface.firmness) >= FIRM_ALL_YEAR


@lru_cache(maxsize=64)
def _tree(scene: _Ref) -> STRtree:
    return STRtree([s.area for s in scene.scene.surfaces])


class _Ref:
    """A scene found again by its key."""

    __slots__ = ("scene",)

    def __init__(self, scene: Scene) -> None:
        self.scene = scene

    def __hash__(self) -> int:
        return hash(self.scene.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Ref) and self.scene.key == other.scene.key


def floor_at(scene: Scene, points: Sequence[XY] | Floats) -> list[int]:
    """Return the number of the surface that shows at each point [m], -1 where there is none."""
    top = np.full(len(points), -1, np.int64)
    if not scene.surfaces or not len(points):
        return [int(i) for i in top]
    tree = _tree(_Ref(scene))
    who, which = tree.query(shapely.points(np.asarray(points, np.float64)), predicate="intersects")
    np.maximum.at(top, who, which)  # surfaces are ordered by layer
    return [int(i) for i in top]


def going(scene: Scene, way: Way, month: int | None = None) -> Going:
    """Return ``way`` underfoot in ``month`` (default: that of the scene's date)."""
    when = scene.on.month if month is None else month
    if len(way.points) < 2 or way.length_m <= LEAST_M:
        return Going(())
    line = LineString(way.points)
    marks, heights = _marks(scene, line)
    at = shapely.get_coordinates(shapely.line_interpolate_point(line, marks))
    middles = (at[:-1] + at[1:]) / 2
    grade, fall = scene.ground.slope(middles[:, 0], middles[:, 1])
    out: list[Stretch] = []
    for k, shown in enumerate(floor_at(scene, middles)):
        start, end = (float(at[k, 0]), float(at[k, 1])), (float(at[k + 1, 0]), float(at[k + 1, 1]))
        length = float(marks[k + 1] - marks[k])
        lies = (float(heights[k + 1] - heights[k]), _across(float(grade[k]), float(fall[k]), _bearing(start, end)))
        out.append(_stretch(scene.surfaces[shown] if shown >= 0 else None, start, end, length, lies, when))
    return Going(_joined(out))


def _marks(scene: Scene, line: LineString) -> tuple[Floats, Floats]:
    """Return the distances along a way at which it turns or the floor or the slope under it changes, and the heights [m]."""
    xy = shapely.get_coordinates(line)
    marks = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    if len(scene.ground.triangles):
        edges = _EDGES.get((scene.ground,), None, lambda: _bends(scene.ground))
        hits = shapely.intersection(edges.geometries[edges.query(line, predicate="intersects")], line)
        marks = np.concatenate([marks, shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(hits)))])
    near = _tree(_Ref(scene)).query(line, predicate="intersects") if scene.surfaces else []
    for k in near:
        hit = shapely.intersection(scene.surfaces[int(k)].area.boundary, line)
        if not hit.is_empty:
            marks = np.concatenate(
                [marks, shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(hit)))]
            )
    marks = np.unique(marks)
    kept = marks[np.concatenate([[True], np.diff(marks) > LEAST_M])]
    kept[-1] = min(kept[-1], line.length)
    at = shapely.get_coordinates(shapely.line_interpolate_point(line, kept))
    return kept, np.asarray(scene.ground.height(at[:, 0], at[:, 1]), np.float64)


def _bends(ground: Ground) -> STRtree:
    """Return the lines along which the ground bends: the sides of its triangles."""
    sides = np.concatenate([ground.triangles[:, [i, (i + 1) % 3]] for i in range(3)])
    sides = np.unique(np.sort(sides, axis=1), axis=0)
    return STRtree(shapely.linestrings(ground.vertices[sides][:, :, :2]))


_EDGES: Kept[STRtree] = Kept(64)


def _stretch(
    surface: Surface | None, start: XY, end: XY, length: float, lies: tuple[float, float], month: int
) -> Stretch:
    rise, cross = lies
    if surface is None:
        return Stretch(start, end, length, rise, cross, 0.0, "", "", BARE_FIRM, made=False)
    steps, ahead = 0.0, _bearing(start, end)
    match surface.lie:
        case Plane() as plane:
            rise = -plane.grade * length * math.cos(math.radians(plane.fall_deg - ahead))
            cross = _across(plane.grade, plane.fall_deg, ahead)
        case Risers() as flight:
            share = math.cos(math.radians(flight.up_deg - ahead))
            steps = abs(share) * length / max(flight.going_m, LEAST_M)
            rise, cross = math.copysign(steps * flight.rise_m, share), 0.0
        case Height():
            pass
    firm = surface.firmness[month - 1]
    return Stretch(start, end, length, rise, cross, steps, surface.owner, surface.material, firm, is_made(surface))


def _bearing(start: XY, end: XY) -> float:
    return math.degrees(math.atan2(end[0] - start[0], end[1] - start[1])) % 360.0


def _across(grade: float, fall_deg: float, ahead_deg: float) -> float:
    return abs(grade * math.sin(math.radians(fall_deg - ahead_deg)))


def _joined(stretches: Iterable[Stretch]) -> tuple[Stretch, ...]:
    """Return stretches with those put together that go straight on over the same floor and slope."""
    out: list[Stretch] = []
    for s in stretches:
        last = out[-1] if out else None
        if last is not None and _goes_on(last, s):
            out[-1] = Stretch(
                last.start, s.end, last.length_m + s.length_m, last.rise_m + s.rise_m, last.cross,
                last.steps + s.steps, s.owner, s.floor, s.firm, s.made,
            )  # fmt: skip
        else:
            out.append(s)
    return tuple(out)


def _goes_on(a: Stretch, b: Stretch) -> bool:
    same = (a.owner, a.floor, bool(a.steps)) == (b.owner, b.floor, bool(b.steps))
    slope = abs(a.rise_m / max(a.length_m, LEAST_M) - b.rise_m / max(b.length_m, LEAST_M)) < 1e-6
    return (
        same
        and slope
        and abs(a.cross - b.cross) < 1e-6
        and abs(_bearing(a.start, a.end) - _bearing(b.start, b.end)) < 1e-6
    )


# --- how long it takes -------------------------------------------------------------------------------------------

STEP_S = 0.75
"""Seconds for each step up or down (common practice, no source)."""
STEP_WHEELS_S = 6.0
"""Seconds for each step with something on wheels, bumped up or down (common practice, no source)."""
GATE_S = 6.0
"""Seconds to open and shut a gate with a leaf (common practice, no source)."""
SOFTEST = 0.5
"""Share of the pace left on the softest floor on foot; on wheels it is half that (common practice, no source)."""


LEAST_SHARE = 0.01
"""However steep, a piece of a way isn't reckoned slower than this share of the pace (common practice, no source)."""


def slope_share(slope: float, *, wheels: bool) -> float:
    """Return the share of the level pace kept on a slope (rise over run, negative downhill).

    W. Tobler, Three Presentations on Geographical Analysis and Modeling, NCGIA Report 93-1, 1993 (from memory):
    pace falls as exp(-3.5 |slope + 0.05|); here against the level, never above it, nor below :data:`LEAST_SHARE`.  Wheels slow down twice as
    much (common practice, no source).
    """
    lost = 3.5 * max(abs(slope + 0.05) - 0.05, 0.0)
    return max(math.exp(-lost * (2.0 if wheels else 1.0)), LEAST_SHARE)


def floor_share(firm: float, *, wheels: bool) -> float:
    """Return the share of the pace kept on a floor of firmness 0 (mire) to 1 (stone)."""
    left = SOFTEST / 2 if wheels else SOFTEST
    return left + (1 - left) * max(min(firm, 1.0), 0.0)


def seconds(walker: Walker, way: Going, gates: int = 0) -> float:
    """Return how long ``walker`` takes for a way with ``gates`` to open and shut [s]."""
    total = GATE_S * gates
    for s in way.stretches:
        if s.steps:
            total += s.steps * (STEP_WHEELS_S if walker.wheels else STEP_S)
            continue
        share = slope_share(s.rise_m / max(s.length_m, LEAST_M), wheels=walker.wheels)
        total += s.length_m / (walker.pace * share * floor_share(s.firm, wheels=walker.wheels))
    return total


def gates_on(scene: Scene, way: Way) -> tuple[str, ...]:
    """Return the openings with a leaf that a way goes through, by id."""
    if len(way.points) < 2:
        return ()
    line = LineString(way.points)
    return tuple(dict.fromkeys(o.owner for o in scene.openings if o.leaf is not None and o.clear.intersects(line)))


def walking_seconds(scene: Scene, walker: Walker, way: Way, month: int | None = None) -> float:
    """Return how long ``walker`` takes for ``way`` in a month, gates opened and shut included [s]."""
    return seconds(walker, going(scene, way, month), len(gates_on(scene, way)))
