"""Pegs, their photos and views, and stills, on the board."""

from __future__ import annotations

import base64

from tests.board.windows import put
from tests.sheets.test_same_spot import DOT, PEG

PICTURE = "data:image/png;base64," + base64.b64encode(DOT).decode()
STAND = {"on": "2029-06-30", "hour": 15.5, "x": 2.2, "y": 2.1, "eye": 1.2, "bearing": 90.0, "picture": PICTURE}


def test_pegs_have_their_words_and_their_photos_by_year(window):
    window.edit(put("pegs", PEG))
    (peg,) = window.get("/api/pegs")["pegs"]
    assert peg["words"].startswith("Stand on the peg, the camera 1.50 m")
    assert [(y["year"], len(y["photos"])) for y in peg["years"]] == [(2027, 0), (2028, 2), (2029, 0)]


def test_a_photo_belongs_to_no_peg_until_it_is_given_to_one(window):
    window.edit(put("pegs", PEG | {"photos": []}))
    name = window.post("/api/pictures", {"picture": PICTURE, "words": "In June"})["id"]
    told = window.get("/api/pegs")
    assert told["free"] == [{"picture": name, "words": "In June", "day": ""}]
    given = {"do": "change", "part": "pegs", "id": "peg", "value": {"photos": [{"picture": name, "day": "2027-06-20"}]}}
    window.edit(given)
    told = window.get("/api/pegs")
    assert told["free"] == []
    assert told["pegs"][0]["years"][0]["photos"] == [{"picture": name, "day": "2027-06-20"}]


def test_the_view_of_a_year_is_a_drawing_and_differs_when_things_come(window):
    window.edit(put("pegs", PEG | {"at": [3, 7], "look_at": [6, 9]}))
    first, last = (window.get("/api/pegs/look", peg="peg", year=y) for y in (2027, 2029))
    assert first.headers["content-type"] == "image/svg+xml"
    assert first.text.startswith("<svg")
    assert first.text != last.text
    assert "no such peg" in window.get("/api/pegs/look", 404, peg="peg", year=2050)["error"]
    assert "no such peg" in window.get("/api/pegs/look", 404, peg="other", year=2027)["error"]


def test_a_still_is_kept_with_its_place_day_hour_and_year(window):
    told = window.post("/api/foot/stills", STAND)
    assert told["words"] == "From Bench, looking east; 30 June 2029, 15:30 (year 3 of the plan)."
    garden = window.get("/api/garden")
    (still,) = garden["garden"]["stills"]
    assert (still["words"], still["on"], still["hour"]) == (told["words"], "2029-06-30", 15.5)
    picture = window.get(f"/api/pictures/{still['picture']}")
    assert picture.content == DOT
    assert garden["can_undo"] == "Keep a still"
    assert window.get("/api/pegs")["free"] == []


def test_a_still_from_above_or_from_afar_says_so(window):
    assert window.post("/api/foot/stills", STAND | {"above": True, "eye": 30})["words"].startswith(
        "From above; 30 June"
    )
    assert window.post("/api/foot/stills", STAND | {"x": 8, "y": 8})["words"].startswith("Near Back door, looking east")


def test_what_can_not_be_is_refused(window):
    assert "on is a day" in window.post("/api/foot/stills", STAND | {"on": "June"}, 422)["error"]
    assert "can't be" in window.post("/api/foot/stills", STAND | {"hour": 30}, 422)["error"]
    assert "JPEG" in window.post("/api/foot/stills", STAND | {"picture": "data:text/html,hi"}, 422)["error"]
    assert window.get("/api/garden")["garden"].get("stills", []) == []
