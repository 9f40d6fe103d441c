"""What keeps what is built: year by year, with its sum and hours, and what lasts how long."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quincunx.garden.upkeep import Due, Kept, due, kept, yearly
from quincunx.sheets._building import CARE, care, ended
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.weighed import LIVES
from quincunx.units import counted, format_hours, format_money

ID = "upkeep"
WORDS = "What keeps what is built"
NEEDS = "Nothing that is built has a year yet. Name it in a job, and give the job a month."
MOST_ROWS = 60


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a table has no scale
    """Yield what falls due in which year, then how long each thing lasts."""
    found = due(of.garden, of.timeline)
    things, old = kept(of.garden, of.timeline)
    if not things:
        return
    blocks: list[Block] = [_table(of, found[:MOST_ROWS])]
    more = len(found) - MOST_ROWS
    if more > 0:
        words = f"{counted(more, 'line')} more, the last in {found[-1].year}: the board (Jobs) lists them all."
        blocks.append({"t": "text", "s": words})
    for words, hours in yearly(of.garden, of.timeline):
        blocks.append(
            {
                "t": "text",
                "s": f"Every year: {words[:1].lower()}{words[1:]}, about {format_hours(hours, of.garden.style)}.",
            }
        )
    blocks += [{"t": "heading", "s": "How long it lasts"}, _lives(of, things)]
    if old:
        names = ", ".join(of.words.name(f.id) for f in old)
        blocks.append({"t": "small", "s": f"There already, of no known age, so in no year: {names}."})
    closed = ended(blocks, [{"t": "small", "s": LIVES}, *care(demo=any(d.reckoned.demo for d in found))])
    yield Page(WORDS, closed, of.paper.size_mm, of.garden.name, foot=CARE)


def _table(of: Set, found: tuple[Due, ...]) -> Block:
    style, rows = of.garden.style, list[list[Any]]()
    year = 0
    for d in found:
        r = d.reckoned
        money = format_money(r.sum, style, whole=True) if r.sum else ""
        if r.unpriced:
            money = f"{money} + {len(r.unpriced)} without a price".removeprefix(" + ")
        state = "in the plan" if d.taken else "to be taken over" if d.in_plan else "after the plan"
        rows.append(
            [
                {"s": "" if d.year == year else str(d.year), "bold": True},
                d.words,
                ", ".join(d.names),
                money,
                format_hours(r.hours, style),
                state,
            ]
        )
        year = d.year
    return {
        "t": "table", "head": ["year", "what", "for", "money", "hours", ""], "rows": rows, "widths": [0.55, 2.1, 3.4, 1.4, 0.8, 1.1],
        "align": ["left", "left", "left", "right", "right", "left"], "size": 8.5, "inset": 1.2,
    }  # fmt: skip


def _lives(of: Set, things: tuple[Kept, ...]) -> Block:
    rows: list[list[Any]] = []
    for one in sorted(things, key=lambda k: (k.lasting.middle or 999, k.feature.id)):
        life = one.lasting.life
        said = (
            "can't tell"
            if life is None
            else f"{life[0]} years"
            if life[0] == life[1]
            else f"{life[0]} to {life[1]} years"
        )
        chores = ", ".join(
            f"{c.words[:1].lower()}{c.words[1:]} every {f'{c.every} years' if c.every > 1 else 'year'}"
            for c in one.lasting.chores
        )
        rows.append(
            [
                of.words.name(one.feature.id),
                str(one.built),
                said,
                one.lasting.by,
                chores or one.lasting.because or "next to nothing",
            ]
        )
    return {
        "t": "table", "head": ["what", "built", "lasts", "by its", "what keeps it"], "rows": rows, "widths": [1.9, 0.6, 1.2, 1.3, 4],
        "align": ["left"] * 5, "size": 8.5, "inset": 1.2,
    }  # fmt: skip
