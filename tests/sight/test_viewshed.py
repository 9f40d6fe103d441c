"""What of the ground is seen, cell by cell: compiled against plain, and against the shadow a wall throws from a lamp."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from shapely import Polygon

from quincunx.scene import Scene
from quincunx.scene.bodies import bodies_of
from quincunx.scene.convex import is_plane
from quincunx.scene.grid import grid_over
from quincunx.scene.parts import parts_of
from quincunx.scene.spread import ASIDE_M, from_point, reached_along, seen_from
from quincunx.sight import eye_over, view_of, view_plainly
from quincunx.sight.seen import bodies_in, view_lets
from tests.light.gardens import SLOPE, bumpy
from tests.sight.gardens import LEVEL, crown, hedge, ridge, scene, wall
from tests.sight.test_lines import SEEN_THROUGH


def garden(ground=LEVEL) -> Scene:
    return scene(*SEEN_THROUGH, hedge(2, 12, 12, 12.7, 1.8), crown(18, 12, 2, 0, 3), ground=ground)


@pytest.mark.parametrize("ground", [LEVEL, SLOPE], ids=["level", "slope"])
@pytest.mark.parametrize("eye", [(3.3, 9.1, 1.6), (13.2, 15.4, 1.2), (22.0, 4.0, 4.5), (14.1, 8.1, 9.0)])
def test_the_wedge_finds_every_cell_that_trying_all_finds(ground, eye):
    of = garden(ground)
    at = eye_over(of, eye[:2], eye[2])
    fast, slow = view_of(of, at, cell_m=0.5), view_plainly(of, at, cell_m=0.5)
    assert (np.abs(fast.share - slow.share) > 1e-5).mean() < 0.002  # cells whose line grazes an edge
    assert 0.05 < (slow.share < 0.5).mean() < 0.95


def test_ground_that_bends_hides_as_exact_lines_say():
    of = garden(bumpy())
    assert not is_plane(of.ground)
    at = eye_over(of, (10.2, 3.1), 1.2)
    fast, slow = view_of(of, at, cell_m=0.5), view_plainly(of, at, cell_m=0.5)
    assert (np.abs(fast.share - slow.share) > 1e-5).mean() < 0.02  # the march goes straight between the cells' middles
    assert (slow.share == 0).mean() > 0.1


def test_a_ridge_hides_the_ground_behind_it_as_far_as_the_line_over_it_goes():
    # From 1.6 m over y = 2, over a ridge 1 m high at y = 10, the line meets the ground 8 / 0.6 * 1 = 13.3 m behind it.
    # Straight between the middles of cells the ridge is 0.94 m high, and the dark 11.3 m deep.
    of = scene(ground=ridge(1.0))
    view = view_of(of, eye_over(of, (15, 2), 1.6))
    assert view.at(15, 9.4) == 1.0
    assert view.at(15, 13) == 0.0
    assert view.at(15, 20.9) == 0.0
    assert view.at(15, 24.2) == 1.0
    assert np.isnan(view.at(-1, 5))


@settings(max_examples=20, deadline=None)
@given(high=st.floats(0.3, 3.0), up=st.floats(0.5, 6.0), near=st.floats(2.0, 8.0))
def test_a_wall_hides_the_strip_that_a_lamp_would_leave_dark(high, up, near):
    # Similar triangles: behind a wall lower than the eye the dark reaches (near + 0.2) * up / (up - high) from the eye.
    of = scene(wall(-100, 2 + near, 130, 2.2 + near, high))
    view = view_of(of, eye_over(of, (15, 2), up))
    row = [view.at(15.1, y) for y in np.arange(2.125, 30, 0.25)]
    seen_from_y = 2 + (near + 0.2) * (up - 0.02) / (up - high) if up > high + 0.02 else 1e9
    for y, share in zip(np.arange(2.125, 30, 0.25), row, strict=True):
        if abs(y - (2 + near)) > 0.3 and abs(y - seen_from_y) > 0.3:
            assert share == (0.0 if 2 + near < y < seen_from_y else 1.0)


def test_the_kernel_as_written_equals_its_compiled_form():
    of = garden()
    found, grid = bodies_in(of), grid_over(of, 2.0)
    shares, eye = found.shares(8), (5.1, 4.2, 1.6)
    fast = seen_from(grid, found, shares, eye, 0.02, ground=False)
    from quincunx.scene.lines import arrays_of
    from quincunx.scene.spread import cells_of

    out, mark = np.ones(grid.z_m.shape, np.float32), np.full(grid.z_m.shape, -1, np.int64)
    from_point.plain(
        eye,
        grid.z_m,
        cells_of(grid, 0.02),
        arrays_of(found, shares),
        (found.parts.first, found.parts.corners),
        out,
        mark,
    )
    assert out == pytest.approx(fast, abs=1e-6)


@settings(max_examples=20, deadline=None)
@given(turn=st.floats(0, 6.28), slant=st.floats(0.0, 3.0))
def test_along_one_direction_each_cell_is_as_its_own_line_says(turn, slant):
    from quincunx.scene.bodies import passed

    of = garden(SLOPE)
    found, grid = bodies_of(parts_of(of.solids, of.ground, view_lets)), grid_over(of, 1.0)
    shares = found.shares(8)
    run = (slant * 12 * np.sin(turn), slant * 12 * np.cos(turn), 12.0)
    start = grid.points(0.1) + (*ASIDE_M, 0.0)  # noqa: RUF005 - numbers are added, not joined
    slow = passed(found, shares, start, start + run)
    fast = reached_along(grid, found, shares, run, 0.1).ravel()
    assert (np.abs(fast - slow) > 1e-5).mean() < 0.003


def test_a_grid_covers_the_boundary_on_whole_cells_and_refuses_too_many():
    of = scene(boundary=Polygon([(0.1, 0.1), (9.9, 0.1), (5, 7.3)]))
    grid = grid_over(of, 0.25)
    assert (grid.x0_m, grid.y0_m, grid.z_m.shape) == (0.0, 0.0, (30, 40))
    assert grid_over(of, 0.25) is grid
    assert grid.points(0.5)[0].tolist() == [0.125, 0.125, 0.5]
    with pytest.raises(ValueError, match="expected larger ones"):
        grid_over(of, 0.001)
