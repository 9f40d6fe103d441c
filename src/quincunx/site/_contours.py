"""Lines of equal height over triangles."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from shapely import LineString, Polygon

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Side = tuple[int, int]


def trace(vertices: Floats, triangles: Ints, step_m: float, boundary: Polygon | None) -> list[tuple[float, LineString]]:
    """Return (height, line) for each contour at a multiple of ``step_m`` [m], lowest first, cut to ``boundary``."""
    if not len(triangles):
        return []
    z = vertices[:, 2]
    low, high = float(z.min()), float(z.max())
    if boundary is not None:
        low, high = _range_within(vertices, triangles, boundary)
    levels = [number * step_m for number in range(int(np.ceil(low / step_m)), int(np.floor(high / step_m)) + 1)]
    return [(level, line) for level in levels for line in _cut(_chains(vertices, triangles, level), boundary)]


def _range_within(vertices: Floats, triangles: Ints, boundary: Polygon) -> tuple[float, float]:
    """Return bounds on the height within the boundary from the triangles that meet it."""
    import shapely

    shapes = shapely.polygons(vertices[triangles][:, [0, 1, 2, 0], :2])
    parts = shapely.intersection(shapes, boundary)
    low, high = np.inf, -np.inf
    for corner, piece in zip(vertices[triangles], parts, strict=True):
        if piece.area > 0:
            z = _plane(corner, shapely.get_coordinates(piece))
            low, high = min(low, float(z.min())), max(high, float(z.max()))
    return (low, high) if low <= high else (0.0, -1.0)


def _plane(corner: Floats, xy: Floats) -> Floats:
    """Return the height of a triangle's plane at points (n, 2), kept within the triangle's own range."""
    u, v = corner[1] - corner[0], corner[2] - corner[0]
    double = u[0] * v[1] - u[1] * v[0]
    d = xy - corner[0, :2]
    s, t = (d[:, 0] * v[1] - d[:, 1] * v[0]) / double, (u[0] * d[:, 1] - u[1] * d[:, 0]) / double
    z: Floats = np.clip(corner[0, 2] + s * u[2] + t * v[2], corner[:, 2].min(), corner[:, 2].max())
    return z


def _chains(vertices: Floats, triangles: Ints, level: float) -> list[Floats]:
    """Join the pieces in all triangles at one level into lines; a height equal to it counts as above."""
    above = vertices[:, 2] >= level
    count = above[triangles].sum(axis=1)
    links: dict[Side, list[Side]] = {}
    for t in triangles[(count == 1) | (count == 2)]:
        ends = [_side(t[i], t[i - 2]) for i in range(3) if above[t[i]] != above[t[i - 2]]]
        links.setdefault(ends[0], []).append(ends[1])
        links.setdefault(ends[1], []).append(ends[0])
    return [np.array([_at(vertices, side, level) for side in chain]) for chain in _walk(links)]


def _side(a: int, b: int) -> Side:
    return (int(a), int(b)) if a < b else (int(b), int(a))


def _walk(links: dict[Side, list[Side]]) -> list[list[Side]]:
    """Return each chain once: open ones from their lower end, closed ones from their lowest side."""
    chains, seen = [], set()
    for start in [*sorted(s for s in links if len(links[s]) == 1), *sorted(s for s in links if len(links[s]) == 2)]:
        if start in seen:
            continue
        chain = [start]
        seen.add(start)
        while onward := sorted(side for side in links[chain[-1]] if side not in seen):
            chain.append(onward[0])
            seen.add(onward[0])
        if len(links[start]) == 2 and len(chain) > 2:
            chain.append(start)
        chains.append(chain)
    return chains


def _at(vertices: Floats, side: Side, level: float) -> tuple[float, float]:
    a, b = vertices[side[0]], vertices[side[1]]
    x, y, _ = a + (level - a[2]) / (b[2] - a[2]) * (b - a)
    return float(x), float(y)


def _cut(chains: list[Floats], boundary: Polygon | None) -> list[LineString]:
    """Return the lines of more than no length, cut to the boundary."""
    import shapely

    lines = [shapely.LineString(chain) for chain in chains if len(chain) > 1]
    if boundary is not None:
        lines = [piece for line in lines for piece in _pieces(line.intersection(boundary))]
    return [line for line in lines if line.length > 1e-9]


def _pieces(shape: object) -> list[LineString]:
    import shapely

    joined = shapely.line_merge(shape) if getattr(shape, "geom_type", "") == "MultiLineString" else shape
    return [part for part in getattr(joined, "geoms", [joined]) if part.geom_type == "LineString" and not part.is_empty]
