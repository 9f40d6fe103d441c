"""Ways underfoot: floors, slopes, steps and time, by hand and against what is published about pace."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings, strategies as st
from shapely import box

from quincunx.shapes import GROUND, Height, Lie, Plane, Risers, Surface
from quincunx.site.ground import Ground
from quincunx.walk.going import (
    GATE_S,
    STEP_S,
    floor_at,
    floor_share,
    gates_on,
    going,
    is_made,
    seconds,
    slope_share,
    walking_seconds,
)
from quincunx.walk.ways import Way
from tests.walk.grounds import gate, known, scene
from tests.walk.published import WIDTHS

SOFT = (0.3, 0.3, 0.4, 0.5, 0.7, 0.8, 0.8, 0.8, 0.7, 0.5, 0.4, 0.3)
YARD = box(0, 0, 20, 20)


def floor(owner: str, area, firm=(1.0,) * 12, lie: Lie = GROUND, layer: int = 0, *, planted: bool = False) -> Surface:
    return Surface(owner, "", area, "stone" if min(firm) == 1 else "grass", lie, firm, layer=layer, planted=planted)


def straight(*points: tuple[float, float]) -> Way:
    return Way(points, sum(math.dist(a, b) for a, b in pairwise(points)))


def hill(rise: float) -> Ground:
    """Return ground that climbs ``rise`` (m per m) to the north, from level at y = 0."""
    return Ground.from_levels([(x, y, rise * y) for x in (-5.0, 25.0) for y in (-5.0, 25.0)])


def test_a_way_is_parted_where_the_floor_changes_and_keeps_its_length():
    lawn = floor("lawn", box(0, 0, 20, 20), SOFT)
    path = floor("path", box(5, 0, 8, 20), layer=5)
    under = going(scene(YARD, surfaces=[lawn, path]), straight((1, 10), (15, 10)))
    assert [(s.owner, round(s.length_m, 6)) for s in under.stretches] == [("lawn", 4), ("path", 3), ("lawn", 7)]
    assert under.length_m == pytest.approx(14, abs=1e-9)
    assert under.soft_m == pytest.approx(11, abs=1e-9)
    assert under.steps == 0


def test_the_highest_layer_shows_whatever_the_order():
    low, high = floor("low", box(0, 0, 4, 4), layer=1), floor("high", box(1, 1, 3, 3), layer=9)
    for order in ([low, high], [high, low]):
        here = scene(YARD, surfaces=order)
        assert [here.surfaces[i].owner for i in floor_at(here, [(2, 2), (0.5, 0.5)])] == ["high", "low"]
    assert floor_at(scene(YARD), [(2, 2)]) == [-1]


@pytest.mark.parametrize(("rise", "ahead"), [(0.1, 1), (0.1, -1), (0.02, 1), (0.0, 1)])
def test_slopes_are_those_of_the_ground(rise, ahead):
    here = scene(YARD, ground=hill(rise))
    way = straight((5, 2), (5, 12)) if ahead > 0 else straight((5, 12), (5, 2))
    under = going(here, way)
    assert sum(s.rise_m for s in under.stretches) == pytest.approx(ahead * rise * 10, abs=1e-9)
    assert under.climb_m == pytest.approx(rise * 10 if ahead > 0 else 0, abs=1e-9)
    steepest = under.steepest
    assert steepest is not None
    assert steepest.grade == pytest.approx(rise, abs=1e-9)
    assert steepest.cross == pytest.approx(0, abs=1e-9)


@given(st.floats(0, 180), st.floats(0.01, 0.3))
@settings(max_examples=40, deadline=None)
def test_slope_along_and_across_make_up_the_slope_of_the_ground(bearing, rise):
    a = math.radians(bearing)
    way = straight((10, 10), (10 + 4 * math.sin(a), 10 + 4 * math.cos(a)))
    for s in going(scene(YARD, ground=hill(rise)), way).stretches:
        assert math.hypot(s.grade, s.cross) == pytest.approx(rise, abs=1e-6)


def test_a_ramp_has_its_own_slope_and_steps_are_counted():
    ramp = floor("ramp", box(4, 2, 6, 8), lie=Plane(5, 2, Height(0), 180.0, 1 / 12), layer=5)
    up = going(scene(YARD, surfaces=[ramp]), straight((5, 1), (5, 9)))
    assert up.climb_m == pytest.approx(0.5, abs=1e-9)
    steepest = up.steepest
    assert steepest is not None
    assert (steepest.owner, round(steepest.grade, 9)) == ("ramp", round(1 / 12, 9))
    flight = floor("flight", box(4, 2, 6, 3.5), lie=Risers(0.0, 5, 0.15, 0.3), layer=5)
    here = scene(YARD, surfaces=[flight])
    for way, climb in ((straight((5, 1), (5, 9)), 0.75), (straight((5, 9), (5, 1)), 0.0)):
        under = going(here, way)
        assert under.steps == 5
        assert under.climb_m == pytest.approx(climb, abs=1e-9)
    # Across the flight, on one tread, there are no steps.
    assert going(here, straight((4.1, 2.2), (5.9, 2.2))).steps == 0


def test_a_made_floor_is_firm_all_the_year_and_not_planted():
    assert is_made(floor("path", YARD))
    assert not is_made(floor("lawn", YARD, SOFT))
    assert not is_made(floor("bed", YARD, planted=True))


def test_the_pace_of_a_person_is_the_design_pace_published():
    # W25: design 3.5 ft/s, usual 3 to 4 ft/s.  Texas DOT Roadway Design Manual 19.2.1.3.
    assert known("person").pace == pytest.approx(WIDTHS["W25"], abs=0.005)
    assert WIDTHS["W25b"] <= known("two-abreast").pace + 0.005 <= WIDTHS["W25c"]
    under = going(scene(YARD, surfaces=[floor("path", YARD)]), straight((1, 1), (1, 11.7)))
    assert seconds(known("person"), under) == pytest.approx(10.0, abs=0.01)


def test_pace_falls_with_the_slope_as_published():
    # W. Tobler 1993 (from memory): 5.036 km/h level, and 6 exp(-3.5 |s + 0.05|) on a slope; ratios to the level.
    level = 6 * math.exp(-3.5 * 0.05)
    assert level == pytest.approx(5.036, abs=1e-3)
    for slope in (0.1, 0.25, -0.3):
        assert slope_share(slope, wheels=False) == pytest.approx(6 * math.exp(-3.5 * abs(slope + 0.05)) / level)
    assert slope_share(0.0, wheels=False) == slope_share(-0.05, wheels=False) == 1.0
    assert slope_share(0.1, wheels=True) < slope_share(0.1, wheels=False)


@given(st.floats(-1e9, 1e9), st.floats(0, 1), st.booleans())
def test_shares_of_the_pace_lie_between_nothing_and_all(slope, firm, wheels):
    assert 0 < slope_share(slope, wheels=wheels) <= 1
    assert 0 < floor_share(firm, wheels=wheels) <= 1


def test_mud_and_steps_and_gates_take_time():
    lawn = scene(YARD, surfaces=[floor("lawn", YARD, SOFT)], more=[gate("g", (4, 5), (6, 5))])
    way = straight((5, 1), (5, 11))
    person, barrow = known("person"), known("barrow")
    assert walking_seconds(lawn, person, way, 1) > walking_seconds(lawn, person, way, 7)
    slower = [walking_seconds(lawn, w, way, 1) / walking_seconds(lawn, w, way, 7) for w in (person, barrow)]
    assert slower[1] > slower[0]
    assert gates_on(lawn, way) == ("g",)
    assert gates_on(lawn, straight((1, 1), (1, 4))) == ()
    open_ground = scene(YARD, surfaces=[floor("lawn", YARD, SOFT)])
    assert walking_seconds(lawn, person, way, 7) - walking_seconds(open_ground, person, way, 7) == pytest.approx(GATE_S)
    flight = scene(YARD, surfaces=[floor("f", box(4, 2, 6, 3.5), lie=Risers(0.0, 5, 0.15, 0.3), layer=5)])
    flat = scene(YARD)
    lost = walking_seconds(flight, person, way) - walking_seconds(flat, person, straight((5, 1), (5, 9.5)))
    assert lost == pytest.approx(5 * STEP_S, abs=0.02)


def test_nothing_to_walk_takes_no_time():
    here = scene(YARD)
    assert going(here, Way(((1, 1),), 0.0)).stretches == ()
    assert walking_seconds(here, known("person"), Way(((1, 1),), 0.0)) == 0
    assert going(here, Way(((1, 1),), 0.0)).steepest is None
