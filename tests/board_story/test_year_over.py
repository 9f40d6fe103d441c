"""In November the board says what was done in the year, and makes the page of it with one touch."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from quincunx.store import Store
from tests.board.garden import small
from tests.board_story.conftest import Program

DONE = [{"id": "d1", "day": "2027-11-12", "what": "done", "about": "plant-hedge"}]


def test_the_page_of_the_year_is_made_with_one_touch(
    program: Program, page: Callable[..., Page], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("QUINCUNX_TODAY", "2027-11-20")
    program.turns("2027-11-20")
    path = program.home / "green.quincunx"
    Store.create(path, small(journal=DONE)).close()
    it = page(program.start(path), width=390)
    # Opened in November, the garden has its page made by itself, once, and says so.
    notice = it.get_by_text("The page of 2027 to give away is made: green-2027.html")
    expect(notice).to_be_visible(timeout=90_000)
    with it.context.expect_page() as opened:
        it.get_by_role("link", name="Open it").click()
    expect(opened.value.get_by_role("heading", name="What was done in 2027")).to_be_visible()
    opened.value.close()
    it.get_by_role("button", name="Make none by itself again").click()
    expect(notice).to_have_count(0)
    heading = it.get_by_role("heading", name="The year 2027 is nearly over")
    it.get_by_role("button", name="Outdoors", exact=True).click()
    expect(it.get_by_role("heading", name="Take in what came back")).to_be_visible(timeout=20_000)
    expect(heading).to_have_count(1)
    for day, shown in (("2027-10-30", 0), ("2027-11-20", 1)):
        program.turns(day)  # the page that is open goes by the program's day
        expect(heading).to_have_count(shown)
    expect(it.get_by_text("Plant the hedge", exact=True)).to_be_visible()
    expect(it.get_by_label("Made by itself once a year")).not_to_be_checked()
    it.get_by_role("button", name="Make the page of 2027").click()
    keep = it.get_by_role("link", name="Keep it (")
    expect(keep).to_be_visible(timeout=60_000)
    with it.expect_download() as saving:
        keep.click()
    assert "What was done in 2027</h2><ul><li>Plant the hedge</li></ul>" in saving.value.path().read_text("utf-8")
    assert it.evaluate("document.documentElement.scrollWidth") <= 390
