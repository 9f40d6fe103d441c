"""Beginning and ending a workbook (XLSX) the same way everywhere: no clock is read, its date is the plan's first day."""

from __future__ import annotations

import datetime as dt
import io
from typing import Any

from quincunx.sheets._set import Set
from quincunx.units import Style, minor_digits


def begun(of: Set, about: str) -> tuple[Any, io.BytesIO]:
    """Return a new workbook of a garden, ``about`` something, and where its bytes are once it is closed."""
    import xlsxwriter

    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    first = dt.datetime(of.timeline.years[0], 1, 1)  # noqa: DTZ001 - the format has no time zone
    book.set_properties({"title": f"{of.garden.name}: {about}", "created": first, "author": "", "company": ""})
    return book, file


def money_format(style: Style) -> str:
    """Return how sums are written in a cell: with as many digits as the currency has."""
    digits = minor_digits(style.currency)
    return "#,##0" + ("." + "0" * digits if digits else "")
