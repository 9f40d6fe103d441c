"""Planning the rest again at the board: the careful way at once, the wider one beside it, and what the musts then say."""

from __future__ import annotations

from tests.board.windows import change

ASKED = {"month": "2028-03"}


def test_the_careful_way_comes_without_the_musts_which_are_asked_for_apart(window):
    window.edit(change("means", None, hours_by_month=[14] * 12))
    again = window.post("/api/years/again", ASKED)
    assert again["possible"]
    assert "musts" not in again
    edit = {"label": "Later", "ops": [change("jobs", "lay-path", start="2029-05")]}
    told = window.post("/api/years/otherwise", {"edit": edit})
    assert {"id", "breaks", "words"} >= {key for must in told["musts"] for key in must}
    assert window.get("/api/garden")["revision"] == 1
    assert "read" in window.post("/api/years/otherwise", {"edit": {"ops": 3}}, 422)["error"]


def test_both_ways_or_a_word_that_there_is_only_one(window):
    window.edit(change("means", None, hours_by_month=[14] * 12))
    ways = window.post("/api/years/again", ASKED | {"wider": True})
    if ways["wide"] is None:
        assert ways["words"] == "Moving more than that would bring no more use."
    else:
        assert [way["name"] for way in ways["both"]] == ["Move as little as is worth it", "Move what pays"]
