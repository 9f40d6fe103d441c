"""A friend who helps and never saw the garden: no price on the phone, each step told in full, back by itself after a break."""

from __future__ import annotations

import re
from collections.abc import Callable
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

HEARS = """
window.heard = [];
const asked = window.fetch;
window.fetch = async (...how) => {
  const reply = await asked(...how);
  if (reply.ok && reply.url.includes('/api/outdoors/')) reply.clone().text().then((text) => window.heard.push(text), () => undefined);
  return reply;
};
"""
"""Has the page itself note what it is told: whoever asks the browser for a body waits for ever where the program dies as it answers."""


def share(page: Page) -> dict[str, Any]:
    page.get_by_role("button", name="Outdoors").or_(page.get_by_role("link", name="Outdoors")).first.click()
    page.get_by_role("button", name="Share it now").click()
    expect(page.get_by_text("Pass phrase for whoever helps")).to_be_visible()
    told: dict[str, Any] = page.context.request.get(re.sub(r"/[^/]*$", "/api/outdoors/sharing", page.url)).json()
    return told


def test_a_helper_begins_alone_and_no_price_is_on_the_phone(
    program: Program,
    context: Callable[..., BrowserContext],
    board_of: Callable[[Page], BoardPage],
) -> None:
    if home_address() is None:
        pytest.skip("this machine is on no network that could be shared on")
    file = program.home / "green.quincunx"
    Store.create(file, small(survey=SURVEY)).close()
    board = context(viewport={"width": 1440, "height": 900}).new_page()
    board.goto(program.start(file))
    shared = share(board)
    phone = context(viewport={"width": 360, "height": 780}, has_touch=True)
    page, faults = phone.new_page(), list[str]()
    page.add_init_script(HEARS)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(shared["address"])
    page.get_by_label("The pass phrase").fill(shared["to_help"])
    page.get_by_role("button", name="Enter").tap()
    expect(page.get_by_role("heading", name="You help here")).to_be_visible()
    who = page.get_by_label("Who is on this phone")
    who.fill("Ben")
    who.press("Enter")

    # A step says how, with what, what to mind, where, and is done from there.
    page.get_by_role("link", name=re.compile("^Who does what")).tap()
    page.get_by_role("link", name=re.compile("hornbeam")).tap()
    for name in ("Mind", "How", "Bring", "Where"):
        expect(page.get_by_role("heading", name=name, exact=True)).to_be_visible()
    expect(page.get_by_role("region", name="Bring")).to_contain_text("spade")
    expect(page.get_by_role("region", name="Where")).to_contain_text(re.compile(r"It lies .* of (Back door|Bench)"))
    expect(page).to_have_title(re.compile("hornbeam.*Small green"))
    page.evaluate(AXE.read_text(encoding="utf-8"))
    assert serious(board_of(page)) == []
    page.get_by_role("button", name=re.compile("I’ll do it")).tap()
    expect(page.get_by_text("You have this")).to_be_visible()

    # The length that proves it is a step that can be taken; reading it is doing it.  Whoever uses keys stays at it.
    page.evaluate("location.hash = '#/together'")
    take = page.get_by_role("button", name=re.compile("I’ll do it: 1 to 2 must read"))
    take.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name=re.compile("Let go: 1 to 2 must read"))).to_be_focused()
    page.get_by_role("link", name=re.compile("1 to 2 must read")).tap()
    page.get_by_role("button", name="It does").tap()
    expect(board.get_by_label("Done: 1")).to_contain_text("1 to 2 must read")
    soon(lambda: [(e.what, e.by) for e in garden_in(file).journal], [("measured", "Ben")])

    # The program goes and comes back: the phone finds it again untouched, and hands in what was done meanwhile.
    program.kill()
    expect(page.get_by_role("status").filter(has_text="no signal").first).to_be_attached()
    page.evaluate("location.hash = '#/together'")
    page.get_by_role("link", name=re.compile("hornbeam")).tap()
    page.get_by_role("button", name="It is done").tap()
    board.goto(program.start(file))
    again = share(board)
    assert again["address"] == shared["address"]
    page.get_by_label("The pass phrase").fill(again["to_help"])
    page.get_by_role("button", name="Enter").tap()
    soon(lambda: sorted(e.what for e in garden_in(file).journal), ["measured", "ticked"])

    # The end of the day: who did what, to keep or to send.
    page.evaluate("location.hash = '#/evening'")
    expect(page.get_by_role("region", name="Plant the hedge")).to_contain_text("(Ben)")
    expect(page.get_by_role("link", name="Keep it as one picture")).to_be_visible()
    bodies: list[str] = page.evaluate("window.heard")
    assert len(bodies) > 3
    assert not any(re.search(r"£\s?\d", text) for text in bodies), "no price is sent to such a phone at all"
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert faults == []
