"""Where plants stand in rows and patterns, against published counts."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import example, given, settings, strategies as st
from shapely import LineString, Point, Polygon, affinity, box

from quincunx.plants.rows import pieces_of, places_inside, plants_on, points_along

# Plants per 100 m2, square and triangular, computed from A/d2 and A/(0.866 d2).
PER_100_M2 = {0.3: (1111, 1283), 0.45: (494, 570), 0.6: (278, 321), 1.0: (100, 115), 1.5: (44, 51), 2.5: (16, 18)}


@pytest.mark.parametrize("spacing", sorted(PER_100_M2))
def test_plants_on_100_square_metres(spacing):
    square, triangular = PER_100_M2[spacing]
    assert round(plants_on(100, spacing)) == square
    assert round(plants_on(100, spacing, "triangular")) == triangular


@pytest.mark.parametrize(("spacing", "square", "triangular"), [(4.0, 6.3, 7.2), (6.0, 2.8, 3.2)])
def test_wide_spacings_to_one_decimal(spacing, square, triangular):
    # The same table, rows given to a tenth.  6.25 is rounded up there.
    assert plants_on(100, spacing) == pytest.approx(square, abs=0.051)
    assert plants_on(100, spacing, "triangular") == pytest.approx(triangular, abs=0.051)


def test_triangular_holds_15_and_a_half_percent_more():
    # "15 percent more" (horticulture course of an Indian agricultural statistics institute, id 148137; read).
    assert plants_on(1, 1, "triangular") == pytest.approx(1.155, abs=0.0005)


def test_quincunx_is_the_square_with_its_middles():
    # 2 A/d2 at the outer spacing; middles on squares of a/sqrt 2 (Wiant 1973, Tree Planters' Notes 24(3); read).
    assert plants_on(100, 10, "quincunx") == 2
    found = places_inside(box(0, 0, 10, 10), 10, "quincunx")
    assert sorted(found) == [(0, 0), (0, 10), (5, 5), (10, 0), (10, 10)]
    nearest = min(math.dist(found[i], found[j]) for i in range(5) for j in range(i))
    assert nearest == pytest.approx(10 / math.sqrt(2))  # 7.07, not the 8.66 one handbook prints


def test_finite_plot_of_12_by_9():
    # 12 x 9 m, d = 3, edge planted: square 5 x 4 = 20; triangular rows 5 + 4 + 5 + 4 = 18 (computed).
    plot = box(0, 0, 12, 9)
    assert len(places_inside(plot, 3)) == 20
    triangular = places_inside(plot, 3, "triangular")
    rows = sorted({round(y, 6) for _, y in triangular})
    assert [sum(abs(y - row) < 1e-6 for _, y in triangular) for row in rows] == [5, 4, 5, 4]
    assert rows[1] - rows[0] == pytest.approx(2.598, abs=0.001)


@pytest.mark.parametrize("layout", ["square", "triangular", "quincunx"])
def test_large_plots_come_near_the_density(layout):
    found = len(places_inside(box(0, 0, 60, 60), 1.0, layout, edge_m=0.5))
    assert found == pytest.approx(plants_on(3600, 1.0, layout), rel=0.03)


@settings(max_examples=60, deadline=None)
@given(
    corners=st.lists(st.tuples(st.floats(-8, 8), st.floats(-8, 8)), min_size=3, max_size=7),
    spacing=st.floats(0.4, 3),
    edge=st.floats(0, 1),
    turn=st.floats(0, 359),
    layout=st.sampled_from(["square", "triangular", "quincunx"]),
)
def test_places_keep_inside_and_apart(corners, spacing, edge, turn, layout):
    shape = Polygon(corners).convex_hull
    if not isinstance(shape, Polygon) or shape.area < 0.5:
        return
    found = places_inside(shape, spacing, layout, edge_m=edge, rows_deg=turn)
    least = spacing / math.sqrt(2) if layout == "quincunx" else spacing
    for i, p in enumerate(found):
        assert shape.covers(Point(p)) or shape.distance(Point(p)) < 1e-6
        assert shape.exterior.distance(Point(p)) >= edge - 1e-6
        assert all(math.dist(p, q) >= least - 1e-6 for q in found[:i])


@given(turn=st.floats(0, 359))
def test_rows_run_along_the_bearing(turn):
    plot = affinity.rotate(box(-5, -3, 5, 3), 90 - turn, origin=(0, 0))  # its long side along the bearing
    found = places_inside(plot, 2.0, rows_deg=turn)
    assert len(found) == 6 * 4
    for i in range(0, 24, 6):
        a, b = found[i], found[i + 5]
        assert math.dist(a, b) == pytest.approx(10)
        run = math.degrees(math.atan2(b[0] - a[0], b[1] - a[1]))
        assert (run - turn + 180) % 360 - 180 == pytest.approx(0, abs=1e-6)


def test_what_has_no_room_has_no_places_and_too_many_are_refused():
    assert places_inside(box(0, 0, 1, 1), 0.5, edge_m=0.6) == ()
    with pytest.raises(ValueError, match="widen it"):
        places_inside(box(0, 0, 100, 100), 0.1)


def test_a_row_begins_half_a_spacing_in_and_turns_its_corners():
    found = points_along([(0, 0), (3, 0), (3, 3)], 1.0)
    assert found == ((0.5, 0), (1.5, 0), (2.5, 0), (3, 0.5), (3, 1.5), (3, 2.5))


def test_two_rows_are_staggered():
    # Staggered double row 38 cm between rows, 45 cm between plants (Toronto Master Gardeners, hornbeam; read).
    both = points_along([(0, 0), (4.5, 0)], 0.45, rows=2, apart_m=0.38)
    second = [p for p in both if p[1] < 0]
    first = [p for p in both if p[1] > 0]
    assert len(first) == len(second) == 10
    assert first[0][1] - second[0][1] == pytest.approx(0.38)
    assert second[0][0] - first[0][0] == pytest.approx(0.225)


def along(places: tuple[tuple[float, float], ...], side: float = 0.0) -> list[float]:
    return [round(x, 4) for x, y in places if y == pytest.approx(side)]


def test_six_metres_between_openings_hold_eighteen_and_seventeen():
    """Ashridge Trees, Spacing a Staggered Double Row Hedge at 6 Plants per Metre (read 2026).

    Two rows 0.4 m apart of plants 33 cm apart (three a metre), the second beginning 16.5 cm after the first, the first
    and the last plant 16.5 cm from the edges of the hedge's space: 18 in the one row, 17 in the other over 6 m.
    """
    both = points_along([(0, 0), (8, 0)], 1 / 3, rows=2, apart_m=0.4, left_out=[(0, 1), (7, 8)])
    one, other = along(both, 0.2), along(both, -0.2)
    assert (len(one), len(other)) == (18, 17)
    assert (one[0], one[-1]) == pytest.approx((1 + 1 / 6, 7 - 1 / 6), abs=1e-4)
    assert (other[0], other[-1]) == pytest.approx((1 + 1 / 3, 7 - 1 / 3), abs=1e-4)


def test_plants_are_set_from_both_sides_of_an_opening():
    # Worked out by hand: 0.5 m apart, an opening from 3.4 to 4.6 m; half a spacing from each side is 3.15 and 4.85.
    found = along(points_along([(0, 0), (10, 0)], 0.5, left_out=[(3.4, 4.6)]))
    assert found[:7] == [0.15, 0.65, 1.15, 1.65, 2.15, 2.65, 3.15]
    assert found[7:] == [4.85 + 0.5 * i for i in range(11)]


def test_what_is_dug_out_later_leaves_the_others_where_they_stand():
    # 0.25, 0.75, ... 9.75; those from 3.25 to 4.75 m are nearer than half a spacing to an opening from 3.4 to 4.6 m.
    whole = along(points_along([(0, 0), (10, 0)], 0.5))
    left = along(points_along([(0, 0), (10, 0)], 0.5, taken_out=[(3.4, 4.6)]))
    assert [s for s in whole if s not in left] == [3.25, 3.75, 4.25, 4.75]


@given(
    long=st.floats(0.5, 30),
    step=st.floats(0.1, 1.5),
    rows=st.integers(1, 3),
    low=st.floats(-1, 30),
    wide=st.floats(0.3, 4),
)
def test_nothing_stands_nearer_to_an_opening_than_half_a_spacing(long, step, rows, low, wide):
    way = (max(low, 0.0), min(max(low, 0.0) + wide, long))
    if way[0] >= way[1]:
        return
    for found in (
        points_along([(0, 0), (long, 0)], step, rows=rows, left_out=[way]),
        points_along([(0, 0), (long, 0)], step, rows=rows, taken_out=[way]),
    ):
        assert all(-1e-6 <= x <= long + 1e-6 for x, _ in found)
        assert all(x <= way[0] - step / 2 + 1e-6 or x >= way[1] + step / 2 - 1e-6 for x, _ in found)
    set_ = points_along([(0, 0), (long, 0)], step, left_out=[way])
    # No room for one more: beside an opening the nearest stands just half a spacing off, unless the piece is too short.
    for edge, room, off in ((way[0], way[0], -1), (way[1], long - way[1], 1)):
        if room >= step:
            assert min(abs(x - edge) for x, _ in set_ if (x - edge) * off > 0) == pytest.approx(step / 2, abs=1e-6)


def test_pieces_of_a_bent_line_end_at_the_stretches_left_out():
    found = pieces_of([(0, 0), (3, 0), (3, 3)], [(1.0, 2.0), (5.5, 6.0)])
    assert found == (((0, 0), (1, 0)), ((2, 0), (3, 0), (3, 2.5)))


def nearest_m(places: tuple[tuple[float, float], ...]) -> float:
    return min(math.dist(p, q) for n, p in enumerate(places) for q in places[:n])


@pytest.mark.parametrize("apart_m", [0.4, 0.6, 1.0])
@pytest.mark.parametrize(
    "bend",
    [
        [(0, 0), (6, 0), (6, 5)],
        [(0, 0), (6, 0), (6, -5)],
        [(0, 0), (6, 0), (9, 4)],
        [(0, 0), (5, 0), (5, 5), (0, 5), (0, 0)],
    ],
)
def test_no_plant_of_a_double_row_crowds_inside_a_bend(bend, apart_m) -> None:
    """Straight, the nearest of two staggered rows stand hypot(half a spacing, the rows' distance) apart: geometry."""
    both = points_along(bend, 0.5, rows=2, apart_m=apart_m)
    usual = min(0.5, math.hypot(0.25, apart_m))
    assert nearest_m(both) >= 0.6 * usual
    plain = points_along([(0, 0), (sum(math.dist(a, b) for a, b in pairwise(bend)), 0)], 0.5, rows=2, apart_m=apart_m)
    lost = len(plain) - len(both)
    assert 0 <= lost <= 4 * (1 + 2 * math.ceil(apart_m / 2 / 0.5))


def test_inside_a_right_angle_the_row_ends_at_its_own_corner() -> None:
    """Two rows 1 m apart round a right angle: the inner turns half a metre before the line, at (5.5, 0.5)."""
    inner = [p for p in points_along([(0, 0), (6, 0), (6, 5)], 0.5, rows=2, apart_m=1.0) if p[1] > 0 and p[0] < 6]
    assert all(x <= 5.5 + 1e-9 and y >= 0.5 - 1e-9 for x, y in inner)
    assert len(inner) > 12
    assert nearest_m(tuple(inner)) >= 0.35 - 1e-9


def test_what_is_dug_out_inside_a_bend_leaves_the_others_where_they_stand() -> None:
    bend = [(0, 0), (6, 0), (6, 5)]
    whole = set(points_along(bend, 0.5, rows=2, apart_m=0.6))
    left = set(points_along(bend, 0.5, rows=2, apart_m=0.6, taken_out=[(5.2, 6.4)]))
    assert left < whole


def test_one_row_and_straight_rows_are_set_as_before() -> None:
    bend = [(0, 0), (6, 0), (6, 5)]
    assert len(points_along(bend, 0.5)) == 22
    assert len(points_along([(0, 0), (11, 0)], 0.5, rows=2)) == len(
        points_along([(0, 0), (6, 0), (11, 0)], 0.5, rows=2)
    )


def test_outside_a_right_angle_the_gap_is_filled_and_its_spacing_is_the_rows_at_most() -> None:
    """By hand: the outer row's plants at 6.0 m and 6.5 m have an arc of 0.3 x 90 degrees and half a metre between them."""
    found = points_along([(0, 0), (6, 0), (6, 5)], 0.5, rows=2, apart_m=0.6)
    outer = [p for p in found if p[1] < -0.2 or p[0] > 6.2]
    path = 0.3 * math.pi / 2 + 0.5
    assert outer[11] == pytest.approx((6.0, -0.3))
    assert outer[12] == pytest.approx((6.3, path / 2 - 0.3 * math.pi / 2))
    assert outer[13] == pytest.approx((6.3, 0.5))
    assert max(math.dist(a, b) for a, b in pairwise(outer)) <= 0.5 + 1e-9
    one = points_along([(0, 0), (6, 0), (6, 5)], 0.5)
    assert len(one) == 22  # a single row lies on the line and stays as it was


def outer_row(
    line: list[tuple[float, float]], spacing: float, apart: float, *, right: bool
) -> list[tuple[float, float]]:
    """The row outside the bends of a line that turns one way only: the first set if it turns to the right, else the second."""
    both, course = points_along(line, spacing, rows=2, apart_m=apart), LineString(line)
    along = [course.project(Point(p)) for p in both]
    second = next((n for n in range(1, len(both)) if along[n] < along[n - 1] - course.length / 3), len(both))
    return list(both[:second] if right else both[second:])


@example(legs=[(1.5, 46.0), (2.0, 25.0)], spacing=0.2, apart=0.5, right=True)  # a plant just at the bend
@settings(max_examples=150, deadline=None)
@given(
    legs=st.lists(st.tuples(st.floats(1.5, 4), st.floats(25, 80)), min_size=2, max_size=3),
    spacing=st.floats(0.2, 0.6),
    apart=st.floats(0.2, 0.6),
    right=st.booleans(),
)
def test_outside_its_bends_a_row_is_nowhere_wider_set_than_its_spacing(legs, spacing, apart, right) -> None:
    x = y = bearing = 0.0
    line = [(x, y)]
    for long, turn in legs:
        x, y = x + long * math.sin(math.radians(bearing)), y + long * math.cos(math.radians(bearing))
        line.append((x, y))
        bearing += turn if right else -turn
    row, course = outer_row(line, spacing, apart, right=right), LineString(line)
    gaps = [math.dist(a, b) for a, b in pairwise(row)]
    assert max(gaps) <= spacing + 1e-6
    assert all(course.distance(Point(p)) == pytest.approx(apart / 2) for p in row)
    straight = math.floor((course.length - spacing) / spacing) + 1
    assert len(row) <= straight + 1 + sum(1 + apart / 2 * math.radians(t) / spacing for _, t in legs[:-1])


@pytest.mark.parametrize("spacing", [0.3, 0.37, 0.5])
def test_a_closed_square_has_no_wide_gap_outside_any_corner_its_first_among_them(spacing) -> None:
    square = [(0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0), (0.0, 0.0)]
    ring = box(0, 0, 6, 6)
    outer = [p for p in points_along(square, spacing, rows=2, apart_m=0.4) if not ring.contains(Point(p))]
    gaps = [math.dist(a, b) for a, b in zip(outer, outer[1:] + outer[:1], strict=True)]
    assert max(gaps) <= spacing + (24 % spacing) + 1e-6
    for corner in square[:4]:
        assert sum(math.dist(p, corner) <= spacing for p in outer) >= 2


def test_an_opening_at_the_bend_stays_open() -> None:
    bend = [(0, 0), (6, 0), (6, 5)]
    assert not [
        p for p in points_along(bend, 0.5, rows=2, apart_m=0.6, left_out=[(5.2, 6.8)]) if math.dist(p, (6, 0)) < 0.7
    ]
    whole = set(points_along(bend, 0.5, rows=2, apart_m=0.6))
    assert set(points_along(bend, 0.5, rows=2, apart_m=0.6, taken_out=[(5.2, 6.8)])) < whole


def test_along_a_wide_curve_nothing_is_added() -> None:
    """Outside a curve of two metres the row is a tenth wider set, which no plant more would mend."""
    curve = [(2 * math.cos(a), 2 * math.sin(a)) for a in (math.pi * k / 90 for k in range(91))]
    wide = outer_row(curve, 0.4, 0.4, right=False)
    assert len(wide) == math.floor((LineString(curve).length - 0.4) / 0.4 + 1e-9) + 1
