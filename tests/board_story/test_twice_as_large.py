"""Where the browser writes twice as large, on a telephone: nothing lies outside the window, on any screen of the program."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.board_story.conftest import Program
from tests.board_story.test_first_ten_minutes import first_garden
from tests.board_ui.test_reach import OUTSIDE

THERE = {
    "Board": "What the garden must do",
    "Jobs": "Add a job",
    "Papers": "To carry outdoors",
    "Outdoors": "On this device",
    "Ground": "A picture to trace",
}
"""What is read on each screen once it is filled."""


def test_nothing_is_cut_off_on_any_screen_of_a_new_garden(program: Program, page: Callable[..., Page]) -> None:
    shown = page(program.start(), width=390)
    first_garden(shown)
    large = shown.context.new_cdp_session(shown)
    large.send("Page.setFontSizes", {"fontSizes": {"standard": 32, "fixed": 32}})
    expect(
        shown.get_by_role("group", name="Questions over the sheet").get_by_role("button", name="Age")
    ).to_be_visible()
    faults: dict[str, list[str]] = {}
    for name in ("Board", "Jobs", "Papers", "Outdoors", "Ground"):
        place = shown.get_by_role("navigation").get_by_role("button", name=name, exact=True)
        place.click()
        expect(place).to_have_attribute("aria-current", "page")
        shown.get_by_text(THERE[name]).first.wait_for()
        found = shown.evaluate(OUTSIDE)
        faults |= {name: found} if found else {}
    assert faults == {}
