"""Outdoors in a real browser: without a signal nothing is lost, and nothing is doubled when it is back."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from quincunx.garden import Garden
from quincunx.store import Store
from tests.board.garden import small
from tests.board_story.conftest import Program
from tests.board_ui.board_page import BoardPage
from tests.board_ui.test_reach import AXE, serious

Open = Callable[..., Page]
SURVEY = {
    "stakes": [{"id": i, "name": i.upper()} for i in "abcd"],
    "datum": "a",
    "readings": [
        {"id": f"r{n}", "type": "distance", "start": a, "end": b, "length": m}
        for n, (a, b, m) in enumerate(
            [("a", "b", 12.0), ("b", "c", 10.0), ("c", "d", 12.0), ("d", "a", 10.0), ("a", "c", 15.62), ("b", "d", 15.62)], 1
        )
    ] + [{"id": "r7", "type": "seen", "start": "a", "end": "b", "point": "c", "side": "left"}],
}  # fmt: skip


def made(program: Program) -> Path:
    """A small garden, measured, with two jobs to carry out."""
    path = program.home / "green.quincunx"
    Store.create(path, small(survey=SURVEY)).close()
    return path


def garden_in(file: Path) -> Garden:
    with Store.open(file, keep=False) as store:
        assert store.whole()
        return store.garden()


class Phone:
    """One phone with the page for outdoors."""

    def __init__(self, browser: Browser) -> None:
        self.context: BrowserContext = browser.new_context(
            viewport={"width": 390, "height": 844}, has_touch=True, accept_downloads=True
        )
        self.faults: list[str] = []
        self.page = self.fresh()

    def fresh(self) -> Page:
        """A new tab, as after closing the old one."""
        page = self.context.new_page()
        page.set_default_timeout(30_000)
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        return page

    def load(self, address: str) -> None:
        """Open the board once for its cookie, then the page, until it can do without the program."""
        self.page.goto(address)
        self.open(address)
        expect(self.page.get_by_role("heading", name="This Saturday")).to_be_visible()
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")

    def open(self, address: str) -> None:
        self.page.goto(re.sub(r"/\?.*", "/outdoors/", address))

    def reopen(self, address: str) -> None:
        """Close the tab and open the page anew."""
        self.page.close()
        self.page = self.fresh()
        self.open(address)

    def go(self, where: str) -> None:
        self.page.evaluate(f"location.hash = '#/{where}'")

    def reading(self, start: str, end: str, length: str) -> None:
        self.page.get_by_role("button", name=start, exact=True).tap()
        self.page.get_by_role("button", name=end, exact=True).tap()
        self.page.get_by_label("reads").fill(length)
        self.page.get_by_role("button", name="Keep the reading").tap()
        expect(self.page.get_by_label("reads")).to_have_value("")

    def fits(self) -> None:
        assert self.page.evaluate("() => document.documentElement.scrollWidth") <= 390


@pytest.fixture(autouse=True)
def _patient() -> Iterator[None]:
    """A busy machine is waited for; nothing here depends on how fast it is."""
    expect.set_options(timeout=40_000)
    yield
    expect.set_options(timeout=5_000)


@pytest.fixture
def phones(browser: Browser) -> Iterator[Callable[[], Phone]]:
    """Make phones; a fault of the page's own code fails the test."""
    made: list[Phone] = []

    def one() -> Phone:
        made.append(Phone(browser))
        return made[-1]

    yield one
    for phone in made:
        phone.context.close()
    faults = "; ".join(f for phone in made for f in phone.faults)
    assert not faults, faults


def lengths(garden: Garden) -> list[str]:
    return [str(r.length.typed) for r in garden.survey.readings if r.type == "distance" and r.length.typed]


def test_thirty_readings_and_ticks_without_a_signal(
    program: Program, phones: Callable[[], Phone], tmp_path: Path
) -> None:
    file = made(program)
    address = program.start(file)
    phone = phones()
    phone.load(address)
    phone.fits()

    program.kill()  # the signal is gone: nobody answers any more
    expected = [f"3.{n:02d}" for n in range(10, 37)]
    phone.go("read")
    for n, text in enumerate(expected):
        phone.reading("ABCD"[n % 3], "D", text)
    phone.go("step/plant-hedge/1")
    phone.page.get_by_role("button", name="It is set").tap()
    phone.page.get_by_role("button", name="It is set").tap()
    phone.go("job/plant-hedge")
    boxes = phone.page.get_by_role("checkbox").all()
    for box in boxes:
        box.check()
    phone.go("happened")
    phone.page.get_by_label("From").select_option(index=1)
    phone.page.get_by_label("How much").fill("2.5")
    phone.page.get_by_role("button", name="Keep", exact=True).tap()
    entered = len(expected) + 2 + len(boxes) + 1
    assert entered >= 30
    waiting = f"{entered} notes not handed back"
    expect(phone.page.get_by_role("status").filter(has_text=waiting)).to_be_visible()

    phone.reopen(address)  # closed and opened again, still without a signal
    expect(phone.page.get_by_role("heading", name="This Saturday")).to_be_visible()
    expect(phone.page.get_by_role("status").filter(has_text=waiting)).to_be_visible()
    expect(phone.page.get_by_role("status").filter(has_text="no signal")).to_be_visible()
    phone.go("job/plant-hedge")
    expect(phone.page.get_by_role("checkbox").first).to_be_checked()
    phone.go("wrote")
    phone.fits()
    with phone.page.expect_download() as saving:
        phone.page.get_by_role("button", name="Save as one small file").tap()
    saved = tmp_path / "back.json"
    saving.value.save_as(saved)
    assert len(json.loads(saved.read_text(encoding="utf-8"))["notes"]) == entered

    again = program.start(file)  # it answers again, at the same address with a new key
    assert again.split("/?")[0] == address.split("/?")[0]
    phone.page.goto(again)
    phone.open(again)
    expect(phone.page.get_by_role("status").filter(has_text="in touch with the garden")).to_be_visible()
    expect(phone.page.get_by_role("link", name=re.compile("not handed back"))).to_have_count(0)
    garden = garden_in(file)
    assert sorted(lengths(garden)) == sorted(expected)
    assert [e.amount for e in garden.journal if e.what == "harvest"] == [2.5]
    assert len([e for e in garden.journal if e.what == "ticked"]) == 2 + len(boxes)

    # The same by the other way: the file that was saved is taken in too, and nothing is doubled.
    phone.page.goto(again.split("/?")[0] + "/")
    phone.page.get_by_role("button", name="Outdoors", exact=True).click()
    phone.page.get_by_label("Files from outdoors").set_input_files(saved)
    expect(phone.page.get_by_text(f"{entered} notes are in the garden; Take back")).to_be_visible()
    assert garden_in(file) == garden


def test_two_phones_lose_and_double_nothing(program: Program, phones: Callable[[], Phone]) -> None:
    file = made(program)
    address = program.start(file)
    one = phones()
    one.load(address)
    cookies = one.context.cookies()
    two = phones()
    two.context.add_cookies(cookies)  # type: ignore[arg-type]
    two.open(address)
    expect(two.page.get_by_role("heading", name="This Saturday")).to_be_visible()
    for phone, start in ((one, "1"), (two, "2")):
        phone.context.set_offline(True)
        phone.go("read")
        for n in range(4):
            phone.reading("A", "C", f"{start}5.{n}1")
        phone.go("step/plant-hedge/1")
        phone.page.get_by_role("button", name="It is set").tap()
    for phone in (one, two):
        phone.context.set_offline(False)
    for phone in (one, two):
        expect(phone.page.get_by_role("link", name=re.compile("not handed back"))).to_have_count(0)
    garden = garden_in(file)
    assert sorted(lengths(garden)) == sorted(f"{s}5.{n}1" for s in "12" for n in range(4))
    ticks = [e for e in garden.journal if e.what == "ticked"]
    assert len({e.phone for e in ticks}) == len(ticks) == 2, "both ticked the same point: one tick each"


def test_a_note_is_not_lost_when_the_answer_is(program: Program, phones: Callable[[], Phone]) -> None:
    """The program takes the notes in, but its answer never arrives: they are handed in again and known."""
    file = made(program)
    address = program.start(file)
    phone = phones()
    phone.load(address)
    cut = {"left": 2}

    def lose(route: Route) -> None:
        cut["left"] -= 1
        route.fetch()
        if cut["left"] >= 0:
            route.abort()
        else:
            route.continue_()

    phone.page.route("**/api/outdoors/notes", lose)
    phone.go("read")
    phone.reading("A", "C", "15.62")
    expect(phone.page.get_by_role("status").filter(has_text="1 note not handed back")).to_be_visible()
    phone.go("wrote")
    expect(phone.page.get_by_text("Nothing waits.")).to_be_visible()  # it hands in again by itself
    assert cut["left"] < 0
    assert lengths(garden_in(file)) == ["15.62"]


def test_the_diagonal_as_built_is_told_what_it_means(program: Program, phones: Callable[[], Phone]) -> None:
    file = made(program)
    phone = phones()
    phone.load(program.start(file))
    phone.go("job/plant-hedge")
    must = phone.page.get_by_text("must read").first.inner_text()
    metres = float(re.findall(r"([\d.]+)\sm\b", must)[0])
    box = phone.page.get_by_placeholder("it reads…").first
    box.fill("x y")
    phone.page.get_by_role("button", name="Keep").first.tap()
    expect(phone.page.get_by_text("is not a length")).to_be_visible()
    box.fill(f"{metres + 0.142:.3f}")
    phone.page.get_by_role("button", name="Keep").first.tap()
    expect(phone.page.get_by_text("14 cm too long").first).to_be_visible()
    expect(phone.page.get_by_text(re.compile(r"would have to be .* too"))).not_to_have_count(0)
    expect(phone.page.get_by_role("link", name=re.compile("not handed back"))).to_have_count(0)
    entry = next(e for e in garden_in(file).journal if e.what == "measured")
    assert entry.length is not None
    assert float(entry.length) == pytest.approx(metres + 0.142)


def test_one_page_of_a_job_works_alone_and_gives_one_small_file(
    program: Program, phones: Callable[[], Phone], tmp_path: Path
) -> None:
    file = made(program)
    address = program.start(file)
    phone = phones()
    phone.page.goto(address)
    phone.page.get_by_role("button", name="Outdoors", exact=True).click()
    phone.page.get_by_role("combobox", name=re.compile("^Job")).select_option(label="Plant the hedge, November 2027")
    with phone.page.expect_download() as making:
        phone.page.get_by_role("link", name="Make the page").click()
    alone = tmp_path / "job.html"
    making.value.save_as(alone)
    program.kill()

    asked: list[str] = []
    phone.page.on("request", lambda request: asked.append(request.url))
    phone.page.goto(alone.as_uri())
    expect(phone.page.get_by_role("status").filter(has_text="a page of its own")).to_be_visible()
    phone.go("step/plant-hedge/1")
    phone.fits()
    phone.page.get_by_role("button", name="It is set").tap()
    phone.go("read")
    phone.reading("A", "C", "15.62")
    phone.page.reload()
    phone.go("wrote")
    expect(phone.page.get_by_role("list", name="Waiting").get_by_role("listitem")).to_have_count(2)
    with phone.page.expect_download() as saving:
        phone.page.get_by_role("button", name="Save as one small file").tap()
    back = tmp_path / saving.value.suggested_filename
    assert back.name.startswith("back-small-green-")
    saving.value.save_as(back)
    assert [url for url in asked if not url.startswith(("file:", "data:", "blob:"))] == []
    assert back.stat().st_size < 2000

    phone.page.goto(program.start(file))
    phone.page.get_by_role("button", name="Outdoors", exact=True).click()
    phone.page.get_by_label("Files from outdoors").set_input_files(back)
    expect(phone.page.get_by_text("2 notes are in the garden; Take back")).to_be_visible()
    assert lengths(garden_in(file)) == ["15.62"]


SENDS = """() => {
  Object.defineProperty(navigator, 'canShare', { value: (what) => what.files.length === 1, configurable: true });
  const share = async (what) => { window.sent = [what.files[0].name, what.files[0].size, what.text]; };
  Object.defineProperty(navigator, 'share', { value: share, configurable: true });
}"""
"""A browser that hands files on to the phone's own way of sending."""
LOW = """() => [...document.querySelectorAll('main *, header *')].filter((e) => {
  const box = e.getBoundingClientRect();
  if (!box.width || e.closest('.unseen')) return false;
  const touched = e.matches('button, a, select, textarea, summary, label.line, input:not([type=checkbox])');
  const words = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
  return (touched && box.height < 44) || (words && parseFloat(getComputedStyle(e).fontSize) < 16);
}).map((e) => e.outerHTML.slice(0, 90))"""
"""What is too low for a finger, or written too small."""


def test_every_view_is_for_every_eye_and_fits(
    program: Program, phones: Callable[[], Phone], board_of: Callable[[Page], BoardPage]
) -> None:
    file = made(program)
    address = program.start(file)
    phone = phones()
    phone.load(address)
    phone.page.evaluate(SENDS)
    with_it = re.compile("with it, June 2028, its first summer, ")
    for where in (
        "",
        "job/plant-hedge",
        "both/plant-hedge",
        "step/plant-hedge/1",
        "aloud",
        "read",
        "happened",
        "stakes",
        "wrote",
    ):
        phone.go(where)
        phone.page.wait_for_timeout(200)
        if where.startswith("both"):
            expect(phone.page.get_by_role("img", name=with_it)).to_be_visible()
        phone.fits()
        assert phone.page.evaluate(LOW) == [], (
            f"{where}: at least 44 px high, and letters of 16 px, for the sun and for gloves"
        )
        phone.page.evaluate(AXE.read_text(encoding="utf-8"))
        assert serious(board_of(phone.page)) == [], where

    phone.go("both/plant-hedge")
    phone.page.get_by_role("button", name="Send it…").tap()
    expect(phone.page.get_by_text("Handed to your phone’s own way of sending.")).to_be_visible()
    name, size, text = phone.page.evaluate("window.sent")
    assert (name, text) == (
        "small-green-plant-the-hedge-near.png",
        phone.page.get_by_text(text).inner_text().rstrip("."),
    )
    with phone.page.expect_download() as saving:
        phone.page.get_by_role("link", name="Keep it as one picture").tap()
    kept = saving.value.path().read_bytes()
    assert kept.startswith(b"\x89PNG")
    assert len(kept) == size > 10_000
    phone.page.get_by_role("button", name="Stand somewhere else").tap()
    phone.page.locator(".plan").tap(position={"x": 281, "y": 180})
    expect(phone.page.get_by_role("button", name="Stand somewhere else")).to_have_attribute("aria-expanded", "false")
    expect(phone.page.get_by_text(re.compile(r"^Small green, from [\d.]+ m \S+ of it, looking"))).to_be_visible()
    phone.fits()

    program.kill()  # out in the garden, without a signal, what was looked at is still there
    phone.reopen(address)
    phone.go("both/plant-hedge")
    expect(phone.page.get_by_role("img", name=with_it)).to_be_visible()
    phone.go("job/plant-hedge")
    phone.page.get_by_role("button", name="It is done").tap()
    phone.page.get_by_role("button", name="Yes, all of it").tap()
    program.start(file)
    phone.page.goto(program.address)
    phone.open(program.address)
    expect(phone.page.get_by_role("status").filter(has_text="in touch with the garden")).to_be_visible()
    expect(phone.page.get_by_role("link", name=re.compile("not handed back"))).to_have_count(0)
    phone.go("job/plant-hedge")
    expect(phone.page.get_by_role("heading", name="That job is done")).to_be_visible()
    assert [e.about for e in garden_in(file).journal if e.what == "done"] == ["plant-hedge"]
