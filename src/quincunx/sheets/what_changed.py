"""The page of what changed: how things went by the journal, the rest planned again, and why each job moved."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.units import capital, own_shares
from quincunx.units.dates import format_month, month_from_index, month_index
from quincunx.units.sides import up
from quincunx.years.faults import Nonsense
from quincunx.years.real import WORTH_SAYING, Again, again
from quincunx.years.two_ways import GIVE_LITTLE, GIVE_PAYS, moved_otherwise, two_ways

ID = "what-changed"
WORDS = "What changed and why"
NEEDS = (
    "The journal has no line yet. Write down what was done, spent and lost; this page then plans the rest again with the"
    " least change and says what moves and why."
)
EFFORT, LONG_S = 1.0, 60.0
"""Solver's own count for planning again (the same garden, the same page), and the wall time behind it [s]."""


def month_after(of: Set) -> str | None:
    """Return the month after the last line of the journal, or the present one where that is later, within the plan.

    None if there is no line or no year left.
    """
    days = [e.day for e in of.garden.journal]
    if not days:
        return None
    years = of.garden.means.all_years
    month = max(month_index(max(days)[:7]) + 1, 12 * years[0], of.today or 0)
    return month_from_index(month) if month < 12 * (years[-1] + 1) else None


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - words have no scale
    """Yield the page; nothing while the journal is empty or the plan is over."""
    month = month_after(of)
    if month is None or not of.garden.jobs:
        return
    try:
        found, wider = (
            again(of.garden, month, give=g, seconds=LONG_S, effort=EFFORT) for g in (GIVE_LITTLE, GIVE_PAYS)
        )
    except Nonsense as error:
        yield Page(WORDS, ({"t": "large", "s": str(error)},), of.paper.size_mm)
        return
    blocks: list[Block] = [{"t": "large", "s": own_shares(found.words, of.garden.style)}]
    if found.today.notes:
        blocks += [{"t": "heading", "s": "How it went"}, *({"t": "text", "s": note} for note in found.today.notes)]
    blocks += _table(found)
    blocks += _ways(of, found, wider)
    blocks.append({"t": "small", "s": own_shares(_how(found), of.garden.style)})
    yield Page(WORDS, tuple(blocks), of.paper.size_mm, f"from {format_month(month)}")


def _table(found: Again) -> list[Block]:
    if not found.rows:
        return []
    rows = [[r.name, r.was or "not in the plan", {"s": r.now, "bold": True}, capital(r.why)] for r in found.rows]
    return [
        {"t": "heading", "s": "What changes"},
        {
            "t": "table",
            "head": ["what", "was", "is now", "why"],
            "rows": rows,
            "widths": [2.1, 0, 0, 3],
            "align": ["left"] * 4,
            "size": 8.5,
            "inset": 1.3,
        },
    ]


def _ways(of: Set, found: Again, wider: Again) -> list[Block]:
    """Tell the two ways to go on beside each other, and what the other one would move."""
    ways = two_ways(found, wider)
    if ways is None:
        return []
    blocks: list[Block] = [{"t": "heading", "s": "Two ways to go on"}]
    blocks += [
        {"t": "text", "s": f"{way.name}{also}: {own_shares(way.words, of.garden.style)}"}
        for way, also in zip(ways, (" (above)", ""), strict=True)
    ]
    moves = moved_otherwise(found, wider)
    if moves:
        blocks.append({"t": "small", "s": f"What it moves beyond that: {' '.join(move.sentence for move in moves)}"})
    return blocks


def _how(found: Again) -> str:
    given = 100 * found.found.given_up
    less = (
        f"at most {up(given, 1):.1f} parts in 100 of the use still to come are forgone by that"
        if given >= WORTH_SAYING
        else "no use is forgone by that"
    )
    return (
        "How do we know? What the journal calls done or begun stays; what is left is planned from this month on with the money "
        f"in hand and the hours there are, so that as few jobs as possible move: {less}. Nothing is changed in the garden by "
        "printing this; take the order on the board (Years, As it went) or by `quincunx replan --keep`."
    )
