"""The layout of every sheet: a heading stays on the page of what it is the heading of."""

from __future__ import annotations

import pypdfium2 as pdfium
import pytest

from quincunx.sheets.book import Block, Page, bind
from quincunx.units import Style

TABLE: Block = {"t": "table", "head": ["what", "how many"], "rows": [["first row", "1"], *[["another", "1"]] * 30]}
KEPT: Block = {"t": "keep", "blocks": [{"t": "text", "s": "first row"}, {"t": "space", "mm": 30}]}
LIST: Block = {"t": "list", "items": ["first row", *["another"] * 30]}
HEAD: Block = {"t": "heading", "s": "Heading"}
SAID: Block = {"t": "text", "s": "One sentence about it."}
SMALL: Block = {"t": "small", "s": "Small print about it."}


def pages_from(lines: range, *blocks: Block) -> list[str]:
    """Return the text of every page of a book: for each number of lines a sheet with so many before the blocks."""
    sheets = [tuple({"t": "text", "s": f"line {n}"} for n in range(many)) + blocks for many in lines]
    book = pdfium.PdfDocument(bind(tuple(Page("Sheet", each, (210.0, 297.0)) for each in sheets), "Garden", Style()))
    return [page.get_textpage().get_text_range() for page in book]


@pytest.mark.parametrize("blocks", [(HEAD, SAID, TABLE), (HEAD, SAID, SMALL, TABLE), (HEAD, SMALL, KEPT), (HEAD, LIST)])
def test_a_heading_and_the_words_under_it_never_stand_alone_at_the_end_of_a_page(blocks: tuple[Block, ...]) -> None:
    headed = [told for told in pages_from(range(52, 70), *blocks) if "Heading" in told]
    assert len(headed) == 18
    assert all("first row" in told for told in headed)
    begun = {"line 0" in told for told in headed}
    assert begun == {True, False}  # both were met: room enough, and the heading gone over to the next page
