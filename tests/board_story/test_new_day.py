"""A board left open over the end of a month shows the new one by itself, and leaves alone what somebody is at."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from quincunx.store import Store
from tests.board.garden import small
from tests.board_story.conftest import Program

BEGUN = [{"id": "e1", "day": "2028-03-20", "what": "begun", "about": "lay-path"}]


def test_a_board_left_open_goes_on_with_the_real_day(program: Program, page: Callable[..., Page]) -> None:
    program.turns("2028-06-30")
    path = program.home / "green.quincunx"
    Store.create(path, small(journal=BEGUN)).close()
    it = page(program.start(path))
    it.get_by_role("button", name="Years", exact=True).click()
    it.get_by_role("button", name="Soon", exact=True).click()
    first = it.get_by_role("heading", level=3).first
    expect(first).to_have_text("June 2028")
    it.get_by_role("button", name="As it went", exact=True).click()
    day, words = it.get_by_label("Day", exact=True), it.get_by_label("In words")
    expect(day).to_have_value("2028-06-30")
    words.fill("frost in the night")
    program.turns("2028-07-01")
    expect(day).to_have_value("2028-07-01")
    expect(words).to_have_value("frost in the night")
    day.fill("2028-06-12")
    program.turns("2028-07-02")
    it.get_by_role("button", name="Soon", exact=True).click()
    expect(first).to_have_text("July 2028")
    expect(it.get_by_role("combobox", name="From")).to_have_value("18")
    # Who chose another month keeps it.
    it.get_by_role("combobox", name="From").select_option("20")
    expect(first).to_have_text("September 2028")
    program.turns("2028-08-01")
    it.wait_for_function("fetch('/api/garden').then((r) => r.json()).then((g) => g.today === '2028-08-01')")
    expect(first).to_have_text("September 2028")
