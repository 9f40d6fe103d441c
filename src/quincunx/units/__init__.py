"""Lengths, areas, money, times and dates as people write and read them.

The document's field types are in :mod:`quincunx.units.fields`, imported by those that need them, so that
reading a length costs no more than the standard library.
"""

from __future__ import annotations

from quincunx.units._numbers import read_number, write_count, write_plain
from quincunx.units.angle import (
    EIGHT_SIDES,
    compass_words,
    format_bearing,
    format_slope,
    parse_bearing,
    parse_latitude,
    parse_longitude,
    parse_slope,
)
from quincunx.units.area import format_area, parse_area
from quincunx.units.dates import (
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
from quincunx.units.errors import AmbiguousNumber, UnitsError
from quincunx.units.hours import format_clock, format_hours, parse_hours
from quincunx.units.length import format_length, parse_length
from quincunx.units.mass import format_mass
from quincunx.units.money import format_money, minor_digits, parse_money
from quincunx.units.own import own_marks, own_shares, own_units, section_words
from quincunx.units.style import Style
from quincunx.units.volume import format_volume, parse_volume
from quincunx.units.words import capital, counted, format_bytes, in_runs, listed

__all__ = [
    "EIGHT_SIDES",
    "AmbiguousNumber",
    "Style",
    "UnitsError",
    "add_months",
    "capital",
    "compass_words",
    "counted",
    "first_day",
    "format_area",
    "format_bearing",
    "format_bytes",
    "format_clock",
    "format_day",
    "format_hours",
    "format_length",
    "format_mass",
    "format_money",
    "format_month",
    "format_slope",
    "format_volume",
    "in_runs",
    "last_day",
    "listed",
    "minor_digits",
    "month_from_index",
    "month_index",
    "month_of",
    "own_marks",
    "own_shares",
    "own_units",
    "parse_area",
    "parse_bearing",
    "parse_day",
    "parse_hours",
    "parse_latitude",
    "parse_length",
    "parse_longitude",
    "parse_money",
    "parse_month",
    "parse_slope",
    "parse_volume",
    "read_number",
    "section_words",
    "write_count",
    "write_plain",
]
