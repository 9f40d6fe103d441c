"""The sheets of views and of shelter: what they say of the demonstration gardens, and what they need."""

from __future__ import annotations

import json
from importlib import resources

import pytest

from quincunx.garden import Garden, garden_from, read_garden, timeline
from quincunx.review import Review
from quincunx.sheets import SHEETS, Set, pages_of, prepare, shelter, views, walk_heights
from quincunx.sheets.book import Page


def demo(name: str) -> Garden:
    return read_garden((resources.files("quincunx.demos") / "data" / f"{name}.json").read_bytes())


def set_of(garden: Garden) -> Set:
    return prepare(garden, judged=Review((), ()), through=timeline(garden))


def said(pages: list[Page]) -> str:
    return json.dumps([{"title": p.title, "blocks": p.blocks} for p in pages], ensure_ascii=False)


@pytest.fixture(scope="module")
def ropewalk() -> Set:
    return set_of(demo("ropewalk"))


def test_they_are_among_the_sheets():
    assert {views, shelter, walk_heights} <= set(SHEETS)


def test_each_eye_of_a_must_has_its_page_with_every_year(ropewalk):
    found = list(views.pages(ropewalk))
    assert [p.title for p in found] == [
        "Seen from Summer seat", "Seen from Kitchen window", "Seen from Neighbour's upper window", "Seen from Terrace table",
    ]  # fmt: skip
    text = said(found)
    for year in ropewalk.timeline.years:
        assert f'"{year}"' in text
    assert "Hedge of the drying green would hide all of it at " in text
    assert text.count("All round, from 20° below level to 27° above, the view is ") == 4
    assert all(p.scale.startswith("1:") for p in found)
    assert any(b["t"] in ("drawing", "row") for b in found[0].blocks)


def test_the_shelter_page_compares_every_roof_thought_of(ropewalk):
    (page,) = shelter.pages(ropewalk)
    assert page.title == "Dry at Oak bench?"
    table = next(b for b in page.blocks if b["t"] == "table")
    under = [row[0]["s"] for row in table["rows"]]
    assert under[:3] == ["As it stands", "Open slats on posts", "A solid roof"]
    assert len(under) == 5
    assert under[3] == "A solid roof, west side closed"
    hours = [int(row[1].split(" of ")[0]) for row in table["rows"]]
    assert hours[0] == hours[1] == 0 < hours[2] < hours[3] < hours[4]
    assert any(b["t"] == "caution" for b in page.blocks)
    assert page.blocks[0]["s"].startswith("A solid roof keeps it dry in 5 chances in 10")


def test_a_garden_that_asks_nothing_says_what_is_needed():
    of = set_of(garden_from({"format": "quincunx/1", "name": "Bare ground"}))
    assert list(views.pages(of)) == []
    assert list(shelter.pages(of)) == []
    (one,) = pages_of(of, ["shelter"])
    assert "Nobody asks about rain yet" in said([one])


def test_the_heights_along_the_long_walk_are_drawn_to_scale(ropewalk):
    (page,) = walk_heights.pages(ropewalk)
    assert page.scale == "1:200"
    heading, told, drawing, *_ = page.blocks
    assert heading["s"] == "Long walk, 27.60 m long"
    assert "heights: 0.37 m, 1.00 m" in told["s"]
    assert drawing["w"] == pytest.approx((27.6 + 2) * 1000 / 200)
    of = set_of(garden_from({"format": "quincunx/1", "name": "Bare ground"}))
    assert list(walk_heights.pages(of)) == []
    assert "Draw a path" in said(list(pages_of(of, ["walk-heights"])))
