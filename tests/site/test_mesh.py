"""Triangles between levels, exact and alike in any order."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from scipy.spatial import ConvexHull, Delaunay

from quincunx.site._mesh import Piece, in_circle, orient, part, triangulate

XY = tuple[int, int]
Triangle = tuple[int, int, int]

grid_points = st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=40, unique=True)
grid_lines = st.lists(
    st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=2, max_size=5, unique=True), max_size=4
)


def double_area(points: list[XY], triangles: list[Triangle]) -> int:
    return sum(orient(points[a], points[b], points[c]) for a, b, c in triangles)


def edges(triangles: list[Triangle]) -> dict[tuple[int, int], int]:
    return {side: c for a, b, c in triangles for side, c in (((a, b), c), ((b, c), a), ((c, a), b))}


@pytest.mark.parametrize(("seed", "count"), [(1, 10), (2, 60), (3, 400)])
def test_without_break_lines_it_is_scipys_delaunay(seed, count):
    # scipy.spatial.Delaunay (Qhull), on points in general position, where there is only one answer.
    xy = np.random.default_rng(seed).integers(0, 50_000_000, (count, 2))
    points = sorted((int(x), int(y)) for x, y in xy)
    ours = {frozenset(t) for t in triangulate(points)}
    assert ours == {frozenset(map(int, s)) for s in Delaunay(np.array(points) / 1e6).simplices}


def test_a_ring_of_break_lines_parts_it_as_geos_does():
    # GEOS constrained Delaunay triangulation of the polygon (shapely.constrained_delaunay_triangles).
    ring = [(0, 0), (9000, 400), (9700, 5200), (5100, 3100), (4200, 8800), (3300, 2900), (700, 6100)]
    points = sorted(ring)
    number = {xy: i for i, xy in enumerate(points)}
    sides = [(number[a], number[b]) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)]
    polygon = shapely.Polygon(ring)
    ours = {
        frozenset(points[i] for i in t)
        for t in triangulate(points, sides)
        if polygon.contains(shapely.Polygon([points[i] for i in t]).representative_point())
    }
    theirs = shapely.constrained_delaunay_triangles(polygon)
    assert ours == {frozenset((int(x), int(y)) for x, y in t.exterior.coords) for t in theirs.geoms}


@given(grid_points, grid_lines)
@settings(max_examples=150, deadline=None)
def test_every_break_line_stands_and_all_else_is_delaunay(levels, lines):
    heights: dict[XY, float] = dict.fromkeys(((x * 1000, y * 1000) for x, y in levels), 0.0)
    pieces: list[Piece] = []
    for line in lines:
        scaled = [(x * 1000, y * 1000) for x, y in line]
        heights |= dict.fromkeys(scaled, 0.0)
        pieces += list(pairwise(scaled))
    heights, parted, _ = part(heights, pieces, 1)
    points = sorted(heights)
    number = {xy: i for i, xy in enumerate(points)}
    fixed = {tuple(sorted((number[a], number[b]))) for a, b in parted}
    triangles = triangulate(points, fixed)  # type: ignore[arg-type]
    if not triangles:
        assert len({orient(points[0], points[-1], p) for p in points}) == 1
        return
    standing = edges(triangles)
    assert len(standing) == 3 * len(triangles)
    assert all(orient(points[a], points[b], points[c]) > 0 for a, b, c in triangles)
    assert double_area(points, triangles) == pytest.approx(2 * ConvexHull(np.array(points)).volume, rel=1e-9)
    assert {i for t in triangles for i in t} == set(range(len(points)))
    for side in fixed:
        assert side in standing or side[::-1] in standing
    for (a, b), c in standing.items():
        d = standing.get((b, a))
        if d is not None and (min(a, b), max(a, b)) not in fixed:
            assert in_circle(points[a], points[b], points[c], points[d]) <= 0


def test_crossing_lines_meet_in_a_new_point_at_their_mean_height():
    heights, pieces, doubtful = part(
        {(0, 0): 0.0, (10_000, 10_000): 1.0, (0, 10_000): 2.0, (10_000, 0): 3.0},
        [((0, 0), (10_000, 10_000)), ((0, 10_000), (10_000, 0))],
        1,
    )
    assert heights[5000, 5000] == pytest.approx((0.5 + 2.5) / 2)
    assert doubtful == [(5000, 5000)]
    assert len(pieces) == 4


def test_a_point_near_a_line_belongs_to_it():
    _, pieces, doubtful = part({(0, 0): 0.0, (10_000, 0): 0.0, (4000, 1): 0.0}, [((10_000, 0), (0, 0))], 1)
    assert pieces == {((0, 0), (4000, 1)), ((4000, 1), (10_000, 0))}
    assert doubtful == []


def test_overlapping_lines_are_one():
    heights: dict[XY, float] = dict.fromkeys(((0, 0), (4000, 0), (6000, 0), (10_000, 0)), 0.0)
    _, pieces, _ = part(heights, [((0, 0), (6000, 0)), ((4000, 0), (10_000, 0))], 1)
    assert pieces == {((0, 0), (4000, 0)), ((4000, 0), (6000, 0)), ((6000, 0), (10_000, 0))}


def test_levels_in_one_line_make_no_triangles():
    assert triangulate([(0, 0), (1, 1), (2, 2)], [(0, 1)]) == []
    assert triangulate([(0, 0)]) == []
    assert triangulate([]) == []


def test_what_can_not_be_kept_is_left_out():
    points = [(0, 0), (5, -5), (5, 5), (10, 0)]
    both = triangulate(points, [(0, 3), (1, 2)])  # they cross, which they should not
    assert len(both) == 2
    through = [(0, 0), (4, -9), (4, 9), (5, 0), (10, 0)]
    assert double_area(through, triangulate(through, [(0, 4)])) == 180  # a point lies on the way
