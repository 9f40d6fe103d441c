"""The bill of quantities as a workbook (XLSX): what to buy with prices to change, cutting, hours, what was looked up.

Change a price or a quantity on the page Bill and its sum, each job's and the whole follow.  The same garden and the same
version of the writing library give the same bytes: no clock is read.
"""

from __future__ import annotations

from typing import Any

from quincunx.build.prices import Bought
from quincunx.build.screening import DEFERS, SCOPE
from quincunx.garden.safety import looked_up, whose_codes
from quincunx.garden.shared import OTHERS
from quincunx.sheets._building import COUNTED, DEMO, called, own_number, source_words, to_saw
from quincunx.sheets._set import Set
from quincunx.sheets._workbook import begun, money_format
from quincunx.units import Style, format_length, minor_digits, own_units

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
    style = of.garden.style
    heads += ["Where", f"Weight [{own_number(1, 'kg', style)[1]}]", "How it was counted"]
    page = _page(book, "Bill", heads, [30, 30, 11, 7, 10, 12, 14, 12, 20, 11, 60], looks)
    row = 0
    for c in of.costed:
        for b in c.reckoned.bill:
            row += 1
            page.write_string(row, 0, c.job.id)
            net, unit = own_number(b.net, b.unit, style)
            page.write_string(row, 1, called(b, style))
            page.write_number(row, 2, net, looks["number"])
            page.write_string(row, 3, unit)
            count, sold = _sold(b, style)
            page.write_number(row, 4, count, looks["number"])
            page.write_string(row, 5, sold)
            if b.sum is not None and b.count:
                page.write_number(row, 6, b.sum / b.count / size, looks["number"])
            value = (b.sum or 0) / size
            page.write_formula(row, 7, f"=ROUND(E{row + 1}*G{row + 1},{minor_digits(currency)})", looks["money"], value)
            page.write_string(row, 8, b.shop)
            page.write_number(row, 9, own_number(b.kg, "kg", style)[0], looks["number"])
            page.write_string(row, 10, own_units(b.how, style))
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
    weight = f"Weight [{own_number(1, 'kg', of.garden.style)[1]}]"
    heads += ["At least", "At most", weight, "Barrow loads", "Without a price"]
    theirs = any(c.job.others_pay for c in of.costed)
    heads += [f"Others pay besides [{currency}]", "Who pays that part"] if theirs else []
    page = _page(
        book, "Jobs", heads, [24, 40, 14, 14, 12, 12, 10, 10, 12, 12, 50, *([16, 22] if theirs else [])], looks
    )
    for row, c in enumerate(of.costed, 1):
        r = c.reckoned
        page.write_string(row, 0, c.job.id)
        page.write_string(row, 1, c.job.name)
        page.write_number(row, 2, c.job.cost / size, looks["money"])
        formula = f"=SUMIFS(Bill!$H$2:$H${last},Bill!$A$2:$A${last},A{row + 1})"
        page.write_formula(row, 3, formula, looks["money"], r.sum / size)
        for column, value in enumerate(
            (c.job.hours, r.hours, *r.hours_range, own_number(r.kg, "kg", of.garden.style)[0]), 4
        ):
            page.write_number(row, column, value, looks["number"])
        page.write_number(row, 9, r.loads)
        page.write_string(row, 10, ", ".join(r.unpriced))
        if c.job.others_pay:
            page.write_number(row, 11, (c.job.whole_cost - c.job.cost) / size, looks["money"])
            page.write_string(row, 12, c.job.others or OTHERS)


def _sold(bought: Bought, style: Style) -> tuple[float, str]:
    """Return how many to buy of what: by what the shop sells by, where there is a price, else in the person's units."""
    if not bought.price and bought.sold_by == bought.unit:
        return own_number(bought.count, bought.unit, style)
    size, _, unit = bought.sold_by.partition(" ")
    one = style.system == "feet" and unit == "m" and size.replace(".", "").isdecimal()
    return bought.count, format_length(float(size), style) if one else bought.sold_by


def _long(metres: float, style: Style) -> str:
    """Write a length among others: bare metres, or feet and inches."""
    return to_saw(metres, style) if style.system == "feet" else f"{metres:.3f}"


def _cutting(book: Any, of: Set, looks: dict[str, Any]) -> None:
    style = of.garden.style
    long = own_number(1, "m", style)[1]
    heads = ["Job", "What", "Boards", f"Length [{long}]", "Pieces", f"Left over [{long}]", "Least waste"]
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
                cuts = ", ".join(
                    f"{n} × {sheet.pieces[i].name} {_long(sheet.pieces[i].length_m, style)}" for i, n in sawn
                )
                page.write_string(row, 0, c.job.id)
                page.write_string(row, 1, sheet.item + source)
                page.write_number(row, 2, count)
                page.write_number(row, 3, own_number(length, "m", style)[0], looks["number"])
                page.write_string(row, 4, cuts)
                page.write_number(row, 5, own_number(left, "m", style)[0], looks["number"])
                page.write_string(row, 6, "proven" if sheet.proven else f"within {100 * sheet.gap:.0f} in 100")


def _sheets(book: Any, of: Set, looks: dict[str, Any]) -> None:
    """Write how plates are cut from sheets, one row for each way; nothing where no job cuts any."""
    found = [(c.job.id, s) for c in of.costed for s in c.reckoned.sheets]
    if not found:
        return
    style = of.garden.style
    long = own_number(1, "m", style)[1]
    heads = [
        "Job",
        "What",
        "Sheets",
        f"Width [{long}]",
        f"Length [{long}]",
        "Plates",
        "Cuts in order",
        "Off-cuts",
        "Least cost",
    ]
    page = _page(book, "Sheets", heads, [24, 24, 9, 11, 11, 60, 60, 40, 22], looks)
    row = 0
    for job, sheet in found:
        for w in (*(sawn for _, sawn in sheet.before), *sheet.sheets):
            row += 1
            plates = [
                f"{sheet.plates[p.plate].name} {_long(p.wide_m, style)} × {_long(p.long_m, style)}" for p in w.plates
            ]
            cuts = [
                f"{n} {'along' if c.along else 'across'} {_long(c.measure_m, style)}" for n, c in enumerate(w.cuts, 1)
            ]
            left = [f"{_long(a, style)} × {_long(b, style)}" for a, b in w.left]
            page.write_string(row, 0, job)
            page.write_string(row, 1, sheet.item)
            page.write_number(row, 2, w.count)
            page.write_number(row, 3, own_number(w.wide_m, "m", style)[0], looks["number"])
            page.write_number(row, 4, own_number(w.long_m, "m", style)[0], looks["number"])
            for column, words in ((5, plates), (6, cuts), (7, left)):
                page.write_string(row, column, ", ".join(words))
            page.write_string(row, 8, "proven" if sheet.proven else f"within {100 * sheet.gap:.0f} in 100")
        if sheet.ordered:
            row += 1
            ordered = [
                f"{p.count} × {p.name} {_long(p.wide_m, style)} × {_long(p.long_m, style)}" for p in sheet.plates
            ]
            for column, text in ((0, job), (1, sheet.item), (5, ", ".join(ordered)), (8, "ordered cut to size")):
                page.write_string(row, column, text)


def _hours(book: Any, of: Set, looks: dict[str, Any]) -> None:
    page = _page(
        book, "Hours", ["Job", "Task", "Amount", "Unit", "Hours", "Known from"], [24, 44, 11, 8, 10, 40], looks
    )
    row, style = 0, of.garden.style
    for c in of.costed:
        for x in c.reckoned.labour:
            row += 1
            much, unit = own_number(x.amount, x.unit, style)
            for column, text in ((0, c.job.id), (1, own_units(x.words, style)), (3, unit), (5, x.source)):
                page.write_string(row, column, text)
            page.write_number(row, 2, much, looks["number"])
            page.write_number(row, 4, x.hours, looks["number"])


def _looked_up(book: Any, of: Set, looks: dict[str, Any]) -> None:
    page = _page(book, "Looked up", ["Job", "What", "Answer", "Because", "By"], [24, 46, 40, 80, 50], looks)
    row, style = 0, of.garden.style
    for c in of.costed:
        for s in looked_up(of.garden, [w for group in c.works.values() for w in group], of.timeline):
            row += 1
            said = (own_units(x, style) for x in (s.what, s.words, s.because))
            for column, text in enumerate((c.job.id, *said, source_words(s.source, style))):
                page.write_string(row, column, text)
    page.write_string(row + 2, 0, f"{SCOPE} {whose_codes(of.garden)} {DEFERS}")


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
