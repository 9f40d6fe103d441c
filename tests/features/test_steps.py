"""Steps and ramps against the rules of the trade."""

from __future__ import annotations

import math
from typing import Any, cast

import pytest
from hypothesis import given, strategies as st

from quincunx.features.ramp import ACCESSIBLE, Ramp, Slope
from quincunx.features.steps import Flight, Steps, going_for, work_out
from quincunx.shapes import Height, Plane, Risers
from quincunx.site.ground import Ground
from tests.features.standing import make, moment, points, scene_of, stand

INCH = 0.0254

# T45: tread and riser in inches that make 26 in together (gardening magazine chart, issue 99, May 2012; read, and the
# sums repeated).
PAIRS = [(18, 4), (17, 4.5), (16, 5), (15, 5.5), (14, 6), (13, 6.5), (12, 7)]
HILL = Ground.from_levels([(0, 0, 0), (40, 0, 0), (40, 40, 10), (0, 40, 10)])
"""A plane rising one in four to the north."""


def like(flight: Flight, count: int, rise_m: float, going_m: float) -> bool:
    return flight.count == count and (flight.rise_m, flight.going_m) == pytest.approx((rise_m, going_m))


def steps(**fields: Any) -> Steps:
    return cast("Steps", make("steps", **fields))


def ramp(**fields: Any) -> Ramp:
    return cast("Ramp", make("ramp", **fields))


@pytest.mark.parametrize(("tread_in", "riser_in"), PAIRS)
def test_the_garden_rule(tread_in, riser_in):
    # T44: tread + 2 risers = 26 in (T. Church, Gardens Are for People: from memory; chart: read).
    assert going_for(riser_in * INCH) == pytest.approx(tread_in * INCH, abs=0.0005)
    assert Flight(3, riser_in * INCH, tread_in * INCH).rule_m == pytest.approx(0.66, abs=0.0005)


@pytest.mark.parametrize(("tread_in", "riser_in"), PAIRS)
@pytest.mark.parametrize("count", [1, 2, 5, 12])
def test_the_number_of_steps_is_the_one_that_fits_the_rule(tread_in, riser_in, count):
    flight = work_out(count * riser_in * INCH, count * tread_in * INCH)
    assert flight.count == count
    assert flight.rise_m == pytest.approx(riser_in * INCH)
    assert flight.going_m == pytest.approx(tread_in * INCH)


def test_the_metric_rule():
    # T46: 2R + T = 630 mm, R 150 with T 330 (landscape how-to pages; read).
    assert Flight(4, 0.15, 0.33).rule_m == pytest.approx(0.63)


@given(fall=st.floats(2.0, 8.0), slope=st.floats(12 / 7, 18 / 4))
def test_longer_flights_walk_well(fall, slope):
    # T46: 550 to 700 mm (Approved Document K; from memory); risers 4 to 7 in (T44).
    flight = work_out(fall, fall * slope)
    assert 0.55 <= flight.rule_m <= 0.70
    assert flight.rise_m <= 7 * INCH + 0.0005
    assert flight.count * flight.rise_m == pytest.approx(fall)
    assert flight.count * flight.going_m == pytest.approx(fall * slope)


def test_what_is_fixed_is_kept():
    assert like(work_out(0.6, 2.0, count=5), 5, 0.12, 0.4)
    assert like(work_out(0.6, 2.0, rise_m=0.17), 4, 0.15, 0.5)
    assert work_out(0.6, 2.0, going_m=0.35).going_m == 0.35
    assert like(work_out(0.0, 2.0, count=3, rise_m=0.15), 3, 0.15, 2 / 3)


def test_a_wall_of_a_slope_still_gives_risers_no_higher_than_seven_inches():
    assert work_out(3.0, 0.5).rise_m <= 0.178


def test_level_ground_gives_one_level_tread():
    stood = stand(steps(fall=None))
    assert stood.surfaces[0].lie == Height(0.0)
    assert len(stood.work) == 1


def test_the_fall_is_taken_from_the_ground():
    on_hill = moment(ground=HILL)
    flight = steps(fall=None, line=[[5, 5], [5, 9]]).flight(on_hill)
    assert flight.count * flight.rise_m == pytest.approx(1.0)
    assert steps(fall=None, line=[[5, 9], [5, 5]]).flight(on_hill) == flight, "whichever end was drawn first"


def test_they_are_drawn_with_a_line_for_each_riser_and_lie_as_such():
    built = steps()
    flight, stood = built.flight(moment()), stand(built)
    tread = stood.surfaces[0]
    assert isinstance(tread.lie, Risers)
    assert (tread.lie.count, tread.lie.up_deg) == (flight.count, 0.0)
    assert tread.area.area == pytest.approx(flight.count * flight.going_m * 1.2)
    assert (
        sum(1 for f in stood.figures if getattr(f, "weight", "") == "thin" and len(getattr(f, "points", ())) == 2) == 4
    )
    assert like(flight, 4, 0.15, 0.36)


@pytest.mark.parametrize(
    "way", [steps(line=[[3, -1.2], [3, 0.24]]), ramp(line=[[3, -3], [3, 1]])], ids=["steps", "ramp"]
)
def test_they_go_through_a_terrace_edge_and_through_no_other_wall(way):
    edge = make("terrace-edge", line=[[0, 0], [6, 0]], retained=0.6)
    wall = make("wall", line=[[0, 0.1], [6, 0.1]])
    scene = scene_of(edge, wall, way)
    held = [s for s in scene.solids if s.owner == edge.id]
    assert len(held) == 2
    assert sum(s.footprint.area for s in held) == pytest.approx((6 - float(way.width)) * 0.4)
    assert [s.footprint.area for s in scene.solids if s.owner == wall.id] == [pytest.approx(6 * 0.33)]


def test_steps_on_an_open_slope_want_no_wall():
    assert scene_of(steps()).unmet == ()


def test_the_accessible_ramp():
    # W4: 1:12, rise at most 30 in a run, clear width 36 in, landings 60 in (2010 ADA Standards 405.2, 405.6 and 405.5:
    # read; 405.7: from memory).
    assert (ACCESSIBLE.grade, ACCESSIBLE.rise_m) == pytest.approx((1 / 12, 0.762))
    assert (ACCESSIBLE.width_m, ACCESSIBLE.landing_m) == pytest.approx((0.9144, 1.524))


@pytest.mark.parametrize(
    ("rise_in", "runs", "needed_in"), [(6, 1, 72), (30, 1, 360), (31, 2, 372 + 60), (90, 3, 1080 + 120)]
)
def test_how_long_a_ramp_must_be(rise_in, runs, needed_in):
    slope = Slope(rise_in * INCH, 10.0)
    assert slope.runs == runs
    assert slope.length_needed_m == pytest.approx(needed_in * INCH)


def test_each_riser_is_drawn_in_its_place():
    # Four goings of 0.36 m up the page from (0, 0), 1.2 m wide: the lines lie at 0, 0.36, 0.72 and 1.08 m.
    lines = [points(f) for f in stand(steps()).figures if getattr(f, "weight", "") == "thin" and len(points(f)) == 2]
    assert [a[1] for a, _ in lines] == pytest.approx([0.0, 0.36, 0.72, 1.08])
    assert {round(abs(x), 6) for line in lines for x, _ in line} == {0.6}


def test_a_ramp_climbs_from_its_foot_to_its_head():
    built = ramp(line=[[1, 1], [1, 6]], fall=0.4)
    lie = stand(built).surfaces[0].lie
    assert isinstance(lie, Plane)
    assert built.slope(moment()).grade == pytest.approx(0.08)
    assert (lie.x_m, lie.y_m, lie.fall_deg, lie.grade) == pytest.approx((1.0, 1.0, 180.0, 0.08))
    assert lie.at.value_m == 0.0


def test_a_ramp_follows_the_ground():
    built = ramp(line=[[5, 9], [5, 5]], fall=None)
    lie = stand(built, moment(ground=HILL)).surfaces[0].lie
    assert isinstance(lie, Plane)
    assert (lie.y_m, lie.grade) == pytest.approx((5.0, 0.25))
    assert math.isclose(lie.fall_deg, 180.0)
