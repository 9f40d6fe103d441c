"""What has happened so far in the ordinary order of works: begun jobs go on, nothing else begins in the past."""

from __future__ import annotations

from quincunx.garden import garden_from, timeline
from quincunx.garden.happened import happened_until
from quincunx.years.checker import check
from quincunx.years.explained import Writer, written
from quincunx.years.from_garden import problem_of
from quincunx.years.gone_by import only_ahead
from quincunx.years.on_day import on_day
from quincunx.years.order import order
from quincunx.years.real import today_of
from quincunx.years.told import broken
from quincunx.years.underway import still_ahead
from quincunx.years.why import why


def plot(*journal, growth=0.0):
    jobs = [
        {"id": "fence", "name": "Fence", "costs": [{"words": "Mesh", "sum": 60000}], "hours": 24, "months": 3, "start": "2028-04",
         "window": [4, 5, 6, 7, 8, 9], "after": [{"job": "clear"}], "large": True, "worth": "dearest"},
        {"id": "clear", "name": "Clear", "hours": 6, "start": "2028-03"},
        {"id": "bed", "name": "Bed", "costs": [{"words": "Soil", "sum": 10000}], "hours": 8, "start": "2028-05", "worth": "much"},
    ]  # fmt: skip
    entries = [{"id": f"e-{n}", **e} for n, e in enumerate(journal)]
    return garden_from(
        {"format": "quincunx/1", "jobs": jobs, "journal": entries,
         "means": {"first_year": 2028, "years": 3, "sum_a_year": 70000, "price_growth": growth, "hours_by_month": [10] * 12}}
    )  # fmt: skip


BEGUN = {"day": "2028-05-06", "what": "begun", "about": "fence", "hours": 7, "sum": 45000}


def problem(*journal, growth=0.0):
    garden = plot(*journal, growth=growth)
    return problem_of(garden, timeline(garden))


def problem_in(month, *journal):
    garden = on_day(plot(*journal), month)
    return only_ahead(problem_of(garden, timeline(garden)), month)


def test_without_work_written_down_nothing_is_changed():
    deposit = {"day": "2028-02-01", "what": "spent", "about": "fence", "sum": 5000}
    for found in (problem(), problem(deposit)):
        assert all(p.fixed_start is None and p.not_before == 0 for p in found.projects)


def test_what_is_begun_keeps_its_month_and_goes_on_with_the_rest_where_there_is_time():
    found = problem(BEGUN)
    fence = found["fence"]
    assert fence.fixed_start == 4
    assert fence.minutes == (600, 600, 240)  # seven hours of May are written down, three are left of it
    assert sum(fence.minutes) == 24 * 60
    assert dict(fence.payments) == {0: 45000, 2: 15000}
    assert fence.needs == ()
    assert {p.id: p.not_before for p in found.projects if p.fixed_start is None} == {"clear": 4, "bed": 4}


def test_what_was_not_begun_is_said_and_the_best_order_moves_only_what_is_to_come():
    garden = plot(BEGUN)
    found = problem_of(garden, timeline(garden))
    said = broken(found, written(garden, found), money=Writer(garden.style))
    assert any(words.startswith("Clear was to begin in March 2028") for words in said)
    best = order(found, seconds=10, effort=1.0)
    assert best.proven
    assert best.starts is not None
    assert best.starts["fence"] == 4
    assert min(best.starts["clear"], best.starts["bed"]) >= 6  # May and June go to the fence, July has six hours
    assert check(found, best.starts).sound


def test_what_took_longer_than_there_was_time_breaks_nothing():
    done = {"day": "2028-03-20", "what": "done", "about": "clear", "hours": 30}
    found = problem(done, BEGUN | {"hours": 22})
    assert found.free_minutes[4] == 22 * 60
    starts = {"clear": 2, "fence": 4, "bed": 8}
    assert check(found, starts).sound


def test_what_is_paid_is_not_raised_by_prices():
    found = problem(BEGUN | {"day": "2029-05-06"}, growth=0.1)
    assert found.bills(found["fence"], 16)[0] == (16, 45000)
    assert found.bills(found["bed"], 16) == [(16, 11000)]
    assert check(found, {"fence": 16, "bed": 20, "clear": 24}).sound


def test_hours_that_never_fit_are_seen_in_the_last_month():
    found = problem(BEGUN | {"day": "2030-12-01"})
    fence = found["fence"]
    assert fence.fixed_start == 35
    assert sum(fence.minutes) == 24 * 60


def test_why_says_what_is_done_and_what_goes_on():
    found = problem({"day": "2028-03-20", "what": "done", "about": "clear"}, BEGUN)
    said = why(found, {"clear": 2, "fence": 4, "bed": 8})
    assert said["clear"].sentence == "Clear is done."
    assert said["fence"].sentence == "Fence was begun in May 2028 and goes on."
    assert said["fence"].reason == "begun in May 2028 and goes on"


def test_what_has_happened_reaches_to_the_last_work_written_down():
    note = {"day": "2029-01-01", "what": "note", "text": "frost"}
    spent = {"day": "2029-02-01", "what": "spent", "about": "bed", "sum": 100}
    assert happened_until(plot(note, spent)) == 0
    assert happened_until(plot(BEGUN, note, spent)) == 4
    assert happened_until(plot(BEGUN | {"day": "2027-05-06"})) == 0
    assert happened_until(plot(BEGUN | {"day": "2040-05-06"})) == 35


def test_hours_can_be_too_few_only_after_the_month_of_the_last_work():
    note = {"day": "2029-01-01", "what": "note", "text": "frost"}
    assert still_ahead(plot(note)) == 0
    assert still_ahead(plot(BEGUN, note)) == 5


def test_what_is_left_of_a_begun_job_is_done_from_the_present_month_on():
    then = problem_in(12 * 2028 + 6, BEGUN)  # it is July; the journal ends in May
    fence = then["fence"]
    assert fence.fixed_start == 4
    assert fence.minutes == (420, 0, 600, 420)  # seven hours are written down; seventeen are left, ten of them in July
    assert fence.to_do == (0, 0, 600, 420)
    assert dict(fence.payments) == {0: 45000, 3: 15000}
    assert check(then, {"fence": 4, "clear": 8, "bed": 9}).sound
    assert only_ahead(then, 12 * 2028 + 6) == then


def test_what_is_left_waits_for_its_season_and_leaves_its_own_time_to_others():
    then = problem_in(12 * 2028 + 10, BEGUN)  # November is no season for the fence
    fence = then["fence"]
    assert [4 + u for u, minutes in enumerate(fence.to_do) if minutes] == [15, 16]
    best = order(then, seconds=10, effort=1.0)
    assert best.starts is not None
    assert min(best.starts["clear"], best.starts["bed"]) == 10
    assert check(then, best.starts).sound


def test_the_order_and_planning_again_put_what_is_left_into_the_same_months():
    garden = plot(BEGUN)
    rest = today_of(garden, "2028-07").problem["fence"]
    ordered = problem_in(12 * 2028 + 6, BEGUN)["fence"]
    assert (rest.fixed_start or 0) + rest.duration_months == (ordered.fixed_start or 0) + ordered.duration_months - 6
    assert sum(rest.minutes) == sum(ordered.to_do)


def test_what_is_left_never_fits_and_a_bill_alone_are_seen_from_now_on():
    worked = BEGUN | {"hours": 24}
    bill = problem_in(12 * 2029, worked)["fence"]
    assert (bill.to_pay, bill.payments[-1]) == (((8, 15000),), (8, 15000))  # January 2029
    late = problem_in(12 * 2030 + 10, BEGUN)  # no season is left
    assert late["fence"].minutes[-1] == 17 * 60
    assert late.free_minutes[34] == 17 * 60
