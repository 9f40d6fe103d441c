"""The question of rain on the board."""

from __future__ import annotations

ASK = {"name": "rain", "year": 2029, "month": 8}


def test_one_rain_is_asked_with_its_side_and_wind(window):
    rain = next(q for q in window.get("/api/questions") if q["name"] == "rain")
    assert [i["name"] for i in rain["inputs"]] == ["rain", "side", "wind", "hard", "seat"]
    assert rain["inputs"][1]["when"] == {"name": "rain", "values": ["one"]}
    assert not rain["value"]


def test_what_reaches_the_ground_is_a_field_in_words(window):
    told = window.get("/api/question", rain="one", side=5, wind=4, hard="1.5", fine=1, **ASK)
    assert told["field"]["unit"] == "%"
    assert told["words"].startswith("How much of this rain reaches the ground; ")
    assert told["legend"][-1]["words"] in (
        "as wet as the open",
        "dry: less than a tenth of the rain",
        "a drip line: no gutter to a tank",
    )
    assert len(told["how"]) == 4


def test_a_rough_answer_comes_first_and_says_so(window, monkeypatch):
    from quincunx.board import rain

    monkeypatch.setattr(rain, "_READY", [])
    told = window.get("/api/question", rain="one", side=3, wind=2, hard="5", **ASK)
    assert told["rough"].startswith("A first look")
    assert told["field"]["step"] == 1.5


def test_a_wind_beyond_all_is_refused(window):
    assert "lies outside" in window.get("/api/question", 422, rain="one", wind=90, **ASK)["error"]


def test_without_weather_a_years_rain_says_what_is_missing(window):
    told = window.get("/api/question", rain="year", fine=1, **ASK)
    assert told["field"] is not None or "nearest weather station" in told["words"]


def test_ground_inside_buildings_is_left_blank():
    from datetime import date

    from shapely import box

    from quincunx.board.under_roofs import indoors
    from quincunx.scene import Scene
    from quincunx.shapes import Height, Solid
    from quincunx.site.ground import Ground

    house = Solid("house", "walls", box(2, 2, 8, 8), top=Height(5))
    wall = Solid("wall", "", box(0, 0, 30, 0.3), top=Height(2))
    bed = Solid("bed", "", box(10, 2, 14, 4), top=Height(0.4))
    hedge = Solid("hedge", "", box(10, 5, 20, 8), top=Height(2), grown=True)
    of = Scene(date(2027, 8, 31), box(0, 0, 30, 30), Ground.flat(), solids=(house, wall, bed, hedge))
    assert indoors(of) == (house.footprint,)
