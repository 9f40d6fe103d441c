"""An order in which jobs begin in months gone by says so."""

from __future__ import annotations

import pytest

from quincunx.years.checker import check
from quincunx.years.gone_by import from_now, gone_by, months_gone, only_ahead
from quincunx.years.order import order
from quincunx.years.problem import Budget, Problem, Project
from quincunx.years.why import why


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


@pytest.mark.parametrize(
    ("first", "months"),
    [
        ({}, [22, 22]),
        ({"happened": "begun", "fixed_start": 3}, [0, 22]),
        ({"done": True, "fixed_start": -2}, [0, 22]),
        ({"fixed_start": 5}, [0, 22]),  # booked: only the person knows
        ({"not_before": 30}, [30, 22]),
    ],
)
def test_an_order_looked_for_anew_begins_nothing_in_the_past(first, months):
    assert [p.not_before for p in only_ahead(two(**first), 12 * 2026 + 10).projects] == months


def test_a_date_that_can_not_be_met_any_more_does_not_bind_but_the_job_must_be_done():
    late = only_ahead(two(deadline=10), 12 * 2026 + 10)["shed"]
    assert (late.deadline, late.must) == (None, True)
    still = only_ahead(two(deadline=40), 12 * 2026 + 10)["shed"]
    assert (still.deadline, still.must) == (40, False)


@pytest.mark.parametrize("today", [12 * 2024, 12 * 2025, 12 * 2030])
def test_before_and_after_the_plan_it_stays_as_it_is(today):
    problem = two()
    assert only_ahead(problem, today) == problem


def test_the_best_order_found_begins_in_the_present_month_or_later():
    problem = only_ahead(two(worth=5, payments=((0, 0),)), 12 * 2026 + 10)
    found = order(problem, effort=0.5, start_from={"shed": 0, "hedge": 4})
    assert found.starts is not None
    assert min(found.starts.values()) >= 22
    assert check(problem, found.starts).sound
    assert why(problem, found.starts)["shed"].reason == "no earlier month is left"
