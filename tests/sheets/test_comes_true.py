"""How it comes true on paper: a page for each peg's view, and for one thing asked for by name."""

from __future__ import annotations

from quincunx.garden import garden_from, timeline
from quincunx.review import Review
from quincunx.sheets import comes_true, pages_of, prepare
from quincunx.sheets._outlooks import drawn, look_from, photo_day
from tests.board.garden import document, small
from tests.sheets.test_same_spot import PEG

VIEW = PEG | {"at": [3, 7], "look_at": [6, 9]}


def of_(about: str = "", **more: object):
    garden = garden_from({**document(), **more})
    return prepare(garden, through=timeline(garden), judged=Review((), ()), about=about)


def _picture_without(thing: str) -> str:
    garden = small()
    bare = garden.model_copy(update={"features": tuple(f for f in garden.features if f.id != thing)})
    of = of_(pegs=[VIEW])
    look = look_from(of.garden.pegs[0], timeline(bare).at(photo_day(of.timeline, of.timeline.years[-1])))
    return drawn(look, min(of.paper.frame_mm[0] * 0.46, 105.0), garden.style)[0]


def test_a_view_has_its_drawing_its_jobs_with_orders_and_its_things():
    (page,) = comes_true.pages(of_(pegs=[VIEW]))
    assert page.title == "How it comes true: By the bench"
    head, *rest = page.blocks
    (planned, said), (without, skipped) = head["cells"]
    assert planned["svg"].startswith("<svg")
    assert without["svg"] != planned["svg"]
    assert without["svg"] == _picture_without("hedge")
    assert said["s"].startswith("as planned")
    assert "if “Plant the hedge” is never done" in skipped["s"]
    assert any("is left out: gone " in b.get("s", "") for b in rest)
    (table,) = [b for b in rest if b["t"] == "table"]
    assert [r[1:3] for r in table["rows"]][:2] == [
        ["by the end of August 2027", "Order: whips"], ["November 2027", {"s": "Plant the hedge", "bold": True}],
    ]  # fmt: skip
    assert any(b.get("s") == comes_true.HEIGHTS for b in rest)
    assert any("from December 2027, by “Plant the hedge”" in b.get("s", "") for b in rest)


def test_one_thing_is_asked_for_by_name_and_without_pegs_the_page_says_what_it_needs():
    (page,) = comes_true.pages(of_("path"))
    assert "Lay the path" in str(page.blocks)
    assert "Plant the hedge" not in str(page.blocks)
    assert comes_true.HEIGHTS not in str(page.blocks)
    assert list(comes_true.pages(of_())) == []
    (page,) = pages_of(of_(), ["comes-true"])
    assert page.blocks[0]["s"] == comes_true.NEEDS


def test_a_must_is_asked_for_by_its_id_and_stands_for_all_that_it_names():
    must = {"kind": "hedge-closed", "id": "closed", "by": 2029, "feature": "hedge"}
    of = of_("closed", intents=[must])
    (page,) = comes_true.pages(of)
    assert page.title == f"How it comes true: {of.garden.intents[0].sentence(of.words).rstrip('.')}"
    assert "Plant the hedge" in str(page.blocks)
    assert "Lay the path" not in str(page.blocks)
    money = {"kind": "spend-no-more", "id": "money", "sum": 40000}
    assert list(comes_true.pages(of_("money", intents=[money]))) == []  # it names nothing


def test_a_view_with_nothing_left_to_do_has_one_picture():
    peg = PEG | {"at": [8, 4], "look_at": [2, 4]}
    (page,) = comes_true.pages(of_(pegs=[peg], jobs=[]))
    assert [cell[0]["t"] for cell in page.blocks[0]["cells"]] == ["drawing", "text"]
