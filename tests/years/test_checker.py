"""The independent checker finds each kind of broken rule."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quincunx.years.checker import check
from quincunx.years.order import order
from quincunx.years.problem import Budget, Need, Problem, Project, Shut

WALL = Project("wall", "wall", 2, ((0, 400), (1, 200)), (300, 120), frozenset({4, 5, 6}), large=True, worth=5)
BED = Project("bed", "bed", 1, ((0, 300),), (120,), needs=(Need("wall", 1),), worth=7, lag_months=2)
P = Problem(2027, 1, (WALL, BED), Budget((600,) + (0,) * 11 + (600,) + (0,) * 11, opening=100), (400,) * 24)
SOUND = {"wall": 3, "bed": 13}


def rules(problem: Problem, plan: dict[str, int]) -> list[str]:
    return [breach.rule for breach in check(problem, plan).breaches]


def test_a_sound_plan_and_its_books():
    found = check(P, SOUND)
    assert found.sound
    assert found.spent == 900
    assert found.balance[2:6] == (700, 300, 100, 100)
    assert found.balance[-1] == 400
    assert found.minutes_left[3:6] == (100, 280, 400)
    assert found.worth == P.worth(SOUND)


@pytest.mark.parametrize(
    ("plan", "broken"),
    [
        ({"wall": 0, "bed": 13}, ["window"]),
        ({"wall": 3, "bed": 5}, ["needs", "money"]),
        ({"bed": 13}, ["needs"]),
        ({"wall": 3, "bed": 11}, ["money"]),
        ({"wall": 3, "bed": 24}, ["years"]),
        ({"pond": 3}, ["unknown"]),
    ],
)
def test_each_broken_rule_is_found(plan, broken):
    assert rules(P, plan) == broken


def test_too_much_work_in_a_month():
    tired = P.changed(free_minutes=(299,) * 24)
    assert rules(tired, SOUND) == ["hours"]


def test_upkeep_takes_from_the_hours_once_the_thing_stands():
    kept = P.changed({"wall": replace(WALL, upkeep_minutes=(300,) * 12)})
    assert rules(kept, SOUND) == ["hours"]
    assert check(kept, {"wall": 3}).sound
    assert check(kept, {"wall": 3}).minutes_left[10] == 100


def test_musts_dates_and_large_works():
    assert rules(P.changed({"bed": replace(BED, must=True)}), {"wall": 3}) == ["must"]
    assert rules(P.changed({"bed": replace(BED, deadline=15)}), SOUND) == ["deadline"]
    assert rules(P.changed({"bed": replace(BED, deadline=16)}), SOUND) == []
    assert rules(P.changed({"wall": replace(WALL, fixed_start=4)}), SOUND) == ["fixed"]
    assert rules(P.changed(large_per_year=0), {"wall": 3}) == ["large"]


def test_a_large_work_begun_before_the_first_month_counts_in_its_calendar_year():
    begun = Project("shed", "shed", 2, large=True, fixed_start=-2, done=True)
    p = Problem(2027, 4, (begun, WALL), P.budget, P.free_minutes)
    assert rules(p, {"shed": -2, "wall": 0}) == ["large"]
    assert rules(p, {"shed": -2, "wall": 12}) == []


def test_large_works_that_have_begun_are_no_breach_and_leave_no_room_for_another():
    shed = Project("shed", "shed", 1, large=True, fixed_start=-2, done=True)
    wall = Project("wall", "wall", 2, large=True, fixed_start=0, happened="begun")
    deck = Project("deck", "deck", 1, large=True, worth=5)
    p = Problem(2027, 4, (shed, wall, deck), P.budget, P.free_minutes)
    assert rules(p, {"shed": -2, "wall": 0}) == []
    assert rules(p, {"shed": -2, "wall": 0, "deck": 3}) == ["large"]
    best = order(p).starts
    assert best == {"shed": -2, "wall": 0, "deck": 9}, "the first month of the next year"


def test_shut_ways_forbid_or_cost():
    hard = P.changed({"bed": replace(BED, needs=(), payments=(), shuts=(Shut("wall"),))})
    assert rules(hard, {"wall": 3, "bed": 4}) == ["access"]
    assert rules(hard, {"wall": 3, "bed": 12}) == []
    soft = P.changed({"bed": replace(BED, needs=(), payments=(), shuts=(Shut("wall", 90),))})
    found = check(soft, {"wall": 3, "bed": 4})
    assert found.sound
    assert found.spent == 690
    assert found.balance[3] == 210


def test_prices_rise_and_the_reserve_is_kept():
    dearer = P.changed(budget=replace(P.budget, price_growth=0.1))
    assert check(dearer, SOUND).spent == 600 + 330
    careful = P.changed(budget=replace(P.budget, reserve=101))
    assert rules(careful, SOUND)[0] == "money"
