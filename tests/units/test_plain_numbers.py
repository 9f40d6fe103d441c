"""Plain numbers, shares and areas in a person's own writing."""

import pytest

from quincunx.units import Style, format_area, format_length, own_shares, own_units, write_plain
from quincunx.works.jobs import CostLine

POINT, COMMA, FEET = Style(), Style(decimal_mark=","), Style("feet")


@pytest.mark.parametrize(
    ("value", "point", "comma"),
    [
        (2.5, "2.5", "2,5"),
        (12.0, "12", "12"),
        (0.125, "0.125", "0,125"),
        (1197, "1,197", "1.197"),
        (1234567.25, "1,234,567.25", "1.234.567,25"),
        (-0.0001, "0", "0"),
        (-1500.5, "-1,500.5", "-1.500,5"),
    ],
)
def test_a_number_has_no_more_decimals_than_it_takes_and_its_thousands_parted(value, point, comma):
    assert write_plain(value, POINT) == point
    assert write_plain(value, COMMA) == comma


def test_large_areas_and_far_ways_have_their_thousands_parted():
    # 1157 ft2 is 107.49 m2 (1 ft = 0.3048 m exactly).
    assert format_area(1157 * 0.3048**2, FEET) == "1,157 ft²"
    assert format_area(1157 * 0.3048**2, Style("feet", ",")) == "1.157 ft²"
    assert format_area(1234.4, POINT) == "1,234 m²"
    assert format_area(1234.4, POINT, precision=1) == "1234.4 m²"
    assert format_length(1157 * 0.3048, FEET, kind="long") == "1,157 ft"


def test_a_share_has_the_persons_mark_and_a_name_is_left_as_it_is():
    words = "“Bed 1.2” would cost at most 1.5 in 100; (0.4 parts in 100 of what is still to come)."
    assert own_shares(words, POINT) == words
    assert own_shares(words, COMMA) == words.replace("1.5 in", "1,5 in").replace("0.4 parts", "0,4 parts")


def test_pressures_of_tables_in_pounds_have_their_thousands_parted():
    # 1500 psf is 71.8 kN/m2 (NIST SP 811, table B.8).
    assert own_units("clay and silt, 1,500 psf", FEET) == "clay and silt, 1,500 psf"
    assert own_units("clay and silt, 1,500 psf", POINT) == "clay and silt, 72 kN/m²"


@pytest.mark.parametrize(
    ("line", "point", "comma"),
    [
        (CostLine(words="oak boards", sum=1, quantity=12.5, unit="m"), "12.5 m oak boards", "12,5 m oak boards"),
        (CostLine(words="bricks", sum=1, quantity=1197), "1,197 bricks", "1.197 bricks"),
        (CostLine(words="posts", sum=1, quantity=3, unit="2.4 m"), "3 × 2.40 m posts", "3 × 2,40 m posts"),
        (CostLine(words="nails", sum=1, quantity=36.24, unit="100"), "3,624 nails", "3.624 nails"),
        (CostLine(words="gate", sum=1, quantity=1, unit="each"), "1 gate", "1 gate"),
        (CostLine(words="concrete", sum=1, quantity=0.27, unit="yd3"), "0.27 yd³ concrete", "0,27 yd³ concrete"),
        (CostLine(words="skip", sum=1), "skip", "skip"),
    ],
)
def test_how_much_of_a_line_of_costs_is_written_in_one_way(line, point, comma):
    assert line.how_much(POINT) == point
    assert line.how_much(COMMA) == comma


def test_boards_are_asked_for_in_the_length_the_person_measures_in():
    """8 ft is 2.4384 m exactly (international yard and pound, 1959); the bill names it in metres."""
    line = CostLine(words="fence board", sum=1, quantity=453, unit="2.438 m")
    assert line.how_much(Style(system="feet")) == "453 × 8' 0\" fence board"
