"""What was done on a day: steps in words with who did them, no sum of money, and one picture of it."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest

from quincunx.board.day_done import NOTHING, day_json
from quincunx.board.outdoors_lists import lists_json
from quincunx.garden import Garden, apply
from quincunx.review.outdoor_notes import read_notes, turned
from quincunx.review.together import proof_key
from quincunx.sheets import Set
from quincunx.sheets._both_card import CARD_MM, png
from quincunx.sheets._day_card import MOST_LINES, DoneJob, title
from quincunx.sheets._outdoors import planned_whole
from tests.board.windows import Window
from tests.sheets.outdoors import demo, job, plot, set_for

DAY, JOB = "2027-04-03", "deer-fence-job"


def noted(garden: Garden, *values: dict[str, Any]) -> Set:
    whole = [
        {"id": f"n{n:023d}", "made": f"{v.get('day', DAY)}T10:{n:02d}:00Z", "day": DAY, "about": JOB, "phone": f"p{n}", **v}
        for n, v in enumerate(values)
    ]  # fmt: skip
    good, wrong = read_notes(whole)
    assert not wrong
    found = turned(garden, good)
    assert found.edit is not None
    return set_for(apply(garden, found.edit)[0])


def test_who_did_what_is_told_in_the_jobs_own_order_each_once() -> None:
    before = demo("ropewalk")
    plan = planned_whole(before, next(j for j in before.garden.jobs if j.id == JOB))
    buy = lists_json(before, plan)[0]["items"][0]
    first, check = plan.found.points[0].id, plan.found.diagonals[0]
    assert "£" in buy["words"]
    of = noted(
        before.garden,
        {"what": "ticked", "points": [buy["id"]], "text": buy["words"], "by": "Cleo"},
        {"what": "ticked", "points": [first], "text": "corner", "by": "Ben"},
        {"what": "ticked", "points": [first], "text": "corner", "by": "Ana"},
        {"what": "measured", "points": [check.end, check.start], "length": "4.2", "by": "Ana"},
        {"what": "spent", "sum": 4321, "by": "Dan", "text": "Mrs Secret’s shop"},
        {"what": "ticked", "points": [plan.found.points[1].id], "by": "Eve", "day": "2027-04-04"},
        {"what": "done", "by": "Ben"},
    )
    told = day_json(of, date.fromisoformat(DAY))
    assert told["title"] == "Saturday, 3 April 2027"
    assert told["people"] == "Ana, Ben and Cleo"
    (one,) = told["jobs"]
    assert one["name"] == "Fence against roe: finished"
    assert [re.sub(r".*\((.*)\)$", r"\1", line) for line in one["lines"]] == ["Ana and Ben", "Ana", "Cleo"]
    assert one["lines"][2] == "Mesh, posts, wire (Cleo)"
    assert not re.search(r"£|43\.21|4321|Secret|Eve|Dan", re.sub(r"<[^>]+>", " ", str(told)))
    assert proof_key((check.start, check.end)) not in str(told)


def test_the_picture_says_the_same_and_holds_no_place_on_the_map() -> None:
    before, where = demo("ropewalk"), demo("ropewalk").garden.site
    plan = planned_whole(before, next(j for j in before.garden.jobs if j.id == JOB))
    assert where.place is not None
    away = before.garden.changed(site=where.changed(place=where.place.changed(name="Upper Nowhere")))
    of = noted(away, *({"what": "ticked", "points": [p.id], "by": "Zoë"} for p in plan.found.points))
    told = day_json(of, date.fromisoformat(DAY))
    words = re.sub(r"<[^>]+>", " ", told["card"])
    for text in (of.garden.name, told["title"], "Zoë", "point 1 set", "rings where this day’s work was"):
        assert text in words
    place = of.garden.site.place
    assert place is not None
    assert place.name not in words
    assert f"{place.latitude_deg:g}" not in told["card"]
    assert told["wide_mm"] == CARD_MM
    assert png(told["card"], told["high_mm"]).startswith(b"\x89PNG")
    assert "£" not in told["card"]


def test_the_picture_speaks_of_no_ring_where_none_is_drawn() -> None:
    """What was bought for a job that makes nothing has no place."""
    costs = [{"words": "rake", "sum": 1900}]
    of = noted(plot(jobs=[job(start="2027-04", costs=costs)]), {"what": "done", "about": "work"})
    assert "ring" not in re.sub(r"<[^>]+>", " ", day_json(of, date.fromisoformat(DAY))["card"])


def test_of_many_steps_their_number_is_told() -> None:
    many = DoneJob("Fence", tuple((f"step {n}", "") for n in range(MOST_LINES + 2)), finished=False)
    assert many.lines[-1] == "and 2 more steps"
    assert DoneJob("Fence", (("step", "Ana"),), finished=False).lines == ["step (Ana)"]
    assert title(date(2027, 11, 6)) == "Saturday, 6 November 2027"


def test_a_day_without_work_says_so(window: Window) -> None:
    assert day_json(demo("ropewalk"), date(2027, 4, 3))["none"] == NOTHING
    assert window.get("/api/outdoors/day/2027-04-03")["card"] == ""


@pytest.mark.parametrize("day", ["today", "2027-13-40"])
def test_a_day_that_is_none_is_refused_with_a_sentence(window: Window, day: str) -> None:
    assert "Write it as 2027-11-06" in str(window.get(f"/api/outdoors/day/{day}", 422))
