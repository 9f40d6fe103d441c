"""The first page of a set: the whole plan in a few lines, what to take outdoors first, and where everything is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from quincunx.garden.letters import unprinted
from quincunx.garden.safety import in_place
from quincunx.garden.shared import by_year
from quincunx.garden.uncosted import uncosted_words
from quincunx.shapes import State
from quincunx.sheets._care import DIGGING
from quincunx.sheets._outdoors import begun, left_of, this_month
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page, bar_mm
from quincunx.sheets.years_table import made_in, rounded, to_pay
from quincunx.units import counted, format_hours, format_money
from quincunx.units.dates import format_month
from quincunx.works import Job

Months = tuple[str, list[Job]]
"""A month, and jobs that are done in it."""
TITLE = "What is in these papers"
FROM = 6
"""A set of so many pages or more gets a first page that says what is in it."""
MOST_FAILS = 10
OUTDOORS = {
    "saturday": "what to set, buy and plant",
    "take-care": "what can hurt, before it begins",
    "setting-out": "its points, tapes and checks",
}
"""The sheets to have in the hand for the first job, and what for."""
HELPERS = {"plan": "where everything lies", **OUTDOORS}
"""The same for whoever helps, who doesn't know the garden."""
PRINT = "Print at 100 %: the bar at the foot of a drawn page must measure {bar}, both ways; then every drawing is to its scale."


@dataclass(frozen=True)
class Part:
    """The pages of one sheet in a set: its id, its words, its pages, the number of the first among all (from 0)."""

    id: str
    words: str
    pages: tuple[Page, ...]
    first: int
    chosen: bool = False
    """Whether these pages are of the job at hand alone."""

    @property
    def span(self) -> dict[str, Any]:
        """Return a cell that says on which pages it is."""
        return on_pages(self.first, self.first + len(self.pages) - 1)


def on_pages(first: int, last: int) -> dict[str, Any]:
    """Return a cell that names the pages from where the first begins to where the last ends."""
    return {"page": first, "last": last}


def front(of: Set, parts: Sequence[Part], at_hand: Months | None = None) -> Page:
    """Return the first page of a set of ``parts``, whose pages come after it.

    ``at_hand`` are the month and the jobs it is for, where these are not the first still to do.
    """
    found = at_hand or this_month(of)
    blocks: list[Block] = [
        *_in_short(of, found),
        *_letters(of),
        *_outdoors(of, parts, found),
        *_failing(of),
        *_where(of, parts),
    ]
    years = of.timeline.years
    note = f"{years[0]} to {years[-1]}" if len(years) > 1 else f"{years[0]}"
    return Page(TITLE, tuple(blocks), of.paper.size_mm, note)


def front_for_helpers(of: Set, parts: Sequence[Part], at_hand: Months | None = None) -> Page:
    """Return the first page of a set for whoever helps: what to hold in the hand and where it is; nothing of money."""
    blocks: list[Block] = []
    if at_hand is not None:
        month, jobs = at_hand
        blocks.append({"t": "large", "s": f"{', '.join(j.name for j in jobs)}, {format_month(month)}."})
    blocks += _outdoors(of, parts, at_hand, "What is in these papers for it", HELPERS)
    blocks.append({"t": "small", "s": PRINT.format(bar=bar_mm(of.garden.style)[1])})
    return Page(TITLE, tuple(blocks), of.paper.size_mm, "for whoever helps")


def _in_short(of: Set, found: Months | None) -> Iterator[Block]:
    """Yield the plan in a sentence, and its years in a row each."""
    style = of.garden.style
    jobs = [j for j in of.garden.jobs if j.start]
    if found is not None:
        month, first = found
        names = ", ".join(j.name for j in first)
        takes = ", ".join(
            [
                *([format_hours(h, style)] if (h := sum(left_of(of, j)[0] for j in first)) else []),
                *([format_money(m, style, whole=True)] if (m := sum(left_of(of, j)[1] for j in first)) else []),
            ]
        )
        takes += " to go" if takes and any(begun(of, j) for j in first) else ""
        first_words = "First" if found == this_month(of) else "At hand"
        yield {"t": "large", "s": f"{first_words}: {names}, {format_month(month)}{f' ({takes})' if takes else ''}."}
    if jobs:
        hours = format_hours(sum(m.worked_h for m in of.money.values()), style)
        spent = sum(m.spent for m in of.money.values())
        paid = format_money(spent, style, whole=True)
        unsaid = uncosted_words(of.garden)
        in_all = f"{paid} in all" if not unsaid else f"{paid} as far as it is written" if spent else "no cost written"
        words = f"{counted(len(jobs), 'job')}, {hours} of own work and {in_all}. {unsaid}".rstrip()
        yield {"t": "text", "s": f"{words}{_besides(of)}"}
    musts = [m for m in of.review.musts if not m.muted]
    if not musts and not jobs:
        return
    yield {
        "t": "table", "head": ["year", "finished in it", "to pay", "own hours", "of what the garden must do"],
        "rows": list(_years(of, musts)), "widths": [0.5, 4.6, 0.8, 0.8, 2.3],
        "align": ["left", "left", "right", "right", "left"], "size": 9.5, "inset": 1.3,
    }  # fmt: skip
    yield from rounded(of)


def _besides(of: Set) -> str:
    """Return that others pay of the jobs too, where they do; the sums here are without it."""
    theirs = sum(by_year(of.garden).values())
    return f" Others pay {format_money(theirs, of.garden.style, whole=True)} of them besides." if theirs else ""


def _letters(of: Set) -> Iterator[Block]:
    """Yield which names can't be printed as they are written."""
    words, _ = unprinted(of.garden)
    if words:
        yield {"t": "small", "s": words}


def _years(of: Set, musts: Sequence[Any]) -> Iterator[list[Any]]:
    style, money = of.garden.style, of.money
    for year in of.timeline.years:
        due = [v.state for m in musts for v in m.verdicts if v.year == year and v.state is not State.NOT_DUE]
        fails, unsure = due.count(State.FAILS), due.count(State.UNKNOWN)
        said = "nothing is due yet" if not due else f"{due.count(State.HOLDS)} of {len(due)} hold"
        said += f", {fails} fail{'s' if fails == 1 else ''}" if fails else ""
        said += f", {unsure} can't be told" if unsure else ""
        names = "; ".join(made_in(of, year)) or "nothing new"
        yield [
            {"s": str(year), "bold": True}, names, to_pay(money[year].spent, style, more=year in of.unsaid_years),
            format_hours(hours, style) if (hours := money[year].worked_h) else "", said,
        ]  # fmt: skip


def _outdoors(
    of: Set,
    parts: Sequence[Part],
    found: Months | None,
    heading: str = "Take outdoors for it",
    purposes: Mapping[str, str] = OUTDOORS,
) -> Iterator[Block]:
    """Yield which pages to take out for the job at hand."""
    names = {j.name for j in found[1]} if found else set()
    rows: list[list[Any]] = []
    for part in parts:
        if part.id not in purposes:
            continue
        few = part.id != "setting-out" or part.chosen
        picked = [(n, p) for n, p in enumerate(part.pages, part.first) if few or p.title in names]
        for title, group in groupby(picked, key=lambda x: x[1].title):
            at = [n for n, _ in group]
            rows.append([{"s": title, "bold": True}, purposes[part.id], on_pages(at[0], at[-1])])
    if rows:
        yield {"t": "heading", "s": heading}
        yield _pages_table(rows, ["page called", "for", "page"], [3.2, 3.6, 0.8])
        yield {"t": "caution", "s": in_place(DIGGING, of.garden)}


def _failing(of: Set) -> Iterator[Block]:
    """Yield what the garden must do and still does not in the last year; why, the years table says."""
    year = of.timeline.years[-1]
    fails = [
        m.text for m in of.review.musts
        if not m.muted and any(v.year == year and v.state is State.FAILS for v in m.verdicts)
    ]  # fmt: skip
    if fails:
        yield {"t": "heading", "s": f"What still fails in {year}"}
        more = f" And {len(fails) - MOST_FAILS} more." if len(fails) > MOST_FAILS else ""
        yield {"t": "text", "s": " ".join(fails[:MOST_FAILS]) + more}


def _where(of: Set, parts: Sequence[Part]) -> Iterator[Block]:
    yield {"t": "heading", "s": "What is where"}
    rows: list[list[Any]] = [[p.words.partition(":")[0], p.span] for p in parts]
    half = (len(rows) + 1) // 2
    columns = [rows[:half], rows[half:]] if len(rows) > 8 else [rows]
    cells = [[_pages_table(some, ["", "page"], [4, 0.9])] for some in columns if some]
    yield {"t": "row", "widths": [1] * len(cells), "cells": cells}
    yield {"t": "small", "s": PRINT.format(bar=bar_mm(of.garden.style)[1])}


def _pages_table(rows: list[list[Any]], head: list[str], widths: list[float]) -> Block:
    return {
        "t": "table", "head": head, "rows": rows, "widths": widths,
        "align": [*(["left"] * (len(head) - 1)), "right"], "size": 9.5, "inset": 1.2,
    }  # fmt: skip
