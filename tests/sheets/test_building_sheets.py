"""The sheets of building: every page with a number people may build on carries its caution, on both demonstrations."""

from __future__ import annotations

import json
import re
from functools import cache
from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import garden_from
from quincunx.review import Review
from quincunx.sheets import (
    SHEETS,
    Page,
    Set,
    bill,
    construction,
    pages_of,
    prepare,
    quotation,
    shopping,
    upkeep,
    weighed,
)
from quincunx.sheets._building import amount, ended

BUILDING = (bill, shopping, construction, quotation, weighed, upkeep)
BUILDS = re.compile(
    r"(?:rafter|plate|post|beam|slat|tie|hip|pad|footing|concrete)s?\b[^\"]{0,30}?\d[\d.,/ ]*(?:×|mm|cm|m\b|ft|in\b|'|kN|bag)|kN/m²",
    re.IGNORECASE,
)
"""A size, a span, a load or an amount beside the name of something that carries."""
DEFERS = ("licensed person", "local code")


@cache
def drawn(demo: str) -> Set:
    return prepare(demo_garden(demo), judged=Review((), ()))


@cache
def page_list(demo: str, sheet: str) -> tuple[Page, ...]:
    return tuple(pages_of(drawn(demo), [sheet]))


def flat(blocks: Any) -> list[dict[str, Any]]:
    return [x for b in blocks for x in (flat(b["blocks"]) if b["t"] == "keep" else [b])]


def words(page: Page) -> str:
    return json.dumps([b if b.get("t") != "drawing" else {} for b in page.blocks], ensure_ascii=False) + page.foot


def test_numbers_to_build_on_are_told_from_names() -> None:
    assert all(
        BUILDS.search(t)
        for t in ("rafter 45 × 120 mm", "post 100 mm", "pads 40 cm square", "0.48 kN/m²", "concrete, 12 bag")
    )
    assert not any(BUILDS.search(t) for t in ("Timber and footings", "Hired plate and help", "Posts and rails, £420"))


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
@pytest.mark.parametrize("sheet", BUILDING, ids=lambda s: s.ID)
def test_every_page_carries_the_caution_and_its_foot(demo: str, sheet: Any) -> None:
    pages = page_list(demo, sheet.ID)
    assert pages
    for page in pages:
        cautions = [b["s"] for b in flat(page.blocks) if b["t"] == "caution"]
        assert cautions
        assert all(d in c for c in cautions for d in DEFERS)
        assert "licensed person" in page.foot  # a page that runs on has it at its foot again


@pytest.mark.slow
@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
def test_over_all_sheets_no_number_to_build_on_stands_without_its_caution(demo: str) -> None:
    seen = 0
    for sheet in SHEETS:
        for page in pages_of(drawn(demo), [sheet.ID]):
            text = words(page)
            if BUILDS.search(text):
                seen += 1
                assert "licensed" in text or "local code" in text, f"{sheet.ID}: {page.title}"
    assert seen > 4


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
@pytest.mark.parametrize("sheet", BUILDING, ids=lambda s: s.ID)
def test_no_caution_stands_alone_on_a_page(demo: str, sheet: Any) -> None:
    for page in page_list(demo, sheet.ID):
        last = page.blocks[-1]
        assert last["t"] == "keep", page.title
        kept = [b["t"] for b in last["blocks"]]
        assert "caution" in kept
        assert kept.index("caution") > 0


def test_a_table_and_its_caution_are_parted_only_within_the_table() -> None:
    table = {"t": "table", "head": ["a"], "rows": [[str(n)] for n in range(9)]}
    blocks = ended([{"t": "heading", "s": "h"}, table, {"t": "text", "s": "after"}], [{"t": "caution", "s": "c"}])
    assert [b["t"] for b in blocks] == ["heading", "table", "keep"]
    rest, after, caution = blocks[-1]["blocks"]
    assert (after["s"], caution["s"]) == ("after", "c")
    assert [*blocks[1]["rows"], *rest["rows"]] == table["rows"]
    assert rest["goes_on"]


def test_the_construction_page_draws_lists_and_looks_up() -> None:
    pages = [p for p in page_list("ropewalk", "construction") if "solid roof" in p.title]
    assert len(pages) == 2
    first, second = pages
    drawings = [c for b in first.blocks if b["t"] == "row" for cell in b["cells"] for c in cell if c["t"] == "drawing"]
    assert len(drawings) == 3
    assert all(d["w"] <= 110 and d["h"] <= 130 and "<svg" in d["svg"] for d in drawings)
    assert first.scale == "1:50"
    steps = next(b["items"] for b in first.blocks if b["t"] == "list")
    assert "buried lines" in steps[0]
    order = [steps.index(f"Set the {n}s") for n in ("plate", "tie", "ridge", "rafter")]
    assert order == sorted(order)
    text = words(second)
    assert "within the published table or formula" in text
    assert "EN 1991-1-3:2003" in text
    assert "no cutting wastes less" in text


def test_the_us_demonstration_is_looked_up_by_us_rules_in_feet() -> None:
    pages = [p for p in page_list("kettle-hill", "construction") if "octagon" in p.title]
    text = "".join(words(p) for p in pages)
    assert "ASCE 7-16" in text
    assert '1 1/2\\" × 5 1/2\\"' in text
    assert "ft = " not in text.lower() or "1 ft" in text
    assert "EN 1995" not in text


def test_the_shopping_list_counts_like_things_together() -> None:
    (page,) = page_list("ropewalk", "shopping")
    tables = [b for b in flat(page.blocks) if b["t"] == "table"]
    assert len(tables) >= 5
    for t in tables[:-2]:  # the last year's is parted before its caution
        names = [(r[1], r[2]["s"]) for r in t["rows"] if r[0]]
        assert len({n for n, _ in names}) >= 1
        assert all(r[4] == "" or r[4].endswith("kg") for r in t["rows"])
    of = drawn("ropewalk")
    total = sum(b.sum or 0 for c in of.costed for b in c.reckoned.bill if c.job.start)
    shown = sum(b.sum or 0 for c in of.costed if c.job.start for b in shopping.together(c.reckoned.bill))
    assert shown == total


def test_the_quotation_holds_no_price_of_ours() -> None:
    (page,) = page_list("ropewalk", "quotation")
    assert "£" not in words(page)
    assert "Labour" in words(page)


def test_the_bill_shows_typed_and_worked_out_and_what_the_shortlist_comes_to() -> None:
    summary, jobs = page_list("ropewalk", "bill")
    head = next(b for b in summary.blocks if b["t"] == "table")["head"]
    assert head.count("worked out") == 2
    assert "If it becomes open slats" in words(jobs)
    assert "invented" in words(jobs)


def test_what_is_asked_for_in_the_shop_is_in_the_persons_units() -> None:
    for demo, unit in (("ropewalk", " m"), ("kettle-hill", "'")):
        of = drawn(demo)
        boards = [
            b for c in of.costed for b in c.reckoned.bill if b.item.startswith("timber-") and b.sold_by.endswith(" m")
        ]
        assert boards
        assert all(unit in amount(of, b) for b in boards)


@pytest.mark.parametrize("sheet", BUILDING, ids=lambda s: s.ID)
def test_an_empty_garden_says_what_the_sheet_needs(sheet: Any) -> None:
    of = prepare(garden_from({"format": "quincunx/1"}), judged=Review((), ()))
    assert list(sheet.pages(of)) == []
    (page,) = pages_of(of, [sheet.ID])
    assert page.blocks[0]["s"] == sheet.NEEDS
