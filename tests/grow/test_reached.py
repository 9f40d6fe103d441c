"""Not before, usually, surely by: when something grown is so high, so closed, so dense."""

from __future__ import annotations

import pytest

from quincunx.grow.plantings import planting, plantings, southern
from quincunx.grow.reached import When, closed, height, hiding, stops, when
from tests.grow.gardens import hedge, known, line, note, tree


def test_a_hedge_closes_in_the_range_of_the_worked_example():
    # Common practice, no source (memory): 0.45 m apart, 0.15 m wide when set, 0.10 m a year to each side: 2.5 years with
    # a lag of 1, 3.5 with 2.  Planted in March 2027 and looked at each August: closed in the third or fourth summer.
    timeline = line(hedge(spacing=0.45, start_height=0.43))
    found = when(timeline, "hedge", closed, 1.0)
    assert known(found.usually) in (2029, 2030)
    assert known(found.not_before) <= known(found.usually) <= known(found.surely_by) <= 2032


def test_beech_reaches_its_height_as_in_the_worked_example():
    # Common practice, no source (memory): beech 0.6 m whip to 1.8 m at 0.35 m a year with lag 1: 4.4 years.
    timeline = line(hedge(plant="fagus-sylvatica", start_height=0.6, clip_height=2.0))
    found = when(timeline, "hedge", height, 1.8)
    assert known(found.not_before) <= 2027 + 4 <= known(found.surely_by)


def test_what_is_clipped_lower_never_gets_there():
    timeline = line(hedge(clip_height=1.2))
    assert when(timeline, "hedge", height, 1.8) == When()
    assert When().words == "not in the next thirty years"


def test_browsing_puts_it_off():
    plain = line(hedge(clip_height=1.8))
    eaten = line(hedge(clip_height=1.8), journal=[note("2028-04-10", "browsed", "hedge")])
    before, after = (when(t, "hedge", height, 1.6) for t in (plain, eaten))
    assert known(after.usually) == known(before.usually) + 1
    assert known(after.surely_by) >= known(before.surely_by) + 1


def test_lost_and_planted_again_counts_from_the_second_planting():
    gone = line(
        hedge(), journal=[note("2031-05-01", "lost", "hedge"), note("2031-11-20", "replanted", "hedge")], years=6
    )
    whole = line(hedge(), years=6)
    assert known(when(whole, "hedge", closed, 1.0).usually) < 2031
    assert known(when(gone, "hedge", closed, 1.0).usually) >= 2033


def test_words_of_a_date():
    assert When(2029, 2030, 2032).words == "not before 2029, surely by 2032"
    assert When(2029, 2029, 2029).words == "by 2029"
    assert When(2029, 2030, None).words == "not before 2029"


def test_it_hides_in_leaf_and_less_when_bare():
    timeline = line(hedge(clip_height=1.8))
    one = planting(timeline, "hedge", timeline.leaf_date(2034))
    assert one is not None
    leaf, bare = hiding(one, 7, turned=False), hiding(one, 1, turned=False)
    assert leaf.mid == pytest.approx(1 - one.plant.light_leaf)
    assert bare.mid == pytest.approx(1 - one.plant.light_bare)
    assert hiding(one, 1, turned=True).mid == leaf.mid


def test_young_plants_stop_nobody():
    timeline = line(hedge(clip_height=1.8, spacing=0.4))
    young = planting(timeline, "hedge", timeline.leaf_date(2027))
    old = planting(timeline, "hedge", timeline.leaf_date(2034))
    assert young is not None
    assert old is not None
    assert stops(young, 1.5, 0.2).mid < 1.0 == stops(old, 1.5, 0.2).mid


def test_plantings_are_what_stands():
    timeline = line(
        hedge(), tree("late", "corylus-avellana", (5, 5), there_from="2030-01"), tree("odd", "no-plant", (9, 9))
    )
    assert [p.owner for p in plantings(timeline, 2028)] == ["hedge"]
    assert [p.owner for p in plantings(timeline, 2030)] == ["hedge", "late"]
    assert planting(timeline, "nothing", timeline.leaf_date(2030)) is None


def test_ages_through_the_year():
    timeline = line(tree("nut", "corylus-avellana", (5, 5)))
    (one,) = plantings(timeline, 2027)
    assert one.years_at(2) == (-1.0, -1.0, -1.0)
    low, mid, high = one.years_at(9)
    assert low == mid == high == pytest.approx((198) / 365.25, abs=0.01)
    assert southern((1, 6, 12), turned=True) == (7, 12, 6)
    assert southern((1, 6, 12), turned=False) == (1, 6, 12)
