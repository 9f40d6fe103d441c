"""What was spent on no job (a guard, plants had again) is gone from every sum alike: the ledger, the months, the search."""

from __future__ import annotations

import pytest

from quincunx.garden import Garden, garden_from, timeline
from quincunx.review import Review
from quincunx.sheets import prepare
from quincunx.works.ledger import ledger
from quincunx.years.checker import check
from quincunx.years.explained import written
from quincunx.years.from_garden import problem_of
from quincunx.years.months import months_of
from quincunx.years.order import order
from quincunx.years.real import today_of


def garden(*entries: dict[str, object], **means: object) -> Garden:
    jobs = [
        {"id": "bench", "name": "Bench", "costs": [{"words": "All", "sum": 50000}], "start": "2027-03"},
        {"id": "arch", "name": "Arch", "costs": [{"words": "All", "sum": 40000}], "start": "2028-03"},
    ]
    features = [{"kind": "hedge", "id": "hedge", "line": [[1, 1], [9, 1]], "there_from": "start"}]
    journal = [{"id": f"e{n}", **e} for n, e in enumerate(entries)]
    sums = {"first_year": 2027, "years": 3, "sum_a_year": 60000, "hours_by_month": [9] * 12, **means}
    return garden_from({"format": "quincunx/1", "boundary": [[0, 0], [10, 0], [10, 10], [0, 10]], "features": features,
                        "jobs": jobs, "means": sums, "journal": journal})  # fmt: skip


DONE = {"day": "2027-03-10", "what": "done", "about": "bench", "sum": 50000}
GUARD = {"day": "2027-06-02", "what": "spent", "about": "hedge", "sum": 9000}
NOBODY = {"day": "2028-01-09", "what": "spent", "sum": 1500}


def test_it_counts_in_its_year_its_month_and_in_what_is_left() -> None:
    it = garden(DONE, GUARD, NOBODY)
    money = ledger(it.means, it.jobs, it.journal)
    assert [(m.spent, m.left) for m in money] == [(59000, 1000), (41500, 19500), (0, 79500)]
    months = months_of(it)
    assert sum(m.spent for m in months) == 100500
    assert [m.balance for m in months[11::12]] == [1000, 19500, 79500]


def test_the_search_has_as_much_in_hand_as_the_table_and_as_it_went() -> None:
    it = garden(DONE, GUARD, NOBODY)
    problem = problem_of(it, timeline(it))
    checked = check(problem, written(it, problem))
    assert list(checked.balance) == [m.balance for m in months_of(it)]
    assert today_of(it, "2028-01").balance == checked.balance[11] - NOBODY["sum"]  # type: ignore[operator]


def test_it_puts_off_what_can_not_be_paid_any_more() -> None:
    free = garden(DONE)
    assert order(problem_of(free, timeline(free)), effort=1.0).starts["arch"] < 24  # type: ignore[index]
    spent = garden(DONE, {"day": "2028-01-02", "what": "spent", "about": "hedge", "sum": 45000})
    found = order(problem_of(spent, timeline(spent)), effort=1.0)
    assert found.starts is not None
    assert found.starts["arch"] >= 24
    assert check(problem_of(spent, timeline(spent)), found.starts).sound


def test_a_year_that_may_cost_no_more_has_less_for_jobs() -> None:
    must = {"kind": "spend-no-more", "id": "cap", "sum": 45000}
    plain = garden(DONE, NOBODY).model_dump(mode="json") | {"intents": [must]}
    it = garden_from(plain)
    assert problem_of(it, timeline(it)).most_by_year == (45000, 43500, 45000)


def test_more_spent_than_there_was_leaves_an_order_all_the_same() -> None:
    it = garden(DONE, {"day": "2027-05-02", "what": "spent", "about": "hedge", "sum": 70000})
    found = order(problem_of(it, timeline(it)), effort=1.0)
    assert found.starts is not None
    assert found.starts.get("arch", 24) >= 24  # what comes in later makes up for it first
    assert months_of(it)[11].balance == -60000


@pytest.mark.parametrize(("size", "whole"), [(1, 59000), (99, 59100)])
def test_on_paper_no_job_is_said_to_have_cost_it(size: int, whole: int) -> None:
    it = garden(DONE, GUARD | {"sum": 9000 + size})
    of = prepare(it, judged=Review((), ()))
    assert of.to_pay(it.jobs[0]) == 50000
    assert of.to_pay(it.jobs[1]) == 40000
    assert of.money[2027].spent == whole, "to the nearest whole sum"
