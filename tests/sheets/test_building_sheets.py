"""The sheets of building: every page with a number people may build on carries its caution, on both demonstrations."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from functools import cache
from html import escape
from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import garden_from
from quincunx.garden.upkeep import due
from quincunx.review import Review
from quincunx.shapes import FrameWork
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
from quincunx.sheets._asked import BESIDES, TO_SAY, Request, requests
from quincunx.sheets._building import amount, ended
from quincunx.sheets.asked_book import asked_book, asked_table

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


def test_a_list_of_upkeep_that_is_cut_short_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    of = drawn("ropewalk")
    every = len(due(of.garden, of.timeline))
    (whole,) = page_list("ropewalk", upkeep.ID)
    assert ("lines more" in words(whole)) == (every > upkeep.MOST_ROWS)
    monkeypatch.setattr(upkeep, "MOST_ROWS", 4)
    (page,) = upkeep.pages(of)
    assert len(flat(page.blocks)[0]["rows"]) == 4
    assert f"{every - 4} lines more, the last in 20" in words(page)
    monkeypatch.setattr(upkeep, "MOST_ROWS", every)
    assert "lines more" not in words(next(upkeep.pages(of)))


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
    cells = [c for b in first.blocks if b["t"] == "row" for cell in b["cells"] for c in cell]
    steps = next(c["items"] for c in cells if c["t"] == "list")
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
    pages = page_list("ropewalk", "quotation")
    assert len(pages) >= 5
    for page in pages:
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


@cache
def asked(demo: str) -> dict[str, Request]:
    return {r.job: r for r in requests(drawn(demo))}


def test_a_request_says_scope_way_levels_digging_what_is_left_out_and_what_to_answer() -> None:
    one = asked("ropewalk")["hen-run-job"]
    assert one.when.startswith("Wanted to begin in March 2031, 3 months in all.")
    assert "Hen house" in one.scope[0]
    # The front gate in the lane is 1 m wide (typed), and nothing on the widest way is narrower.
    assert any(w.endswith("is 1.00 m, at Front wall.") for w in one.way)
    assert any("falls" in w and "over the datum" in w for w in one.levels)
    assert any("dug out" in w and "barrow loads" in w for w in one.waste)
    page = next(p for p in page_list("ropewalk", "quotation") if one.name in p.title)
    text = words(page)
    for needed in (*BESIDES, *TO_SAY, "In all before tax", "tick who supplies them"):
        assert needed in text
    assert any("insurance" in t for t in TO_SAY)
    assert any("qualified" in t for t in TO_SAY)


def test_a_place_held_open_is_asked_for_each_way_it_may_become() -> None:
    parts = list(dict.fromkeys(x.part for x in asked("ropewalk")["shelter-job"].lines))
    assert parts == [
        "materials, open slats on posts",
        "work, open slats on posts",
        "materials, a solid roof",
        "work, a solid roof",
    ]


def test_a_thing_stands_once_however_long_its_boards_are() -> None:
    for one in asked("ropewalk").values():
        seen = [(x.part, x.what, x.unit) for x in one.lines if x.unit == "m"]
        assert len(seen) == len(set(seen))


def test_the_table_and_the_workbook_hold_the_same_lines() -> None:
    of = drawn("ropewalk")
    rows = list(csv.reader(io.StringIO(asked_table(of))))
    assert rows[0][:4] == ["job", "part", "what", "how much"]
    wanted = [(r.job, x.what) for r in asked("ropewalk").values() for x in r.lines]
    assert [(r[0], r[2]) for r in rows[1:-1] if r[1] != "besides"] == wanted
    assert "licensed person" in rows[-1][2]
    with zipfile.ZipFile(io.BytesIO(asked_book(of))) as book:
        names = book.read("xl/workbook.xml").decode()
        text = book.read("xl/sharedStrings.xml").decode()
        first = book.read("xl/worksheets/sheet1.xml").decode()
    assert all(f'name="{job[:31]}"' in names for job in asked("ropewalk"))
    assert all(w in text for _, w in wanted[:20])
    assert "<f>ROUND(D" in first.replace("<f>=", "<f>")
    assert "licensed person" in text


def test_feet_and_the_widest_way_are_written_in_the_persons_units() -> None:
    way = asked("kettle-hill")["octagon-job"].way
    assert any("4' 0\"" in w for w in way)  # the yard gate, 4 ft as typed


@pytest.mark.parametrize("demo", ["ropewalk", "kettle-hill"])
def test_the_height_drawn_is_the_height_told(demo):
    """An octagon's hips meet in a block below its highest point: by pencil 7' 6" + 83.9" tan 30 = 11' 6 1/2"."""
    told = 0
    for page in page_list(demo, "construction"):
        text = json.dumps(page.blocks, ensure_ascii=False).replace('\\"', '"')
        high = re.search(r"clear at the eaves, (.+?) at its highest", text)
        if high is not None:
            told += 1
            assert text.count(f">{escape(high[1])}</text>") >= 2, page.title
    assert told >= 2


def test_a_quarter_of_an_hour_is_not_told_as_nought_to_nought() -> None:
    from quincunx.sheets.bill import _hours_span
    from quincunx.units import Style

    assert _hours_span((0.14, 0.28), Style()) == "8 min to 17 min"
    assert _hours_span((17.4, 34.2), Style()) == "17 to 34 h"


def test_steps_with_a_handrail_are_told_beside_it_and_the_rail_has_an_order_of_its_own() -> None:
    """A rail stands on posts in a row: there are no pads to pour and no diagonals to tape."""
    steps = {
        "kind": "steps",
        "id": "flight",
        "name": "Bank steps",
        "line": [[10, 2], [10, 6]],
        "fall": 0.9,
        "rail": "both",
    }
    garden = garden_from({
        "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 12], [0, 12]], "features": [steps],
        "jobs": [{"id": "build", "name": "Build the steps", "does": ["flight"], "start": "2028-05"}],
    })  # fmt: skip
    pages = list(construction.pages(prepare(garden, judged=Review((), ()))))
    assert [p.title for p in pages] == ["Bank steps: handrail", "Bank steps: handrail", "Walls, beds, steps and floors"]
    rail, whole = words(pages[0]), words(pages[2])
    assert "Mark where the posts stand, in line and clear of the side" in rail
    assert "Pull at it with all your weight" in rail
    assert not any(other in rail for other in ("diagonals", "pads", "brace"))
    assert "Bank steps" in whole
    assert "handrail at the steps" in words(pages[1]), "it is held against a code where it is cut"
    assert "fence post" in words(pages[1])
    assert "fence post" not in whole, "nothing is bought twice"


def test_two_posts_have_no_diagonals_to_tape() -> None:
    gate = {"kind": "gate", "id": "gate", "at": [4, 4], "along_deg": 0, "there_from": "2028-05"}
    garden = garden_from({"format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 12], [0, 12]], "features": [gate]})
    works = prepare(garden, judged=Review((), ())).timeline.as_made(garden.features[0]).work
    (frame,) = [w for w in works if isinstance(w, FrameWork)]
    assert len(frame.footings) == 2
    assert "Set out the posts" in construction.order_of_work(works, frame)


def test_the_order_of_work_says_nothing_twice_and_nothing_of_what_is_not_there() -> None:
    """A greenhouse of aluminium has no ends to treat and is glazed, not covered; a footbridge stands on pads, not on posts."""
    things: list[dict[str, Any]] = [
        {"kind": "greenhouse", "id": "glass", "at": [4, 4], "width": 2.5, "depth": 3.8, "frame": "aluminium"},
        {"kind": "bridge", "id": "bridge", "line": [[10, 2], [10, 6]], "below": 0.5},
        {"kind": "roofed-shelter", "id": "roof", "at": [16, 6]},
    ]
    garden = garden_from({
        "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 12], [0, 12]],
        "features": [{**t, "there_from": "2028-05"} for t in things],
    })  # fmt: skip
    orders = {}
    of = prepare(garden, judged=Review((), ()))
    for feature in garden.features:
        works = of.timeline.as_made(feature).work
        (frame,) = [w for w in works if isinstance(w, FrameWork)]
        orders[feature.id] = construction.order_of_work(works, frame)
    assert orders["glass"][-1] == orders["bridge"][-1].replace("Treat sawn ends; look", "Look")
    assert [sum(step.startswith(word) for step in orders["glass"]) for word in ("Glaze", "Cover the roof")] == [1, 0]
    assert not any(step.startswith(("Stand the posts", "Fix the braces")) for step in orders["glass"]), "its sides are"
    assert sum("prop them plumb" in step for step in orders["glass"]) == 1
    assert any(step.startswith("Stand the posts") for step in orders["roof"])
    assert orders["bridge"][1].startswith("Set out the pads")
    assert sum("pour the pads" in step for step in orders["bridge"]) == 1
    assert any(step.startswith("Cover the roof") for step in orders["roof"])
