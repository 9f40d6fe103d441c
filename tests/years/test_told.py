"""What a plan breaks and what moving one job does, in sentences."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.years.checker import check
from quincunx.years.problem import Budget, Need, Problem, Project
from quincunx.years.told import broken, moved, put_to, use_words
from tests.years.gardens import tiny

BED = Project("bed", "Bed", payments=((0, 5000),), minutes=(300,), worth=40, window=frozenset({3, 4, 5}))
ARCH = Project("arch", "Arch", payments=((0, 40000),), minutes=(240, 240), duration_months=2, worth=10, large=True)
SHED = Project("shed", "Shed", payments=((0, 30000),), minutes=(60,), worth=20, large=True, needs=(Need("bed", 2),))


def problem(**more: Any) -> Problem:
    income = tuple(40000 if m % 12 == 0 else 0 for m in range(24))
    plan = Problem(2027, 1, (BED, ARCH, SHED), Budget(income, reserve=1000), (300,) * 24)
    return plan.changed(**more) if more else plan


GOOD = {"bed": 2, "arch": 12, "shed": 5}


def test_a_sound_plan_breaks_nothing() -> None:
    assert broken(problem(), GOOD) == ()


def test_every_rule_is_said_with_its_names_and_figures() -> None:
    said = broken(problem(), {"bed": 5, "arch": 5, "shed": 6}, money=lambda sum_: f"£{sum_ / 100:.0f}")
    assert said == (
        "Bed would be outside its season in June 2027.",
        "Shed would begin before Bed is done and has stood 2 months.",
        # Of 400 nothing may go below 10; 50 and 400 in June, 300 more in July are 360 too much; 400 come in January 2028.
        "The money is short by £360 below what is kept back from June 2027 until January 2028.",
        "2 large works in 2027, where no more than 1 may be: Arch and Shed.",
        "June 2027 has 4 hours of work too much: Arch and Bed.",
    )


def test_a_year_that_counts_a_job_not_begun_says_so() -> None:
    late = problem(most_by_year=(30000, None)).changed({"arch": replace(ARCH, not_before=8)})
    said = broken(late, {"bed": 2, "arch": 3})
    # 50 and 400 where 300 may be spent, and where 400 less 10 is there.
    assert said[-2:] == (
        "The money is short by 60.00 below what is kept back from April 2027 until January 2028, with “Arch”, which was not begun.",
        "2027 would cost 150.00 more than a year may, with “Arch”, which was not begun.",
    )


def test_neighbouring_months_with_too_much_work_are_one_sentence() -> None:
    tight = problem(free_minutes=(200,) * 24)
    assert broken(tight, {"arch": 12}) == (
        "January 2028 to February 2028 have up to 1 hour of work too much each: Arch.",
    )


def test_money_that_comes_back_says_until_when() -> None:
    income = tuple(40000 if m in (0, 6) else 0 for m in range(24))
    rich = problem(budget=Budget(income))
    assert broken(rich, {"bed": 2, "arch": 3}) == ("The money is short by 50.00 from April 2027 until July 2027.",)


def test_a_move_says_what_is_newly_broken_and_what_is_mended() -> None:
    worse = moved(problem(), GOOD, "shed", 1)
    assert worse.breaks == ("Shed would begin before Bed is done and has stood 2 months.",)
    assert worse.mends == ()
    assert worse.share > 0
    back = moved(problem(), {**GOOD, "shed": 1}, "shed", 5)
    assert back.breaks == ()
    assert back.mends == worse.breaks
    assert back.share < 0


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "The garden gives as much use as now."),
        (0.0123, "The garden gives 1.2 in 100 more use."),
        (-0.3, "The garden gives 30.0 in 100 less use."),
    ],
)
def test_use_in_words(share: float, words: str) -> None:
    assert use_words(share) == words


def test_a_booked_job_that_is_moved_is_booked_anew() -> None:
    booked = problem().changed({"arch": Project(**{**ARCH.__dict__, "fixed_start": 12})})
    other, then = put_to(booked, GOOD, "arch", 13)
    assert other["arch"].fixed_start == 13
    assert check(other, then).sound
    assert not check(booked, then).sound


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 400), st.data())
def test_the_share_is_that_of_the_independent_checker(seed: int, data: st.DataObject) -> None:
    plan = tiny(seed)
    starts = {
        p.id: data.draw(st.sampled_from(plan.allowed_starts(p) or [0]))
        for p in plan.projects
        if data.draw(st.booleans())
    }
    job = data.draw(st.sampled_from([p.id for p in plan.projects]))
    to = data.draw(st.one_of(st.none(), st.integers(0, plan.months - 1)))
    found = moved(plan, starts, job, to)
    other, then = put_to(plan, starts, job, to)
    now = check(plan, starts).worth
    assert found.share == pytest.approx((check(other, then).worth - now) / now if now else 0.0)
    assert (not broken(other, then)) == check(other, then).sound
