"""Four seasons of each year on paper, and how plantings look month by month."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import garden_from
from quincunx.grow.looks import LOOKS, drawn, fruits, state
from quincunx.grow.plantings import planting
from quincunx.review import Review
from quincunx.sheets import pages_of, prepare
from tests.grow.gardens import hedge, line, note, tree

APPLE = "malus-domestica-mm-106-m-7-rootstock"


def seen(month: int, years: int = 8, **more: Any) -> str:
    through = line(tree("apple", APPLE, (5, 5)), **more)
    one = planting(through, "apple", date(2027 + years, 8, 31))
    assert one is not None
    return state(one, month, turned=through.southern)


@pytest.mark.parametrize(
    ("month", "state_"), [(1, "bare"), (5, "in flower"), (7, "in leaf"), (9, "in fruit"), (12, "bare")]
)
def test_an_apple_through_its_year(month, state_):
    assert seen(month) == state_


def test_half_a_year_later_in_the_south():
    frame: dict[str, Any] = {"latitude_deg": -41.0}
    assert seen(11, **frame) == "in flower"
    assert seen(7, **frame) == "bare"
    assert seen(3, **frame) == "in fruit"


def test_young_and_browsed_trees_bear_nothing():
    assert seen(9, years=1) == "in leaf"
    through = line(tree("apple", APPLE, (5, 5)), journal=(note("2035-04-01", "browsed", "apple"),))
    one = planting(through, "apple", date(2035, 8, 31))
    assert one is not None
    assert not fruits(one, 9, turned=False)


def test_each_plant_is_drawn_as_wide_as_it_is_and_no_two_looks_are_alike():
    through = line(hedge())
    one = planting(through, "hedge", date(2030, 8, 31))
    assert one is not None
    figures = drawn(one, "grown", "tufts")
    assert len(figures) == min(len(one.standing.at), 150)
    assert len(set(LOOKS.values())) == len({p for _, p in LOOKS.values()}) == 4


def test_pages_of_two_years_with_four_plans_each():
    of = prepare(demo_garden("ropewalk"), judged=Review((), ()))
    pages = list(pages_of(of, ["seasons"]))
    assert [p.title for p in pages] == ["Four seasons, 2027 and 2028", "Four seasons, 2029 and 2030", "Four seasons, 2031 and 2032"]  # fmt: skip
    last = [b for b in pages[-1].blocks if b["t"] == "row"][-1]["cells"]
    assert [c[1]["s"] for c in last] == [
        "winter: December to February", "spring: March to May", "summer: June to August", "autumn: September to November",
    ]  # fmt: skip
    assert all(c[0]["t"] == "drawing" for c in last)
    words = [[b["s"] for b in c[2:]] for c in last]
    assert any("Old apple" in s for s in words[1] if s.startswith("In flower"))
    assert any("Cobnut 1" in s for s in words[3] if s.startswith("In fruit"))
    assert any("bare" in s for s in words[0])


def test_nothing_planted_says_what_is_needed():
    of = prepare(garden_from({"format": "quincunx/1"}), judged=Review((), ()))
    (page,) = pages_of(of, ["seasons"])
    assert "Nothing is planted yet" in page.blocks[0]["s"]
