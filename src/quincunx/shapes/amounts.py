"""An amount at each cell of a grid over the ground, parted into bands: how sun, sight and rain are shown."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.shapes.figures import AreaFigure, Figure, PathFigure, Pattern, Role, TextFigure

Singles = NDArray[np.float32]
Floats = NDArray[np.float64]

SHADES = 7
"""Steps of the scale of shades: 0 the darkest, 6 the lightest."""
PATTERNS: tuple[Pattern, ...] = ("cross", "hatch", "boards", "waves", "dots", "tufts", "plain")
"""A second mark beside each shade, so that a print without colour reads the same."""
LINE_LEAST_M = 2.0
"""A line round less than this is not drawn [m]."""
LABEL_LEAST_M = 7.0
"""A line shorter than this carries no number [m]."""
DIGITS = 6
"""Decimals a line's points keep [m]: those of two squares side by side are then the same, and their frame's with them."""
SMOOTH_M = 0.02
"""Lines are drawn true to this [m]; the cells themselves are coarser."""


@dataclass(frozen=True, slots=True)
class Band:
    """Amounts from ``least`` up to the next band's: what they are called, and their step of the scale of shades."""

    least: float
    words: str
    shade: int


@dataclass(frozen=True, eq=False)
class Amounts:
    """``values[row, column]`` in ``unit``, rows from ``y0_m`` north, columns from ``x0_m`` east; NaN where there is none.

    ``bands`` go up; what is below the first counts to the first.  ``digits`` are written after the decimal mark.  Lines
    with numbers part the bands on the board unless it is not ``lined``.
    """

    x0_m: float
    y0_m: float
    cell_m: float
    values: Singles
    unit: str
    bands: tuple[Band, ...]
    digits: int = 1
    lined: bool = True

    def at(self, x_m: float, y_m: float) -> float:
        """Return the amount of the cell at a point [m]; NaN off the grid and where there is none."""
        row, column = int((y_m - self.y0_m) // self.cell_m), int((x_m - self.x0_m) // self.cell_m)
        inside = 0 <= row < self.values.shape[0] and 0 <= column < self.values.shape[1]
        return float(self.values[row, column]) if inside else float("nan")

    def band(self, value: float) -> Band:
        """Return the band an amount lies in."""
        return next((b for b in reversed(self.bands) if value >= b.least), self.bands[0])

    def within(self, ground: BaseGeometry, without: Iterable[BaseGeometry] = ()) -> Amounts:
        """Return the same with nothing outside ``ground`` and under each of ``without``."""
        x, y = np.meshgrid(*self.middles())
        keep = shapely.contains_xy(ground, x, y)
        for shape in without:
            keep &= ~shapely.contains_xy(shape, x, y)
        values = np.where(keep, self.values, np.float32(np.nan)).astype(np.float32)
        return replace(self, values=values)

    def middles(self) -> tuple[Floats, Floats]:
        """Return the middles of the columns and of the rows [m]."""
        rows, columns = self.values.shape
        x = self.x0_m + (np.arange(columns) + 0.5) * self.cell_m
        return np.asarray(x, np.float64), np.asarray(self.y0_m + (np.arange(rows) + 0.5) * self.cell_m, np.float64)


def lines_between(of: Amounts, write: Callable[[float], str] | None = None, role: Role = "note") -> list[Figure]:
    """Return a line at the foot of each band but the first, the longer ones with their number where ``write`` says it."""
    out: list[Figure] = []
    for band in of.bands[1:]:
        for line in _level(of, band.least):
            points = tuple((float(x), float(y)) for x, y in shapely.simplify(line, SMOOTH_M).coords)
            out.append(PathFigure(points, role, weight="fine"))
            if write is not None and line.length > LABEL_LEAST_M:
                at = line.interpolate(0.5, normalized=True)
                out.append(TextFigure((at.x, at.y), write(band.least), role, size="small"))
    return out


def band_areas(of: Amounts, role: Role = "note") -> list[AreaFigure]:
    """Return the ground of each band as areas with its shade and pattern, for paper; straight between the cells."""
    rows, columns = of.values.shape
    x, y = of.middles()
    frame = shapely.box(*np.round((x[0], y[0], x[-1], y[-1]), DIGITS))
    known = _known(of)
    cuts = [frame.exterior, *(line for band in of.bands[1:] for line in _level(of, band.least, clipped=False))]
    pieces = shapely.get_parts(shapely.polygonize([shapely.unary_union(cuts)]))
    shapes: dict[Band, list[Polygon]] = {}
    filled = _filled(of.values)
    for piece in pieces:
        inner = piece.representative_point()
        column = min(max(round((inner.x - x[0]) / of.cell_m), 0), columns - 1)
        row = min(max(round((inner.y - y[0]) / of.cell_m), 0), rows - 1)
        shapes.setdefault(_band_of_piece(of, piece, filled, float(filled[row, column])), []).append(piece)
    out: list[AreaFigure] = []
    for band in of.bands:
        whole = shapely.intersection(shapely.union_all(shapes.get(band, [])), known)
        rings = tuple(
            tuple((float(a), float(b)) for a, b in ring.coords[:-1])
            for part in shapely.get_parts(shapely.simplify(whole, SMOOTH_M))
            if isinstance(part, Polygon) and not part.is_empty
            for ring in (part.exterior, *part.interiors)
        )
        if rings:
            pattern = PATTERNS[band.shade]
            out.append(AreaFigure(rings, role, "", pattern, outline=False, shade=band.shade))
    return out


def _band_of_piece(of: Amounts, piece: Polygon, filled: Singles, fallback: float) -> Band:
    """Return the band of a piece between lines: that of most cell middles in it, of the nearest where it has none."""
    x, y = of.middles()
    west, south, east, north = piece.bounds
    c = np.arange(np.searchsorted(x, west), np.searchsorted(x, east, side="right"))
    r = np.arange(np.searchsorted(y, south), np.searchsorted(y, north, side="right"))
    if not len(c) or not len(r):
        return of.band(fallback)
    gx, gy = np.meshgrid(x[c], y[r])
    inside = shapely.contains_xy(piece, gx, gy)
    if not inside.any():
        return of.band(fallback)
    return of.band(float(np.median(filled[np.ix_(r, c)][inside])))


def _known(of: Amounts) -> BaseGeometry:
    """Return the ground of the cells that have an amount, as boxes run by run."""
    known = np.isfinite(of.values)
    rows, columns = known.shape
    padded = np.zeros((rows, columns + 2), np.int8)
    padded[:, 1:-1] = known
    turn = np.diff(padded, axis=1)
    row, begin = np.nonzero(turn == 1)
    _, end = np.nonzero(turn == -1)
    west, south = of.x0_m + begin * of.cell_m, of.y0_m + row * of.cell_m
    return shapely.union_all(shapely.box(west, south, of.x0_m + end * of.cell_m, south + of.cell_m))


def _filled(values: Singles) -> Singles:
    """Return the values with what is missing taken from the nearest in its row, else as the least there is."""
    out = np.array(values, np.float32)
    least = np.float32(np.nanmin(out)) if np.isfinite(out).any() else np.float32(0)
    for line in out:
        known = np.flatnonzero(np.isfinite(line))
        if len(known):
            at = np.searchsorted(known, np.arange(len(line)))
            before, after = known[np.clip(at - 1, 0, None)], known[np.clip(at, None, len(known) - 1)]
            here = np.arange(len(line))
            line[:] = line[np.where(here - before <= after - here, before, after)]
        else:
            line[:] = least
    return out


def _level(of: Amounts, level: float, *, clipped: bool = True) -> list[LineString]:
    """Return the lines where the amounts between the cells' middles pass ``level``, straight across two triangles a square."""
    z = _filled(of.values).astype(np.float64) - level
    z[z == 0] = 1e-9
    x, y = of.middles()
    gx, gy = np.meshgrid(x, y)
    corner = np.stack([gx, gy, z], axis=-1)
    a, b, c, d = corner[:-1, :-1], corner[:-1, 1:], corner[1:, 1:], corner[1:, :-1]
    triangles = np.concatenate([np.stack(t, axis=-2).reshape(-1, 3, 3) for t in ((a, b, c), (a, c, d))])
    above = triangles[:, :, 2] > 0
    cut = triangles[above.any(axis=1) & ~above.all(axis=1)]
    if not len(cut):
        return []
    # Turn each so that the corner alone on its side comes first.
    up = cut[:, :, 2] > 0
    odd = np.where(up.sum(axis=1) == 1, up.argmax(axis=1), (~up).argmax(axis=1))
    one, two, three = (cut[np.arange(len(cut)), (odd + k) % 3] for k in range(3))
    ends = np.stack([_between(one, two), _between(one, three)], axis=1)
    long = np.hypot(*(ends[:, 0] - ends[:, 1]).T) > 1e-9
    lines: BaseGeometry = shapely.line_merge(
        shapely.multilinestrings(shapely.linestrings(np.round(ends[long], DIGITS)))
    )
    if clipped:
        lines = shapely.line_merge(shapely.intersection(lines, _known(of)))
    least = LINE_LEAST_M if clipped else 0.0
    return [p for p in shapely.get_parts(lines) if isinstance(p, LineString) and p.length > least]


def _between(one: Floats, other: Floats) -> Floats:
    t = one[:, 2] / (one[:, 2] - other[:, 2])
    return np.asarray(one[:, :2] + t[:, None] * (other[:, :2] - one[:, :2]), np.float64)
