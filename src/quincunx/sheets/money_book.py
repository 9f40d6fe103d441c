"""The money and hours as a workbook (XLSX): jobs, what is paid and worked when, months and years by formulas.

Change a sum, an hour or a month on the page of payments or of work, and months and years follow.  The same garden
and the same version of the writing library give the same bytes: no clock is read, the file's date is the plan's
first day.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Any

from quincunx.garden.shared import OTHERS
from quincunx.garden.uncosted import UNWRITTEN, uncosted_words
from quincunx.sheets._set import Set
from quincunx.sheets._workbook import begun, money_format
from quincunx.units import Style, minor_digits, write_plain
from quincunx.units.dates import first_day, month_from_index
from quincunx.works import spent_elsewhere
from quincunx.years.months import Month, Run, months_of, runs_of

SPARE_ROWS = 200
"""Formulas look at this many rows below the last written one, so that rows can be added."""


@dataclass
class _Book:
    """The workbook being written, with its ways of writing numbers."""

    book: Any
    style: Style
    formats: dict[str, Any] = field(default_factory=dict)

    @property
    def size(self) -> int:
        return int(10 ** minor_digits(self.style.currency))

    def page(self, name: str, heads: list[str], widths: list[float], note: str = "") -> Any:
        """Add a page with a bold head row; ``note`` stands to the right of it."""
        page = self.book.add_worksheet(name)
        for column, (head, width) in enumerate(zip(heads, widths, strict=True)):
            page.set_column(column, column, width)
            page.write_string(0, column, head, self.formats["head"])
        if note:
            page.write_string(0, len(heads) + 1, note, self.formats["note"])
        page.freeze_panes(1, 0)
        page.set_landscape()
        page.fit_to_pages(1, 0)
        return page

    def money(self, page: Any, row: int, column: int, minor: int) -> None:
        page.write_number(row, column, minor / self.size, self.formats["money"])

    def month(self, page: Any, row: int, column: int, month: int) -> None:
        day = first_day(month_from_index(month))
        page.write_datetime(row, column, dt.datetime(day.year, day.month, 1), self.formats["month"])  # noqa: DTZ001

    def formula(self, page: Any, row: int, column: int, formula: str, value: float, kind: str) -> None:
        """Write a formula with its value, so that it reads the same where nothing is worked out anew."""
        page.write_formula(row, column, formula, self.formats[kind], value)


def money_book(of: Set) -> bytes:
    """Return the workbook with the pages Years, Months, Jobs, Payments, Work and About."""
    workbook, file = begun(of, "money and hours")
    book = _Book(workbook, of.garden.style)
    _formats(book)
    runs, months = runs_of(of.garden), months_of(of.garden)
    _years(book, of, months)
    _months(book, of, months)
    _jobs(book, of, runs)
    _spread(book, of, "Payments")
    _spread(book, of, "Work")
    _about(book, of)
    workbook.close()
    return file.getvalue()


def _formats(book: _Book) -> None:
    money = money_format(book.style)
    made = {
        "head": {"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"},
        "note": {"italic": True, "font_color": "#6b7276"},
        "money": {"num_format": f"{money};[Red]-{money}"},
        "hours": {"num_format": "0.0"},
        "month": {"num_format": "mmm yyyy", "align": "left"},
        "whole": {"num_format": "0"},
        "wrap": {"text_wrap": True, "valign": "top"},
    }
    book.formats = {name: book.book.add_format(look) for name, look in made.items()}


def _head(book: _Book, words: str) -> str:
    return f"{words} [{book.style.currency}]"


def _years(book: _Book, of: Set, months: tuple[Month, ...]) -> None:
    names = ["Comes in", "Paid", "In hand at the end"]
    heads = ["Year", *(_head(book, n) for n in names), "Hours after upkeep [h]", "Works take [h]", "Hours left [h]"]
    note = f"worked out from the page Months. {uncosted_words(of.garden)}".removesuffix(". ")
    page = book.page("Years", heads, [8, 14, 14, 18, 20, 14, 14], note)
    last = len(months) + 1
    for row, year in enumerate(of.timeline.years, 1):
        part = [m for m in months if m.year == year]
        page.write_number(row, 0, year, book.formats["whole"])
        end = 1 + 12 * row
        sums = (
            (1, "C", sum(m.income for m in part) / book.size, "money"),
            (2, "D", sum(m.spent for m in part) / book.size, "money"),
            (4, "H", sum(m.free_h for m in part), "hours"),
            (5, "I", sum(m.worked_h for m in part), "hours"),
        )
        for column, letter, value, kind in sums:
            formula = f"=SUMIFS(Months!${letter}$2:${letter}${last},Months!$B$2:$B${last},A{row + 1})"
            book.formula(page, row, column, formula, value, kind)
        book.formula(page, row, 3, f"=Months!E{end}", part[-1].balance / book.size, "money")
        left = sum(m.free_h for m in part) - sum(m.worked_h for m in part)
        book.formula(page, row, 6, f"=E{row + 1}-F{row + 1}", left, "hours")


def _months(book: _Book, of: Set, months: tuple[Month, ...]) -> None:
    heads = ["Month", "Year", _head(book, "Comes in"), _head(book, "Paid"), _head(book, "In hand at the end"),
             "Hours there are [h]", "Set aside for upkeep [h]", "After upkeep [h]", "Works take [h]", "Hours left [h]"]  # fmt: skip
    page = book.page(
        "Months", heads, [11, 8, 14, 14, 18, 14, 20, 14, 14, 14], "Paid and Works are summed from Payments and Work"
    )
    pay, work = _last(of, "Payments"), _last(of, "Work")
    means = of.garden.means
    page.write_string(1, 11, _head(book, "In hand at the start"), book.formats["note"])
    page.set_column(11, 11, 30)
    book.money(page, 1, 12, means.opening)
    page.write_string(2, 11, _head(book, "Kept back, never spent"), book.formats["note"])
    book.money(page, 2, 12, means.reserve)
    for row, m in enumerate(months, 1):
        n = row + 1
        book.month(page, row, 0, m.month)
        page.write_number(row, 1, m.year, book.formats["whole"])
        book.money(page, row, 2, m.income)
        paid = f"=SUMIFS(Payments!$D$2:$D${pay},Payments!$A$2:$A${pay},A{n})"
        book.formula(page, row, 3, paid, m.spent / book.size, "money")
        before = "M2" if row == 1 else f"E{row}"
        if row > 1 and m.month % 12 == 0 and not means.carry_over:
            before = f"MIN({before},0)"
        book.formula(page, row, 4, f"={before}+C{n}-D{n}", m.balance / book.size, "money")
        page.write_number(row, 5, m.given_h, book.formats["hours"])
        page.write_number(row, 6, m.upkeep_h, book.formats["hours"])
        book.formula(page, row, 7, f"=MAX(F{n}-G{n},0)", m.free_h, "hours")
        worked = f"=SUMIFS(Work!$D$2:$D${work},Work!$A$2:$A${work},A{n})"
        book.formula(page, row, 8, worked, m.worked_h, "hours")
        book.formula(page, row, 9, f"=H{n}-I{n}", m.free_h - m.worked_h, "hours")


ELSE = "For no job, as the journal says"
"""Whose a sum is that was written down about a thing, or about nothing."""


def _rows(of: Set, name: str) -> list[tuple[int, str, str, float]]:
    """Return (month, the job's id, its name, minor units or hours), by month and job."""
    found = list[tuple[int, str, str, float]]()
    if name == "Payments":
        found += [(m, "", ELSE, float(s)) for m, s in spent_elsewhere(of.garden.jobs, of.garden.journal).items()]
    for run in runs_of(of.garden):
        goes = of.courses[run.job.id]
        each: dict[int, Any] = goes.cost if name == "Payments" else goes.hours
        found += [(month, run.job.id, run.job.name, float(value)) for month, value in each.items()]
    return sorted(found, key=lambda r: (r[0], r[1]))


def _last(of: Set, name: str) -> int:
    return len(_rows(of, name)) + 1 + SPARE_ROWS


def _spread(book: _Book, of: Set, name: str) -> None:
    unit = book.style.currency if name == "Payments" else "h"
    note = "At the prices of the month" if name == "Payments" else "Own hours"
    page = book.page(
        name, ["Month", "Id", "Job", f"{'Sum' if unit != 'h' else 'Hours'} [{unit}]"], [11, 22, 46, 14], note
    )
    for row, (month, job, words, value) in enumerate(_rows(of, name), 1):
        book.month(page, row, 0, month)
        page.write_string(row, 1, job)
        page.write_string(row, 2, words)
        if name == "Payments":
            book.money(page, row, 3, round(value))
        else:
            page.write_number(row, 3, value, book.formats["hours"])


def _jobs(book: _Book, of: Set, runs: tuple[Run, ...]) -> None:
    theirs = any(job.others_pay for job in of.garden.jobs)
    heads = [
        "Id",
        "Job",
        "Starts",
        "Ends",
        "Months",
        _head(book, "Our part at today's prices" if theirs else "Cost at today's prices"),
        "Own hours [h]",
        "Large work",
        "How it stands",
        *([_head(book, "Others pay besides"), "Who pays that part"] if theirs else []),
    ]
    page = book.page("Jobs", heads, [22, 46, 11, 11, 9, 16, 12, 11, 16, *([16, 22] if theirs else [])])
    for row, run in enumerate(runs, 1):
        page.write_string(row, 0, run.job.id)
        page.write_string(row, 1, run.job.name)
        if run.start is not None and run.end is not None:
            book.month(page, row, 2, run.start)
            book.month(page, row, 3, run.end - 1)
            page.write_number(row, 4, run.end - run.start, book.formats["whole"])
        if run.job.does and not run.job.costs:
            page.write_string(row, 5, UNWRITTEN)
        else:
            book.money(page, row, 5, run.job.cost)
        page.write_number(row, 6, run.job.hours, book.formats["hours"])
        page.write_string(row, 7, "yes" if run.job.large else "")
        page.write_string(row, 8, "not in the plan" if run.state == "unplanned" else run.state)
        if run.job.others_pay:
            book.money(page, row, 9, run.job.whole_cost - run.job.cost)
            page.write_string(row, 10, run.job.others or OTHERS)


def _about(book: _Book, of: Set) -> None:
    page = book.page("About", ["About this workbook"], [100])
    means = of.garden.means
    lines = [
        f"{of.garden.name}, {of.timeline.years[0]} to {of.timeline.years[-1]}.",
        f"Sums are in {book.style.currency}, hours in hours and tenths, months are written as their first day.",
        f"Prices rise {write_plain(100 * means.price_growth, of.garden.style)} in 100 a year; payments are at the prices of their month.",
        "What is left over goes to the next year."
        if means.carry_over
        else "What is left over does not go to the next year.",
        "Months and Years are worked out by formulas from Payments and Work: change or add rows there and they follow.",
        "What is done stands as the journal says; the rest is the plan.",
        *([unsaid] if (unsaid := uncosted_words(of.garden)) else []),
    ]
    for row, line in enumerate(lines, 1):
        page.write_string(row, 0, line, book.formats["wrap"])
