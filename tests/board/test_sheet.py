"""The sheet, the table, evidence, months: what the page draws from."""

from __future__ import annotations

from datetime import date
from typing import get_args

import pytest

from quincunx.garden import timeline
from quincunx.review import judge
from quincunx.shapes import Role
from tests.board.garden import small
from tests.board.windows import change, put

ROLES = set(get_args(Role))


def every_figure_is_well_formed(figures: list[dict]) -> None:
    for f in figures:
        assert f["role"] in ROLES
        shape = {
            "path": ("points", "closed", "dash", "arrow", "weight"),
            "area": ("rings", "pattern", "outline", "weight"),
        }
        more = {
            "text": ("at", "text", "size", "rotate_deg", "anchor"),
            "dimension": ("start", "end", "value_m", "text"),
        }
        assert set((shape | more)[f["t"]]) <= set(f)


def test_the_scene_is_the_timelines_scene(window):
    told = window.get("/api/scene", year=2028, month=8)
    scene = timeline(small()).at(date(2028, 8, 31))
    assert (told["date"], told["key"]) == ("2028-08-31", scene.key)
    assert len(told["figures"]) == len(scene.figures)
    every_figure_is_well_formed(told["figures"] + told["ghosts"])
    assert told["boundary"] == [[0, 0], [12, 0], [12, 10], [0, 10]]
    west, south, east, north = told["bounds"]
    assert west < 0
    assert south < 0
    assert east > 12
    assert north > 10
    assert window.get("/api/scene", day="2028-08-31")["key"] == scene.key


def test_every_thing_can_be_touched_and_dragged(window):
    told = window.get("/api/scene", year=2027, month=8)
    things = {f["id"]: f for f in told["features"]}
    assert set(things) == {"wall", "gate", "hedge", "path", "seat"}
    for thing in things.values():
        assert thing["outline"], thing["id"]
        assert thing["handles"]
    assert {i: (t["built"], t["stands"]) for i, t in things.items()} == {
        "wall": (True, True),
        "gate": (True, True),
        "hedge": (False, False),
        "path": (False, False),
        "seat": (False, False),
    }
    assert [h["id"] for h in things["hedge"]["handles"]] == ["line.0", "line.1"]


def test_what_does_not_stand_yet_is_a_ghost_and_what_is_gone_is_not(window):
    owners = {g["owner"] for g in window.get("/api/scene", year=2027, month=8)["ghosts"]}
    assert owners == {"hedge", "path", "seat"}
    assert all(g["dash"] for g in window.get("/api/scene", year=2027, month=8)["ghosts"])
    assert window.get("/api/scene", year=2029, month=8)["ghosts"] == []
    window.edit(change("features", "seat", there_until="2029-08"))
    assert window.get("/api/scene", year=2029, month=12)["ghosts"] == []


def test_a_thing_that_no_job_makes_is_still_drawn(window):
    window.edit(put("features", {"kind": "pond", "id": "pond", "outline": [[8, 1], [10, 1], [10, 3], [8, 3]]}))
    told = window.get("/api/scene", year=2028, month=8)
    assert "pond" in {g["owner"] for g in told["ghosts"]}
    assert next(f for f in told["features"] if f["id"] == "pond")["outline"]


def test_there_is_much_to_snap_to_and_each_says_whose_it_is(window):
    snaps = window.get("/api/scene", year=2028, month=8)["snaps"]
    kinds = {(p[2], p[3]) for p in snaps["points"]}
    assert {("corner", ""), ("middle", ""), ("corner", "path"), ("end", "hedge"), ("spot", "door")} <= kinds
    assert [[0.5, 8], [9, 8], "hedge"] in snaps["edges"]
    assert [[0, 0], [12, 0], ""] in snaps["edges"]
    assert [p[3:] for p in snaps["points"] if p[2] == "spot"] == [["bench", "Bench"], ["door", "Back door"]]


@pytest.mark.parametrize("query", [{}, {"year": 2028, "month": 13}, {"year": "x"}, {"day": "2028-02-30"}, {"year": 0}])
def test_a_day_there_is_not_is_refused(window, query):
    assert window.get("/api/scene", 422, **query)["error"]


def test_an_empty_garden_has_a_sheet_and_a_table(start):
    start.post("/api/import", '{"format": "quincunx/1"}')
    told = start.get("/api/scene", year=2027, month=8)
    assert told["boundary"] == []
    assert told["features"] == []
    assert len(start.settled()["years"]) == 6


def test_the_table_says_what_judging_says(window):
    table = window.settled()
    want = judge(small())
    assert [m["id"] for m in table["musts"]] == [m.id for m in want]
    for told, must in zip(table["musts"], want, strict=True):
        assert told["text"] == must.text
        assert told["from_year"] == must.from_year
        assert [(v["state"], v["because"]) for v in told["verdicts"]] == [
            (v.state.value, v.because) for v in must.verdicts
        ]
        assert all(v["how"] for v in told["verdicts"])
    money = next(m for m in table["musts"] if m["id"] == "money")
    assert [v["figure"] for v in money["verdicts"]] == ["£90", "£300", "£0"]


def test_the_table_of_years(window):
    years = window.get("/api/table")["years"]
    assert [y["year"] for y in years] == [2027, 2028, 2029]
    assert [y["money"]["left"] for y in years] == [41000, 61000, 111000]
    assert years[0]["money"]["text"] == {"income": "£500", "spent": "£90", "left": "£410"}
    assert years[1]["hours"] == {"given": 48.0, "upkeep": 0.0, "worked": 16.0, "spare": 32.0}
    assert years[1]["built"] == [{"job": "lay-path", "name": "Lay the path", "month": "2028-04", "large": True}]
    assert years[0]["built"] == []
    assert years[0]["planted"] == [{"id": "hedge", "name": "hedge", "month": "2027-11"}]
    for year in years:
        every_figure_is_well_formed(year["figures"])
        assert {f["t"] for f in year["figures"]} <= {"path", "area"}
    assert len(years[2]["figures"]) > len(years[0]["figures"])


def test_evidence_is_drawn_for_a_must_in_a_year(window):
    window.edit(change("features", "wall", there_until="2029-01"))
    found = window.get("/api/evidence", must="green-by-gate", year=2029)
    assert found["state"] != "holds"
    found = window.get("/api/evidence", must="roe-off-bench", year=2029)
    assert found["state"] == "fails"
    every_figure_is_well_formed(found["figures"])
    west, south, east, north = found["bounds"]
    assert west < east
    assert south < north
    assert found["how"]
    assert "no such must" in window.get("/api/evidence", 404, must="nothing", year=2029)["error"]
    assert "not in the plan" in window.get("/api/evidence", 404, must="money", year=1999)["error"]


def test_months_of_a_year(window):
    months = window.get("/api/months", year=2028)["months"]
    assert [m["month"] for m in months] == list(range(1, 13))
    assert months[2]["jobs"] == [{"id": "lay-path", "name": "Lay the path", "share": 0.5}]
    assert (months[2]["money"], months[3]["money"]) == (30000, 0)
    assert months[3]["hours"] == {"given": 4.0, "upkeep": 0.0, "worked": 8.0}
    assert sum(m["hours"]["worked"] for m in months) == 16


def test_findings_lead_to_their_place(window):
    window.edit(put("features", {"kind": "gate", "id": "lost", "at": [9, 2], "there_from": "start"}))
    found = [f for f in window.settled()["findings"] if "lost" in f["about"]]
    assert found
    assert found[0]["severity"] in {"danger", "fault", "care", "hint"}
    assert found[0]["remedy"]
    x, y = found[0]["at"]
    assert (abs(x - 9) < 1, abs(y - 2) < 1) == (True, True)


def test_a_table_that_is_not_fresh_says_so_and_keeps_the_last_verdicts(window):
    window.settled()
    before = {m["id"]: m["verdicts"] for m in window.get("/api/table")["musts"]}
    window.edit(change("means", None, sum_a_year=10))
    table = window.get("/api/table")
    walked = [m for m in table["musts"] if m["id"] not in ("money", "hours")]
    assert all(not m["stale"] and m["verdicts"] == before[m["id"]] for m in walked), "money doesn't touch walking"
    after = window.settled()
    assert next(m for m in after["musts"] if m["id"] == "money")["verdicts"][1]["state"] == "fails"
