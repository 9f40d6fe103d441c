"""Plans by fixed rule are sound, and the scheduler beneath knows all rules."""

from __future__ import annotations

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.years.checker import check
from quincunx.years.lists import RULES, Ledger, complete, serial
from quincunx.years.problem import Budget, Need, Problem, Project, Shut
from tests.years.gardens import garden, tiny


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("size", [12, 30, 60])
def test_every_rule_makes_a_sound_plan(rule, size):
    problem = garden(size, 1)
    checked = check(problem, RULES[rule](problem))
    assert checked.breaches == ()
    assert checked.worth > 0


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.randoms(use_true_random=False))
def test_any_order_makes_a_sound_plan(seed, rng):
    problem = tiny(seed)
    names = [p.id for p in problem.projects]
    rng.shuffle(names)
    assert check(problem, serial(problem, names)).breaches == ()


def test_what_a_job_needs_goes_before_it():
    a = Project("a", "a", 1, needs=(Need("b", 2),), worth=9)
    b = Project("b", "b", 1, worth=1)
    p = Problem(2027, 1, (a, b), Budget((0,) * 12), (0,) * 12)
    assert serial(p, ["a"]) == {"b": 0, "a": 3}


def test_the_ledger_saves_for_what_is_already_placed():
    first, later = Project("first", "first", payments=((0, 50),)), Project("later", "later", payments=((0, 80),))
    p = Problem(2027, 1, (first, later), Budget((100, 0, 0, 30)), (0,) * 4)
    ledger = Ledger(p)
    ledger.place(later, 2)
    assert not ledger.fits(first, 0)
    assert ledger.fits(first, 3)


def test_a_shut_way_forbids_or_costs_whichever_is_placed_first():
    fence = Project("fence", "fence", shuts=(Shut("base", 40), Shut("path")))
    base, path = Project("base", "base", 2, payments=((0, 70),)), Project("path", "path")
    p = Problem(2027, 1, (fence, base, path), Budget((100, 0, 0, 0, 0, 0)), (0,) * 6)
    ledger = Ledger(p)
    ledger.place(fence, 2)
    assert ledger.fits(base, 0)
    assert not ledger.fits(base, 1)  # 70 and 40 for working round
    assert ledger.fits(path, 1)
    assert not ledger.fits(path, 2)


def test_fixed_works_are_placed_before_all_else():
    booked = Project("booked", "booked", payments=((0, 90),), fixed_start=3)
    wish = Project("wish", "wish", payments=((0, 20),), worth=99)
    p = Problem(2027, 1, (wish, booked), Budget((100, 0, 0, 0, 0, 0)), (0,) * 6)
    assert serial(p, ["wish"]) == {"booked": 3}
    assert complete(p, {"booked": 3})
    assert not complete(p, {"wish": 0})
