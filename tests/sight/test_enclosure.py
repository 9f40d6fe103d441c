"""How enclosed a place is, what fills the view, and what stands in line."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, strategies as st
from shapely import LineString, Point, box

from quincunx.scene import Room, Spot
from quincunx.shapes import Height, Leaf, Opening, Solid, every_month
from quincunx.sight import eye_over
from quincunx.sight.axis import middle_of, off_line
from quincunx.sight.enclosure import ENCLOSED, FULL, enclosure, mix
from tests.sight.gardens import crown, hedge, scene, wall

MIDDLE = (15.0, 15.0)


def ring(inner_m: float, high_m: float, *, open_north: bool = False):
    lo, hi = 15 - inner_m, 15 + inner_m
    sides = [wall(lo - 0.2, lo - 0.2, lo, hi + 0.2, high_m, owner="west"), wall(hi, lo - 0.2, hi + 0.2, hi + 0.2, high_m, owner="east"),
             wall(lo, lo - 0.2, hi, lo, high_m, owner="south")]  # fmt: skip
    return sides if open_north else [*sides, wall(lo, hi, hi, hi + 0.2, high_m, owner="north")]


def test_a_walled_court_is_enclosed_by_the_published_ratio():
    # Robinette (1972), as cited by Booth (1983): distance 1 to height 1 is full, 2 to 1 the threshold. In the middle of a
    # square court the wall is from 1 to 1.41 half-widths away; the median over all bearings is 1 / cos 22.5 = 1.082.
    found = enclosure(scene(*ring(4.0, 4.0)), MIDDLE)
    assert found.share == 1.0
    assert found.ratio == pytest.approx(1 / math.cos(math.radians(22.5)), rel=0.03)
    assert found.ratio is not None
    assert FULL < found.ratio < ENCLOSED
    wide = enclosure(scene(*ring(12.0, 4.0)), MIDDLE)
    assert wide.ratio == pytest.approx(3 / math.cos(math.radians(22.5)), rel=0.03)


def test_an_open_side_is_found_with_its_width():
    found = enclosure(scene(*ring(4.0, 3.0, open_north=True)), MIDDLE)
    assert found.share == pytest.approx(0.75, abs=0.03)
    assert found.widest_open_deg is not None
    middle, width = found.widest_open_deg
    assert min(middle, 360 - middle) <= 2.5
    assert width == pytest.approx(90, abs=10)


@pytest.mark.parametrize("thing", ["low", "thin", "crown", "roof"])
def test_what_is_low_thin_a_crown_or_a_roof_is_no_edge(thing):
    things = {
        "low": wall(10, 20, 20, 20.2, 1.5),
        "thin": replace(wall(10, 20, 20, 20.2, 3.0), opacity=every_month(0.3)),
        "crown": crown(15, 20, 3, 0, 5),
        "roof": Solid("roof", "", box(10, 18, 20, 22), Height(2.4), Height(2.5)),
    }
    assert enclosure(scene(things[thing]), MIDDLE).share == 0.0
    assert enclosure(scene(things[thing]), MIDDLE).ratio is None


def test_a_hedge_is_an_edge_in_leaf_only_and_a_shut_gate_closes():
    screen = hedge(5, 20, 25, 21, 3.0)
    assert enclosure(scene(screen), MIDDLE, month=7).share > enclosure(scene(screen), MIDDLE, month=1).share == 0.0
    gate = Opening("gate", LineString([(14, 20), (16, 20)]), 2.0, leaf=Leaf(2.0))
    assert enclosure(scene(openings=(gate,)), MIDDLE).share > 0


def test_the_nearest_edge_counts_and_the_height_is_over_its_own_ground():
    found = enclosure(scene(wall(5, 25, 25, 25.2, 6.0), wall(5, 18, 25, 18.2, 2.0, owner="near")), MIDDLE)
    assert found.distance_m[0] == pytest.approx(3.0)
    assert found.height_m[0] == pytest.approx(2.0)


def test_the_view_is_shared_among_plants_built_ground_and_sky():
    empty = mix(scene(), eye_over(scene(), MIDDLE, 1.6))
    assert (empty.plants, empty.built) == (0.0, 0.0)
    assert empty.ground + empty.sky == pytest.approx(1.0)
    # Of 16 rows from 20 degrees below to 27 above level, those more than atan(1.6 / 40) = 2.3 degrees below meet the ground.
    rows = np.linspace(-20, 27, 16)
    assert empty.ground == pytest.approx((rows < -2.4).mean(), abs=0.03)
    court = scene(*ring(4.0, 12.0))
    walled = mix(court, eye_over(court, MIDDLE, 1.6))
    assert walled.sky == pytest.approx(0.0, abs=1e-9)
    assert walled.built > 0.6
    green = scene(hedge(5, 18, 25, 19, 12.0))
    found = mix(green, eye_over(green, MIDDLE, 1.6))
    bare = mix(green, eye_over(green, MIDDLE, 1.6), month=1)
    assert found.plants > 2 * bare.plants > 0.05
    assert sum((found.plants, found.built, found.ground, found.sky)) == pytest.approx(1.0)


@given(
    a=st.tuples(st.floats(-50, 50), st.floats(-50, 50)), turn=st.floats(0, 6.28), far=st.floats(1, 40),
    along=st.floats(-5, 45), right=st.floats(-9, 9),
)  # fmt: skip
def test_off_a_line_is_how_far_to_its_right(a, turn, far, along, right):
    ahead, side = (math.sin(turn), math.cos(turn)), (math.cos(turn), -math.sin(turn))
    b = (a[0] + far * ahead[0], a[1] + far * ahead[1])
    at = (a[0] + along * ahead[0] + right * side[0], a[1] + along * ahead[1] + right * side[1])
    found = off_line(a, b, at)
    assert found.right_m == pytest.approx(right, abs=1e-6)
    assert found.along_m == pytest.approx(along, abs=1e-6)
    assert found.between is (0 <= found.along_m <= found.length_m) or abs(along) < 1e-6 or abs(along - far) < 1e-6
    assert Point(found.foot).distance(LineString([a, b])) < 1e-6 or not found.between


def test_a_line_needs_two_places():
    with pytest.raises(ValueError, match="two places apart"):
        off_line((1, 1), (1, 1), (2, 2))


def test_middles_are_those_of_spots_openings_rooms_and_things():
    gate = Opening("gate", LineString([(14, 20), (16, 21)]), 2.2)
    of = scene(
        wall(10, 10, 12, 11), spots=(Spot("seat", "seat", (3, 4)),), openings=(gate,),
        rooms=(Room("green", "green", (1, 1), box(0, 0, 4, 2)), Room("court", "court", (7, 7))),
    )  # fmt: skip
    assert [middle_of(of, r) for r in ("seat", "gate", "green", "court", "wall", "nobody")] == [
        (3, 4), (15, 20.5), (2, 1), (7, 7), (11, 10.5), None,
    ]  # fmt: skip
