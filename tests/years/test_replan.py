"""Planning again from today, and what to do now."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quincunx.years.checker import check
from quincunx.years.now import now, wet
from quincunx.years.order import order
from quincunx.years.problem import Budget, Need, Problem, Project
from quincunx.years.replan import Progress, from_today, replan
from tests.years.gardens import garden


def lived(
    problem: Problem, plan: dict[str, int], today: int, *, dearer: float = 1.25
) -> tuple[Problem, dict[str, int]]:
    """Two years later: all begun works cost a quarter more; the old plan in the new months."""
    begun = {name: start for name, start in plan.items() if start < today}
    journal = {
        name: Progress(start, start + problem[name].duration_months <= today, int(problem[name].cost * dearer))
        for name, start in begun.items()
    }
    spent = sum(p.paid for name, p in journal.items())
    balance = problem.budget.opening + sum(problem.budget.income[:today]) - spent
    return from_today(problem, today, balance, journal), {name: start - today for name, start in plan.items()}


def test_today_becomes_the_first_month_and_done_is_done():
    p = garden(12, 0)
    plan = order(p).starts or {}
    left, old = lived(p, plan, 24)
    assert left.months == p.months - 24
    assert left.month_words(0) == "January 2029"
    for name, start in old.items():
        if start + p[name].duration_months <= 0:
            assert left[name].done
            assert left[name].payments == ()


def test_begun_works_go_on_with_what_is_left_to_pay_and_to_do():
    shed = Project("shed", "shed", 3, ((0, 600), (2, 400)), (300, 300, 300), worth=5, deadline=12)
    p = Problem(2027, 1, (shed,), Budget((100,) * 12, price_growth=0.0), (400,) * 12)
    left = from_today(p, 2, 650, {"shed": Progress(0, paid=700, minutes=500)})
    assert left["shed"].fixed_start == -2
    assert left["shed"].payments == ((2, 300),)
    assert left["shed"].minutes == (0, 0, 400)
    assert left["shed"].deadline == 10
    assert check(left, {"shed": -2}).sound
    late = from_today(p, 6, 650, {"shed": Progress(0, paid=700, minutes=500)})
    assert late["shed"].duration_months == 7  # it goes on this month


def test_what_is_booked_stays_and_prices_are_those_of_today():
    bench = Project("bench", "bench", payments=((0, 1000),), worth=1)
    p = Problem(2027, 1, (bench,), Budget((5000,) + (0,) * 23, price_growth=0.1), (0,) * 24)
    left = from_today(p, 12, 5000, {}, booked={"bench": 15})
    assert left["bench"].fixed_start == 3
    assert left["bench"].payments == ((0, 1100),)


def test_nothing_changes_where_nothing_happened():
    p = garden(12, 0)
    plan = order(p, smoothing=False).starts or {}
    found = replan(p, plan, seconds=100, effort=2)
    assert found.moves == ()
    assert found.starts == plan
    assert found.least


@pytest.mark.parametrize(("size", "seed"), [(12, 0), (12, 1), (30, 0)])
def test_the_least_change_gives_up_no_more_than_allowed(size, seed):
    p = garden(size, seed)
    plan = order(p, gap=0.02, effort=1.0, seconds=100, smoothing=False).starts or {}
    left, old = lived(p, plan, 24)
    lean = list(left.budget.income)
    lean[0] = int(lean[0] * 0.7)
    left = left.changed(budget=replace(left.budget, income=tuple(lean)))
    near = replan(left, old, give=0.005, effort=1.0, seconds=200)
    assert near.starts is not None
    assert check(left, near.starts).breaches == ()
    assert near.worth == left.worth(near.starts)
    assert near.given_up <= 0.005
    free = order(left, gap=0.002, effort=0.5, seconds=100, smoothing=False).starts or {}
    moved = sum(free.get(p.id) != old.get(p.id) for p in left.projects)
    assert len(near.moves) <= moved
    assert all(move.sentence for move in near.moves)


def test_a_move_is_told_in_one_sentence():
    bed = Project("bed", "the bed", payments=((0, 100),), worth=5)
    path = Project("path", "the path", payments=((0, 100),), worth=4)
    p = Problem(2027, 1, (bed, path), Budget((100, 0, 0, 100)), (0,) * 4)
    found = replan(p, {"bed": 3, "path": 0}, give=0.0)
    assert [move.sentence for move in found.moves] == [
        "the bed moves from April 2027 to January 2027, 3 months earlier.",
        "the path moves from January 2027 to April 2027, 3 months later.",
    ]
    poor = p.changed(budget=Budget((100, 0, 0, 0)))
    assert [move.sentence for move in replan(poor, {"bed": 0, "path": 3}).moves] == [
        "the path, planned for April 2027, is left out."
    ]
    assert replan(p, {"bed": 0}).moves[0].sentence == "the path is new: April 2027."


def test_no_plan_is_said_as_such():
    must = Project("must", "must", payments=((0, 100),), must=True)
    found = replan(Problem(2027, 1, (must,), Budget((10,) * 4), (0,) * 4), {"must": 2})
    assert found.starts is None
    assert found.least


HEDGE = Project("hedge", "the hedge", payments=((0, 5000),), minutes=(300,), order_ahead_months=3, lag_months=36)
WALL = Project("wall", "the wall", 3, ((0, 100), (4, 900)), (600, 60, 0), needs=())
BENCH = Project("bench", "the bench", 1, minutes=(90,), wet_ok=True)
BED = Project("bed", "the bed", needs=(Need("wall"),))


def test_now_says_what_to_order_to_go_on_with_to_start_and_to_pay():
    p = Problem(2027, 1, (HEDGE, WALL, BENCH, BED), Budget((0,) * 24), (0,) * 24)
    plan = {"hedge": 10, "wall": 5, "bench": 7, "bed": 8}
    said = [task.sentence for task in now(p, plan, today=7)]
    assert said == [
        "Order for the hedge by the end of August 2027: it starts in November 2027.",
        "August 2027: go on with the wall; 1 month to go.",
        "August 2027: start the bench (2 hours).",
        "September 2027: start the bed.",
    ]
    assert [task.project for task in wet(now(p, plan, today=7))] == ["hedge", "bench"]
    later = now(p, plan, today=9, months=1)
    assert [t.sentence for t in later] == [
        "Order for the hedge by the end of October 2027 (late already): it starts in November 2027.",
        "October 2027: pay what is due for the wall.",
    ]
    assert (later[1].kind, later[1].money) == ("pay", 900)


def test_what_most_others_wait_for_comes_first():
    p = Problem(2027, 1, (BENCH, BED, WALL), Budget((0,) * 12), (0,) * 12)
    assert [t.project for t in now(p, {"bench": 0, "wall": 0, "bed": 3}, months=1)] == ["wall", "bench"]


def test_what_moves_anyway_moves_to_where_it_is_worth_most():
    # The pond is late beyond the price of distance, and its loss lies within what may be given up: yet it goes first.
    house = Project("house", "the house", worth=5000)
    pond = Project("pond", "the pond", minutes=(60,), worth=10)
    p = Problem(2027, 1, (house, pond), Budget((0,) * 36), (100,) * 36)
    found = replan(p, {"house": 0, "pond": -20})
    assert found.starts == {"house": 0, "pond": 0}
    assert found.given_up == 0


def test_prices_rise_in_the_same_month_when_planned_again_in_the_middle_of_a_year():
    job = Project("arch", "the arch", payments=((0, 10_000),))
    whole = Problem(2027, 1, (job,), Budget((0,) * 48, opening=50_000, price_growth=0.1), (0,) * 48)
    rest = from_today(whole, 18, 50_000, {})
    for month in range(18, 48):
        assert rest.bills(rest["arch"], month - 18)[0][1] == whole.bills(whole["arch"], month)[0][1]
    assert check(rest, {"arch": 6}).spent == whole.price(10_000, 24)
