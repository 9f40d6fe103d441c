"""The same-spot book: photos from one peg year by year beside what the plan says would be seen, with room for the next."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from quincunx.garden.seen import Peg
from quincunx.sheets._outlooks import COVERS, drawn, look_from, photo_day, standing_words
from quincunx.sheets._photos import photo
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.units.dates import MONTHS, format_day

ID = "same-spot"
WORDS = "Same-spot book"
NEEDS = (
    "No peg is set yet. Set one on the board (On foot, Same spot), or give the garden a peg: where it stands, the height of"
    " the camera, and the point it looks at."
)
ROWS = 3
"""Years on a page."""
MOST_PEGS = 6
"""Pegs in a whole set; any one can be asked for by name."""


def has_pages(of: Set) -> bool:
    """Return whether there is a peg."""
    return any(not of.about or p.id == of.about for p in of.garden.pegs)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - views have no scale
    """Yield the pages of each peg: a row a year, the photo on the left, the drawing on the right."""
    pegs = [p for p in of.garden.pegs if not of.about or p.id == of.about]
    for peg in pegs[:MOST_PEGS]:
        years = list(of.timeline.years)
        for start in range(0, len(years), ROWS):
            yield _page(of, peg, years[start : start + ROWS], first=start == 0)


def _page(of: Set, peg: Peg, years: list[int], *, first: bool) -> Page:
    wide, high = of.paper.frame_mm
    room = (high - (34.0 if first else 14.0)) / ROWS - 14.0
    across = min((wide - 6.0) / 2, room * 1.5)
    size = (across, across / 1.5)
    scene = of.timeline.at(photo_day(of.timeline, years[0]))
    blocks: list[Block] = []
    if first:
        north = of.timeline.frame.north_offset_deg
        month = MONTHS[photo_day(of.timeline, years[0]).month - 1]
        blocks.append({"t": "text", "s": standing_words(peg, scene, of.words, north)})
        blocks.append(
            {
                "t": "small",
                "s": f"One photo each {month}, held flat, with no zoom. Left: as it was. Right: as the plan has it.",
            }
        )
    blocks += [_year(of, peg, year, size) for year in years]
    blocks.append({"t": "small", "s": COVERS})
    name = peg.name or "peg"
    return Page(f"Same spot: {name}", tuple(blocks), of.paper.size_mm, f"{years[0]} to {years[-1]}")


def _year(of: Set, peg: Peg, year: int, size: tuple[float, float]) -> Block:
    on = photo_day(of.timeline, year)
    svg, tall = drawn(look_from(peg, of.timeline.at(on)), size[0], of.garden.style)
    right: list[Block] = [{"t": "drawing", "svg": svg, "w": size[0], "h": tall}, _under(f"the plan, {format_day(on)}")]
    return {"t": "row", "widths": [1, 1], "cells": [_photo(of, peg, year, size), right]}


def _photo(of: Set, peg: Peg, year: int, size: tuple[float, float]) -> list[Block]:
    """Return the last photo of a year with its day, or a blank frame to stick it in."""
    taken = sorted((p for p in peg.photos if p.day[:4] == str(year)), key=lambda p: p.day)
    found = of.pictures(taken[-1].picture) if taken and of.pictures else None
    drawn_photo = photo(found[1], size) if found else None
    if drawn_photo is None:
        return [_blank(size, str(year)), _under(f"photo of {year}, taken on  ____________")]
    return [drawn_photo, _under(f"photo, {format_day(date.fromisoformat(taken[-1].day))}")]


def _blank(size: tuple[float, float], words: str) -> Block:
    wide, high = size
    cross = f"M{wide / 2 - 3} {high / 2}h6M{wide / 2} {high / 2 - 3}v6"
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}"><rect x="0.2" y="0.2" width="{wide - 0.4}" '
        f'height="{high - 0.4}" fill="none" stroke="#6b7276" stroke-width="0.3" stroke-dasharray="2 1.4"/>'
        f'<path d="{cross}" stroke="#6b7276" stroke-width="0.3"/>'
        f'<text x="4" y="8" font-size="5" fill="#6b7276" font-family="Source Sans 3">{words}</text></svg>'
    )
    return {"t": "drawing", "svg": svg, "w": wide, "h": high}


def _under(words: str) -> dict[str, Any]:
    return {"t": "small", "s": words}
