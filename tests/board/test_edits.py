"""Edits over the wire: revisions, merging, taking back, versions, alternatives, typed figures."""

from __future__ import annotations

import sqlite3

import pytest

from quincunx.board.desk import Desk
from quincunx.store import Store
from tests.board.windows import Window, change, put

HEDGE = {"kind": "hedge", "id": "hedge-2", "line": [[1, 9], [5, 9]], "there_from": "2027-03"}


def feature(window: Window, name: str) -> dict:
    return next(f for f in window.get("/api/garden")["garden"]["features"] if f["id"] == name)


def test_the_garden_is_told_in_its_normal_form(window):
    told = window.get("/api/garden")
    assert (told["revision"], told["head"], told["heads"]) == (0, "main", ["main"])
    assert told["years"] == [2027, 2028, 2029]
    assert told["called"]["gate"] == "Green gate"
    assert told["can_undo"] is None
    assert told["can_redo"] is None
    assert told["writing"] == {
        "units": "metric",
        "decimal_mark": ".",
        "currency": "GBP",
        "paper": "A4",
        "currency_sign": "£",
        "minor": 100,
    }


def test_what_is_there_or_done_is_built(window):
    assert window.get("/api/garden")["built"] == ["gate", "wall"]
    window.edit(put("journal", {"id": "one", "day": "2027-11-20", "what": "done", "about": "plant-hedge"}))
    assert window.get("/api/garden")["built"] == ["gate", "hedge", "wall"]


def test_an_edit_is_in_the_file_when_it_is_answered(window, file):
    saved = window.edit(change("features", "gate", width="1.05 m"), label="Widen the gate")
    assert saved == {"revision": 1, "merged": False, "ids": []}
    with Store.open(file, keep=False) as store:
        assert store.revision == 1
        gate = next(f for f in store.garden().features if f.id == "gate").model_dump()
        assert gate["width"] == {"m": 1.05, "typed": "1.05 m"}
    assert feature(window, "gate")["width"] == {"m": 1.05, "typed": "1.05 m"}


@pytest.mark.parametrize(
    ("part", "thing", "fields", "want"),
    [
        ("means", None, {"sum_a_year": "1,250.50"}, {"sum_a_year": 125050}),
        ("means", None, {"sum_a_year": "£900"}, {"sum_a_year": 90000}),
        ("intents", "money", {"sum": "350"}, {"sum": 35000}),
        (
            "jobs",
            "lay-path",
            {"costs": [{"words": "brick", "sum": "12.50"}]},
            {"costs": [{"words": "brick", "sum": 1250}]},
        ),
        ("jobs", "lay-path", {"hours": "2 h 30"}, {"hours": 2.5}),
        ("features", "gate", {"along_deg": "SW"}, {"along_deg": 225.0}),
    ],
)
def test_typed_figures_are_read_in_the_gardens_writing(window, part, thing, fields, want):
    window.edit(change(part, thing, **fields))
    garden = window.get("/api/garden")["garden"]
    here = garden[part] if thing is None else next(x for x in garden[part] if x["id"] == thing)
    assert {k: here[k] for k in want} == want


def test_a_figure_that_can_not_be_read_is_refused_with_its_place(window):
    said = window.edit(change("means", None, sum_a_year="1.234"), status=422)
    assert said["faults"][0]["path"] == "means → sum_a_year"
    assert said["error"].startswith("Money and hours, sum a year: ")
    assert "1234" in said["error"]
    said = window.edit(change("jobs", "lay-path", start="soon"), status=422)
    assert said["error"].startswith('Lay the path, planned to start: "soon" is not a month')
    said = window.edit(change("features", "gate", width="wide"), status=422)
    assert "features → gate → width" in said["faults"][0]["path"]
    assert window.get("/api/garden")["revision"] == 0


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        ({"what": "spent"}, "how much was spent"),
        ({"what": "hours", "hours": 0}, "how many hours"),
        ({"what": "note"}, "empty"),
    ],
)
def test_a_line_of_the_journal_that_says_nothing_is_refused(window, entry, says):
    line = {"id": "entry-1", "day": "2027-04-03", **entry}
    ops = [{"do": "put", "part": "journal", "id": "entry-1", "value": line}]
    said = window.post("/api/edit", {"edit": {"label": "Journal", "ops": ops}}, status=422)
    assert says in said["error"]
    assert not window.get("/api/garden")["garden"].get("journal")
    ops[0]["value"] = {**line, "what": "spent", "sum": 1250}
    window.post("/api/edit", {"edit": {"label": "Journal", "ops": ops}})
    assert window.get("/api/garden")["garden"]["journal"][0]["sum"] == 1250


def test_two_windows_merge_when_they_touch_different_things(window):
    window.edit(change("features", "gate", width=1.0), base=0)
    saved = window.edit(change("features", "wall", height=2.0), base=0)
    assert saved == {"revision": 2, "merged": True, "ids": []}
    assert (feature(window, "gate")["width"], feature(window, "wall")["height"]) == (1, 2)


def test_two_windows_that_touch_the_same_thing_are_told(window):
    window.edit(change("features", "gate", width=1.0), base=0, label="Widen")
    said = window.edit(change("features", "gate", width=1.2), base=0, label="Widen more", status=409)
    assert said["theirs"] == ["Widen"]
    assert "another window" in said["error"]
    assert feature(window, "gate")["width"] == 1


def test_two_windows_that_put_in_new_things_under_one_id_keep_both(window):
    window.get("/api/garden")
    window.edit(put("features", HEDGE), base=0)
    job = {"id": "plant", "name": "Plant", "does": ["hedge-2"], "start": "2028-11"}
    mine = {**HEDGE, "line": [[1, 7.5], [5, 7.5]], "there_from": None}
    saved = window.edit(put("features", mine), put("jobs", job), base=0)
    assert saved["ids"] == ["hedge-3", "plant"]
    assert feature(window, "hedge-2")["line"][0] == [1, 9]
    assert feature(window, "hedge-3")["line"][0] == [1, 7.5]
    assert next(j for j in window.get("/api/garden")["garden"]["jobs"] if j["id"] == "plant")["does"] == ["hedge-3"]


def test_putting_a_thing_in_place_of_itself_is_no_new_thing(window):
    gate = feature(window, "gate") | {"width": 1.1}
    assert window.edit(put("features", gate), base=0)["ids"] == ["gate"]
    assert len([f for f in window.get("/api/garden")["garden"]["features"] if f["kind"] == "gate"]) == 1


def test_undo_without_end_and_again(window):
    texts = [window.get("/api/garden")["garden"]]
    for width in (1.0, 1.1, 1.2):
        window.edit(change("features", "gate", width=width), label=f"Gate {width}")
        texts.append(window.get("/api/garden")["garden"])
    assert window.get("/api/garden")["can_undo"] == "Gate 1.2"
    for want, label in zip(reversed(texts[:-1]), ("Gate 1.2", "Gate 1.1", "Gate 1.0"), strict=True):
        assert window.post("/api/undo")["label"] == label
        assert window.get("/api/garden")["garden"] == want
    assert window.post("/api/undo", status=409)["error"] == "There is nothing to take back."
    for want in texts[1:]:
        window.post("/api/redo")
        assert window.get("/api/garden")["garden"] == want
    assert window.post("/api/redo", status=409)["error"] == "There is nothing to do again."


def test_undo_on_a_garden_that_moved_on_is_refused_if_asked(window):
    window.edit(change("features", "gate", width=1.0))
    window.edit(change("features", "gate", width=1.1))
    assert "Another window" in window.post("/api/undo", {"base": 1}, 409)["error"]
    assert window.post("/api/undo", {"base": 2})["revision"] == 1


def test_history_says_where_we_are(window):
    for width in (1.0, 1.1):
        window.edit(change("features", "gate", width=width), label=f"Gate {width}")
    rows = window.get("/api/history")
    assert [(r["label"], r["here"]) for r in rows] == [("Gate 1.1", True), ("Gate 1.0", False)]
    assert all(r["when"].startswith("20") for r in rows)
    assert len(window.get("/api/history", most=1)) == 1


def test_a_named_version_comes_back_as_an_edit(window):
    window.post("/api/versions", {"name": "Before the pond"})
    window.edit(change("features", "gate", width=1.3))
    assert [v["name"] for v in window.get("/api/versions")] == ["Before the pond"]
    window.post("/api/versions/return", {"name": "Before the pond"})
    assert "width" not in feature(window, "gate")
    assert window.post("/api/undo")["label"] == "Go back to Before the pond"
    assert feature(window, "gate")["width"] == 1.3
    assert "already" in window.post("/api/versions", {"name": "Before the pond"}, 422)["error"]
    assert "no version" in window.post("/api/versions/return", {"name": "Never"}, 422)["error"]


def test_an_alternative_is_another_head_of_the_same_file(window):
    assert window.post("/api/heads", {"name": "With a pond"})["heads"] == ["With a pond", "main"]
    assert window.get("/api/garden")["head"] == "main"
    window.post("/api/heads/switch", {"name": "With a pond"})
    window.edit(change("features", "gate", width=1.3))
    window.post("/api/heads", {"name": "Third", "from": "main"})
    assert window.get("/api/garden")["head"] == "With a pond"
    window.post("/api/heads/switch", {"name": "Third"})
    assert "width" not in feature(window, "gate")
    assert "no alternative" in window.post("/api/heads/switch", {"name": "Fourth"}, 422)["error"]
    assert "no alternative" in window.post("/api/heads", {"name": "Fifth", "from": "Nowhere"}, 422)["error"]
    assert window.get("/api/garden")["head"] == "Third"


def test_the_board_opens_on_the_alternative_last_shown(window, file):
    window.post("/api/heads", {"name": "With a pond"})
    window.post("/api/heads/switch", {"name": "With a pond"})
    # The first board was never closed: it may as well have been killed.
    again = Desk(file)
    try:
        assert again.session.store.head == "With a pond"
    finally:
        again.close()


def test_an_alternative_last_shown_that_cannot_be_read_does_not_keep_the_file_shut(window, file):
    window.post("/api/heads", {"name": "With a pond"})
    window.post("/api/heads/switch", {"name": "With a pond"})
    with sqlite3.connect(file) as con:
        con.execute("UPDATE head SET garden = '{}' WHERE name = 'With a pond'")
    con.close()
    again = Desk(file)
    try:
        assert again.session.store.head == "main"
    finally:
        again.close()


@pytest.mark.parametrize(
    "edit",
    [
        None,
        {},
        {"label": "x", "ops": []},
        {"label": "x", "ops": [{"do": "burn", "part": "features", "id": "gate"}]},
        {"label": "x", "ops": [{"do": "put", "part": "lawyers", "id": "one", "value": {}}]},
        {"label": "x", "ops": [{"do": "remove", "part": "features", "id": "nothing"}]},
        {"label": "x", "ops": [{"do": "put", "part": "features", "id": "gate", "value": 3}]},
        {"label": "x" * 500, "ops": [{"do": "remove", "part": "features", "id": "gate"}]},
        {"label": "x", "ops": [{"do": "change", "part": "features", "id": "gate", "value": {"width": 1e9}}]},
        {"label": "x", "ops": [{"do": "change", "part": "features", "id": "gate", "value": {"kind": "spaceship"}}]},
        {"label": "x", "ops": [{"do": "change", "part": "features", "id": "gate", "value": {"nonsense": 1}}]},
        {"label": "x", "ops": [{"do": "remove", "part": "rooms", "id": "green"}]},
    ],
)
def test_an_edit_that_can_not_be_made_changes_nothing_and_says_why(window, edit):
    said = window.post("/api/edit", {"base": 0, "edit": edit}, 422)
    assert said["error"]
    assert window.get("/api/garden")["revision"] == 0


def test_musts_are_muted_named_and_moved_by_edits(window):
    window.edit(change("intents", "money", muted=True, name="Keep it cheap"))
    must = next(i for i in window.get("/api/garden")["garden"]["intents"] if i["id"] == "hours")
    window.edit(
        {"do": "remove", "part": "intents", "id": "hours"}, put("intents", must, index=0), label="Order the musts"
    )
    table = window.get("/api/table")
    assert [m["id"] for m in table["musts"]][:2] == ["hours", "green-by-gate"]
    money = next(m for m in table["musts"] if m["id"] == "money")
    assert (money["muted"], money["text"]) == (True, "Keep it cheap")
    assert money["sentence"].startswith("No year costs more than £400")
