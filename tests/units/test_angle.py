"""Bearings, slopes and places on the globe."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from quincunx.units import (
    AmbiguousNumber,
    Style,
    UnitsError,
    compass_words,
    format_bearing,
    format_slope,
    parse_bearing,
    parse_latitude,
    parse_longitude,
    parse_slope,
)

POINT = Style()
COMMA = Style(decimal_mark=",")

# S1: a closed loop's quadrant bearings with each side's latitude and departure, J. Mahun, Open Access Surveying
# Library, XI Traverse Computations, chapter I section 3 (read, and the arithmetic repeated).  Feet.
TRAVERSE = [
    ("S68°05'35\"W", 472.68, -176.357, -438.548),
    ("N19°46'00\"W", 216.13, 203.395, -73.093),
    ("N45°55'20\"E", 276.52, 192.357, 198.651),
    ("S54°59'15\"E", 382.24, -219.312, 313.065),
]


@pytest.mark.parametrize(("bearing", "length", "latitude", "departure"), TRAVERSE)
def test_a_surveyors_bearings_give_his_latitudes_and_departures(bearing, length, latitude, departure):
    angle = math.radians(parse_bearing(bearing, POINT))
    assert length * math.cos(angle) == pytest.approx(latitude, abs=0.001)
    assert length * math.sin(angle) == pytest.approx(departure, abs=0.001)
    assert format_bearing(math.degrees(angle), POINT, kind="quadrant") == bearing


@pytest.mark.parametrize(
    ("text", "bearing"),
    [
        ("248", 248.0),
        ("248.5°", 248.5),
        ("248,5 deg", 248.5),
        ("360", 0.0),
        ("0", 0.0),
        ("N", 0.0),
        ("SSW", 202.5),
        ("south-west", 225.0),
        ("north west", 315.0),
        ("n 45 e", 45.0),
        ("N 45 deg E", 45.0),
        ("S0W", 180.0),
        ("N0°W", 0.0),
        ("S 90 E", 90.0),
        ("12°30'", 12.5),
        ("12° 30′ 36″", 12.51),
    ],
)
def test_bearings_are_read_clockwise_from_north(text, bearing):
    assert parse_bearing(text, POINT) == pytest.approx(bearing, abs=1e-12)


@pytest.mark.parametrize("text", ["", "361", "N95E", "12°75'", "12.5°30'", "-5", "NSE", "northish", '45"'])
def test_what_is_no_bearing_is_refused(text):
    with pytest.raises(UnitsError, match="expected"):
        parse_bearing(text, POINT)


def test_a_bearing_may_be_written_three_ways():
    assert format_bearing(359.99, POINT) == "0.0°"
    assert format_bearing(-90, COMMA) == "270,0°"
    assert format_bearing(348.74, POINT, kind="compass") == "NNW"
    assert format_bearing(348.75, POINT, kind="compass") == "N"
    assert format_bearing(180, POINT, kind="quadrant") == "S00°00'00\"E"
    assert format_bearing(359.9999, POINT, kind="quadrant") == "N00°00'00\"E"


@given(st.floats(0, 360, exclude_max=True), st.sampled_from([POINT, COMMA]))
def test_bearings_read_back(bearing, style):
    def apart(text: str) -> float:
        return float(abs((parse_bearing(text, style) - bearing + 180) % 360 - 180))

    assert apart(format_bearing(bearing, style)) <= 0.05001
    assert apart(format_bearing(bearing, style, kind="quadrant")) <= 0.5001 / 3600
    assert apart(format_bearing(bearing, style, kind="compass")) <= 11.25001


@pytest.mark.parametrize(
    ("text", "grade"),
    [
        ("1:20", 0.05),
        ("1 in 20", 0.05),
        ("1/20", 0.05),
        ("6:12", 0.5),
        ("5 %", 0.05),
        ("2,5%", 0.025),
        ("5 percent", 0.05),
        ("45°", 1.0),
        ("3°", 0.0524077793),
        ("-1:60", -1 / 60),
        ("1:1", 1.0),
        ("0", 0.0),
        ("1/2 %", 0.005),
    ],
)
def test_slopes_are_read(text, grade):
    assert parse_slope(text, POINT) == pytest.approx(grade, abs=1e-10)


@pytest.mark.parametrize(("text", "readings"), [("5", ("5 %", "5°")), ("2:1", ("1:2", "200 %"))])
def test_a_slope_with_two_readings_is_refused(text, readings):
    with pytest.raises(AmbiguousNumber) as refusal:
        parse_slope(text, POINT)
    assert refusal.value.readings == readings
    assert len({parse_slope(reading, POINT) for reading in readings}) == 2


@pytest.mark.parametrize("text", ["", "x", "1:0", "90°", "steep", "%"])
def test_what_is_no_slope_is_refused(text):
    with pytest.raises(UnitsError, match="expected"):
        parse_slope(text, POINT)


@pytest.mark.parametrize(
    ("grade", "kind", "text"),
    [
        (0.05, "ratio", "1:20"),
        (1 / 3, "ratio", "1:3.0"),
        (-0.05, "ratio", "-1:20"),
        (0.0, "ratio", "level"),
        (1.5, "ratio", "150 %"),
        (0.05, "percent", "5.0 %"),
        (0.05, "degrees", "2.9°"),
    ],
)
def test_slopes_are_written(grade, kind, text):
    assert format_slope(grade, POINT, kind=kind) == text


@given(st.floats(-1, 1))
def test_slopes_read_back(grade):
    assert abs(parse_slope(format_slope(grade, POINT), POINT) - grade) <= 0.000501
    assert abs(parse_slope(format_slope(grade, POINT, kind="degrees"), POINT) - grade) <= 0.0018


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("52.1", 52.1),
        ("52,1 N", 52.1),
        ("N52.1", 52.1),
        ("52°06'N", 52.1),
        ("52 deg N", 52.0),
        ("-33.9", -33.9),
        ("33.9 S", -33.9),
    ],
)
def test_latitudes_are_north_positive(text, degrees):
    assert parse_latitude(text, POINT) == pytest.approx(degrees, abs=1e-12)


def test_longitudes_are_east_positive():
    assert parse_longitude("1°30' W", POINT) == -1.5
    assert parse_longitude("105.1786 E", POINT) == 105.1786


@pytest.mark.parametrize("text", ["", "95", "52 E", "-52 S", "N52N", "there"])
def test_what_is_no_latitude_is_refused(text):
    with pytest.raises(UnitsError, match="expected"):
        parse_latitude(text, POINT)


@pytest.mark.parametrize(
    ("bearing", "words"),
    [(0.0, "north"), (46.0, "north-east"), (-90.0, "west"), (359.0, "north"), (224.0, "south-west")],
)
def test_a_bearing_in_words_is_the_nearest_of_eight_sides(bearing: float, words: str) -> None:
    assert compass_words(bearing) == words
