"""Roofs: slopes meet on ridges and hips, cover the eaves and have the area that geometry gives."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings, strategies as st
from shapely import Point, Polygon, union_all

from quincunx.features._plan import rectangle, regular
from quincunx.features._roofs import roof_members, roof_solids, roof_work
from quincunx.features._slopes import RoofForm, Slope, drained, edges, ridges, rise_at_m, slopes, true_area_m2
from quincunx.shapes import NO_LIGHT, OPAQUE, Plane, Slab, Solid


def roof(shape: Polygon, form: RoofForm, pitch_deg: float, side: int = 1, first_deg: float = 0.0) -> tuple[Slope, ...]:
    return slopes(shape, drained(form, edges(shape, first_deg), side), pitch_deg)


def height_m(plane: Plane, x: float, y: float) -> float:
    """The plane by its own words: ``at`` over its point, falling ``grade`` towards ``fall_deg``."""
    a = math.radians(plane.fall_deg)
    return plane.at.value_m - plane.grade * ((x - plane.x_m) * math.sin(a) + (y - plane.y_m) * math.cos(a))


def slabs(shape: tuple[Slope, ...], eaves_z_m: float = 2.0) -> tuple[Solid, ...]:
    return roof_solids("r", shape, eaves_z_m, 0.04, light=NO_LIGHT, seen=OPAQUE, sheds_to=None)


def plane(solid: Solid) -> Plane:
    assert isinstance(solid.form, Slab)
    return solid.form.plane


def test_a_hip_over_a_rectangle():
    # Plane geometry: equal pitches give hips at 45 degrees in plan, a ridge of length - width, a rise of half the width
    # times the tangent, and a true area of plan area over cosine.
    hip = roof(rectangle((0, 0), 6, 4, 0), "hip", 30)
    assert len(hip) == 4
    assert true_area_m2(hip) == pytest.approx(24 / math.cos(math.radians(30)))
    lines = ridges(hip)
    level = [(a, b, z) for a, b, z, other in lines if abs(z - other) < 1e-6]
    assert len(lines) == 5
    assert len(level) == 1
    a, b, rise = level[0]
    assert math.dist(a, b) == pytest.approx(2.0)
    assert rise == pytest.approx(2 * math.tan(math.radians(30)))
    for a, b, low, high in lines:
        if abs(low - high) > 1e-6:
            assert abs(b[0] - a[0]) == pytest.approx(abs(b[1] - a[1]), abs=1e-6)


def test_a_gable_has_its_ridge_over_the_middle():
    gable = roof(rectangle((5, 1), 3, 5, 90), "gable", 40, first_deg=90)
    ((a, b, low, high),) = ridges(gable)
    assert low == pytest.approx(high) == pytest.approx(2.5 * math.tan(math.radians(40)))
    assert math.dist(a, b) == pytest.approx(3.0)
    assert true_area_m2(gable) == pytest.approx(15 / math.cos(math.radians(40)))


def test_a_single_pitch_is_one_slope_falling_to_its_side():
    for side, fall in ((1, 0), (2, 90), (3, 180), (4, 270)):
        (one,) = roof(rectangle((0, 0), 4, 3, 0), "single", 10, side)
        assert one.plane(2.0).fall_deg == pytest.approx(fall)
        deep = 3 if side in (1, 3) else 4
        assert one.rises_m() == pytest.approx((0, deep * math.tan(math.radians(10))))


@pytest.mark.parametrize("sides", [6, 8])
def test_hips_over_regular_shapes_meet_in_one_point(sides):
    across = 3.0
    hip = roof(regular((1, 2), across, sides, 0), "hip", 35)
    assert len(hip) == sides
    assert {round(s.area.area, 6) for s in hip} == {round(hip[0].area.area, 6)}
    assert rise_at_m(hip, (1, 2)) == pytest.approx(across / 2 * math.tan(math.radians(35)))
    # Area of a regular polygon from flat to flat: n/4 across^2 tan(pi/n).
    plan = sides / 4 * across**2 * math.tan(math.pi / sides)
    assert true_area_m2(hip) == pytest.approx(plan / math.cos(math.radians(35)))


@settings(max_examples=80, deadline=None)
@given(
    corners=st.lists(st.tuples(st.floats(-6, 6), st.floats(-6, 6)), min_size=3, max_size=7),
    pitch=st.floats(3, 60),
    at=st.tuples(st.floats(0.01, 0.99), st.floats(0.01, 0.99)),
)
def test_a_hip_over_any_outline_without_inward_corners(corners, pitch, at):
    shape = Polygon(corners).convex_hull
    if not isinstance(shape, Polygon) or shape.area < 2 or shape.length**2 > 60 * shape.area:
        return
    hip = roof(shape, "hip", pitch)
    assert union_all([s.area for s in hip]).symmetric_difference(shape).area < 1e-6
    assert sum(s.area.area for s in hip) == pytest.approx(shape.area, rel=1e-6)
    assert sum(w.outline.area for w in roof_work("r", hip, "tiles", 0.02)) == pytest.approx(true_area_m2(hip), rel=1e-6)
    # On every point the slope that covers it is the lowest of all planes, so neighbours meet without a step.
    west, south, east, north = shape.bounds
    p = (west + at[0] * (east - west), south + at[1] * (north - south))
    if shape.contains(Point(p)):
        over = [height_m(plane(s), *p) for s in slabs(hip) if s.footprint.distance(Point(p)) < 1e-9]
        every = [height_m(plane(s), *p) for s in slabs(hip)]
        assert over
        assert min(over) == pytest.approx(min(every), abs=1e-6) == pytest.approx(max(over), abs=1e-6)


FORMS: list[tuple[RoofForm, float]] = [("gable", 25.0), ("hip", 40.0)]


@pytest.mark.parametrize(("form", "pitch"), FORMS)
def test_planes_meet_on_every_ridge_and_hip(form, pitch):
    made = roof(rectangle((3, -2), 5, 3.2, 33), form, pitch, first_deg=33)
    for a, b, _, _ in ridges(made):
        for p in (a, b):
            meeting = [height_m(plane(s), *p) for s in slabs(made) if s.footprint.distance(Point(p)) < 1e-6]
            assert len(meeting) >= 2
            assert max(meeting) - min(meeting) < 1e-6


def test_slabs_rest_on_the_eaves():
    for solid in slabs(roof(rectangle((0, 0), 5, 3, 0), "hip", 30), eaves_z_m=2.1):
        assert isinstance(solid.form, Slab)
        lowest = min(height_m(solid.form.plane, x, y) for x, y in solid.footprint.exterior.coords)
        under = lowest - solid.form.thickness_m / math.cos(math.radians(30))
        assert under == pytest.approx(2.1)
        assert solid.base.value_m == pytest.approx(2.1)
        highest = max(height_m(solid.form.plane, x, y) for x, y in solid.footprint.exterior.coords)
        assert solid.top.value_m == pytest.approx(highest)


def test_rafters_are_as_long_as_the_slope_and_no_further_apart_than_said():
    gable = roof(rectangle((0, 0), 3.1, 4, 0), "gable", 30)
    members = roof_members(gable, 2.0, 0.6, (0.045, 0.12), "timber")
    rafters = [m for m in members if m.name == "rafter"]
    # 3.1 m less one section over bays of at most 0.6 m: six bays, seven rafters on each side.
    assert len(rafters) == 14
    for m in rafters:
        assert math.dist(m.start, m.end) == pytest.approx(2 / math.cos(math.radians(30)))
        assert m.start[2] == pytest.approx(2.0)
        assert m.end[2] == pytest.approx(2 + 2 * math.tan(math.radians(30)))
    assert [m.name for m in members if m.name != "rafter"] == ["ridge"]
    along = sorted({round(m.start[0], 6) for m in rafters})
    assert max(b - a for a, b in pairwise(along)) <= 0.6


def test_the_unfolded_slope_keeps_its_eaves():
    slope = roof(rectangle((0, 0), 4, 4, 0), "hip", 45)[0]
    eaves = [p for p in slope.unfolded().exterior.coords if abs(slope.eaves.inside_m(p)) < 1e-9]
    assert len({(round(x, 6), round(y, 6)) for x, y in eaves}) == 2
    assert slope.unfolded().area == pytest.approx(4 * math.sqrt(2))
