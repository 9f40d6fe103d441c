"""The lie of the ground."""

from __future__ import annotations

import subprocess
import sys
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings, strategies as st
from scipy.interpolate import LinearNDInterpolator

from quincunx.site.ground import Ground
from quincunx.site.levels import BreakLine, SpotHeight

XYZ = tuple[float, float, float]

PLOT = shapely.box(0.0, 0.0, 18.0, 46.0)
"""Ropewalk Cottage's plot: 18 m wide, 46 m long, falling 1.8 m south-south-west."""

millimetres = st.integers(0, 20_000).map(lambda mm: mm / 1000)
heights = st.integers(-2000, 2000).map(lambda mm: mm / 1000)
levels = st.lists(st.tuples(millimetres, millimetres, heights), max_size=25, unique_by=lambda p: p[:2])
break_line = st.lists(st.tuples(millimetres, millimetres, heights), min_size=2, max_size=5, unique_by=lambda p: p[:2])


def sloping(x: float, y: float) -> XYZ:
    """A plane that falls towards S 22.5 W (south-south-west) by 1.8 m over 46 m."""
    grade = 1.8 / 46
    down_east, down_north = np.sin(np.radians(202.5)), np.cos(np.radians(202.5))
    return (x, y, float(-grade * (down_east * x + down_north * y)))


def some_levels(seed: int, count: int) -> list[XYZ]:
    rng = np.random.default_rng(seed)
    return [
        (round(float(x), 3), round(float(y), 3), round(float(z), 3))
        for x, y, z in rng.uniform(0, 1, (count, 3)) * (18, 46, 2)
    ]


@given(levels)
@settings(deadline=None)
def test_it_passes_through_every_level(points):
    ground = Ground.from_levels(points)
    for x, y, z in points:
        assert float(ground.height(x, y)) == pytest.approx(z, abs=1e-9)


@given(levels, break_line)
@settings(deadline=None)
def test_it_follows_a_break_line(points, line):
    # Levels nearer than 1 mm to the line would bend it, and so would its own bends; here both are left out.
    path = shapely.LineString([p[:2] for p in line])
    pieces = [shapely.LineString([a[:2], b[:2]]) for a, b in pairwise(line)]
    ends = [(shapely.Point(p[:2]), piece) for p in line for piece in pieces if p[:2] not in piece.coords]
    assume(path.is_simple and all(piece.distance(end) > 0.0011 for end, piece in ends))
    points = [p for p in points if path.distance(shapely.Point(p[:2])) > 0.0011]
    ground = Ground.from_levels(points, [line])
    for a, b in pairwise(np.array(line)):
        on = a + np.linspace(0, 1, 11)[:, None] * (b - a)
        assert ground.height(on[:, 0], on[:, 1]) == pytest.approx(on[:, 2], abs=1e-8)


@given(levels, st.lists(break_line, max_size=3), st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=50)
def test_the_order_of_levels_and_the_sense_of_lines_do_not_matter(points, lines, random):
    one = Ground.from_levels(points, lines)
    random.shuffle(points)
    random.shuffle(lines)
    other = Ground.from_levels(points, [line[::-1] if random.random() < 0.5 else line for line in lines])
    assert one.key() == other.key()
    assert one == other
    assert hash(one) == hash(other)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_between_levels_it_is_scipys_linear_interpolation(seed):
    # scipy.interpolate.LinearNDInterpolator over Qhull's Delaunay triangles; inside the hull it knows.
    points = some_levels(seed, 60)
    xyz = np.array(points)
    rng = np.random.default_rng(seed + 100)
    x, y = rng.uniform(0, 18, 2000), rng.uniform(0, 46, 2000)
    theirs = LinearNDInterpolator(xyz[:, :2], xyz[:, 2])(x, y)
    inside = ~np.isnan(theirs)
    assert inside.sum() > 1000
    assert Ground.from_levels(points).height(x, y)[inside] == pytest.approx(theirs[inside], abs=1e-9)


def test_a_plane_is_a_plane_everywhere():
    ground = Ground.from_levels([sloping(x, y) for x, y in ((1, 2), (17, 3), (16, 44), (2, 43), (9, 20))])
    x, y = np.meshgrid(np.linspace(-30, 60, 40), np.linspace(-30, 80, 40))
    wanted = np.array([sloping(a, b)[2] for a, b in zip(x.ravel(), y.ravel(), strict=True)]).reshape(x.shape)
    assert ground.height(x, y) == pytest.approx(wanted, abs=1e-9)
    grade, aspect = ground.slope(x, y)
    assert grade == pytest.approx(np.full(x.shape, 1.8 / 46), abs=1e-12)
    assert aspect == pytest.approx(np.full(x.shape, 202.5), abs=1e-8)


def test_a_terrace_edge_keeps_its_face():
    # A wall 0.6 m high between two lines 20 mm apart: level above, level below, however few the other levels.
    ground = Ground.from_levels(
        [(0, 0, 0), (18, 0, 0), (0, 20, 0.6), (18, 20, 0.6)],
        [[(0, 10, 0), (18, 10, 0)], [(0, 10.02, 0.6), (18, 10.02, 0.6)]],
    )
    x = np.linspace(0, 18, 50)
    assert np.all(ground.height(x, 9.99) == pytest.approx(0.0, abs=1e-12))
    assert np.all(ground.height(x, 10.03) == pytest.approx(0.6, abs=1e-12))
    assert float(ground.height(5, 10.01)) == pytest.approx(0.3)
    grade, aspect = ground.slope(5.0, 10.01)
    assert [float(grade), float(aspect)] == pytest.approx([30.0, 180.0])


@pytest.mark.parametrize(("down", "bearing"), [((1, 0), 90), ((0, 1), 0), ((-1, 0), 270), ((0, -1), 180), ((1, 1), 45)])
def test_the_bearing_is_downhill_and_clockwise_from_north(down, bearing):
    ground = Ground.from_levels([(x, y, -0.1 * (down[0] * x + down[1] * y)) for x in (0, 10) for y in (0, 10)])
    grade, aspect = ground.slope(4.0, 5.0)
    assert float(aspect) == pytest.approx(bearing, abs=1e-9)
    assert float(grade) == pytest.approx(0.1 * np.hypot(*down))


@pytest.mark.parametrize("seed", [4, 5])
def test_slopes_are_the_heights_differences(seed):
    ground = Ground.from_levels(some_levels(seed, 30))
    rng = np.random.default_rng(seed)
    x, y, step = rng.uniform(-10, 28, 500), rng.uniform(-10, 56, 500), 1e-6
    east = (ground.height(x + step, y) - ground.height(x - step, y)) / (2 * step)
    north = (ground.height(x, y + step) - ground.height(x, y - step)) / (2 * step)
    grade, aspect = ground.slope(x, y)
    assert np.mean(np.abs(np.hypot(east, north) - grade) < 1e-5) > 0.995  # a few straddle an edge
    turned = np.abs((np.degrees(np.arctan2(-east, -north)) - aspect + 180) % 360 - 180)
    assert np.mean(turned < 0.01) > 0.99


@given(levels, st.floats(-15, 35), st.floats(-15, 35), st.floats(0, 6.3))
@settings(deadline=None)
def test_it_has_no_steps_even_beyond_the_levels(points, x, y, way):
    ground = Ground.from_levels(points)
    near = (x + 1e-7 * np.cos(way), y + 1e-7 * np.sin(way))
    steepest = np.abs(np.diff(sorted(p[2] for p in points))).max(initial=0) / 1e-3 if len(points) > 1 else 0.0
    gap = abs(float(ground.height(x, y)) - float(ground.height(*near)))
    assert gap <= 1e-7 * 50 * max(1.0, steepest * len(points)) + 1e-9


def test_thin_triangles_along_an_edge_do_not_carry_beyond_it():
    # Three levels in a fence line that bows out by 1 mm, the middle one 5 cm high: the sliver between them is steep,
    # but the ground beyond goes on as the whole does.
    ground = Ground.from_levels([(0, 0, 0), (9, -0.001, 0.05), (18, 0, 0), (0, 20, 0), (18, 20, 0)])
    assert abs(float(ground.height(9, -3)) - 0.05) < 0.1


def test_without_levels_it_is_flat_at_nought():
    for ground in (Ground.flat(), Ground.from_levels([])):
        assert np.all(ground.height([1, 2], [3, 4]) == 0)
        assert [float(v) for v in ground.slope(1, 2)] == [0, 0]
        assert ground.contours(0.5) == []
    assert Ground.flat() == Ground.from_levels([])
    assert float(Ground.from_levels([(3, 4, 1.25)]).height(-50, 80)) == 1.25
    assert float(Ground.flat(1.25).height(7, 7)) == 1.25


def test_levels_in_one_line_are_joined_along_it():
    ground = Ground.from_levels([(0, 0, 0), (0, 10, 1), (0, 20, 1.5)], boundary=PLOT)
    assert ground.height([0, 5, 9], [5, 5, 15]) == pytest.approx([0.5, 0.5, 1.25])
    assert float(ground.height(3, 22)) == pytest.approx(1.65)  # the line's own trend is 0.075
    level = ground.contours(0.5)[1]
    assert (level.z_m, level.line.length) == (0.5, pytest.approx(18.0))
    seen = ground.profile([(5, 0), (5, 20)])
    assert np.interp([0, 10, 15, 20], seen.distance_m, seen.z_m) == pytest.approx([0, 1, 1.25, 1.5])


def test_two_heights_at_one_point_give_their_mean_and_are_named():
    ground = Ground.from_levels([(1, 1, 0.0), (1, 1, 0.2), (5, 5, 1.0), (5, 5, 1.004), (9, 1, 0)])
    assert float(ground.height(1, 1)) == pytest.approx(0.1)
    assert ground.doubtful == ((1.0, 1.0),)


def test_crossing_break_lines_are_named_if_they_disagree():
    ground = Ground.from_levels([], [[(0, 0, 0), (10, 10, 0)], [(0, 10, 1), (10, 0, 1)]])
    assert ground.doubtful == ((5.0, 5.0),)
    assert float(ground.height(5, 5)) == pytest.approx(0.5)
    agreed = Ground.from_levels([], [[(0, 0, 0), (10, 10, 1)], [(0, 10, 1), (10, 0, 0)]])
    assert agreed.doubtful == ()


@pytest.mark.parametrize("level", [(float("nan"), 0, 0), (0, 0, float("inf"))])
def test_a_level_is_three_numbers(level):
    with pytest.raises(ValueError, match="expected three numbers"):
        Ground.from_levels([level])


def test_contours_of_a_plane_are_straight_and_evenly_apart():
    ground = Ground.from_levels([(0, 0, 0), (18, 0, 0), (0, 46, 4.6), (18, 46, 4.6), (7, 20, 2.0)], boundary=PLOT)
    contours = ground.contours(0.5)
    assert [c.z_m for c in contours] == pytest.approx([0.5 * k for k in range(10)], abs=1e-12)
    for contour in contours:
        assert contour.line.length == pytest.approx(18.0)
        assert np.array(contour.line.coords)[:, 1] == pytest.approx(contour.z_m * 10)


def test_contours_of_a_mound_close():
    around = [(9 + 6 * np.cos(a), 23 + 6 * np.sin(a), 0.0) for a in np.radians(range(0, 360, 30))]
    contours = Ground.from_levels([*around, (9, 23, 1.2)]).contours(0.25)
    closed = [c for c in contours if c.z_m > 0]
    assert [c.z_m for c in closed] == pytest.approx([0.25, 0.5, 0.75, 1.0])
    assert all(c.line.is_ring for c in closed)
    area = shapely.Polygon(closed[1].line.coords).area  # similar to the base: sides shrink as 1 - 0.5 / 1.2
    assert area == pytest.approx(12 / 2 * 36 * np.sin(np.radians(30)) * (1 - 0.5 / 1.2) ** 2)


@pytest.mark.parametrize("seed", [6, 7])
@pytest.mark.parametrize("boundary", [None, shapely.box(-4, -4, 22, 50)])
def test_contours_lie_at_their_height_and_miss_none(seed, boundary):
    ground = Ground.from_levels(some_levels(seed, 40), [[(2, 3, 0.2), (15, 40, 1.8)]], boundary)
    contours = ground.contours(0.25)
    for contour in contours:
        middles = shapely.get_coordinates(contour.line.interpolate(np.linspace(0, 1, 40), normalized=True))
        assert ground.height(middles[:, 0], middles[:, 1]) == pytest.approx(np.full(40, contour.z_m), abs=1e-7)
        assert boundary is None or boundary.buffer(1e-9).covers(contour.line)
    # Walk across: the contours met are those the heights pass through.
    path = shapely.LineString([(3, 6), (14, 39)])
    seen = ground.profile(path)
    steps = sum(abs(int(np.floor(b / 0.25)) - int(np.floor(a / 0.25))) for a, b in pairwise(seen.z_m))
    met = sum(shapely.get_num_coordinates(path.intersection(c.line)) for c in contours)
    assert steps == met


def test_a_contour_step_is_more_than_nothing():
    with pytest.raises(ValueError, match="more than 0"):
        Ground.flat().contours(0)


@pytest.mark.parametrize("seed", [8, 9])
def test_a_profile_is_exact_between_its_points(seed):
    ground = Ground.from_levels(some_levels(seed, 50), [[(1, 20, 0.5), (17, 22, 0.9)]])
    line = shapely.LineString([(-6, -5), (9, 20), (25, 52)])
    seen = ground.profile(line)
    at = np.linspace(0, line.length, 3001)
    xy = shapely.get_coordinates(shapely.line_interpolate_point(line, at))
    assert np.interp(at, seen.distance_m, seen.z_m) == pytest.approx(ground.height(xy[:, 0], xy[:, 1]), abs=1e-9)
    assert seen.distance_m[-1] == pytest.approx(line.length)
    with pytest.raises(ValueError, match="two or more"):
        ground.profile([(0, 0)])


def test_shapes_of_questions_are_kept():
    ground = Ground.from_levels(some_levels(1, 10))
    assert ground.height(np.zeros((3, 4)), 1.0).shape == (3, 4)
    assert ground.height(1.0, 2.0).shape == ()
    assert ground.height([], []).shape == (0,)
    assert ground.slope(np.zeros((2, 1)), np.zeros((1, 5)))[1].shape == (2, 5)
    many = ground.height(np.linspace(0, 18, 1000), np.linspace(0, 46, 1000))
    one = [float(ground.height(x, y)) for x, y in zip(np.linspace(0, 18, 1000), np.linspace(0, 46, 1000), strict=True)]
    assert list(many) == one


def test_two_processes_give_the_same_bytes():
    code = (
        "from quincunx.site.ground import Ground; "
        "g = Ground.from_levels([(0, 0, 0), (9, 1, .5), (4, 8, 1), (5, 3, .2)], [[(1, 1, 0), (6, 6, 1)]]); "
        "print(g.key().hex(), g.height([1.5, 20], [2.5, 3]).tobytes().hex())"
    )
    runs = [subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True) for _ in range(2)]
    assert runs[0].stdout == runs[1].stdout
    assert len(runs[0].stdout.split()[0]) == 32


def test_stored_levels_become_ground():
    spot = SpotHeight.model_validate({"at": [1, 2], "z_m": "0.35 m"})
    line = BreakLine.model_validate({"points": [[0, 0], [0, 10]], "heights_m": [0, 1]})
    ground = Ground.from_levels([spot.xyz()], [line.xyz()])
    assert ground.height([1, 0], [2, 5]) == pytest.approx([0.35, 0.5])
    with pytest.raises(ValueError, match="one height for each point"):
        BreakLine.model_validate({"points": [[0, 0], [0, 10]], "heights_m": [0, 1, 2]})


@pytest.mark.parametrize("seed", [46, 327, 354, 399, 404])
def test_tangled_break_lines_still_give_ground(seed):
    # Lines that cross, fold and overlap within a centimetre, where points lie nearer together than they are kept apart.
    rng = np.random.default_rng(seed)
    lines = [[(round(x, 3), round(y, 3), z) for x, y, z in rng.uniform(0, 0.01, (6, 3))] for _ in range(6)]
    ground = Ground.from_levels([], lines)
    assert ground == Ground.from_levels([], lines[::-1])
    x, y = np.meshgrid(np.linspace(-0.01, 0.02, 30), np.linspace(-0.01, 0.02, 30))
    z = ground.height(x, y)
    assert np.isfinite(z).all()
    inside = (x >= 0) & (x <= 0.01) & (y >= 0) & (y <= 0.01)
    assert z[inside].min() > -0.02
    assert z[inside].max() < 0.03
