"""A table of points: which column is which, and each line that can't be read."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from quincunx.survey.given import UNITS, Brought, Given, Group, Order
from quincunx.units import UnitsError, parse_length
from quincunx.units.style import Style

EAST = frozenset(
    [
        "x",
        "e",
        "east",
        "easting",
        "eastings",
        "lon",
        "long",
        "lng",
        "longitude",
        "rechtswert",
        "rechts",
        "ost",
        "oost",
        "este",
        "est",
    ]
)
NORTH = frozenset(
    ["y", "n", "north", "northing", "northings", "lat", "latitude", "hochwert", "hoch", "nord", "noord", "norte"]
)
HIGH = frozenset(["z", "h", "height", "elev", "elevation", "level", "alt", "altitude", "rl", "höhe", "hoehe"])
CALLED = frozenset(
    ["name", "point", "pt", "id", "no", "nr", "number", "p", "label", "stake", "corner", "punkt", "station"]
)
ASIDE = frozenset(["desc", "description", "code", "comment", "note", "remark"])
EARTHLY = frozenset(["lon", "long", "lng", "longitude", "lat", "latitude"])
"""Names of columns, as surveyors' programs and spreadsheets head them (common practice, no source)."""
UNIT_WORDS = {
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "cm": "cm", "mm": "mm", "ft": "ft",
    "feet": "ft", "foot": "ft", "usft": "us-ft", "ussft": "us-ft", "ftus": "us-ft", "in": "in", "inch": "in",
    "inches": "in", "deg": "deg", "degrees": "deg",
}  # fmt: skip
_HEAD = re.compile(r"^(?P<word>[^\W\d_]+?)[\s_]*(?:[\[(](?P<in>[^\])]*)[\])]|[\s_](?P<after>[a-z]+))?$")
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d+)?", re.IGNORECASE)
_EARTH = re.compile(
    r"(?P<before>[NSEW])?\s*(?P<d>\d{1,3}(?:[.,]\d+)?)\s*[°ºd]?\s*(?:(?P<m>\d{1,2}(?:[.,]\d+)?)\s*['′]\s*)?"
    r"(?:(?P<s>\d{1,2}(?:[.,]\d+)?)\s*(?:[\"″]|''))?\s*(?P<after>[NSEW])?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class _Columns:
    """Which column holds what; ``order`` and ``unit`` as the head says them."""

    first: int
    second: int
    z: int | None = None
    name: int | None = None
    order: Order | None = None
    unit: str | None = None


class _Bad(Exception):
    """A cell that can't be read; its words say what was expected."""


def read_table(text: str, style: Style) -> Brought:
    """Return the points of a table; see :func:`quincunx.survey.points_in.read_points`."""
    lines = [
        (n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip() and not line.lstrip().startswith("#")
    ]
    rows = [(n, cells) for n, cells in _cells(lines) if any(cells)]
    if not rows:
        return Brought("table", faults=("There is no line with a point. Write x, y and a name on each line.",))
    head, body = (rows[0][1], rows[1:]) if _is_head(rows[0][1]) else (None, rows)
    said: list[str] = []
    columns = _headed(head) if head is not None else _unheaded([cells for _, cells in body], said)
    if isinstance(columns, str):
        return Brought("table", faults=(columns,))
    if not body:
        return Brought("table", faults=("Line 1 names the columns, but no line with a point follows.",))
    if _commas_clash(lines, [c for _, c in body], style):
        words = "Commas part the columns and may be decimal marks too. Save the table with semicolons between columns."
        return Brought("table", faults=(words,))
    return _points(body, columns, style, said)


def _cells(lines: Sequence[tuple[int, str]]) -> list[tuple[int, list[str]]]:
    """Return each line's cells, parted by the tab, semicolon or comma that parts most lines, or else by spaces."""
    mark = next((m for m in "\t;," if sum(m in line for _, line in lines) * 2 >= len(lines)), None)
    if mark is None or (mark == "," and _comma_is_decimal(lines)):
        return [(n, line.split()) for n, line in lines]
    # A lone inch mark is no quotation mark.
    quoted = any(re.search(rf'(^|{re.escape(mark)})\s*"', line) for _, line in lines)
    if not quoted:
        return [(n, [c.strip() for c in line.split(mark)]) for n, line in lines]
    parted = (next(csv.reader([line], delimiter=mark, skipinitialspace=True), []) for _, line in lines)
    return [(n, [c.strip() for c in row]) for (n, _), row in zip(lines, parted, strict=True)]


def _comma_is_decimal(lines: Sequence[tuple[int, str]]) -> bool:
    """Return whether commas stand only inside numbers that spaces part: ``A 12,50 3,20``."""
    rows = [line.split() for _, line in lines if re.search(r"\d", line)]
    return bool(rows) and all(
        len(words) > 1 and all(re.fullmatch(r"[^,]+|[+-]?\d+,\d+", w) for w in words) for words in rows
    )


def _commas_clash(lines: Sequence[tuple[int, str]], rows: Sequence[Sequence[str]], style: Style) -> bool:
    if style.decimal_mark != "," or "," not in lines[-1][1] or ";" in lines[-1][1] or "\t" in lines[-1][1]:
        return False
    whole = [re.fullmatch(r"[+-]?\d*", c) is not None for row in rows for c in row]
    return all(whole) and all(len(row) >= 4 and len(row) % 2 == 0 for row in rows)


def _is_head(cells: Sequence[str]) -> bool:
    """Return whether a line names columns: none of it is a number, or two of its words are known."""
    words = [_word(c)[0] for c in cells]
    known = sum(w in EAST | NORTH for w in words)
    return known >= 2 or not any(_NUMBER.fullmatch(c) or c[:1].isdigit() or _EARTH.fullmatch(c) for c in cells)


def _word(cell: str) -> tuple[str, str | None]:
    """Return the word of a head without its unit, and the unit."""
    text = cell.strip().strip('"').casefold()
    match = _HEAD.fullmatch(text)
    if match is None:
        return text, None
    unit = re.sub(r"[^a-z]", "", match["in"] or match["after"] or "")
    if match["after"] and unit not in UNIT_WORDS:
        return text.split()[0], None
    return match["word"], UNIT_WORDS.get(unit)


def _headed(head: Sequence[str]) -> _Columns | str:
    words = [_word(c) for c in head]

    def of(names: frozenset[str]) -> int | None:
        return next((i for i, (w, _) in enumerate(words) if w in names), None)

    east, north = of(EAST), of(NORTH)
    if len([c for c in head if c]) < 2:
        return f'Line 1: "{" ".join(head)[:60]}" is no point; expected two numbers and perhaps a name: 12.34, 5.60, A.'
    if east is None or north is None:
        lacking = "east" if east is None else "north"
        return (
            f"Line 1 names the columns {', '.join(c for c in head if c)}, but none is called as the one that runs {lacking}. "
            "Call them x, y, z and name, or easting and northing, or longitude and latitude."
        )
    high = of(HIGH)
    units = {words[i][1] for i in (east, north, high) if i is not None} - {None}
    if len(units) > 1:
        return f"Line 1 says {' and '.join(sorted(map(str, units)))}: write all the columns in one unit."
    unit = words[east][1] or words[north][1]
    if words[east][0] in EARTHLY and words[north][0] in EARTHLY:
        unit = "deg"
    named = of(CALLED)
    return _Columns(east, north, high, of(ASIDE) if named is None else named, "east", unit)


def _unheaded(rows: Sequence[Sequence[str]], said: list[str]) -> _Columns | str:
    """Return the columns of a table without a head: x, y, z, name, or the name first."""
    wide = max(len(r) for r in rows)
    numeric = [all(_numberlike(r[i]) for r in rows if i < len(r) and r[i]) for i in range(wide)]
    if sum(numeric) < 2 and wide < 2:
        return f'Line 1: "{rows[0][0][:60]}" is one piece; expected two numbers with a comma, semicolon, tab or space between.'
    counted = wide >= 3 and all(r and r[0] == str(i) for i, r in enumerate(rows, 1)) and len(rows) > 1
    if (not numeric[0] and wide >= 3) or (counted and all(numeric[:3])):
        if counted and numeric[0]:
            said.append("The first column counts the points: it is taken as their names.")
        return _Columns(1, 2, 3 if wide > 3 and numeric[3] else None, 0)
    high = 2 if wide > 2 and numeric[2] else None
    name = next(
        (i for i in range(2, wide) if i != high and not numeric[i]), 3 if high is not None and wide > 3 else None
    )
    return _Columns(0, 1, high, name)


def _numberlike(cell: str) -> bool:
    return bool(_NUMBER.fullmatch(cell)) or bool(re.match(r"[+-]?\d", cell) and re.search(r"['\"°ºNSEWm]", cell))


def _points(body: Sequence[tuple[int, list[str]]], columns: _Columns, style: Style, said: list[str]) -> Brought:
    read: list[Given] = []
    faults: list[str] = []
    cells = [c[i] for _, c in body for i in (columns.first, columns.second) if i < len(c)]
    earthly = any(re.search(r"[°ºNSEW]", c) for c in cells)
    lengths = not earthly and any(c and not _NUMBER.fullmatch(c) and _length(c, style) is not None for c in cells)
    order: Order | None = columns.order
    for line, row in body:
        try:
            point, tells = _point(line, row, columns, style, earthly=earthly, lengths=lengths)
        except _Bad as bad:
            faults.append(f"Line {line}: {bad}")
            continue
        order = order or tells
        read.append(point)
    unit = "deg" if earthly else "m" if lengths else columns.unit
    if lengths:
        own = "the garden's own" if columns.unit is None else f"{UNITS[columns.unit][0]}, as the head says"
        said.append(f"The lengths have their units written with them; those without are taken as {own}.")
    group = Group("the points", tuple(read), "points")
    return Brought("table", (group,), unit, order, tuple(said), tuple(faults))


def _point(
    line: int, row: Sequence[str], columns: _Columns, style: Style, *, earthly: bool, lengths: bool
) -> tuple[Given, Order | None]:
    def cell(i: int | None) -> str:
        return row[i] if i is not None and i < len(row) else ""

    found: list[float] = []
    tells: Order | None = None
    for i in (columns.first, columns.second):
        text = cell(i)
        if not text:
            there = f"{len(row)} {'piece' if len(row) == 1 else 'pieces'}"
            raise _Bad(f"there is no number in column {i + 1} ({there} on the line); each point needs two numbers.")
        if earthly:
            value, axis = _degrees(text)
            tells = tells or (("east" if axis in "EW" else "north") if axis and i == columns.first else None)
        else:
            value = _number(text, style, i, columns.unit, lengths=lengths)
        found.append(value)
    high = cell(columns.z)
    z = None if not high else _number(high, style, columns.z or 0, columns.unit, lengths=lengths)
    return Given(cell(columns.name)[:40], found[0], found[1], z, line), tells


def _number(text: str, style: Style, column: int, unit: str | None, *, lengths: bool) -> float:
    if lengths and unit is not None and _NUMBER.fullmatch(text):
        return float(text.replace(",", ".")) * UNITS[unit][1]
    if lengths:
        value = _length(text, style)
        if value is not None:
            return value
    elif _NUMBER.fullmatch(text) and math.isfinite(float(text.replace(",", "."))):
        return float(text.replace(",", "."))
    raise _Bad(f'"{text[:40]}" in column {column + 1} is no number; expected one such as 12.34.')


def _length(text: str, style: Style) -> float | None:
    try:
        return parse_length(text, style)
    except UnitsError:
        return None


def _degrees(text: str) -> tuple[float, str]:
    """Return degrees of a text such as ``52.1``, ``N 52°06'12.3"`` or ``1°12'W``, and the letter of its axis."""
    signed = text.lstrip("+-−")
    match = _EARTH.fullmatch(signed.strip())
    if match is None:
        raise _Bad(f'"{text[:40]}" is no longitude or latitude; expected such as 52.10342 or 52°06\'12.3"N.')
    d, m, s = (float((match[k] or "0").replace(",", ".")) for k in "dms")
    letter = (match["before"] or match["after"] or "").upper()
    value = d + m / 60 + s / 3600
    return (-value if text.startswith(("-", "−")) or letter in ("S", "W") else value), letter
