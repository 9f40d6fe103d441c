"""Widths are exact: gates, a corner to a wall, and random gardens against erosion by bisection."""

import os
from collections.abc import Callable

import numpy as np
import pytest
import shapely
from shapely import Point, Polygon, box
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from quincunx.walk.barriers import Barrier
from quincunx.walk.ground import FreeGround
from quincunx.walk.links import links
from quincunx.walk.widths import Widths

GATES = (0.44, 0.45, 0.46, 0.90)
SLOW = os.environ.get("QUINCUNX_SLOW") == "1"


def blocks(*shapes: Polygon) -> list[Barrier]:
    return [Barrier(s, f"b{i}", "solid") for i, s in enumerate(shapes)]


@pytest.mark.parametrize("width_m", GATES)
def test_a_gate_is_measured_to_the_millimetre(width_m):
    found = blocks(box(0, 4.95, 4, 5.05), box(4 + width_m, 4.95, 10, 5.05))
    narrow = Widths(FreeGround(box(0, 0, 10, 10), found, 0.45)).between(Point(5, 2.03), Point(5.01, 8.02))
    assert narrow is not None
    assert narrow.width_m == pytest.approx(width_m, abs=1e-6)
    assert narrow.owners == ("b0", "b1")


@pytest.mark.parametrize("width_m", GATES)
def test_a_body_of_450_mm_passes_gates_of_450_mm_and_more(width_m):
    free = FreeGround(box(0, 0, 10, 10), blocks(box(0, 4.95, 4, 5.05), box(4 + width_m, 4.95, 10, 5.05)), 0.45)
    passes = bool(free.pieces_at(Point(5, 2)) & free.pieces_at(Point(5, 8)))
    assert passes == (width_m >= 0.45)


def test_a_corner_to_a_wall_is_measured_to_the_millimetre():
    # The corner of a triangle points at a wall 0.613 m away; the wall above leaves no other way.
    found = blocks(Polygon([(0, 4), (5, 5), (0, 6)]), box(5.613, 0, 7, 10))
    narrow = Widths(FreeGround(box(0, 0, 7, 10), found, 0.45)).between(Point(1, 1), Point(1, 9))
    assert narrow is not None
    assert narrow.width_m == pytest.approx(0.613, abs=1e-6)


def test_a_way_wider_than_looked_for_has_no_narrowest_place():
    free = FreeGround(box(0, 0, 10, 10), blocks(box(0, 4, 2, 5), box(7, 4, 10, 5)), 0.45)
    narrow = Widths(free, 3.0).between(Point(5, 1), Point(5, 9))
    assert narrow is not None
    assert narrow.width_m is None


def test_no_way_at_all_is_none():
    free = FreeGround(box(0, 0, 10, 10), blocks(box(0, 4, 10, 5)), 0.45)
    assert Widths(free).between(Point(5, 1), Point(5, 9)) is None


def test_links_do_not_cross_and_lie_in_the_open():
    rng = np.random.default_rng(4)
    found = garden(rng)
    lines = shapely.linestrings(links(found, 3.0).lines)
    solid = shapely.union_all([b.shape for b in found])
    assert float(shapely.length(shapely.intersection(lines, solid.buffer(-1e-6))).max()) < 1e-6
    tree = shapely.STRtree(lines)
    a, b = tree.query(lines, predicate="crosses")
    assert len(a) == len(b) == 0


def garden(rng: np.random.Generator) -> list[Barrier]:
    """Return walls with gaps, posts, beds and bent hedges in a 12 x 12 m plot."""
    shapes: list[Polygon] = []
    for y in (4.0, 8.0):
        gap, at = rng.uniform(0.3, 1.6), rng.uniform(2, 9)
        shapes += [box(0, y, at, y + rng.uniform(0.1, 0.6)), box(at + gap, y, 12, y + 0.2)]
    for _ in range(rng.integers(6, 14)):
        x, y = rng.uniform(0.5, 11.5, 2)
        shapes.append(Point(x, y).buffer(rng.uniform(0.05, 0.5), quad_segs=int(rng.integers(2, 8))))
    for _ in range(rng.integers(2, 6)):
        x, y = rng.uniform(1, 11, 2)
        shapes.append(rotate(box(x - 1, y - 0.4, x + 1, y + 0.4), float(rng.uniform(0, 180))))
    bent = shapely.LineString(rng.uniform(1, 11, (4, 2))).buffer(0.2, cap_style="flat", join_style="mitre")
    if isinstance(bent, Polygon):
        shapes.append(bent)
    return blocks(*shapes)


EDGE = [
    Barrier(part, "edge", "solid")
    for part in (box(-1, -1, 13, 0), box(-1, 12, 13, 13), box(-1, 0, 0, 12), box(12, 0, 13, 12))
]
"""The plot's edge, as a barrier."""


def by_erosion(free: Polygon, a: Point, b: Point, most_m: float) -> float:
    """Return the widest body that gets from a to b, by bisection over eroded ground: slow, and independent."""

    return bisected(lambda width_m: shapely.buffer(free, -width_m / 2, quad_segs=64), a, b, most_m)


def by_growing(found: list[Barrier], a: Point, b: Point, most_m: float) -> float:
    """Return the same by growing all barriers in convex pieces: slower, and right where one buffer of the ground isn't.

    GEOS leaves out dents of a ring as shallow as a hundredth of the distance before it buffers it (class
    BufferInputLineSimplifier), so that points farther from everything than half a body may lie outside the eroded ground.
    """
    pieces = shapely.get_parts(shapely.constrained_delaunay_triangles([b.shape for b in found]))
    room = box(0, 0, 12, 12)

    def left(width_m: float) -> BaseGeometry:
        return room.difference(shapely.union_all(shapely.buffer(pieces, width_m / 2, quad_segs=64)))

    return bisected(left, a, b, most_m)


def bisected(left: Callable[[float], BaseGeometry], a: Point, b: Point, most_m: float) -> float:
    """Return up to which width two points lie on one part of what is ``left`` for it [m]."""

    def joined(width_m: float) -> bool:
        parts = shapely.get_parts(left(width_m))
        return any(p.distance(a) < 1e-9 and p.distance(b) < 1e-9 for p in parts)

    low, high = 0.0, most_m
    while high - low > 2e-4:
        mid = (low + high) / 2
        low, high = (mid, high) if joined(mid) else (low, mid)
    return (low + high) / 2


@pytest.mark.parametrize("quick", [False, True], ids=["plain", "kernel"])
@pytest.mark.parametrize("seed", range(40))
def test_the_narrowest_place_is_that_on_the_widest_way_over_faces(seed, quick, monkeypatch):
    """Two ways to tell it: by trees over drawn faces, and by which line parts two points at last."""
    monkeypatch.setattr("quincunx.walk._narrow.at_work", lambda *_: quick)
    rng = np.random.default_rng(seed)
    widths = Widths(FreeGround(box(0, 0, 12, 12), garden(rng), 0.3), 2.0)
    forest = widths.forest()
    for a, b in rng.uniform(0.2, 11.8, (8, 2, 2)).tolist():
        zones = Point(a), (Point(b) if a[0] < 8 else Point(b).buffer(0.8))
        by_faces = widths.widest(forest, *widths.faces_at(zones))
        found = widths.between(*zones)
        assert (found is None) == (by_faces is None)
        if found is not None and by_faces is not None:
            assert found.width_m == by_faces.width_m
            assert (found.line, found.owners) == (by_faces.line, by_faces.owners)


@pytest.mark.parametrize("seed", range(1000) if SLOW else [*range(0, 200, 10), 532])
def test_the_widest_way_agrees_with_erosion_by_bisection(seed):
    # Reference: shapely (GEOS) erosion.  The plot's edge is a barrier for both here.
    rng = np.random.default_rng(seed)
    found = garden(rng)
    free = FreeGround(box(-1, -1, 13, 13), [*found, *EDGE], 0.45)
    open_ground = box(0, 0, 12, 12).difference(shapely.union_all([b.shape for b in found]))
    points = [Point(*p) for p in rng.uniform(0.3, 11.7, (60, 2)) if open_ground.buffer(-0.25).intersects(Point(*p))]
    for a, b in zip(points[:6], points[6:12], strict=False):
        own = 2 * min(shapely.boundary(open_ground).distance(a), shapely.boundary(open_ground).distance(b))
        narrow = Widths(free, 6.0).between(a, b)
        ours = 0.0 if narrow is None else own if narrow.width_m is None else min(narrow.width_m, own)
        truth = by_erosion(open_ground, a, b, own + 1e-3)
        if abs(ours - truth) > 1e-3:
            truth = by_growing([*found, *EDGE], a, b, own + 1e-3)
        assert ours == pytest.approx(truth, abs=1e-3)


@pytest.mark.parametrize("seed", range(1000) if SLOW else range(0, 200, 20))
def test_pieces_agree_with_eroded_ground(seed):
    # Reference: shapely (GEOS) erosion with fine arcs, at widths away from the narrow places themselves.
    rng = np.random.default_rng(1000 + seed)
    found = garden(rng)
    width = float(rng.uniform(0.2, 1.0))
    every = [*found, *EDGE]
    if np.any(np.abs(links(every, 1.2).length_m - width) < 2e-3):
        width += 4e-3
    free = FreeGround(box(-1, -1, 13, 13), every, width)
    eroded = shapely.get_parts(shapely.buffer(free.open, -width / 2, quad_segs=64))
    points = [Point(*p) for p in rng.uniform(0, 12, (40, 2))]
    for a in points:
        for b in points:
            truth = any(p.intersects(a) and p.intersects(b) for p in eroded)
            if any(p.intersects(a) for p in eroded) and any(p.intersects(b) for p in eroded):
                assert bool(free.pieces_at(a) & free.pieces_at(b)) == truth
