"""A table of monthly normals as weather services print it, months across the top: turned into a line for each month.

Rows are known by the words of their heads (*Mean daily maximum °C*, *Average low °F*, *Precipitation mm*); a second figure
in brackets, the same in another unit, is left aside, and so are rows of records and of the year.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence

MONTHS_NAMED = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
LEAST_MONTHS = 10
"""So many names of months in the first line that says any are a head of months; what lacks is named as a fault."""
OTHER = ("record", "extreme", "absolute", "dew", "snow", "frost", "possible", "percent possible", "uv", "sea")
"""Words of rows that are no normals, or normals of something else."""
ROWS: tuple[tuple[tuple[str, ...], dict[str, str]], ...] = (
    (("rain", "days"), {"": "rain_days"}), (("precipitation", "days"), {"": "rain_days"}), (("wet", "days"), {"": "rain_days"}),
    (("low",), {"f": "low_f", "": "low_c"}), (("min",), {"f": "low_f", "": "low_c"}), (("coldest",), {"f": "low_f", "": "low_c"}),
    (("high",), {"f": "high_f", "": "high_c"}), (("max",), {"f": "high_f", "": "high_c"}),
    (("rain",), {"in": "rain_in", "": "rain_mm"}), (("precipitation",), {"in": "rain_in", "": "rain_mm"}),
    (("sun",), {"": "sun_h"}), (("humidity",), {"": "humidity"}), (("wind",), {"mph": "wind_mph", "": "wind_m_s"}),
)  # fmt: skip
"""What a row must say, and which column it fills by its unit; the first that fits counts."""


def is_across(text: str) -> bool:
    """Return whether one of the first lines of a table names the months."""
    return _head(_rows(text)) is not None


def turned(text: str) -> tuple[str, tuple[str, ...]]:
    """Return the table with a line for each month (``;`` between), and a sentence for each row that isn't taken."""
    rows = _rows(text)
    at = _head(rows)
    if at is None:
        return text, ()
    places = {cell.strip().lower()[:3]: k for k, cell in enumerate(rows[at]) if _named(cell)}
    columns: dict[str, Sequence[str]] = {}
    faults: list[str] = []
    for row in rows[at + 1 :]:
        if not row or not row[0].strip():
            continue
        column = _column(row[0])
        if column is None:
            faults.append(f"The row “{row[0].strip()[:40]}” isn't taken: it is none of the usual figures of a month.")
        elif column in columns:
            faults.append(f"The row “{row[0].strip()[:40]}” stands there twice; the first is taken.")
        else:
            columns[column] = row
    lines = [";".join(("month", *columns))]
    lines += [
        ";".join((month, *(_first(row[k]) if k < len(row) else "" for row in columns.values())))
        for month, k in sorted(places.items(), key=lambda at: at[1])
    ]
    return "\n".join(lines), tuple(faults)


def _rows(text: str) -> list[list[str]]:
    lines = text.lstrip("\ufeff").splitlines()
    split = next((s for s in ("\t", ";") if any(s in line for line in lines[:4])), ",")
    return list(csv.reader(lines, delimiter=split))


def _head(rows: list[list[str]]) -> int | None:
    return next((n for n, row in enumerate(rows[:4]) if sum(map(_named, row)) >= LEAST_MONTHS), None)


def _named(cell: str) -> bool:
    word = cell.strip().lower().rstrip(".")
    return word[:3] in MONTHS_NAMED and word.isalpha()


def _column(head: str) -> str | None:
    """Return the column that a row's head means; None if it is none of them."""
    words = head.lower()
    if any(other in words for other in OTHER) or "mean daily °" in words:
        return None
    # The unit printed first counts: brackets hold the same in another one.
    unit = re.sub(r"\(.*", "", words)
    inches = re.search(r"\bin(ch|ches)?\b", unit) is not None
    degrees_f = re.search(r"°\s*f\b|\bf\b|fahrenheit", unit) is not None
    for needed, by_unit in ROWS:
        if all(word in words for word in needed):
            which = "in" if inches else "f" if degrees_f else "mph" if "mph" in unit else ""
            return by_unit.get(which, by_unit[""])
    return None


def _first(cell: str) -> str:
    """Return the first figure of a cell: ``7.1 (44.8)`` is 7.1."""
    return re.sub(r"\s*\(.*", "", cell.strip()).replace("\N{MINUS SIGN}", "-")
