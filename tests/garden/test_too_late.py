"""Dates that can't be kept: named once, in one sentence with what to do; held to judging the must in the year it offers."""

from __future__ import annotations

import re

import pytest

from quincunx.garden import Garden, timeline
from quincunx.garden.too_late import TooLate, stands_at, too_late
from quincunx.review import notice
from quincunx.review._view import View
from quincunx.review.read import words_for
from quincunx.shapes import State
from quincunx.units.dates import month_index
from quincunx.years.faults import faults
from quincunx.years.from_garden import problem_of
from quincunx.years.real import today_of

PLANT = {
    "id": "plant",
    "name": "Plant the screen",
    "does": ["screen"],
    "start": "2028-03",
    "months": 1,
    "window": [2, 3],
    "hours": 6,
}
NUTS = {
    "id": "nutting",
    "name": "Plant the nut",
    "does": ["nut"],
    "start": "2028-03",
    "months": 1,
    "window": [2, 3],
    "hours": 2,
}
HIDES = {"kind": "plants-hide", "id": "hidden", "feature": "screen", "high": 1.4}
CLOSED = {"kind": "hedge-closed", "id": "closed", "feature": "screen", "high": 1.2}
BEARS = {"kind": "bears", "id": "nuts", "plantings": ["nut"]}
PICKED = {"kind": "harvest-at-least", "id": "basket", "kilograms": 1.0}
SEEN = {"kind": "sees", "id": "seen", "eye": "gate", "target": "screen"}


def garden(*musts, jobs=(PLANT, NUTS), journal=()):
    return Garden.model_validate(
        {
            "format": "quincunx/1", "name": "Nuttery", "boundary": [[0, 0], [30, 0], [30, 30], [0, 30]],
            "site": {"place": {"latitude_deg": 52.1, "longitude_deg": 0.5}},
            "means": {"first_year": 2027, "years": 8, "hours_by_month": [10.0] * 12, "sum_a_year": 100000},
            "features": [
                {"kind": "hedge", "id": "screen", "name": "Screen", "line": [[2, 10], [14, 10]]},
                {"kind": "tree", "id": "nut", "name": "Cobnut", "plant": "corylus-avellana", "at": [8, 20], "variety": "Early red"},
                {"kind": "tree", "id": "partner", "name": "Old nut", "plant": "corylus-avellana", "at": [12, 20],
                 "variety": "Long green", "there_from": "start", "age_at_start": 12},
                {"kind": "hedge", "id": "old-hedge", "name": "Old hedge", "line": [[2, 25], [14, 25]], "there_from": "start", "age_at_start": 12},
            ],
            "spots": [{"id": "gate", "name": "Gate", "at": [1, 1], "height": 1.6}],
            "jobs": list(jobs), "intents": list(musts), "journal": list(journal),
        }
    )  # fmt: skip


def told(one: Garden, month: str | None = None) -> tuple[TooLate, ...]:
    through = timeline(one)
    return too_late(one, through, words_for(one, through), None if month is None else month_index(month))


def year_in(pattern: str, words: str) -> int:
    found = re.search(pattern, words)
    assert found is not None, words
    return int(found[1])


def state(one: Garden, year: int) -> State:
    through = timeline(one)
    return one.intents[0].judge(through, year, words_for(one, through)).state


@pytest.mark.parametrize("must", [HIDES, CLOSED, BEARS, PICKED | {"plantings": ["nut"]}], ids=lambda m: m["kind"])
def test_a_year_before_the_plan_is_named_with_a_year_that_can_be_had(must):
    (late,) = told(garden(must | {"by": 2024}))
    assert late.id == must["id"]
    assert late.sentence.count(".") == 1 + late.sentence.count("1.")  # one sentence, whatever lengths it names
    assert "by 2024” asks for a year that is past; as planned it comes in" in late.sentence
    year = year_in(r"set the must to (\d+) or later", late.sentence)
    assert state(garden(must | {"by": year}), year) is State.HOLDS
    assert state(garden(must | {"by": year - 1}), year - 1) is State.FAILS


def test_what_is_never_in_sight_says_so_and_what_was_reached_in_its_year_is_not_late():
    (late,) = told(garden(PICKED | {"kilograms": 900.0, "by": 2025}))
    assert "as planned it is not in sight; plan what it needs" in late.sentence
    assert told(garden(CLOSED | {"feature": "old-hedge", "by": 2026})) == ()
    assert told(garden(BEARS | {"by": 2024, "muted": True})) == ()


@pytest.mark.parametrize("must", [HIDES, CLOSED, BEARS], ids=lambda m: m["kind"])
def test_what_can_still_be_planted_in_time_is_left_to_the_order_and_what_cannot_is_named(must):
    soonest = (PLANT | {"start": "2027-03"}, NUTS | {"start": "2027-03"})
    year = next(y for y in range(2027, 2045) if state(garden(must | {"by": y}, jobs=soonest), y) is State.HOLDS)
    assert told(garden(must | {"by": year})) == ()  # as planned a year late, but March 2027 is still to come
    (late,) = told(garden(must | {"by": year - 1}))
    assert f"even if planted in March 2027 it comes in {year}; set the must to {year} or later" in late.sentence
    # Once that March is over, the next is meant.
    (late,) = told(garden(must | {"by": year}), "2027-06")
    assert f"even if planted in March 2028 it comes in {year + 1}" in late.sentence


def test_larger_plants_that_would_be_in_time_even_so_are_named():
    (late,) = told(garden(HIDES | {"by": 2030}))
    assert late.remedy.endswith("or take it out (in time even so: larger plants, 0.9 m).")


def test_what_stands_already_is_told_as_it_stands():
    done = ({"id": "e1", "day": "2028-03-20", "what": "done", "about": "nutting", "hours": 2},)
    one = garden(BEARS | {"by": 2029}, journal=done)
    (late,) = told(one)
    year = year_in(r"as Cobnut stands, it comes in (\d+)", late.words)
    assert state(garden(BEARS | {"by": year}, journal=done), year) is State.HOLDS
    assert state(garden(BEARS | {"by": year - 1}, journal=done), year - 1) is State.FAILS


def test_what_was_planted_again_is_told_as_it_stands_though_nobody_wrote_down_that_its_job_was_done():
    journal = tuple(
        {"id": what, "day": day, "what": what, "about": "nut"}
        for day, what in (("2029-06-10", "lost"), ("2029-12-05", "replanted"))
    )
    (late,) = told(garden(BEARS | {"by": 2031}, journal=journal))
    year = year_in(r"as Cobnut stands, it comes in (\d+)", late.words)
    assert late.remedy == f"Set the must to {year} or later, or take it out."
    assert state(garden(BEARS | {"by": year}, journal=journal), year) is State.HOLDS
    assert state(garden(BEARS | {"by": year - 1}, journal=journal), year - 1) is State.FAILS


def test_a_must_asked_from_a_past_year_of_what_only_comes_later():
    one = garden(SEEN | {"from_year": 2025})
    (late,) = told(one)
    assert late.sentence.endswith(
        "is asked from 2025 on, which is past, but Screen stands from 2028; ask it from 2028 on, or give it no year."
    )
    assert told(garden(SEEN | {"from_year": 2028})) == ()
    (late,) = told(garden(SEEN | {"from_year": 2025}, jobs=(PLANT | {"start": None}, NUTS)))
    assert late.sentence.endswith("Screen is not in the plan; plan it, or take the must out.")


def test_a_job_set_before_the_plan_of_which_the_journal_knows_nothing():
    old = PLANT | {"start": "2025-03", "booked": True}
    (late,) = told(garden(jobs=(old, NUTS)))
    assert late.sentence == (
        "“Plant the screen” is booked for March 2025, before the plan begins in 2027; "
        "write in the journal that it was done, or give it another month."
    )
    done = ({"id": "e1", "day": "2025-03-20", "what": "done", "about": "plant", "hours": 2},)
    assert told(garden(jobs=(old, NUTS), journal=done)) == ()


def test_it_is_noticed_as_a_fault_and_the_order_is_found_all_the_same():
    begun = ({"id": "e1", "day": "2030-06-02", "what": "done", "about": "nutting", "hours": 2},)
    one = garden(HIDES | {"by": 2030}, journal=begun)
    through = timeline(one)
    (finding,) = [f for f in notice(View(one, through, words_for(one, through))) if f.id == "too-late-hidden"]
    assert (finding.severity.value, finding.about) == ("fault", ("screen",))
    assert finding.words.startswith("“Screen hides what is behind it up to 1.40 m by 2030” can't be kept any more: ")
    problem = problem_of(one, through)
    assert faults(problem) == []
    assert problem["plant"].deadline is None
    (note,) = [n for n in today_of(one, "2030-07").notes if "hides" in n]
    assert note == told(one, "2030-07")[0].sentence


def test_the_verdict_of_a_year_before_the_plan_asks_for_no_planting_in_the_past():
    one = garden(BEARS | {"by": 2024})
    through = timeline(one)
    because = one.intents[0].judge(through, 2029, words_for(one, through)).because
    assert "2024 was over before the plan begins: ask for" in because
    assert "earlier" not in because


def test_with_an_empty_journal_the_present_month_counts_and_nothing_is_advised_before_it():
    """A plan from 2027 on, looked at in June 2028 with nothing written down: the next March is that of 2029."""
    one = garden(HIDES | {"by": 2030})
    through = timeline(one)
    view = View(one, through, words_for(one, through), today=12 * 2028 + 5)
    (finding,) = [f for f in notice(view) if f.id == "too-late-hidden"]
    assert "even if planted in March 2029" in finding.words


def test_time_never_stands_before_the_plan_or_the_last_work_written_down():
    begun = {"id": "a", "day": "2028-03-04", "what": "begun", "about": "plant"}
    assert stands_at(garden(), 12 * 2020) == 12 * 2027
    assert stands_at(garden(journal=(begun,)), 12 * 2027 + 6) == 12 * 2028 + 2
    assert stands_at(garden(journal=(begun,)), 12 * 2029) == 12 * 2029
