"""Two alternatives side by side: what differs in words, whose musts break, what is taken over, and by one step back."""

from __future__ import annotations

import pytest


def two_ways(window):
    """Make a second way of doing it in which the wall is gone and a lawn is there."""
    window.post("/api/heads", {"name": "No wall"})
    window.post("/api/heads/switch", {"name": "No wall"})
    window.edit({"do": "remove", "part": "features", "id": "wall"}, label="Take the wall away")
    lawn = {"kind": "lawn", "id": "lawn", "outline": [[1, 1], [5, 1], [5, 5], [1, 5]], "there_from": "start"}
    window.edit({"do": "put", "part": "features", "id": "lawn", "value": lawn}, label="Sow a lawn")
    window.edit({"do": "change", "part": "means", "value": {"sum_a_year": 60000}}, label="More money")
    window.post("/api/heads/switch", {"name": "main"})


def test_what_differs_is_told_thing_by_thing(window):
    two_ways(window)
    told = window.get("/api/beside", **{"with": "No wall"})
    assert (told["here"], told["there"]) == ("main", "No wall")
    said = {(d["part"], d["id"]): (d["name"], d["words"]) for d in told["differs"]}
    assert said[("features", "wall")] == ("Old wall", "only here")
    assert said[("features", "lawn")][1] == "only there"
    assert said[("means", "")][1] == "sum a year: £500 here, £600 there"
    assert set(said) == {("features", "wall"), ("features", "lawn"), ("means", "")}
    assert [y["year"] for y in told["years"]] == [2027, 2028, 2029]
    assert all(y["here"]["figures"] and y["there"]["figures"] for y in told["years"])


def test_musts_whose_answers_differ_come_first_with_both(window):
    two_ways(window)
    told = window.get("/api/beside", **{"with": "No wall"})
    unlike = [m for m in told["musts"] if not m["same"]]
    assert told["musts"][: len(unlike)] == unlike
    gate = next(m for m in told["musts"] if m["id"] == "green-by-gate")
    assert gate["here"]["2028"] == "holds"
    assert gate["there"]["2028"] != "holds"
    assert any("Green gate" in words for words in told["said"])


def test_one_part_is_taken_over_and_taken_back_as_one_step(window):
    two_ways(window)
    took = window.post("/api/beside/take", {"with": "No wall", "things": [["features", "lawn"], ["means", ""]]})
    assert took["ids"] == ["lawn"]
    garden = window.get("/api/garden")
    ids = [f["id"] for f in garden["garden"]["features"]]
    assert "lawn" in ids
    assert "wall" in ids
    assert garden["garden"]["means"]["sum_a_year"] == 60000
    assert garden["can_undo"] == "Take over from No wall"
    window.post("/api/undo")
    assert "lawn" not in [f["id"] for f in window.get("/api/garden")["garden"]["features"]]


def test_taking_all_over_makes_both_the_same(window):
    two_ways(window)
    told = window.get("/api/beside", **{"with": "No wall"})
    window.post("/api/beside/take", {"with": "No wall", "things": [[d["part"], d["id"]] for d in told["differs"]]})
    again = window.get("/api/beside", **{"with": "No wall"})
    assert again["differs"] == []
    assert all(m["same"] for m in again["musts"])


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ({"with": "No wall", "things": [["features", "nothing"]]}, "Nothing of that differs"),
        ({"with": "No wall", "things": "all"}, "list of pairs"),
        ({"with": "Elsewhere", "things": []}, "no alternative called"),
        ({"with": "main", "things": []}, "the alternative you are looking at"),
    ],
)
def test_what_cannot_be_taken_over_is_said(window, body, words):
    two_ways(window)
    assert words in window.post("/api/beside/take", body, 422)["error"]


def test_each_choice_of_a_held_place_becomes_an_alternative(window):
    shortlist = [
        {"id": n, "words": w, "feature": {"kind": "seat", "at": [9, 9], "facing_deg": f}}
        for n, w, f in (("north", "seat facing north", 0), ("south", "seat facing south", 180))
    ]
    held = {
        "kind": "held", "id": "nook", "name": "Nook", "outline": [[8, 8.5], [10, 8.5], [10, 9.5], [8, 9.5]],
        "there_from": "2028-03", "shortlist": shortlist,
    }  # fmt: skip
    window.edit({"do": "put", "part": "features", "id": "nook", "value": held}, label="Hold a nook")
    made = window.post("/api/beside/shortlist", {"id": "nook"})["made"]
    assert made == ["Nook: seat facing north", "Nook: seat facing south"]
    told = window.get("/api/beside", **{"with": "Nook: seat facing north"})
    assert [(d["id"], d["words"]) for d in told["differs"]] == [("nook", "chosen: none here, seat facing north there")]
    assert "Nook, worked out: nothing chosen here, seat facing north (no price, " in told["hours"]
    assert window.get("/api/garden")["head"] == "main"
    assert "already" in window.post("/api/beside/shortlist", {"id": "nook"}, 409)["error"]
    assert "no held place" in window.post("/api/beside/shortlist", {"id": "wall"}, 404)["error"]


def test_what_is_known_comes_at_once_and_the_rest_is_counted(window):
    two_ways(window)
    first = window.get("/api/beside", **{"with": "No wall", "known": 1})
    whole = window.get("/api/beside", **{"with": "No wall"})
    assert first["differs"] == whole["differs"]
    assert first["years"] == whole["years"]
    if first["left"]:  # what is not judged yet differs from nothing
        for must in first["musts"]:
            both = must["here"].keys() & must["there"].keys()
            assert must["same"] == all(must["here"][y] == must["there"][y] for y in both)
    assert whole["left"] == 0
    again = window.get("/api/beside", **{"with": "No wall", "known": 1})
    assert again == whole
