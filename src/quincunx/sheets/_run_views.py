"""Walls, fences, beds and edgings from above and from the front: true to scale, with the lengths a person tapes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from shapely import LineString, Point, Polygon

from quincunx.build._data import table
from quincunx.shapes import (
    XY,
    AreaFigure,
    AreaWork,
    DimensionFigure,
    Figure,
    FrameWork,
    LineWork,
    Member,
    PathFigure,
    Pattern,
    Work,
)
from quincunx.sheets._section import TRENCHED, Section

SAME_WAY_DEG, NEAR_M = 20.0, 0.35
"""Sides this near to the longest one's direction are seen in the same view, with the posts this near to them."""

Side = tuple[XY, XY]


def from_above(works: Sequence[Work]) -> Section | None:
    """Return runs and floors from above, the longest side along the page, with the lengths of two sides."""
    sides = [s for w in works if isinstance(w, LineWork) for s in w.sides]
    sides += [s for w in works if isinstance(w, AreaWork) and w.dug for s in _ring(w.outline)]
    if not sides:
        return None
    turn = _Turn(max(sides, key=_long))
    figures: list[Figure] = []
    for w in works:
        if isinstance(w, AreaWork) and w.dug:
            pattern: Pattern = table("made_so")["patterns"].get(w.layers[0].material, "plain") if w.layers else "plain"
            figures.append(AreaFigure((tuple(turn(p) for p in w.outline.exterior.coords[:-1]),), "below", "", pattern))
        elif isinstance(w, LineWork):
            figures += [_bar(turn(a), turn(b), w.thickness_m) for a, b in w.sides]
        elif isinstance(w, FrameWork):
            figures += [_square(turn(m.start[:2]), min(m.section_m)) for m in w.members if m.support == "post"]
    ways = sorted(((turn(a), turn(b)) for a, b in sides), key=lambda s: -round(_long(s), 4))
    first = ways[0]
    other = next((s for s in ways if abs(math.sin(_deg(s) - _deg(first))) > math.sin(math.radians(SAME_WAY_DEG))), None)
    return _framed(figures, [s for s in (first, other) if s is not None])


def from_the_front(works: Sequence[Work]) -> Section | None:
    """Return what stands along the longest side as seen from before it, with its length and its height."""
    lines = [w for w in works if isinstance(w, LineWork) and not _in_a_trench(w)]
    every = [(s, w) for w in lines for s in w.sides]
    if not every:
        return None
    longest = max((s for s, _ in every), key=_long)
    turn = _Turn(longest)
    seen = [(turn(a), turn(b), w) for (a, b), w in every if _alike((a, b), longest)]
    front = turn(longest[0])[1]
    near = [s for s in seen if abs(s[0][1] - front) < NEAR_M]
    figures: list[Figure] = []
    for m in _posts(works):
        at = turn(m.start[:2])
        if abs(at[1] - front) < NEAR_M:
            figures += _post(at[0], m)
    for a, b, w in near:
        figures += _face(min(a[0], b[0]), max(a[0], b[0]), w)
    west, east = min(min(a[0], b[0]) for a, b, _ in near), max(max(a[0], b[0]) for a, b, _ in near)
    high = max(w.height_m for _, _, w in near)
    reach = 0.06 * (east - west) + 0.15
    figures.append(PathFigure(((west - reach, 0.0), (east + reach, 0.0)), "datum", "ground", weight="thick"))
    low = min([0.0, *(y for f in figures if isinstance(f, PathFigure) for _, y in f.points)])
    size = max(east - west, high)
    figures.append(DimensionFigure((west, low), (east, low), east - west, offset_m=-0.07 * size))
    if high > 0.02:
        at_x = east + 0.03 * size
        figures.append(DimensionFigure((at_x, 0.0), (at_x, high), high, offset_m=-0.04 * size))
    return Section(
        tuple(figures), (west - reach, low - 0.16 * size, east + reach + 0.14 * size, high + 0.06 * size + 0.05)
    )


class _Turn:
    """Turns points so that a side lies along the page."""

    def __init__(self, side: Side) -> None:
        a = math.atan2(side[1][1] - side[0][1], side[1][0] - side[0][0])
        self.c, self.s, self.at = math.cos(a), math.sin(a), side[0]

    def __call__(self, at: Sequence[float]) -> XY:
        x, y = at[0] - self.at[0], at[1] - self.at[1]
        return (x * self.c + y * self.s, y * self.c - x * self.s)


def _ring(outline: Polygon) -> list[Side]:
    return [((float(a[0]), float(a[1])), (float(b[0]), float(b[1]))) for a, b in pairwise(outline.exterior.coords)]


def _long(side: Side) -> float:
    return round(math.dist(*side), 4)


def _deg(side: Side) -> float:
    return math.atan2(side[1][1] - side[0][1], side[1][0] - side[0][0])


def _alike(side: Side, other: Side) -> bool:
    return abs(math.sin(_deg(side) - _deg(other))) < math.sin(math.radians(SAME_WAY_DEG))


def _in_a_trench(work: LineWork) -> bool:
    from quincunx.build._data import line_row

    return line_row(work.material).get("by") in TRENCHED


def _posts(works: Sequence[Work]) -> list[Member]:
    return [m for w in works if isinstance(w, FrameWork) for m in w.members if m.support == "post"]


def _bar(a: XY, b: XY, thick_m: float) -> AreaFigure:
    shape = LineString([a, b]).buffer(max(thick_m, 0.01) / 2, cap_style="flat")
    ring = tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])
    return AreaFigure((ring,), "built", "", "plain", weight="thin")


def _square(at: XY, side_m: float) -> AreaFigure:
    shape = Point(at).buffer(side_m / 2, cap_style="square")
    ring = tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])
    return AreaFigure((ring,), "built", "", "hatch", weight="normal")


def _post(x: float, m: Member) -> Iterator[Figure]:
    """Yield a post from its foot, dashed below the ground, to its top."""
    half = min(m.section_m) / 2
    low, high = min(m.start[2], m.end[2]), max(m.start[2], m.end[2])
    yield AreaFigure((_rect(x - half, x + half, max(low, 0.0), high),), "built", "", "plain", weight="thin")
    if low < 0:
        yield PathFigure(_rect(x - half, x + half, low, 0.0), "below", "", closed=True, weight="thin", dash=True)


def _face(west: float, east: float, work: LineWork) -> Iterator[Figure]:
    """Yield the face of a run: its boards one by one, or its outline with its pattern."""
    from quincunx.build._data import line_row

    row, plain = line_row(work.material), work.material.rpartition(" ")[2]
    if row.get("by") == "fence-boards":
        step = row["board_m"][0] - row["lap_m"]
        count = max(math.ceil((east - west) / step - 1e-6), 1)
        for n in range(count):
            a = west + n * step
            yield AreaFigure(
                (_rect(a, min(a + row["board_m"][0], east), 0.03, work.height_m),), "built", "", "plain", weight="fine"
            )
        return
    pattern: Pattern = table("made_so")["faces"].get(plain, "plain")
    yield AreaFigure((_rect(west, east, 0.0, work.height_m),), "built", "", pattern, weight="normal")


def _rect(west: float, east: float, low: float, high: float) -> tuple[XY, ...]:
    return ((west, low), (east, low), (east, high), (west, high))


def _framed(figures: list[Figure], dims: Sequence[Side]) -> Section:
    points = [p for f in figures if isinstance(f, AreaFigure) for p in f.rings[0]]
    west, east = min(p[0] for p in points), max(p[0] for p in points)
    south, north = min(p[1] for p in points), max(p[1] for p in points)
    size = max(east - west, north - south)
    for n, (a, b) in enumerate(dims):
        if n == 0:
            figures.append(
                DimensionFigure(
                    (min(a[0], b[0]), south), (max(a[0], b[0]), south), math.dist(a, b), offset_m=-0.06 * size
                )
            )
        else:
            figures.append(
                DimensionFigure(
                    (east, min(a[1], b[1])), (east, max(a[1], b[1])), abs(a[1] - b[1]), offset_m=-0.06 * size
                )
            )
    more = 0.04 * size + 0.03
    return Section(tuple(figures), (west - more, south - 0.15 * size - more, east + 0.15 * size + more, north + more))
