"""A form to take outside: the ground drawn with its stakes, what to tape next, and lines to write readings on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quincunx.review.begun_words import first_text, pair, since_text
from quincunx.shapes import Figure, PathFigure
from quincunx.sheets._outdoors import base_of
from quincunx.sheets._place import stake_mark, thin, view
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.scales import fitting
from quincunx.sheets.survey_plan import drawn, network_points
from quincunx.sheets.svg import Look
from quincunx.survey import Distance
from quincunx.units import format_length

ID = "readings-form"
WORDS = "Form for readings"
LINES = 12
ROW_MM = 2.5
"""Blank lines on the page, and the white above and below each [mm]."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - the network finds its own scale
    """Yield one page; a garden with nothing drawn yet has lines only."""
    wide, high = of.paper.frame_mm
    blocks: list[Block] = []
    if of.measured.places or of.garden.boundary:
        frame = (wide, high * 0.46)
        drawing, scale = view(of, network_points(of), _figures(of, frame), frame)
        bad = " · thick dashes: read again" if of.measured.searched.suspects else ""
        blocks += [drawing, {"t": "small", "s": f"{scale.said} · thin lines between stakes are taped already{bad}"}]
    first = _first(of)
    lines = LINES + (0 if blocks else 9)
    rows = [*first, *([""] * 4 for _ in range(lines - len(first)))]
    blocks.append(_table(rows))
    blocks.append({"t": "text", "s": _how(of)})
    yield Page(
        "Readings",
        tuple(blocks),
        of.paper.size_mm,
        "day ____________   taken by ____________",
        foot="one reading a line",
    )


def _figures(of: Set, frame_mm: tuple[float, float]) -> list[Figure]:
    """Return the network; before there are stakes, the boundary and its corners with letters for them."""
    if of.measured.places:
        return drawn(of, frame_mm, rings=False)
    scene = of.timeline.at(of.timeline.leaf_date(of.timeline.years[0]))
    there = {f.id for f in of.garden.features if f.there_from == "start"}
    out: list[Figure] = [f for f in of.frame() if isinstance(f, PathFigure) and f.owner == "boundary"]
    out += [t for f in scene.figures if f.owner in there for t in thin(f)]
    west, south, east, north = of.timeline.frame.boundary.bounds
    look = Look(fitting(east - west, north - south, frame_mm, of.garden.style).number, of.garden.style)
    for control in base_of(of).controls:
        out += stake_mark(control.xy, control.id, look)
    return out


def _first(of: Set) -> list[list[Any]]:
    """Return the readings to take first: those that don't fit, again, and the tapes that would help most."""
    m, rows = of.measured, list[list[Any]]()
    readings = m.readings
    for s in m.searched.suspects:
        r = readings[s.reading]
        if isinstance(r, Distance):
            rows.append([m.names[r.start], m.names[r.end], "", "again: it didn't fit"])
    for f in m.firsts:
        if not f.agrees and not f.later_wrong:
            both = first_text(f, m.style) + ("" if f.since is None else f", since {since_text(f, m.style)}")
            rows.append([*pair(m, f.begun), "", f"again: it read {both}"])
    for swing in m.searched.adjusted.swings:
        rows += [
            [m.names[a], m.names[b], "", f"so that {m.names[swing.stake]} stands still"] for a, b in swing.tapes[:2]
        ]
    rows += [
        [m.names[n.start], m.names[n.end], "", f"about {format_length(n.length_m, of.garden.style, kind='long')}"]
        for n in m.next
    ]
    return [[{"s": a, "bold": True}, {"s": b, "bold": True}, c, d] for a, b, c, d in rows[:6]]


def _table(rows: list[list[Any]]) -> Block:
    return {
        "t": "table",
        "head": ["from", "to", "reads", "note"],
        "rows": [[c or "\N{NO-BREAK SPACE}" for c in row] for row in rows],
        "widths": [0.7, 0.7, 1.5, 2],
        "align": ["left"] * 4,
        "size": 13,
        "inset": ROW_MM,
    }


def _how(of: Set) -> str:
    """Return how to write the kinds of reading, as they are typed in afterwards."""
    one, two = ("12' 4 3/8\"", "3' 9\"") if of.garden.style.system == "feet" else ("12.34", "1.15")
    if of.garden.style.decimal_mark == ",":
        one, two = one.replace(".", ","), two.replace(".", ",")
    return (
        f"Write each reading as it is typed in: A B {one} (tape, held level) · A>B x {one} L {two} T (along from A to B,"
        f" then left to T; R right) · A B C square · A B C straight · A>B sees C left · A B rises {two} · A>B 134 deg"
        " (compass) · A B 34 paces. Tape every stake from three others or more: the third finds the slips."
        " Read twice, write once; say it aloud to whoever writes."
    )
