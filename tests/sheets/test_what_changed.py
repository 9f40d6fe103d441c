"""The page of what changed and why."""

from __future__ import annotations

import json
from typing import Any

from quincunx.garden import Garden
from quincunx.review import Review
from quincunx.sheets import pages_of, prepare, what_changed
from tests.years.test_real import BED, SHED, entry, plan


def page(garden: Garden) -> str:
    (found,) = what_changed.pages(prepare(garden, judged=Review((), ())))
    return json.dumps([found.title, found.note, *found.blocks], ensure_ascii=False)


def test_the_page_says_how_it_went_what_moves_and_why() -> None:
    journal: tuple[dict[str, Any], ...] = (
        entry("done", "bed", "2027-03-20", sum=12000, hours=7),
        entry("spent", None, "2027-06-02", sum=30000),
    )
    said = page(plan(SHED, BED, journal=journal))
    assert "from July 2027" in said
    assert "€420 spent so far" in said
    assert "Shed" in said
    assert "was not begun" in said
    assert "as few jobs as possible move" in said


def test_nothing_moves_when_all_goes_as_planned() -> None:
    said = page(plan(BED, SHED, journal=(entry("done", "bed", "2027-03-20", sum=10000, hours=5),)))
    assert "Nothing has to change." in said
    assert "What changes" not in said


def test_without_a_journal_or_after_the_plan_there_is_no_page() -> None:
    assert not list(what_changed.pages(prepare(plan(BED), judged=Review((), ()))))
    over = plan(BED, journal=(entry("done", "bed", "2029-12-20"),))
    assert not list(what_changed.pages(prepare(over, judged=Review((), ()))))
    (asked,) = pages_of(prepare(plan(BED), judged=Review((), ())), ["what-changed"])
    assert "The journal has no line yet." in json.dumps(asked.blocks)


def test_the_same_garden_makes_the_same_page() -> None:
    garden = plan(SHED, BED, journal=(entry("done", "bed", "2027-05-20"),))
    assert page(garden) == page(garden)
