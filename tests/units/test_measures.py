"""Areas, volumes and hours."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from quincunx.units import (
    AmbiguousNumber,
    Style,
    UnitsError,
    format_area,
    format_hours,
    format_volume,
    parse_area,
    parse_hours,
    parse_volume,
)

POINT = Style()
COMMA = Style(decimal_mark=",")
FEET = Style(system="feet", currency="USD")


def test_a_surveyors_field_in_acres():
    # S28: 624 630.88 ft2 is 14.340 acre (43 560 ft2 to the acre); a surveyor's figure in a mathematics help
    # archive, 28 Aug 2002.  Read, and repeated.
    assert parse_area("624,630.88 sq ft", FEET) == pytest.approx(parse_area("14.340 acres", FEET), rel=5e-5)
    assert format_area(parse_area("624,630.88 ft2", FEET), FEET) == "14.34 acre"


@pytest.mark.parametrize(
    ("text", "area_m2"),
    [
        # NIST SP 811 (2008), appendix B.8: ft2 0.09290304 m2, yd2 0.83612736 m2 (both exact), ha 10 000 m2.  The
        # international acre is 43 560 x 0.09290304 = 4046.8564224 m2 (from memory, arithmetic repeated).
        ("1 ft2", 0.09290304),
        ("1 sq yd", 0.83612736),
        ("1 acre", 4046.8564224),
        ("½ acre", 2023.4282112),
        ("0,3 ha", 3000.0),
        ("120 m²", 120.0),
        ("828 square metres", 828.0),
        ("5000 cm2", 0.5),
        ("1 234,5 m2", 1234.5),
    ],
)
def test_areas_are_read(text, area_m2):
    assert parse_area(text, POINT) == pytest.approx(area_m2, rel=1e-15)
    assert parse_area(text, FEET) == pytest.approx(area_m2, rel=1e-15)


def test_a_bare_area_is_in_the_styles_unit():
    assert parse_area("120", POINT) == 120.0
    assert parse_area("100", FEET) == pytest.approx(9.290304)
    with pytest.raises(AmbiguousNumber, match=r"1\.234 m2 or 1234 m2"):
        parse_area("1,234", POINT)


@pytest.mark.parametrize("text", ["", "12 m", "3²", "half an acre", "12' 6\"", "1 acre 2"])
def test_what_is_no_area_is_refused(text):
    with pytest.raises(UnitsError, match="expected"):
        parse_area(text, POINT)


@pytest.mark.parametrize(
    ("area_m2", "style", "text"),
    [
        (5.0, POINT, "5.00 m²"),
        (9.996, POINT, "10.0 m²"),
        (99.96, COMMA, "100 m²"),
        (828.0, POINT, "828 m²"),
        (-0.001, POINT, "0.00 m²"),
        (12_345.0, COMMA, "1,23 ha"),
        (9999.6, POINT, "1.00 ha"),
        (92.90304, FEET, "1,000 ft²"),
        (2023.4282112, FEET, "0.50 acre"),
    ],
)
def test_areas_are_written(area_m2, style, text):
    assert format_area(area_m2, style) == text


@given(st.floats(0, 1e5), st.sampled_from([POINT, COMMA, FEET]), st.integers(0, 3))
def test_areas_read_back(area_m2, style, decimals):
    unit_m2 = 1.0 if style.system == "metric" else 0.09290304
    read = parse_area(format_area(area_m2, style, precision=decimals), style)
    assert abs(read - area_m2) <= 0.5001 * 10**-decimals * unit_m2


@pytest.mark.parametrize(
    ("text", "volume_m3"),
    [
        # NIST SP 811 (2008), appendix B.8: gallon (US) 3.785 412 E-03, yd3 7.645 549 E-01, ft3 2.831 685 E-02 m3; the
        # gallon (imperial) 4.546 09 E-03 exactly.
        ("1 gal", 3.785412e-3),
        ("1 yd3", 7.645549e-1),
        ("1 cu ft", 2.831685e-2),
        ("1 imperial gallon", 4.54609e-3),
        ("250 l", 0.25),
        ("1.2 m3", 1.2),
        ("1,2 m³", 1.2),
    ],
)
def test_volumes_are_read(text, volume_m3):
    assert parse_volume(text, POINT) == pytest.approx(volume_m3, rel=1e-6)


def test_a_bare_volume_depends_on_what_it_is_of():
    assert parse_volume("2", POINT) == 2.0
    assert parse_volume("200", POINT, kind="liquid") == 0.2
    assert parse_volume("2", FEET) == pytest.approx(1.529110, rel=1e-6)
    assert parse_volume("60", FEET, kind="liquid") == pytest.approx(0.2271247, rel=1e-6)


def test_volumes_are_written():
    assert format_volume(1.2, COMMA) == "1,20 m³"
    assert format_volume(0.25, POINT, kind="liquid") == "250 l"
    assert format_volume(16.067, POINT, kind="liquid") == "16,067 l"
    assert format_volume(16.067, COMMA, kind="liquid") == "16.067 l"
    assert format_volume(1.529110, FEET) == "2.00 yd³"
    assert format_volume(0.2271247, FEET, kind="liquid") == "60 gal"
    assert format_volume(0.2271247, FEET, kind="liquid", precision=1) == "60.0 gal"
    # Where people remember the imperial gallon (4.546 l) it is said which one is meant.
    assert format_volume(0.2271247, Style("feet", ".", "GBP"), kind="liquid") == "60 US gal"


@given(st.floats(0, 1000), st.sampled_from([POINT, COMMA, FEET]), st.sampled_from(["bulk", "liquid"]))
def test_volumes_read_back(volume_m3, style, kind):
    mark_m3 = {
        ("metric", "bulk"): 0.01,
        ("metric", "liquid"): 0.001,
        ("feet", "bulk"): 0.00765,
        ("feet", "liquid"): 0.00379,
    }
    text = format_volume(volume_m3, style, kind=kind)
    if kind == "liquid":  # thousands are parted, as they are in sums: typed so, the number could be a decimal one
        text = text.replace("," if style.decimal_mark == "." else ".", "")
    assert abs(parse_volume(text, style, kind=kind) - volume_m3) <= 0.501 * mark_m3[style.system, kind]


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("1 h 30", 1.5),
        ("1h30m", 1.5),
        ("1 hr 30 min", 1.5),
        ("1:30", 1.5),
        ("0:05", 1 / 12),
        ("90 min", 1.5),
        ("1,5 h", 1.5),
        ("1½ hours", 1.5),
        ("1 1/2", 1.5),
        ("14", 14.0),
        ("1 h 5", 13 / 12),
    ],
)
def test_hours_are_read(text, hours):
    assert parse_hours(text, POINT) == pytest.approx(hours, abs=1e-12)


@pytest.mark.parametrize("text", ["", "1 h 75", "1:75", "1:5", "-2 h", "2 days", "1.5 h 20", "h"])
def test_what_is_no_time_is_refused(text):
    with pytest.raises(UnitsError, match="expected"):
        parse_hours(text, POINT)


@pytest.mark.parametrize(
    ("hours", "text"),
    [(1.5, "1 h 30"), (0.75, "45 min"), (1.999, "2 h"), (3.0, "3 h"), (0.0, "0 min"), (1.05, "1 h 03")],
)
def test_hours_are_written_to_the_minute(hours, text):
    assert format_hours(hours, POINT) == text


@given(st.floats(0, 2000), st.sampled_from([POINT, COMMA]))
def test_hours_read_back(hours, style):
    assert abs(parse_hours(format_hours(hours, style), style) - hours) <= 0.5001 / 60
    assert abs(parse_hours(format_hours(hours, style, kind="decimal"), style) - hours) <= 0.0501
