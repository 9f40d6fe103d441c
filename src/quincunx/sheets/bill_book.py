"""The bill of quantities as a workbook (XLSX): what to buy with prices to change, cutting, hours, what was looked up.

Change a price or a quantity on the page Bill and its sum, each job's and the whole follow.  The same garden and the same
version of the writing library give the same bytes: no clock is read.
"""

from __future__ import annotations

from typing import Any

from quincunx.build.screening import DEFERS, SCOPE
from quincunx.garden.safety import looked_up
from quincunx.sheets._building import COUNTED, DEMO
from quincunx.sheets._set import Set
from quincunx.sheets._workbook import begun, money_format
from quincunx.units import minor_digits

SPARE_ROWS = 200
"""Formulas look at this many rows below the last written one, so that rows can be added."""


def bill_book(of: Set) -> bytes:
    """Return the workbook with the pages Bill, Jobs, Cutting, Sheets where any are cut, Hours, Looked up and About."""
    book, file = begun(of, "bill of quantities")
    looks = {
        "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
        "money": book.add_format({"num_format": money_format(of.garden.style)}),
        "number": book.add_format({"num_format": "#,##0.00"}),
        "wrap": book.add_format({"text_wrap": True, "valign": "top"}),
    }
    last = _bill(book, of, looks)
    _jobs(book, of, looks, last)
    _cutting(book, of, looks)
    _sheets(book, of, looks)
    _hours(book, of, looks)
    _looked_up(book, of, looks)
    _about(book, of, looks)
    book.close()
    return file.getvalue()


def _page(book: Any, name: str, heads: list[str], widths: list[float], looks: dict[str, Any]) -> Any:
    page = book.add_worksheet(name)
    for column, (head, width) in enumerate(zip(heads, widths, strict=True)):
        page.set_column(column, column, width)
        page.write_string(0, column, head, looks["head"])
    page.freeze_panes(1, 0)
    page.set_landscape()
    page.fit_to_pages(1, 0)
    return page


def _bill(book: Any, of: Set, looks: dict[str, Any]) -> int:
    currency = of.garden.style.currency
    size = 10 ** minor_digits(currency)
    heads = [
        *["Job", "What", "Lies there", "Unit", "To buy", "Sold by"],
        f"Price for one [{currency}]",
        f"Sum [{currency}]",
    ]
    heads += ["Where", "Weight [kg]", "How it was counted"]
    page = _page(book, "Bill", heads, [30, 30, 11, 7, 10, 12, 14, 12, 20, 11, 60], looks)
    row = 0
    for c in of.costed:
        for b in c.reckoned.bill:
            row += 1
            page.write_string(row, 0, c.job.id)
            page.write_string(row, 1, b.words)
            page.write_number(row, 2, b.net, looks["number"])
            page.write_string(row, 3, b.unit)
            page.write_number(row, 4, b.count, looks["number"])
            page.write_string(row, 5, b.sold_by)
            if b.sum is not None and b.count:
                page.write_number(row, 6, b.sum / b.count / size, looks["number"])
            value = (b.sum or 0) / size
            page.write_formula(row, 7, f"=ROUND(E{row + 1}*G{row + 1},{minor_digits(currency)})", looks["money"], value)
            page.write_string(row, 8, b.shop)
            page.write_number(row, 9, b.kg, looks["number"])
            page.write_string(row, 10, b.how)
    return row + 1 + SPARE_ROWS


def _jobs(book: Any, of: Set, looks: dict[str, Any], last: int) -> None:
    currency = of.garden.style.currency
    size = 10 ** minor_digits(currency)
    heads = [
        "Job",
        "Name",
        f"In the plan [{currency}]",
        f"Worked out [{currency}]",
        "Hours in the plan",
        "Hours worked out",
    ]
    heads += ["At least", "At most", "Weight [kg]", "Barrow loads", "Without a price"]
    page = _page(book, "Jobs", heads, [24, 40, 14, 14, 12, 12, 10, 10, 12, 12, 50], looks)
    for row, c in enumerate(of.costed, 1):
        r = c.reckoned
        page.write_string(row, 0, c.job.id)
        page.write_string(row, 1, c.job.name)
        page.write_number(row, 2, c.job.cost / size, looks["money"])
        formula = f"=SUMIFS(Bill!$H$2:$H${last},Bill!$A$2:$A${last},A{row + 1})"
        page.write_formula(row, 3, formula, looks["money"], r.sum / size)
        for column, value in enumerate((c.job.hours, r.hours, *r.hours_range, r.kg), 4):
            page.write_number(row, column, value, looks["number"])
        page.write_number(row, 9, r.loads)
        page.write_string(row, 10, ", ".join(r.unpriced))


def _cutting(book: Any, of: Set, looks: dict[str, Any]) -> None:
    heads = ["Job", "What", "Boards", "Length [m]", "Pieces", "Left over [m]", "Least waste"]
    page = _page(book, "Cutting", heads, [24, 28, 9, 11, 70, 13, 26], looks)
    row = 0
    for c in of.costed:
        for sheet in c.reckoned.cuts:
            kept = [
                (r.left.length_m, r.cuts, r.count, r.left_m, f" (left over from {r.left.source})") for r in sheet.before
            ]
            for length, sawn, count, left, source in kept + [
                (b.length_m, b.cuts, b.count, b.left_m, "") for b in sheet.boards
            ]:
                row += 1
                cuts = ", ".join(f"{n} × {sheet.pieces[i].name} {sheet.pieces[i].length_m:.3f}" for i, n in sawn)
                page.write_string(row, 0, c.job.id)
                page.write_string(row, 1, sheet.item + source)
                page.write_number(row, 2, count)
                page.write_number(row, 3, length, looks["number"])
                page.write_string(row, 4, cuts)
                page.write_number(row, 5, left, looks["number"])
                page.write_string(row, 6, "proven" if sheet.proven else f"within {100 * sheet.gap:.0f} in 100")


def _sheets(book: Any, of: Set, looks: dict[str, Any]) -> None:
    """Write how plates are cut from sheets, one row for each way; nothing where no job cuts any."""
    found = [(c.job.id, s) for c in of.costed for s in c.reckoned.sheets]
    if not found:
        return
    heads = ["Job", "What", "Sheets", "Width [m]", "Length [m]", "Plates", "Cuts in order", "Off-cuts", "Least cost"]
    page = _page(book, "Sheets", heads, [24, 24, 9, 11, 11, 60, 60, 40, 22], looks)
    row = 0
    for job, sheet in found:
        for w in (*(sawn for _, sawn in sheet.before), *sheet.sheets):
            row += 1
            plates = [f"{sheet.plates[p.plate].name} {p.wide_m:.3f} × {p.long_m:.3f}" for p in w.plates]
            cuts = [f"{n} {'along' if c.along else 'across'} {c.measure_m:.3f}" for n, c in enumerate(w.cuts, 1)]
            left = [f"{a:.3f} × {b:.3f}" for a, b in w.left]
            page.write_string(row, 0, job)
            page.write_string(row, 1, sheet.item)
            page.write_number(row, 2, w.count)
            page.write_number(row, 3, w.wide_m, looks["number"])
            page.write_number(row, 4, w.long_m, looks["number"])
            for column, words in ((5, plates), (6, cuts), (7, left)):
                page.write_string(row, column, ", ".join(words))
            page.write_string(row, 8, "proven" if sheet.proven else f"within {100 * sheet.gap:.0f} in 100")
        if sheet.ordered:
            row += 1
            ordered = [f"{p.count} × {p.name} {p.wide_m:.3f} × {p.long_m:.3f}" for p in sheet.plates]
            for column, text in ((0, job), (1, sheet.item), (5, ", ".join(ordered)), (8, "ordered cut to size")):
                page.write_string(row, column, text)


def _hours(book: Any, of: Set, looks: dict[str, Any]) -> None:
    page = _page(
        book, "Hours", ["Job", "Task", "Amount", "Unit", "Hours", "Known from"], [24, 44, 11, 8, 10, 40], looks
    )
    row = 0
    for c in of.costed:
        for x in c.reckoned.labour:
            row += 1
            for column, text in ((0, c.job.id), (1, x.words), (3, x.unit), (5, x.source)):
                page.write_string(row, column, text)
            page.write_number(row, 2, x.amount, looks["number"])
            page.write_number(row, 4, x.hours, looks["number"])


def _looked_up(book: Any, of: Set, looks: dict[str, Any]) -> None:
    page = _page(book, "Looked up", ["Job", "What", "Answer", "Because", "By"], [24, 46, 40, 80, 50], looks)
    row = 0
    for c in of.costed:
        for s in looked_up(of.garden, [w for group in c.works.values() for w in group], of.timeline):
            row += 1
            for column, text in enumerate((c.job.id, s.what, s.words, s.because, s.source)):
                page.write_string(row, column, text)
    page.write_string(row + 2, 0, f"{SCOPE} {DEFERS}")


def _about(book: Any, of: Set, looks: dict[str, Any]) -> None:
    page = _page(book, "About", ["About this workbook"], [110], looks)
    lines = [
        f"{of.garden.name}: what its jobs take, counted on the plan.",
        COUNTED,
        f"{SCOPE} {DEFERS}",
        "Prices are those of the garden's own list; where none is written there, the price for one is left empty.",
        *([DEMO] if any(c.reckoned.demo for c in of.costed) else []),
    ]
    for row, line in enumerate(lines, 1):
        page.write_string(row, 0, line, looks["wrap"])
