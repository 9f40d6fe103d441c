"""Tables brought in at the board: looked at with their faults, taken in as one edit, taken back."""

from __future__ import annotations

import json

import pytest

from tests.board.windows import Window
from tests.site.test_weather_in import days, epw

PLANTS = """name;botanical;height_m;spread_m;bloom_months;cost
Village plum;Prunus domestica;5-6;4;Apr-May;12
Quince of the lane;Cydonia oblonga;4,5;4;5;9
Nameless;;tall;1;;
"""


def take(window: Window, found: dict) -> None:
    window.edit(*found["edit"]["ops"], label=found["edit"]["label"])


def test_own_plants_are_looked_at_with_every_fault_then_taken_in(window):
    before = window.get("/api/garden")
    found = window.post("/api/take-in", {"what": "plants", "text": PLANTS, "name": "mine.csv"})
    assert window.get("/api/garden") == before
    assert found["said"] == ["2 plants can be read."]
    assert [row[0] for row in found["rows"]] == ["Village plum", "Quince of the lane"]
    assert found["rows"][0][2] == "5.50 m × 4.00 m"
    assert [f.partition(":")[0] for f in found["faults"]] == [
        "Line 4, height_m", "Columns that mean nothing here",
    ]  # fmt: skip
    take(window, found)
    assert [p["name"] for p in window.get("/api/garden")["garden"]["plants"]] == ["Village plum", "Quince of the lane"]
    assert window.get("/api/plants", q="quince of")["plants"][0]["own"]
    assert window.post("/api/undo")["label"] == "Own plants from mine.csv"


def test_a_row_that_stands_in_place_of_one_of_the_list_says_so(window):
    text = "id,name,height_m,spread_m\ncarpinus-betulus,My hornbeam,9,6\n"
    found = window.post("/api/take-in", {"what": "plants", "text": text})
    assert found["rows"][0][3].startswith("the list's ")
    take(window, found)
    again = window.post("/api/take-in", {"what": "plants", "text": text})
    assert again["rows"][0][3] == "your My hornbeam"


def test_a_plant_of_the_list_becomes_my_own_and_no_longer_claims_what_was_read(window):
    edit = window.get("/api/own-plant", of="corylus-avellana")["edit"]
    value = edit["ops"][0]["value"]
    assert value["source"] == "own, begun from the list"
    assert not value.get("read_fields")
    window.edit(*edit["ops"], label=edit["label"])
    window.edit(
        {"do": "change", "part": "plants", "id": "corylus-avellana", "value": {"height_m": 3.0, "height_span_m": None}}
    )
    assert window.get("/api/plants", q="corylus-avellana")["plants"][0]["height_m"] == 3.0
    assert "not in the list" in window.get("/api/own-plant", of="no-such", status=404)["error"]


def test_days_and_hours_become_the_climate(window):
    told = window.get("/api/climate")["said"]
    table = "date,tmin,tmax,rain\n" + "\n".join(f"{d.on},{d.low_c},{d.high_c},{d.rain_mm}" for d in days(12))
    found = window.post("/api/take-in", {"what": "climate", "text": table, "name": "days.csv"})
    assert found["faults"] == []
    assert any("zone" in line for line in found["said"])
    assert [len(row) for row in found["rows"]] == [13] * len(found["rows"])
    assert {row[0] for row in found["rows"]} >= {"lowest, °C", "rain, mm"}
    take(window, found)
    after = window.get("/api/climate")
    assert after["source"] == "from days.csv"
    assert after["said"] != told
    assert any(line.startswith("Frost comes after ") for line in after["said"])
    hours = window.post("/api/take-in", {"what": "climate", "text": epw(), "name": "typical.epw"})
    assert any("hours of a typical year" in line for line in hours["said"])
    bad = window.post("/api/take-in", {"what": "climate", "text": "one,two\n1,2\n"})
    assert bad["edit"] is None
    assert bad["faults"]


def test_a_garden_in_feet_is_told_in_fahrenheit_and_inches(window):
    text = "date,tmin,tmax,rain\n" + "\n".join(f"{d.on},-5,10,2.54" for d in days(12))
    metric = window.post("/api/take-in", {"what": "climate", "text": text})
    window.edit({"do": "change", "part": "writing", "id": None, "value": {"units": "feet"}})
    found = window.post("/api/take-in", {"what": "climate", "text": text})
    rows = {row[0]: row[1] for row in found["rows"]}
    assert rows == {"lowest, °F": "23.0", "highest, °F": "50.0", "rain, in": "3.1", "rainy days": "31.0"}
    said = " ".join(found["said"])
    assert "37 in of rain a year" in said  # 365.25 x 2.54 mm = 928 mm = 36.5 in
    assert "°C" not in said
    assert " mm " not in said
    assert found["edit"] == metric["edit"]


@pytest.mark.parametrize("body", [{}, {"what": "plants"}, {"what": "plants", "text": " "}, {"what": "x", "text": "a"},
                                  {"what": "plants", "text": 3}, {"what": "plants", "text": "a\0b"}])  # fmt: skip
def test_nonsense_is_one_sentence(window, body):
    assert window.post("/api/take-in", body, status=422)["error"].endswith(".")


def test_parts_say_what_can_be_brought_in(window):
    takes = {p["part"]: p["takes"] for p in window.get("/api/parts")}
    assert {part for part, t in takes.items() if t} == {"plants", "site"}
    json.dumps(takes)
