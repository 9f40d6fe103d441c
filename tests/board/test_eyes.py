"""The question of eyes on the board."""

from __future__ import annotations

import pytest

ASK = {"name": "eyes", "year": 2029, "month": 8}


def test_it_is_asked_with_a_place_a_height_and_what_is_looked_for(window):
    eyes = next(q for q in window.get("/api/questions") if q["name"] == "eyes")
    assert [i["name"] for i in eyes["inputs"]] == ["eye", "posture", "target"]
    assert eyes["value"]


def test_what_is_seen_is_a_field_in_words_and_bands(window):
    told = window.get("/api/question", eye="2,2", fine=1, **ASK)
    assert told["words"].startswith("From the place touched ")
    assert told["field"]["unit"] == "%"
    assert [r["words"] for r in told["legend"]][:2] == ["seen clearly", "half seen"]
    assert told["how"]
    assert not told["rough"]
    assert "point" not in window.get("/api/question/at", x=2.2, y=2.2, eye="2,2", **ASK)["words"]


def test_a_thing_looked_for_has_a_share_in_each_year_and_lines_on_the_sheet(window):
    (target, *_) = [o["id"] for o in _input(window, "target")["options"] if o["id"] != "all"]
    told = window.get("/api/question", eye="2,2", target=target, fine=1, **ASK)
    table, fills = told["below"]
    assert [row[0] for row in fills["rows"]] == ["plants", "built", "ground", "sky"]
    assert abs(sum(row[1] for row in fills["rows"]) - 100) < 0.01
    assert table["head"] == ["Year", "in leaf", "bare"]
    assert len(table["rows"]) >= 3
    assert any(f["role"] == "evidence" for f in told["figures"])


@pytest.mark.parametrize(("x", "y"), [(2.1, 2.1), (8, 8), (4, 7)])
def test_a_point_says_whether_it_is_seen(window, x, y):
    words = window.get("/api/question/at", x=x, y=y, eye="2,2", **ASK)["words"]
    assert words == "Seen from there." or "in the way" in words


def test_a_wrong_place_is_refused_in_words(window):
    assert "touch the sheet" in window.get("/api/question", 404, eye="nowhere", **ASK)["error"]


def _input(window, name):
    eyes = next(q for q in window.get("/api/questions") if q["name"] == "eyes")
    return next(i for i in eyes["inputs"] if i["name"] == name)
