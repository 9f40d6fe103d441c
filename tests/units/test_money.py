"""Sums of money."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from quincunx.units import AmbiguousNumber, Style, UnitsError, format_money, minor_digits, parse_money

ISO = Path(__file__).parents[1] / "published" / "iso4217" / "minor_digits.csv"
POINT = Style()
COMMA = Style(decimal_mark=",")


def currencies() -> dict[str, int]:
    lines = [line for line in ISO.read_text("utf-8").splitlines() if not line.startswith("#")]
    return {row["code"]: int(row["minor_digits"]) for row in csv.DictReader(lines)}


def test_minor_digits_are_those_of_iso_4217():
    # ISO 4217 list one, published 2026-01-01; the table beside names its copy.
    table = currencies()
    assert len(table) == 165
    assert {code: minor_digits(code) for code in table} == table


@pytest.mark.parametrize(
    ("text", "style", "minor"),
    [
        ("2400", POINT, 240_000),
        ("2,400", POINT, 240_000),
        ("2.400", COMMA, 240_000),
        ("€12.50", POINT, 1250),
        ("12,50 €", POINT, 1250),
        ("12,50 €", COMMA, 1250),
        ("1,5", POINT, 150),
        ("1,234.50", COMMA, 123_450),
        ("1.234,50", POINT, 123_450),
        ("1 234,50", COMMA, 123_450),
        ("1'234.50", Style(currency="CHF"), 123_450),
        ("CHF 12.-", Style(currency="CHF"), 1200),
        ("EUR 12", POINT, 1200),
        ("12 eur", POINT, 1200),
        ("-12.5", POINT, -1250),
        ("€ -3", POINT, -300),
        ("-€3", POINT, -300),
        ("12,-", COMMA, 1200),
        ("$1,234", Style(currency="USD"), 123_400),
        ("US$5", Style(currency="USD"), 500),
        ("¥1,234", Style(currency="JPY"), 1234),
        ("1.234", Style(currency="KWD"), 1234),
        ("100 kr", Style(currency="SEK", decimal_mark=","), 10_000),
        ("100 zł", Style(currency="PLN", decimal_mark=","), 10_000),
        ("1,234,567", POINT, 123_456_700),
    ],
)
def test_sums_are_read_as_minor_units(text, style, minor):
    assert parse_money(text, style) == minor


@pytest.mark.parametrize(
    ("text", "style", "readings"),
    [
        ("2.400", POINT, ("2.40", "2400")),
        ("2,400", COMMA, ("2,40", "2400")),
        ("-2.400", POINT, ("-2.40", "-2400")),
        ("1.234", Style(currency="JPY"), ("1", "1234")),
        ("1,234", Style(currency="KWD"), ("1.234 KWD", "1234 KWD")),
    ],
)
def test_two_readings_are_refused_and_each_reads_one_way(text, style, readings):
    with pytest.raises(AmbiguousNumber) as refusal:
        parse_money(text, style)
    assert refusal.value.readings == readings
    assert len({parse_money(reading, style) for reading in readings}) == 2


@pytest.mark.parametrize("text", ["£5", "$5", "5 USD", "12 zł"])
def test_another_currency_is_refused(text):
    with pytest.raises(UnitsError, match="counts in EUR; expected"):
        parse_money(text, POINT)


@pytest.mark.parametrize("text", ["", "abc", "€", "12.5055", "1,2345", "- -3", "-€-3", "1.2.3", "2k", "0.5 cents"])
def test_what_is_no_sum_is_refused(text):
    with pytest.raises(UnitsError, match="expected"):
        parse_money(text, POINT)


def test_a_currency_has_a_code_of_three_letters():
    with pytest.raises(UnitsError, match="three-letter code"):
        minor_digits("euro")


@pytest.mark.parametrize(
    ("minor", "style", "text", "whole"),
    [
        (123_450, POINT, "€1,234.50", "€1,235"),
        (123_449, COMMA, "1.234,49 €", "1.234 €"),
        (-5, POINT, "-€0.05", "€0"),
        (250, Style(currency="CHF"), "CHF 2.50", "CHF 3"),
        (-250, Style(currency="USD"), "-$2.50", "-$3"),
        (123_450, Style(currency="JPY"), "¥123,450", "¥123,450"),
        (1234, Style(currency="KWD"), "KWD 1.234", "KWD 1"),
        (0, COMMA, "0,00 €", "0 €"),
    ],
)
def test_sums_are_written(minor, style, text, whole):
    assert format_money(minor, style) == text
    assert format_money(minor, style, whole=True) == whole


@given(
    st.integers(-(10**14), 10**14),
    st.sampled_from(sorted(currencies())),
    st.sampled_from([".", ","]),
    st.booleans(),
)
def test_every_sum_reads_back_exactly(minor, currency, mark, symbol):
    style = Style(currency=currency, decimal_mark=mark)
    assert parse_money(format_money(minor, style, symbol=symbol), style) == minor


@given(st.integers(-(10**14), 10**14), st.sampled_from(["EUR", "JPY", "USD"]), st.sampled_from([".", ","]))
def test_whole_sums_are_the_nearest_and_read_back(minor, currency, mark):
    style = Style(currency=currency, decimal_mark=mark)
    size = 10 ** minor_digits(currency)
    assert abs(parse_money(format_money(minor, style, whole=True), style) - minor) * 2 <= size
