"""Ways fit for wheels by published rules: width, slope along and across, steps, places to pass and to turn.

Three rules of the United States are known, in falling strictness: a walk on a made site, a route from the parking to
outdoor places, a trail.  They are published yardsticks; what a place asks for by law its own authority says.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from quincunx.shapes import XY
from quincunx.walk.going import Going, Stretch, going
from quincunx.walk.ground import FreeGround
from quincunx.walk.reach import Walk
from quincunx.walk.ways import Way

INCH_M, FOOT_M = 0.0254, 0.3048
RuleName = Literal["walk", "route", "trail"]
Asks = Literal["width", "slope", "rise", "cross", "step", "share", "passing"]
HAIR = 1e-4
"""What lacks no more than this share or length is right."""
REST_M = 60 * INCH_M
"""A piece no steeper than the gentlest class, at least so long, is a place to rest (ABA 1017.8; from memory)."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One published rule.

    ``width_m`` clear, ``narrow_m`` for no more than ``narrow_long_m``; ``slopes`` (rise over run, how long on end may
    be steeper than that [m]), gentlest first, the last never exceeded; ``run_rise_m`` the most climbed on end steeper
    than the gentlest; no more than ``steep_share`` of the length over ``steep``; cross slope ``cross_hard`` and
    ``cross_loose``; where narrower than ``passing_m`` a place to pass every ``passing_every_m``.
    """

    words: str
    width_m: float
    narrow_m: float
    narrow_long_m: float
    slopes: tuple[tuple[float, float], ...]
    cross_hard: float
    cross_loose: float
    passing_m: float
    passing_every_m: float
    source: str
    steep: float = 1.0
    steep_share: float = 1.0
    run_rise_m: float = math.inf


RULES: Mapping[RuleName, Rule] = {
    "walk": Rule(
        "a walk with ramps", 36 * INCH_M, 32 * INCH_M, 24 * INCH_M,
        ((1 / 20, math.inf), (1 / 12, 0.0)), 1 / 48, 1 / 48, 60 * INCH_M, 200 * FOOT_M,
        "2010 ADA Standards 403.3, 403.5.1, 403.5.3, 405.2, 405.6", run_rise_m=30 * INCH_M,
    ),
    "route": Rule(
        "a way between outdoor places", 36 * INCH_M, 32 * INCH_M, 24 * INCH_M,
        ((1 / 20, 50 * FOOT_M), (1 / 12, 30 * FOOT_M), (1 / 10, 0.0)), 1 / 48, 1 / 20, 60 * INCH_M, 200 * FOOT_M,
        "US Access Board, ABA outdoor developed areas 1016 (steepest 1:10; its lengths and widths from memory)",
    ),
    "trail": Rule(
        "a trail", 36 * INCH_M, 32 * INCH_M, 24 * INCH_M,
        ((1 / 20, 200 * FOOT_M), (1 / 12, 30 * FOOT_M), (1 / 10, 10 * FOOT_M), (1 / 8, 0.0)), 1 / 48, 1 / 20,
        60 * INCH_M, 1000 * FOOT_M,
        "US Access Board, ABA outdoor developed areas 1017.3, 1017.4, 1017.7.1, 1017.7.2",
        steep=1 / 12, steep_share=0.3,
    ),
}  # fmt: skip
HARD_FIRM = 0.95
"""A floor so firm in every month is a hard one; others may fall more across, to drain (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Lack:
    """One thing a way lacks: what, ``found`` against ``asked`` (a length [m], a slope or a share), and where."""

    asks: Asks
    found: float
    asked: float
    at: XY
    line: tuple[XY, XY] | None = None
    owner: str = ""
    length_m: float = 0.0


def lacks(walk: Walk, way: Way, rule: Rule) -> tuple[Lack, ...]:
    """Return what ``way`` of somebody on wheels lacks by ``rule``, in the order width, slope, cross slope, step, passing."""
    under = going(walk.scene, way)
    return (
        *_widths(walk, way, rule),
        *_slopes(under, rule),
        *_crosses(under, rule),
        *_steps(under),
        *_passing(walk, way, rule),
    )


def slope_lacks(under: Going, rule: Rule) -> tuple[Lack, ...]:
    """Return where a way is too steep, or steep too long, by ``rule``."""
    return tuple(_slopes(under, rule))


def _slopes(under: Going, rule: Rule) -> Iterator[Lack]:
    steepest = rule.slopes[-1][0]
    over = max((s for s in under.stretches if s.grade > steepest * (1 + HAIR)), key=lambda s: s.grade, default=None)
    if over is not None:
        yield Lack("slope", over.grade, steepest, over.start, (over.start, over.end), over.owner, over.length_m)
        return
    for grade, longest in rule.slopes[:-1]:
        run = max(_runs(under, grade), key=_long, default=())
        if _long(run) > longest + HAIR:
            worst = max(s.grade for s in run)
            yield Lack("slope", worst, grade, run[0].start, (run[0].start, run[-1].end), run[0].owner, _long(run))
            return
    high = max(_runs(under, rule.slopes[0][0]), key=_climbs, default=())
    if _climbs(high) > rule.run_rise_m + HAIR:
        yield Lack("rise", _climbs(high), rule.run_rise_m, high[0].start, (high[0].start, high[-1].end), high[0].owner)
        return
    steep = sum(s.length_m for s in under.stretches if s.grade > rule.steep * (1 + HAIR))
    if steep > rule.steep_share * under.length_m + HAIR:
        at = next(s.start for s in under.stretches if s.grade > rule.steep * (1 + HAIR))
        yield Lack("share", steep / under.length_m, rule.steep_share, at)


def _long(run: tuple[Stretch, ...]) -> float:
    return sum(s.length_m for s in run)


def _climbs(run: tuple[Stretch, ...]) -> float:
    return abs(sum(s.rise_m for s in run))


def _runs(under: Going, grade: float) -> Iterator[tuple[Stretch, ...]]:
    """Yield what is steeper than ``grade`` on end: gentler pieces too short to rest on do not part it."""
    run: list[Stretch] = []
    rest: list[Stretch] = []
    for s in under.stretches:
        if s.grade > grade * (1 + HAIR):
            run += [*(rest if run else []), s]
            rest = []
            continue
        rest.append(s)
        if run and _long(tuple(rest)) >= REST_M - HAIR:
            yield tuple(run)
            run, rest = [], []
    if run:
        yield tuple(run)


def _crosses(under: Going, rule: Rule) -> Iterator[Lack]:
    worst: Lack | None = None
    for s in under.stretches:
        asked = rule.cross_hard if s.firm >= HARD_FIRM else rule.cross_loose
        if (
            not s.steps
            and s.cross > asked * (1 + HAIR)
            and (worst is None or s.cross - asked > worst.found - worst.asked)
        ):
            worst = Lack("cross", s.cross, asked, s.start, (s.start, s.end), s.owner, s.length_m)
    if worst is not None:
        yield worst


def _steps(under: Going) -> Iterator[Lack]:
    first = next((s for s in under.stretches if s.steps), None)
    if first is not None:
        yield Lack("step", under.steps, 0.0, first.start, (first.start, first.end), first.owner)


def _widths(walk: Walk, way: Way, rule: Rule) -> Iterator[Lack]:
    """Yield the longest piece of the way narrower than the rule's width, if it is longer than a narrow place may be."""
    if len(way.points) < 2:
        return
    stand = shapely.union_all(FreeGround(walk.scene.world, walk.free.found, rule.width_m).stand)
    tight: LineString | None = None
    for piece in shapely.get_parts(shapely.difference(LineString(way.points), stand)):
        if piece.length <= HAIR:
            continue
        for run in _narrow_runs(walk, piece, rule.width_m):
            tight = run if tight is None or run.length > tight.length else tight
    if tight is not None and tight.length > rule.narrow_long_m + STEP_M:
        middle = tight.interpolate(0.5, normalized=True)
        owner, width = _nearest(walk, middle), float(walk.walker.body_width)
        yield Lack("width", width, rule.width_m, (middle.x, middle.y), None, owner, tight.length)


STEP_M = 0.02
"""Widths along a way are looked at so far apart [m]."""
ASLANT = (0.0, 0.35, -0.35)
"""The width at a place is the least of that straight across the way and a little aslant [rad]."""


def _narrow_runs(walk: Walk, piece: LineString, width_m: float) -> Iterator[LineString]:
    """Yield the runs of a piece of way along which what stands left and right is less than ``width_m`` apart."""
    stops = np.array([b.shape for b in walk.free.found], dtype=object)
    near = shapely.union_all(stops[shapely.dwithin(stops, piece, width_m)])
    shapely.prepare(near)
    along = np.arange(0.0, piece.length + STEP_M / 2, STEP_M)
    narrow = [_width_at(piece, float(s), near, width_m) < width_m - HAIR for s in along]
    start: float | None = None
    for s, is_narrow in zip(along, narrow, strict=True):
        if is_narrow and start is None:
            start = float(s)
        elif not is_narrow and start is not None:
            yield substring(piece, start, float(s))
            start = None
    if start is not None:
        yield substring(piece, start, piece.length)


def _width_at(piece: LineString, along: float, near: BaseGeometry, width_m: float) -> float:
    """Return how far apart the things left and right of a point of a way stand [m], no more than twice ``width_m``."""
    here, there = piece.interpolate(max(along - 0.01, 0.0)), piece.interpolate(min(along + 0.01, piece.length))
    at = piece.interpolate(along)
    ahead = math.atan2(there.y - here.y, there.x - here.x)
    best = 2 * width_m
    for turn in ASLANT:
        sides = 0.0
        for side in (math.pi / 2, -math.pi / 2):
            a = ahead + side + turn
            ray = LineString([(at.x, at.y), (at.x + width_m * math.cos(a), at.y + width_m * math.sin(a))])
            hit = shapely.intersection(near, ray) if shapely.intersects(near, ray) else None
            sides += width_m if hit is None else at.distance(hit)
        best = min(best, sides)
    return best


def _nearest(walk: Walk, at: Point) -> str:
    near = [(b.shape.distance(at), b.owner) for b in walk.free.found if b.owner]
    return min(near)[1] if near else ""


def _passing(walk: Walk, way: Way, rule: Rule) -> Iterator[Lack]:
    """Yield the longest piece of the way with no place to pass, if it is longer than the rule allows."""
    if way.length_m <= rule.passing_every_m or len(way.points) < 2:
        return
    wide = FreeGround(walk.scene.world, walk.free.found, rule.passing_m).area
    line = LineString(way.points)
    without = [p for p in shapely.get_parts(shapely.difference(line, wide)) if p.length > HAIR]
    longest = max(without, key=lambda p: p.length, default=None)
    if longest is not None and longest.length > rule.passing_every_m + HAIR:
        at = longest.interpolate(0.5, normalized=True)
        yield Lack("passing", longest.length, rule.passing_every_m, (at.x, at.y), None, "", longest.length)
