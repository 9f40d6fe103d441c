"""Quantities without prices, to hand to a contractor who is asked for a price."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quincunx.sheets._building import CARE, care, ended, lies
from quincunx.sheets._set import Set
from quincunx.sheets._tables import LINE
from quincunx.sheets.book import Block, Page
from quincunx.units.dates import format_month

ID = "quotation"
WORDS = "To ask a contractor for a price"
NEEDS = "No large work makes anything that is drawn yet. Say what the jobs make, and this page asks for their price."


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a form has no scale
    """Yield one form for the large works that are still to do; nothing where there are none."""
    done = {e.about for e in of.garden.journal if e.what == "done"}
    found = [c for c in of.costed if c.job.large and c.job.id not in done and c.reckoned.bill]
    if not found:
        return
    blocks: list[Block] = [
        {
            "t": "text",
            "s": "Please say what each work would cost, labour and materials apart, what is left out, and how long the price holds.",
        }
    ]
    for c in found:
        when = f", planned for {format_month(c.job.start)}" if c.job.start else ""
        blocks.append({"t": "heading", "s": f"{c.job.name}{when}"})
        rows: list[list[Any]] = [[b.words, lies(of, b), LINE, LINE] for b in c.reckoned.bill if b.item != "delivery"]
        rows.append(["Labour", "", LINE, LINE])
        rows.append([{"s": "In all, with tax", "bold": True}, "", "", LINE])
        blocks.append({
            "t": "table", "head": ["what", "as it lies there", "price for one", "price"], "rows": rows, "widths": [3.2, 1.2, 1.2, 1.2],
            "align": ["left", "right", "left", "left"], "size": 9, "inset": 1.3,
        })  # fmt: skip
    blocks.append({"t": "text", "s": "Name, address, insurance, date: ______________________________________________"})
    yield Page("Request for a price", ended(blocks, care()), of.paper.size_mm, of.garden.name, foot=CARE)
