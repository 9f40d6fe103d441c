"""A place's monthly normals out of a small typed table: a line for each month, a column for each figure."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from quincunx.site.months_across import is_across, turned

MONTH_NAMES = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
MONTH_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


@dataclass(frozen=True, slots=True)
class Column:
    """What a column fills: the climate's field, what it is called, its bounds, what makes it the field's unit."""

    field: str
    words: str
    least: float
    most: float
    turn: Callable[[float], float] = float


def _from_f(value: float) -> float:
    return (value - 32.0) / 1.8


COLUMNS: Mapping[str, Column] = {
    "low_c": Column("t_min_c", "lowest", -70, 60),
    "low_f": Column("t_min_c", "lowest", -94, 140, _from_f),
    "high_c": Column("t_max_c", "highest", -70, 60),
    "high_f": Column("t_max_c", "highest", -94, 140, _from_f),
    "rain_mm": Column("rain_mm", "rain", 0, 2000),
    "rain_in": Column("rain_mm", "rain", 0, 78, lambda v: v * 25.4),
    "rain_days": Column("rain_days", "rainy days", 0, 31),
    "sun_h": Column("sunshine_h", "hours of sun", 0, 744),
    "wind_m_s": Column("wind_m_s", "wind", 0, 60),
    "wind_mph": Column("wind_m_s", "wind", 0, 134, lambda v: v * 0.44704),
    "humidity": Column("rh_percent", "humidity", 0, 100),
}
"""The columns that can be given, by their heads; both ways of writing one figure are never taken together."""
HEADS = "month, " + ", ".join(COLUMNS)


def is_monthly(text: str) -> bool:
    """Return whether a table begins with a head of months, down or across."""
    return _cells(text.lstrip("\ufeff").partition("\n")[0])[:1] == ["month"] or is_across(text)


def read_monthly(text: str) -> tuple[dict[str, Any], tuple[str, ...], tuple[str, ...]]:
    """Return the climate's fields, sentences, and a sentence for each fault; a column with one is left out.

    Months may stand down the side or across the top.
    """
    across = is_across(text)
    if across:
        text, aside = turned(text)
    lines = text.lstrip("\ufeff").splitlines()
    split = _split_at(lines[0]) if lines else ","
    rows = list(csv.reader(lines, delimiter=split))
    heads = [h.strip().lower() for h in rows[0]] if rows else []
    faults = [f"Nothing is known of a column {h!r}; the columns are {HEADS}." for h in heads[1:] if h not in COLUMNS]
    faults += aside if across else ()
    months: dict[int, Sequence[str]] = {}
    for n, row in enumerate(rows[1:], start=2):
        if not any(c.strip() for c in row):
            continue
        month = _month(row[0])
        if month is None:
            faults.append(f"Line {n}: got {row[0].strip()[:20]!r} for a month; write 1 to 12, or Jan to Dec.")
        elif month in months:
            faults.append(f"Line {n}: {MONTH_NAMES[month - 1].capitalize()} stands there twice.")
        else:
            months[month] = row
    missing = [MONTH_NAMES[m - 1].capitalize() for m in range(1, 13) if m not in months]
    if missing:
        return {}, (), (*faults, f"A line is missing for {', '.join(missing)}: all twelve are needed.")
    found: dict[str, Any] = {}
    for place, head in enumerate(heads):
        if head in COLUMNS:
            _take(found, COLUMNS[head], [months[m] for m in range(1, 13)], place, faults, comma=split != ",")
    return _checked(found, faults)


def _take(
    found: dict[str, Any], column: Column, rows: Sequence[Sequence[str]], place: int, faults: list[str], *, comma: bool
) -> None:
    """Take one column in, or say what is wrong with it."""
    if column.field in found:
        faults.append(f"The {column.words} stands there in two columns; the first is taken.")
        return
    values = []
    for month, row in enumerate(rows, start=1):
        cell = row[place].strip() if place < len(row) else ""
        value = _number(cell.replace(",", ".") if comma else cell)
        most = min(column.most, MONTH_DAYS[month - 1]) if column.field == "rain_days" else column.most
        if value is None or not column.least <= value <= most:
            got = f"got {cell[:20]!r}" if cell else "nothing is written"
            name = MONTH_NAMES[month - 1].capitalize()
            faults.append(
                f"{name}, {column.words}: {got}; a number from {column.least:g} to {most:g} is wanted. The column is left out."
            )
            return
        values.append(round(column.turn(value), 2))
    found[column.field] = values


def _checked(found: dict[str, Any], faults: list[str]) -> tuple[dict[str, Any], tuple[str, ...], tuple[str, ...]]:
    """Leave temperatures out whose lowest is over the highest; say what was read."""
    lows, highs = found.get("t_min_c"), found.get("t_max_c")
    if lows and highs:
        wrong = [m for m in range(12) if lows[m] > highs[m]]
        if wrong:
            names = ", ".join(MONTH_NAMES[m].capitalize() for m in wrong)
            faults.append(f"The lowest is above the highest in {names}: both columns are left out.")
            found = {k: v for k, v in found.items() if k not in ("t_min_c", "t_max_c")}
    words = dict.fromkeys(c.words for c in COLUMNS.values() if c.field in found)
    says = (f"Twelve months of {', '.join(words)}.",) if found else ()
    return found, says, tuple(faults)


def _month(text: str) -> int | None:
    text = text.strip().lower()
    if text.isdecimal():
        return int(text) if 1 <= int(text) <= 12 else None
    return next((k for k, name in enumerate(MONTH_NAMES, start=1) if len(text) >= 3 and text.startswith(name)), None)


def _number(text: str) -> float | None:
    try:
        value = float(text.replace("\N{MINUS SIGN}", "-"))
    except ValueError:
        return None
    return value if abs(value) < 1e6 else None


def _split_at(head: str) -> str:
    return next((s for s in (";", "\t") if s in head), ",")


def _cells(head: str) -> list[str]:
    return [c.strip().strip('"').lower() for c in head.split(_split_at(head))]
