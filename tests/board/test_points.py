"""A file of corners at the board: looked at in both orders, taken as one edit, and as the ground of a new garden."""

from __future__ import annotations

from tests.board.windows import Window

TEXT = "Point;East;North\nA;100,0;200,0\nB;118,0;200,0\nC;118,0;246,0\nD;100,0;246,0\nA;100,01;200,0\n"


def test_corners_are_looked_at_in_both_orders_then_taken_and_taken_back(window: Window):
    before = window.get("/api/garden")
    found = window.post("/api/points", {"text": TEXT, "name": "corners.csv", "lay": "first"})
    assert window.get("/api/garden") == before
    assert found["faults"] == []
    assert [w["order"] for w in found["ways"]] == ["east", "north"]
    assert found["corners"] == [[0, 0], [18, 0], [18, 46], [0, 46]]
    assert any("comes back to the first within 0.010 m" in w for w in found["said"])
    assert ["boundary", "the boundary of the ground", True] in found["becomes"]
    window.edit(*found["edit"]["ops"], label=found["edit"]["label"])
    assert window.get("/api/garden")["garden"]["boundary"] == [[0.0, 0.0], [18.0, 0.0], [18.0, 46.0], [0.0, 46.0]]
    assert window.post("/api/undo")["label"] == "Boundary from corners.csv"
    assert window.get("/api/garden")["garden"] == before["garden"]


def test_crossing_sides_and_bad_lines_are_told_and_nothing_can_be_taken(window: Window):
    crossed = window.post("/api/points", {"text": "0 0\n10 10\n10 0\n0 10\n"})
    assert crossed["edit"] is None
    assert crossed["faults"][0].startswith("The side from 1 to 2 crosses the side from 3 to 4.")
    assert window.post("/api/points", {"text": "x,y\n1,2\nq,2\n"})["faults"][0].startswith('Line 3: "q"')
    window.post("/api/points", {"text": " "}, status=422)
    window.post("/api/points", {"text": "0 0", "group": "x", "only": 7, "unit": []})


def test_a_new_garden_begins_with_corners_from_a_file(start: Window):
    text = "lat,lon\n52.1,-1.2\n52.1,-1.1997\n52.1004,-1.1997\n52.1004,-1.2\n"
    writing = {"units": "metric", "decimal_mark": ".", "currency": "EUR", "paper": "A4"}
    found = start.post("/api/points", {"text": text, "writing": writing, "become": "boundary"})
    assert found["faults"] == []
    ground = {"outline": found["corners"], "datum": found["datum"]}
    start.post(
        "/api/new", {"name": "Surveyed", "writing": writing, "ground": ground, "house": None, "sum_a_year": "100"}
    )
    garden = start.get("/api/garden")["garden"]
    assert len(garden["boundary"]) == 4
    assert garden["site"]["place"]["latitude_deg"] == 52.1
    assert garden["site"]["datum"]["longitude_deg"] == -1.2
