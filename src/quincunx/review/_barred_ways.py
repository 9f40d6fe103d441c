"""A path or steps that run into a wall, fence or hedge where nothing is open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.features import Feature
from quincunx.garden.lifting import NEVER
from quincunx.review._view import View, middle
from quincunx.scene import Scene
from quincunx.scene.left_open import kept_free, planted_line
from quincunx.shapes import XY, Finding, PathFigure, Risers, Severity, united
from quincunx.walk import barriers, find_walker

ASIDE_M = 0.6
"""Who finds a way barred steps so far off it to get by: a wall that ends nearer bars nobody (our own choice)."""
ON_M = 0.3
"""A way goes on beyond a wall if it has so much of its length there: one that ends at a wall leads to it (our own choice)."""
LANDING_M = 0.45
"""Steps want so much room at foot and head to be stood on: what stands nearer they run into (our own choice)."""
BODY_M = 0.2
"""Room narrower than this between what stands there is none to get through (our own choice)."""
NEAR_M = 0.5
"""An opening no farther than this from where a way is barred is meant for it (our own choice)."""
SOURCE = "Quincunx: what stops a person on foot who treads on no hedge"


@dataclass(frozen=True, slots=True)
class Course:
    """The middle line of a way as far as it is looked at [m], from where to where the way itself goes, half its width [m]."""

    owner: str
    line: LineString
    starts_m: float
    ends_m: float
    half_m: float
    steps: bool


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each way and what bars it, in the first year it does."""
    person, seen = find_walker("person"), set[tuple[str, str]]()
    walls = {f.id for f in view.garden.features if f.group == "walls"}
    if person is None or not walls:
        return
    for year, scene in view.summers():
        ways = _ways(view, scene)
        if not ways:
            continue
        stand: dict[str, list[Polygon]] = {}
        for b in barriers(scene, person, polite=True):
            if b.owner in walls and b.what in ("solid", "planted"):
                stand.setdefault(b.owner, []).append(b.shape)
        whole = {wall: united(shapes) for wall, shapes in sorted(stand.items())}
        for way in ways:
            for wall, shape in whole.items():
                where = None if (way.owner, wall) in seen else barred(way, shape)
                if where is not None:
                    seen.add((way.owner, wall))
                    told = _told(view, way.owner, wall, where, year)
                    yield from () if told is None else (told,)


def _ways(view: View, scene: Scene) -> list[Course]:
    """Return the ways that stand: floors that are walked on, drawn by their one middle line."""
    floors: dict[str, list[Polygon]] = {}
    climb = set[str]()
    for s in scene.surfaces:
        if not s.planted and s.water_depth_m <= 0:
            floors.setdefault(s.owner, []).append(s.area)
            climb |= {s.owner} if isinstance(s.lie, Risers) else set()
    out = []
    for feature in view.garden.features:
        if feature.group == "ground" and feature.id in floors:
            found = _course(feature, united(floors[feature.id]), steps=feature.id in climb)
            out += [found] if found is not None else []
    return out


def _course(feature: Feature, floor: BaseGeometry, *, steps: bool) -> Course | None:
    lines = list(feature.lines().values())
    if len(lines) != 1 or len(lines[0]) < 2:
        return None
    points: list[XY] = [(float(x), float(y)) for x, y in lines[0]]
    line = LineString(points)
    half = float(floor.boundary.distance(line.interpolate(0.5, normalized=True)))
    if line.is_closed or line.length < ON_M or half < BODY_M / 2 or not floor.buffer(ON_M).covers(line):
        return None
    if not steps:
        return Course(feature.id, line, 0.0, line.length, half, steps)
    more = LANDING_M + ASIDE_M
    longer = LineString([_beyond(points[1], points[0], more), *points, _beyond(points[-2], points[-1], more)])
    return Course(feature.id, longer, more, more + line.length, half, steps)


def _beyond(start: XY, end: XY, metres: float) -> XY:
    """Return the point so far beyond ``end``, seen from ``start`` [m]."""
    share = 1.0 + metres / Point(start).distance(Point(end))
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def barred(way: Course, wall: BaseGeometry) -> BaseGeometry | None:
    """Return where a way is barred by a wall, so that nobody gets by at its side either; None where it isn't [m]."""
    crossed = way.line.intersection(wall)
    if crossed.is_empty:
        return None
    zone = way.line.buffer(way.half_m + ASIDE_M, cap_style="flat").difference(wall).buffer(-BODY_M / 2)
    parts = shapely.get_parts(zone)
    for piece in shapely.get_parts(crossed):
        ends = [way.line.project(Point(p)) for p in shapely.get_coordinates(piece)]
        low, high = min(ends), max(ends)
        reach = LANDING_M if way.steps else -ON_M
        if low > way.ends_m + reach or high < way.starts_m - reach:
            continue
        if low < ON_M / 2 or high > way.line.length - ON_M / 2:
            continue
        here, there = (way.line.interpolate(s) for s in (max(low - ON_M, 0.0), min(high + ON_M, way.line.length)))
        same = [part for part in parts if part.distance(here) < ON_M and part.distance(there) < ON_M]
        if not same:
            return piece
    return None


def _later(view: View, where: BaseGeometry, year: int) -> tuple[str, int] | None:
    """Return the opening that comes to the place in a later year, and in which; None if none does."""
    coming = []
    for f in view.timeline.features:
        line = kept_free(f)
        begins = None if line is None or line.distance(where) > NEAR_M else view.timeline.span(f.id).begins
        if begins is not None and year < begins // 12 < NEVER // 12:
            coming.append((begins // 12, f.id))
    return (min(coming)[1], min(coming)[0]) if coming else None


def _told(view: View, way: str, wall: str, where: BaseGeometry, year: int) -> Finding | None:
    """Return what is told of a barred way; None where a planted line is opened later, which is told of that already."""
    name, other, later = view.called(way), view.called(wall), _later(view, where, year)
    if later is not None and planted_line(view.timeline.feature(wall)) is not None:
        return None
    x, y = middle(where)
    points = [(float(a), float(b)) for a, b in shapely.get_coordinates(where)]
    evidence = (PathFigure(tuple(points), "evidence", way, weight="thick"),) if len(points) > 1 else ()
    if later is not None:
        gate, when = view.called(later[0]), later[1]
        return Finding(
            f"way-barred-{way}-{wall}", Severity.CARE, f"{name} runs into {other} from {year}, until {gate} comes in {when}.",
            f"Make {gate} together with the first of the two, or {name} no earlier than {gate}.", SOURCE, (way, wall), (x, y), year,
            evidence,
        )  # fmt: skip
    return Finding(
        f"way-barred-{way}-{wall}", Severity.FAULT, f"{name} runs into {other} from {year}: nothing is open there.",
        f"Put a gate, an arch or a gap into {other} there, lead {name} to an opening, or end one of the two before the other.",
        SOURCE, (way, wall), (x, y), year, evidence,
    )  # fmt: skip
