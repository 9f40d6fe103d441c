"""Plan geometry: rounded corners, strips, posts, turning."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import assume, given, strategies as st
from shapely import LineString, Point, Polygon, box

from quincunx.features._plan import (
    ARC_ERROR_M,
    arc_points,
    bearing,
    bends,
    direction,
    inset,
    posts_along,
    rectangle,
    rim,
    rounded,
    side_strip,
    strip,
    turned,
)
from tests.features.standing import make, stand

CORNER = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0)]
spots = st.tuples(st.integers(-9000, 9000), st.integers(-9000, 9000)).map(lambda p: (p[0] / 1000, p[1] / 1000))


def test_a_right_angle_is_rounded_as_on_paper():
    # Radius 1 m at a right angle: the arc leaves 1 m before the corner, about (3, 1): geometry.
    start, arc, end = bends(CORNER, 1.0)
    assert start is None
    assert end is None
    assert arc is not None
    assert arc.centre == pytest.approx((3, 1))
    assert arc.start == pytest.approx((3, 0))
    assert arc.end == pytest.approx((4, 1))
    assert not arc.clockwise
    # The line becomes shorter by 2 r - pi r / 2, the turn left of a quarter circle.
    assert LineString(rounded(CORNER, 1.0)).length == pytest.approx(8 - 2 + math.pi / 2, abs=0.001)


def test_a_square_rounded_all_it_can_is_a_circle():
    shape = Polygon(rounded([(0, 0), (4, 0), (4, 4), (0, 4)], 9.0, closed=True))
    assert shape.area == pytest.approx(4 * math.pi, rel=0.001)
    assert shape.is_valid


def test_the_end_of_a_line_is_free_for_the_arc():
    _, arc, _ = bends([(0, 0), (4, 0), (4, 4)], 9.0)
    assert arc is not None
    assert arc.radius_m == pytest.approx(4.0)


@given(st.lists(spots, min_size=3, max_size=6, unique=True), st.floats(0.05, 3.0))
def test_arcs_keep_their_radius_meet_their_sides_and_share_them(points, radius):
    arcs = bends(points, radius)
    for i, arc in enumerate(arcs):
        if arc is None:
            continue
        assert arc.radius_m <= radius + 1e-9
        before, after = LineString(points[i - 1 : i + 1]), LineString(points[i : i + 2])
        for at, side in ((arc.start, before), (arc.end, after)):
            assert math.dist(at, arc.centre) == pytest.approx(arc.radius_m)
            assert side.distance(Point(at)) < 1e-6
        chords = arc_points(arc)
        assert all(math.dist(p, arc.centre) == pytest.approx(arc.radius_m) for p in chords)
        for a, b in itertools.pairwise(chords):
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            assert arc.radius_m - math.dist(middle, arc.centre) <= ARC_ERROR_M + 1e-9


@given(st.lists(spots, min_size=2, max_size=6, unique=True), st.floats(0.0, 3.0))
def test_a_rounded_line_keeps_its_ends_and_is_no_longer(points, radius):
    soft = rounded(points, radius)
    assert soft[0] == points[0]
    assert soft[-1] == points[-1]
    assert LineString(soft).length <= LineString(points).length + 1e-9


@given(st.lists(spots, min_size=3, max_size=7, unique=True), st.floats(0.0, 4.0))
def test_a_rounded_outline_stands(points, radius):
    shape = Polygon(points)
    assume(shape.is_valid and shape.area > 0.01)
    lawn = make("lawn", outline=points, rounding=radius)
    area = stand(lawn).surfaces[0].area
    assert area.is_valid
    assert area.area > 0
    assert area.difference(shape.convex_hull.buffer(1e-6)).area < 1e-6


def test_no_rounding_leaves_every_corner():
    assert rounded(CORNER, 0.0) == tuple(CORNER)


def test_a_path_with_a_bend_keeps_its_width():
    path = make("path", line=CORNER, rounding=1.5, width=1.2)
    area = stand(path).surfaces[0].area
    # Along an arc a strip takes width times the length of its middle line: geometry.
    assert area.area == pytest.approx(1.2 * (8 - 3 + 1.5 * math.pi / 2), rel=0.001)


def test_strips():
    assert strip([(0, 0), (4, 0)], 1.0).equals(box(0, -0.5, 4, 0.5))
    ring = strip([(0, 0), (4, 0), (4, 4), (0, 4)], 1.0, closed=True)
    assert ring.area == pytest.approx(16)
    assert len(ring.interiors) == 1
    assert side_strip([(0, 0), (4, 0)], 1.0, left=True).equals(box(0, 0, 4, 1))
    assert side_strip([(0, 0), (4, 0)], 1.0, left=False).equals(box(0, -1, 4, 0))


def test_insets_and_rims():
    assert inset(box(0, 0, 4, 2), 0.5).equals(box(0.5, 0.5, 3.5, 1.5))
    assert inset(box(0, 0, 4, 2), 1.5).is_empty
    assert rim(box(0, 0, 4, 2), 0.5).area == pytest.approx(8 - 3)
    assert rim(box(0, 0, 4, 2), 1.5).equals(box(0, 0, 4, 2))


def test_bearings_run_clockwise_from_north():
    assert bearing((0, 0), (0, 1)) == 0
    assert bearing((0, 0), (1, 0)) == 90
    assert direction(180) == pytest.approx((0, -1))
    assert turned((0, 1), 90, (0, 0)) == pytest.approx((1, 0))
    west, south, east, north = rectangle((0, 0), 4, 2, 90).bounds
    assert (east - west, north - south) == pytest.approx((2, 4))


def test_posts():
    assert posts_along([(0, 0), (4, 0)], 2.0) == ((0, 0), (2, 0), (4, 0))
    assert len(posts_along([(0, 0), (4, 0), (4, 4), (0, 4)], 2.0, closed=True)) == 8


@pytest.mark.parametrize("width", [1.0, 1.2, 1.6])
def test_a_line_that_turns_right_back_has_a_strip_and_no_warning(width: float) -> None:
    """A path, a stream or a wall drawn to its end and back: as much ground as the way there (warnings are errors here)."""
    there = [(0.0, 0.0), (7.0, 0.6), (15.0, 0.1)]
    back = strip([*there, there[1]], width)
    assert back.is_valid
    assert back.area == pytest.approx(strip(there, width).area, rel=1e-3)
