"""Lengths as people write them."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given, strategies as st

from quincunx.units import AmbiguousNumber, Style, UnitsError, format_length, parse_length

POINT = Style()
COMMA = Style(decimal_mark=",")
FEET = Style(system="feet", currency="USD")
STYLES = (POINT, COMMA, FEET)

# The same in every style, because the unit is written.  1 in = 25.4 mm exactly (international yard and pound
# agreement of 1959; NIST SP 811, appendix B.8), so the metres are arithmetic on the reading.
WRITTEN = [
    ("3.4 m", 3.4),
    ("3,4 m", 3.4),
    ("340 cm", 3.4),
    ("3400mm", 3.4),
    ("3 m 40", 3.4),
    ("3m40", 3.4),
    ("3 m 05", 3.05),
    ("3 m 0", 3.0),
    ("3m405", 3.405),
    ("3 m 40.5", 3.405),
    ("3 m 40 cm", 3.4),
    ("3 km 200 m", 3200.0),
    ("3.4 metres", 3.4),
    ("12' 6 1/2\"", 3.8227),
    ("12'-6 1/2\"", 3.8227),
    ("12' - 6 1/2\"", 3.8227),
    ("12'-6-1/2\"", 3.8227),
    ("12 ft 6 in", 3.81),
    ("12 ft. 6 in.", 3.81),
    ("12 ft, 6 in", 3.81),
    ("12'6", 3.81),
    ("12' 6.5\"", 3.8227),
    ("12' 6,5\"", 3.8227),
    ("12′ 6½″", 3.8227),
    ("12’ 6 ½”", 3.8227),
    ("12‘ 6''", 3.81),
    ('6 1/2"', 0.1651),
    ("7/8 in", 0.022225),
    ("⅞ in", 0.022225),
    ("⅓ yd", 0.3048),
    ("1⅔ yd", 1.524),
    ("12.5'", 3.81),
    ("12½ ft", 3.81),
    ("12 feet", 3.6576),
    ("1 foot", 0.3048),
    ("4 yd", 3.6576),
    ("2 yd 1 ft 6 in", 2.286),
    ("1/2 mile", 804.672),
    ("-3' 6\"", -1.0668),
    ("−2 m", -2.0),
    ("1,234,567 mm", 1234.567),
    ("1 234,5 mm", 1.2345),
    ("1\u202f234.5 mm", 1.2345),
    ("1.234,5 m", 1234.5),
    ("1,234.5 m", 1234.5),
    ("0,234 m", 0.234),
    ("1234,567 m", 1234.567),
    (".5 m", 0.5),
]


@pytest.mark.parametrize("style", STYLES, ids=["point", "comma", "feet"])
@pytest.mark.parametrize(("text", "metres"), WRITTEN)
def test_a_written_unit_is_read_in_every_style(text, metres, style):
    assert parse_length(text, style) == metres


@pytest.mark.parametrize(
    ("text", "style", "metres"),
    [
        ("3.4", POINT, 3.4),
        ("3,4", POINT, 3.4),
        ("3.4", COMMA, 3.4),
        ("3,4", COMMA, 3.4),
        ("1.234", POINT, 1.234),
        ("1,234", COMMA, 1.234),
        ("12", FEET, 3.6576),
        ("6 1/2", FEET, 1.9812),
        ("6 1/2", POINT, 6.5),
        ("-0", POINT, 0.0),
    ],
)
def test_a_bare_number_is_in_the_styles_own_unit(text, style, metres):
    assert parse_length(text, style) == metres


@pytest.mark.parametrize(
    ("text", "style", "readings"),
    [
        ("1,234", POINT, ("1.234 m", "1234 m")),
        ("1,234 m", POINT, ("1.234 m", "1234 m")),
        ("1,234", FEET, ("1.234 ft", "1234 ft")),
        ("1.234", COMMA, ("1,234 m", "1234 m")),
        ("12.345 mm", COMMA, ("12,345 mm", "12345 mm")),
        ("-1,234", POINT, ("-1.234 m", "-1234 m")),
        ("3 m 4", POINT, ("3.04 m", "3.4 m")),
        ("-3 m 4", COMMA, ("-3,04 m", "-3,4 m")),
    ],
)
def test_two_readings_are_refused_and_each_reading_reads_one_way(text, style, readings):
    with pytest.raises(AmbiguousNumber) as refusal:
        parse_length(text, style)
    assert refusal.value.readings == readings
    assert all(reading in str(refusal.value) for reading in readings)
    assert len({parse_length(reading, style) for reading in readings}) == 2


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "abc", "m", "'", "-", "--3", "1e5", "nan", "inf", "٣ m", "3 .4", "3. m", "1.2.3", "1,2,3",
        "1,234.567,8",
        "1/0 m", '6 5/4"', "12' 14\"", "12.5' 6\"", "6\" 12'", "3 m 6 in", "3 m -40", "3 m 140 cm", "3.5 m 4", "3² m",
        "3 kg", "1 23 m", "9" * 90,
    ],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_what_to_do(text):
    with pytest.raises(UnitsError) as refusal:
        parse_length(text, POINT)
    assert not isinstance(refusal.value, AmbiguousNumber)
    assert "expected" in str(refusal.value)
    assert len(str(refusal.value)) < 250


@pytest.mark.parametrize(
    ("metres", "style", "kind", "text"),
    [
        (3.8227, POINT, "plan", "3.82 m"),
        (3.8227, COMMA, "tape", "3,823 m"),
        (3.8227, FEET, "plan", "12' 6 1/2\""),
        (3.81 + 0.0254 / 16, FEET, "tape", "12' 6 1/16\""),
        (3.81, FEET, "tape", "12' 6\""),
        (3.6575, FEET, "plan", "12' 0\""),
        (3.6575, FEET, "tape", "12' 0\""),
        (18.6055 + 0.0254 / 16 * 5, FEET, "tape", "61' 0 13/16\""),
        (0.3048 + 0.0127, FEET, "plan", "1' 0 1/2\""),
        (0.1651, FEET, "tape", '6 1/2"'),
        (0.0127, FEET, "tape", '1/2"'),
        (-1.0668, FEET, "plan", "-3' 6\""),
        (-0.0001, FEET, "tape", '0"'),
        (-0.0001, POINT, "tape", "0.000 m"),
        (46.2, POINT, "long", "46 m"),
        (8.27, COMMA, "long", "8,3 m"),
        (9.97, POINT, "long", "10 m"),
        (1234.0, POINT, "long", "1.23 km"),
        (46.2, FEET, "long", "152 ft"),
        (-0.1, FEET, "long", "0 ft"),
        (2011.68, FEET, "long", "1.25 mi"),
    ],
)
def test_lengths_are_written_to_the_last_mark(metres, style, kind, text):
    assert format_length(metres, style, kind=kind) == text


def test_precision_overrides_the_kind():
    assert format_length(3.8227, POINT, precision=1) == "3.8 m"
    assert format_length(3.8227, FEET, precision=1) == "12' 7\""
    assert format_length(3.8227, FEET, precision=32, kind="long") == "12' 6 1/2\""
    with pytest.raises(UnitsError, match="expected 1, 2, 4"):
        format_length(1.0, FEET, precision=3)


@pytest.mark.parametrize("metres", [float("nan"), float("inf"), float("-inf")])
@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("kind", ["plan", "tape", "long"])
def test_what_is_not_finite_is_not_written(metres, style, kind):
    with pytest.raises(UnitsError, match="finite"):
        format_length(metres, style, kind=kind)


HALF_MARK_M = {
    ("metric", "plan"): 0.005,
    ("metric", "tape"): 0.0005,
    ("feet", "plan"): 0.0254 / 4,
    ("feet", "tape"): 0.0254 / 32,
}


@given(st.floats(-5000, 5000), st.sampled_from(STYLES), st.sampled_from(["plan", "tape"]))
def test_what_is_written_reads_back_within_half_the_last_mark(metres, style, kind):
    text = format_length(metres, style, kind=kind)
    assert abs(parse_length(text, style) - metres) <= HALF_MARK_M[style.system, kind] * (1 + 1e-9)
    assert ' 12"' not in text
    assert not text.startswith(("-0 ", '-0"', "-0.00 ", "-0,00 "))


@given(st.floats(-1e5, 1e5), st.sampled_from(STYLES))
def test_long_lengths_read_back_within_half_their_mark(metres, style):
    # Whole feet have their thousands parted; such a mark is refused when read, since it may stand for decimals.
    said = format_length(metres, style, kind="long")
    text = said.replace("," if style.decimal_mark == "." else ".", "") if said.endswith("ft") else said
    half = {"ft": 0.1524, "mi": 8.04672, "km": 5.0}.get(text.split()[1], 0.05 if "." in text or "," in text else 0.5)
    assert abs(parse_length(text, style) - metres) <= half * (1 + 1e-9)


@given(st.integers(0, 99), st.integers(0, 11), st.integers(0, 15))
def test_every_sixteenth_reads_and_writes_exactly(feet, inches, sixteenths):
    metres = (feet * 12 + inches + sixteenths / 16) * 0.0254
    text = format_length(metres, FEET, kind="tape")
    assert parse_length(text, FEET) == pytest.approx(metres, abs=1e-12)
    assert format_length(parse_length(text, FEET), FEET, kind="tape") == text


def read(text: str, style: Style) -> float | UnitsError:
    try:
        return parse_length(text, style)
    except UnitsError as refusal:
        return refusal


@given(st.text(max_size=100))
def test_no_text_does_worse_than_a_units_error(text):
    answer = read(text, POINT)
    assert isinstance(answer, float) or "expected" in str(answer) or isinstance(answer, AmbiguousNumber)


@given(st.text(alphabet="0123456789.,'\"/ -mftincy½", max_size=24), st.sampled_from(STYLES))
def test_near_misses_do_no_worse_either(text, style):
    answer = read(text, style)
    if isinstance(answer, AmbiguousNumber):
        assert len({parse_length(reading, style) for reading in answer.readings}) == 2
    else:
        assert isinstance(answer, float) or "expected" in str(answer)


def test_reading_a_length_costs_no_more_than_the_standard_library():
    code = (
        "import sys, quincunx.units.length; "
        "heavy = {'pydantic', 'numpy', 'shapely', 'scipy'} & set(sys.modules); sys.exit(repr(heavy) if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("text", ["101-8.5", "101 8.5", "101 - 8.5"])
def test_two_numbers_under_no_unit_are_asked_about_in_the_persons_own_writing(text):
    with pytest.raises(UnitsError, match=r"unit of each part, such as 101' 8\.5\""):
        parse_length(text, FEET)
    with pytest.raises(UnitsError, match="a number and a unit"):
        parse_length("3-40", POINT)
    with pytest.raises(UnitsError, match="a number and a unit"):  # whose unit is said is not guessed to be feet
        parse_length("5-6 cm", FEET)
    assert parse_length("12 400 mm", FEET) == 12.4  # thousands parted by a space are one number


@pytest.mark.parametrize(
    ("text", "offered"),
    [("3 40", ("3.40 ft", "3.40 m")), ("3-40", ("3.40 ft", "3.40 m")), ("3 12", ("3.12 ft",)), ("3 11", ("3' 11\"",))],
)
def test_what_is_offered_for_two_numbers_under_no_unit_can_be_typed_as_it_stands(text, offered):
    with pytest.raises(UnitsError) as told:
        parse_length(text, FEET)
    for words in offered:
        assert words in str(told.value)
        assert parse_length(words, FEET) > 0.9
