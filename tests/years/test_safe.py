"""Chances in words, and plans as safe as is asked."""

from __future__ import annotations

import math

import pytest

from quincunx.garden import timeline
from quincunx.years.checker import check
from quincunx.years.from_garden import problem_of
from quincunx.years.problem import Budget, Problem, Project
from quincunx.years.risk import Chances, ThreePoint, simulate
from quincunx.years.safe import chance_words, chances_of, how_safe, safer
from tests.years.test_real import plan

WALL = {"id": "wall", "name": "Wall", "costs": [{"words": "Stone", "sum": 50000, "low": 45000, "high": 80000}], "hours": 5,
        "start": "2027-03", "worth": "much"}  # fmt: skip
SEAT = {"id": "seat", "name": "Seat", "costs": [{"words": "Oak", "sum": 20000}], "hours": 5, "start": "2027-04"}


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (1.0, "as good as sure"), (0.97, "97 chances in 100"), (0.94, "9 chances in 10"), (0.5, "5 chances in 10"),
        (0.1, "1 chance in 10"), (0.03, "3 chances in 100"), (0.0, "hardly ever"),
    ],
)  # fmt: skip
def test_chances_in_words(chance: float, words: str) -> None:
    assert chance_words(chance) == words


def test_the_guesses_on_the_jobs_are_used() -> None:
    garden = plan(WALL, SEAT)
    chances, own = chances_of(garden, problem_of(garden, timeline(garden)))
    assert own == 1
    assert chances.cost["wall"] == ThreePoint(0.9, 1.0, 1.6)
    assert chances.cost["seat"] == ThreePoint(0.9, 1.0, 1.4)


def normal_below(x: float) -> float:
    """Distribution function of the standard normal."""
    return 0.5 * math.erfc(-x / math.sqrt(2))


def test_the_drawn_worlds_agree_with_the_closed_form() -> None:
    """A sum of independent costs: its mean and variance add up exactly; of 40 alike it is all but normal.

    The mean of a beta distribution through three points is (low + 4 likely + high) / 6 and its variance
    (mean - low)(high - mean) / 7 (Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 2, 1995,
    chapter 25: a beta of a + b = 6 on [low, high]; from memory).  The central limit theorem gives the chance.
    """
    spread = ThreePoint(0.8, 1.0, 1.6)
    mean, variance = (0.8 + 4 + 1.6) / 6, ((0.8 + 4 + 1.6) / 6 - 0.8) * (1.6 - (0.8 + 4 + 1.6) / 6) / 7
    projects = tuple(Project(f"p{k:02}", f"P{k}", payments=((0, 10000),)) for k in range(40))
    starts = {p.id: 0 for p in projects}
    for sigmas in (-1.0, 0.0, 1.5):
        sum_ = 40 * 10000 * mean + sigmas * 10000 * math.sqrt(40 * variance)
        one = Problem(2027, 1, projects, Budget((round(sum_), *(0,) * 11)), (600,) * 12)
        chances = Chances({p.id: spread for p in projects}, {})
        risk = simulate(one, starts, chances, worlds=20_000)
        assert abs(risk.spent_mean - 40 * 10000 * mean) < 4 * 10000 * math.sqrt(40 * variance / 20_000)
        assert risk.spent_sd == pytest.approx(10000 * math.sqrt(40 * variance), rel=0.03)
        # The stated error, four of them, and 0.005 for what forty costs lack of the normal (their skewness).
        assert abs(risk.all_money.value - normal_below(sigmas)) < 4 * risk.all_money.error + 0.005


def test_the_hours_of_a_year_are_enough_more_often_than_those_of_each_month() -> None:
    garden = plan(WALL, SEAT)
    told = how_safe(garden, problem_of(garden, timeline(garden)), {"wall": 2, "seat": 3})
    for year, chance in told.risk.year_hours.items():
        assert chance.value >= told.risk.hours[year].value
    assert told.years[0].words.startswith("money enough: ")
    assert told.own_guesses == 1
    assert "4,000 drawn worlds" in told.how[0]


def test_the_same_garden_gives_the_same_words() -> None:
    garden = plan(WALL, SEAT)
    problem = problem_of(garden, timeline(garden))
    assert how_safe(garden, problem, {"wall": 2}).years == how_safe(garden, problem, {"wall": 2}).years


def test_a_plan_that_is_safe_already_is_left_as_it_is() -> None:
    garden = plan(WALL, sum_a_year=200000)
    found = safer(garden, problem_of(garden, timeline(garden)), {"wall": 2}, 0.8)
    assert found.reached
    assert found.points == ()
    assert found.words.startswith("The plan as it is written is as safe as that already")


def test_a_safer_plan_puts_something_by() -> None:
    garden = plan(WALL, SEAT, sum_a_year=50000, opening=20000)
    problem = problem_of(garden, timeline(garden))
    starts = {"wall": 2, "seat": 3}
    assert how_safe(garden, problem, starts).all_money.value < 0.5
    found = safer(garden, problem, starts, 0.9)
    assert found.reached
    last = found.points[-1]
    assert last.margin > 0
    assert last.holds.value >= 0.9
    assert check(problem, last.starts).sound
    assert "put by on every cost" in found.words


def test_where_no_plan_is_safe_enough_it_says_so() -> None:
    garden = plan({**WALL, "booked": True, "must": True}, years=1, sum_a_year=50000, opening=0)
    found = safer(garden, problem_of(garden, timeline(garden)), {"wall": 2}, 0.9)
    assert not found.reached
    assert "No plan was found" in found.words
