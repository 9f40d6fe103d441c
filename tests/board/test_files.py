"""The starting page and files: opening, saving as, bringing in and out, copies, what is remembered."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from quincunx.board.desk import Desk, free_path, recent, recent_file, remember
from quincunx.board.files import mark_of
from quincunx.demos import DEMOS
from quincunx.garden import garden_text, read_garden
from quincunx.store import Store, list_copies
from tests.board.garden import document, small
from tests.board.windows import HEADERS, Window, board, change


def test_the_start_page_without_a_garden(start):
    state = start.get("/api/state")
    assert state["garden"] is None
    assert state["trouble"] == ""
    assert [d["id"] for d in state["demos"]] == [d.id for d in DEMOS]
    assert set(state["style"]) >= {"units", "decimal_mark", "currency", "paper"}
    assert start.get("/api/garden", 409)["error"] == "No garden is open."
    for path in ("/api/undo", "/api/edit", "/api/drag", "/api/save-as", "/api/papers"):
        assert start.post(path, {}, 409)["error"] == "No garden is open."


def test_the_file_it_was_started_with_is_open_and_remembered(window, file):
    state = window.get("/api/state")
    assert state["garden"] == {
        "name": "Small green",
        "file": str(file),
        "revision": 0,
        "head": "main",
        "saved": True,
        "demo": False,
    }
    assert [r["file"] for r in state["recent"]] == [str(file)]
    window.post("/api/close")
    assert window.get("/api/state")["garden"] is None
    assert window.post("/api/open", {"file": str(file)}) == {"file": str(file)}


def test_a_file_that_can_not_be_opened_is_said_on_the_start_page(tmp_path):
    (tmp_path / "bad.quincunx").write_text("no garden")
    client, keys = board(Desk(tmp_path / "bad.quincunx"))
    with client:
        client.get(f"/?token={keys.token}")
        state = Window(client).get("/api/state")
    assert state["garden"] is None
    assert "not a Quincunx file" in state["trouble"]


@pytest.mark.parametrize(
    "name",
    [
        None, "", "   ", 7, ["x"], "x\0.quincunx", "x\n.quincunx", "a" * 2000 + ".quincunx", "/etc/passwd", "../../etc/shadow",
        "garden.json", "~nobody-of-that-name/x.quincunx", "/dev/zero",
    ],
)  # fmt: skip
def test_what_is_no_garden_file_is_not_opened(window, name):
    assert window.post("/api/open", {"file": name}, 422)["error"]
    assert window.get("/api/state")["garden"]["name"] == "Small green", "what was open stays open"


def test_a_folder_a_pipe_and_rubbish_are_refused(window, tmp_path):
    (tmp_path / "folder.quincunx").mkdir()
    os.mkfifo(tmp_path / "pipe.quincunx")
    (tmp_path / "text.quincunx").write_text("hello")
    for name in ("folder", "pipe", "text"):
        assert window.post("/api/open", {"file": str(tmp_path / f"{name}.quincunx")}, 422)["error"]
    assert window.post("/api/open", {"file": str(tmp_path / "gone.quincunx")}, 404)["error"]
    assert window.get("/api/state")["garden"]["name"] == "Small green"


def test_save_as_takes_the_history_along(window, file, tmp_path):
    window.edit(change("features", "gate", width=1.1), label="Widen")
    told = window.post("/api/save-as", {"file": str(tmp_path / "other")})
    assert told["file"] == str(tmp_path / "other.quincunx")
    assert window.post("/api/undo")["label"] == "Widen"
    assert window.get("/api/state")["garden"]["file"] == told["file"]
    with Store.open(file, keep=False) as store:
        assert store.revision == 1, "the first file stays as it was"
    assert [p.name for p in tmp_path.glob(".*part")] == []


def test_save_as_overwrites_only_when_told_to_and_keeps_a_copy(window, file, tmp_path):
    other = tmp_path / "other.quincunx"
    Store.create(other, small(name="Other")).close()
    said = window.post("/api/save-as", {"file": str(other)}, 409)
    assert said["exists"]
    window.post("/api/save-as", {"file": str(other), "replace": True})
    assert window.get("/api/garden")["garden"]["name"] == "Small green"
    kept = [p for p in list_copies(other) if "replacing" in p.name]
    with Store.open(kept[0], keep=False) as store:
        assert store.garden().name == "Other"
    assert "open" in window.post("/api/save-as", {"file": str(other)}, 409)["error"]
    assert "no folder" in window.post("/api/save-as", {"file": str(tmp_path / "no" / "x.quincunx")}, 422)["error"]
    assert window.post("/api/save-as", {"file": str(tmp_path / "x.txt")}, 422)["error"]


def test_a_file_replaced_under_the_board_is_not_written_to_and_nothing_is_lost(window, file, tmp_path):
    """As a program that carries files between machines does: what was open is kept, and opening again shows the other."""
    spot = {"do": "put", "part": "spots", "id": "mine", "value": {"id": "mine", "at": [1, 1]}}
    window.edit(spot)
    other = tmp_path / "other.quincunx"
    Store.create(other, small(name="Other")).close()
    other.replace(file)
    said = window.edit(spot | {"id": "late", "value": {"id": "late", "at": [2, 2]}}, status=422)["error"]
    assert "was replaced by another program while it was open here. This was not saved." in said
    with Store.open(list_copies(file)[0], keep=False) as store:
        assert "mine" in {s.id for s in store.garden().spots}
    window.post("/api/open", {"file": str(file)})
    assert window.get("/api/garden")["garden"]["name"] == "Other"
    window.edit(spot)


def test_a_name_alone_goes_into_the_folder_of_gardens(window, tmp_path):
    assert window.post("/api/save-as", {"file": "mine"})["file"] == str(tmp_path / "gardens" / "mine.quincunx")


def test_out_as_json_and_in_again_is_the_same(window):
    reply = window.client.get("/api/export")
    assert reply.headers["content-disposition"].startswith('attachment; filename="small.json"')
    assert reply.text == garden_text(small())
    told = window.post("/api/import", reply.text)
    assert told["file"].endswith("gardens/small-green.quincunx")
    assert window.client.get("/api/export").text == reply.text
    assert window.post("/api/import", reply.text)["file"].endswith("small-green-2.quincunx")


def test_bringing_in_here_is_an_edit(window):
    told = window.post("/api/import?into=here", json.dumps(document(name="Another")))
    assert told["revision"] == 1
    assert window.get("/api/garden")["garden"]["name"] == "Another"
    assert window.post("/api/undo")["label"] == "Import Another"
    assert window.get("/api/garden")["garden"]["name"] == "Small green"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"format": "quincunx/9"}',
        '{"format": "quincunx/1", "features": 3}',
        "\ufeff{",
        '{"a": 1, "a": 2}',
    ],
)
def test_what_is_no_garden_is_not_brought_in(window, text):
    reply = window.client.post("/api/import", content=text, headers=HEADERS)
    assert reply.status_code == 422
    assert reply.json()["error"]
    assert window.get("/api/state")["garden"]["name"] == "Small green"


def test_a_large_garden_may_be_brought_in(window):
    seat = next(f for f in document()["features"] if f["id"] == "seat") | {"note": "x" * 3_000_000}
    text = json.dumps(document(features=[f for f in document()["features"] if f["id"] != "seat"] + [seat]))
    assert window.client.post("/api/import?into=here", content=text, headers=HEADERS).status_code == 200
    assert window.client.post("/api/edit", content=text, headers=HEADERS).status_code == 413


def test_dated_copies_come_back_as_an_edit(window, file):
    (copy,) = window.get("/api/copies")
    assert copy["when"].endswith("Z")
    window.edit(change("features", "gate", width=1.4))
    window.post("/api/copies/restore", {"copy": copy["copy"]})
    assert window.get("/api/garden")["garden"] == json.loads(garden_text(small()))
    assert window.post("/api/undo")["label"].startswith("Go back to the copy of")
    for name in ("../small.quincunx", str(file), "", "x"):
        assert window.client.post(
            "/api/copies/restore", content=json.dumps({"copy": name}), headers=HEADERS
        ).status_code in (404, 422)


@pytest.mark.parametrize("demo", [d.id for d in DEMOS])
def test_every_demonstration_is_one_touch_away(start, demo):
    start.post("/api/open", {"demo": demo})
    state = start.get("/api/state")
    assert state["garden"]["demo"]
    assert state["recent"] == [], "a demonstration is no garden of one's own"
    assert len(start.get("/api/scene", year=start.get("/api/garden")["years"][-1], month=8)["figures"]) > 20
    start.edit(change("means", None, opening=5))
    start.post("/api/close")
    start.post("/api/open", {"demo": demo})
    assert start.get("/api/garden")["revision"] == 1, "what was tried is still there"
    start.post("/api/open", {"demo": demo, "fresh": True})
    assert start.get("/api/garden")["revision"] == 0


def test_there_is_no_other_demonstration(start):
    for demo in ("nothing", "../x", ""):
        assert start.client.post("/api/open", content=json.dumps({"demo": demo}), headers=HEADERS).status_code in (
            404,
            422,
        )


def test_recent_gardens_newest_first_each_once_and_only_those_there(tmp_path):
    for i in range(15):
        path = tmp_path / f"g{i}.quincunx"
        path.touch()
        remember(path, f"Garden {i}")
    remember(tmp_path / "g5.quincunx", "Garden 5")
    rows = recent()
    assert [r["name"] for r in rows][:3] == ["Garden 5", "Garden 14", "Garden 13"]
    assert len(rows) == 12
    (tmp_path / "g14.quincunx").unlink()
    assert "Garden 14" not in [r["name"] for r in recent()]


@pytest.mark.parametrize("text", ["", "{", "3", '[1, {"name": 2}]', '{"a": 1}'])
def test_a_broken_list_of_recent_gardens_is_no_trouble(text, tmp_path):
    recent_file().parent.mkdir(parents=True, exist_ok=True)
    recent_file().write_text(text)
    assert recent() == []
    (tmp_path / "g.quincunx").touch()
    remember(tmp_path / "g.quincunx", "G")
    assert [r["name"] for r in recent()] == ["G"]


def test_names_of_new_files_are_plain_and_free(tmp_path):
    assert free_path(tmp_path, "Märchen / Garten..").name == "märchen-garten.quincunx"
    assert free_path(tmp_path, "../../etc").name == "etc.quincunx"
    assert free_path(tmp_path, "???").name == "garden.quincunx"
    (tmp_path / "etc.quincunx").touch()
    assert free_path(tmp_path, "etc").name == "etc-2.quincunx"
    assert len(free_path(tmp_path, "x" * 500).name) < 80


NEW = {
    "name": "Our patch",
    "town": {"name": "Plymouth", "latitude_deg": 50.37, "longitude_deg": -4.14},
    "writing": {"units": "metric", "decimal_mark": ".", "currency": "GBP", "paper": "A4"},
    "ground": {"sides": ["12 m", "20", "12.0", "20"], "diagonal": "23.32"},
    "house": {"width": "8 m", "depth": "6", "side": 1, "along": "2", "set_back": "1"},
    "wanted": {"kind": "hedge", "id": "hedge-1", "line": [[0.5, 10], [6, 10]]},
    "must": {"kind": "spend-no-more", "id": "money", "sum": "900"},
    "sum_a_year": "£1,200",
    "hours_a_month": 8,
    "first_year": 2028,
    "years": 4,
}


def test_the_first_ten_minutes_make_a_garden(start, tmp_path):
    told = start.post("/api/new", NEW)
    assert told["file"] == str(tmp_path / "gardens" / "our-patch.quincunx")
    here = start.get("/api/garden")
    assert here["years"] == [2028, 2029, 2030, 2031]
    assert here["garden"]["means"]["sum_a_year"] == 120000
    assert here["garden"]["intents"][0]["sum"] == 90000
    assert [f["id"] for f in here["garden"]["features"]] == ["house", "hedge-1"]
    assert here["garden"]["site"]["place"]["latitude_deg"] == 50.37
    assert start.get("/api/scene", year=2028, month=8)["figures"]
    assert [v["state"] for v in start.settled()["musts"][0]["verdicts"]] == ["holds"] * 4
    assert read_garden(start.client.get("/api/export").text).name == "Our patch"


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"ground": {"sides": [5, 5, 5, 5], "diagonal": 20}}, "can't meet"),
        ({"ground": {"sides": ["5", "wide", "5", "5"], "diagonal": "7"}}, "wide"),
        ({"ground": {}}, "diagonal"),
        ({"house": {"width": "40", "depth": "6"}}, "it lies outside"),
        ({"wanted": {"kind": "castle", "id": "x"}}, "castle"),
        ({"must": {"kind": "spend-no-more", "id": "money", "sum": "1.234"}}, "1234"),
        ({"sum_a_year": "lots"}, "lots"),
        ({"writing": {"units": "cubits"}}, "metric"),
        ({"writing": 5}, "object"),
        ({"town": 5}, "object"),
        ({"years": 0}, "at least 1"),
        ({"file": "/etc/x.conf"}, "ends in"),
    ],
)
def test_what_can_not_be_made_a_garden_is_said(start, wrong, words):
    said = start.post("/api/new", NEW | wrong, 422)
    assert words in json.dumps(said)
    assert start.get("/api/state")["garden"] is None


def test_feet_and_inches_are_read(start):
    ground = {"sides": ["40'", "60'", "40'", "60'"], "diagonal": "72' 1 3/8\""}
    writing = {"units": "feet", "decimal_mark": ".", "currency": "USD", "paper": "Letter"}
    start.post("/api/new", {"ground": ground, "writing": writing, "sum_a_year": "$3,500"})
    ring = start.get("/api/scene", year=2027, month=8)["boundary"]
    assert abs(ring[1][0] - 12.192) < 0.001
    assert abs(ring[2][1] - 18.288) < 0.01


def test_or_the_corners_as_drawn(start):
    start.post("/api/new", {"ground": {"outline": [[0, 0], [10, 0], [9, 8]]}})
    assert start.get("/api/scene", year=2027, month=8)["boundary"] == [[0, 0], [10, 0], [9, 8]]


def test_towns_are_found_offline(start):
    found = start.get("/api/towns", q="plymouth")
    assert (found[0]["name"], found[0]["country"]) == ("Plymouth", "GB")
    assert start.get("/api/towns", q="") == []
    assert start.get("/api/towns") == []


def test_nothing_is_listed_but_what_was_opened(window, tmp_path):
    (tmp_path / "secret.quincunx").touch()
    (tmp_path / "gardens").mkdir()
    (tmp_path / "gardens" / "hidden.quincunx").touch()
    for path in ("/api/state", "/api/copies", "/api/garden"):
        text = window.client.get(path).text
        assert "secret" not in text
        assert "hidden" not in text


def test_the_folders_are_the_persons_own(monkeypatch, tmp_path):
    from quincunx.board.desk import gardens_folder

    assert gardens_folder() == Path(os.environ["QUINCUNX_GARDENS"])
    monkeypatch.delenv("QUINCUNX_GARDENS")
    assert gardens_folder().name == "Quincunx"


def test_the_decimal_mark_of_a_language_is_that_of_its_country():
    """CLDR 49: a comma in German but a point in Switzerland, a point in Mexico's Spanish, a comma in South Africa's English."""
    marks = {
        here: mark_of(here)
        for here in ("de_DE", "de_CH", "es_ES", "es_MX", "en_GB", "en_ZA", "hu_HU", "ja_JP", "it_CH", "", "C")
    }
    assert {here for here, mark in marks.items() if mark == ","} == {"de_DE", "es_ES", "en_ZA", "hu_HU"}
