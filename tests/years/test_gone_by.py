"""An order in which jobs begin in months gone by says so."""

from __future__ import annotations

import pytest

from quincunx.years.gone_by import from_now, gone_by, months_gone
from quincunx.years.problem import Budget, Problem, Project


def two(**first: object) -> Problem:
    """Return a plan of five years from January 2025 with two jobs, the first as given."""
    jobs = (Project("shed", "Finish the shed", **first), Project("hedge", "Plant the hedge"))  # type: ignore[arg-type]
    return Problem(2025, 1, jobs, Budget((0,) * 60), (600,) * 60)


@pytest.mark.parametrize(
    ("starts", "said"),
    [
        ({}, ""),
        ({"shed": 22, "hedge": 30}, ""),  # November 2026 is not gone by
        (
            {"shed": 21, "hedge": 30},
            "It is November 2026: “Finish the shed” would begin before that, and the journal says",
        ),
        (
            {"shed": 0, "hedge": 4},
            "It is November 2026: 2 jobs would begin before that, and the journal says nothing of it.",
        ),
    ],
)
def test_jobs_that_would_begin_before_today_are_told(starts, said):
    told = gone_by(two(), starts, (2026, 11))
    assert told.startswith(said)
    assert bool(told) == bool(said)


@pytest.mark.parametrize(
    "first", [{"happened": "done"}, {"happened": "begun", "fixed_start": 3}, {"done": True, "fixed_start": -2}]
)
def test_what_the_journal_knows_of_keeps_its_month(first):
    assert gone_by(two(**first), {"shed": 3, "hedge": 40}, (2026, 11)) == ""


def test_before_the_plan_begins_nothing_has_gone_by():
    assert gone_by(two(), {"shed": 0, "hedge": 4}, (2024, 12)) == ""


@pytest.mark.parametrize(("today", "gone"), [(12 * 2024 + 11, 0), (12 * 2025, 0), (12 * 2026 + 10, 22)])
def test_months_gone_are_counted_from_the_plans_first(today, gone):
    assert months_gone(two(), today) == gone


def test_nothing_to_come_begins_in_months_gone_by():
    left = from_now(two(), {"hedge": 30}, 12 * 2026 + 10)
    assert [p.not_before for p in left.projects] == [22, 22]
    assert left.allowed_starts(left["hedge"])[0] == 22


@pytest.mark.parametrize(
    "first", [{}, {"happened": "done"}, {"happened": "begun", "fixed_start": 3}, {"fixed_start": 3}]
)
def test_what_is_set_to_a_month_gone_by_keeps_it(first):
    assert from_now(two(**first), {"shed": 3, "hedge": 30}, 12 * 2026 + 10)["shed"].not_before == 0


def test_before_the_plan_begins_the_problem_stays_as_it_is():
    problem = two()
    assert from_now(problem, {"shed": 0, "hedge": 4}, 12 * 2024 + 11) is problem
