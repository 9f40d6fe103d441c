"""Nonsense is named in one sentence with the jobs at fault."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quincunx.years.faults import Nonsense, faults, require_sense
from quincunx.years.order import order
from quincunx.years.problem import Budget, Need, Problem, Project, Shut
from tests.years.gardens import garden

BED = Project("bed", "the bed", 1, payments=((0, 1000),), minutes=(60,), worth=10)
WALL = Project("wall", "the wall", 2, minutes=(60, 60), worth=10)


def problem(*projects: Project, months: int = 24, reserve: int = 0) -> Problem:
    return Problem(2027, 1, projects, Budget((1000,) * months, reserve=reserve), (600,) * months)


def only(p: Problem) -> tuple[str, tuple[str, ...]]:
    found = faults(p)
    assert len(found) == 1, found
    return found[0].sentence, found[0].projects


def test_a_sensible_garden_has_no_faults():
    assert faults(garden(30, 0)) == []
    require_sense(garden(30, 0))


def test_a_cycle_of_needs_is_told_once_with_its_jobs():
    a = replace(BED, needs=(Need("wall"),))
    b = replace(WALL, needs=(Need("bed"),))
    sentence, jobs = only(problem(a, b))
    assert (
        sentence == "These jobs wait for each other: the bed needs the wall needs the bed; take one of the needs out."
    )
    assert set(jobs) == {"bed", "wall"}


def test_a_season_shorter_than_the_job():
    sentence, jobs = only(problem(replace(WALL, duration_months=3, window=frozenset({4, 5}))))
    assert sentence.startswith("the wall takes 3 months, but its season is never that long")
    assert jobs == ("wall",)


def test_a_season_over_the_turn_of_the_year_is_long_enough():
    assert faults(problem(replace(WALL, duration_months=4, window=frozenset({11, 12, 1, 2})))) == []


def test_a_sum_below_the_reserve():
    sentence, jobs = only(problem(BED, WALL, reserve=24_000))
    assert "(240.00) is no more than what is kept back (240.00)" in sentence
    assert jobs == ("bed",)  # the wall costs nothing


def test_sums_are_written_as_the_garden_writes_them():
    (fault,) = faults(problem(BED, reserve=24_000), money=lambda sum_: f"£{sum_ // 100}")
    assert "(£240) is no more than what is kept back (£240)" in fault.sentence


def test_a_deadline_in_the_past():
    sentence, jobs = only(problem(replace(BED, deadline=-3)))
    assert sentence == "the bed was to be of use by October 2026, which is past; set a later date."
    assert jobs == ("bed",)


def test_a_deadline_that_season_and_growing_time_rule_out():
    sentence, _ = only(problem(replace(BED, deadline=12, lag_months=12, window=frozenset({11}))))
    assert "allow December 2028 at the earliest" in sentence


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"needs": (Need("pond"),)}, "refers to pond, but there is no such job"),
        ({"shuts": (Shut("bed"),)}, "refers to itself"),
        ({"duration_months": 0}, "takes 0 months; give at least 1"),
        ({"minutes": (1, 2, 3)}, "has work in 3 months but takes 1"),
        ({"window": frozenset({0, 13})}, "expected numbers from 1 to 12"),
        ({"upkeep_minutes": (1, 2)}, "has upkeep for 2 months"),
        ({"done": True}, "marked done, but not by the first month"),
        ({"payments": ((0, -5),)}, "negative cost, time or worth"),
        ({"lag_months": -1}, "negative waiting time"),
        ({"must": True, "minutes": (6000,)}, "takes 100 hours in one month, but no month has more than 10"),
    ],
)
def test_each_wrong_shape_is_named(changed, words):
    sentence, jobs = only(problem(replace(BED, **changed)))
    assert words in sentence
    assert jobs == ("bed",)


def test_two_jobs_of_one_name_and_unlike_months():
    assert "Two jobs are both called bed" in only(problem(BED, BED))[0]
    assert "Money is given for 24 months and hours for 1" in only(problem(BED).changed(free_minutes=(1,)))[0]


def test_no_plan_is_made_of_nonsense():
    with pytest.raises(Nonsense, match="wait for each other") as caught:
        order(problem(replace(BED, needs=(Need("wall"),)), replace(WALL, needs=(Need("bed"),))))
    assert len(caught.value.faults) == 1
