"""Small sets of papers: what is in them is told on their first page, with the right pages; a helper's has no money."""

from __future__ import annotations

import re
from dataclasses import replace

import pypdfium2 as pdfium
import pytest

from quincunx.sheets import SheetError, few
from quincunx.sheets.few import FEW, few_called, pages_in, pdf_of
from tests.sheets.outdoors import SHED, demo, job, plot, said, set_for

MONEY = re.compile(r"[£$€]|\bEUR\b|\bto pay\b")


def texts(data: bytes) -> list[str]:
    doc = pdfium.PdfDocument(data)
    out = [page.get_textpage().get_text_range() for page in doc]
    doc.close()
    return out


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
@pytest.mark.parametrize("of_set", [f.id for f in FEW])
def test_the_first_page_names_each_page_where_it_is(name: str, of_set: str) -> None:
    printed = texts(pdf_of(demo(name), few_called(of_set)))
    assert "What is in these papers" in printed[0]
    assert 4 <= len(printed) <= 8
    told = re.findall(r"^(This Saturday|Take care|The plan)\b.*?(\d+)(?: to (\d+))?\s*$", printed[0], re.MULTILINE)
    assert {title for title, _, _ in told} == {"This Saturday", "Take care", "The plan"}
    for title, first, last in told:
        for number in range(int(first), int(last or first) + 1):
            assert printed[number - 1].lstrip().startswith(title)


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_what_a_helper_is_given_holds_no_money(name: str) -> None:
    whole = "\n".join(texts(pdf_of(demo(name), few_called("to-help"))))
    assert MONEY.search(whole) is None
    assert MONEY.search("\n".join(texts(pdf_of(demo(name), few_called("to-carry")))))


def test_a_helper_reads_the_cautions_of_the_job_and_of_what_stands_and_no_other_job_s() -> None:
    of = demo("kettle-hill")
    (care,) = [p for p in pages_in(of, few_called("to-help")) if p.title == "Take care"]
    assert "Plant the apples with guards" in said(care)
    assert "Lay the court in brick" not in said(care)
    (whole,) = [p for p in pages_in(of, few_called("to-carry")) if p.title == "Take care"]
    assert "Lay the court in brick" in said(whole)


def test_another_job_can_be_asked_for() -> None:
    sheds = [{**SHED, "id": f"den-{n}", "name": f"Den {n}", "at": [3 + 3.5 * n, 5 + n]} for n in range(2)]
    jobs = [job("den-0", id="first", name="First den"), job("den-1", id="second", name="Second den", start="2029-05")]
    of = replace(set_for(plot(*sheds, jobs=jobs)), about="second")
    for one in FEW:
        pages = list(pages_in(of, one))
        assert "Second den" in said(pages[0])
        assert not any(p.title == "First den" for p in pages)
        assert [p.note for p in pages if p.title == "This Saturday"] == ["May 2029"]


def test_without_a_job_it_says_what_is_needed_and_a_job_without_a_month_is_refused() -> None:
    bare = set_for(plot())
    carried, helped = (next(p for p in pages_in(bare, one) if p.title == "This Saturday") for one in FEW)
    assert "First: does the ground agree with the plan?" in said(carried)
    assert "Give the jobs their months" in said(helped)
    loose = replace(set_for(plot(SHED, jobs=[job("den", id="some-day", start=None)])), about="some-day")
    with pytest.raises(SheetError, match="has no month yet"):
        list(pages_in(loose, FEW[0]))
    with pytest.raises(SheetError, match="There are: to-carry and to-help"):
        few.few_called("all")
