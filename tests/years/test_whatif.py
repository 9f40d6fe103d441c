"""Variants of the money, the hours and the prices, and what a little more is worth."""

from __future__ import annotations

import pytest

from quincunx.years.order import order
from quincunx.years.problem import WEIGHT_NOW, Budget, Problem, Project
from quincunx.years.relax import relax
from quincunx.years.steps import build
from quincunx.years.whatif import (
    by,
    compare,
    hours_scaled,
    money_scaled,
    more_in_year,
    prices_scaled,
    value_of_more,
    worth_curve,
    year_skipped,
)
from tests.years.gardens import garden


def test_each_variant_changes_what_it_says():
    p = garden(12, 0)
    assert sum(money_scaled(p, 1.2).budget.income) == pytest.approx(1.2 * sum(p.budget.income), abs=12)
    assert hours_scaled(p, 0.5).free_minutes[3] == p.free_minutes[3] // 2
    dearer = prices_scaled(p, 1.2)
    assert all(q.cost >= 1.2 * o.cost for q, o in zip(dearer.projects, p.projects, strict=True))
    skipped = year_skipped(p, 2028)
    assert set(skipped.budget.income[12:24]) | set(skipped.free_minutes[12:24]) == {0}
    assert skipped.free_minutes[24:] == p.free_minutes[24:]
    more = more_in_year(p, 2029, money=100, minutes=601)
    assert sum(more.budget.income) - sum(p.budget.income) == 100
    assert sum(more.free_minutes) - sum(p.free_minutes) == 601
    assert by(p, "water-0", 20)["water-0"].deadline == 20


def test_more_is_never_worse_and_dearer_never_better():
    p = garden(12, 2)
    variants = {"as it is": p, "a fifth more money": money_scaled(p, 1.2), "prices up a fifth": prices_scaled(p, 1.2)}
    rows = {row.name: row for row in compare(variants, gap=0.0, seconds=100, effort=100)}
    assert all(row.order.proven for row in rows.values())
    as_it_is = rows["as it is"].order.worth
    assert rows["a fifth more money"].order.worth >= as_it_is >= rows["prices up a fifth"].order.worth
    assert set(rows["as it is"].curve) == set(range(2027, 2033))


def test_the_worth_curve_counts_the_months_of_use():
    a, b = Project("a", "a", worth=12, lag_months=3), Project("b", "b", worth=6, enjoyed_with=("a",))
    p = Problem(2027, 1, (a, b), Budget((0,) * 24), (0,) * 24)
    # a is of use from May (8 months of 12), b, though earlier, only with it.
    assert worth_curve(p, {"a": 0, "b": 0}) == {2027: 18 * 8 / 12, 2028: 18}
    assert worth_curve(p, {"b": 0}) == {2027: 0, 2028: 0}


def test_the_value_of_more_is_the_slope_of_the_relaxation():
    p = garden(12, 1)
    base = relax(build(p, tighten=False)).bound
    assert base is not None
    for more in value_of_more(p, money=100, minutes=60):
        richer = relax(build(more_in_year(p, more.year, money=100), tighten=False)).bound
        freer = relax(build(more_in_year(p, more.year, minutes=60), tighten=False)).bound
        unit = 12 * WEIGHT_NOW
        # The relaxation is concave: a step gains at most its slope; bounds carry one part in a million each.
        slack = 3e-6 * base / unit
        assert ((richer or 0) - base) / unit <= more.money + slack
        assert ((freer or 0) - base) / unit <= more.hours + slack


def test_money_that_can_not_all_be_spent_is_worth_nothing_more():
    a = Project("a", "a", payments=((0, 10),), worth=5)
    p = Problem(2027, 1, (a,), Budget((1000,) + (0,) * 11), (0,) * 12)
    assert [(m.money, m.hours) for m in value_of_more(p)] == [(0.0, 0.0)]
    assert order(p).starts == {"a": 0}
