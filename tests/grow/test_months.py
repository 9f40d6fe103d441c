"""Sizes month by month, grown as arrays: the same as on the day itself."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import example, given, settings, strategies as st

from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.grow.months import monthly
from quincunx.grow.plantings import growing
from quincunx.plants.catalogue import builtin
from quincunx.plants.growth import STOCK_LAG_YEARS
from quincunx.plants.habit import Habit
from quincunx.plants.ranges import Range
from quincunx.scene import Days
from tests.grow.gardens import feature, hedge, line, note, tree

PLANTS = sorted(builtin())
NEAR = 1e-9
"""Metres: a power and an exponential of numpy differ from those of ``math`` by a few units in the last place."""


def near(row, exact, about=""):
    np.testing.assert_allclose(row, exact, rtol=NEAR, atol=NEAR, err_msg=about)


def compare(through, found, months, first_year=2027, every=1):
    """Hold each row of ``found`` to what stands on its day."""
    for one in growing(through):
        for k in range(0, months, every):
            on = date(first_year + k // 12, k % 12 + 1, 15)
            stands, row = through.plants_on(one, on), found[one.id][k]
            if not stands:
                assert np.isnan(row).all(), (one.id, on)
                continue
            exact = np.array([*stands[0].height_m, *stands[0].spread_m])
            near(row, exact, f"{one.id} {on}")


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
def test_each_month_is_the_size_on_its_day(demo):
    through = timeline(demo_garden(demo))
    found = monthly(through, date(2027, 1, 1), 60)
    assert set(found) == {f.id for f in growing(through)}
    assert len(found) >= 12
    compare(through, found, 60, every=5)


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
def test_plants_alone_are_the_plants_that_stand(demo):
    through, again = timeline(demo_garden(demo)), timeline(demo_garden(demo))
    for year in (2027, 2030, 2034):
        for one in growing(through):
            for on in (through.leaf_date(year), through.bare_date(year)):
                alone = through.plants_on(one, on)
                assert alone == (again.stood(one, on).plants if again.stands_on(one.id, on) else ())


def test_nothing_before_planting():
    found = monthly(line(hedge(), tree("late", "corylus-avellana", (5, 5), there_from="2029-11")), date(2027, 1, 1), 48)
    assert np.isnan(found["late"][:34]).all()
    assert not np.isnan(found["late"][34:]).any()
    assert (np.diff(found["hedge"][3:, 1]) >= -1e-9).all()


def test_what_happens_to_plants_is_in_their_months():
    journal = (
        note("2028-04-20", "browsed", "hedge"), note("2029-01-10", "died-back", "hedge"),
        note("2030-02-01", "lost", "plum"), note("2030-11-20", "replanted", "plum"),
        note("2029-09-01", "measured", "hazel", 2.1), note("2031-05-01", "browsed", "hazel"),
        note("2028-06-01", "lost", "rasps", 3.0),
    )  # fmt: skip
    through = line(
        hedge(),
        tree("plum", "prunus-domestica-semi-dwarf-rootstock", (5, 9), there_until="2033-06"),
        tree("hazel", "corylus-avellana", (15, 9), most_height=3.0, form="column", raised="own"),
        tree("old", "malus-domestica-mm-106-m-7-rootstock", (25, 9), there_from="start", start_height=3.0, age_at_start=9.0),
        feature("row", "rasps", plant="rubus-idaeus", line=[[1, 20], [7, 20]]),
        feature("climber", "rose", plant="rosa-climbing", line=[[1, 30], [4, 30]]),
        feature("bed", "bed", plant="lavandula-angustifolia", outline=[[20, 20], [25, 20], [25, 22], [20, 22]]),
        feature("shrub", "old-currant", at=[30, 30], there_from="start", start_height=0.8, age_at_start=3),
        journal=journal,
    )  # fmt: skip
    found = monthly(through, date(2026, 1, 1), 108)
    compare(through, found, 108, first_year=2026)
    plum, hedges = found["plum"][:, 1], found["hedge"][:, 1]
    assert np.isnan(plum[49:58]).all()  # lost in February 2030: gone until November
    assert plum[59] < plum[48]
    assert np.isnan(plum[89:]).all()
    assert hedges[60] < monthly(line(hedge()), date(2026, 1, 1), 108)["hedge"][60, 1] - 0.2


def test_a_southern_garden_dies_back_in_its_own_winter():
    beans = feature("row", "beans", plant="phaseolus-coccineus", line=[[1, 20], [7, 20]])
    rhubarb = feature("row", "rhubarb", plant="rheum-x-hybridum", line=[[1, 25], [7, 25]])
    through = line(*(f for f in (beans, rhubarb) if f.plants_named()[0] in builtin()), latitude_deg=-40.0)
    compare(through, monthly(through, date(2027, 1, 1), 36), 36)


@settings(max_examples=80, deadline=None)
@given(
    st.sampled_from(PLANTS),
    st.sampled_from(sorted(STOCK_LAG_YEARS)),
    st.floats(0.05, 6.0) | st.none(),
    st.floats(0.05, 4.0) | st.none(),
    st.just(0.0) | st.floats(0.0, 20.0),
    st.booleans(),
    st.booleans(),
    st.lists(st.tuples(st.floats(0, 40), st.floats(0, 3), st.floats(0, 3), st.integers(1, 12)), min_size=1, max_size=6),
)
@example(
    "allium-ampeloprasum-leek", "", None, None, 7.0, False, False, [(8.0, 0.0, 2.5, 1)]
)  # hardly anything left to grow
def test_an_array_of_ages_grows_as_each_age_alone(plant, stock, high, wide, begun, as_hedge, southern, ages):
    habit = Habit(builtin()[plant], high, wide, begun, stock, 0.35, 5.0, 3.0, as_hedge)
    grown = np.array([[a - b, a, a + c] for a, b, c, _ in ages])
    months = np.array([m for *_, m in ages])
    found = habit.sizes(grown, months, southern=southern)
    for row, triple, month in zip(found, grown.tolist(), months.tolist(), strict=True):
        one = habit.size(Range(*triple), month, southern=southern)
        near(row, [*one.height_m.triple, *one.spread_m.triple])


def test_days_know_their_months():
    days = Days([date(2027, 1, 15) + timedelta(days=31 * k) for k in range(3)])
    assert (days.months % 12 + 1).tolist() == [1, 2, 3]
    assert np.diff(days.ordinals).tolist() == [31, 31]
