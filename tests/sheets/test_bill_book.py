"""The bill as a workbook: formulas agree with what is counted, cautions stand in it, the same garden gives the same bytes."""

from __future__ import annotations

import io
import re
import zipfile
from xml.etree import ElementTree as ET

import pytest

from quincunx.garden import Garden, garden_from
from quincunx.review import Review
from quincunx.sheets import prepare
from quincunx.sheets.bill_book import bill_book

NS = {"m": "http://schemas.openxmlformats.org/spreadsheetml/2006/main"}


@pytest.fixture(scope="module")
def garden() -> Garden:
    return garden_from(
        {
            "format": "quincunx/1",
            "features": [
                {"kind": "gravel", "id": "court", "outline": [[0, 0], [4, 0], [4, 3], [0, 3]]},
                {"kind": "roofed-shelter", "id": "hut", "at": [8, 8]},
            ],
            "jobs": [
                {"id": "court-job", "name": "Court", "does": ["court"]},
                {"id": "hut-job", "name": "Hut", "does": ["hut"]},
            ],
            "prices": [{"id": "gravel", "words": "gravel", "unit": "m3", "sum": 6000}],
        }
    )


@pytest.fixture(scope="module")
def book(garden: Garden) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(bill_book(prepare(garden, judged=Review((), ())))))


def cells(book: zipfile.ZipFile, n: int) -> dict[str, str]:
    words = [t.text or "" for t in ET.fromstring(book.read("xl/sharedStrings.xml")).iterfind(".//m:t", NS)]
    found = {}
    for c in ET.fromstring(book.read(f"xl/worksheets/sheet{n}.xml")).iterfind(".//m:c", NS):
        value = c.find("m:v", NS)
        if value is not None and value.text is not None:
            found[c.attrib["r"]] = words[int(value.text)] if c.attrib.get("t") == "s" else value.text
    return found


def test_sums_are_price_times_count_and_add_up_by_job(book: zipfile.ZipFile) -> None:
    bill, jobs = cells(book, 1), cells(book, 2)
    rows = [int(k[1:]) for k in bill if re.fullmatch(r"A\d+", k) and k != "A1"]
    total = 0.0
    for row in rows:
        price = float(bill.get(f"G{row}", 0))
        assert float(bill[f"H{row}"]) == pytest.approx(round(price * float(bill[f"E{row}"]), 2), abs=0.011)
        total += float(bill[f"H{row}"])
    assert total > 0
    assert float(jobs["D2"]) + float(jobs["D3"]) == pytest.approx(total)


def test_the_caution_stands_beside_what_was_looked_up(book: zipfile.ZipFile) -> None:
    text = " ".join(cells(book, 5).values()) + " ".join(cells(book, 6).values())
    assert text.count("licensed person") >= 2
    assert "can't tell" in text


def test_cutting_and_hours_have_their_pages(book: zipfile.ZipFile) -> None:
    assert "rafter" in " ".join(cells(book, 3).values())
    assert "common practice" in " ".join(cells(book, 4).values())


def test_the_same_garden_gives_the_same_bytes(garden: Garden) -> None:
    of = prepare(garden, judged=Review((), ()))
    assert bill_book(of) == bill_book(prepare(garden, judged=Review((), ())))
