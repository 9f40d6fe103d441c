"""How it comes true, on the board: for things that are chosen, and for what is seen where one stands."""

from __future__ import annotations


def test_the_way_to_a_thing(window):
    told = window.get("/api/years/towards", about="hedge", year=2029, month=6)
    assert told["day"] == "30 June 2029"
    (step,) = told["way"]
    assert (step["name"], step["hours"], step["money"]) == ("Plant the hedge", "10 h", "£90")
    assert step["orders"] == ["Order by the end of August 2027: whips"]
    assert told["words"][1] == "One job stands between now and then: 10 h and £90 still to be given."
    assert "no thing 'moat'" in window.get("/api/years/towards", 404, about="moat", year=2029, month=6)["error"]


def test_the_way_to_a_view_changes_with_where_one_looks(window):
    eye = {"x": 8, "y": 4, "eye": 1.6, "year": 2029, "month": 6}
    north = window.get("/api/years/towards", bearing=0, **eye)
    west = window.get("/api/years/towards", bearing=270, **eye)
    assert [s["job"] for s in north["way"]] == ["plant-hedge"]
    assert {t["id"] for t in west["things"]} >= {"wall"}
    assert west["way"] == []  # the seat comes by itself
    assert west["words"][0] == "Of the 3 things looked at here in June 2029, 2 are there already."
    assert "between 0.2 and 10 m" in window.get("/api/years/towards", 422, bearing=0, **(eye | {"eye": 50}))["error"]
    assert "must be a number" in window.get("/api/years/towards", 422, bearing="north", **eye)["error"]


def test_a_view_is_drawn_as_planned_and_with_one_job_never_done(window):
    eye = {"x": 8, "y": 4, "eye": 1.6, "bearing": 0, "year": 2031, "month": 6}
    planned = window.get("/api/years/without", **eye)
    without = window.get("/api/years/without", job="plant-hedge", **eye)
    assert planned.headers["content-type"] == "image/svg+xml"
    assert planned.text.startswith("<svg")
    assert without.text.startswith("<svg")
    assert without.text != planned.text
    window.edit({"do": "remove", "part": "jobs", "id": "plant-hedge"})
    assert window.get("/api/years/without", **eye).text == without.text
    assert "no such job" in window.get("/api/years/without", 404, job="moat", **eye)["error"]
    assert "between 0.2 and 10 m" in window.get("/api/years/without", 422, **(eye | {"eye": 50}))["error"]
