"""A phone on the home network: the pass phrase, no signal, the page opened anew, and the notes handed back next time."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from quincunx.board.desk import Desk
from quincunx.board.share import share
from quincunx.store import Store
from tests.board.garden import small
from tests.board.windows import until


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Desk]:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    file = tmp_path / "green.quincunx"
    Store.create(file, small()).close()
    one = Desk(file)
    yield one
    one.close()


def enter(page: Page, phrase: str) -> None:
    page.get_by_label("The pass phrase").fill(phrase)
    page.get_by_role("button", name="Enter").tap()


KEPT = """
async () => {
  const out = [JSON.stringify({ ...localStorage })];
  for (const { name } of await indexedDB.databases()) {
    const base = await new Promise((done) => { const asked = indexedDB.open(name); asked.onsuccess = () => done(asked.result); });
    for (const store of base.objectStoreNames) {
      out.push(await new Promise((done) => {
        const asked = base.transaction(store).objectStore(store).getAll();
        asked.onsuccess = () => done(JSON.stringify(asked.result));
      }));
    }
    base.close();
  }
  return out.join('');
}
"""


def kept_on(page: Page) -> str:
    """All that the phone keeps of this page."""
    return str(page.evaluate(KEPT))


def test_a_phone_comes_in_loses_the_signal_and_comes_back(browser: Browser, desk: Desk) -> None:
    expect.set_options(timeout=40_000)
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    faults: list[str] = []
    first = share(desk, desk.session, 1.0, "127.0.0.1")
    page = context.new_page()
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(first.address)
    expect(page.get_by_label("The pass phrase")).to_be_visible()
    assert "Small green" not in page.content()
    enter(page, "not the right words")
    expect(page.get_by_role("alert")).to_contain_text("not the pass phrase")
    first.door._deaf_until = 0.0
    enter(page, first.door.phrase.upper())
    expect(page.get_by_role("heading", name="This Saturday")).to_be_visible()
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 390

    first.end()
    until(lambda: not first._thread.is_alive())
    page.close()
    page = context.new_page()
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(f"{first.address}outdoors/#/happened")  # nobody answers: the browser's own copy opens
    expect(page.get_by_role("status").filter(has_text="no signal")).to_be_visible()
    page.get_by_role("button", name="A note").tap()
    page.get_by_label("In words").fill("the gate sticks")
    page.get_by_role("button", name="Keep", exact=True).tap()
    expect(page.get_by_role("link", name=re.compile("1 note not handed back"))).to_be_visible()

    again = share(desk, desk.session, 1.0, "127.0.0.1")
    assert again.address == first.address
    page.reload()
    expect(page.get_by_label("The pass phrase")).to_be_visible()
    enter(page, again.door.phrase)
    expect(page.get_by_role("link", name=re.compile("not handed back"))).to_have_count(0)
    assert [e.text for e in desk.session.standing().garden.journal] == ["the gate sticks"]

    # The prices are taken from it: it goes on without any, and comes to them again by the new phrase alone.
    page.evaluate("location.hash = '#/'")
    assert "£90" in kept_on(page)
    again.door.take_prices()
    expect(page.get_by_role("heading", name="You help here")).to_be_visible()
    assert not re.search(r"£\s?\d", kept_on(page)), "nor does the phone keep one"
    page.get_by_text("Another pass phrase").tap()
    page.get_by_label("The pass phrase with the prices").fill(again.door.phrase)
    page.get_by_role("button", name="Enter").tap()
    expect(page.get_by_role("heading", name="You help here")).to_have_count(0)
    assert "£90" in kept_on(page)
    context.close()
    expect.set_options(timeout=5_000)
    assert faults == []
