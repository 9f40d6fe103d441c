"""What straight lines meet: against points taken along them, against closed forms, plain against compiled."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from numpy.typing import NDArray
from shapely import Point, box

from quincunx.scene.bodies import Bodies, bodies_of, entries, passed
from quincunx.scene.lines import arrays_of, lines_passed, pairs_passed, pass_lines
from quincunx.scene.parts import parts_of
from quincunx.scene.slats import slats_light
from quincunx.shapes import Crown, Height, Plane, Slab, Slats, Solid, every_month
from quincunx.sight.seen import view_lets
from tests.light.gardens import SLOPE, one_of_each
from tests.sight.gardens import LEVEL, crown, hedge, some_lines, wall

SEEN_THROUGH = tuple(replace(s, opacity=tuple(1 - t for t in s.transmittance)) for s in one_of_each())


def bodies(*solids: Solid) -> Bodies:
    return bodies_of(parts_of(solids, LEVEL, view_lets))


Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


def inside(solid: Solid, x: Floats, y: Floats, z: Floats) -> Bools:
    """Return which points on level ground lie in a solid, straight from its own description."""
    middle, radius = solid.footprint.centroid, math.sqrt(solid.footprint.area / math.pi)
    low, high = solid.base.value_m, solid.top.value_m
    off = np.hypot(x - middle.x, y - middle.y) / radius
    up = (z - low) / (high - low)
    if isinstance(solid.form, Crown):
        forms = {
            "ellipsoid": off**2 + (2 * up - 1) ** 2 < 1,
            "dome": (up > 0) & (off**2 + up**2 < 1),
            "cone": (up > 0) & (off < 1 - up),
        }
        return np.asarray(forms[solid.form.outline], bool)
    top, under = np.full_like(z, high), np.full_like(z, low)
    if isinstance(solid.form, Slab):
        plane, fall = solid.form.plane, math.radians(solid.form.plane.fall_deg)
        top = plane.at.value_m - plane.grade * ((x - plane.x_m) * math.sin(fall) + (y - plane.y_m) * math.cos(fall))
        under = np.maximum(top - solid.form.thickness_m, low)
    return np.asarray(shapely.contains_xy(solid.footprint, x, y) & (z > under) & (z < top), bool)


@pytest.mark.parametrize("solid", SEEN_THROUGH, ids=lambda s: s.name)
def test_each_form_is_met_where_points_along_the_line_lie_inside_it(solid):
    found = bodies(solid)
    middle = np.array(
        [solid.footprint.centroid.x, solid.footprint.centroid.y, (solid.base.value_m + solid.top.value_m) / 2]
    )
    rng = np.random.default_rng(3)
    start = middle + rng.uniform(-4, 4, (400, 3)) * (1, 1, 0.5)
    end = middle + rng.uniform(-4, 4, (400, 3)) * (1, 1, 0.5)
    start[:, 2], end[:, 2] = np.maximum(start[:, 2], 0.01), np.maximum(end[:, 2], 0.01)
    met = np.asarray((entries(found, start, end) < np.inf).any(axis=1))
    t = np.linspace(0, 1, 1201)[:, None, None]
    at = start + (end - start) * t
    deep = inside(solid, at[..., 0].ravel(), at[..., 1].ravel(), at[..., 2].ravel()).reshape(at.shape[:2]).mean(axis=0)
    # A cone's round foot is drawn with twenty corners: near its edge the two may differ by the sagitta, 1.2 % of the radius.
    sure = (deep == 0) | (deep > 0.02)
    assert 40 < met.sum() < 360
    assert (met[sure] == (deep[sure] > 0)).mean() > (0.985 if solid.owner.startswith("tree10") else 0.999)


def test_a_line_enters_a_wall_where_it_crosses_its_face():
    found = bodies(wall(10, 0, 10.2, 20))
    at = entries(found, np.array([[0.0, 5, 1]]), np.array([[20.0, 5, 1]]))
    assert at[0, 0] == pytest.approx(0.5)
    assert entries(found, np.array([[0.0, 5, 3]]), np.array([[20.0, 5, 3]]))[0, 0] == np.inf
    assert entries(found, np.array([[0.0, 5, 1]]), np.array([[9.9, 5, 1]]))[0, 0] == np.inf


def test_a_line_along_a_face_passes_by():
    found = bodies(wall(10, 0, 10.2, 20))
    assert entries(found, np.array([[10.0, 0, 1]]), np.array([[10.0, 20, 1]]))[0, 0] == np.inf


@pytest.mark.parametrize("ground", [LEVEL, SLOPE], ids=["level", "slope"])
def test_compiled_lines_equal_plain_ones(ground):
    found = bodies_of(parts_of(SEEN_THROUGH, ground, view_lets))
    start, end = some_lines(3000)
    shares = found.shares(8)
    slow = passed(found, shares, start, end)
    assert np.abs(lines_passed(found, shares, start, end) - slow).max() < 1e-9
    assert 0.2 < (slow < 1).mean() < 0.95


def test_the_kernel_as_written_equals_its_compiled_form():
    found = bodies(*SEEN_THROUGH)
    start, end = some_lines(60, seed=8)
    shares, out = found.shares(8), np.empty(60)
    pass_lines.plain(start, end, arrays_of(found, shares), out)
    assert out == pytest.approx(lines_passed(found, shares, start, end))


def test_pairs_are_lines_both_ways():
    found = bodies(*SEEN_THROUGH)
    points = some_lines(20)[0]
    shares = found.shares(8)
    both = pairs_passed(found, shares, points)
    a, b = np.triu_indices(20, 1)
    assert both[a, b] == pytest.approx(passed(found, shares, points[a], points[b]))
    assert (both == both.T).all()
    assert (np.diag(both) == 1).all()


def test_overlapping_pieces_of_one_hedge_count_once():
    # A bent hedge falls into two pieces; drawn as two overlapping solids of one owner it blocks no more than once.
    one, other = hedge(5, 0, 6, 12), replace(hedge(5, 8, 6, 20), part="b")
    both = bodies(one, other)
    start, end = np.array([[0.0, 10, 1]]), np.array([[20.0, 10, 1]])
    assert passed(both, both.shares(8), start, end) == pytest.approx([0.05])
    assert lines_passed(both, both.shares(8), start, end) == pytest.approx([0.05])
    apart = bodies(one, hedge(8, 8, 9, 20, owner="another"))
    assert passed(apart, apart.shares(8), start, end) == pytest.approx([0.05**2])


@settings(max_examples=40, deadline=None)
@given(
    up=st.floats(0.05, 1.5), turn=st.floats(0, 360), tilt=st.sampled_from([0.0, 20.0, -35.0]), gap=st.floats(0.03, 0.3)
)
def test_slats_let_a_view_through_as_they_let_the_sun(up, turn, tilt, gap):
    form = Slats(40.0, 0.1, gap, tilt, 0.045)
    deck = Solid("deck", "", box(0, 0, 20, 20), Height(2.4), Height(2.5), form, opacity=every_month(0.5))
    found = bodies(deck)
    run = np.array([[math.sin(turn), math.cos(turn), up]]) * 0.5
    start = np.array([[10.0, 10, 2.45]]) - run * 0.5
    expected = slats_light(form, run)
    shares = found.shares(8)
    assert passed(found, shares, start, start + run) == pytest.approx(expected, abs=1e-9)
    assert passed(found, shares, start + run, start) == pytest.approx(expected, abs=1e-9)  # looking down them
    assert lines_passed(found, shares, start, start + run) == pytest.approx(expected, abs=1e-9)


def test_what_lets_all_through_stops_nothing():
    found = bodies(wall(10, 0, 10.2, 20), crown(15, 10, 2, 1, 5))
    start, end = np.array([[0.0, 10, 1.5]]), np.array([[20.0, 10, 1.5]])
    assert passed(found, np.ones(2), start, end) == pytest.approx([1.0])
    assert lines_passed(found, np.ones(2), start, end) == pytest.approx([1.0])


def test_no_lines_and_no_bodies_are_no_fault():
    none = bodies()
    assert passed(none, np.empty(0), *some_lines(3)).tolist() == [1, 1, 1]
    assert lines_passed(none, np.empty(0), *some_lines(3)).tolist() == [1, 1, 1]
    some = bodies(wall(1, 1, 2, 2))
    assert passed(some, some.shares(1), np.empty((0, 3)), np.empty((0, 3))).shape == (0,)


def test_a_steep_slab_reaches_from_its_eaves_to_its_ridge():
    steep = Solid(
        "s", "roof", box(15, 2, 17, 3.5), Height(1.0), Height(3.0), Slab(Plane(15, 2, Height(3.0), 0.0, 1.2), 0.08)
    )
    found = bodies(steep)
    assert len(found) == 1
    assert Point(16, 3).within(steep.footprint)
    assert found.box[0].tolist() == pytest.approx([15, 17, 2, 3.5, 3.0 - 1.5 * 1.2 - 0.08, 3.0])
