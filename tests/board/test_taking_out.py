"""Taking out and making a job at the board: the edit is offered, what goes with it is said, and it can be made."""

from __future__ import annotations

from tests.board.windows import Window, put


def test_what_goes_with_a_thing_is_said_and_the_edit_can_be_made_and_taken_back(window: Window) -> None:
    before = window.get("/api/garden")["garden"]
    told = window.get("/api/take-out", ids="hedge")
    assert told["also"] == "With it goes: the job “Plant the hedge”. It can be taken back."
    window.edit(*told["edit"]["ops"], label=told["edit"]["label"])
    after = window.get("/api/garden")["garden"]
    assert "hedge" not in {f["id"] for f in after["features"]}
    assert [j["id"] for j in after["jobs"]] == ["lay-path"]
    window.post("/api/undo", {})
    assert window.get("/api/garden")["garden"] == before


def test_a_must_about_it_is_named_before_it_goes(window: Window) -> None:
    also = window.get("/api/take-out", ids="gate")["also"]
    assert "the must" in also
    assert "Green gate" in also


def test_what_only_stands_there_goes_alone_and_what_is_not_there_is_said(window: Window) -> None:
    window.edit(put("features", {"kind": "boulder", "id": "stone", "at": [9, 2], "there_from": "start"}))
    assert window.get("/api/take-out", ids="stone")["also"] == ""
    assert "no longer there" in window.get("/api/take-out", status=404, ids="nobody")["error"]


def test_what_was_drawn_is_made_a_job_once(window: Window) -> None:
    edit = window.get("/api/as-job", ids="seat")
    window.edit(*edit["ops"], label=edit["label"])
    jobs = {j["id"]: j for j in window.get("/api/garden")["garden"]["jobs"]}
    assert jobs["put-in-seat"]["does"] == ["seat"]
    assert jobs["put-in-seat"]["start"] == "2029-05"
    assert "makes it already" in window.get("/api/as-job", status=404, ids="seat")["error"]
