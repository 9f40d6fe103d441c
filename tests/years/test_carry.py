"""Where what is left over doesn't go to the next year: the order, the chances and what is in hand go by that."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from quincunx.garden import Garden, apply, garden_from, timeline
from quincunx.years.checker import check
from quincunx.years.from_garden import edit_of, problem_of
from quincunx.years.months import months_of
from quincunx.years.order import order
from quincunx.years.problem import Problem
from quincunx.years.real import today_of
from quincunx.years.safe import how_safe
from quincunx.years.whatif import money_scaled, value_of_more

COSTS = {"a": 60000, "b": 60000, "c": 80000, "d": 150000}


def garden(*, carry: bool, **means: Any) -> Garden:
    """Return four jobs of a month, worth the same, of which the last costs more than a year's sum."""
    jobs = [
        {"id": n, "name": n.upper(), "costs": [{"words": "x", "sum": c}], "hours": 1, "worth": "much"}
        for n, c in COSTS.items()
    ]
    usual = {"first_year": 2027, "years": 4, "sum_a_year": 90000, "hours_by_month": [10] * 12, "carry_over": carry}
    return garden_from(
        {"format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "jobs": jobs, "means": usual | means}
    )


def problem(of: Garden) -> Problem:
    return problem_of(of, timeline(of))


@pytest.mark.parametrize(
    "means", [{}, {"opening": 70000}, {"reserve": 25000}, {"one_off": [{"month": "2028-01", "sum": 60000}]}]
)
def test_the_order_found_never_runs_short_by_the_table_of_years(means):
    of = garden(carry=False, **means)
    one = problem(of)
    found = order(one, seconds=5)
    assert found.starts is not None
    planned, _ = apply(of, edit_of(of, one, found.starts))
    assert min(m.balance for m in months_of(planned)) >= of.means.reserve
    assert ("d" in found.starts) == (means.keys() <= {"opening", "one_off"} and bool(means)), (
        "only what comes together pays it"
    )


def test_each_order_is_sound_exactly_where_the_table_of_years_has_money():
    """All ways to lay the four jobs into the years, held to the ledger."""
    of = garden(carry=False, reserve=5000)
    one = problem(of)
    for years in product([None, 0, 1, 2, 3], repeat=4):
        starts = {n: 12 * y + 2 for n, y in zip(COSTS, years, strict=True) if y is not None}
        planned, _ = apply(of, edit_of(of, one, starts))
        enough = min(m.balance for m in months_of(planned)) >= 5000 or not starts
        money = [b for b in check(one, starts).breaches if b.rule in ("money", "cap")]
        assert (not money) == enough, (starts, money)


def test_more_money_in_the_what_if_is_more_for_each_year():
    one = problem(garden(carry=False))
    assert {most for _, _, _, most in one.capped} == {90000}
    assert {most for _, _, _, most in money_scaled(one, 1.2).capped} == {108000}
    assert max(m.money for m in value_of_more(one)) > 0
    assert problem(garden(carry=True)).capped == ()


def test_how_safe_a_year_is_goes_by_its_own_sum():
    """The dearest job costs 1.5 years: saved up for it may do, without saving it hardly ever does."""
    starts = {"a": 0, "b": 12, "c": 24, "d": 36}
    chance = {
        carry: {y.year: y.money.value for y in how_safe(of, problem(of), starts).years}
        for carry in (True, False)
        for of in [garden(carry=carry)]
    }
    assert chance[True][2030] > 0.2
    assert chance[False][2030] == 0.0
    assert chance[False][2029] < chance[True][2029] == 1.0  # 800 of 900, and nothing put by


@pytest.mark.parametrize(
    ("carry", "month", "in_hand"),
    [
        (True, "2028-05", 120000), (False, "2028-05", 90000),  # 300 left of 2027
        (True, "2029-01", 90000), (False, "2029-01", 0),  # January's sum is to come
        (True, "2029-02", 180000), (False, "2029-02", 90000),
    ],
)  # fmt: skip
def test_what_is_in_hand_in_the_middle_of_the_plan(carry, month, in_hand):
    of = garden(carry=carry)
    data = of.model_dump(mode="json")
    data["journal"] = [
        {"id": "one", "day": "2027-03-05", "what": "done", "about": "a", "sum": 60000},
        {"id": "two", "day": "2028-06-05", "what": "spent", "about": "b", "sum": 30000},
    ]
    assert today_of(garden_from(data), month).balance == in_hand


def test_what_a_year_was_short_of_is_missing_in_the_next():
    data = garden(carry=False).model_dump(mode="json")
    data["journal"] = [{"id": "one", "day": "2027-03-05", "what": "done", "about": "a", "sum": 100000}]
    found = today_of(garden_from(data), "2028-05")
    assert found.balance == 80000
    assert found.problem.capped[0] == (2028, 0, 8, 80000)
