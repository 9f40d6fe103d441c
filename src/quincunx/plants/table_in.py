"""The person's own plants from a table: what could be read, and a sentence for each cell that couldn't."""

from __future__ import annotations

import csv
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from pydantic import ValidationError

from quincunx.plants.catalogue import Plant, plant_from

MOST_ROWS, MOST_LETTERS = 2000, 2_000_000
"""A longer table is refused."""
MONTHS = {
    m: n
    for n, m in enumerate(["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"], start=1)
}
_LISTS = frozenset(("leaf_months", "bloom_months", "harvest_months", "sun", "moisture", "read_fields"))
_TRUE, _FALSE = frozenset(("yes", "true", "1", "y", "x")), frozenset(("no", "false", "0", "n"))


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a table: its line (the head is line 1), its column, and a sentence."""

    line: int
    column: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Read:
    """What a table holds: plants, faults by cell, and columns that mean nothing here."""

    plants: tuple[Plant, ...]
    faults: tuple[Fault, ...]
    unknown: tuple[str, ...]


def read_plants(text: str) -> Read:
    """Return the plants of a CSV table with a head line.

    Columns are called as the fields (``height_m``) or as a person reads them (``Height when mature``); between cells
    stands a comma, a semicolon or a tab.  Ranges may be written ``2-3`` (a height or width too),
    months ``4-10`` or ``Apr-Oct``.  A plant without
    an id gets one from its botanical or other name.  Nothing is raised: what can't be read is a fault.
    """
    if len(text) > MOST_LETTERS:
        return Read((), (Fault(1, "", f"The table has over {MOST_LETTERS:,} letters. Split it."),), ())
    lines = [line for line in text.lstrip("\ufeff").splitlines() if line.strip() and not line.startswith("#")]
    if not lines:
        return Read(
            (),
            (Fault(1, "", "The table is empty. Its first line names the columns: name, height_m, spread_m ..."),),
            (),
        )
    mark = max(",;\t", key=lines[0].count)
    rows = list(csv.reader(lines, delimiter=mark))
    columns, unknown = _columns(rows[0])
    plants: dict[str, Plant] = {}
    faults: list[Fault] = []
    if "name" not in columns.values():
        faults.append(
            Fault(1, "", "There is no column “name”. Name the columns in the first line: name, height_m, spread_m ...")
        )
        return Read((), tuple(faults), unknown)
    for number, row in enumerate(rows[1 : MOST_ROWS + 1], start=2):
        cells = {columns[k]: cell.strip() for k, cell in enumerate(row) if k in columns and cell.strip()}
        if not cells:
            continue
        plant, wrong = _plant(cells, number, comma=mark != ",")
        faults += wrong
        if plant is None:
            continue
        if plant.id in plants:
            faults.append(Fault(number, "id", f"The id {plant.id!r} stands twice. The first is kept."))
        else:
            plants[plant.id] = plant
    if len(rows) > MOST_ROWS + 1:
        faults.append(Fault(MOST_ROWS + 2, "", f"Only the first {MOST_ROWS} rows are read. Split the table."))
    return Read(tuple(plants.values()), tuple(faults), unknown)


def _columns(head: list[str]) -> tuple[dict[int, str], tuple[str, ...]]:
    known = {name: name for name in Plant.model_fields}
    known |= {str(info.title).casefold(): name for name, info in Plant.model_fields.items() if info.title}
    found: dict[int, str] = {}
    unknown = []
    for k, cell in enumerate(head):
        word = cell.strip().casefold()
        if word in known and known[word] not in found.values():
            found[k] = known[word]
        elif word:
            unknown.append(cell.strip())
    return found, tuple(unknown)


def _plant(cells: dict[str, str], line: int, *, comma: bool) -> tuple[Plant | None, list[Fault]]:
    cells.setdefault("id", slug(cells.get("botanical") or cells.get("name", "")))
    cells.setdefault("source", "own")
    plain = {name: _cell(name, text, comma=comma) for name, text in cells.items()}
    for name, span in SPAN_OF.items():
        _spread(plain, name, span)
    try:
        return plant_from(plain), []
    except ValidationError as error:
        return None, [_fault(line, e, cells) for e in error.errors()]


SPAN_OF = {"height_m": "height_span_m", "spread_m": "spread_span_m", "years_to_mature": "mature_span_years"}
"""Sizes that may be written as a range: it goes into the second field, its middle into the first."""


def _spread(plain: dict[str, str], name: str, span: str) -> None:
    try:
        low, high = (float(part) for part in plain.get(name, "").split())
    except ValueError:
        return
    plain.setdefault(span, f"{low:g} {high:g}")
    plain[name] = f"{(low + high) / 2:g}"


def _fault(line: int, error: Mapping[str, object], cells: Mapping[str, str]) -> Fault:
    where = error["loc"]
    column = str(where[0]) if isinstance(where, tuple) and where else ""
    if error["type"] == "missing":
        words = str(Plant.model_fields[column].title)
        return Fault(line, column, f"{words} is missing. Give it.")
    if str(error["type"]) in ("float_parsing", "int_parsing"):
        return Fault(line, column, f"Got {cells.get(column, '')[:40]!r}; expected a number. Write it like 2.5.")
    said = str(error["msg"]).removeprefix("Input ").removeprefix("Value error, ")
    return Fault(line, column, f"Got {cells.get(column, '')[:40]!r}: {said}.")


def _cell(name: str, text: str, *, comma: bool) -> str:
    """Return a cell as the catalogue writes it."""
    if name in ("name", "botanical", "source", "poison_words", "spreads_where", "restricted", "crop_what", "id"):
        return text
    if name in ("evergreen", "by_wind"):
        low = text.casefold()
        return "true" if low in _TRUE else "false" if low in _FALSE else text
    if name.endswith("_months"):
        return _months(text)
    if name in _LISTS:
        return re.sub(r"[,;/]+", " ", text)
    text = re.sub(r"(?<=\d),(?=\d)", ".", text) if comma else text
    return re.sub(r"(?<=\d)\s*(?:-|–|to)\s*(?=\d)", " ", text)


def _months(text: str) -> str:
    out: list[int] = []
    for part in re.split(r"[,;\s]+", text.strip()):
        ends = [_month(p) for p in re.split(r"[-–]", part)]
        if None in ends or not ends:
            return text
        first, last = ends[0], ends[-1]
        assert first is not None  # noqa: S101 (asked above)
        out.append(first)
        while out[-1] != last:
            out.append(out[-1] % 12 + 1)
    return " ".join(map(str, dict.fromkeys(out)))


def _month(word: str) -> int | None:
    if word.isdecimal():
        return int(word) if 1 <= int(word) <= 12 else None
    return MONTHS.get(word[:3].casefold())


def slug(text: str) -> str:
    """Return a name as an id: small letters, digits and single hyphens, at most 60."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().casefold()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-")
