"""The quick way: the same as the way found line by line with GEOS, in ground of every shape."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings, strategies as st
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate

from quincunx.walk._string import blocker, boxes_of, crosses, taut_string
from quincunx.walk.ways import Way, _rings, quick_way, way_between


def strips(seed: int, count: int) -> list[Polygon]:
    rng = np.random.default_rng(seed)
    at, long, turn = rng.uniform(0, 19, (2, count)), rng.uniform(0.3, 5, count), rng.uniform(0, 90, count)
    return [rotate(box(x, y, x + w, y + 0.3), float(a)) for x, y, w, a in zip(*at, long, turn, strict=True)]


def grid(seed: int, count: int) -> list[Polygon]:
    """Return boxes with whole corners, so that corners stand in line, edges meet and holes touch."""
    rng = np.random.default_rng(seed)
    return [
        box(x, y, x + w, y + 1)
        for x, y, w in zip(*rng.integers(0, 19, (2, count)), rng.integers(1, 5, count), strict=True)
    ]


def largest(shapes: list[Polygon]) -> Polygon:
    parts = shapely.get_parts(shapely.difference(box(0, 0, 20, 20), shapely.union_all(shapes)))
    return max(parts, key=lambda p: p.area)


def agree(ground: Polygon, points: list[tuple[float, float]]) -> int:
    inside = [p for p in points if ground.intersects(Point(p))]
    for a, b in zip(inside[::2], inside[1::2], strict=False):
        plain, quick = way_between(ground, a, b), quick_way(ground, a, b)
        assert (plain is None) == (quick is None)
        if plain is not None and quick is not None:
            assert quick.length_m == pytest.approx(plain.length_m, abs=1e-9)
            line = LineString(quick.points) if len(quick.points) > 1 else Point(quick.points[0])
            assert ground.buffer(1e-6, join_style="mitre").covers(line)
    return len(inside) // 2


@pytest.mark.parametrize("seed", range(8))
def test_ways_round_strips(seed: int):
    points = np.random.default_rng(seed).uniform(0, 20, (16, 2)).tolist()
    assert agree(largest(strips(seed, 5 + 4 * seed)), [(x, y) for x, y in points]) > 3


@pytest.mark.parametrize("seed", range(8))
def test_ways_between_corners_in_line_and_points_on_edges(seed: int):
    points = np.random.default_rng(seed).integers(0, 20, (30, 2)).tolist()
    assert agree(largest(grid(seed, 30)), [(float(x), float(y)) for x, y in points]) > 3


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.integers(2, 25), st.booleans())
def test_ways_in_any_ground(seed: int, count: int, level: bool):
    shapes = grid(seed, count) if level else [s.buffer(0.22, quad_segs=3) for s in strips(seed, count)]
    rng = np.random.default_rng(seed + 1)
    points = np.round(rng.uniform(0, 20, (6, 2)), 0 if level else 3).tolist()
    agree(largest(shapes), [(x, y) for x, y in points])


def test_round_a_wall_by_hand():
    # A wall 2 m thick: from (1, 5) by (4, 8) and (6, 8) to (9, 5): twice the root of 18, and 2.
    way = quick_way(box(0, 0, 10, 10).difference(box(4, 0, 6, 8)), (1, 5), (9, 5))
    assert way is not None
    assert way.points == ((1, 5), (4, 8), (6, 8), (9, 5))
    assert way.length_m == pytest.approx(2 * 18**0.5 + 2, abs=1e-12)


def test_no_way_and_no_step():
    ground = box(0, 0, 10, 10).difference(box(4, 4, 6, 6))
    assert quick_way(ground, (1, 1), (1, 1)) is not None
    walled = shapely.unary_union([box(0, 0, 3, 3), box(5, 5, 8, 8)]).geoms
    assert quick_way(walled[0], (1, 1), (7, 7)) is None


def test_the_kernel_says_the_same_as_written():
    rings = _rings(largest(strips(2, 12)))
    start, end = np.array([0.5, 0.5]), np.array([19.5, 19.5])
    np.testing.assert_array_equal(taut_string(start, end, rings), taut_string.plain(start, end, rings))


def test_a_line_along_a_wall_is_clear_and_one_into_it_is_not():
    rings = _rings(box(0, 0, 10, 10).difference(box(4, 4, 6, 6)))

    def met(ax, ay, bx, by):
        return blocker.plain(ax, ay, bx, by, rings, boxes_of.plain(rings), -1)

    assert met(0.0, 4.0, 10.0, 4.0) < 0
    assert met(0.0, 4.1, 10.0, 4.1) >= 4
    assert met(2.0, 2.0, 8.0, 8.0) >= 4  # from corner to corner, straight through
    assert met(2.0, 6.0, 6.0, 2.0) < 0  # past one corner


AT = st.tuples(st.floats(-1.0, 21.0), st.floats(-1.0, 21.0))


@settings(max_examples=40)
@given(AT, AT)
def test_edges_looked_past_together_are_none_that_a_line_crosses(a, b):
    long = math.dist(a, b)
    assume(long > 0.01)
    rings = _rings(largest(strips(2, 12)))
    line = (*a, (b[0] - a[0]) / long, (b[1] - a[1]) / long)
    all_met = [k for k in range(len(rings[0])) if crosses.plain(line, long, rings, k)]
    first = blocker.plain(a[0], a[1], b[0], b[1], rings, boxes_of.plain(rings), -1)
    assert first == (all_met[0] if all_met else -1)
    assert len(boxes_of.plain(rings)) > 1, "or nothing was looked past"


@pytest.mark.parametrize("hair", [0.0, 1e-15, 1e-9, 1e-7, 5e-7, 1e-6, 1.6e-6, 2e-6, 4e-6, 1e-5, 1e-3])
@pytest.mark.parametrize("slope", [0.0, 0.1, 1.0, 20.0])
@pytest.mark.parametrize("find", [quick_way, way_between])
def test_a_corner_drawn_as_a_hairs_step_lets_nobody_through_a_wall(
    find: Callable[..., Way | None], hair: float, slope: float
):
    deep = 0.2 / max(1.0, slope)
    wedge = [(6, 4), (6 - hair, 4 + hair * slope)]
    wedge += [(6 - deep, 4 + 1.01 * deep * slope), (0.5, 4 + 1.01 * deep * slope)]
    mirrored = [(x, 10 - y) for x, y in wedge[::-1]]
    bar = [(6, 2), *wedge, *mirrored, (6, 8), (9, 8), (9, 2)]
    ground = Polygon(box(0, 0, 20, 20).exterior, [bar])
    round_it = find(ground, (6.0, 1.0), (5.9, 7.5))
    assert round_it is not None
    assert round_it.length_m == pytest.approx(math.hypot(3, 1) + 6 + 3 + math.hypot(0.1, 0.5), abs=1e-5)
    for start in ((6.0, 1.0), (6.0, 2.0)):
        for end in ((6.0, 7.0), (6 - 5e-7, 7.0), (6.0, 8.0)):
            way = find(ground, start, end)
            assert way is not None
            first = math.hypot(3, 1) if start[1] < 2 else 3
            assert way.length_m == pytest.approx(first + 6 + 3 + (8 - end[1]), abs=1e-5)


def test_a_corner_drawn_as_two_less_than_a_speck_apart_is_one():
    # A wall 2 m thick as above, its corner at (4, 8) drawn twice: both turn too little to be one by themselves.
    wall = Polygon([(4, 0), (6, 0), (6, 8), (4 + 1e-15, 8), (4, 8 - 1e-15)])
    for find in (quick_way, way_between):
        way = find(
            Polygon([(0, 0), (4, 0), *wall.exterior.coords[4:2:-1], (6, 8), (6, 0), (10, 0), (10, 10), (0, 10)]),
            (1, 5),
            (9, 5),
        )
        assert way is not None
        assert way.length_m == pytest.approx(2 * 18**0.5 + 2, abs=1e-9)
