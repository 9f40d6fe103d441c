"""Hours of a job in the plan beside the counted ones: a note where they are far more, and nothing changed by itself."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import apply, garden_from, timeline
from quincunx.garden.costing import Costed, costed
from quincunx.garden.document import Garden
from quincunx.garden.hours_apart import apart_words, far_apart, take_hours

COURT = {"kind": "paving", "id": "court", "outline": [[5, 0], [9, 0], [9, 3], [5, 3]],
         "finishes": [{"id": "first", "floor": "gravel"}]}  # fmt: skip


def garden(hours: float, **more: Any) -> Garden:
    job = {
        "id": "court",
        "name": "Gravel the court",
        "does": ["court"],
        "hours": hours,
        "costs": [{"words": "in all", "sum": 9000}],
    }
    return garden_from({"format": "quincunx/1", "features": [COURT], "jobs": [job]} | more)


def only(g: Garden) -> Costed:
    return costed(g, timeline(g))[0]


def counted_h() -> float:
    return only(garden(0)).reckoned.hours


@pytest.mark.parametrize(("share", "said"), [(1.0, False), (0.7, False), (0.6, True), (2.1, False), (9.0, False)])
def test_more_than_a_half_of_what_is_planned_is_worth_a_word(share: float, said: bool) -> None:
    g = garden(share * counted_h())
    assert far_apart(g, only(g)) is said
    assert bool(apart_words(g, only(g))) is said


def test_it_is_said_how_far_they_lie_apart_and_where_there_are_none() -> None:
    much = round(counted_h())
    assert much > 2
    g = garden(1)
    assert apart_words(g, only(g)) == f"The plan has 1 h for it; counted from its work: about {much} h."
    none = garden(0)
    assert apart_words(none, only(none)).startswith("The plan has no hours for it; ")


def test_less_than_an_hour_is_not_worth_a_word() -> None:
    small = {**COURT, "outline": [[5, 0], [5.4, 0], [5.4, 0.5], [5, 0.5]]}
    g = garden(0.05, features=[small])
    assert 0.05 < only(g).reckoned.hours < 1
    assert not far_apart(g, only(g))


def test_what_has_nothing_counted_or_is_done_is_left() -> None:
    bare = garden_from({"format": "quincunx/1", "jobs": [{"id": "court", "name": "Clear up", "hours": 40}]})
    assert only(bare).reckoned.hours == 0
    assert apart_words(bare, only(bare)) == ""
    done = garden(1, journal=[{"id": "note", "day": "2027-05-01", "what": "done", "about": "court"}])
    assert apart_words(done, only(done)) == ""


def test_taking_the_counted_hours_leaves_the_sums_and_goes_back() -> None:
    g = garden(1)
    assert apart_words(g, only(g))
    then, undo = apply(g, take_hours(only(g)))
    job = then.jobs[0]
    assert job.hours == pytest.approx(counted_h(), abs=0.05)
    assert job.hours_worked_out
    assert job.costs == g.jobs[0].costs
    assert apart_words(then, only(then)) == ""
    assert apply(then, undo)[0] == g
