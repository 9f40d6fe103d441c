"""Stills: how it will look, kept from standing in it, each with its place, day and hour."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.sheets._photos import photo
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page

ID = "stills"
WORDS = "Stills: how it will look"
NEEDS = "No still is kept yet. On the board, under On foot, stand where you like and keep what you see."
ON_A_PAGE = 2
MOST = 24
"""Stills printed at most, the newest; the others stay in the garden's file."""
KNOWN = (
    "Shapes and sizes are as the plan has them on that day, shadows as the sun stands at that hour on a clear day; colours and "
    "leaves are only a hint."
)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a still has no scale
    """Yield the stills, two on a page."""
    wide, high = of.paper.frame_mm
    size = (wide, min(wide * 9 / 16, high / ON_A_PAGE - 16.0))
    shown = []
    for still in of.garden.stills[-MOST:]:
        found = of.pictures(still.picture) if of.pictures else None
        drawn = photo(found[1], size) if found else None
        if drawn is not None:
            shown.append((still, drawn))
    for start in range(0, len(shown), ON_A_PAGE):
        blocks: list[Block] = []
        for still, drawn in shown[start : start + ON_A_PAGE]:
            blocks += [drawn, {"t": "text", "s": still.words}]
        blocks.append({"t": "small", "s": KNOWN})
        yield Page("Stills", tuple(blocks), of.paper.size_mm, "how it will look")
