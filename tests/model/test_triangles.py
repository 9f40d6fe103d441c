"""What stands as triangles: closed, as large as it is, with its gaps, on the ground as it lies."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from shapely import LineString, Point, Polygon, box

from quincunx.model.triangles import FOOT_M, ROUGH, crown, meshes_of
from quincunx.shapes import Crown, Height, Plane, Slab, Slats, Solid
from quincunx.shapes.solids import every_month
from quincunx.site.ground import Ground

FLAT = Ground.flat()
SLOPE = Ground.from_levels([(0, 0, 0), (20, 0, 2), (0, 20, 0), (20, 20, 2)])


def one(solid, ground=FLAT):
    ((_, mesh),) = list(meshes_of([solid], ground))
    return mesh


def closed(mesh):
    """Every side of a triangle is walked once each way."""
    a = mesh.triangles
    sides = np.vstack([a[:, [0, 1]], a[:, [1, 2]], a[:, [2, 0]]]).tolist()
    there = sorted(map(tuple, sides))
    back = sorted((b, a) for a, b in sides)
    return there == back


@settings(max_examples=25, deadline=None)
@given(
    st.floats(0.1, 9), st.floats(0.1, 9), st.floats(0.05, 6), st.floats(0, math.pi), st.booleans()
)  # fmt: skip
def test_a_wall_is_closed_and_holds_length_times_width_times_height(long, wide, high, turn, bent):
    line = LineString([(0, 0), (long * math.cos(turn), long * math.sin(turn))])
    shape = line.buffer(wide / 2, cap_style="flat")
    if bent:
        shape = shapely.union(shape, box(-wide, -wide, wide, wide))
    mesh = one(Solid("w", "", shape, top=Height(high)))
    assert mesh.volume_m3 == pytest.approx(shape.area * (high + FOOT_M), rel=1e-3, abs=1e-4)


def test_a_prism_a_crown_and_a_roof_are_closed():
    assert closed(one(Solid("w", "", box(0, 0, 3, 1), top=Height(2))))
    assert closed(crown(np.array([0.0, 0, 2, 1, 1, 2])))
    assert closed(crown(np.array([0.0, 0, 2, 1, 1, 2]), dome=True))
    assert closed(one(Solid("t", "", Point(0, 0).buffer(1), Height(1), Height(4), Crown("cone"))))
    roof = Slab(Plane(0, 0, Height(3, "site"), 180, 0.5), 0.1)
    assert closed(one(Solid("r", "", box(0, 0, 3, 2), Height(0), Height(4), roof)))


def test_a_crown_is_never_larger_than_it_is_and_not_much_smaller():
    # Volume of an ellipsoid: 4/3 pi a b c; drawn uneven inwards by at most ROUGH of its radius.
    mesh = crown(np.array([1.0, 2, 5, 2, 2, 3]))
    full = 4 / 3 * math.pi * 2 * 2 * 3
    assert full * (1 - ROUGH) ** 3 * 0.85 < mesh.volume_m3 < full
    low, high = mesh.corners.min(0), mesh.corners.max(0)
    assert (low >= (-1, 0, 2)).all()
    assert (high <= (3, 4, 8)).all()
    assert high[2] == pytest.approx(8)


def test_what_stands_on_a_slope_follows_it():
    mesh = one(Solid("h", "", box(2, 5, 18, 6), top=Height(1.5), grown=True), SLOPE)
    top = mesh.corners[mesh.corners[:, 2] > SLOPE.height(*mesh.corners[:, :2].T) + 0.5]
    assert top[:, 2] == pytest.approx(0.1 * top[:, 0] + 1.5, abs=0.03)


@pytest.mark.parametrize(("gap", "stops"), [(0.10, 0.5), (0.05, 0.6), (0.15, 0.4)])
def test_a_picket_fence_has_its_gaps_and_stops_its_share(gap, stops):
    fence = Solid("f", "", box(0, 0, 6, 0.02), top=Height(1), gap_m=gap, opacity=every_month(stops))
    mesh = one(fence)
    xs = np.sort(np.unique(np.round(mesh.corners[:, 0], 6)))
    wide, holes = xs[1::2] - xs[::2], xs[2::2] - xs[1:-1:2]
    assert holes == pytest.approx(gap, abs=1e-6)
    assert wide.mean() / (wide.mean() + gap) == pytest.approx(stops, abs=0.02)
    assert mesh.volume_m3 == pytest.approx(wide.sum() * 0.02 * (1 + FOOT_M), rel=1e-6)


def test_slats_run_as_they_are_said_to():
    form = Slats(direction_deg=0, depth_m=0.1, gap_m=0.2, thickness_m=0.05)
    mesh = one(Solid("p", "", box(0, 0, 2, 3), Height(2.3), Height(2.4), form, gap_m=0.2))
    xs = np.sort(np.unique(np.round(mesh.corners[:, 0], 6)))
    assert np.diff(xs)[::2] == pytest.approx(0.05)
    assert np.diff(xs)[1::2] == pytest.approx(0.2)
    assert np.ptp(mesh.corners[:, 1]) == pytest.approx(3)
    assert mesh.corners[:, 2].max() == pytest.approx(2.4)
    assert mesh.corners[:, 2].min() == pytest.approx(2.3)


def test_a_hole_in_a_wall_stays_open():
    ring = Polygon([(0, 0), (4, 0), (4, 4), (0, 4)], [[(1, 1), (3, 1), (3, 3), (1, 3)]])
    mesh = one(Solid("w", "", ring, top=Height(1)))
    assert mesh.volume_m3 == pytest.approx(12 * (1 + FOOT_M))
