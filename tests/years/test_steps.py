"""The step model says exactly what the rules say, and its relaxation is a bound."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.years.checker import check
from quincunx.years.lists import RULES, serial
from quincunx.years.model import formulate, run
from quincunx.years.problem import Budget, Problem, Project
from quincunx.years.relax import list_starts, relax
from quincunx.years.steps import FREE, Steps, build, earliest_starts
from tests.years.gardens import garden, tiny


def broken_rows(steps: Steps, values: list[int]) -> list[tuple[object, ...]]:
    """Tags of the rows and rules that these values break."""
    broken = [row.tag for row in steps.rows if not low_ok(row.low, row, values)]
    broken += [("rule",) for a, b in steps.implies if values[a] > values[b]]
    return broken


def low_ok(low: int, row, values: list[int]) -> bool:
    total = sum(c * values[v] for v, c in row.terms.items())
    return bool((low <= FREE or low <= total) and total <= row.high)


def random_plan(problem: Problem, rng: random.Random) -> dict[str, int]:
    """Any months at all that seasons allow, sound or not."""
    plan = {}
    for project in problem.projects:
        months = problem.allowed_starts(project)
        if months and rng.random() < 0.7:
            plan[project.id] = rng.choice(months)
    return plan


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_rows_hold_exactly_where_the_checker_finds_nothing(seed):
    problem = tiny(seed)
    steps = build(problem, tighten=False)
    rng = random.Random(seed)
    for _ in range(20):
        plan = random_plan(problem, rng)
        values = steps.encode(plan)
        assert steps.decode(values) == plan
        worth = steps.worth_always + sum(w * values[v] for v, w in steps.worth.items())
        assert worth == problem.worth(plan) == check(problem, plan).worth
        assert (not broken_rows(steps, values)) == check(problem, plan).sound


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_months_left_out_beforehand_are_in_no_sound_plan(seed):
    problem = tiny(seed)
    earliest = earliest_starts(problem)
    rng = random.Random(seed)
    for _ in range(30):
        names = [p.id for p in problem.projects]
        plan = serial(problem, rng.sample(names, len(names)))
        for k, project in enumerate(problem.projects):
            assert project.id not in plan or plan[project.id] >= earliest[k]


@pytest.mark.parametrize("size", [12, 30])
@pytest.mark.parametrize("seed", [0, 1, 2])
def test_plans_of_the_rules_satisfy_the_rows_and_stay_below_the_bound(size, seed):
    problem = garden(size, seed)
    steps = build(problem)
    bound = relax(steps).bound
    for rule in RULES.values():
        plan = rule(problem)
        assert broken_rows(steps, steps.encode(plan)) == []
        assert bound is not None
        assert problem.worth(plan) <= bound


def test_the_relaxation_agrees_with_another_solver():
    from scipy.optimize import linprog

    from quincunx.years.relax import matrix

    steps = build(garden(30, 2))
    a, low, high = matrix(steps)
    worth = [-steps.worth.get(k, 0) for k in range(steps.count)]
    equal = low == high
    other = linprog(worth, A_ub=a[~equal], b_ub=high[~equal], A_eq=a[equal] if equal.any() else None,
                    b_eq=high[equal] if equal.any() else None, bounds=(0, 1), method="highs")  # fmt: skip
    bound = relax(steps).bound
    assert bound is not None
    # The bound is rounded up by one part in a million.
    assert bound - steps.worth_always == pytest.approx(-other.fun * (1 + 1e-6), rel=1e-8)


def test_lists_from_the_relaxation_name_every_project_once():
    problem = garden(30, 0)
    steps = build(problem)
    names = list_starts(steps, relax(steps).values, 0.5)
    assert sorted(names) == sorted(p.id for p in problem.projects)


def test_a_must_that_can_not_be_paid_has_no_relaxation():
    dear = Project("dear", "dear", payments=((0, 100),), must=True)
    problem = Problem(2027, 1, (dear,), Budget((10,) * 6), (0,) * 6)
    assert relax(build(problem)).bound is None
    assert run(formulate(build(problem)), seconds=5).status == "INFEASIBLE"


def test_fixed_works_are_no_variables_but_count():
    booked = Project("booked", "booked", payments=((0, 60),), worth=5, fixed_start=2)
    wish = Project("wish", "wish", payments=((0, 60),), worth=9)
    problem = Problem(2027, 1, (booked, wish), Budget((100, 0, 0, 0, 0, 20)), (0,) * 6)
    steps = build(problem)
    assert steps.worth_always == problem.worth({"booked": 2})
    outcome = run(formulate(steps), seconds=5)
    assert outcome.values is not None
    assert steps.decode(outcome.values) == {"booked": 2, "wish": 5}
    assert outcome.objective == problem.worth({"booked": 2, "wish": 5})


def test_upkeep_that_eats_a_month_stops_its_works_not_the_plan():
    hedge = Project("hedge", "hedge", worth=9, upkeep_minutes=(0,) * 5 + (900,) + (0,) * 6)
    path = Project("path", "path", worth=1, minutes=(60,), window=frozenset({6, 7}))
    problem = Problem(2027, 1, (hedge, path), Budget((0,) * 12), (600,) * 12)
    outcome = run(formulate(build(problem)), seconds=5)
    assert outcome.values is not None
    assert build(problem).decode(outcome.values) == {"hedge": 0, "path": 6}


def test_sums_too_large_to_count_exactly_are_refused():
    huge = Project("huge", "huge", payments=((0, 10**18),), worth=1)
    problem = Problem(2027, 1, (huge,), Budget((10**18 - 1, 0)), (0, 0))
    with pytest.raises(OverflowError, match="use a larger currency unit"):
        formulate(build(problem, tighten=False))


def test_the_same_model_run_twice_gives_the_same_values():
    problem = garden(30, 4)
    found = [run(formulate(build(problem)), seconds=100, effort=0.2) for _ in range(2)]
    assert found[0].values is not None
    assert found[0].values == found[1].values
    assert found[0].bound == found[1].bound


def test_a_project_can_be_forced_into_given_months():
    problem = garden(12, 0)
    steps = build(
        problem.changed({"bed-4": replace(problem["bed-4"], must=True)}) if "bed-4" in problem.index else problem
    )
    assert steps.count == sum(len(s) for s in steps.starts) + len(steps.joint) + len(steps.detours) + len(
        steps.detour_paid
    )
