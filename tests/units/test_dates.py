"""Months and days."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, strategies as st

from quincunx.units import (
    AmbiguousNumber,
    UnitsError,
    add_months,
    first_day,
    format_day,
    format_month,
    last_day,
    month_from_index,
    month_index,
    month_of,
    parse_day,
    parse_month,
)
from quincunx.units.dates import in_turn, unbroken


@pytest.mark.parametrize(
    "text",
    [
        "2027-03",
        "2027-3",
        "2027/03",
        "March 2027",
        "march 2027",
        "Mar 2027",
        "mar. 2027",
        "03/2027",
        "3.2027",
        "Mar '27",
    ],
)
def test_months_are_read(text):
    assert parse_month(text) == "2027-03"


def test_sept_is_september():
    assert parse_month("Sept 2027") == "2027-09"


def test_a_two_figure_year_may_be_a_day():
    with pytest.raises(AmbiguousNumber) as refusal:
        parse_month("Mar 27")
    assert refusal.value.readings == ("March 2027", "27 March")


@pytest.mark.parametrize(
    "text", ["", "2027", "2027-13", "2027-00", "Ma 2027", "Mar 45", "Mar 0", "Smarch 2027", "1800-01"]
)
def test_what_is_no_month_is_refused(text):
    with pytest.raises(UnitsError, match="expected") as refusal:
        parse_month(text)
    assert not isinstance(refusal.value, AmbiguousNumber)


@pytest.mark.parametrize(
    "text",
    [
        "2027-03-12", "12 March 2027", "12th March 2027", "12 Mar 2027", "12-Mar-2027", "March 12, 2027", "Mar 12 2027",
        "12.3.2027", "12. 3. 2027", "12. March 2027",
    ],
)  # fmt: skip
def test_days_are_read(text):
    assert parse_day(text) == date(2027, 3, 12)


def test_a_numeric_day_is_read_where_only_one_way_is_a_date():
    assert parse_day("13/4/2027") == parse_day("4/13/2027") == date(2027, 4, 13)
    assert parse_day("5/5/2027") == date(2027, 5, 5)


def test_day_first_or_month_first_is_refused():
    with pytest.raises(AmbiguousNumber) as refusal:
        parse_day("3/4/2027")
    assert refusal.value.readings == ("3 April 2027", "4 March 2027")
    assert [parse_day(reading) for reading in refusal.value.readings] == [date(2027, 4, 3), date(2027, 3, 4)]


def test_a_day_that_the_month_lacks_is_named():
    with pytest.raises(UnitsError, match="February 2027 has 28 days"):
        parse_day("29 Feb 2027")
    assert parse_day("29 Feb 2028") == date(2028, 2, 29)


@pytest.mark.parametrize("text", ["", "1/1/27", "12 Ma 2027", "2027-3", "32/13/2027", "tomorrow", "12 March"])
def test_what_is_no_day_is_refused(text):
    with pytest.raises(UnitsError, match="expected"):
        parse_day(text)


def test_months_count_from_year_nought():
    assert month_index("0000-01") == 0
    assert month_index("2027-03") == 2027 * 12 + 2
    assert add_months("2027-03", 10) == "2028-01"
    assert add_months("2027-03", -3) == "2026-12"
    with pytest.raises(UnitsError, match="2027-03"):
        month_index("2027-3")
    with pytest.raises(UnitsError, match="0 to 9999"):
        month_from_index(-1)


@pytest.mark.parametrize(
    ("months", "turn", "whole"),
    [
        ((1, 2, 12), (12, 1, 2), True),
        ((8, 6, 7), (6, 7, 8), True),
        ((11, 12, 1, 2, 3, 3), (11, 12, 1, 2, 3), True),
        ((4, 9, 10), (4, 9, 10), False),
        ((3, 4, 12), (12, 3, 4), False),
        ((5,), (5,), True),
        ((), (), True),
        (range(1, 13), tuple(range(1, 13)), True),
    ],
)
def test_months_follow_each_other_through_the_turn_of_the_year(months, turn, whole):
    assert in_turn(months) == turn
    assert unbroken(turn) is whole


def test_a_month_has_its_days():
    assert (first_day("2028-02"), last_day("2028-02")) == (date(2028, 2, 1), date(2028, 2, 29))
    assert month_of(date(2028, 2, 29)) == "2028-02"


@given(st.dates(date(1900, 1, 1), date(2199, 12, 31)))
def test_days_and_months_read_back(day):
    assert parse_day(format_day(day)) == parse_day(day.isoformat()) == day
    assert parse_month(format_month(month_of(day))) == month_of(day)
    assert first_day(month_of(day)) <= day <= last_day(month_of(day))


@given(st.integers(0, 119_999), st.integers(-500, 500))
def test_month_numbers_go_there_and_back(index, months):
    assert month_index(month_from_index(index)) == index
    if 0 <= index + months < 120_000:
        assert month_index(add_months(month_from_index(index), months)) == index + months
