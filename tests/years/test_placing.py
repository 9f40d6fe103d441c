"""Placing by compiled tables does what placing by the list does, and moving about only betters."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest

from quincunx.years import _placing, lists, placing, polish
from quincunx.years.checker import check
from quincunx.years.placing import Placing
from quincunx.years.problem import Problem, Shut
from tests.years.gardens import garden, tiny


def shuffled(problem: Problem, seed: int) -> list[str]:
    names = [p.id for p in problem.projects]
    random.Random(seed).shuffle(names)
    return names


def booked(problem: Problem) -> Problem:
    """Fix two jobs of a garden where a list puts them."""
    plan = lists.wish_order(problem)
    two = sorted(name for name in plan if not problem[name].needs)[:2]
    return problem.changed({name: replace(problem[name], fixed_start=plan[name]) for name in two})


@pytest.mark.parametrize("seed", range(60))
def test_tables_place_as_the_list_does(seed):
    problem = tiny(seed)
    for each in (problem, booked(problem)):
        names = shuffled(each, seed)
        assert Placing(each).serial(names) == lists.serial(each, names)


def test_tables_place_as_the_list_does_in_large_gardens():
    for size in (30, 60):
        problem = garden(size, 1)
        assert any(s.detour for p in problem.projects for s in p.shuts)
        table = Placing(problem)
        for seed in range(5):
            names = shuffled(problem, seed)
            assert table.serial(names) == lists.serial(problem, names)


def test_the_worth_is_that_of_the_problem():
    for problem in (garden(30, 2), tiny(4), tiny(9)):
        plan = lists.wish_order(problem)
        table = Placing(problem)
        starts = np.array([plan.get(p.id, _placing.UNPLACED) for p in problem.projects], dtype=np.int64)
        lacks = any(p.required and p.id not in plan for p in problem.projects)
        assert _placing.worth_of(table._tables, starts) == (-1 if lacks else problem.worth(plan))


def test_moving_about_betters_a_plan_the_same_way_every_time():
    problem = garden(60, 1)
    begun = lists.wish_order(problem)
    better = Placing(problem).better(begun, rounds=400, seed=3, slack=200)
    assert check(problem, better).sound
    assert problem.worth(better) > problem.worth(begun)
    assert Placing(problem).better(begun, rounds=400, seed=3, slack=200) == better
    assert Placing(problem).better(begun, rounds=400, seed=4, slack=200) != better
    assert Placing(problem).better(better, rounds=0, seed=3, slack=0) == better


def test_compiled_and_as_written_move_the_same_jobs():
    problem = garden(12, 5)
    table = Placing(problem)
    begun = lists.wish_order(problem)
    starts = np.array([begun.get(p.id, _placing.UNPLACED) for p in problem.projects], dtype=np.int64)
    twin = starts.copy()
    args = (table._tables, table._ids, table._fixed, table._left)
    assert _placing.move_about(*args, starts, 20, 7, 200) == _placing.move_about.plain(*args, twin, 20, 7, 200)
    assert starts.tolist() == twin.tolist()


def test_a_way_shut_by_two_together_is_left_to_the_list(monkeypatch):
    problem = garden(60, 2)
    a, b, c = problem.projects[:3]
    two = problem.changed({a.id: replace(a, shuts=(Shut(c.id, None, b.id),))})
    assert Placing.fits(problem) == (placing.compiled() and True)
    assert not Placing.fits(two)
    monkeypatch.setattr(Placing, "of", lambda _: pytest.fail("no tables for these"))
    plan = lists.wish_order(two)
    assert two.worth(polish.polish(two, plan, rounds=60)) >= two.worth(plan)


def test_polishing_ends_when_told_to_and_leaves_one_job_alone():
    from threading import Event

    problem, over = garden(60, 1), Event()
    over.set()
    plan = lists.wish_order(problem)
    assert polish.polish(problem, plan, rounds=10_000, stop=over) == plan
    assert polish.polish(problem, {"x": 1}, rounds=10) == {"x": 1}
