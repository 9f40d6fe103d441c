"""A request for a price, a page for each work: what is wanted, how one gets there, quantities, what the answer must say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from quincunx.sheets._asked import BESIDES, TO_SAY, Request, requests
from quincunx.sheets._building import CARE, care, ended
from quincunx.sheets._set import Set
from quincunx.sheets._tables import BOX, LINE
from quincunx.sheets.book import Block, Page
from quincunx.units import capital

ID = "quotation"
WORDS = "To ask a contractor for a price"
NEEDS = "No large work makes anything that is drawn yet. Say what the jobs make, and this page asks for their price."
LAST = (
    "Taking away what is dug out and what is over",
    "Hire, scaffold, delivery",
    "Labour",
    "In all before tax",
    "Tax",
    "In all",
)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a form has no scale
    """Yield one form for each large or hired work that is still to do; nothing where there are none."""
    for one in requests(of):
        yield Page(f"Request for a price: {one.name}", _form(one), of.paper.size_mm, foot=CARE)


def _form(one: Request) -> tuple[Block, ...]:
    blocks: list[Block] = [
        {"t": "text", "s": f"{one.when} Please say what this would cost and send this form back with your price."},
        _told(one),
        {"t": "heading", "s": "Quantities, counted on the plan as it lies there, without waste"},
        _lines(one),
        {"t": "heading", "s": "Please also write down"},
        {
            "t": "table", "head": ["", "", ""], "rows": [[BOX, words, LINE["s"] * 5] for words in TO_SAY], "widths": [0, 1.5, 1],
            "align": ["left", "left", "right"], "size": 8.0, "inset": 0.75,
        },
    ]  # fmt: skip
    return ended(blocks, care())


def _told(one: Request) -> Block:
    """Return what is asked for in words, one row a sentence, each group under its name."""
    groups: tuple[tuple[str, Sequence[str]], ...] = (
        ("The work", one.scope), ("Getting there", one.way), ("Levels and falls", one.levels), ("Digging", one.waste),
        ("To mind first", one.mind), ("Not asked for", BESIDES), ("Drawings", one.drawings),
    )  # fmt: skip
    rows: list[list[Any]] = [
        [{"s": name if n == 0 else "", "bold": True}, words] for name, said in groups for n, words in enumerate(said)
    ]
    return {
        "t": "table",
        "head": ["", ""],
        "rows": rows,
        "widths": [1, 5.4],
        "align": ["left", "left"],
        "size": 8.5,
        "inset": 0.9,
    }


def _lines(one: Request) -> Block:
    rows: list[list[Any]] = []
    part = ""
    for x in one.lines:
        if x.part != part:
            supplied = ": tick who supplies them" if x.part.startswith("materials") else ""
            rows.append([{"s": f"{capital(x.part)}{supplied}", "bold": True}, "", "", "", "", ""])
            part = x.part
        ticks = [BOX, BOX] if x.part.startswith("materials") else ["", ""]
        rows.append([x.what, x.much, *ticks, LINE, LINE])
    rows += [[{"s": words, "bold": words.startswith("In all")}, "", "", "", "", LINE] for words in LAST]
    return {
        "t": "table", "head": ["what", "how much", "you", "I", "price for one", "price"], "rows": rows,
        "widths": [3.2, 1.3, 0.4, 0.4, 1.1, 1.1], "align": ["left", "right", "center", "center", "left", "left"], "size": 8.5, "inset": 1.0,
    }  # fmt: skip
