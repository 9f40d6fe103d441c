"""How a view or a thing comes true: what is seen, the jobs and orders that lead there, what goes without each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from quincunx.garden import timeline
from quincunx.garden.seen import Peg
from quincunx.sheets._outlooks import COVERS, drawn, in_view, look_from, photo_day
from quincunx.sheets._set import Set
from quincunx.sheets._tables import BOX
from quincunx.sheets.book import Block, Page
from quincunx.sight.outlook import Outlook
from quincunx.units import format_hours, format_money
from quincunx.units.dates import format_day
from quincunx.years.comes_true import ComesTrue, Step, Thing, comes_true, things_of
from quincunx.years.left_out import left_out

ID = "comes-true"
WORDS = "How it comes true"
NEEDS = (
    "Set a peg on the board (On foot, Same spot) and this page says what must be done, and when, for the view from it to "
    "come true; or ask for one thing, or one must, by its id."
)
LAST = 10**6
"""The month of a job that has none: after all others."""
MOST_PEGS = 4
"""Pegs in a whole set; any one, and any thing, can be asked for by name."""
WITHOUT = (
    "“Without it” lists what would be missing of what is seen if that job alone were left out: what it makes, and all that waits "
    "for it."
)


HEIGHTS = (
    "Heights are the likeliest of a range that soil, weather and care make wide; which figures were read where, and which are "
    "from memory, the board says of each plant (Age)."
)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - views have no scale
    """Yield a page for each peg's view in the last year of the plan, or for the one peg or thing that is asked about."""
    pegs = [p for p in of.garden.pegs if not of.about or p.id == of.about]
    on = photo_day(of.timeline, of.timeline.years[-1])
    for peg in pegs[:MOST_PEGS]:
        yield _view(of, peg, on)
    things = things_of(of.garden, of.timeline, of.about)
    if things:
        found = comes_true(of.garden, of.timeline, things, _day_of(of, things, on), of.words)
        yield Page(f"{WORDS}: {_name(of)}", tuple(_blocks(of, found)), of.paper.size_mm, format_day(found.on))


def _name(of: Set) -> str:
    """Return what is asked about: a thing's name, or a must's sentence."""
    said = (m.name or m.sentence(of.words).rstrip(".") for m in of.garden.intents if m.id == of.about)
    return of.words.name(of.about) if of.timeline.feature(of.about) is not None else next(said)


def _day_of(of: Set, things: Sequence[str], on: date) -> date:
    """Return the last day of the plan's leaves if any of the things comes after the day of the photos."""
    last = of.timeline.leaf_date(of.timeline.years[-1])
    return on if all(of.timeline.stands_on(t, on) for t in things) else last


def _view(of: Set, peg: Peg, on: date) -> Page:
    look = look_from(peg, of.timeline.at(on))
    found = comes_true(of.garden, of.timeline, in_view(look), on, of.words)
    across = min(of.paper.frame_mm[0] * 0.46, 105.0)
    planned = _picture(of, look, across, f"as planned, {format_day(on)}")
    rest = of.paper.frame_mm[0] - across - 5
    step = first_to_do(found)
    words: list[Block] = [{"t": "text", "s": s} for s in found.words]
    if step is None:
        head: list[Block] = [{"t": "row", "widths": [across, rest], "cells": [planned, words]}]
    else:
        without = look_from(peg, timeline(left_out(of.garden, step.job)).at(on))
        second = _picture(of, without, across, f"the same day, if “{step.name}” is never done")
        head = [{"t": "row", "widths": [across, rest], "cells": [planned, second]}, *words, _skipped(of, step)]
    name = peg.name or "peg"
    blocks = (*head, *_blocks(of, found, told=False), {"t": "small", "s": COVERS})
    return Page(f"{WORDS}: {name}", blocks, of.paper.size_mm, format_day(on))


def first_to_do(found: ComesTrue) -> Step | None:
    """Return the job of a way that is next: the first with a month that isn't done; None if there is none."""
    return next((s for s in found.steps if s.start is not None), None)


def _picture(of: Set, look: Outlook, across: float, words: str) -> list[Block]:
    svg, tall = drawn(look, across, of.garden.style)
    return [{"t": "drawing", "svg": svg, "w": across, "h": tall}, {"t": "small", "s": words}]


def _skipped(of: Set, step: Step) -> Block:
    gone = f"gone {'are' if len(step.without) > 1 else 'is'} {of.words.both(step.without)}"
    return {"t": "text", "s": f"Beside it, the same view if “{step.name}” ({step.when}) is left out: {gone}."}


def _blocks(of: Set, found: ComesTrue, *, told: bool = True) -> Iterator[Block]:
    if told:
        yield from ({"t": "text", "s": s} for s in found.words)
    if found.steps:
        yield {"t": "heading", "s": "What has to be done, in this order"}
        yield _table(of, found.steps)
        yield {"t": "small", "s": WITHOUT}
    if found.done:
        yield {"t": "heading", "s": "Done already"}
        yield {"t": "text", "s": "; ".join(s.name for s in found.done) + "."}
    yield from _things(of, found.things)
    if any(t.height_m and t.how == "comes" for t in found.things):
        yield {"t": "small", "s": HEIGHTS}


def _things(of: Set, things: Sequence[Thing]) -> Iterator[Block]:
    there = [of.words.name(t.id) for t in things if t.how == "there"]
    for head, some in (
        ("What is still to come", [t for t in things if t.how == "comes"]),
        ("What won’t be there by then", [t for t in things if t.how not in ("there", "comes")]),
    ):
        if some:
            yield {"t": "heading", "s": head}
            yield from ({"t": "text", "s": t.words} for t in some)
    if there:
        yield {"t": "text", "s": f"There already: {', '.join(there)}."}


def _table(of: Set, steps: Sequence[Step]) -> Block:
    style = of.garden.style
    dated: list[tuple[int, int, list[Any]]] = []
    for step in steps:
        start = LAST if step.start is None else step.start
        dated += [
            (start if e.by is None else e.by, 1, [BOX, e.when, f"{e.verb}: {e.what}", "", "", ""]) for e in step.orders
        ]
        lost = ", ".join(of.words.name(t) for t in step.without)
        dated.append((start, 0, [
            BOX, step.when, {"s": step.name, "bold": True},
            format_hours(step.hours, style) if step.hours else "",
            format_money(step.money, style, whole=True) if step.money else "", lost,
        ]))  # fmt: skip
    rows = [row for *_, row in sorted(dated, key=lambda d: d[:2])]
    return {
        "t": "table", "head": ["", "when", "what", "own hours", "money", "without it, not there"], "rows": rows,
        "widths": [0, 2.05, 3.0, 0.75, 0.75, 2.3], "align": ["left", "left", "left", "right", "right", "left"],
        "size": 9, "inset": 1.3,
    }  # fmt: skip
