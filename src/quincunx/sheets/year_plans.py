"""One plan a year: what stands at the end of each summer, with what was made since the last and what comes after."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quincunx.sheets._set import Set
from quincunx.sheets.book import Page
from quincunx.sheets.plan import plan_pages, sheets_of

ID = "year-plans"
WORDS = "A plan for each year"
MOST = 4
"""No more jobs than this are named over a plan."""
MOST_SHEETS = 80
"""No more sheets than this are drawn of all the years unless a scale is asked for (our own choice)."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:
    """Yield one plan for each year of the plan in which anything looks other than in the year before, or is made."""
    shown, small = None, None if wanted is not None else _small(of)
    for year in of.timeline.years:
        drawn, later, now = *_made(of, year), of.summer(year).figures
        if now == shown and not drawn and not later:
            continue
        shown = now
        note = "late summer" + (f": {_named(drawn)}" if drawn else "" if later else ", nothing new")
        note += f"; later in {year}, not drawn yet: {_named(later)}" if later else ""
        note += "; drawn small, to be one sheet: name a scale for a larger one" if small else ""
        yield from plan_pages(of, year, f"{year}", note, small or wanted)


def _small(of: Set) -> float | None:
    """Return the scale at which each year is one sheet, where all of them would be too many; None where they are not."""
    sheets, whole = sheets_of(of)
    return whole.number if sheets > 1 and sheets * len(of.timeline.years) > MOST_SHEETS else None


def _named(jobs: Sequence[str]) -> str:
    return ", ".join(jobs[:MOST]) + (" …" if len(jobs) > MOST else "")


def _made(of: Set, year: int) -> tuple[list[str], list[str]]:
    """Return the jobs finished since the summer before, which the plan of ``year`` shows, and those after it that year.

    A thing stands from the month after its job, so that a job of the month in which a year is judged comes after it.
    """
    day = of.timeline.leaf_date(year)
    summer = 12 * day.year + day.month - 1
    begin = 12 * year if year == of.timeline.years[0] else summer - 12
    done = sorted((month, job.name) for job in of.garden.jobs if (month := of.timeline.last_month(job)) is not None)
    drawn = [name for month, name in done if begin <= month < summer]
    return drawn, [name for month, name in done if summer <= month < 12 * year + 12]
