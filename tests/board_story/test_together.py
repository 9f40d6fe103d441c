"""Three people on one Saturday: two phones on the home network and the board show the same list, and a broken link loses nothing."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from quincunx.board.share import home_address
from quincunx.store import Store
from tests.board.garden import small
from tests.board_story.conftest import Program, soon
from tests.board_story.test_outdoors import SURVEY, _patient, garden_in  # noqa: F401 - fixture
from tests.board_ui.board_page import BoardPage
from tests.board_ui.test_reach import AXE, serious

TASKS = ["Dig the trench", "Soak the whips"]


@pytest.fixture
def file(program: Program) -> Path:
    path = program.home / "green.quincunx"
    garden = small(survey=SURVEY)
    jobs = [j.changed(tasks=tuple(TASKS)) if j.id == "plant-hedge" else j for j in garden.jobs]
    Store.create(path, garden.changed(jobs=tuple(jobs))).close()
    return path


def phone(context: BrowserContext, shared: dict[str, Any], name: str) -> Page:
    page = context.new_page()
    page.goto(shared["address"])
    page.get_by_label("The pass phrase").fill(shared["phrase"])
    page.get_by_role("button", name="Enter").tap()
    who = page.get_by_label("Who is on this phone")
    who.fill(name)
    who.press("Enter")
    page.evaluate("location.hash = '#/together'")
    return page


def test_two_phones_and_the_board_share_one_list(
    program: Program,
    file: Path,
    context: Callable[..., BrowserContext],
    board_of: Callable[[Page], BoardPage],
) -> None:
    if home_address() is None:
        pytest.skip("this machine is on no network that could be shared on")
    at_home = context(viewport={"width": 1440, "height": 900})
    board = at_home.new_page()
    board.goto(program.start(file))
    board.get_by_role("button", name="Outdoors").or_(board.get_by_role("link", name="Outdoors")).first.click()
    board.get_by_role("button", name="Share it now").click()
    expect(board.get_by_text("Pass phrase with the prices")).to_be_visible()
    shared = at_home.request.get(re.sub(r"/[^/]*$", "/api/outdoors/sharing", board.url)).json()
    assert "127.0.0.1" not in shared["address"]
    faults: list[str] = []
    ana, ben = (context(viewport={"width": 390, "height": 844}, has_touch=True) for _ in range(2))
    one, two = phone(ana, shared, "Ana"), phone(ben, shared, "Ben")
    for page in (one, two, board):
        page.on("pageerror", lambda error: faults.append(str(error)))

    # One takes a step on; the other and the board see it without being touched.
    one.get_by_role("button", name="I’ll do it: Dig the trench").tap()
    expect(two.get_by_text("Ana has this")).to_be_visible()
    expect(board.get_by_label("Ana: 1")).to_contain_text("Dig the trench")
    # The board gives one out; Ben's own list has it.
    board.get_by_label("Give to: Soak the whips").select_option("Ben")
    expect(two.get_by_role("button", name="Let go: Soak the whips")).to_be_visible()
    # A long tape wants two.
    assert one.get_by_text("needs two: a tape over 5.00 m").count() >= 1
    two.get_by_role("button", name="I’ll do it: whips").tap()
    expect(one.get_by_label("The others have (2)")).to_contain_text("whips")
    two.get_by_role("button", name="Let go: whips").tap()
    expect(one.get_by_role("button", name="I’ll do it: whips")).to_be_visible()

    # The link breaks: both take the same step, each keeps their own, and both are told when it is back.
    for each, page in ((ana, one), (ben, two)):
        place = page.get_by_role("button", name="I’ll do it: whips").bounding_box()
        each.set_offline(True)
        expect(page.get_by_text("No signal: this is how it stood")).to_be_visible()
        assert page.get_by_role("button", name="I’ll do it: whips").bounding_box() == place, (
            "nothing moves under a finger"
        )
        page.get_by_role("button", name="I’ll do it: whips").tap()
        expect(page.get_by_role("button", name="Let go: whips")).to_be_visible()
    for each in (ana, ben):
        each.set_offline(False)
    for page in (one, two):
        expect(page.get_by_text("You and")).to_contain_text("agree who does it")
    expect(board.get_by_label("Too many have: 1")).to_contain_text("Ana and Ben have this: agree who does it")
    two.get_by_role("button", name="Let go: whips").tap()
    expect(board.get_by_label("Too many have: 1")).to_have_count(0)

    # What is ticked on one is done on all; it alone is in the garden.
    two.evaluate("location.hash = '#/job/plant-hedge'")
    two.get_by_label("Soak the whips", exact=True).tap()
    expect(board.get_by_label("Done: 1")).to_contain_text("done, Ben")
    expect(one.get_by_text(re.compile(r"^1 of \d+ steps done"))).to_be_visible()
    soon(lambda: [(e.what, e.by) for e in garden_in(file).journal], [("ticked", "Ben")])

    # Large, to read from across the room; all of it by keyboard.
    board.get_by_role("button", name="Show it large").press("Enter")
    wall = board.get_by_role("dialog")
    size = wall.get_by_text("Dig the trench").evaluate("e => parseFloat(getComputedStyle(e).fontSize)")
    assert size >= 32
    for page in (board, one, two):
        page.evaluate(AXE.read_text(encoding="utf-8"))
        assert serious(board_of(page)) == []
    board.keyboard.press("Escape")
    expect(wall).to_have_count(0)
    for page in (one, two):
        assert page.evaluate("() => document.documentElement.scrollWidth") <= 390
    assert faults == []
