"""The levels: each stake's height and how surely, the level book with its checks, and how the ground falls."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quincunx.build.safe_places import wheels
from quincunx.garden.safety import country
from quincunx.review.ground import Measured, level_words
from quincunx.review.level_books import LevelBook, book_words, called
from quincunx.sheets._outdoors import whole
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.survey import Staff, write_line
from quincunx.survey.levels import BookLine
from quincunx.survey.words import small
from quincunx.units import format_length

ID = "levels"
WORDS = "Levels"
NEEDS = (
    "No levels are measured yet. With a staff, a water level or a line level read how much one stake rises from another,"
    " and put the readings in."
)
WRONG = 3.5
"""A level that misses the others by more than this many times its own looseness is named (about 1 in 2000 by chance)."""

HAIR = 1e-4
"""By so much steeper counts as equal, as heights and lengths are read."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a table has no scale
    """Yield the levels on one page; nothing where none are measured."""
    m = of.measured
    if m.levels is None:
        return
    blocks = [*_levels(m), *_book(m), *_falls(m, country(of.garden))]
    yield Page("Levels", tuple(blocks), of.paper.size_mm, "heights above the datum")


def _length(m: Measured, metres: float) -> str:
    return whole(format_length(metres, m.style, kind="tape"))


def _levels(m: Measured) -> list[Block]:
    if m.levels is None:
        return []
    held = {s.id for s in m.survey.stakes if s.level is not None}
    rows: list[list[Any]] = []
    for stake, z in sorted(m.levels.levels.items(), key=lambda item: m.names[item[0]]):
        sure = (
            "held: given"
            if stake in held
            else f"sure to within {small(max(1.96 * m.levels.sd[stake], 0.001), m.style)}"
        )
        rows.append([{"s": m.names[stake], "bold": True}, _length(m, z), sure])
    blocks: list[Block] = [_table(["stake", "height", "how surely"], rows, [0.6, 1, 3], 12)]
    told = {s.reading for s in m.level_slips}
    bad = [r for r, w in m.levels.w.items() if abs(w) > WRONG and r not in told]
    blocks += [{"t": "caution", "s": words} for words in level_words(m)]
    blocks += [{"t": "caution", "s": f"{_line(m, r)} doesn't fit the other levels: take it again."} for r in bad]
    if m.levels.loose:
        names = ", ".join(m.names[s] for s in m.levels.loose)
        blocks.append({"t": "text", "s": f"No reading ties these to a known height yet: {names}."})
    return blocks


def _line(m: Measured, reading: str) -> str:
    return write_line(m.readings[reading], m.style)


def _book(m: Measured) -> list[Block]:
    """Return each level book by rise and fall with its three checks."""
    return [block for b in m.books for block in _one_book(m, b)]


def _one_book(m: Measured, b: LevelBook) -> list[Block]:
    told = [{"t": "text", "s": words} for words in book_words(b, m.names, m.style)]
    if b.book is None:
        return told
    lines, rows = iter(b.book.lines), list[list[Any]]()
    for i, staff in enumerate(b.staffs):
        turned = staff.sight == "back" and i > 0
        rows.append(_row(m, staff, None if turned else next(lines)))
    head = ["staff on", "back", "between", "fore", "rises", "falls", "height", "put right"]
    heading: Block = {"t": "heading", "s": called(b) if len(m.books) > 1 else "The level book"}
    return [heading, _table(head, rows, [1] * 8, 10.5), *told]


def _row(m: Measured, staff: Staff, line: BookLine | None) -> list[Any]:
    read = _length(m, float(staff.reading))
    sights = [read if staff.sight == sight else "" for sight in ("back", "between", "fore")]
    if line is None:
        return [{"s": m.names[staff.stake], "bold": True}, *sights, "", "", "", ""]
    rise = [_length(m, line.rise_m) if line.rise_m > 0 else "", _length(m, -line.rise_m) if line.rise_m < 0 else ""]
    return [
        {"s": m.names[staff.stake], "bold": True},
        *sights,
        *rise,
        _length(m, line.level_m),
        _length(m, line.adjusted_m),
    ]


def _falls(m: Measured, where: str | None) -> list[Block]:
    """Return how the ground falls between stakes, and where more steeply than ramps for wheels may in a country."""
    if not m.falls:
        return []
    rows: list[list[Any]] = []
    code, any_steep = wheels(where), False
    for f in m.falls:
        grade = "level" if f.drop_m < 0.002 else f"1 in {round(1 / f.grade)}"
        steep = f.grade > code.steepest + HAIR
        any_steep = any_steep or steep
        ends = {"s": f"{m.names[f.start]} to {m.names[f.end]}", "bold": True}
        told = "steep for wheels" if steep else ""
        rows.append([ends, _length(m, f.drop_m), whole(format_length(f.distance_m, m.style)), grade, told])
    head = ["from, to", "falls", "in", "that is", ""]
    blocks: list[Block] = [
        {"t": "heading", "s": "How the ground falls"},
        _table(head, rows, [0.8, 1, 1, 0.8, 1.4], 12),
    ]
    if any_steep:
        most = f"1 in {1 / code.steepest:.3g}"
        blocks.append(
            {"t": "small", "s": f"Steep for wheels: more than {most}, the steepest a ramp may be ({code.source})."}
        )
    return blocks


def _table(head: list[str], rows: list[list[Any]], widths: list[float], size: float) -> Block:
    align = ["left", *("right" for _ in head[1:])] if len(head) > 3 else ["left", "right", "left"]
    return {"t": "table", "head": head, "rows": rows, "widths": widths, "align": align, "size": size, "inset": 1.5}
