"""A way that two jobs shut only together: found on the ground, kept by every list and search, said in words."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from quincunx.garden import garden_from, timeline
from quincunx.years import lists
from quincunx.years.checker import check
from quincunx.years.conflict import conflict
from quincunx.years.faults import faults
from quincunx.years.from_garden import problem_of
from quincunx.years.order import order
from quincunx.years.problem import Budget, Problem, Project, Shut
from quincunx.years.shut_ways import shuts_of
from quincunx.years.why import why
from tests.years.brute import best_worth
from tests.years.gardens import tiny


def plot(*, gaps=2, after=()):
    """A walled plot with a wall across it that has one gap or two; a job for each fence that fills one, a bed behind."""
    across: list[list[list[int]]] = [[[0, 8], [2, 8]], [[4, 8], [6, 8]], [[8, 8], [10, 8]]]
    if gaps == 1:
        across = [[[0, 8], [2, 8]], [[4, 8], [10, 8]]]
    features = [
        {"kind": "wall", "id": "shell", "there_from": "start", "line": [[1.5, 0], [0, 0], [0, 20], [10, 20], [10, 0], [3, 0]]},
        *({"kind": "wall", "id": f"across-{n}", "there_from": "start", "line": line} for n, line in enumerate(across)),
        {"kind": "bed", "id": "bed", "outline": [[3, 15], [7, 15], [7, 18], [3, 18]]},
        {"kind": "fence", "id": "west", "line": [[1.9, 8], [4.1, 8]]},
        {"kind": "fence", "id": "east", "line": [[5.9, 8], [8.1, 8]]},
    ]  # fmt: skip
    jobs = [
        {"id": "beds", "name": "Dig the bed", "does": ["bed"], "reach": "barrow", "months": 1, "worth": "some",
         "after": [{"job": j} for j in after]},
        {"id": "fence-west", "name": "Fence the west", "does": ["west"], "months": 1, "worth": "much"},
        {"id": "fence-east", "name": "Fence the east", "does": ["east"], "months": 1, "worth": "much"},
    ]  # fmt: skip
    return garden_from(
        {
            "format": "quincunx/1", "name": "A plot", "boundary": [[0, 0], [10, 0], [10, 20], [0, 20]],
            "spots": [{"id": "road", "name": "Road", "at": [2.2, -1]}], "features": features, "jobs": jobs,
            "intents": [{"kind": "works-reached", "id": "works", "start": "road"}],
            "means": {"first_year": 2027, "years": 3, "hours_by_month": [10] * 12, "large_a_year": 3},
        }
    )  # fmt: skip


def shuts(garden):
    return {k: [(s.project, s.beside) for s in v] for k, v in shuts_of(garden, timeline(garden)).items()}


def test_the_ground_says_which_two_shut_it_and_that_neither_does_alone():
    assert shuts(plot()) == {"fence-east": [("beds", "fence-west")]}
    assert shuts(plot(gaps=1)) == {"fence-west": [("beds", None)]}


def test_what_must_come_after_both_is_left_out_after_one_is_not():
    assert shuts(plot(after=("fence-west",))) == {"fence-east": [("beds", "fence-west")]}
    assert not shuts(plot(after=("fence-west", "fence-east")))


def test_the_order_leaves_the_way_open_and_the_checker_names_both():
    garden = plot()
    problem = problem_of(garden, timeline(garden))
    found = order(problem, seconds=10, effort=1.0)
    assert found.proven
    assert found.starts is not None
    assert max(found.starts["fence-west"], found.starts["fence-east"]) >= found.starts["beds"] + 1
    late = check(problem, {"fence-west": 0, "fence-east": 1, "beds": 4})
    assert [b.rule for b in late.breaches] == ["access"]
    assert "Fence the east and Fence the west together shut the way to Dig the bed" in late.breaches[0].words
    assert check(problem, {"fence-west": 0, "fence-east": 5, "beds": 4}).sound
    assert check(problem, {"fence-west": 0, "beds": 4}).sound


def small(**bed):
    """Two fences worth more than the bed behind them; months by hand."""
    jobs = (
        Project("west", "the west fence", worth=20, shuts=(Shut("bed", beside="east"),)),
        Project("east", "the east fence", worth=20),
        Project("bed", "the bed", 2, worth=10, **bed),
    )
    return Problem(2027, 1, jobs, Budget((0,) * 12), (600,) * 12, tail_months=12)


def test_why_names_the_way():
    problem = small(window=frozenset({5, 6}))
    found = order(problem, seconds=10, effort=1.0)
    assert found.proven
    assert found.starts in ({"west": 0, "bed": 4, "east": 6}, {"east": 0, "bed": 4, "west": 6})
    late = next(name for name, start in found.starts.items() if start == 6)
    assert "the way must stay open between it and the bed" in why(problem, found.starts)[late].sentence


def test_a_conflict_names_both():
    fixed = small(window=frozenset({5, 6}), must=True)
    fences = {name: replace(fixed[name], fixed_start=1) for name in ("west", "east")}
    found = conflict(fixed.changed(fences))
    assert found is not None
    assert "which the west fence and the east fence shut together" in found.sentence


def test_an_unknown_name_beside_is_a_fault():
    jobs = (Project("west", "the west fence", shuts=(Shut("bed", beside="north"),)), Project("bed", "the bed"))
    (fault,) = faults(Problem(2027, 1, jobs, Budget((0,) * 12), (600,) * 12))
    assert "north" in fault.sentence


def with_two(seed):
    """A tiny garden of the committed set in which some three jobs also have a way that two shut together."""
    problem, rng = tiny(seed), random.Random(seed)
    free = [p for p in problem.projects if p.fixed_start is None]
    one, other, closed = rng.sample(free, 3)
    return problem.changed({one.id: replace(one, shuts=(*one.shuts, Shut(closed.id, beside=other.id)))})


@pytest.mark.parametrize("seed", range(8))
def test_the_worth_is_that_of_all_plans_tried_and_lists_keep_the_way(seed):
    problem = with_two(seed)
    if faults(problem):
        pytest.skip("the three contradict each other")
    best = best_worth(problem)
    found = order(problem, seconds=20, effort=5.0)
    assert found.proven
    assert (found.starts and problem.worth(found.starts)) == best
    for rule in lists.RULES.values():
        plan = rule(problem)
        assert not any(b.rule == "access" for b in check(problem, plan).breaches)
