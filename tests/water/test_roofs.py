"""Roofs: what runs off, by the published rule of thumb and a worked tank; where it drips and on what."""

from __future__ import annotations

import pytest
from shapely import box

from quincunx.scene import StandingPlant
from quincunx.shapes import Surface
from quincunx.water import drips, into_tank, roofs_of, run_off
from quincunx.water.roofs import drip_points
from tests.water.gardens import roof, scene, side

RAIN = (6.0, 8.0, 15.0, 38.0, 77.0, 64.0, 71.0, 55.0, 28.0, 34.0, 9.0, 7.0)
"""Monthly means of the Champion series that ships with aquacrop 3.1.0 (data/champion_climate.txt, 1982 to 2018) [mm]."""


def test_a_litre_for_each_millimetre_and_square_metre():
    # 1 inch on 1,000 square feet is 623 US gallons (homepower.com, read): 2,358 litres on 92.9 m2.
    of = scene(roof(box(0, 0, 9.2903, 10), sheds_to="butt"))
    (only,) = into_tank(of, "butt")
    assert only.litres(25.4, 1.0) == pytest.approx(623 * 3.785412, rel=0.002)


def test_the_yearly_inflow_of_the_worked_tank():
    # Roof 20 m2, that rain, 0.85 caught: 7.00 m3 flow in (worked by hand in the project's reference, growing 6.5).
    of = scene(roof(box(0, 0, 4, 5)))
    year = run_off(of, RAIN)
    assert sum(litres for month in year for _, litres in month.roofs) == pytest.approx(7004, abs=1)
    assert [m.month for m in year] == list(range(1, 13))


def test_the_plan_area_counts_and_overlapping_slopes_count_once():
    steep = roof(box(0, 0, 4, 2), grade=1.0), roof(box(0, 2, 4, 4), grade=1.0, fall_deg=0.0, part="back")
    under = roof(box(0.3, 0.3, 3.7, 3.7), part="fill")
    (only,) = roofs_of(scene(*steep, under))
    assert only.area_m2 == pytest.approx(16.0)
    assert into_tank(scene(*steep), "butt") == ()


def test_floors_give_what_runs_off_them_where_no_roof_or_higher_layer_is():
    paving = Surface("court", "", box(0, 0, 10, 10), "stone", run_off=0.8)
    lawn = Surface("lawn", "", box(0, 0, 20, 20), "grass", run_off=0.1, layer=-1)
    bed = Surface("bed", "", box(0, 15, 20, 20), "soil", planted=True)
    of = scene(roof(box(0, 0, 5, 5)), surfaces=(lawn, paving, bed))
    june = run_off(of, RAIN)[5]
    assert june.floors == pytest.approx((75 * 0.8 + 300 * 0.1) * 64 - 0.1 * 100 * 64)
    assert dict(june.roofs) == pytest.approx({"shelter": 25 * 64 * 0.85})


def test_rain_drips_off_the_low_edge_on_what_grows_there():
    bed = Surface("bed", "", box(4, 4.7, 16, 5), "soil", planted=True)
    rose = StandingPlant("rose", "rosa", ((6.0, 5.1),), 2.0, (1, 1, 1), (1, 1, 1))
    far = StandingPlant("quince", "cydonia", ((6.0, 8.0),), 2.0, (1, 1, 1), (1, 1, 1))
    of = scene(roof(box(5, 5, 15, 15), 2.4, 0.3), surfaces=(bed,), plants=(rose, far))
    (drip,) = drips(of)
    assert sorted(drip_points(drip)) == [(5.0, 5.0), (15.0, 5.0)]
    assert drip.fall_m == pytest.approx(2.4)
    assert drip.strikes == ("bed", "rose")


def test_a_gutter_a_flat_roof_and_what_fills_a_gable_do_not_drip():
    assert drips(scene(roof(box(5, 5, 15, 15), 2.4, 0.3, sheds_to="butt"))) == ()
    assert drips(scene(roof(box(5, 5, 15, 15)), side(1, 1, 2, 2))) == ()
    slope = roof(box(5, 5, 15, 15), 2.4, 0.3)
    fill = roof(box(5.3, 5.3, 14.7, 14.7), 2.4, 0.3, part="fill")
    assert len(drips(scene(slope, fill))) == 1
