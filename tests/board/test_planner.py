"""The years month by month over the wire: tries, the search for the best order, reasons, asides."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from quincunx.board.finder import Finder, Search, document
from quincunx.board.kept import StoodCache
from quincunx.board.standing import Standing
from quincunx.store import Store
from quincunx.years.explained import written
from quincunx.years.order import Order, order
from tests.board.garden import small
from tests.board.windows import Window, change, put, until


def job(window: Window, name: str) -> dict[str, Any]:
    return next(j for j in window.get("/api/years")["jobs"] if j["id"] == name)


def tried(window: Window, name: str, start: int | None) -> dict[str, Any]:
    answer: dict[str, Any] = {}

    def done() -> bool:
        nonlocal answer
        answer = window.post("/api/years/try", {"job": name, "start": start, "window": "a"})
        return answer["left"] == 0 and not answer["superseded"]

    until(done)
    return answer


def test_every_month_and_every_job_is_told(window):
    told = window.get("/api/years")
    assert told["years"] == [2027, 2028, 2029]
    assert {len(told["money"][k]) for k in ("in", "spent", "left")} == {36}
    assert {len(told["hours"][k]) for k in ("given", "upkeep", "worked")} == {36}
    hedge = job(window, "plant-hedge")
    assert (hedge["start"], hedge["end"], hedge["state"]) == (10, 11, "planned")
    assert hedge["does"] == ["hedge"]
    assert (
        sum(told["money"]["in"])
        - sum(told["money"]["spent"])
        + window.get("/api/garden")["garden"].get("means", {}).get("opening", 0)
        == told["money"]["left"][-1]
    )


def test_a_bill_to_come_for_what_is_begun_is_told_with_its_year(window):
    assert window.get("/api/years")["owed"] == []
    dear = {"costs": [{"words": "Whips", "sum": 900000}], "hours": 60, "start": "2027-11"}
    window.edit(change("jobs", "plant-hedge", **dear))
    line = {"id": "j1", "day": "2027-11-06", "what": "begun", "about": "plant-hedge", "sum": 1000}
    window.edit(put("journal", line))
    (told,) = window.get("/api/years")["owed"]
    assert told[:4] in {"2027", "2028", "2029"}
    assert "still to pay for “Plant the hedge”, which is begun" in told


def test_a_try_says_what_would_change_and_changes_nothing(window):
    before = window.get("/api/years")
    answer = tried(window, "plant-hedge", 22)
    assert answer["words"].endswith("less use.")
    assert answer["share"] < 0
    assert answer["money"]["left"] != before["money"]["left"]
    assert window.get("/api/garden")["revision"] == 0
    assert window.get("/api/years") == before


def test_a_try_judges_the_musts_it_touches_as_the_edit_then_does(window):
    answer = tried(window, "plant-hedge", 34)
    states = {m["id"]: [v["state"] for v in m["verdicts"]] for m in answer["verdicts"]}
    window.edit(change("jobs", "plant-hedge", start="2029-11"))

    def judged() -> bool:
        return not window.get("/api/table")["stale"]

    until(judged)
    musts = {m["id"]: [v["state"] for v in m["verdicts"]] for m in window.get("/api/table")["musts"]}
    assert states.items() <= musts.items()


def test_leaving_a_job_out_is_a_try_too(window):
    answer = tried(window, "plant-hedge", None)
    assert answer["start"] is None
    assert answer["share"] < 0


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({"job": "no-such", "start": 3}, 404), ({"job": "plant-hedge", "start": 99}, 422), ({"job": "plant-hedge", "start": "x"}, 422),
        ({"start": 3}, 422), ({"job": "plant-hedge", "start": -1}, 422),
    ],
)  # fmt: skip
def test_nonsense_is_refused_in_one_sentence(window, body, status):
    assert window.post("/api/years/try", body, status)["error"].endswith(".")


def test_what_the_journal_calls_done_cant_be_moved(window):
    window.edit(put("journal", {"id": "one", "day": "2027-11-20", "what": "done", "about": "plant-hedge"}))
    assert job(window, "plant-hedge")["state"] == "done"
    assert job(window, "plant-hedge")["fits"] == []
    window.post("/api/years/try", {"job": "plant-hedge", "start": 3}, 422)


def search(window: Window, seconds: float = 20) -> dict[str, Any]:
    if window.get("/api/garden")["garden"]["means"]["hours_by_month"][0] == 4:
        window.edit(change("means", None, hours_by_month=[14] * 12))
    window.post("/api/years/find", {"seconds": seconds})
    until(lambda: window.get("/api/years/found")["over"])
    found: dict[str, Any] = window.get("/api/years/found")
    return found


def test_the_best_order_is_found_taken_and_kept_with_the_file(window, file):
    assert window.get("/api/years/found") == {"asked": False}
    found = search(window)
    assert found["proven"]
    assert found["how_sure"] == "Nothing better exists."
    taken = window.post("/api/years/take", {})
    assert taken["changed"] == len(found["moves"])
    jobs = {j["id"]: j["start"] for j in window.get("/api/years")["jobs"]}
    assert {k: v for k, v in jobs.items() if v is not None} == found["starts"]
    after = window.get("/api/years/found")
    assert after["asked"]
    assert after["moves"] == []
    assert after["words"] == "The order that is written is the best there is."
    with Store.open(file, keep=False) as store:
        assert store.revision == 2  # the hours, the order
    window.post("/api/undo", {})
    assert window.get("/api/years/found")["moves"] == found["moves"]


def test_an_order_taken_is_remembered_though_the_garden_is_another_problem_with_it():
    means = {"first_year": 2027, "years": 3, "sum_a_year": 50000, "hours_by_month": [14] * 12}
    at, after = (Standing.of(small(means=means), StoodCache()) for _ in range(2))
    starts = dict(written(at.garden, at.problem))
    worth = at.problem.worth(starts)
    took = Search(at, 1.0, best=Order(starts, worth, worth, proven=True, rule="", seconds=1.0), over=True)
    nowhere: Any = SimpleNamespace(store=None)
    finder = Finder(nowhere)
    after.__dict__["problem"] = at.problem.changed(tail_months=59)
    assert finder.search(after) is None
    finder.taken(took, after)
    kept = finder.search(after)
    assert kept is not None
    told = document(kept, after)
    assert told["words"] == "The order that is written is the best that is known."
    assert told["how_sure"].startswith("It was found and taken.")
    assert not told["proven"]


def test_a_pinned_job_stays_where_it_is(window):
    window.edit(change("jobs", "plant-hedge", start="2028-12", booked=True))
    found = search(window)
    assert found["starts"]["plant-hedge"] == 23
    assert all(m["id"] != "plant-hedge" for m in found["moves"])


def test_another_garden_has_not_been_looked_at(window):
    search(window)
    window.edit(change("means", None, sum_a_year=1))
    assert window.get("/api/years/found") == {"asked": False}


def test_a_search_can_be_stopped_and_wants_a_sensible_time(window):
    window.post("/api/years/find", {"seconds": 60})
    assert window.post("/api/years/stop", {})["over"]
    for seconds in (0, 1e9, "long"):
        window.post("/api/years/find", {"seconds": seconds}, 422)


def test_jobs_that_contradict_themselves_are_named(window):
    window.edit(change("jobs", "lay-path", window=[3]))
    told = window.get("/api/years")
    assert told["nonsense"]
    assert len(told["breaks"]) == 1
    assert search(window)["no_plan"]
    assert window.get("/api/years/why")["why"] == {}


def test_reasons_are_sentences(window):
    why = window.get("/api/years/why")["why"]
    assert set(why) == {"plant-hedge", "lay-path"}
    assert all(words.endswith(".") for words in why.values())
    assert window.get("/api/years/earlier", job="plant-hedge")["words"] == ""  # it is in the first year
    window.edit(change("jobs", "plant-hedge", start="2029-11"), change("means", None, hours_by_month=[14] * 12))
    asked = window.get("/api/years/earlier", job="plant-hedge")
    assert asked["words"]
    assert not asked["impossible"]


def test_what_would_let_a_job_in(window):
    window.edit(change("jobs", "lay-path", start=None), change("means", None, hours_by_month=[14] * 12))
    assert window.get("/api/years/way-in", job="lay-path")["sentences"]
    assert window.get("/api/years/all-wishes")["possible"]
    window.edit(change("means", None, sum_a_year=10000))
    wishes = window.get("/api/years/all-wishes")
    assert not wishes["possible"]
    assert wishes["ways"]


def test_what_if_how_safe_soon_and_again(window):
    window.edit(change("means", None, hours_by_month=[14] * 12))
    asked = window.post("/api/years/what-if", {"ask": "money=-50%"})
    assert asked["words"].startswith("With 50 in 100 less money a year")
    assert [y for y, _, _ in asked["curve"]] == [2027, 2028, 2029]
    safe = window.get("/api/years/safe")
    assert [y["year"] for y in safe["years"]] == [2027, 2028, 2029]
    assert "words" in window.get("/api/years/safe", wanted=0.6)
    soon = window.get("/api/years/soon", month="2027-11")
    assert [m["words"] for m in soon["months"]] == ["November 2027", "December 2027"]
    assert any(t["job"] == "plant-hedge" for t in soon["months"][0]["tasks"])
    again = window.post("/api/years/again", {"month": "2028-03"})
    assert again["possible"]
    assert again["notes"]
    assert {r["id"] for r in again["rows"]} <= {"plant-hedge", "lay-path"}
    assert window.get("/api/garden")["revision"] == 1


def test_an_order_as_good_as_the_one_written_moves_nothing():
    garden = small(means={"first_year": 2027, "years": 3, "sum_a_year": 50000, "hours_by_month": [14] * 12})
    at = Standing.of(garden, StoodCache())
    twin = dict(written(garden, at.problem))
    worth = at.problem.worth(twin)
    twin["lay-path"] += 1
    told = document(Search(at, 1.0, best=Order(twin, worth, worth, proven=True, rule="", seconds=1.0), over=True))
    assert told["words"] == "The order that is written is the best there is."
    assert told["moves"] == []
    better = document(
        Search(at, 1.0, best=Order(twin, 2 * worth, 2 * worth, proven=True, rule="", seconds=1.0), over=True)
    )
    assert better["words"] == "A better order is known: it gives 100.0 in 100 more use of the garden."
    assert [m["id"] for m in better["moves"]] == ["lay-path"]


def test_an_order_in_months_gone_by_says_so(monkeypatch):
    at = Standing.of(small(), StoodCache())
    order = Order({"plant-hedge": 10, "lay-path": 14}, 1, 1, proven=True, rule="", seconds=1.0)
    year = at.problem.first_year
    monkeypatch.setattr("quincunx.board.finder.today", lambda _place: date(year + 1, 2, 10))
    told = document(Search(at, 1.0, best=order, over=True))
    assert told["gone_by"].startswith(f"It is February {year + 1}: “Plant the hedge” would begin before that")
    monkeypatch.setattr("quincunx.board.finder.today", lambda _place: date(year, 2, 10))
    assert document(Search(at, 1.0, best=order, over=True))["gone_by"] == ""


def test_a_search_in_the_midst_of_the_plan_begins_nothing_in_the_past(monkeypatch):
    means = {"first_year": 2027, "years": 3, "sum_a_year": 50000, "hours_by_month": [12] * 12}
    at = Standing.of(small(means=means), StoodCache())
    year = at.problem.first_year
    monkeypatch.setattr("quincunx.board.finder.today", lambda _place: date(year + 1, 2, 10))
    found = Search(at, 1.0)
    assert all(p.not_before == 13 for p in found.problem.projects)
    found.best = order(found.problem, effort=0.5, start_from=written(at.garden, at.problem))
    told = document(found)
    assert min(told["starts"].values()) >= 13
    assert told["words"] == "What is written begins in months gone by. This order begins nothing in the past."
    assert told["moves"]
    assert told["gone_by"].startswith(f"It is February {year + 1}: ")


def test_a_job_that_the_best_order_leaves_out_is_told_with_what_keeps_it_out():
    garden = small(means={"first_year": 2027, "years": 3, "sum_a_year": 50000, "hours_by_month": [0.5] * 12})
    at = Standing.of(garden, StoodCache())
    none = Order({}, 0, 0, proven=True, rule="", seconds=1.0)
    told = {m["id"]: m["words"] for m in document(Search(at, 1.0, best=none, over=True))["moves"]}
    assert set(told) == {j.id for j in garden.jobs if j.start is not None}
    for words in told.values():
        assert ", is left out: in every season the time would be short by" in words
        assert "let it take" in words
        assert words.endswith(" or more.")


def test_an_order_for_a_plan_with_nothing_in_it_is_offered():
    garden = small()
    bare = garden.model_copy(update={"jobs": tuple(j.model_copy(update={"start": None}) for j in garden.jobs)})
    at = Standing.of(bare, StoodCache())
    assert at.problem.worth(written(bare, at.problem)) == 0
    starts = {"plant-hedge": 10, "lay-path": 14}
    worth = at.problem.worth(starts)
    told = document(Search(at, 1.0, best=Order(starts, worth, worth, proven=True, rule="", seconds=1.0), over=True))
    assert told["words"] == "Nothing of use is in the plan yet. This order is the best there is."
    assert {m["id"] for m in told["moves"]} == set(starts)
    none = document(Search(at, 1.0, best=Order({}, 0, 0, proven=True, rule="", seconds=1.0), over=True))
    assert (none["words"], none["moves"]) == ("The order that is written is the best there is.", [])
