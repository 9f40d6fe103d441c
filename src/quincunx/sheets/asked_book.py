"""The request for a price as a workbook (XLSX) and as a plain table (CSV): the contractor fills in, the sums follow.

The same garden and the same version of the writing library give the same bytes: no clock is read.
"""

from __future__ import annotations

import csv
import io
from typing import Any

from quincunx.build.screening import DEFERS
from quincunx.sheets._asked import BESIDES, TO_SAY, Request, requests
from quincunx.sheets._building import COUNTED
from quincunx.sheets._set import Set
from quincunx.sheets._workbook import begun, money_format
from quincunx.units import minor_digits

HEADS = ("part", "what", "how much", "counted", "unit", "supplied by", "price for one", "price")
TOTALS = ("Taking away what is dug out and what is over", "Hire, scaffold, delivery", "Labour")
PAGE_CHARS = 31
"""A page of a workbook has a name no longer than this."""


def asked_table(of: Set) -> str:
    """Return every request as one table of comma-separated values, decimal points, a line to be priced in each row."""
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(("job", *HEADS))
    for one in requests(of):
        for x in one.lines:
            table.writerow((one.job, x.part, x.what, x.much, f"{x.number:g}", x.unit, "", "", ""))
        for words in TOTALS:
            table.writerow((one.job, "besides", words, "", "", "", "", "", ""))
    table.writerow(("", "", f"{COUNTED} {DEFERS}", "", "", "", "", "", ""))
    return out.getvalue()


def asked_book(of: Set) -> bytes:
    """Return a workbook with a page for each request: lines to price, what else to say, the caution."""
    book, file = begun(of, "requests for a price")
    digits = minor_digits(of.garden.style.currency)
    looks = {
        "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
        "bold": book.add_format({"bold": True}),
        "money": book.add_format({"num_format": money_format(of.garden.style)}),
        "fill": book.add_format({"bg_color": "#fdf6e3", "border": 4}),
        "wrap": book.add_format({"text_wrap": True, "valign": "top"}),
    }
    names: set[str] = set()
    for one in requests(of):
        _page(book.add_worksheet(_named(one.job, names)), one, of, looks, digits)
    if not names:
        book.add_worksheet("Nothing asked")
    book.close()
    return file.getvalue()


def _named(job: str, taken: set[str]) -> str:
    name, n = job[:PAGE_CHARS], 1
    while name in taken:
        n += 1
        name = f"{job[: PAGE_CHARS - 4]}-{n}"
    taken.add(name)
    return name


def _page(page: Any, one: Request, of: Set, looks: dict[str, Any], digits: int) -> None:
    for column, wide in enumerate((12, 46, 14, 11, 8, 14, 14, 14)):
        page.set_column(column, column, wide)
    page.set_landscape()
    page.fit_to_pages(1, 0)
    page.write_string(0, 0, f"{of.garden.name}: {one.name}", looks["bold"])
    page.write_string(1, 0, f"{one.when} Prices in {of.garden.style.currency}.")
    row = 3
    for name, said in (
        ("The work", one.scope), ("Getting there", one.way), ("Levels and falls", one.levels), ("Digging", one.waste),
        ("To mind first", one.mind), ("Not asked for", BESIDES), ("Drawings", one.drawings),
    ):  # fmt: skip
        for n, words in enumerate(said):
            page.write_string(row, 0, name if n == 0 else "", looks["bold"])
            page.write_string(row, 1, words)
            row += 1
    row = _lines(page, one, looks, digits, row + 1)
    page.write_string(row + 1, 0, "Please also write down", looks["bold"])
    for words in TO_SAY:
        row += 1
        page.write_string(row + 1, 1, words)
        page.write_blank(row + 1, 2, None, looks["fill"])
    page.write_string(row + 3, 0, f"{COUNTED} {DEFERS}")


def _lines(page: Any, one: Request, looks: dict[str, Any], digits: int, row: int) -> int:
    """Write the lines to be priced and their sums; return the row after them."""
    for column, head in enumerate(HEADS):
        page.write_string(row, column, head, looks["head"])
    start = row + 2
    for x in one.lines:
        row += 1
        for column, text in enumerate((x.part, x.what, x.much)):
            page.write_string(row, column, text)
        page.write_number(row, 3, x.number or 0.0)
        page.write_string(row, 4, x.unit)
        page.write_blank(row, 5, None, looks["fill"])
        page.write_blank(row, 6, None, looks["fill"])
        page.write_formula(row, 7, f"=ROUND(D{row + 1}*G{row + 1},{digits})", looks["money"], 0)
    for words in TOTALS:
        row += 1
        page.write_string(row, 1, words)
        page.write_blank(row, 7, None, looks["fill"])
    end = row + 1
    row += 1
    page.write_string(row, 1, "In all before tax", looks["bold"])
    page.write_formula(row, 7, f"=SUM(H{start}:H{end})", looks["money"], 0)
    row += 1
    page.write_string(row, 1, "Tax")
    page.write_blank(row, 7, None, looks["fill"])
    row += 1
    page.write_string(row, 1, "In all", looks["bold"])
    page.write_formula(row, 7, f"=H{row - 1}+H{row}", looks["money"], 0)
    return row
