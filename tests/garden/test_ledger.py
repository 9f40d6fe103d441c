"""Money and hours of a job as planned, in part written down, and done."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from quincunx.units.dates import month_index
from quincunx.works import Entry, Job, Means
from quincunx.works.course import courses
from quincunx.works.ledger import YearMoney, ledger
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


def means(growth: float = 0.0, *, now: str = "", hours: float = 20) -> Means:
    plain = {
        "first_year": 2027,
        "years": 2,
        "sum_a_year": 240000,
        "price_growth": growth,
        "hours_by_month": [hours] * 12,
    }
    found = Means.model_validate(plain)
    return found.read_in(month(now)) if now else found


def goes(
    journal: tuple[Entry, ...], of: Means | None = None, job: Job = FENCE
) -> tuple[dict[int, int], dict[int, float]]:
    course = courses(of or means(), [job], journal)[job.id]
    return course.cost, course.hours


def test_as_planned_each_sum_falls_due_and_hours_are_even() -> None:
    cost, hours = goes(())
    assert cost == {month("2027-04"): 120000, month("2027-05"): 106000}
    assert hours == {month(f"2027-0{m}"): pytest.approx(56 / 3) for m in (4, 5, 6)}
    assert goes((), means(0.1), FENCE.changed(start="2028-04"))[0] == {
        month("2028-04"): 132000,
        month("2028-05"): 116600,
    }


def test_the_rest_of_a_begun_job_is_due_when_its_hours_are_done() -> None:
    begun = (entry("begun", "2027-04-10", hours=20), entry("spent", "2027-04-11", sum=120000))
    cost, hours = goes(begun)
    assert hours == {month("2027-04"): 20, month("2027-05"): 20, month("2027-06"): 16}
    assert cost == {month("2027-04"): 120000, month("2027-06"): 106000}
    cost, hours = goes(begun, means(hours=10))
    assert list(hours) == [month("2027-04") + u for u in range(5)]
    assert cost == {month("2027-04"): 120000, month("2027-08"): 106000}


def test_nothing_of_it_is_due_in_a_month_gone_by() -> None:
    begun = (entry("begun", "2027-04-10", hours=20, sum=120000),)
    cost, hours = goes(begun, means(now="2027-09"))
    assert hours == {month("2027-04"): 20, month("2027-09"): 20, month("2027-10"): 16}
    assert cost == {month("2027-04"): 120000, month("2027-10"): 106000}
    worked = (entry("begun", "2027-04-10", hours=56),)
    assert goes(worked, means(now="2027-09"))[0] == {month("2027-09"): 226000}, "a bill alone is due now"
    late = (*begun, entry("hours", "2027-11-02", hours=6))
    assert goes(late, means(now="2027-09"))[1] == {month("2027-04"): 20, month("2027-11"): 20, month("2027-12"): 16}


def test_it_goes_on_in_the_months_it_fits_in() -> None:
    begun, spring = (entry("begun", "2027-04-10", hours=20),), FENCE.changed(window=(3, 4, 5))
    assert goes(begun, means(now="2027-06"), spring)[1] == {
        month("2027-04"): 20,
        month("2028-03"): 20,
        month("2028-04"): 16,
    }
    told = means().read_in(month("2027-06"), {"fence": frozenset({10, 11})})
    assert goes(begun, told)[1] == {month("2027-04"): 20, month("2027-10"): 20, month("2027-11"): 16}
    assert goes(begun, told.changed(spare_hours=4.0))[1][month("2027-10")] == 16, (
        "a changed copy is read in the same month"
    )


def test_what_never_fits_is_seen_in_the_last_month() -> None:
    begun = (entry("begun", "2027-04-10", hours=20),)
    cost, hours = goes(begun, means(hours=0, now="2027-09"))
    assert hours == {month("2027-04"): 20, month("2027-09"): 36}
    assert cost == {month("2027-09"): 226000}


def test_a_job_with_no_hours_of_ones_own_goes_on_for_its_months() -> None:
    """All of it hired: nothing is worked and nothing to do, and what is to pay is due in its last month."""
    hired = FENCE.changed(hours=0.0)
    assert goes((entry("begun", "2027-04-10"),), job=hired) == ({month("2027-06"): 226000}, {})
    assert goes((entry("begun", "2027-04-10"),), means(now="2027-09"), hired)[0] == {month("2027-09"): 226000}


def test_a_sum_agreed_for_later_keeps_its_month() -> None:
    late = FENCE.changed(costs=(FENCE.costs[0], FENCE.costs[1].changed(months_later=12)))
    begun = (entry("begun", "2027-05-10", hours=56, sum=120000),)
    assert goes(begun, job=late)[0] == {month("2027-05"): 120000, month("2028-05"): 106000}


def test_begun_jobs_share_the_hours_there_are() -> None:
    other = FENCE.changed(id="wall")
    begun = (
        entry("begun", "2027-05-10", hours=20),
        entry("begun", "2027-04-01").changed(id="w", about="wall"),
    )
    found = courses(means(), [FENCE, other], begun)
    assert found["wall"].to_do == {month("2027-06"): 20, month("2027-07"): 20, month("2027-08"): 16}
    assert found["fence"].to_do == {month("2027-08"): 4, month("2027-09"): 20, month("2027-10"): 12}


def test_what_is_done_cost_what_is_written_and_no_more() -> None:
    done = (entry("spent", "2027-04-11", sum=120000), entry("done", "2027-05-20", sum=90000, hours=44))
    cost, hours = goes(done, means(0.1))
    assert cost == {month("2027-04"): 120000, month("2027-05"): 90000}
    assert hours == {month("2027-05"): 44}


def test_what_is_done_without_sums_cost_what_was_planned_from_when_it_was_done() -> None:
    cost, hours = goes((entry("done", "2027-09-20"),))
    assert cost == {month("2027-07"): 120000, month("2027-08"): 106000}
    assert hours == {month(f"2027-0{m}"): pytest.approx(56 / 3) for m in (7, 8, 9)}


def test_more_than_planned_is_shown_as_it_is() -> None:
    over = (entry("spent", "2027-04-11", sum=300000),)
    assert goes(over)[0] == {month("2027-04"): 300000}


def test_a_deposit_pays_the_first_sums_first() -> None:
    assert goes((entry("spent", "2027-01-11", sum=130000),))[0] == {month("2027-01"): 130000, month("2027-05"): 96000}


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


def test_a_receipt_with_hours_begins_a_job_and_one_without_does_not() -> None:
    """Hours written down are hours worked, on whatever line: counted beside those still planned they counted twice."""
    paid = {"sum": 30000}
    assert courses(means(), [FENCE], (entry("spent", "2027-03-05", **paid),))["fence"].state == "planned"
    begun = courses(means(), [FENCE], (entry("spent", "2027-03-05", hours=6, **paid),))["fence"]
    assert begun.state == "begun"
    assert sum(begun.hours.values()) == pytest.approx(FENCE.hours)
    assert sum(begun.cost.values()) == FENCE.cost


@pytest.mark.parametrize(
    ("journal", "last"),
    [
        ((), "2027-06"),
        ((entry("begun", "2027-08-03"),), "2027-10"),
        ((entry("begun", "2027-04-03"), entry("hours", "2027-09-20", hours=5)), "2027-09"),
        ((entry("spent", "2027-02-20", sum=5000),), "2027-06"),
        ((entry("begun", "2027-04-03"), entry("done", "2027-05-20")), "2027-05"),
    ],
)
def test_a_begun_job_is_not_done_before_its_last_work_nor_sooner_than_it_takes(
    journal: tuple[Entry, ...], last: str
) -> None:
    plenty = means(hours=60)
    assert courses(plenty, [FENCE], journal)["fence"].last == month(last)
    found = courses(means(), [FENCE], journal)["fence"].last
    assert found is not None
    assert found >= month(last), "with fewer hours what is left may take longer still"


def test_a_begun_job_that_nobody_called_done_goes_on_until_now_though_no_hours_are_left() -> None:
    journal = (entry("begun", "2027-04-03", hours=FENCE.hours),)
    read = means(hours=60).read_in(month("2027-09"))
    assert courses(read, [FENCE], journal)["fence"].last == month("2027-09")
    assert courses(read.read_in(month("2027-05")), [FENCE], journal)["fence"].last == month("2027-06")
    done = (*journal, entry("done", "2027-06-30"))
    assert courses(read, [FENCE], done)["fence"].last == month("2027-06")


def test_a_sum_spent_below_nothing_is_refused_with_where_money_that_came_back_goes() -> None:
    with pytest.raises(
        ValueError, match=r"take it off the sum of the line in which it was paid; or .*“Sums that come once”"
    ):
        entry("spent", "2027-05-05", sum=-5000)
    assert entry("spent", "2027-05-05", sum=0).sum == 0
    back = means().changed(one_off=[{"month": "2027-05", "sum": 5000, "words": "deposit back"}])
    paid = entry("spent", "2027-04-05", sum=20000)
    assert ledger(back, [], (paid,))[0].left == ledger(means(), [], (paid,))[0].left + 5000
