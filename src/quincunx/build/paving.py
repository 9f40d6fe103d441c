"""Units laid in a pattern, counted on the real outline: whole ones, cut ones, slivers, and what to buy.

Everything is counted by geometry: each unit of the pattern is laid over the outline, and either lies wholly inside,
is cut by the edge, or is not there.  What has to be bought follows from the cut pieces themselves: two that fit one
behind the other in a unit are sawn from one unit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import shapely
from shapely import Polygon

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy as np
    from numpy.typing import NDArray

    Boxes = NDArray[np.float64]
    """Units as (n, 4, 2) corners [m]."""

XY = tuple[float, float]
SLIVER_M = 0.0095
"""A cut piece narrower than 3/8 in is a sliver (Interlocking Concrete Pavement Institute, Construction Tolerances)."""
NOTHING_M2 = 1e-6
"""What is smaller than a square millimetre is neither a piece nor a cut."""
SAW_M = 0.004
"""What a saw takes between two pieces of one unit [m] (common practice, no source)."""
BREAKAGE = 0.05
"""Bought over what is laid, for breakage (Brick Industry Association, Seven Easy Steps, step 1: 5 in 100)."""
MANY, SQUARE = 50_000, 60
"""Where the bounds of an outline hold more units than this they are laid square by square, a square so many units wide."""
AT_45 = ("herringbone 45", "diagonal")


@dataclass(frozen=True, slots=True)
class Laid:
    """Units counted on an outline.

    ``cut_units`` is how many units the cut pieces are sawn from, ``edge`` the units of an edge course, ``waste_share``
    the share of the area of all field units bought that isn't laid (breakage apart).
    """

    whole: int
    cut: int
    cut_units: int
    slivers: int
    edge: int
    area_m2: float
    waste_share: float

    @property
    def units(self) -> int:
        """Return how many units it takes if none breaks."""
        return self.whole + self.cut_units + self.edge

    def to_buy(self, breakage: float = BREAKAGE) -> int:
        """Return how many to buy: field units with breakage, edge units as they are."""
        return self.edge + math.ceil(round((self.whole + self.cut_units) * (1 + breakage), 6))


def boxes_over(
    bounds: tuple[float, float, float, float], unit_m: tuple[float, float], joint_m: float, pattern: str, start: XY
) -> Boxes:
    """Return the units of a pattern over ``bounds`` [m], one of them with its corner at ``start``."""
    makers = {"basket": _basket, "herringbone": _herringbone, "herringbone 45": _herringbone, "circular": _rings}
    return makers.get(pattern, _courses)(bounds, unit_m, joint_m, pattern, start)


def _grid(bounds: tuple[float, float, float, float], step: XY, start: XY) -> tuple[Boxes, Boxes]:
    import numpy as np

    west, south, east, north = bounds
    i = np.arange(math.floor((west - start[0]) / step[0]) - 2, math.ceil((east - start[0]) / step[0]) + 3)
    j = np.arange(math.floor((south - start[1]) / step[1]) - 2, math.ceil((north - start[1]) / step[1]) + 3)
    a, b = np.meshgrid(i, j)
    return a.ravel().astype(np.float64), b.ravel().astype(np.float64)


def _rects(x: Boxes, y: Boxes, wide: float, high: float) -> Boxes:
    import numpy as np

    return np.stack(
        [np.stack([x + dx, y + dy], axis=-1) for dx, dy in ((0, 0), (wide, 0), (wide, high), (0, high))], axis=1
    )


def _courses(
    bounds: tuple[float, float, float, float], unit_m: tuple[float, float], joint_m: float, pattern: str, start: XY
) -> Boxes:
    step = (unit_m[0] + joint_m, unit_m[1] + joint_m)
    i, j = _grid(bounds, step, start)
    shift = (j % 2) * step[0] / 2 if pattern == "running" else 0.0 * j
    return _rects(start[0] + i * step[0] + shift, start[1] + j * step[1], unit_m[0], unit_m[1])


def _basket(
    bounds: tuple[float, float, float, float], unit_m: tuple[float, float], joint_m: float, pattern: str, start: XY
) -> Boxes:
    import numpy as np

    del pattern
    long, wide = unit_m
    pairs = max(round((long + joint_m) / (wide + joint_m)), 1)
    side = max(long + joint_m, pairs * (wide + joint_m))
    i, j = _grid(bounds, (side, side), start)
    flat = (i + j) % 2 == 0
    x, y = start[0] + i * side, start[1] + j * side
    out = []
    for n in range(pairs):
        at = n * side / pairs
        out += [_rects(x[flat], y[flat] + at, long, wide), _rects(x[~flat] + at, y[~flat], wide, long)]
    return np.concatenate(out)


def _herringbone(
    bounds: tuple[float, float, float, float], unit_m: tuple[float, float], joint_m: float, pattern: str, start: XY
) -> Boxes:
    """Lay on a grid of half lengths: along at x - y = 0, upright at x - y = 3 (both mod 4)."""
    import numpy as np

    del pattern
    long, wide = unit_m
    step = max(wide + joint_m, (long + joint_m) / 2)
    i, j = _grid(bounds, (step, step), start)
    kind = (i - j) % 4
    x, y = start[0] + i * step, start[1] + j * step
    return np.concatenate(
        [_rects(x[kind == 0], y[kind == 0], long, wide), _rects(x[kind == 3], y[kind == 3], wide, long)]
    )


def _rings(
    bounds: tuple[float, float, float, float], unit_m: tuple[float, float], joint_m: float, pattern: str, start: XY
) -> Boxes:
    """Lay rings about ``start``, each unit square to its radius, joints widening outwards; one unit lies in the middle.

    A ring begins where the outer corners of the one inside it end, so that straight units never lie on each other.
    """
    import numpy as np

    del pattern
    west, south, east, north = bounds
    reach = max(math.dist(start, c) for c in ((west, south), (east, south), (east, north), (west, north)))
    long, deep = unit_m
    half, up = np.array([long / 2, 0.0]), np.array([0.0, deep / 2])
    out = [np.array([[-half - up, half - up, half + up, -half + up]])]
    inner = math.hypot(long / 2, deep / 2) + joint_m
    while inner < reach:
        count = math.floor(math.pi / math.atan((long + joint_m) / (2 * inner)) + 1e-9)
        angle = 2 * np.pi * np.arange(count) / count
        across, outward = np.stack([-np.sin(angle), np.cos(angle)], -1), np.stack([np.cos(angle), np.sin(angle)], -1)
        near, far, aside = outward * inner, outward * (inner + deep), across * long / 2
        out.append(np.stack([near - aside, near + aside, far + aside, far - aside], axis=1))
        inner = math.hypot(inner + deep, long / 2) + joint_m
    laid: Boxes = np.concatenate(out) + np.array(start)
    return laid


def lay(
    outline: Polygon,
    unit_m: tuple[float, float],
    *,
    joint_m: float = 0.0,
    pattern: str = "running",
    turn_deg: float | None = None,
    start: XY | None = None,
    edge: str = "none",
) -> Laid:
    """Count units of ``unit_m`` (length, width) [m] laid in a pattern over ``outline`` [m].

    ``turn_deg`` is the bearing of the courses (default: along the longest side; the patterns at 45 degrees turn from
    there), ``start`` a corner of the pattern (default: the end of that side; the middle for rings).  ``edge`` puts one
    course of whole units round the rim: ``across`` it (their short side along the rim) or ``along`` it.
    """
    import numpy as np

    rim, field = _edge(outline, unit_m, joint_m, edge)
    if field.is_empty:
        return Laid(0, 0, 0, 0, rim, outline.area, 0.0)
    origin, bearing_deg = _longest(outline)
    turn = math.radians(90.0 - (bearing_deg if turn_deg is None else turn_deg) - (45.0 if pattern in AT_45 else 0.0))
    if start is None:
        middle = outline.centroid
        start = (middle.x, middle.y) if pattern == "circular" else origin
    c, s = math.cos(-turn), math.sin(-turn)
    flat = shapely.transform(field, lambda p: (p - start) @ np.array([[c, s], [-s, c]]))
    whole = 0
    pieces: list[tuple[Polygon, Boxes]] = []
    for boxes in _parts(flat, unit_m, joint_m, pattern):
        more, cut = _overlay(flat, boxes)
        whole += more
        pieces += cut
    area = unit_m[0] * unit_m[1]
    ways = [_extent(p, unit) for p, unit in pieces]
    cut_units = _units_for([along for along, _ in ways], unit_m[0])
    laid = whole * area + math.fsum(p.area for p, _ in pieces)
    waste = 1 - laid / ((whole + cut_units) * area) if whole + cut_units else 0.0
    return Laid(whole, len(pieces), cut_units, sum(min(w) < SLIVER_M for w in ways), rim, outline.area, max(waste, 0.0))


def _parts(field: Polygon, unit_m: tuple[float, float], joint_m: float, pattern: str) -> Iterator[Boxes]:
    """Yield the units near ``field``: all at once, or square by square where its bounds hold many that don't lie on it.

    A long way across much ground has few units in bounds that would hold millions.  Each unit is in the square of its
    first corner, so that it comes once.
    """
    import numpy as np

    west, south, east, north = field.bounds
    long = max(unit_m)
    if pattern == "circular" or (east - west) * (north - south) <= MANY * unit_m[0] * unit_m[1]:
        yield boxes_over(field.bounds, unit_m, joint_m, pattern, (0.0, 0.0))
        return
    side = SQUARE * long
    x, y = (
        low - long + side * np.arange(math.ceil((high - low + long) / side) + 1)
        for low, high in ((west, east), (south, north))
    )
    i, j = (k.ravel() for k in np.meshgrid(np.arange(len(x) - 1), np.arange(len(y) - 1)))
    shapely.prepare(field)
    near = shapely.intersects(field, shapely.box(x[i], y[j], x[i + 1] + long, y[j + 1] + long))
    for m, n in zip(i[near], j[near], strict=True):
        boxes = boxes_over((x[m], y[n], x[m + 1], y[n + 1]), unit_m, joint_m, pattern, (0.0, 0.0))
        at = boxes[:, 0]
        yield boxes[(x[m] <= at[:, 0]) & (at[:, 0] < x[m + 1]) & (y[n] <= at[:, 1]) & (at[:, 1] < y[n + 1])]


def _overlay(field: Polygon, boxes: Boxes) -> tuple[int, list[tuple[Polygon, Boxes]]]:
    """Return how many units lie wholly inside, and the pieces of those cut by the edge, each with its unit."""
    west, south, east, north = field.bounds
    low, high = boxes.min(axis=1), boxes.max(axis=1)
    near = boxes[(high[:, 0] > west) & (low[:, 0] < east) & (high[:, 1] > south) & (low[:, 1] < north)]
    units = shapely.polygons(near)
    # Unit corners on the outline itself count as inside: the outline is taken a hair larger.
    hair = field.buffer(1e-7, join_style="mitre")
    shapely.prepare(hair)
    inside = shapely.contains(hair, units)
    touched = ~inside & shapely.intersects(hair, units)
    pieces = shapely.intersection(field, units[touched])
    full = shapely.area(units[touched]) - NOTHING_M2
    kept = [(p, u) for p, u, a in zip(pieces, near[touched], full, strict=True) if NOTHING_M2 < p.area <= a]
    return int(inside.sum() + (shapely.area(pieces) > full).sum()), kept


def _extent(piece: Polygon, unit: Boxes) -> tuple[float, float]:
    """Return how much of its unit's length, and of its width, a piece reaches over [m]."""
    import numpy as np

    points = shapely.get_coordinates(piece)
    reach = []
    for side in (unit[1] - unit[0], unit[3] - unit[0]):
        long = float(np.hypot(*side))
        on = points @ (side / long)
        reach.append((long, float(on.max() - on.min())))
    (_, along), (_, across) = sorted(reach, reverse=True)
    return along, across


def _units_for(lengths_m: list[float], unit_m: float) -> int:
    """Return how many units of ``unit_m`` the pieces are sawn from, longest first into the first with room.

    The rooms left stand under a tree of their largest, so that the first with room is found without asking them all.
    """
    half = 1 << max(len(lengths_m) - 1, 0).bit_length()
    most = [math.inf] * (2 * half)  # a unit not begun has room for any piece
    begun = 0
    for length in sorted(lengths_m, reverse=True):
        k = 1
        while k < half:
            k = 2 * k if length + SAW_M <= most[2 * k] + 1e-9 else 2 * k + 1
        begun += most[k] == math.inf
        most[k] = (unit_m - length) if most[k] == math.inf else most[k] - length - SAW_M
        while k > 1:
            k //= 2
            most[k] = max(most[2 * k], most[2 * k + 1])
    return begun


def _edge(outline: Polygon, unit_m: tuple[float, float], joint_m: float, edge: str) -> tuple[int, Polygon]:
    """Return the units of an edge course and the field inside it."""
    if edge == "none":
        return 0, outline
    along, deep = (unit_m[1], unit_m[0]) if edge == "across" else (unit_m[0], unit_m[1])
    inside = outline.buffer(-(deep + joint_m), join_style="mitre")
    biggest = max(getattr(inside, "geoms", [inside]), key=lambda p: p.area)
    return math.ceil(round(outline.exterior.length / (along + joint_m), 6)), biggest


def edge_count(length_m: float, unit_m: tuple[float, float], *, joint_m: float = 0.0, across: bool = False) -> int:
    """Return the units of a single course ``length_m`` long [m], laid along it or ``across`` it."""
    return math.ceil(round(length_m / ((unit_m[1] if across else unit_m[0]) + joint_m), 6))


def _longest(outline: Polygon) -> tuple[XY, float]:
    """Return an end of the longest side of an outline and its bearing [deg]."""
    ring = list(outline.exterior.coords)
    sides = [(round(math.dist(a, b), 6), -n) for n, (a, b) in enumerate(pairwise(ring))]
    n = -max(sides)[1]
    a, b = ring[n], ring[n + 1]
    return (float(a[0]), float(a[1])), math.degrees(math.atan2(b[0] - a[0], b[1] - a[1])) % 360.0


def best_start(
    outline: Polygon,
    unit_m: tuple[float, float],
    *,
    joint_m: float = 0.0,
    pattern: str = "running",
    tries: int = 4,
    edge: str = "none",
) -> tuple[XY, Laid]:
    """Return where to start the pattern so that fewest slivers, then fewest units, then fewest cuts result.

    It tries ``tries`` x ``tries`` shifts of one unit along and across the longest side.
    """
    origin, bearing_deg = _longest(outline)
    b = math.radians(bearing_deg)
    middle = outline.centroid
    inside = 1.0 if from_corner(outline, (middle.x, middle.y))[1] >= 0 else -1.0
    found = []
    for i in range(tries):
        for j in range(tries):
            along, off = (unit_m[0] + joint_m) * i / tries, inside * (unit_m[1] + joint_m) * j / tries
            at = (
                origin[0] + along * math.sin(b) + off * math.cos(b),
                origin[1] + along * math.cos(b) - off * math.sin(b),
            )
            laid = lay(outline, unit_m, joint_m=joint_m, pattern=pattern, start=at, edge=edge)
            found.append(((laid.slivers, laid.units, laid.cut, i, j), at, laid))
    _, at, laid = min(found, key=lambda f: f[0])
    return at, laid


def from_corner(outline: Polygon, at: XY) -> tuple[float, float]:
    """Return how far along the longest side from its first end, and how far aside of it, a point lies [m]."""
    origin, bearing_deg = _longest(outline)
    b = math.radians(bearing_deg)
    dx, dy = at[0] - origin[0], at[1] - origin[1]
    return dx * math.sin(b) + dy * math.cos(b), dx * math.cos(b) - dy * math.sin(b)
