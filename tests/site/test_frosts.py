"""Frost dates, zones, degree days and chill, by their published definitions."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, strategies as st

from quincunx.site.climate import usda_zone
from quincunx.site.frosts import (
    Day,
    as_frosts,
    chill_hours,
    day_of_year,
    degree_days,
    extreme_minimum_c,
    frost_dates,
    hot_days,
    percentile,
    read_days,
    utah_units,
)


def winter(last: list[tuple[int, int, int]], first: list[tuple[int, int, int]]) -> list[Day]:
    frosty = {date(*d) for d in (*last, *first)}
    years = sorted({d.year for d in frosty})
    start, end = date(years[0], 1, 1), date(years[-1], 12, 31)
    days = [start + timedelta(n) for n in range((end - start).days + 1)]
    return [Day(d, -1.0 if d in frosty else 5.0, 12.0) for d in days]


def test_the_chance_is_of_a_later_spring_and_an_earlier_autumn_frost():
    # NOAA NCEI: the level in spring is the chance of the threshold LATER than the date, in autumn EARLIER.
    days = winter([(2020 + n, 5, 1 + n) for n in range(11)], [(2020 + n, 10, 20 - n) for n in range(11)])
    found = frost_dates(days)
    assert found.spring(0.5) == day_of_year(date(2027, 5, 6))
    assert found.spring(0.1) == day_of_year(date(2027, 5, 10))
    assert found.autumn(0.1) == day_of_year(date(2027, 10, 11))
    kept = as_frosts(found)
    assert (kept.last_spring, kept.first_autumn, kept.chance) == ("05-10", "10-11", 0.1)


def test_leap_days_do_not_shift_the_calendar():
    assert day_of_year(date(2028, 3, 1)) == day_of_year(date(2027, 3, 1)) == 60
    assert day_of_year(date(2028, 2, 29)) == day_of_year(date(2027, 2, 28))


def test_a_year_without_frost_has_no_date():
    days = winter([(2020, 4, 1)], [(2020, 11, 1)]) + [
        Day(date(2021, 1, 1) + timedelta(n), 4.0, 9.0) for n in range(365)
    ]
    assert list(frost_dates(days).last) == [2020]
    with pytest.raises(ValueError, match="no frost"):
        frost_dates([Day(date(2021, 1, 1), 4.0, 9.0)]).spring()


@given(st.lists(st.floats(-50, 50), min_size=1, max_size=40), st.floats(0, 1))
def test_percentiles_are_numpys(values, share):
    # Hyndman and Fan 1996, type 7: NumPy's default.
    assert percentile(values, share) == pytest.approx(float(np.percentile(values, 100 * share)), abs=1e-9)


@pytest.mark.parametrize(
    ("high", "low", "simple", "modified"), [(28, 12, 10.0, 10.0), (34, 6, 10.0, 10.0), (20, 4, 2.0, 5.0)]
)
def test_degree_days_as_in_the_worked_examples(high, low, simple, modified):
    # NOAA's and McMaster and Wilhelm's methods (from memory); examples computed by hand, base 10.
    assert degree_days(low, high) == pytest.approx(simple)
    assert degree_days(low, high, modified=True) == pytest.approx(modified)


@pytest.mark.parametrize(
    ("hour_c", "unit"),
    [(1.0, 0), (1.1, 0), (2.0, 0.5), (5.0, 1), (8.8, 1), (11.0, 0.5), (15.0, 0), (17.0, -0.5), (20.0, -1)],
)
def test_utah_units_by_temperature(hour_c, unit):
    # Richardson, Seeley, Walker 1974, HortScience 9:331-332; limits in deg F (read in two public implementations).
    assert utah_units([hour_c]) == unit


def test_chill_of_greensboro():
    # Greensboro NC TMY3 (723170TYA.CSV of pvlib), November to February, 2,880 h: 0-7.22 C inclusive 1,016 h; Utah 914.5;
    # October to March: 1,364 h and 1,129.5 (computed from the same file by another script).
    import csv
    from pathlib import Path

    import pvlib

    file = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    rows = list(csv.reader(file.read_text().splitlines()))[1:]
    head, rows = rows[0], rows[1:]
    month, dry = head.index("Date (MM/DD/YYYY)"), head.index("Dry-bulb (C)")
    hours = [(int(r[month][:2]), float(r[dry])) for r in rows]
    core = [t for m, t in hours if m in (11, 12, 1, 2)]
    wide = [t for m, t in hours if m in (10, 11, 12, 1, 2, 3)]
    assert len(core) == 2880
    assert chill_hours(core) == 1016
    assert utah_units(core) == 914.5
    assert (chill_hours(wide), utah_units(wide)) == (1364, 1129.5)


def test_zones_from_daily_minima():
    days = [Day(date(2020, 7, 1) + timedelta(n), -27.28 if n == 200 else 3.0, 9.0) for n in range(365)]
    assert extreme_minimum_c(days) == pytest.approx(-27.28)
    # -27.28 C = -17.1 F: zone 5a (Champion series; formula of the USDA map).
    assert usda_zone(-27.28) == "5a"
    assert extreme_minimum_c(days[:100]) is None


def test_hot_days_a_year():
    days = [Day(date(2021, 1, 1) + timedelta(n), 10.0, 31.0 if n < 12 else 22.0) for n in range(365)]
    assert hot_days(days) == 12
    # The heat zones count days over 86 F = 30 C: one of exactly 30 doesn't count, one of 29.5 neither.
    edge = [Day(date(2021, 7, 1 + n), 10.0, high) for n, high in enumerate((29.5, 30.0, 30.1))]
    assert hot_days(edge) == 1


def test_a_table_of_days():
    read = read_days(
        "Date;Tmin °C;Tmax °C;Rain\n2027-05-10;-0,5;12,1;3\n20270511;1,0;14;0\nnonsense;1;2;3\n2027-05-13;9;3;0\n"
    )
    assert [(d.on.day, d.low_c, d.high_c, d.rain_mm) for d in read.days] == [
        (10, -0.5, 12.1, 3.0),
        (11, 1.0, 14.0, 0.0),
    ]
    assert len(read.faults) == 2
    assert read.faults[0].startswith("Line 4 can't be read")
    assert "are needed" in read_days("day,rain\n1,2\n").faults[0]
    assert "empty" in read_days("").faults[0]


@given(st.text(max_size=300))
def test_any_text_is_read_or_told(text):
    read = read_days(text)
    assert all(d.low_c <= d.high_c for d in read.days)
