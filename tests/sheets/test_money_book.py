"""The workbook, opened again as the zip of XML it is (ECMA-376), its formulas worked out a second time."""

from __future__ import annotations

import datetime as dt
import io
import re
import xml.etree.ElementTree as ET
import zipfile
from collections.abc import Mapping

import pytest

from quincunx.demos import DEMOS, demo_garden
from quincunx.garden import Garden
from quincunx.review import Review
from quincunx.sheets import prepare
from quincunx.sheets.money_book import money_book
from quincunx.works import Entry

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
Cells = Mapping[str, tuple[str | float, str]]
"""Value and formula ("" if none) by cell name."""


def written(garden: Garden) -> bytes:
    return money_book(prepare(garden, judged=Review((), ())))


def pages(data: bytes) -> dict[str, Cells]:
    with zipfile.ZipFile(io.BytesIO(data)) as file:
        assert file.testzip() is None
        shared = [
            "".join(t.text or "" for t in si.iter(f"{MAIN}t"))
            for si in ET.fromstring(file.read("xl/sharedStrings.xml"))
        ]
        book = ET.fromstring(file.read("xl/workbook.xml"))
        names = [sheet.attrib["name"] for sheet in book.iter(f"{MAIN}sheet")]
        return {
            name: _cells(ET.fromstring(file.read(f"xl/worksheets/sheet{n}.xml")), shared)
            for n, name in enumerate(names, 1)
        }


def _cells(page: ET.Element, shared: list[str]) -> Cells:
    found = {}
    for cell in page.iter(f"{MAIN}c"):
        value, formula = cell.find(f"{MAIN}v"), cell.find(f"{MAIN}f")
        if value is None or value.text is None:
            continue
        read = shared[int(value.text)] if cell.get("t") == "s" else float(value.text)
        found[cell.attrib["r"]] = (read, (formula.text or "") if formula is not None else "")
    return found


def day(month: str) -> float:
    """The serial number of a date: days since 1899-12-30 (ECMA-376 part 1, 18.17.4.1, after February 1900)."""
    year, number = (int(x) for x in month.split("-"))
    return float((dt.date(year, number, 1) - dt.date(1899, 12, 30)).days)


def sum_ifs(book: Mapping[str, Cells], formula: str, own: Cells) -> float:
    """Work out our SUMIFS anew: SUMIFS(page!sums, page!keys, key)."""
    found = re.fullmatch(r"SUMIFS\((\w+)!\$(\w)\$2:\$\w\$(\d+),\w+!\$(\w)\$2:\$\w\$\d+,(\w+)\)", formula)
    assert found, formula
    page, sums, last, keys, key = found.groups()
    rows = [n for n in range(2, int(last) + 1) if f"{keys}{n}" in book[page]]
    return sum(float(book[page][f"{sums}{n}"][0]) for n in rows if book[page][f"{keys}{n}"][0] == own[key][0])


@pytest.mark.parametrize("demo", [d.id for d in DEMOS])
def test_formulas_worked_out_again_give_the_values_written(demo: str) -> None:
    book = pages(written(demo_garden(demo)))
    checked = 0
    for name in ("Months", "Years"):
        for value, formula in book[name].values():
            if formula.startswith("SUMIFS"):
                assert sum_ifs(book, formula, book[name]) == pytest.approx(value), (name, formula)
                checked += 1
    months = demo_garden(demo).means.years * 12
    assert checked == 2 * months + 4 * demo_garden(demo).means.years
    own = book["Months"]
    for row in range(2, months + 2):
        before = own["M2"][0] if row == 2 else own[f"E{row - 1}"][0]
        assert own[f"E{row}"][1] == f"{'M2' if row == 2 else f'E{row - 1}'}+C{row}-D{row}"
        assert own[f"E{row}"][0] == pytest.approx(float(before) + float(own[f"C{row}"][0]) - float(own[f"D{row}"][0]))


@pytest.mark.parametrize("demo", [d.id for d in DEMOS])
def test_years_are_those_of_the_garden(demo: str) -> None:
    garden = demo_garden(demo)
    of = prepare(garden, judged=Review((), ()))
    book = pages(money_book(of))["Years"]
    for row, year in enumerate(of.timeline.money(), 2):
        assert book[f"A{row}"][0] == year.year
        assert book[f"B{row}"][0] == pytest.approx(year.income / 100)
        assert book[f"C{row}"][0] == pytest.approx(year.spent / 100)
        assert book[f"D{row}"][0] == pytest.approx(year.left / 100)
        assert book[f"F{row}"][0] == pytest.approx(year.worked_h)


def test_what_was_spent_on_no_job_has_its_line_among_the_payments() -> None:
    garden = demo_garden("ropewalk")
    year = garden.means.first_year
    row = {"id": "guard", "day": f"{year}-05-03", "what": "spent", "about": garden.features[0].id, "sum": 4200}
    journal = (*garden.journal, Entry.model_validate(row))
    book = pages(written(garden.model_copy(update={"journal": journal})))
    paid = book["Payments"]
    (n,) = [n for n in range(2, 200) if paid.get(f"C{n}", ("",))[0] == "For no job, as the journal says"]
    assert (paid[f"A{n}"][0], paid[f"D{n}"][0]) == (day(f"{year}-05"), 42.0)
    for name in ("Months", "Years"):
        for value, formula in book[name].values():
            if formula.startswith("SUMIFS"):
                assert sum_ifs(book, formula, book[name]) == pytest.approx(value)


def test_currency_and_units_stand_in_the_heads() -> None:
    book = pages(written(demo_garden("kettle-hill")))
    assert list(book) == ["Years", "Months", "Jobs", "Payments", "Work", "About"]
    assert book["Months"]["C1"][0] == "Comes in [USD]"
    assert book["Months"]["H1"][0] == "After upkeep [h]"
    assert book["Payments"]["D1"][0] == "Sum [USD]"
    assert book["Work"]["D1"][0] == "Hours [h]"
    assert "Sums are in USD" in str(book["About"]["A3"][0])


def test_jobs_are_listed_with_their_months() -> None:
    garden = demo_garden("kettle-hill")
    book = pages(written(garden))["Jobs"]
    rows = {str(book[f"A{n}"][0]): n for n in range(2, len(garden.jobs) + 2)}
    assert set(rows) == {j.id for j in garden.jobs}
    fence = rows["deer-fence-job"]
    assert book[f"C{fence}"][0] == day("2027-06")
    assert book[f"D{fence}"][0] == day("2027-09")
    assert (book[f"E{fence}"][0], book[f"F{fence}"][0], book[f"H{fence}"][0]) == (4.0, 2260.0, "yes")
    assert book[f"I{rows['hill']}"][0] == "not in the plan"
    assert f"C{rows['hill']}" not in book


def test_a_currency_without_decimals_and_money_that_is_not_carried_over() -> None:
    garden = demo_garden("ropewalk")
    writing = garden.writing.model_copy(update={"currency": "JPY"})
    means = garden.means.model_copy(update={"carry_over": False})
    book = pages(written(garden.model_copy(update={"writing": writing, "means": means})))
    assert book["Months"]["C1"][0] == "Comes in [JPY]"
    assert book["Months"]["C2"][0] == garden.means.sum_a_year
    assert book["Months"]["E14"][1] == "MIN(E13,0)+C14-D14"


def test_a_name_that_looks_like_a_formula_stays_a_name() -> None:
    garden = demo_garden("ropewalk")
    jobs = (garden.jobs[0].model_copy(update={"name": "=1+1"}), *garden.jobs[1:])
    book = pages(written(garden.model_copy(update={"jobs": jobs})))
    assert ("=1+1", "") in book["Jobs"].values()
    assert not [f for _, f in book["Jobs"].values() if f]


def test_the_same_garden_gives_the_same_bytes() -> None:
    garden = demo_garden("ropewalk")
    assert written(garden) == written(garden)
    with zipfile.ZipFile(io.BytesIO(written(garden))) as file:
        assert {i.date_time for i in file.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert b"2027-01-01T00:00:00Z" in file.read("docProps/core.xml")
