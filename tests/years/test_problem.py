"""Months, money, worth and starts of the problem."""

from __future__ import annotations

import math

import pytest

from quincunx.years.problem import ALL_YEAR, Budget, Need, Problem, Project, Shut, years_of_use
from quincunx.years.words import WORTH_WORDS, from_pairs, points
from tests.years.gardens import garden


def problem(*projects: Project, months: int = 24, first_month: int = 1, **budget: object) -> Problem:
    money = Budget(**({"income": (0,) * months} | budget))  # type: ignore[arg-type]
    return Problem(2027, first_month, projects, money, (6000,) * months)


def test_months_are_written_as_people_do_also_in_the_past():
    p = problem(first_month=10)
    assert p.month_words(0) == "October 2027"
    assert p.month_words(5) == "March 2028"
    assert p.month_words(-10) == "December 2026"


def test_a_plan_that_begins_in_autumn_has_a_short_first_year():
    assert problem(first_month=10).years() == [(2027, 0, 3), (2028, 3, 15), (2029, 15, 24)]


def test_prices_rise_after_each_twelve_months_and_are_rounded_up():
    p = problem(price_growth=0.03)
    assert [p.price(1000, m) for m in (0, 11, 12, 23)] == [1000, 1000, 1030, 1030]
    assert p.price(101, 12) == math.ceil(101 * 1.03) == 105


def test_bills_in_the_past_are_paid_already():
    p = problem(job := Project("a", "a", 3, payments=((2, 500), (0, 100))))
    assert p.bills(job, 4) == [(4, 100), (6, 500)]
    assert p.bills(job, -1) == [(1, 500)]


def test_spendable_never_lets_a_later_month_run_short():
    # 100 comes in, then 60 must be given back: only 40 may ever be spent before month 2.
    p = problem(months=4, income=(100, 0, -60, 30), reserve=0)
    assert p.spendable == (40, 40, 40, 70)


def test_below_the_reserve_nothing_may_be_spent_but_nothing_is_owed():
    p = problem(months=3, income=(100, 100, 100), reserve=150)
    assert p.spendable == (0, 50, 150)


def test_worth_is_counted_from_the_month_of_use_and_discounted():
    a = Project("a", "a", 2, worth=10, lag_months=3)
    p = problem(a).changed(discount=0.0, tail_months=12)
    assert p.worth({"a": 1}) == 10 * 1000 * (24 + 12 - 6)
    assert years_of_use(p.worth({"a": 1})) == pytest.approx(10 * 30 / 12)
    assert p.changed(discount=0.05).worth({"a": 1}) < p.worth({"a": 1})
    assert p.worth({}) == 0


def test_a_thing_enjoyed_with_another_waits_for_it_and_is_worth_nothing_without():
    a, b = Project("a", "a", worth=10, enjoyed_with=("b",)), Project("b", "b")
    p = problem(a, b).changed(discount=0.0, tail_months=0)
    assert p.worth({"a": 0, "b": 9}) == 10 * 1000 * 14
    assert p.worth({"a": 0}) == 0


def test_starts_keep_season_years_bills_and_deadline():
    spring = Project("a", "a", 2, window=frozenset({3, 4, 5}))
    p = problem(spring)
    assert p.allowed_starts(spring) == [2, 3, 14, 15]
    late_bill = Project("b", "b", 1, payments=((3, 10),), window=frozenset({10, 11, 12}))
    assert p.allowed_starts(late_bill) == [9, 10, 11]  # from September 2028 on the bill would fall past the end
    due = Project("c", "c", 1, window=frozenset({3}), lag_months=2, deadline=10)
    assert p.allowed_starts(due) == [2]
    assert p.allowed_starts(due, by_deadline=False) == [2, 14]


def test_a_fixed_start_is_the_only_one():
    booked = Project("a", "a", window=frozenset({3}), fixed_start=7)
    assert problem(booked).allowed_starts(booked) == [7]


def test_detours_are_paid_only_where_work_goes_on_behind_a_shut_way():
    fence, base = Project("fence", "fence", shuts=(Shut("base", 70),)), Project("base", "base", 2)
    p = problem(fence, base)
    assert p.detour_bills({"fence": 3, "base": 1}) == []
    assert p.detour_bills({"fence": 3, "base": 2}) == [(2, 70)]
    assert p.detour_bills({"fence": 3}) == []


def test_the_same_seed_gives_the_same_garden():
    assert garden(12, 3) == garden(12, 3)
    assert garden(12, 3) != garden(12, 4)
    assert len(garden(30, 0).projects) == 30


def test_needs_default_to_no_waiting():
    assert Need("a").lag_months == 0
    assert len(ALL_YEAR) == 12


def test_each_worth_word_counts_for_more_than_the_one_before():
    assert sorted(WORTH_WORDS.values()) == list(WORTH_WORDS.values())
    assert points("I want it") == 2 * points("I would use it")
    with pytest.raises(ValueError, match="expected one of: it is only in the way"):
        points("very much")


def test_comparisons_two_at_a_time_give_their_ratios():
    found = from_pairs(["a", "b", "c"], [("a", "b", "rather more"), ("b", "c", "rather more"), ("a", "c", "much more")])
    assert found["a"] == pytest.approx(2 * found["b"], abs=1)
    assert found["b"] == pytest.approx(2 * found["c"], abs=1)
    assert from_pairs(["a", "b"], []) == {"a": 30, "b": 30}
