"""Which points of a thing are set out: corners, posts, ends, stems, centres; told from how it stands, not what it is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
from shapely import Polygon

from quincunx.features import Feature
from quincunx.scene import Stood
from quincunx.scene.left_open import planted_line
from quincunx.shapes import XY, FrameWork, KitWork, LineWork, united
from quincunx.sheets._rounds import ellipse_of, nails_of

ROUND_M = 0.03
"""An outline whose corners all lie this near one circle is round [m]."""
SMALL_M = 0.4
"""The middle of a smaller round thing is simply its place [m]."""
THIN_M = 0.4
"""A strip no wider than this is set by its ends [m]."""
PLAIN_M = 0.05
"""Corners that stand out less than this are left to the eye [m]."""
SAME_M = 0.01
"""A line whose ends lie no farther apart is closed [m]."""
MOST = 12
"""More corners than this are a curve: it is set by offsets from the plan, here by every so many."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One point to set: its id, what it is in words, where [m], and the feature it belongs to.

    ``counted`` if it is one of several alike, told apart by a number at the end of its words.
    """

    id: str
    words: str
    at: XY
    owner: str
    counted: bool = False

    def numbered(self, number: int) -> Mark:
        """Return the mark with ``number`` in its words, if they count it: post 5, whatever it was before."""
        words, _, last = self.words.rpartition(" ")
        return replace(self, words=f"{words} {number}") if words and last.isdecimal() and self.counted else self


def marks_of(owner: str, name: str, stood: Stood, feature: object = None) -> list[Mark]:
    """Return the points by which a feature is set out, each called ``name`` and its part (with no name, its part).

    A way whose ``feature`` is drawn by its middle line is set out along that.
    """
    middle = middle_line(stood, feature)
    rows = rows_along(stood, feature)
    found = _line(middle or rows, closed=False) if middle or rows else list(_points(stood))
    width = len(str(len(found)))
    return [
        Mark(
            f"{owner}-{n:0{width}d}",
            ", ".join(w for w in (name, part) if w) or "here",
            at,
            owner,
            part[-1:].isdecimal(),
        )
        for n, (at, part) in enumerate(found, 1)
    ]


def middle_line(stood: Stood, feature: object) -> list[XY]:
    """Return the middle line of a way: a floor and nothing else, drawn by one open line [m]; else nothing."""
    if (
        not isinstance(feature, Feature)
        or not stood.surfaces
        or stood.solids
        or any(s.water_depth_m > 0 for s in stood.surfaces)
        or any(isinstance(w, LineWork) for w in stood.work)
    ):
        return []
    lines = [line for line in feature.lines().values() if math.dist(line[0], line[-1]) > THIN_M]
    if len(lines) != 1:
        return []
    points = [(float(x), float(y)) for x, y in lines[0]]
    floor = united([s.area for s in stood.surfaces])
    inside = floor.buffer(PLAIN_M)
    return points if inside.covers(shapely.LineString(points)) and not _on_rim(floor, points) else []


def _on_rim(floor: shapely.Geometry, points: Sequence[XY]) -> bool:
    """Return whether an outline, not a middle line, was given: its middles lie on the rim."""
    return all(floor.boundary.distance(shapely.Point(_middle(p, q))) < PLAIN_M for p, q in pairwise(points))


def rows_along(stood: Stood, feature: object) -> list[XY]:
    """Return the line of what is planted along one with bends, or in several rows beside it [m]; else nothing.

    One straight row is set by its first plant and its last.
    """
    found = planted_line(feature)
    if found is None:
        return []
    line = shapely.linestrings([found[0][0], found[0][-1]])
    straight = all(shapely.distance(line, shapely.points(p)) < PLAIN_M for one in stood.plants for p in one.at)
    return [] if straight else list(found[0])


def half_width_m(stood: Stood, middle: Sequence[XY]) -> float:
    """Return how far the edges of a way lie from its middle line [m], at the middle of its longest straight."""
    p, q = max(pairwise(middle), key=lambda e: math.dist(*e))
    floor = united([s.area for s in stood.surfaces])
    return float(floor.boundary.distance(shapely.Point(_middle(p, q))))


def _points(stood: Stood) -> Iterable[tuple[XY, str]]:
    lines = [w for w in stood.work if isinstance(w, LineWork)]
    posts = [at for w in stood.work if isinstance(w, (FrameWork, KitWork)) for at in w.footings]
    plants = [at for p in stood.plants for at in p.at]
    if plants and not stood.surfaces:
        return _plants(plants)
    if len(lines) == 1:
        return _line([(float(x), float(y)) for x, y in lines[0].line.coords], closed=lines[0].closed)
    if posts:
        apart = list(dict.fromkeys((round(x, 4), round(y, 4)) for x, y in posts))
        return [(at, f"post {n}" if len(apart) > 1 else "post") for n, at in enumerate(apart, 1)]
    wet = [s.area for s in stood.surfaces if s.water_depth_m > 0]  # dug to the water's rim; its edge is laid round that
    outlines = wet or [s.area for s in stood.surfaces] or [s.footprint for s in stood.solids]
    if outlines:
        return _outlines(outlines)
    ends = [(float(x), float(y)) for o in stood.openings for x, y in (o.clear.coords[0], o.clear.coords[-1])]
    return [(at, f"side {n}") for n, at in enumerate(ends, 1)]


def _plants(at: Sequence[XY]) -> list[tuple[XY, str]]:
    if len(at) == 1:
        return [(at[0], "")]
    far = max(at, key=lambda p: (math.dist(p, at[0]), p))
    line = shapely.linestrings([at[0], far]) if math.dist(far, at[0]) > 0.01 else None
    if line is not None and all(shapely.distance(line, shapely.points(p)) < 0.3 for p in at):
        return [(at[0], "first plant"), (far, "last plant")]
    return [(p, f"plant {n}") for n, p in enumerate(at[:MOST], 1)]


def _line(points: list[XY], *, closed: bool) -> list[tuple[XY, str]]:
    if closed and len(points) > 1 and math.dist(points[0], points[-1]) < SAME_M:
        points = points[:-1]
    ring = _round(points) if closed else None
    if ring is not None:
        return [ring]
    if closed:
        return [(p, f"corner {n}") for n, p in enumerate(_fewer(points), 1)]
    if len(points) > 2 and math.dist(points[0], points[-1]) < SAME_M:  # one stake where it begins and ends
        first, *bends = _fewer(points[:-1])
        return [(first, "where it begins and ends"), *((p, f"bend {n}") for n, p in enumerate(bends, 1))]
    some = _fewer(points)
    return [
        (p, "one end" if n == 0 else "other end" if n == len(some) - 1 else f"bend {n}") for n, p in enumerate(some)
    ]


def _outlines(shapes: Sequence[Polygon]) -> list[tuple[XY, str]]:
    parts = [p for p in shapely.get_parts(united(list(shapes))) if isinstance(p, Polygon)]
    out: list[tuple[XY, str]] = []
    for part in sorted(parts, key=lambda p: (-p.area, p.bounds))[:4]:
        out += _one(part)
    twice = len({words for _, words in out}) < len(out)
    return [(at, f"point {n}") for n, (at, _) in enumerate(out, 1)] if twice else out


def _one(part: Polygon) -> list[tuple[XY, str]]:
    points = [(float(x), float(y)) for x, y in part.simplify(PLAIN_M).exterior.coords[:-1]]
    ring = _round([(float(x), float(y)) for x, y in part.exterior.coords[:-1]])
    if ring is not None:
        return [ring]
    oval = ellipse_of([(float(x), float(y)) for x, y in part.exterior.coords[:-1]])
    if oval is not None:
        nails = nails_of(*oval)
        return list(zip(nails, ("nail 1", "nail 2", "one end", "other end"), strict=True))
    if part.area < 0.3:
        return [((float(part.centroid.x), float(part.centroid.y)), "middle")]
    box = shapely.minimum_rotated_rectangle(part)
    corners = [(float(x), float(y)) for x, y in box.exterior.coords[:-1]] if isinstance(box, Polygon) else []
    if len(corners) == 4:
        a, b, c, d = corners
        if min(math.dist(a, b), math.dist(b, c)) <= THIN_M:
            ends = ((a, b), (c, d)) if math.dist(a, b) < math.dist(b, c) else ((b, c), (d, a))
            return [(_middle(p, q), w) for (p, q), w in zip(ends, ("one end", "other end"), strict=True)]
    return [(p, f"corner {n}") for n, p in enumerate(_fewer(points), 1)]


def _fewer(points: list[XY]) -> list[XY]:
    step = math.ceil(len(points) / MOST)
    return points[::step]


def _middle(a: XY, b: XY) -> XY:
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


def _round(points: Sequence[XY]) -> tuple[XY, str] | None:
    """Return the centre of a round outline; None if it isn't round."""
    if len(points) < 12:
        return None
    x, y = sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points)
    reach = [math.dist(p, (x, y)) for p in points]
    if max(reach) - min(reach) > ROUND_M:
        return None
    return ((x, y), "centre of the circle" if max(reach) > SMALL_M else "")
