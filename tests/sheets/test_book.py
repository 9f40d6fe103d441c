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


def pages_from(lines: int, *blocks: Block) -> list[str]:
    filled = tuple({"t": "text", "s": f"line {n}"} for n in range(lines))
    book = pdfium.PdfDocument(bind((Page("Sheet", filled + blocks, (210.0, 297.0)),), "Garden", Style()))
    return [page.get_textpage().get_text_range() for page in book]


@pytest.mark.parametrize("blocks", [(HEAD, SAID, TABLE), (HEAD, SAID, SMALL, TABLE), (HEAD, SMALL, KEPT), (HEAD, LIST)])
def test_a_heading_and_the_words_under_it_never_stand_alone_at_the_end_of_a_page(blocks: tuple[Block, ...]) -> None:
    ends = set()
    for lines in range(52, 70):
        told = pages_from(lines, *blocks)
        (at,) = [n for n, page in enumerate(told) if "Heading" in page]
        assert "first row" in told[at], lines
        ends.add(at)
    assert ends == {0, 1}  # both were met: room enough, and the heading gone over to the next page
