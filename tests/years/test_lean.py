"""The starts that matter are enough, hours left out only make a bound, and covers cut off no plan."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.years import lists
from quincunx.years.checker import check
from quincunx.years.covers import knapsacks, sharpen
from quincunx.years.lean import crowded_first, found_or_all, lean, marks_of, overfull, starts_that_matter, with_next
from quincunx.years.model import formulate, run
from quincunx.years.order import order
from quincunx.years.problem import Budget, Need, Problem, Project
from quincunx.years.relax import relax
from tests.years.brute import best_worth
from tests.years.gardens import garden, tiny


def solved(problem: Problem, crowded: frozenset[int]) -> tuple[int | None, dict[str, int]]:
    """Best worth with these months' hours only, by the solver, and its plan."""
    outcome = run(formulate(steps := lean(problem, crowded)), seconds=20)
    assert outcome.proven or outcome.status == "INFEASIBLE"
    if outcome.values is None:
        return None, {}
    return round(outcome.objective or 0), steps.decode(outcome.values)


@pytest.mark.parametrize("seed", range(200, 204))
def test_no_plan_of_all_months_is_worth_more_than_the_best_of_those_that_matter(seed):
    problem = tiny(seed)
    worth, plan = solved(problem, frozenset(range(problem.months)))
    assert worth == best_worth(problem)
    assert worth is None or check(problem, plan).sound


@pytest.mark.parametrize("seed", range(300, 303))
def test_without_hours_it_is_a_bound(seed):
    problem = tiny(seed)
    best, (worth, plan) = best_worth(problem), solved(problem, frozenset())
    assert best is None or (worth is not None and worth >= best)
    if worth is not None and not overfull(problem, plan):
        assert worth == best


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_overfull_months_are_those_the_checker_calls_so(seed):
    problem, rng = tiny(seed), random.Random(seed)
    plan = {p.id: rng.choice(m) for p in problem.projects if (m := problem.allowed_starts(p)) and rng.random() < 0.8}
    assert overfull(problem, plan) == {b.month for b in check(problem, plan).breaches if b.rule == "hours"}


def test_a_job_pushed_out_of_a_full_month_may_begin_right_after_it():
    wide = Project("wide", "wide", minutes=(600,), worth=10)
    small = Project("small", "small", minutes=(300,), worth=5)
    problem = Problem(2027, 1, (wide, small), Budget((0,) * 24), (600,) * 24)
    assert starts_that_matter(problem, ())["small"] == [0, 12]
    assert starts_that_matter(problem, (0,))["small"] == [0, 1, 12]
    found = order(problem, smoothing=False)
    assert found.proven
    assert found.starts == {"wide": 0, "small": 1}


def test_bills_wait_for_the_month_in_which_money_comes():
    paid_late = Project("late", "late", duration_months=3, payments=((0, 10), (2, 50)), worth=1)
    problem = Problem(2027, 1, (paid_late,), Budget((20, *(0,) * 11, 100, *(0,) * 11)), (0,) * 24)
    assert marks_of(problem) == (0, 12, 24)
    assert starts_that_matter(problem, ())["late"] == [10, 12]
    assert order(problem, smoothing=False).starts == {"late": 10}


def test_fixed_jobs_keep_their_only_month():
    booked = Project("booked", "booked", fixed_start=7, worth=1)
    problem = Problem(2027, 1, (booked,), Budget((0,) * 24), (0,) * 24)
    assert starts_that_matter(problem, range(24)) == {"booked": [7]}


def test_months_crowded_from_the_start_are_few_and_grow_to_all():
    problem = garden(30, 1)
    guess = crowded_first(problem, None)
    assert 0 < len(guess) < problem.months // 2
    assert with_next(problem, {3, problem.months - 1}) == {3, 4, problem.months - 1}
    assert found_or_all(problem, guess) == guess
    assert found_or_all(problem, range(problem.months // 2 + 1)) == frozenset(range(problem.months))


def test_covers_lower_the_bound_and_keep_every_sound_plan():
    problem, rng = garden(30, 3), random.Random(3)
    steps = lean(problem, frozenset(range(problem.months)))
    before, rows = relax(steps), len(steps.rows)
    after = sharpen(steps, before, rounds=5)
    assert before.bound is not None
    assert after.bound is not None
    assert after.bound < 0.99 * before.bound
    covers = steps.rows[rows:]
    assert covers
    assert all(row.tag[0] == "cover" for row in covers)
    names, allowed = [p.id for p in problem.projects], starts_that_matter(problem, range(problem.months))
    for _ in range(60):
        plan = lists.serial(problem, rng.sample(names, len(names)), allowed)
        assert check(problem, plan).sound
        values = steps.encode(plan)
        assert all(sum(values[v] for v in row.terms) <= row.high for row in covers)
        assert problem.worth(plan) <= after.bound


def test_a_knapsack_counts_what_must_come_before():
    base = Project("base", "base", payments=((0, 40),))
    top = Project("top", "top", payments=((0, 30),), worth=5, needs=(Need("base"),))
    problem = Problem(2027, 1, (base, top), Budget((60, *(0,) * 11)), (0,) * 12)
    (sack,) = knapsacks(lean(problem, frozenset()))
    assert sack.room == 60
    assert sorted(item.total for item in sack.items) == [40]
