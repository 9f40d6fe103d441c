"""The care calendar: month by month what the plants want done, and how long it takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from quincunx.grow.care import Care, care, hours_by_month
from quincunx.sheets._hazards import MOWING
from quincunx.sheets._set import Set
from quincunx.sheets._tables import BOX
from quincunx.sheets.book import Block, Page
from quincunx.units import Style, capital, format_hours, in_runs, own_marks
from quincunx.units.dates import MONTHS

ID = "care"
WORDS = "The care calendar: what the plants want done, month by month"
NEEDS = "Nothing is planted yet. Plant something, and this page says what it wants done in which month."

MOST_NAMES = 6
STEPS = 12
"""Hours are written to the twelfth: five minutes."""
LONG_H = 5.0
"""From here on the hours of a year are written whole [h]."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a calendar has no scale
    """Yield a page for each year of the plan in which something grows."""
    for year in of.timeline.years:
        found = care(of.timeline, year, of.today)
        if found:
            yield Page("Care of the plants", tuple(_blocks(of, year, found)), of.paper.size_mm, f"{year}")


def _blocks(of: Set, year: int, found: Sequence[Care]) -> Iterator[Block]:
    found = [replace(c, hours=_shown(c.hours)) for c in found]
    hours, given = hours_by_month(found), of.garden.means.given(year)
    typed = of.garden.means.upkeep(year)
    style = of.garden.style
    rows: list[list[Any]] = []
    for month in range(1, 13):
        those = [c for c in found if c.month == month]
        for k, one in enumerate(those):
            first = k == 0
            name = {"s": MONTHS[month - 1], "bold": True} if first else ""
            much = _hours(of, hours[month - 1]) if first else ""
            room = format_hours(given[month - 1], style) if first and any(given) else ""
            rows.append(
                [
                    BOX,
                    name,
                    f"{capital(one.words)}: {names(of, one.owners)}",
                    _hours(of, one.hours),
                    much,
                    room,
                ]
            )
    yield {
        "t": "table", "head": ["", "when", "what", "hours", "in all", "there are"], "rows": rows,
        "widths": [0, 0.9, 6.0, 0.65, 0.65, 0.75], "align": ["left", "left", "left", "right", "right", "right"],
        "size": 8, "inset": 1.0,
    }  # fmt: skip
    total = sum(hours)
    much = _hours(of, round(total) if total >= LONG_H else total)
    text = f"Care of the plants takes {'' if much == 'little' else 'about '}{much} in {year}"
    if any(typed):
        text += f"; the plan sets {format_hours(round(sum(typed)), style)} aside for all upkeep"
    over = [MONTHS[m] for m in range(12) if any(given) and hours[m] > given[m] + 0.5]
    text += f". More than there are in {', '.join(over)}." if over else "."
    yield {"t": "text", "s": text}
    yield from _all(of, year)
    yield {"t": "small", "s": f"{HOW} {MOWING}"}


def _all(of: Set, year: int) -> Iterator[Block]:
    """Yield the hours of all upkeep by month: plants, grass, beds, floors, water; and what there is."""
    from quincunx.garden.tending import too_much

    one, means, style = of.upkeep[year], of.garden.means, of.garden.style
    rows: list[list[Any]] = [
        [x.words, *(_few(h, style) for h in x.months), _tenths(x.hours, style)]
        for x in one.lines
        if _few(x.hours, style)
    ]
    rows.append([{"s": "in all", "bold": True}, *(_few(h, style) for h in one.months), _tenths(one.hours, style)])
    if any(means.hours_by_month):
        rows.append(["there are", *(_few(h, style) for h in means.given(year)), f"{sum(means.given(year)):.0f}"])
    yield {"t": "heading", "s": "Upkeep of all that grows and lies there, hours by month"}
    yield {
        "t": "table", "head": ["", *(m[:3] for m in MONTHS), "year"], "rows": rows, "widths": [3.2, *([0.8] * 13)],
        "align": ["left", *["right"] * 13], "size": 7.4, "inset": 0.9,
    }  # fmt: skip
    left = sum(means.given(year)) - one.hours
    if any(means.hours_by_month):
        over = ", ".join(MONTHS[m - 1] for m in too_much(of.garden, one))
        text = f"It leaves about {format_hours(round(max(left, 0.0)), style)} for works."
        yield {"t": "text", "s": text + (f" Upkeep alone takes more than there are in {over}." if over else "")}


def _few(hours: float, style: Style) -> str:
    return _tenths(hours, style) if hours >= 0.05 else ""


def _tenths(hours: float, style: Style) -> str:
    return own_marks(f"{hours:.1f}", style)


HOW = (
    "What is done when, and how long for one plant, one metre or one kilogram, is from memory of gardening handbooks:"
    " your own times are better. Staining and mending what is built is not in it. Yew, laurel and other poisonous clippings: keep"
    " them from animals. Ladders: on firm ground, never alone."
)


def names(of: Set, owners: Sequence[str]) -> str:
    """Return what the plantings are called, the first few of many."""
    called = in_runs([of.words.name(o) for o in owners])
    more = len(called) - MOST_NAMES
    return ", ".join(called[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")


def _hours(of: Set, hours: float) -> str:
    return format_hours(hours, of.garden.style) if hours > 0 else "little"


def _shown(hours: float) -> float:
    """Return hours in the steps of five minutes in which they are written, so that what is written adds up."""
    return round(hours * STEPS) / STEPS
