"""How what stands is drawn where an opening cuts it: walls, fences and hedges end at their gates."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.shapes import XY, AreaFigure, Cut, Figure, PathFigure, Prism, Solid

TOUCHES_M = 1e-6
"""What a cut left ends at it as exactly as this [m]."""
G = TypeVar("G", bound=BaseGeometry)
LEAST_M2, LEAST_M = 1e-5, 1e-3
"""Slivers and crumbs of lines smaller than this are no drawing [m2, m]."""


def opened(figures: Sequence[Figure], cuts: Sequence[Cut], solids: Sequence[Solid]) -> tuple[Figure, ...]:
    """Return ``figures`` with a gap wherever one of ``cuts`` has cut what they draw; ``solids`` are cut already."""
    places: dict[str, list[Polygon]] = defaultdict(list)
    prisms = [s for s in solids if isinstance(s.form, Prism)]
    shapes = np.array([s.footprint for s in prisms], dtype=object)
    for cut in cuts:
        for owner in _cut_by(cut, prisms, shapes):
            places[owner].append(cut.place)
    if not places:
        return tuple(figures)
    gaps = {owner: shapely.union_all(all_of_it) for owner, all_of_it in places.items()}
    out: list[Figure] = []
    for figure in figures:
        gap = gaps.get(getattr(figure, "owner", ""))
        if gap is None or not isinstance(figure, (AreaFigure, PathFigure)):
            out.append(figure)
        elif isinstance(figure, AreaFigure):
            out += _area(figure, gap)
        else:
            out += _path(figure, gap)
    return tuple(out)


def _cut_by(cut: Cut, prisms: Sequence[Solid], shapes: NDArray[np.object_]) -> list[str]:
    """Return the owners that a cut has cut: something of theirs ends at it, and nothing is left in it that is drawn.

    What is left over an opening is a lintel, which a plan does not show; what grows on over it is drawn as it grows.
    """
    if not prisms:
        return []
    near = np.flatnonzero(shapely.dwithin(shapes, cut.place, TOUCHES_M))
    ends: set[str] = set()
    kept: set[str] = set()
    for solid in (prisms[i] for i in near.tolist()):
        inside = float(shapely.intersection(solid.footprint, cut.place).area)
        low = cut.up_to_m is None or solid.base.value_m < cut.up_to_m or solid.grown
        if solid.owner != cut.owner:
            (kept if inside > LEAST_M2 and low else ends).add(solid.owner)
    return sorted(ends - kept)


def _area(figure: AreaFigure, gap: BaseGeometry) -> list[Figure]:
    if len(figure.rings[0]) < 3:
        return [figure]
    shape = shapely.make_valid(Polygon(figure.rings[0], figure.rings[1:]))
    if not shape.intersects(gap):
        return [figure]
    left = [p for p in _parts(shape.difference(gap), Polygon) if p.area > LEAST_M2]
    return [replace(figure, rings=tuple(_ring(r.coords) for r in (p.exterior, *p.interiors))) for p in left]


def _path(figure: PathFigure, gap: BaseGeometry) -> list[Figure]:
    points = [*figure.points, figure.points[0]] if figure.closed else list(figure.points)
    if len(points) < 2:
        return [figure]
    line = LineString(points)
    if not line.intersects(gap):
        return [figure]
    left = shapely.line_merge(MultiLineString(_parts(line.difference(gap), LineString)))
    ends = [p for p in _parts(left, LineString) if p.length > LEAST_M]
    return [replace(figure, points=_line(p.coords), closed=False) for p in ends]


def _parts(shape: BaseGeometry, kind: type[G]) -> list[G]:
    return [p for p in shapely.get_parts(shape) if isinstance(p, kind) and not p.is_empty]


def _ring(coords: Sequence[tuple[float, ...]]) -> tuple[XY, ...]:
    return _line(coords)[:-1]


def _line(coords: Sequence[tuple[float, ...]]) -> tuple[XY, ...]:
    return tuple((float(c[0]), float(c[1])) for c in coords)
