"""Money and hours of a job as planned, in part written down, and done."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from quincunx.units.dates import month_index
from quincunx.works import Entry, Job, Means
from quincunx.works.ledger import YearMoney, ledger, spread_cost, spread_hours
from quincunx.works.whole import shared_out, whole, whole_years

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


def test_the_rest_of_a_long_job_paid_at_its_start_falls_in_its_last_month() -> None:
    path = Job.model_validate({"id": "path", "name": "Path", "costs": [{"words": "All", "sum": 60000}], "hours": 30,
                               "months": 3, "start": "2027-11"})  # fmt: skip
    begun = Entry.model_validate({"id": "e", "day": "2027-11-20", "what": "begun", "about": "path", "sum": 30000})
    assert spread_cost(path, (begun,), 0.0, 2027) == {month("2027-11"): 30000, month("2028-01"): 30000}
    means = Means.model_validate({"first_year": 2027, "years": 2, "sum_a_year": 100000})
    assert [row.spent for row in ledger(means, [path], (begun,))] == [30000, 30000]


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


@given(
    st.lists(st.tuples(st.integers(0, 500_000), st.integers(0, 600_000)), min_size=1, max_size=8),
    st.integers(0, 99_999),
)
def test_years_in_whole_units_add_up_by_hand_and_stay_near_the_exact_ones(years, opening):
    left, exact = opening, []
    for n, (income, spent) in enumerate(years):
        left += income - spent
        exact.append(YearMoney(2027 + n, income, spent, left, 0.0, 0.0, 0.0))
    shown, before = whole_years(exact, 100), whole(opening, 100)
    for one, year in zip(shown, exact, strict=True):
        assert before + one.income - one.spent == one.left
        assert all(v % 100 == 0 for v in (one.income, one.spent, one.left))
        assert abs(one.left - year.left) <= 50
        assert abs(one.income - year.income) <= 150
        assert abs(one.spent - year.spent) <= 150
        before = one.left


@given(st.lists(st.integers(0, 100_000), min_size=1, max_size=12), st.sampled_from([1, 100]))
def test_what_costs_nothing_is_given_nothing_and_nothing_falls_below_nothing(parts, size):
    for total in (whole(sum(parts), size) + size, whole(sum(parts), size) - size):
        shown = shared_out(parts, total, size)
        assert sum(shown) == total
        assert all(a == 0 for a, b in zip(shown, parts, strict=True) if b == 0) or not any(parts) or total < 0
        assert min(shown) >= 0 or total < 0


@given(st.lists(st.integers(0, 100_000), min_size=1, max_size=12), st.sampled_from([1, 100]))
def test_parts_in_whole_units_come_to_their_sum(parts, size):
    total = whole(sum(parts), size)
    shown = shared_out(parts, total, size)
    assert sum(shown) == total
    assert all(abs(a - b) <= size for a, b in zip(shown, parts, strict=True))
