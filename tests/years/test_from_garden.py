"""The garden's jobs as a problem of the years, and the order found as an edit."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import Garden, apply, garden_from, timeline
from quincunx.years.checker import check
from quincunx.years.from_garden import edit_of, problem_of, starts_of
from quincunx.years.grown import grown_after_months, use_words
from quincunx.years.months import months_of
from quincunx.years.order import order
from quincunx.years.real import today_of
from quincunx.years.told import broken


def small(**more: Any) -> Garden:
    data: dict[str, Any] = {
        "format": "quincunx/1",
        "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
        "features": [
            {"kind": "hedge", "id": "hedge", "line": [[1, 1], [9, 1]], "clip_height": 1.5},
            {"kind": "wall", "id": "wall", "line": [[1, 9], [9, 9]]},
        ],
        "jobs": [
            {"id": "build", "name": "Build", "does": ["wall"], "costs": [{"words": "Brick", "sum": 90000}], "hours": 12,
             "months": 2, "large": True, "window": [4, 5, 6, 7, 8, 9], "worth": "much"},
            {"id": "plant", "name": "Plant", "does": ["hedge"], "costs": [{"words": "Whips", "sum": 8000}], "hours": 5,
             "window": [11, 12, 1, 2, 3], "worth": "much"},
        ],
        "means": {"first_year": 2027, "years": 4, "sum_a_year": 50000, "opening": 10000,
                  "hours_by_month": [8] * 12, "upkeep_by_month": [1] * 12, "spare_hours": 1},
    }  # fmt: skip
    return garden_from({**data, **more})


def test_hours_are_what_upkeep_and_spare_time_leave() -> None:
    problem = problem_of(small(), timeline(small()))
    assert set(problem.free_minutes) == {6 * 60}
    assert problem.months == 48
    assert [problem.budget.income[m] for m in (0, 1, 12, 13)] == [50000, 0, 50000, 0]


def test_a_sum_that_comes_once_comes_in_its_month() -> None:
    garden = small(means={**small().means.model_dump(), "one_off": [{"month": "2028-06", "sum": 30000}]})
    income = problem_of(garden, timeline(garden)).budget.income
    assert (income[12], income[17]) == (50000, 30000)
    assert sum(income) == 4 * 50000 + 30000


def test_a_hedge_is_of_use_when_it_has_closed_and_a_wall_at_once() -> None:
    garden = small()
    through = timeline(garden)
    build, plant = garden.jobs
    assert grown_after_months(through, build) == 0
    # Closure of a hornbeam hedge at 0.4 m: 2.5 to 3.5 years by the worked rule of the check-value book (growing 1.3).
    assert 24 <= grown_after_months(through, plant) <= 48


def test_what_stays_low_is_of_use_when_it_has_nearly_grown_not_when_it_stops_for_good() -> None:
    """Lavender comes ever nearer to half a metre; it is no wall, and nobody waits fifteen years for it."""
    area = {"kind": "planted-area", "id": "hedge", "outline": [[1, 1], [5, 1], [5, 3], [1, 3]]}
    wall = {"kind": "wall", "id": "wall", "line": [[1, 9], [9, 9]]}
    garden = small(features=[{**area, "plant": "lavandula-angustifolia"}, wall])
    assert 12 <= grown_after_months(timeline(garden), garden.jobs[1]) <= 48
    low = {"kind": "hedge", "id": "hedge", "line": [[1, 1], [9, 1]], "plant": "buxus-sempervirens", "clip_height": 0.4}
    edged = small(features=[{**low, "spacing": 0.2}, wall])
    assert grown_after_months(timeline(edged), edged.jobs[1]) <= 96


def test_what_a_climber_grows_on_is_built_first_unless_the_climber_stands_already() -> None:
    slats = {"kind": "pergola", "id": "wall", "line": [[4, 5], [8, 5]]}
    vine = {"kind": "climber", "id": "hedge", "line": [[4, 5], [8, 5]], "where": "over slats", "support": "wall"}
    garden = small(features=[slats, vine])
    needs = {p.id: [n.project for n in p.needs] for p in problem_of(garden, timeline(garden)).projects}
    assert needs == {"build": [], "plant": ["build"]}
    planted = small(
        features=[slats, vine], journal=[{"id": "e", "day": "2027-02-10", "about": "plant", "what": "done"}]
    )
    needs = {p.id: [n.project for n in p.needs] for p in problem_of(planted, timeline(planted)).projects}
    assert needs == {"build": [], "plant": []}


def test_the_order_found_is_sound_and_planted_first() -> None:
    garden = small()
    problem = problem_of(garden, timeline(garden))
    found = order(problem, seconds=5)
    assert found.proven
    assert found.starts is not None
    assert check(problem, found.starts).sound
    # Money for both is not there before the second year; the slow hedge goes in first.
    assert problem.month_words(found.starts["plant"]) == "January 2027"
    assert found.starts["build"] >= 12


def test_the_edit_writes_the_months_and_takes_them_back() -> None:
    garden = small()
    problem = problem_of(garden, timeline(garden))
    found = order(problem, seconds=5)
    planned, inverse = apply(garden, edit_of(garden, problem, found.starts or {}))
    assert starts_of(planned, problem_of(planned, timeline(planned))) == found.starts
    assert all(j.start for j in planned.jobs)
    assert apply(planned, inverse)[0] == garden
    assert edit_of(planned, problem, found.starts or {}).ops == ()


def test_booked_and_done_jobs_stay_where_they_are() -> None:
    jobs = [j.model_dump() for j in small().jobs]
    jobs[1] |= {"start": "2028-02", "booked": True}
    journal = [
        {"id": "e1", "day": "2027-06-20", "what": "done", "about": "build"},
        {"id": "e2", "day": "2027-05-04", "what": "spent", "about": "build", "sum": 42000},
    ]
    garden = small(jobs=jobs, journal=journal)
    problem = problem_of(garden, timeline(garden))
    assert problem["plant"].fixed_start == 13
    assert (problem["build"].done, problem["build"].fixed_start) == (False, 4)
    assert problem["build"].payments == ((0, 42000),)
    found = order(problem, seconds=5)
    assert found.starts is not None
    assert found.starts["plant"] == 13
    assert edit_of(garden, problem, found.starts).ops == ()


@pytest.mark.parametrize("word", ["none", "some", "much", "dearest"])
def test_every_word_for_worth_has_its_points(word: str) -> None:
    jobs = [{**j.model_dump(), "worth": word} for j in small().jobs]
    garden = small(jobs=jobs)
    points = {p.worth for p in problem_of(garden, timeline(garden)).projects}
    assert points == {{"none": 0, "some": 20, "much": 40, "dearest": 80}[word]}


def test_a_rest_due_later_is_paid_later_and_waits_for_its_money() -> None:
    jobs = [j.model_dump() for j in small().jobs]
    jobs[0]["costs"] = [
        {"words": "Deposit", "sum": 20000},
        {"words": "Rest", "sum": 60000, "months_later": 2},
        {"words": "Tip", "sum": 500, "months_later": 2},
    ]
    garden = small(jobs=jobs)
    problem = problem_of(garden, timeline(garden))
    assert problem["build"].payments == ((0, 20000), (2, 60500))
    found = order(problem, seconds=5)
    # 60,000 in hand and 8,000 for the hedge in 2027: the rest falls due in 2028 at the earliest.
    assert found.starts is not None
    assert found.starts["build"] + 2 >= 12
    planned = apply(garden, edit_of(garden, problem, found.starts))[0]
    spent = {m.month - 2027 * 12: m.spent for m in months_of(planned) if m.spent}
    assert spent[found.starts["build"]] == 20000
    assert spent[found.starts["build"] + 2] == 60500


def test_waiting_can_cost_more_or_nothing() -> None:
    means = small().means.model_dump()
    patient = small(means={**means, "waiting": 0.0})
    problem = problem_of(patient, timeline(patient))
    assert problem.discount == 0
    assert problem.weight(0) == problem.weight(40)
    assert problem_of(small(), timeline(small())).discount == 0.04


def hedged(by: int, start: str | None = "2027-11", **must: Any) -> Garden:
    jobs = [j.model_dump() for j in small().jobs]
    jobs[1]["start"] = start
    return small(
        jobs=jobs,
        intents=[{"kind": "hedge-closed", "id": "closed", "feature": "hedge", "high": 1.2, "by": by, **must}],
    )


def test_what_must_have_grown_by_a_year_is_begun_in_time() -> None:
    garden = hedged(2036)
    spare = garden.intents[0].spare_years(timeline(garden))["hedge"]
    assert spare > 1
    for by in (2036 - spare, 2036 - spare + 1):
        tight = hedged(by)
        problem = problem_of(tight, timeline(tight))
        p = problem["plant"]
        assert p.deadline is not None
        latest = p.deadline - p.use_after_months
        assert latest == 10 + 12 * (by - (2036 - spare))
        at_last, _ = apply(tight, edit_of(tight, problem, {"plant": latest}))
        late, _ = apply(tight, edit_of(tight, problem, {"plant": latest + 12}))
        assert at_last.intents[0].spare_years(timeline(at_last))["hedge"] >= 0
        assert late.intents[0].spare_years(timeline(late))["hedge"] < 0
        assert max(problem.allowed_starts(p)) <= latest
        said = broken(problem, {"plant": latest + 12})
        assert said == (
            f"Plant would begin too late to be ready in time: it has to begin by November {2027 + by - (2036 - spare)}.",
        )


def test_what_can_never_be_in_time_or_is_left_aside_gives_no_date() -> None:
    for garden in (hedged(2028), hedged(2036, muted=True), hedged(2036, start=None), hedged(2090)):
        assert problem_of(garden, timeline(garden))["plant"].deadline is None


def lost(*more: dict[str, Any]) -> Garden:
    """A hedge planted in November 2027, all of it lost the June after."""
    gone = {"id": "gone", "what": "lost", "about": "hedge", "day": "2028-06-10"}
    jobs = [job.model_dump(mode="json") for job in small().jobs]
    jobs[1]["start"] = "2027-11"
    return small(
        jobs=jobs, journal=[{"id": "planted", "what": "done", "about": "plant", "day": "2027-11-20"}, gone, *more]
    )


def test_a_hedge_that_was_lost_grows_from_when_it_is_planted_again() -> None:
    """Of use so long after the month of planting it again: as the care calendar has it, or as it was in truth."""
    whole = small(jobs=lost().model_dump(mode="json")["jobs"])
    job = whole.jobs[1]
    grows = grown_after_months(timeline(whole), job)
    assert use_words(timeline(whole), job) == f"Of use {grows // 12} years after it is planted: it has to grow first."
    # It stood from December 2027; bare roots are planted again from November 2028 on.
    assert grown_after_months(timeline(lost()), job) == grows + 11
    assert problem_of(lost(), timeline(lost()))["plant"].lag_months == grows + 11
    assert use_words(timeline(lost()), job) == (
        f"It is lost, and grows anew once planted again in November 2028: of use from November {2028 + grows // 12}."
    )
    again = lost({"id": "again", "what": "replanted", "about": "hedge", "day": "2029-03-05"})
    assert grown_after_months(timeline(again), job) == grows + 15
    assert "was lost and planted again in March 2029" in use_words(timeline(again), job)
    early = lost()
    early = small(
        jobs=early.model_dump(mode="json")["jobs"],
        journal=[{"id": "g", "what": "lost", "about": "hedge", "day": "2026-01-01"}],
    )
    assert grown_after_months(timeline(early), job) == grows
    assert use_words(timeline(lost()), lost().jobs[0]) == ""


def test_a_hedge_that_lost_some_of_its_plants_is_of_use_when_those_have_grown() -> None:
    """Five of its plants die in June: the care calendar has them planted again in November, and the gap closes from then."""
    whole = small(jobs=lost().model_dump(mode="json")["jobs"])
    job = whole.jobs[1]
    grows = grown_after_months(timeline(whole), job)

    def some(*more: dict[str, Any]) -> Garden:
        jobs = lost().model_dump(mode="json")["jobs"]
        done = {"id": "planted", "what": "done", "about": "plant", "day": "2027-11-20"}
        gone = {"id": "gone", "what": "lost", "about": "hedge", "day": "2028-06-10", "amount": 5}
        return small(jobs=jobs, journal=[done, gone, *more])

    assert grown_after_months(timeline(some()), job) == grows + 11
    assert use_words(timeline(some()), job) == (
        "It lost 5 of its plants, to be planted again in November 2028: closed, and of use, from"
        f" November {2028 + grows // 12}."
    )
    back = {"what": "replanted", "about": "hedge", "amount": 5}
    again = some({"id": "again", "day": "2029-03-05", **back})
    assert grown_after_months(timeline(again), job) == grows + 15
    assert "It lost 5 of its plants, planted again in March 2029:" in use_words(timeline(again), job)
    half = some({"id": "again", "day": "2029-03-05", **back, "amount": 2})
    assert use_words(timeline(half), job).startswith("It lost 3 of its plants, to be planted again in March 2029"), (
        "not in the autumn that is over"
    )


def test_planning_again_does_not_hurry_to_a_hedge_that_is_lost() -> None:
    """What is only of use together with the hedge is not moved to where the dead one would have closed."""
    at = today_of(lost(), "2028-07")
    grows = grown_after_months(timeline(small()), lost().jobs[1])
    plant = at.problem["plant"]
    assert plant.done
    assert plant.fixed_start is not None
    assert plant.fixed_start + plant.use_after_months == 4 + grows  # from November 2028 on
