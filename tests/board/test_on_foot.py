"""On foot: the model, the ground one may walk, the sun, and what is seen from there in words."""

from __future__ import annotations

import base64
import math

import numpy as np
import pytest
from shapely import LineString, Point, Polygon

from tests.model.reading import read

WHEN = {"year": 2029, "month": 8}


@pytest.fixture
def told(window):
    return window.get("/api/foot/ground", **WHEN)


def test_the_model_is_gltf_and_differs_from_year_to_year(window):
    reply = window.get("/api/foot/garden.glb", **WHEN)
    assert reply.headers["content-type"] == "model/gltf-binary"
    names = {n["extras"]["id"] for n in read(reply.content).doc["nodes"]}
    before = {
        n["extras"]["id"] for n in read(window.get("/api/foot/garden.glb", year=2027, month=8).content).doc["nodes"]
    }
    assert names - before == {"hedge", "path", "seat"}
    kept = window.get("/api/foot/garden.glb", keep=1, **WHEN)
    assert kept.headers["content-disposition"].startswith('attachment; filename="small-2029-08.glb"')


def test_the_map_is_geojson_of_that_month_to_keep(window, told):
    assert told["on_earth"] is True
    reply = window.client.get("/api/foot/garden.geojson", params=WHEN)
    assert reply.headers["content-type"] == "application/geo+json"
    assert reply.headers["content-disposition"].startswith('attachment; filename="small-2029-08.geojson"')
    assert reply.json()["on"] == "2029-08-31"


def test_free_ground_keeps_a_body_off_walls_and_goes_through_the_gate(told):
    free = [Polygon(rings[0], rings[1:]) for rings in told["free"]]
    wall = LineString([(0.5, 0.5), (6, 0.5), (6, 6), (0.5, 6), (0.5, 0.5)])
    # A person's middle stays half a body (0.45 m / 2) off the wall, but in the gate.
    for piece in free:
        near = piece.exterior.interpolate(np.linspace(0, 1, 400), normalized=True)
        off = [wall.distance(p) for p in near if Point(6, 3).distance(p) > 0.8]
        assert min(off) > 0.22
    inside = [p for p in free if p.contains(Point(3, 3))]
    assert len(inside) == 1
    assert inside[0].contains(Point(8, 3))


def test_heights_are_those_of_the_floor(told):
    grid = told["heights"]
    cells = np.frombuffer(base64.b64decode(grid["cm"]), "<i2").reshape(grid["rows"], grid["columns"])
    assert np.abs(cells).max() <= 10
    assert grid["x0"] <= 0
    assert grid["x0"] + grid["step"] * (grid["columns"] - 1) >= 12


def test_the_sun_rises_in_the_east_stands_south_at_noon_and_sets_in_the_west(told):
    sun = np.array(told["sun"])
    assert np.linalg.norm(sun[:, 1:], axis=1) == pytest.approx(1, abs=1e-3)
    assert sun[0, 1] > 0.8
    assert sun[-1, 1] < -0.8
    top = sun[sun[:, 3].argmax()]
    # 31 August at 52 N: declination 8.5 deg, so 46.5 deg up at noon (Meeus, Astronomical Algorithms, 1998, 13).
    assert math.degrees(math.asin(top[3])) == pytest.approx(46.5, abs=0.3)
    assert top[2] < -0.6


def test_spots_are_where_one_can_stand(told):
    free = [Polygon(rings[0], rings[1:]) for rings in told["free"]]
    assert [s["id"] for s in told["spots"]] == ["bench", "door"]
    for spot in told["spots"]:
        assert min(p.distance(Point(spot["at"])) for p in free) < 0.01
    assert {p["id"]: p["eye_m"] for p in told["postures"]} == {"standing": 1.6, "seated": 1.2, "child": 1.1}


def test_what_is_seen_is_told_in_words(window):
    inside = window.get("/api/foot/told", x=2, y=3, eye=1.6, bearing=90, **WHEN)["words"]
    assert inside[0] == "31 August 2029, looking east, 1.0 m from Bench."
    assert "% what is built" in inside[1]
    assert "Old wall" in inside[2]
    outside = window.get("/api/foot/told", x=11, y=3, eye=1.6, bearing=90, **WHEN)["words"]
    assert outside[-1] == "Nothing stands there."
    assert "0 % plants, 0 % what is built" in outside[1]


def test_a_place_outside_is_refused(window):
    assert "outside the garden" in window.get("/api/foot/told", 422, x=90, y=3, **WHEN)["error"]
    assert "no such day" in window.get("/api/foot/ground", 422, year=2029, month=14)["error"]
