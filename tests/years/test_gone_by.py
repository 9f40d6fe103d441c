"""An order in which jobs begin in months gone by says so."""

from __future__ import annotations

import pytest

from quincunx.years.gone_by import gone_by
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
