"""What a wise neighbour would say: the tightest year, what would help most, what not to put off."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import Garden, garden_from, timeline
from quincunx.years.from_garden import problem_of
from quincunx.years.neighbour import neighbour


def said(garden: Garden) -> tuple[str, ...]:
    return neighbour(garden, problem_of(garden, timeline(garden)))


def yard(hours: float = 10, sum_a_year: int = 100000, **second: Any) -> Garden:
    return garden_from({
        "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
        "writing": {"currency": "EUR"},
        "features": [
            {"kind": "hedge", "id": "hedge", "line": [[1, 1], [9, 1]], "clip_height": 1.5},
            {"kind": "wall", "id": "wall", "line": [[1, 9], [9, 9]]},
        ],
        "jobs": [
            {"id": "plant", "name": "Plant", "does": ["hedge"], "costs": [{"words": "Whips", "sum": 8000}], "hours": 5,
             "window": [11, 12, 1, 2, 3], "worth": "much", "start": "2027-11"},
            {"id": "build", "name": "Build", "does": ["wall"], "costs": [{"words": "Brick", "sum": 190000}], "hours": 8,
             "window": [4, 5, 6, 7, 8, 9], "worth": "dearest", "start": "2028-04", **second},
        ],
        "means": {"first_year": 2027, "years": 4, "sum_a_year": sum_a_year, "hours_by_month": [hours] * 12},
    })  # fmt: skip


def test_the_tightest_year_is_the_one_with_least_left_and_names_what_takes_most():
    assert said(yard())[0] == (
        "2028 is the tightest year: €20 is left at its lowest, and 8 h of the 120 h that upkeep leaves are taken; "
        "of what begins then “Build” costs most."
    )


def test_where_hours_are_scarce_it_names_what_takes_longest_not_what_costs_most():
    """Both jobs in one year, the dear one short."""
    jobs = yard(hours=1.2, sum_a_year=9000000, start="2027-04")
    longer = jobs.model_copy(
        update={"jobs": tuple(j.model_copy(update={"hours": 9.0 if j.id == "plant" else 3.0}) for j in jobs.jobs)}
    )
    assert said(longer)[0].endswith("; of what begins then “Plant” takes longest.")


def test_no_money_is_wished_into_a_year_that_is_over():
    """The journal stands in 2028: more in 2027 would be no advice."""
    of = yard(start="2029-04", costs=[{"words": "Brick", "sum": 290000}])
    data = of.model_dump(mode="json")
    data["journal"] = [{"id": "one", "day": "2028-02-05", "what": "done", "about": "plant", "sum": 8000, "hours": 5}]
    assert "2027" in said(of)[1]
    assert "2027" not in said(garden_from(data))[1]


def test_money_missing_is_said_so():
    assert "is missing at its worst" in said(yard(sum_a_year=80000))[0]


def test_more_money_helps_where_money_holds_what_is_wanted_most():
    second = said(yard())[1]
    assert second.startswith("€100 more in 2027 would help most, by up to ")
    assert second.endswith("ten hours more would do little.")


def test_more_hours_help_where_hours_hold_it():
    second = said(yard(4, 900000, start=None))[1]
    assert second.startswith("Ten hours more in ")


def test_the_slowest_planting_is_not_to_be_put_off():
    last = said(yard())[-1]
    assert last.startswith("Whatever else slips, keep “Plant” in November 2027: it takes ")
    assert last.endswith("no money buys those back.")


def test_nothing_is_said_of_no_plan_or_of_nonsense():
    empty = yard()
    loose = empty.model_copy(update={"jobs": tuple(j.model_copy(update={"start": None}) for j in empty.jobs)})
    assert said(loose) == ()
    assert said(yard(months=24)) == ()


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_of_each_demonstration_three_things_are_said(name):
    sentences = said(demo_garden(name))
    assert len(sentences) == 3
    assert all(s.endswith(".") for s in sentences)
    assert "tightest year" in sentences[0]
    assert "Whatever else slips" in sentences[2]


def test_nothing_is_advised_for_months_gone_by():
    garden = yard(hours=2.5)
    problem = problem_of(garden, timeline(garden))
    then = neighbour(garden, problem, 12 * 2028 + 5)
    assert then[0].startswith("2028 is the tightest year")
    assert not any("2027" in sentence for sentence in then), then
    assert any("keep “Plant” in November 2027" in s for s in neighbour(garden, problem, 12 * 2027))
    assert neighbour(garden, problem, 12 * 2031) == ()
