"""The ground that a roof keeps the rain off, against what geometry says of rain that falls straight or slants."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings, strategies as st
from shapely import box

from quincunx.scene import Scene
from quincunx.shapes import Surface
from quincunx.water.rain_shadow import rain_shadow
from quincunx.water.weather import Weather
from tests.water.gardens import LEVEL, YARD, roof

BED = box(4, 4, 16, 16)
CALM = Weather((50.0,) * 12, (0.0,) * 12)


def scene(bed=BED, planted: bool = True) -> Scene:
    return Scene(date(2030, 8, 31), YARD, LEVEL, surfaces=(Surface("bed", "", bed, "soil", planted=planted),))


def test_in_calm_air_the_ground_under_the_roof_loses_its_rain():
    plan = box(8, 8, 12, 12)
    ((owner, m2),) = rain_shadow(scene(), (roof(plan),), CALM, plan)
    assert owner == "bed"
    assert m2 == pytest.approx(plan.area, abs=1.1), "a ring of quarter-metre cells"


def test_what_is_not_planted_and_what_is_far_is_not_told():
    plan = box(8, 8, 12, 12)
    assert rain_shadow(scene(planted=False), (roof(plan),), CALM, plan) == ()
    assert rain_shadow(scene(box(0, 0, 3, 3)), (roof(plan),), CALM, plan) == ()


def test_wind_from_one_side_moves_the_dry_ground_to_the_lee():
    """Rain from the west reaches in under the western eaves and misses the ground east of them."""
    plan = box(8, 8, 12, 12)
    windy = Weather((50.0,) * 12, (6.0,) * 12, (270.0,) * 12)
    west = rain_shadow(scene(box(4, 4, 10, 16)), (roof(plan),), windy, plan)
    east = rain_shadow(scene(box(10, 4, 16, 16)), (roof(plan),), windy, plan)
    assert sum(m2 for _, m2 in east) > sum(m2 for _, m2 in west)


@settings(max_examples=6, deadline=None)
@given(high=st.floats(2.0, 4.0), wind=st.floats(0.5, 5.0))
def test_a_lower_roof_keeps_no_less_ground_dry(high, wind):
    plan, weather = box(8, 8, 12, 12), Weather((50.0,) * 12, (wind,) * 12)
    low = rain_shadow(scene(), (roof(plan, 1.5),), weather, plan, cell_m=0.5)
    tall = rain_shadow(scene(), (roof(plan, high),), weather, plan, cell_m=0.5)
    assert sum(m2 for _, m2 in tall) <= sum(m2 for _, m2 in low) + 0.5
