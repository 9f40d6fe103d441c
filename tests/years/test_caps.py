"""The most that a year may cost: kept by every list and the search, told apart by the checker, said in words."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.garden import garden_from, plain, timeline
from quincunx.years.checker import check
from quincunx.years.conflict import conflict
from quincunx.years.from_garden import problem_of
from quincunx.years.lists import RULES
from quincunx.years.order import order
from quincunx.years.problem import Budget, Problem, Project, Shut
from quincunx.years.replan import from_today
from quincunx.years.steps import build
from quincunx.years.told import broken
from quincunx.years.why import why
from tests.years.gardens import tiny
from tests.years.test_real import SHED, plan

BED = Project("bed", "Bed", payments=((0, 30000),), worth=20)
ARCH = Project("arch", "Arch", payments=((0, 30000),), worth=10)
WALL = Project("wall", "Wall", payments=((0, 20000), (3, 20000)), worth=5)
RICH = Budget((200000, *(0,) * 35))


def problem(most: tuple[int | None, ...], *projects: Project) -> Problem:
    return Problem(2027, 1, projects or (BED, ARCH, WALL), RICH, (600,) * 36, most_by_year=most)


def test_a_year_costs_no_more_than_it_may_and_the_best_comes_first() -> None:
    found = order(problem((30000, 30000, None)), smoothing=False)
    assert found.proven
    # One of the two a year, the dearer to the person first; the wall's two bills fit in no year before the third.
    assert found.starts == {"bed": 0, "arch": 12, "wall": 24}


def test_bills_on_two_sides_of_new_year_count_in_their_years() -> None:
    found = order(problem((20000, 20000, 20000), WALL), smoothing=False)
    assert found.starts is not None
    assert found.starts["wall"] == 9  # in October, and the second bill in January


def test_the_checker_and_the_sentences_name_the_year() -> None:
    p = problem((30000, None, None))
    (breach,) = check(p, {"bed": 0, "arch": 5}).breaches
    assert (breach.rule, breach.projects, breach.month) == ("cap", ("arch", "bed"), 0)
    assert broken(p, {"bed": 0, "arch": 5}, money=lambda sum_: f"{sum_ // 100}") == (
        "2027 would cost 300 more than a year may.",
    )
    assert check(p, {"bed": 0, "arch": 12}).sound


def test_why_says_that_a_year_would_cost_too_much() -> None:
    held = why(problem((30000, None, None), BED, ARCH), {"bed": 0, "arch": 12})
    assert held["arch"].reason == "before that a year would cost at least 300.00 more than it may"


def test_a_conflict_names_the_limit() -> None:
    musts = [replace(p, must=True) for p in (BED, ARCH)]
    clash = conflict(problem((10000, 10000, 10000), *musts))
    assert clash is not None
    assert any(tag[0] == "cap" for tag in clash.items)
    assert "no more than 100.00 spent in 2027" in clash.sentence


def test_what_was_spent_this_year_counts_when_planning_again() -> None:
    rest = from_today(problem((30000, 30000, None)), 4, 100000, {}, spent_this_year=12000)
    assert rest.most_by_year == (18000, 30000, None)
    assert [year for year, *_ in rest.capped] == [2027, 2028]


def test_the_must_of_the_garden_is_the_limit() -> None:
    must = {"kind": "spend-no-more", "id": "most", "sum": 70000, "from_year": 2028}
    garden = garden_from({**plain(plan(SHED)), "intents": [must]})
    assert problem_of(garden, timeline(garden)).most_by_year == (None, 70000, 70000)
    muted = garden_from({**plain(plan(SHED)), "intents": [{**must, "muted": True}]})
    assert problem_of(muted, timeline(muted)).most_by_year == ()


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 5000), st.lists(st.one_of(st.none(), st.integers(0, 3000)), min_size=2, max_size=2))
def test_every_list_keeps_the_limits(seed: int, most: list[int | None]) -> None:
    p = tiny(seed).changed(most_by_year=tuple(most))
    for rule in RULES.values():
        assert not [b for b in check(p, rule(p)).breaches if b.rule == "cap"]


@pytest.mark.parametrize("seed", range(12))
def test_a_plan_written_as_steps_keeps_every_row(seed: int) -> None:
    """Whatever the checker passes, the rows pass, detours and all."""
    p = tiny(seed).changed(most_by_year=(900, 1500))
    found = order(p, smoothing=False)
    if found.starts is None:
        return
    steps = build(p)
    values = steps.encode(found.starts)
    for row in steps.rows:
        total = sum(c * values[k] for k, c in row.terms.items())
        assert row.low <= total <= row.high, row.tag


def test_a_detour_is_paid_in_its_year() -> None:
    shut = replace(ARCH, shuts=(Shut("bed", 5000),), window=frozenset({1}), fixed_start=0)
    late = replace(BED, window=frozenset({6}), must=True)
    assert order(problem((65000, None, None), shut, late), smoothing=False).starts == {"arch": 0, "bed": 5}
    assert order(problem((64999, None, None), shut, late), smoothing=False).starts == {"arch": 0, "bed": 17}


def test_the_checker_works_out_the_limits_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    p = problem((30000, None, None))
    monkeypatch.setattr(Problem, "capped", ())
    assert [b.rule for b in check(p, {"bed": 0, "arch": 5}).breaches] == ["cap"]
    tight = replace(p, most_by_year=(), budget=Budget((40000, *(0,) * 11) * 3, opening=5000, carry_over=False))
    assert "cap" not in [b.rule for b in check(tight, {"wall": 0}).breaches]  # 400 of the 450 there are
    assert "cap" in [b.rule for b in check(tight, {"bed": 12, "arch": 13}).breaches]  # 600 of 400
