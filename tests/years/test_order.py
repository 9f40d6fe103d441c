"""The order of works: best of all plans on tiny gardens, never below the lists, the same every time."""

from __future__ import annotations

import csv
import threading
from dataclasses import replace
from pathlib import Path

import pytest

from quincunx.years import lists
from quincunx.years.checker import check
from quincunx.years.order import Order, first_plan, order
from quincunx.years.polish import BY_HAND, polish
from quincunx.years.problem import Budget, Problem, Project
from quincunx.years.smooth import crowding, minutes_worked, smooth
from tests.years.brute import best_worth
from tests.years.gardens import garden, tiny

WRITTEN = (Path(__file__).parent / "best_of_tiny.csv").read_text(encoding="utf-8").splitlines()
BEST = {int(row["seed"]): int(row["worth"]) for row in csv.DictReader(line for line in WRITTEN if line[0] != "#")}
"""The worth of the best of all plans of each tiny garden, as trying them all found it: a second each."""


@pytest.mark.parametrize("seed", [pytest.param(s, marks=pytest.mark.slow if s % 12 != 2 else ()) for s in range(60)])
def test_what_is_written_down_is_what_trying_all_finds(seed):
    assert best_worth(tiny(seed)) == BEST[seed]


@pytest.mark.parametrize("seed", range(60))
def test_it_is_the_best_of_all_plans(seed):
    problem = tiny(seed)
    found = order(problem, smoothing=False)
    assert found.proven
    assert found.starts is not None
    assert found.worth == BEST[seed]
    assert check(problem, found.starts).breaches == ()
    assert check(problem, found.starts).worth == found.worth


@pytest.mark.parametrize("seed", range(100, 106))
def test_with_musts_it_is_the_best_of_all_plans_or_none(seed):
    problem = tiny(seed)
    dear = max(problem.projects, key=lambda p: (p.cost, p.id))
    problem = problem.changed({dear.id: replace(dear, deadline=20)})
    if not problem.allowed_starts(problem[dear.id]):
        return
    found, best = order(problem, smoothing=False), best_worth(problem)
    assert found.proven
    assert (found.starts is None) == (best is None)
    assert best is None or found.worth == best


@pytest.mark.parametrize("size", [12, 30, 60])
def test_the_first_plan_is_sound_certified_and_never_below_a_list(size):
    problem = garden(size, 2)
    found = first_plan(problem)
    assert found.starts is not None
    assert check(problem, found.starts).breaches == ()
    assert found.worth >= max(problem.worth(rule(problem)) for rule in lists.RULES.values())
    assert found.worth <= found.bound
    assert found.gap < 0.13


def test_twelve_jobs_are_proven_and_progress_only_gets_better():
    problem, seen = garden(12, 0), list[Order]()
    found = order(problem, on_progress=seen.append)
    assert found.proven
    assert found.gap == 0
    assert found.how_sure == "Nothing better exists."
    assert [o.worth for o in seen] == sorted(o.worth for o in seen)
    assert [o.bound for o in seen] == sorted((o.bound for o in seen), reverse=True)
    assert all(o.bound >= found.worth for o in seen)
    assert found.solver.startswith("ortools ")


def test_a_list_that_reaches_the_bound_is_proven_without_search():
    found = first_plan(tiny(139))
    assert found.proven
    assert found.worth == found.bound == best_worth(tiny(139))


def test_the_same_garden_gives_the_same_plan():
    problem = garden(30, 5)
    one, two = (order(problem, seconds=100, effort=0.1) for _ in range(2))
    assert one.starts == two.starts
    assert (one.worth, one.bound, one.proven) == (two.worth, two.bound, two.proven)


def test_it_can_be_stopped_with_the_best_so_far():
    problem = garden(60, 0)
    stopped = order(problem, seconds=60, on_progress=lambda found: found.starts is None)
    assert stopped.starts is not None
    assert not stopped.proven
    assert check(problem, stopped.starts).sound
    event = threading.Event()
    event.set()
    assert order(problem, seconds=60, stop=event).starts is not None


def test_good_enough_ends_the_search():
    found = order(garden(30, 1), gap=0.2, smoothing=False)
    assert found.rule.startswith("list") or found.rule in (*lists.RULES, "moved about")
    assert found.how_sure.startswith("Nothing more than")


def test_a_plan_in_force_is_never_made_worse():
    problem = garden(12, 1)
    best = order(problem).starts
    assert best is not None
    again = order(problem, start_from=best, effort=0.01)
    assert again.worth >= problem.worth(best)


def test_no_plan_is_said_as_such():
    dear = Project("dear", "dear", payments=((0, 100),), must=True)
    found = order(Problem(2027, 1, (dear,), Budget((10,) * 6), (0,) * 6))
    assert found.starts is None
    assert found.proven
    assert found.how_sure == "No plan keeps every must."


def test_a_garden_without_jobs_is_planned():
    found = order(Problem(2027, 1, (), Budget((10,) * 6), (0,) * 6))
    assert found.starts == {}
    assert found.proven


def test_moving_jobs_about_is_sound_seeded_and_never_worse():
    problem = garden(30, 1)
    start = first_plan(problem).starts or {}
    better = polish(problem, start, rounds=150 * BY_HAND)
    assert check(problem, better).breaches == ()
    assert problem.worth(better) > problem.worth(start)
    assert better == polish(problem, start, rounds=150 * BY_HAND)
    assert polish(problem, start, rounds=0) == start
    event = threading.Event()
    event.set()
    assert polish(problem, start, rounds=10**9, stop=event) == start


def test_smoothing_evens_out_work_and_keeps_the_worth():
    problem = garden(12, 0).changed(discount=0.0)
    rough = order(problem, smoothing=False).starts
    assert rough is not None
    calm = smooth(problem, rough, give=0.02, seconds=100)
    assert check(problem, calm).sound
    assert problem.worth(calm) >= 0.98 * problem.worth(rough)
    assert crowding(problem, calm) < crowding(problem, rough)
    exact = smooth(problem, rough, seconds=100)
    assert problem.worth(exact) >= problem.worth(rough)
    assert crowding(problem, exact) <= crowding(problem, rough)


def test_of_equal_plans_the_cheaper_is_taken():
    # Worth does not say when the bench comes, but prices rise after a year.
    bench = Project("bench", "bench", payments=((0, 1000),), worth=1, enjoyed_with=("arch",))
    arch = Project("arch", "arch", worth=1, window=frozenset({12}), fixed_start=20)
    problem = Problem(2027, 1, (bench, arch), Budget((5000,) + (0,) * 23, price_growth=0.1), (0,) * 24)
    found = smooth(problem, {"bench": 15, "arch": 20})
    assert found["bench"] < 12
    assert check(problem, found).spent == 1000


def test_crowded_minutes_are_those_above_the_comfortable_share():
    job = Project("job", "job", 2, minutes=(100, 40))
    problem = Problem(2027, 1, (job,), Budget((0,) * 4), (100, 100, 100, 100))
    assert minutes_worked(problem, {"job": 1}) == [0, 100, 40, 0]
    assert crowding(problem, {"job": 1}) == 40
