"""The hands of the sheet and its photos, asked as the page asks."""

from __future__ import annotations

from tests.photos import a_photo

WHEN = {"year": 2029, "month": 8}


def hand(window, name, status=200, **body):
    return window.post(f"/api/hands/{name}", {**WHEN, **body}, status)


def test_each_hand_answers_an_edit_that_is_made_and_taken_back(window):
    before = window.get("/api/garden")["garden"]
    asked = {
        "mirror": {"ids": ["seat"], "start": [3, 0], "end": [3, 5]},
        "array": {"ids": ["seat"], "layout": "quincunx", "across": 3, "rows": 2, "spacing_m": 1.5},
        "beside": {"id": "hedge", "aside_m": 0.8, "kind": "path", "since": "2028-03"},
        "dimension": {"start": [0.5, 8], "end": [9, 8], "aside_m": 0.5},
    }
    for name, body in asked.items():
        told = hand(window, name, **body)
        assert told["figures"], name
        assert told["said"]
        window.edit(*told["edit"]["ops"], label=told["edit"]["label"])
        assert window.get("/api/garden")["garden"] != before
        window.post("/api/undo")
        assert window.get("/api/garden")["garden"] == before
    assert hand(window, "array", **asked["array"])["said"].startswith("8 places")
    assert hand(window, "dimension", **asked["dimension"])["said"] == "holds on to hedge"


def test_refusals_are_sentences(window):
    assert "layout" in hand(window, "array", 422, ids=["seat"], layout="round", spacing_m=1)["error"]
    assert "no edge" in hand(window, "beside", 422, id="seat", aside_m=1)["error"]
    assert "two points" in hand(window, "mirror", 422, ids=["seat"], start=[1, 1], end=[1, 1])["error"]
    assert "no longer there" in hand(window, "mirror", 422, ids=["gone"], start=[1, 1], end=[1, 2])["error"]
    hand(window, "juggle", 404)


def test_dimension_lines_and_pins_are_on_the_sheet(window):
    told = hand(window, "dimension", start=[0.5, 8], end=[9, 8])
    pin = {"do": "put", "part": "pins", "id": "wet", "value": {"id": "wet", "name": "Wet in March", "at": [4, 4]}}
    window.edit(*told["edit"]["ops"], pin)
    scene = window.get("/api/scene", year=2029, month=8)
    assert scene["pins"] == [{"id": "wet", "name": "Wet in March", "at": [4.0, 4.0]}]
    figures = scene["figures"]
    measured = next(f for f in figures if f["t"] == "dimension" and f["role"] == "measure")
    assert measured["text"] == "8.50 m"
    window.edit({"do": "change", "part": "features", "id": "hedge", "value": {"line": [[0.5, 8], [7, 8]]}})
    figures = window.get("/api/scene", year=2029, month=8)["figures"]
    assert next(f for f in figures if f["t"] == "dimension" and f["role"] == "measure")["text"] == "6.50 m"


def test_photos_are_kept_with_the_garden_and_shown(window):
    name = window.post("/api/pictures", {"picture": a_photo(), "words": "The wet corner"})["id"]
    pin = {"id": "wet", "at": [4, 4], "pictures": [name]}
    window.edit({"do": "put", "part": "pins", "id": "wet", "value": pin})
    assert [(p["id"], p["words"], p["pin"]) for p in window.get("/api/pictures")] == [(name, "The wet corner", "wet")]
    shown = window.client.get(f"/api/pictures/{name}")
    assert (shown.status_code, shown.headers["content-type"]) == (200, "image/jpeg")
    assert shown.content.startswith(b"\xff\xd8\xff")
    assert "sandbox" in shown.headers["content-security-policy"]
    window.post("/api/pictures", {"picture": "data:text/html;base64,PGI+"}, 422)
    window.post("/api/pictures", {"picture": "data:image/png;base64,PGI+"}, 422)
    window.get("/api/pictures/none", 404)
