"""The heights along a walk, on both sides, and how many there are."""

from __future__ import annotations

import numpy as np
import pytest
from shapely import LineString

from quincunx.sight.skyline import skyline
from tests.light.gardens import SLOPE
from tests.sight.gardens import crown, hedge, scene, wall

WALK = LineString([(10, 2), (10, 22)])


def test_a_hedge_and_a_wall_of_one_height_make_a_flat_skyline():
    found = skyline(scene(hedge(8, 2, 8.6, 22, 1.8), wall(11.5, 2, 11.7, 22, 1.9)), WALK)
    assert found.flat
    assert found.heights == (1.8,)
    assert found.bare == 0.0
    assert found.left_m == pytest.approx(1.8)
    assert found.right_m == pytest.approx(1.9)


def test_left_and_right_are_those_of_somebody_walking_it():
    of = scene(hedge(8, 2, 8.6, 12, 1.8))
    there, back = skyline(of, WALK), skyline(of, LineString([(10, 22), (10, 2)]))
    assert there.left_m.max() == back.right_m.max() == 1.8
    assert there.right_m.max() == back.left_m.max() == 0.0
    assert there.bare == pytest.approx(0.75, abs=0.03)


def test_each_height_that_stands_out_is_counted():
    found = skyline(scene(hedge(8, 2, 8.6, 22, 1.2), crown(8, 10, 1.5, 1.5, 6.0), wall(12, 14, 12.2, 22, 2.2)), WALK)
    assert [round(h, 1) for h in found.heights] == [1.2, 2.2, 6.0]
    assert not found.flat


def test_what_stands_farther_off_is_no_part_of_it_and_heights_are_over_the_walk():
    assert skyline(scene(hedge(5, 2, 6, 22, 1.8)), WALK).bare == 1.0
    assert skyline(scene(), WALK).heights == ()
    uphill = skyline(scene(hedge(8, 2, 8.6, 3, 1.8), ground=SLOPE), WALK)
    assert uphill.left_m.max() == pytest.approx(1.8, abs=0.05)
    assert np.isclose(uphill.along_m[-1], 20.0)
