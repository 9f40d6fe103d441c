"""Sizes month by month: the same as on the day itself, many at once."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.grow.months import monthly
from quincunx.grow.plantings import growing
from tests.grow.gardens import hedge, line, tree


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
def test_each_month_is_near_the_size_on_its_day(demo):
    through = timeline(demo_garden(demo))
    found = monthly(through, date(2027, 1, 1), 60)
    assert set(found) == {f.id for f in growing(through)}
    for feature in growing(through):
        for k in range(0, 60, 5):
            on = date(2027 + k // 12, k % 12 + 1, 15)
            stands, row = through.plants_on(feature, on), found[feature.id][k]
            if not stands:
                assert np.isnan(row).all()
                continue
            exact = np.array([*stands[0].height_m, *stands[0].spread_m])
            assert np.all(np.abs(row - exact) <= np.maximum(0.04, 0.03 * exact)), (feature.id, on)


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
def test_plants_alone_are_the_plants_that_stand(demo):
    through, again = timeline(demo_garden(demo)), timeline(demo_garden(demo))
    for year in (2027, 2030, 2034):
        for feature in growing(through):
            for on in (through.leaf_date(year), through.bare_date(year)):
                alone = through.plants_on(feature, on)
                assert alone == (again.stood(feature, on).plants if again.stands_on(feature.id, on) else ())


def test_nothing_before_planting():
    found = monthly(line(hedge(), tree("late", "corylus-avellana", (5, 5), there_from="2029-11")), date(2027, 1, 1), 48)
    assert np.isnan(found["late"][:34]).all()
    assert not np.isnan(found["late"][34:]).any()
    assert (np.diff(found["hedge"][3:, 1]) >= -1e-9).all()
