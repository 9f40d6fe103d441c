"""Typed monthly normals: what is read, what is refused and how it is said."""

from __future__ import annotations

import pytest
from hypothesis import example, given, strategies as st

from quincunx.site.climate import Climate
from quincunx.site.monthly_in import MONTH_NAMES, is_monthly, read_monthly
from quincunx.site.weather_in import read_weather

LOWS = [-9.9, -9.0, -4.5, 1.4, 7.2, 12.4, 15.4, 14.6, 10.4, 4.0, -0.8, -6.6]
HIGHS = [1.2, 2.8, 7.4, 14.2, 20.6, 25.2, 28.2, 27.1, 22.9, 16.1, 9.5, 3.7]
RAIN = [88.0, 80.0, 101.0, 98.0, 95.0, 102.0, 97.0, 99.0, 101.0, 112.0, 99.0, 105.0]


def table(columns, split=",", mark="."):
    rows = [split.join(["month", *columns])]
    rows += [
        split.join([n, *(str(v[m]).replace(".", mark) for v in columns.values())]) for m, n in enumerate(MONTH_NAMES)
    ]
    return "\n".join(rows)


def test_degrees_and_millimetres_are_read_as_they_stand():
    text = table({"low_c": LOWS, "high_c": HIGHS, "rain_mm": RAIN})
    assert is_monthly(text)
    read = read_weather(text)
    assert read.faults == ()
    assert read.climate == {"t_min_c": LOWS, "t_max_c": HIGHS, "rain_mm": RAIN}
    assert read.says == ("Twelve months of lowest, highest, rain.",)
    assert Climate(**read.climate).t_min_c == tuple(LOWS)


def test_fahrenheit_inches_and_miles_are_turned():
    found, _, faults = read_monthly(
        table({"low_f": [14] * 12, "high_f": [50] * 12, "rain_in": [2] * 12, "wind_mph": [10] * 12})
    )
    assert not faults
    assert found["t_min_c"] == [-10.0] * 12  # (14 - 32) / 1.8
    assert found["t_max_c"] == [10.0] * 12
    assert found["rain_mm"] == [50.8] * 12
    assert found["wind_m_s"] == [4.47] * 12  # a mile is 1609.344 m


def test_decimal_commas_are_read_where_the_cells_are_parted_otherwise():
    found, _, faults = read_monthly(table({"low_c": LOWS, "high_c": HIGHS}, ";", ","))
    assert not faults
    assert found["t_min_c"] == LOWS


@pytest.mark.parametrize(
    ("change", "said", "kept"),
    [
        (
            {"rain_mm": ["x", *RAIN[1:]]},
            "Jan, rain: got 'x'; a number from 0 to 2000 is wanted",
            {"t_min_c", "t_max_c"},
        ),
        ({"rain_mm": [-1, *RAIN[1:]]}, "Jan, rain: got '-1'", {"t_min_c", "t_max_c"}),
        ({"rain_mm": [*RAIN[:11], ""]}, "Dec, rain: nothing is written", {"t_min_c", "t_max_c"}),
        ({"high_c": [-20, *HIGHS[1:]]}, "The lowest is above the highest in Jan", set()),
        (
            {"rain_days": [10, 30, *[10] * 10]},
            "Feb, rainy days: got '30'; a number from 0 to 29",
            {"t_min_c", "t_max_c"},
        ),
        ({"low_f": [14] * 12}, "The lowest stands there in two columns", {"t_min_c", "t_max_c"}),
        ({"snow": [1] * 12}, "Nothing is known of a column 'snow'", {"t_min_c", "t_max_c"}),
        ({"rain_mm": ["nan", *RAIN[1:]]}, "Jan, rain: got 'nan'", {"t_min_c", "t_max_c"}),
    ],
)
def test_what_is_wrong_is_said_and_left_out(change, said, kept):
    found, _, faults = read_monthly(table({"low_c": LOWS, "high_c": HIGHS, **change}))
    assert any(f.startswith(said) for f in faults), faults
    assert set(found) == kept


def test_months_that_are_missing_twice_or_unknown():
    lines = table({"low_c": LOWS}).splitlines()
    found, _, faults = read_monthly("\n".join([*lines[:-1], lines[1], "brumaire,4"]))
    assert found == {}
    assert faults == (
        "Line 13: Jan stands there twice.",
        "Line 14: got 'brumaire' for a month; write 1 to 12, or Jan to Dec.",
        "A line is missing for Dec: all twelve are needed.",
    )


@example("²,1,2,3")
@given(st.text(max_size=300))
def test_whatever_is_pasted_nothing_is_raised_and_what_is_kept_is_a_climate(text):
    found, _, _ = read_monthly("month,low_c,high_c,rain_mm\n" + text)
    climate = Climate(**found)
    assert {name: getattr(climate, name) for name in found} == found


ACROSS = """Climate of a hill town (invented)
Month\tJan\tFeb\tMar\tApr\tMay\tJun\tJul\tAug\tSep\tOct\tNov\tDec\tYear
Record high °F (°C)\t64 (18)\t69\t80\t92\t93\t97\t101\t99\t97\t86\t78\t70\t101
Mean daily maximum °F (°C)\t32.0 (0.0)\t34\t43\t56\t68\t77\t86.0 (30.0)\t80\t72\t60\t48\t36\t57
Mean daily minimum °F (°C)\t14.0 (−10.0)\t15\t24\t35\t45\t54\t60\t58\t50\t39\t30\t20\t37
Average precipitation inches (mm)\t2 (50.8)\t3\t4\t4\t4\t4\t4\t4\t4\t4\t4\t4\t45
Average precipitation days (≥ 0.01 in)\t11\t10\t11\t12\t12\t12\t11\t10\t10\t11\t11\t12\t133
Mean monthly sunshine hours\t140\t150\t190\t205\t240\t260\t280\t255\t200\t165\t120\t118\t2323
"""


def test_a_table_as_weather_services_print_it_with_months_across():
    assert is_monthly(ACROSS)
    found, says, faults = read_monthly(ACROSS)
    assert (found["t_max_c"][0], found["t_max_c"][6]) == (0.0, 30.0)
    assert found["t_min_c"][0] == -10.0
    assert found["rain_mm"][0] == 50.8
    assert found["rain_days"][11] == 12
    assert found["sunshine_h"][6] == 280
    assert says == ("Twelve months of lowest, highest, rain, rainy days, hours of sun.",)
    assert faults == ("The row “Record high °F (°C)” isn't taken: it is none of the usual figures of a month.",)


def test_faults_of_a_table_with_months_across_are_named():
    found, _, faults = read_monthly(ACROSS.replace("45\t54\t60", "cool\t54\t60").replace("\tDec\tYear", "\tYear"))
    assert found == {}
    assert "A line is missing for Dec" in faults[-1]
    found, _, faults = read_monthly(ACROSS.replace("45\t54\t60", "cool\t54\t60"))
    assert "t_min_c" not in found
    assert "May, lowest: got 'cool'" in faults[-1]
    twice = ACROSS + ACROSS.splitlines()[3].replace("32.0", "31.0") + "\n"
    assert "stands there twice" in " ".join(read_monthly(twice)[2])
