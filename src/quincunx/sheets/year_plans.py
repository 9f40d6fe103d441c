"""One plan a year: what stands at the end of each summer, with what was made that year."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.sheets._set import Set
from quincunx.sheets.book import Page
from quincunx.sheets.plan import plan_pages
from quincunx.sheets.years_table import made_in

ID = "year-plans"
WORDS = "A plan for each year"


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:
    """Yield one plan for each year of the plan in which anything looks other than in the year before."""
    shown = None
    for year in of.timeline.years:
        made, now = made_in(of, year), of.summer(year).figures
        if now == shown and not made:
            continue
        shown = now
        note = "late summer" + (
            f": {', '.join(made[:4])}" + (" …" if len(made) > 4 else "") if made else ", nothing new"
        )
        yield from plan_pages(of, year, f"{year}", note, wanted)
