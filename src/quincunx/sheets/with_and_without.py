"""With it and without: the view from the best places, drawn twice, so that it can be seen on paper what a job is for."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from quincunx.sheets._both import Both, Row, both
from quincunx.sheets._both_card import WITHIN, WITHOUT, foot, missing
from quincunx.sheets._outdoors import this_month
from quincunx.sheets._outlooks import drawn
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page, SheetError
from quincunx.sight.outlook import Outlook
from quincunx.units import capital

ID = "with-and-without"
WORDS = "With it and without"
NEEDS = (
    "There is no job with a month that is still to do and makes something to be seen. Ask for a job or a thing by its id:"
    " print FILE --sheet with-and-without --about ID."
)
MOST_JOBS = 2
MOST_PLACES = 2
BETWEEN_MM, HEAD_MM, WORDS_MM = 6.0, 26.0, 9.0


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - views have no scale
    """Yield a page for what is asked about, else for each of this month's jobs that makes something to be seen."""
    if of.about:
        if of.timeline.feature(of.about) is not None or any(j.id == of.about for j in of.garden.jobs):
            page, why = _tried(of, of.about)
            yield page or Page(WORDS, ({"t": "text", "s": why},), of.paper.size_mm)
        return
    found = this_month(of)
    for job in (found[1] if found else [])[:MOST_JOBS]:
        page, _ = _tried(of, job.id)
        if page is not None:
            yield page


def _tried(of: Set, about: str) -> tuple[Page | None, str]:
    """Return the page of a job or thing, or why there is nothing to see."""
    try:
        return _page(of, list(islice(both(of, about), MOST_PLACES))), ""
    except SheetError as error:
        return None, str(error)


def _page(of: Set, views: list[Both]) -> Page:
    wide, high = of.paper.frame_mm
    rows = sum(len(v.rows) for v in views)
    across = min((wide - BETWEEN_MM) / 2, 1.5 * ((high - HEAD_MM - WORDS_MM * len(views)) / rows - WORDS_MM))
    blocks: list[Block] = [{"t": "large", "s": views[0].subject.name}]
    if missing(of, views[0]):
        blocks.append({"t": "text", "s": missing(of, views[0])})
    for view in views:
        where = f"{view.choice}, {view.where}" if view.choice else view.where
        blocks.append({"t": "heading", "s": f"{capital(where)}; {view.when}"})
        blocks += [_row(of, row, across) for row in view.rows]
    blocks.append({"t": "small", "s": foot(views[0])})
    return Page(WORDS, tuple(blocks), of.paper.size_mm, views[0].rows[-1].words)


def _row(of: Set, row: Row, across: float) -> Block:
    cells = [_picture(of, row.without, across, WITHOUT, row), _picture(of, row.within, across, WITHIN, row)]
    return {"t": "row", "widths": [1, 1], "cells": cells}


def _picture(of: Set, look: Outlook, across: float, words: str, row: Row) -> list[Block]:
    svg, tall = drawn(look, across, of.garden.style)
    return [
        {"t": "drawing", "svg": svg, "w": across, "h": tall},
        {"t": "small", "s": f"{words}: {row.words}"},
    ]
