"""Levels read aloud on a phone and answered on large keys: a round that does not close says what to read again, and is mended."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from quincunx.review.ground import measure
from quincunx.store import Store
from tests.board.garden import small
from tests.board_story.alone import alone
from tests.board_story.test_aloud import HERE, SPEAKS
from tests.board_story.test_outdoors import LOW, SURVEY
from tests.board_ui.board_page import BoardPage
from tests.board_ui.test_reach import AXE, serious


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "green.quincunx"
    Store.create(path, small(survey=SURVEY)).close()
    return path


@pytest.fixture
def phone(browser: Browser, file: Path, tmp_path: Path) -> Iterator[Page]:
    """A phone without a signal and with a voice, showing the page of one job that works alone."""
    with alone(browser, file, tmp_path, f"({SPEAKS})({json.dumps([HERE])})", reduced_motion="reduce") as page:
        yield page


def heard(page: Page) -> str:
    return str(page.evaluate("() => window.heard.at(-1)?.[2] ?? ''"))


def keyed(page: Page, length: str, button: str) -> None:
    """Answer with the large keys."""
    for letter in length:
        page.get_by_role("button", name="Point" if letter == "." else letter, exact=True).click()
    page.get_by_role("button", name=button, exact=True).click()


def heading(page: Page, name: str) -> None:
    expect(page.get_by_role("heading", level=1, name=name)).to_be_visible()


def test_a_round_is_read_closes_badly_says_what_to_read_again_and_is_mended(
    phone: Page, file: Path, tmp_path: Path, board_of: Callable[[Page], BoardPage]
) -> None:
    heading(phone, "Begin on A")
    expect(phone.get_by_role("button", name=re.compile("Quiet|Read aloud"))).to_be_visible()
    if phone.get_by_role("button", name="Read aloud").count():  # a page that was touched already speaks by itself
        phone.get_by_role("button", name="Read aloud").click()
    assert "its bubble in the ring" in heard(phone)
    assert "far from overhead lines" in heard(phone)
    keyed(phone, "1.450", "Keep")
    heading(phone, "The staff on D")
    assert "A read one metre forty-five, to look back on." in heard(phone)
    assert "What does the staff on D read?" in heard(phone)
    keyed(phone, "1.250", "Keep")
    heading(phone, "The staff on C")
    assert "D lies twenty centimetres above A. From A to D the ground rises 1 in 50." in heard(phone)
    keyed(phone, "0.585", "Keep, then move the level")
    heading(phone, "Move the level; back to C")
    keyed(phone, "1.120", "Keep")
    high = "() => Math.min(...[...document.querySelectorAll('form button')].map((b) => b.offsetHeight))"
    assert phone.evaluate(high) >= 60, "large keys, for gloves"
    # From here with the keyboard alone: the next answer is typed where the focus is.
    heading(phone, "The staff on B")
    phone.keyboard.type("1.905")
    phone.keyboard.press("Enter")
    heading(phone, "Back on A, to prove it")
    phone.keyboard.type("1.000")
    phone.get_by_role("button", name="Take the last sight back").click()
    heading(phone, "The staff on B")
    keyed(phone, "1.905", "Keep, then move the level")
    keyed(phone, "1.380", "Keep")
    heading(phone, "Back on A, to prove it")
    keyed(phone, "1.190", "Keep, and close the round")
    heading(phone, "The round does not close")
    said = heard(phone)
    assert "The round closes twenty-seven centimetres high, where nine millimetres is allowed" in said
    assert "Perhaps the fore sight on C: digits swapped?" in said
    for width in (390, 320):
        phone.set_viewport_size({"width": width, "height": 844})
        assert phone.evaluate("() => document.documentElement.scrollWidth") <= width
    phone.set_viewport_size({"width": 390, "height": 844})
    assert phone.evaluate(LOW) == []
    phone.evaluate(AXE.read_text(encoding="utf-8"))
    for theme in ("sunlight", "evening"):
        phone.evaluate("(theme) => { document.documentElement.dataset.theme = theme; }", theme)
        assert serious(board_of(phone)) == [], theme
    phone.get_by_role("button", name="Read A to C again").click()
    keyed(phone, "1.300", "Keep")
    heading(phone, "The staff on C")
    keyed(phone, "0.706", "Keep")
    expect(phone.get_by_text("With this the round closes within 1 mm.")).to_be_visible()
    phone.reload()
    expect(phone.get_by_role("rowheader", name="C", exact=True)).to_be_visible()
    expect(phone.get_by_text("With this the round closes within 1 mm.")).to_be_visible()
    phone.goto(phone.url.replace("#/levels", "#/wrote"))
    with phone.expect_download() as came:
        phone.get_by_role("button", name="Save as one small file").click()
    back = tmp_path / "back.json"
    came.value.save_as(back)
    with Store.open(file, keep=False) as store:
        from quincunx.board.outdoors import took

        told = took(store, json.loads(back.read_text(encoding="utf-8")))
        assert not told["problems"]
        m = measure(store.garden())
    assert [b.closes for b in m.books] == [False, None]
    (slip,) = m.level_slips
    assert (slip.start, slip.end) == ("a", "c")
    assert m.levels is not None
    assert m.levels.levels["c"] - m.levels.levels["a"] == pytest.approx(0.595, abs=0.002)


def test_what_cannot_be_read_is_said_and_nothing_is_kept(phone: Page) -> None:
    heading(phone, "Begin on A")
    phone.get_by_label("The staff stands on").select_option("another stake")
    phone.get_by_label("Its name").fill("7")
    phone.keyboard.press("Tab")
    phone.locator("#staff").fill("1.2")
    phone.keyboard.press("Enter")
    expect(phone.get_by_text("A stake’s name begins with a letter")).to_be_visible()
    phone.get_by_label("Its name").fill("Q")
    phone.locator("#staff").fill("x")
    phone.keyboard.press("Enter")
    expect(phone.get_by_text("is not a length")).to_be_visible()
    expect(phone.get_by_role("table")).to_have_count(0)
    phone.locator("#staff").fill("1.2")
    phone.keyboard.press("Enter")
    expect(phone.get_by_role("rowheader", name="Q", exact=True)).to_be_visible()
