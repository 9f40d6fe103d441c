"""A Saturday read aloud, from the page of one job that works alone: by a device's own voice, one step at a time."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from quincunx.board.one_page import job_page
from quincunx.board.outdoors_pack import pack_json
from quincunx.board.replies import encoded
from quincunx.board.standing import Standing
from quincunx.review import Review
from quincunx.review._view import View
from quincunx.review.noticing import notice
from quincunx.review.read import words_for
from quincunx.sheets import prepare
from tests.board.garden import small
from tests.board_story.test_outdoors import SURVEY

SPEAKS = """(voices) => {
  window.heard = [];
  class Words { constructor(text) { this.text = text; } }
  const speech = {
    getVoices: () => voices,
    cancel() { this.now = null; },
    speak(words) { window.heard.push([words.voice.name, words.lang, words.text]); this.now = words; },
    end() { this.now?.onend?.({}); },
  };
  Object.defineProperty(window, 'speechSynthesis', { value: speech, configurable: true });
  window.SpeechSynthesisUtterance = Words;
}"""
"""A browser with the voices given; what it was asked to say is written down."""
FAR = {"name": "far away", "lang": "en-US", "localService": False, "default": True}
HERE = {"name": "of the device", "lang": "en_GB", "localService": True, "default": False}
OTHER = {"name": "of the device too", "lang": "de-DE", "localService": True, "default": True}


@pytest.fixture
def alone(tmp_path: Path) -> Path:
    """The page of the hedge's job, written for a phone without a signal."""
    garden = small(survey=SURVEY)
    at = Standing.of(garden, {}, 1, "main")
    noticed = notice(View(at.garden, at.timeline, words_for(at.garden, at.timeline)))
    of = prepare(at.garden, through=at.timeline, judged=Review((), noticed))
    path = tmp_path / "job.html"
    path.write_bytes(job_page(garden, lambda jobs: encoded(pack_json(of, at, "m" * 16, jobs)), ["plant-hedge"]))
    return path


@pytest.fixture
def phone(browser: Browser, alone: Path) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, offline=True)
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.set_default_timeout(30_000)
    yield page
    context.close()
    assert faults == []
    assert alone.exists()


def test_the_work_is_heard_step_by_step_cautions_first(phone: Page, alone: Path) -> None:
    phone.add_init_script(f"({SPEAKS})({[FAR, OTHER, HERE]!r})".replace("True", "true").replace("False", "false"))
    phone.goto(alone.as_uri())
    phone.get_by_role("link", name="Read it aloud").tap()
    heading = phone.get_by_role("heading", level=1)
    expect(heading).to_have_text("Plant the hedge")
    expect(phone.get_by_role("button", name="Quiet")).to_be_visible()  # touched, so it speaks at once
    phone.evaluate("speechSynthesis.end()")
    phone.get_by_role("button", name="Again").tap()
    phone.get_by_label("Go to").select_option(label="Where it goes")
    expect(heading).to_contain_text("Take care")
    while "Take care" in heading.inner_text():
        phone.get_by_role("button", name="Next").tap()
    expect(heading).to_contain_text("Point 1 of 2")
    phone.get_by_role("button", name="Back").tap()
    expect(heading).to_contain_text("Take care")
    phone.keyboard.press("ArrowRight")
    expect(heading).to_contain_text("Point 1 of 2")
    phone.get_by_role("button", name="It is set").tap()
    expect(heading).to_contain_text("Point 2 of 2")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    heard = phone.evaluate("window.heard")
    assert {(name, lang) for name, lang, _ in heard} == {("of the device", "en_GB")}
    said = [text for *_, text in heard]
    assert said[0] == said[1]
    assert said[0].startswith("Plant the hedge. November 2027, ten hours.")
    assert "Take care" in said[2]
    point = next(text for text in said if text.startswith("Point 1 of 2"))
    assert "metres" in point
    assert "from stake A" in point
    assert not any(mark in point for mark in "±×\u00a0")
    phone.keyboard.press("ArrowUp")
    assert phone.evaluate("window.heard.length") == len(heard) + 1
    phone.get_by_label("Go to").select_option(label="Prove it")
    phone.get_by_role("button", name="Type what it reads").tap()
    for key in ("1", "Point", "2", "3"):
        phone.get_by_role("button", name=key, exact=True).tap()
    expect(phone.get_by_role("textbox")).to_have_value("1.23")
    phone.get_by_role("button", name="Keep").tap()
    expect(phone.get_by_role("status").filter(has_text="Read 1.23")).to_be_visible()
    answer = phone.evaluate("window.heard.at(-1)[2]")
    assert answer.startswith("Read one metre twenty-three. ")
    assert "too short" in answer
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390


def test_without_a_voice_of_its_own_it_says_so_and_asks_no_other(phone: Page, alone: Path) -> None:
    phone.add_init_script(f"({SPEAKS})({[FAR]!r})".replace("True", "true").replace("False", "false"))
    phone.goto(f"{alone.as_uri()}#/aloud")
    expect(phone.get_by_text("This device has no voice of its own")).to_be_visible()
    expect(phone.get_by_role("button", name="Read aloud")).to_have_count(0)
    phone.get_by_role("button", name="Next").tap()
    expect(phone.get_by_role("heading", level=1)).to_contain_text("Take care")
    assert phone.evaluate("window.heard") == []
