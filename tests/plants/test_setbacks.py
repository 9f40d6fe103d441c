"""What happens to a plant sets its growth back, never below what was planted."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import hedge_size_at
from quincunx.plants.ranges import Range
from quincunx.plants.setbacks import TAKES_YEARS, Setback, crop_missed, grown_years, lost, measured

KINDS = st.sampled_from(["browsed", "died-back", "lost", "replanted", "measured"])
SETBACKS = st.lists(st.builds(Setback, st.floats(0, 40), KINDS, st.one_of(st.none(), st.floats(0.1, 9))), max_size=8)


def test_nothing_happened():
    assert grown_years(4.5) == Range(4.5, 4.5, 4.5)


def test_browsing_takes_a_year_of_growth():
    # Half a year to two, a year as a rule (common practice, no source).
    found = grown_years(5.0, [Setback(2.0, "browsed")])
    assert found.triple == (3.0, 4.0, 4.5)


def test_a_young_plant_can_lose_no_more_than_it_has_grown():
    found = grown_years(1.5, [Setback(0.5, "died-back")])
    assert found.triple == (1.0, 1.0, 1.0)


def test_what_lies_ahead_does_not_count():
    assert grown_years(1.0, [Setback(2.0, "browsed")]).mid == 1.0


@given(age=st.floats(0, 60), happened=SETBACKS)
def test_growth_is_never_negative_nor_more_than_age(age, happened):
    found = grown_years(age, happened)
    assert 0 <= found.low <= found.mid <= found.high <= age + 1e-9


@given(age=st.floats(0, 60), more=st.floats(0, 5), happened=SETBACKS)
def test_between_setbacks_it_grows_a_year_a_year(age, more, happened):
    until = age + more
    quiet = [s for s in happened if s.age_years <= age]
    assert grown_years(until, quiet).mid == pytest.approx(grown_years(age, quiet).mid + more, abs=1e-9)


@given(age=st.floats(1, 60), happened=SETBACKS)
def test_one_more_setback_never_helps(age, happened):
    worse = [*happened, Setback(age / 2, "browsed")]
    assert all(
        a <= b + 1e-9 for a, b in zip(grown_years(age, worse).triple, grown_years(age, happened).triple, strict=True)
    )


def test_a_browsed_hedge_is_a_year_behind():
    plant = Plant(id="thorn", name="thorn", height_m=8, spread_m=6, hedge_growth_m=0.5)
    whole = hedge_size_at(plant, 5.0).height_m.mid
    eaten = hedge_size_at(plant, grown_years(5.0, [Setback(2.0, "browsed")])).height_m
    assert eaten.mid == pytest.approx(whole - 0.5)
    assert eaten.low < eaten.mid < eaten.high


def test_lost_plants_come_back_when_set_anew():
    happened = [Setback(1.0, "lost", 4.0), Setback(2.0, "replanted", 3.0), Setback(3.0, "replanted", 5.0)]
    assert [lost(a, happened) for a in (0.5, 1.5, 2.5, 3.5)] == [0, 4, 1, 0]


def test_the_last_measurement_counts():
    happened = [Setback(3.0, "measured", 1.8), Setback(1.0, "measured", 0.9)]
    found = measured(4.0, happened)
    assert found is not None
    assert found.amount == 1.8
    assert measured(0.5, happened) is None


def test_the_crop_of_a_year_is_lost():
    happened = [Setback(2.0, "died-back"), Setback(9.0, "measured", 2.0)]
    assert [crop_missed(a, happened) for a in (1.9, 2.0, 2.9, 3.0, 9.1)] == [False, True, True, False, False]
    assert set(TAKES_YEARS) == {"browsed", "died-back"}
