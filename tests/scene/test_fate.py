"""What the journal says of a planting changes what stands: gone, set anew, set back."""

from __future__ import annotations

from datetime import date

import pytest
from shapely import box

from quincunx.features.hedge import Hedge
from quincunx.features.tree import Tree
from quincunx.plants.catalogue import find_plant
from quincunx.scene import Frame, Timeline
from quincunx.scene.fate import Fate, fates
from quincunx.site.ground import Ground
from quincunx.works import Entry, Job, Means

HEDGE = Hedge.model_validate({
    "id": "thorn", "line": [[1, 1], [9, 1]], "plant": "crataegus-monogyna", "spacing": 0.4, "there_from": "2027-03",
})  # fmt: skip
OLD = Tree.model_validate(
    {"id": "oak", "at": [5, 5], "plant": "quercus-robur", "there_from": "start", "age_at_start": 30}
)


def line(*entries: Entry) -> Timeline:
    means = Means(first_year=2027, years=8)
    return Timeline(Frame(box(0, 0, 10, 10), Ground.flat()), (HEDGE, OLD), (), means, entries, find_plant)


def note(day: str, what: str, about: str = "thorn", amount: float | None = None) -> Entry:
    return Entry.model_validate({"id": f"{what}-{day}", "day": day, "what": what, "about": about, "amount": amount})


def row(timeline: Timeline, year: int, owner: str = "thorn"):
    return next((p for p in timeline.at(date(year, 8, 31)).plants if p.owner == owner), None)


def test_without_a_journal_nothing_happens():
    assert fates([]) == {}
    assert Fate().gone_in(24_000) is False


def test_a_browsed_hedge_is_lower_from_then_on():
    eaten, whole = line(note("2028-05-02", "browsed")), line()
    assert row(eaten, 2027).height_m == row(whole, 2027).height_m
    assert row(eaten, 2030).height_m[1] < row(whole, 2030).height_m[1]
    assert row(eaten, 2030).grown_years[1] == pytest.approx(row(whole, 2030).grown_years[1] - 1.0, abs=1e-3)
    assert row(eaten, 2028).set_back
    assert not row(eaten, 2030).set_back


def test_what_is_lost_stands_no_more_until_planted_again():
    gone = line(note("2028-06-10", "lost"), note("2029-11-20", "replanted"))
    assert row(gone, 2027) is not None
    assert row(gone, 2028) is None
    assert row(gone, 2029) is None
    assert row(gone, 2030).age_years == pytest.approx((date(2030, 8, 31) - date(2029, 11, 20)).days / 365.25)
    assert gone.at(date(2029, 8, 31)).stands("thorn") is False


def test_what_is_told_of_a_day_before_it_was_planted_changes_nothing():
    early = line(
        note("2026-06-10", "lost"), note("2026-07-01", "replanted"), note("2026-08-01", "browsed"),
        note("2027-02-27", "lost"),
    )  # fmt: skip
    assert row(early, 2034) == row(line(), 2034)
    assert not early.fates["thorn"].gone
    assert early.is_early("thorn", date(2027, 2, 28))
    assert not early.is_early("thorn", date(2027, 3, 1))
    assert not early.is_early("oak", date(1990, 1, 1))


def planted_in_march(*entries: Entry) -> Timeline:
    hedge = HEDGE.model_copy(update={"there_from": None})
    job = Job.model_validate({"id": "plant", "name": "Plant", "does": ["thorn"], "start": "2027-03"})
    means = Means(first_year=2027, years=8)
    return Timeline(Frame(box(0, 0, 10, 10), Ground.flat()), (hedge,), (job,), means, entries, find_plant)


def test_what_befell_it_in_the_month_of_its_planting_counts_from_the_day_it_stands():
    """Works end with their month, so that what they make stands from the next; people lose plants sooner."""
    assert row(planted_in_march(), 2027) is not None
    assert row(planted_in_march(note("2027-03-20", "lost")), 2027) is None
    assert row(planted_in_march(note("2027-02-20", "lost")), 2027) is not None
    assert row(planted_in_march(note("2027-03-20", "lost", amount=3)), 2027).count == (
        row(planted_in_march(), 2027).count - 3
    )


def test_lost_for_good():
    gone = line(note("2028-06-10", "lost"))
    assert row(gone, 2034) is None


def test_an_old_tree_planted_again_is_young():
    again = line(note("2028-02-01", "lost", "oak"), note("2028-11-15", "replanted", "oak"))
    assert row(again, 2027, "oak").age_years > 30
    assert row(again, 2029, "oak").age_years < 1


def test_some_lost_plants_leave_a_hole():
    some = line(note("2030-03-01", "lost", amount=3), note("2032-03-01", "replanted", amount=3))
    before, hole, after = row(some, 2029), row(some, 2031), row(some, 2033)
    assert hole.count == before.count - 3
    assert after.count == before.count
    gaps = [next(s for s in some.at(date(y, 8, 31)).solids if s.owner == "thorn").gap_m for y in (2031, 2033)]
    assert gaps[0] > 0.4 > gaps[1]


def test_a_measured_height_is_where_growth_goes_on_from():
    found = line(note("2029-08-31", "measured", amount=1.1))
    assert row(found, 2029).height_m[1] == pytest.approx(1.1, abs=0.01)
    assert row(found, 2030).height_m[1] > 1.3
