"""Money and hours of a job as planned, in part written down, and done."""

from __future__ import annotations

import pytest

from quincunx.units.dates import month_index
from quincunx.works import Entry, Job, Means
from quincunx.works.ledger import ledger, spread_cost, spread_hours

FENCE = Job.model_validate(
    {
        "id": "fence", "name": "Fence", "start": "2027-04", "months": 3, "hours": 56,
        "costs": [{"words": "Posts", "sum": 120000}, {"words": "Mesh", "sum": 106000, "months_later": 1}],
    }
)  # fmt: skip


def entry(what: str, day: str, **more: object) -> Entry:
    return Entry.model_validate({"id": f"{what}-{day}", "day": day, "what": what, "about": "fence", **more})


def month(text: str) -> int:
    return month_index(text)


def test_as_planned_each_sum_falls_due_and_hours_are_even() -> None:
    assert spread_cost(FENCE, (), 0.0, 2027) == {month("2027-04"): 120000, month("2027-05"): 106000}
    assert spread_hours(FENCE, ()) == {month(f"2027-0{m}"): pytest.approx(56 / 3) for m in (4, 5, 6)}


def test_what_is_begun_still_costs_its_rest() -> None:
    begun = (entry("begun", "2027-04-10", hours=20), entry("spent", "2027-04-11", sum=120000))
    assert spread_cost(FENCE, begun, 0.0, 2027) == {month("2027-04"): 120000, month("2027-05"): 106000}
    assert spread_hours(FENCE, begun) == {month("2027-04"): 20, month("2027-06"): pytest.approx(36)}
    late = (*begun, entry("hours", "2027-09-02", hours=6))
    assert spread_hours(FENCE, late) == {month("2027-04"): 20, month("2027-09"): pytest.approx(36)}


def test_what_is_done_cost_what_is_written_and_no_more() -> None:
    done = (entry("spent", "2027-04-11", sum=120000), entry("done", "2027-05-20", sum=90000, hours=44))
    assert spread_cost(FENCE, done, 0.1, 2027) == {month("2027-04"): 120000, month("2027-05"): 90000}
    assert spread_hours(FENCE, done) == {month("2027-05"): 44}


def test_more_than_planned_is_shown_as_it_is() -> None:
    over = (entry("spent", "2027-04-11", sum=300000),)
    assert spread_cost(FENCE, over, 0.0, 2027) == {month("2027-04"): 300000}


def test_money_in_hand_counts_the_rest_of_a_begun_job() -> None:
    means = Means.model_validate({"first_year": 2027, "years": 2, "sum_a_year": 240000})
    part = (entry("spent", "2027-04-11", sum=120000),)
    first, second = ledger(means, [FENCE], part)
    assert (first.spent, first.left, second.left) == (226000, 14000, 254000)
