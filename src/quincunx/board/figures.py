"""Figures as JSON: the same figures that make the PDF, in metres."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Stood
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, TextFigure, united
from quincunx.units import Style, format_length

FINE = 4
"""Decimals of a coordinate on the sheet: a tenth of a millimetre on the ground."""
SMALL = 3
SMALL_TOLERANCE_M = 0.03
"""How far the outlines of a year's small plan may lie from the true ones [m]; it is drawn a few centimetres wide."""
MANY = 12
"""From so many points on they are rounded together."""
HIT_M = 0.12
"""Half the width of the strip in which a mere line can be touched [m]."""

Bounds = tuple[float, float, float, float]


def xy(points: Iterable[Sequence[float]], digits: int = FINE) -> list[list[float]]:
    """Return points as JSON [m]."""
    some = points if isinstance(points, (tuple, list)) else tuple(points)
    if len(some) < MANY:
        return [[round(float(p[0]), digits), round(float(p[1]), digits)] for p in some]
    found: list[list[float]] = np.round(np.array(some, np.float64)[:, :2], digits).tolist()
    return found


def figures_json(figures: Iterable[Figure], style: Style, digits: int = FINE) -> list[dict[str, Any]]:
    """Return figures as JSON, each with its ``t``, role and owner; lengths on dimensions in the person's writing."""
    return [figure_json(f, style, digits) for f in figures]


def figure_json(f: Figure, style: Style, digits: int = FINE) -> dict[str, Any]:
    """Return one figure as JSON."""
    common = {"role": f.role, "owner": f.owner}
    if isinstance(f, PathFigure):
        line = {"t": "path", "points": xy(f.points, digits), "closed": f.closed, "weight": f.weight}
        return {**line, "dash": f.dash, "arrow": f.arrow, **common}
    if isinstance(f, AreaFigure):
        rings = [xy(ring, digits) for ring in f.rings]
        shade = {} if f.shade is None else {"shade": f.shade}
        area = {"t": "area", "rings": rings, "pattern": f.pattern, "outline": f.outline, "weight": f.weight}
        return {**area, **shade, **common}
    if isinstance(f, TextFigure):
        at = xy((f.at,), digits)[0]
        return {
            "t": "text",
            "at": at,
            "text": f.words(style),
            "size": f.size,
            "rotate_deg": f.rotate_deg,
            "anchor": f.anchor,
            **common,
        }
    start, end = xy((f.start, f.end), digits)
    words = format_length(f.value_m, style)
    return {
        "t": "dimension",
        "start": start,
        "end": end,
        "value_m": f.value_m,
        "text": words,
        "offset_m": f.offset_m,
        **common,
    }


def small_figures(figures: Iterable[Figure]) -> list[Figure]:
    """Return the figures of a small plan: no words or measures, outlines with no more points than it can show."""
    out: list[Figure] = []
    for f in figures:
        if isinstance(f, PathFigure):
            points = _fewer(f.points, closed=f.closed)
            if len(points) > 1:
                out.append(replace(f, points=points))
        elif isinstance(f, AreaFigure):
            rings = tuple(r for r in (_fewer(ring, closed=True) for ring in f.rings) if len(r) > 2)
            if rings:
                out.append(replace(f, rings=rings))
    return out


def _fewer(points: Sequence[XY], *, closed: bool) -> tuple[XY, ...]:
    if len(points) < 5:
        return tuple(points)
    line = shapely.linestrings([*points, points[0]] if closed else list(points))
    thin = shapely.get_coordinates(shapely.simplify(line, SMALL_TOLERANCE_M))
    return tuple((float(x), float(y)) for x, y in (thin[:-1] if closed else thin))


def bounds_of(figures: Iterable[Figure], margin_m: float = 0.0) -> Bounds | None:
    """Return what the figures cover (west, south, east, north) [m]; None if there are none."""
    points = [p for f in figures for p in _points(f)]
    if not points:
        return None
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs) - margin_m, min(ys) - margin_m, max(xs) + margin_m, max(ys) + margin_m)


def _points(f: Figure) -> Iterable[XY]:
    if isinstance(f, PathFigure):
        return f.points
    if isinstance(f, AreaFigure):
        return [p for ring in f.rings for p in ring]
    return (f.at,) if isinstance(f, TextFigure) else (f.start, f.end)


def ghost(figure: Figure) -> Figure | None:
    """Return what doesn't stand yet as fine dashes; None for words and measures."""
    if isinstance(figure, PathFigure):
        return replace(figure, weight="fine", dash=True, arrow=False)
    if isinstance(figure, AreaFigure) and figure.rings:
        return PathFigure(figure.rings[0], figure.role, figure.owner, closed=True, weight="fine", dash=True)
    return None


def outline_of(stood: Stood) -> list[list[list[float]]]:
    """Return the rings by which a thing is touched on the sheet [m]: its ground, or strips along what is drawn of it."""
    shapes: list[BaseGeometry] = [s.footprint for s in stood.solids] + [s.area for s in stood.surfaces]
    shapes += [o.clear.buffer(2 * HIT_M, cap_style="flat") for o in stood.openings]
    if not shapes:
        shapes = [_touchable(f) for f in stood.figures if isinstance(f, (PathFigure, AreaFigure))]
    if not shapes:
        return []
    whole = united(shapes)
    return [
        xy(shapely.get_coordinates(part.exterior)[:-1].tolist())
        for part in shapely.get_parts(whole)
        if part.geom_type == "Polygon"
    ]


def _touchable(f: PathFigure | AreaFigure) -> BaseGeometry:
    if isinstance(f, AreaFigure):
        return shapely.make_valid(shapely.polygons(list(f.rings[0])))
    points = [*f.points, f.points[0]] if f.closed else list(f.points)
    return shapely.buffer(shapely.linestrings(points), HIT_M, quad_segs=2)
