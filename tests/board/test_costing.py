"""What jobs come to at the board: typed and worked out side by side, taken in one step, with the caution beside it."""

from __future__ import annotations

from typing import Any

from tests.board.windows import change, put


def job(reply: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(j for j in reply["jobs"] if j["id"] == name)
    return found


PRICES = [
    {"id": "gravel", "words": "gravel", "unit": "m3", "sum": 6000},
    {"id": "crushed-stone", "words": "crushed stone", "unit": "m3", "sum": 5000},
]


def put_prices(window: Any) -> None:
    window.edit(*(put("prices", p) for p in PRICES))


def test_every_job_has_its_parts_and_the_caution_stands_beside(window):
    reply = window.get("/api/costs")
    assert "licensed person" in reply["caution"]
    assert "not a design" in reply["caution"]
    path = job(reply, "lay-path")
    assert {line["words"] for line in path["bill"]} == {"gravel", "crushed stone with fines"}
    assert path["money"] == ""
    assert "2 without a price" in path["missing"]
    assert path["hours"]
    assert not path["taken"]
    hedge = job(reply, "plant-hedge")
    assert hedge["bill"][0]["words"] == "European hornbeam"
    assert all(set(s) == {"what", "answer", "words", "because", "source"} for s in hedge["looked_up"])


def test_prices_make_a_sum_and_taking_it_is_one_step_that_goes_back(window):
    put_prices(window)
    path = job(window.get("/api/costs"), "lay-path")
    assert path["money"].startswith("£")
    assert path["missing"] == ""
    window.edit(*path["ops"], label=path["label"])
    taken = job(window.get("/api/costs"), "lay-path")
    assert taken["taken"]
    assert not taken["stale"]
    lines = next(j for j in window.get("/api/garden")["garden"]["jobs"] if j["id"] == "lay-path")["costs"]
    assert all(line["worked_out"] for line in lines)
    window.post("/api/undo", {})
    assert not job(window.get("/api/costs"), "lay-path")["taken"]


def test_older_prices_are_said(window):
    put_prices(window)
    path = job(window.get("/api/costs"), "lay-path")
    window.edit(*path["ops"], label=path["label"])
    window.edit(change("prices", "gravel", sum=9000))
    assert job(window.get("/api/costs"), "lay-path")["stale"]


def test_hours_far_from_the_counted_are_said_and_taken_in_one_step(window):
    window.edit(change("jobs", "lay-path", hours=1))
    before = next(j for j in window.get("/api/garden")["garden"]["jobs"] if j["id"] == "lay-path")
    apart = job(window.get("/api/costs"), "lay-path")["apart"]
    assert "note, not a fault" in window.get("/api/costs")["of_hours"]
    assert apart["words"].startswith("The plan has 1 h for it; counted from its work: ")
    assert before["hours"] == 1
    window.edit(*apart["ops"], label=apart["label"])
    after = next(j for j in window.get("/api/garden")["garden"]["jobs"] if j["id"] == "lay-path")
    assert after["hours"] > 1
    assert after.get("costs") == before.get("costs")
    assert job(window.get("/api/costs"), "lay-path")["apart"] is None


def test_a_thing_is_weighed_up_with_its_caution(window):
    path = job(window.get("/api/costs"), "lay-path")
    assert path["weighable"]
    reply = window.get("/api/weighed", of=path["weighable"][0])
    assert len(reply["rows"]) > 3
    assert all(len(row) == len(reply["head"]) for row in reply["rows"])
    assert reply["chosen"][0] is True
    assert "licensed person" in reply["caution"]
    assert "nothing to weigh up" in window.get("/api/weighed", status=404, of="no-such-thing")["error"]


def test_upkeep_is_proposed_and_taken_in_one_step(window):
    window.edit({"do": "change", "part": "means", "value": {"years": 8}})
    reply = window.get("/api/upkeep")
    assert "licensed person" in reply["caution"]
    assert "no source" in reply["note"]
    due = [r for r in reply["rows"] if r["in_plan"] and not r["taken"]]
    assert len(reply["ops"]) == len(due) > 0
    window.edit(*reply["ops"], label=reply["label"])
    assert all(r["taken"] for r in window.get("/api/upkeep")["rows"] if r["in_plan"])
