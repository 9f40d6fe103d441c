"""A section through what is built along lines and over areas: what stands, what lies in the ground, how deep."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from quincunx.build._data import line_row, table
from quincunx.shapes import (
    XY,
    AreaFigure,
    AreaWork,
    DimensionFigure,
    Figure,
    FlightWork,
    LineWork,
    PathFigure,
    Pattern,
    Role,
    TextFigure,
    WaterWork,
    Work,
)
from quincunx.units import Style, format_length

LOW_M, STRIP_M, DOWN_M = 0.3, 0.15, 0.45
"""Runs lower than this have no foundation; thickness of the strip under others, and how far down its foot lies [m]."""
MASONRY = ("brick", "block", "stone", "dry stone", "mortared stone")
TRENCHED = ("drain-trench", "duct-trench")
WIDEST_M = 4.0
"""A floor wider than this is shown by its edge only [m]."""


class Section(NamedTuple):
    """A section as figures in metres across and up, and its bounds (west, south, east, north) [m]."""

    figures: tuple[Figure, ...]
    bounds: tuple[float, float, float, float]


def section(works: Sequence[Work]) -> Section | None:
    """Return the section square to the longest line or side of some works; None where nothing of them can be cut."""
    flight = next((w for w in works if isinstance(w, FlightWork)), None)
    if flight is not None:
        return _stairs(flight, works)
    lines = [w for w in works if isinstance(w, LineWork)]
    areas = [w for w in works if isinstance(w, AreaWork) and w.dug and w.layers]
    if not lines and not areas:
        return None
    cut = _cut([w.course for w in lines] + [w.outline.exterior for w in areas])
    spans = list(_spans(cut, areas))
    figures: list[Figure] = []
    holds = max((w.height_m for w in lines if w.closed), default=0.0)
    waters = {w.owner: w for w in works if isinstance(w, WaterWork)}
    for start, far, work in spans:
        if work.owner in waters and any(x.material == "water" for x in work.layers):
            figures += _pool(start, far, waters[work.owner])
            continue
        end = min(far, start + WIDEST_M)
        deep = sum(x.thickness_m for x in work.layers)
        top = deep if 0 < deep <= holds + 1e-9 else 0.0
        for layer in work.layers:
            if layer.thickness_m > 0:
                figures.append(
                    _box(
                        start,
                        end,
                        top - layer.thickness_m,
                        top,
                        table("made_so")["patterns"].get(layer.material, "plain"),
                        "below",
                    )
                )
                top -= layer.thickness_m
    crossed = sorted(_crossings(cut, lines), key=lambda c: c[0])
    for at, run in crossed:
        if not spans and at > crossed[0][0] + WIDEST_M:
            continue  # the far side of a ring is like the near one
        figures += _wall(at, run)
    if not figures:
        return None
    return _finished(figures)


def _pool(west: float, east: float, water: WaterWork) -> Iterator[Figure]:
    """Yield a pond cut through, its shelves and its deep middle, and how deep each is dug from the ground around."""
    top, shelf, foot = -water.below_m, -water.below_m - water.shelf_m, -water.below_m - water.deep_m
    wide = min(water.shelf_wide_m, (east - west) / 2)
    ring = [(west, top), (west, shelf), (west + wide, shelf), (west + wide, foot)]
    ring += [(east - wide, foot), (east - wide, shelf), (east, shelf), (east, top)]
    yield AreaFigure((tuple(dict.fromkeys(ring)),), "below", "", "waves", weight="thin")
    if wide > 0 and 0 < water.shelf_m < water.deep_m:
        at = west + wide / 2
        yield DimensionFigure((at, shelf), (at, 0.0), -shelf, offset_m=0.0)


def water_words(water: WaterWork, style: Style) -> str:
    """Say how deep water is and how deep its hole is dug, in the middle and on the shelf."""

    def deep(metres: float) -> str:
        dug = f", dug {format_length(metres + water.below_m, style)} below the ground around" if water.below_m else ""
        return f"{format_length(metres, style)} deep{dug}"

    said = f"water, in the middle {deep(water.deep_m)}"
    if water.shelf_m <= 0 or water.shelf_m >= water.deep_m:
        return said
    return f"{said}; on the shelf round it, {format_length(water.shelf_wide_m, style)} wide, {deep(water.shelf_m)}"


def _cut(shapes: Sequence[BaseGeometry]) -> LineString:
    """Return the line square to the longest straight piece of all shapes, through its middle."""
    sides = [(a, b) for s in shapes for a, b in pairwise(s.coords)]
    a, b = max(sides, key=lambda s: round(math.dist(s[0], s[1]), 4))
    run = math.dist(a, b) or 1.0
    nx, ny = -(b[1] - a[1]) / run, (b[0] - a[0]) / run
    # A little off the middle, where joints and posts rarely lie.
    mx, my = a[0] + (b[0] - a[0]) * 0.47, a[1] + (b[1] - a[1]) * 0.47
    return LineString([(mx - nx * 200, my - ny * 200), (mx + nx * 200, my + ny * 200)])


def _spans(cut: LineString, areas: Sequence[AreaWork]) -> Iterator[tuple[float, float, AreaWork]]:
    for work in areas:
        found = cut.intersection(work.outline)
        for piece in getattr(found, "geoms", [found]):
            if isinstance(piece, LineString) and piece.length > 0.02:
                ends = sorted(cut.project(_point(p)) - 200 for p in (piece.coords[0], piece.coords[-1]))
                yield ends[0], ends[1], work


def _crossings(cut: LineString, lines: Sequence[LineWork]) -> Iterator[tuple[float, LineWork]]:
    for work in lines:
        found = cut.intersection(work.course)
        for piece in getattr(found, "geoms", [found]):
            if piece.geom_type == "Point":
                yield cut.project(piece) - 200, work


def _point(at: Sequence[float]) -> BaseGeometry:
    from shapely import Point

    return Point(at)


def _box(west: float, east: float, low: float, high: float, pattern: Pattern, role: Role) -> AreaFigure:
    ring: tuple[XY, ...] = ((west, low), (east, low), (east, high), (west, high))
    return AreaFigure((ring,), role, "", pattern, weight="thin")


def _wall(at: float, work: LineWork) -> Iterator[Figure]:
    """Yield a run cut through: what stands, its foundation if it has one, or the trench it lies in."""
    half = max(work.thickness_m, 0.01) / 2
    if line_row(work.material).get("by") in TRENCHED:
        yield _box(at - half, at + half, -work.height_m, 0.0, "dots", "below")
        return
    plain = work.material.removeprefix("retaining ").removeprefix("raised bed ")
    pattern: Pattern = "bricks" if plain in ("brick", "block") else "stones" if "stone" in plain else "hatch"
    foot = -DOWN_M + STRIP_M if plain in MASONRY and work.height_m >= LOW_M else 0.0
    yield _box(at - half, at + half, foot, work.height_m, pattern, "built")
    if foot < 0:
        yield _box(at - half - 0.15, at + half + 0.15, -DOWN_M, foot, "hatch", "below")


def _finished(figures: list[Figure]) -> Section:
    """Return cut shapes with the ground, their width, their height and their depth."""
    points = [p for f in figures if isinstance(f, AreaFigure) for p in f.rings[0]]
    west, east = min(p[0] for p in points), max(p[0] for p in points)
    low, high = min(p[1] for p in points), max(p[1] for p in points)
    size = max(east - west, high - low)
    reach = 0.12 * size + 0.1
    figures.append(PathFigure(((west - reach, 0.0), (east + reach, 0.0)), "datum", "ground", weight="thick"))
    figures.append(DimensionFigure((west, low), (east, low), east - west, offset_m=-0.1 * size))
    if high > 0.02:
        figures.append(
            DimensionFigure((east + 0.05 * size, 0.0), (east + 0.05 * size, high), high, offset_m=-0.06 * size)
        )
    if low < -0.02:
        figures.append(
            DimensionFigure((east + 0.05 * size, low), (east + 0.05 * size, 0.0), -low, offset_m=-0.2 * size)
        )
    return Section(
        tuple(figures), (west - reach, low - 0.3 * size, east + reach + 0.3 * size, high + 0.12 * size + 0.05)
    )


def layer_words(works: Sequence[Work], style: Style) -> list[str]:
    """Return the layers of the floors among some works from the top down, each with its thickness."""
    waters = {w.owner: w for w in works if isinstance(w, WaterWork)}
    seen = [
        water_words(waters[w.owner], style)
        if x.material == "water" and w.owner in waters
        else f"{x.material.replace('fill for later', 'crushed stone, for the finish to come')}, {format_length(x.thickness_m, style)}"
        for w in works
        if isinstance(w, AreaWork) and w.dug
        for x in w.layers
        if x.thickness_m > 0
    ]
    return list(dict.fromkeys(seen))


def _stairs(flight: FlightWork, works: Sequence[Work]) -> Section:
    """Return a flight from the side: its treads and risers, and what lies under the treads."""
    n = min(flight.count, 12)
    under = max((sum(x.thickness_m for x in w.layers) for w in works if isinstance(w, AreaWork)), default=0.15)
    top: list[XY] = []
    for i in range(n):
        top += [(i * flight.going_m, i * flight.rise_m), (i * flight.going_m, (i + 1) * flight.rise_m)]
    end = n * flight.going_m
    top.append((end, n * flight.rise_m))
    ring = (*top, (end, n * flight.rise_m - under), (0.0, -under))
    run, rise = flight.going_m, flight.rise_m
    figures: list[Figure] = [
        AreaFigure((ring,), "built", "", "hatch", weight="normal"),
        PathFigure(((-0.4, 0.0), (0.0, 0.0)), "datum", "ground", weight="thick"),
        PathFigure(((end, n * rise), (end + 0.4, n * rise)), "datum", "ground", weight="thick"),
        DimensionFigure((0.0, rise), (run, rise), run, offset_m=0.12),
        DimensionFigure((-0.05, 0.0), (-0.05, rise), rise, offset_m=0.15),
        DimensionFigure((0.0, -under), (end, -under), end, offset_m=-0.2),
        TextFigure(
            (end / 2, n * rise + 0.25),
            f"{flight.count} {'step' if flight.count == 1 else 'steps'}",
            "note",
            size="small",
        ),
    ]
    return Section(tuple(figures), (-0.6, -under - 0.45, end + 0.6, n * rise + 0.45))
