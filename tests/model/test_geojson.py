"""What stands as GeoJSON: by the rules of RFC 7946, in its true size, with what each thing is."""

from __future__ import annotations

import json
from typing import Any

import pytest
import shapely
from shapely.geometry import shape

from quincunx.garden import Garden, garden_from, timeline
from quincunx.garden.on_earth import geojson
from quincunx.units.errors import PlainError
from tests.board.garden import SMALL, small


@pytest.fixture(scope="module")
def written() -> dict[str, Any]:
    through = timeline(small())
    found: dict[str, Any] = json.loads(geojson(small(), through.at(through.leaf_date(2029))))
    return found


def of(written: dict[str, Any], part: str) -> list[dict[str, Any]]:
    return [f for f in written["features"] if f["properties"]["part"] == part]


def test_every_member_is_as_rfc_7946_asks(written: dict[str, Any]) -> None:
    assert written["type"] == "FeatureCollection"  # 3.3
    assert "crs" not in written  # 4: only WGS 84, longitude first
    for feature in written["features"]:
        assert feature["type"] == "Feature"  # 3.2
        assert set(feature) == {"type", "properties", "geometry"}
        found = shape(feature["geometry"])
        assert found.is_valid
        for piece in shapely.get_parts(found):
            if piece.geom_type == "Polygon":  # 3.1.6: rings closed, outside anticlockwise, holes clockwise
                assert piece.exterior.is_closed
                assert piece.exterior.is_ccw
                assert not any(hole.is_ccw for hole in piece.interiors)


def test_the_ground_has_its_true_size_and_place(written: dict[str, Any]) -> None:
    west, south, east, north = shape(of(written, "boundary")[0]["geometry"]).bounds
    assert (west, south) == (0.0, 52.0)
    # 12 m by 10 m where a degree is 68,677 m of longitude and 111,267 m of latitude (52 deg N, WGS 84: the formulas of
    # tests/site/test_geodesy.py).
    assert (east - west) * 68_677 == pytest.approx(12.0, abs=0.002)
    assert (north - south) * 111_267 == pytest.approx(10.0, abs=0.002)


def test_things_say_what_they_are_how_high_and_how_wide(written: dict[str, Any]) -> None:
    wall = next(f for f in of(written, "standing") if f["properties"]["id"] == "wall")["properties"]
    assert (wall["name"], wall["kind"]) == ("Old wall", "wall")
    assert wall["top_m"] == pytest.approx(1.8)
    gate = of(written, "opening")[0]["properties"]
    assert gate["name"] == "Green gate"
    assert gate["width_m"] > 0.5
    assert {f["properties"]["name"] for f in of(written, "spot")} == {"Back door", "Bench"}
    assert of(written, "room")[0]["geometry"]["type"] == "Point"


def test_what_does_not_stand_yet_is_not_written() -> None:
    through = timeline(small())
    early = json.loads(geojson(small(), through.at(through.leaf_date(2027))))
    assert not any(f["properties"].get("id") in {"hedge", "path", "seat"} for f in early["features"])


def nowhere() -> Garden:
    return garden_from({**SMALL, "site": {}})


def test_without_a_place_it_says_what_to_give_and_takes_where_the_origin_lies() -> None:
    garden = nowhere()
    scene = timeline(garden).at(timeline(garden).leaf_date(2029))
    with pytest.raises(PlainError, match="Give its town"):
        geojson(garden, scene)
    with pytest.raises(PlainError, match="There is no place at 95 0"):
        geojson(garden, scene, (95.0, 0.0))
    found = json.loads(geojson(garden, scene, (-33.9, 151.2)))
    assert found["origin"] == {"latitude_deg": -33.9, "longitude_deg": 151.2, "of": ""}
    assert shape(of(found, "boundary")[0]["geometry"]).bounds[:2] == (151.2, -33.9)
