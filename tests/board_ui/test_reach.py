"""By keys alone, by touch, at every size, for every eye; and nothing leaves the machine."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.board_ui.board_page import BoardPage
from tests.board_ui.conftest import SIZES

Open = Callable[..., BoardPage]
AXE = Path(__file__).resolve().parents[2] / "ui/node_modules/axe-core/axe.min.js"
WIDTHS = (1440, 1024, 768, 390)
SMALL = """() => [...document.querySelectorAll('button:not(.link), select, summary, input:not([type=checkbox], [type=radio])')]
  .map((e) => [e.ariaLabel || e.innerText, e.getBoundingClientRect()])
  .filter(([, r]) => r.height > 0 && (r.height < 43.5 || r.width < 43.5)).map(([words]) => words)"""
"""What a finger can't touch well: the controls in view that are smaller than 44 px either way."""


def screens(b: BoardPage) -> Iterator[str]:
    """Go through what the board shows, one after another."""
    yield "board"
    b.button("Put in…").click()
    yield "what to put in"
    b.keys("Escape")
    b.put_in("hedge")
    b.click(2, 27.5)
    yield "a gesture"
    b.keys("Escape")
    b.click(4.2, 24.2)
    yield "chosen"
    b.mark(2029, "fails, 7.6 m").click()
    yield "evidence"
    b.button("Months of 2029").click()
    yield "months"
    b.button("Feet").click()
    yield "question"
    b.button("Sun").click()
    yield "a field"
    b.button("A seat", exact=True).click()
    yield "charts"
    b.button("Shadows").click()
    yield "the hour"
    b.button("+ a must").click()
    yield "musts"
    b.button("The only way for").click()
    yield "sentence"
    b.button("What is there").click()
    b.button("Choose several").click()
    for name in ("Old damson", "Side gate"):
        b.page.get_by_role("listitem").get_by_role("button", name=name).first.click()
    yield "several things"
    b.button("Choose nothing").click()
    b.button("Given", exact=True).click()
    yield "given"
    b.button("Past").click()
    yield "past"
    b.button("Change the must “Roe").click()
    yield "must's menu"
    b.keys("Escape")
    b.button("Years", exact=True).click()
    b.page.locator("button.bar").first.wait_for()
    yield "years"
    b.page.locator("button.bar").first.focus()
    b.keys("Enter", " ", "ArrowRight")
    b.page.get_by_label("What it would do").wait_for()
    yield "a job in hand"
    b.keys("Escape")
    b.button("Ask for the best order").click()
    b.button("Ask", exact=True).click()
    b.page.get_by_text("Any one of these").wait_for()
    yield "the order"
    b.button("What if", exact=True).click()
    b.button("a fifth less money").click()
    b.button("Put away").wait_for()
    yield "what if"
    b.button("How safe").click()
    b.page.get_by_text("Money enough").wait_for()
    b.button("Ask for that order").click()
    yield "how safe"
    b.button("As it went").click()
    b.button("Plan the rest again").click()
    b.page.get_by_text("What changed and why").wait_for()
    yield "as it went"
    b.button("Soon", exact=True).click()
    b.button("If the weekend is wet").click()
    yield "soon"
    b.button("Jobs", exact=True).click()
    b.page.get_by_role("heading", name="Jobs").wait_for()
    yield "jobs"
    b.button("Papers", exact=True).click()
    b.button("Saturday page").wait_for()
    yield "papers"


def new_steps(b: BoardPage) -> Iterator[str]:
    """Go through the start page and the six steps."""
    yield "start"
    b.button("Begin").click()
    page = b.page
    page.get_by_role("heading", name="Where it is").wait_for()
    yield "town"
    b.button("Next").click()
    for name, size in (
        ("First side", "18"),
        ("Second side", "46.2"),
        ("Third side", "18.4"),
        ("Fourth side", "45.9"),
        ("Diagonal", "49.5"),
    ):
        page.get_by_role("textbox", name=name).fill(size)
    yield "ground"
    page.get_by_label("Touch its corners").check()
    page.get_by_text("Trace over a picture").click()
    yield "drawn ground"
    page.get_by_label("Taped").check()
    b.button("Next").click()
    yield "house"
    b.button("Later").click()
    b.button("seat", exact=True).click()
    yield "wanted"
    b.button("Next").click()
    yield "must"
    b.button("Next").click()
    yield "sum"


SETTLED = "() => Promise.all(document.getAnimations().map((one) => one.finished.catch(() => undefined)))"
"""Colours have settled: axe reads them half-way through a change otherwise."""


def serious(b: BoardPage, rules: tuple[str, ...] = (), *, beside: str = "", settle_ms: int = 160) -> list[str]:
    """What axe-core finds serious or critical now, by all its rules or by some; ``beside`` a part looked at already."""
    b.page.wait_for_timeout(settle_ms)
    b.page.evaluate(SETTLED)
    if not b.page.evaluate("() => 'axe' in window"):
        b.page.add_script_tag(path=str(AXE))
    found: dict[str, Any] = b.page.evaluate(
        "([r, no]) => axe.run(no ? {exclude: [[no]]} : document, {resultTypes: ['violations'],"
        " ...(r.length ? {runOnly: {type: 'rule', values: r}} : {})})",
        [list(rules), beside],
    )
    return [
        f"{v['id']}: {n['html'][:140]} {n['failureSummary'][:200]}"
        for v in found["violations"] if v["impact"] in ("serious", "critical") for n in v["nodes"]
    ]  # fmt: skip


TABLE, TABLE_DIFFERS = ".ledger", ("board", "evidence", "months")
"""The table of years is much to look at, and is another one on these screens only."""
OUTSIDE = """() => {
  const wide = document.documentElement.clientWidth;
  const held = (e) => e.closest('.ledger, .unfolded, .unseen, canvas, .groups');
  const bad = [...document.querySelectorAll('button, input, select, h1, h2, p')]
    .filter((e) => !held(e)).map((e) => [e, e.getBoundingClientRect()])
    .filter(([e, r]) => r.width > 0 && (r.right > wide + 1 || r.left < -1)).map(([e]) => `${wide}: ${e.outerHTML.slice(0, 90)}`);
  return document.documentElement.scrollWidth > wide ? [...bad, `${wide}: the page scrolls sideways`] : bad;
}"""


def at_widths(b: BoardPage, *widths: int) -> list[str]:
    """Return what lies outside the window at some widths, its own first; it is given back as it was."""
    own = b.page.viewport_size
    assert own is not None
    found: list[str] = []
    for width in widths:
        if width != own["width"]:
            b.page.set_viewport_size({"width": width, "height": SIZES[width]})
            b.page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        found += b.page.evaluate(OUTSIDE)
    b.page.set_viewport_size(own)
    return found


def twice_as_large(b: BoardPage) -> list[str]:
    """Return what lies outside the window where the browser writes twice as large, on what is shown, at all widths."""
    large = b.page.context.new_cdp_session(b.page)
    large.send("Page.setFontSizes", {"fontSizes": {"standard": 32, "fixed": 32}})
    found = at_widths(b, *WIDTHS)
    large.send("Page.setFontSizes", {"fontSizes": {"standard": 16, "fixed": 13}})
    return found


def in_the_evening(b: BoardPage, beside: str) -> list[str]:
    """Return the words that are too pale in the evening's colours."""
    b.page.evaluate("() => (document.documentElement.dataset.theme = 'evening')")
    found = serious(b, ("color-contrast",), beside=beside, settle_ms=0)
    b.page.evaluate("() => (document.documentElement.dataset.theme = 'day')")
    return [f"in the evening: {one}" for one in found]


@pytest.mark.timeout(280)  # ended half-way, it would take the browser from all tests after it
@pytest.mark.parametrize("demo", ["ropewalk", ""])
def test_every_screen_is_for_every_eye_and_window(board: Open, page_address: str, demo: str) -> None:
    """By day and in the evening axe finds nothing serious, nothing lies outside the window, and nobody else is asked."""
    b = board(demo=demo)
    asked: list[str] = []
    b.page.on("request", lambda request: asked.append(request.url))
    b.page.emulate_media(reduced_motion="reduce")  # the two sets of colours follow each other at once
    b.page.reload()
    b.page.get_by_role("application" if demo else "heading").first.wait_for()
    faults: dict[str, list[str]] = {}
    for name in screens(b) if demo else new_steps(b):
        seen = "" if name in TABLE_DIFFERS else TABLE
        found = serious(b, beside=seen) + in_the_evening(b, seen) + at_widths(b, *WIDTHS[:-1])
        faults |= {name: found} if found else {}
    assert faults == {}
    assert asked
    assert [url for url in asked if not url.startswith((page_address, "data:", "blob:"))] == []


@pytest.mark.parametrize("demo", ["ropewalk", ""])
def test_nothing_is_cut_off_on_a_telephone(board: Open, demo: str) -> None:
    """No screen reached at 390 px is wider than the window, and no control lies outside it."""
    b = board(width=WIDTHS[-1], demo=demo)
    faults = {name: found for name in (screens(b) if demo else new_steps(b)) if (found := b.page.evaluate(OUTSIDE))}
    assert faults == {}


@pytest.mark.parametrize("demo", ["ropewalk", ""])
def test_nothing_is_cut_off_where_the_browser_writes_twice_as_large(board: Open, demo: str) -> None:
    """Whoever chose larger text in their browser has it on every screen, and nothing lies outside the window."""
    b = board(demo=demo)
    large = b.page.context.new_cdp_session(b.page)
    large.send("Page.setFontSizes", {"fontSizes": {"standard": 32, "fixed": 32}})
    b.page.reload()
    b.page.get_by_role("application" if demo else "heading").first.wait_for()
    assert b.page.evaluate("() => getComputedStyle(document.body).fontSize") == "30px"
    faults = {name: found for name in (screens(b) if demo else new_steps(b)) if (found := at_widths(b, *WIDTHS))}
    assert faults == {}


def test_rooms_by_the_keys_alone(board: Open) -> None:
    """A hedge, a gate in it and a must, with no pointer at all."""
    b = board()
    b.sheet.focus()
    things = b.things()
    b.keys("p")
    b.page.keyboard.type("hedge")
    b.keys("Enter")
    b.gesture("drawn")
    b.keys("Shift+ArrowLeft", "Enter")
    b.page.keyboard.type("5<90")
    b.keys("Enter", "Enter")
    line = b.wait_stored("hedge-1")["line"]
    assert line[1][0] - line[0][0] == pytest.approx(5, abs=1e-3)
    b.gesture("resting")
    b.wait_things(things + 1)
    b.keys("p")
    b.page.keyboard.type("gate")
    b.keys("Enter")
    b.gesture("placed")
    b.keys("ArrowUp", "ArrowLeft", "ArrowLeft", "Enter")  # near enough to the hedge, however large the sheet was fitted
    gate = b.wait_stored("gate-1")
    assert gate["at"][1] == pytest.approx(line[0][1], abs=1e-3)
    assert line[0][0] < gate["at"][0] < line[1][0]
    b.gesture("resting")
    b.wait_things(things + 2)
    b.keys("Delete")
    b.wait_things(things + 1)
    b.keys("n", "n", "ArrowRight")
    expect(b.page.get_by_role("dialog")).to_be_visible()
    b.keys("Escape")
    b.button("+ a must").focus()
    b.keys("Enter")
    b.button("From a place").focus()
    b.keys("Enter")
    b.page.get_by_label("From", exact=True).select_option("Back door")
    b.page.get_by_label("To", exact=True).select_option("Nuttery")
    b.button("Add it").focus()
    b.keys("Enter")
    b.page.wait_for_function(
        "() => window.mockServer.garden.intents.some(i => i.id === 'reach' && i.end === 'nuttery')"
    )


def test_what_is_chosen_while_a_thing_is_taken_out_stays_chosen(board: Open) -> None:
    """Whoever goes on at once isn't thrown back when the program has answered."""
    b = board(late=500)
    things = b.things()
    b.click(4.2, 23.6)
    expect(b.page.get_by_role("heading", name="Old damson")).to_be_visible()
    b.keys("n")
    expect(b.page.get_by_role("heading", name="Old damson")).to_be_hidden()
    name = b.page.get_by_label("What is chosen").get_by_role("heading").inner_text()
    b.keys("b")
    b.keys("Delete")
    b.button("Change the drawing").click()
    b.keys("n")
    b.wait_things(things - 1)
    expect(b.page.get_by_label("What is chosen").get_by_role("heading", name=name)).to_be_visible()


def test_who_goes_to_another_screen_by_keys_goes_on_from_its_name(board: Open) -> None:
    """The focus is not lost with the strip of the screen that was left."""
    b = board(late=100)
    for name in ("Years", "Jobs", "Papers"):
        place = b.page.get_by_role("navigation").get_by_role("button", name=name, exact=True)
        place.focus()
        b.keys("Enter")
        expect(place).to_have_attribute("aria-current", "page")
        expect(place).to_be_focused()


def test_escape_leads_back_out_of_a_must_that_is_being_written(board: Open) -> None:
    b = board()
    add = b.page.get_by_role("button", name="+ a must")
    add.focus()
    b.keys("Enter")
    maker = b.page.get_by_role("region", name="A new must")
    expect(maker.get_by_role("listitem").first.get_by_role("button")).to_be_focused()
    b.keys("Enter")
    expect(b.button("Add it")).to_be_visible()
    b.keys("Escape")
    expect(maker.get_by_role("listitem").first.get_by_role("button")).to_be_focused()
    b.keys("Escape")
    expect(maker).to_be_hidden()
    expect(add).to_be_focused()


def test_the_heads_are_stepped_through_by_arrows(board: Open) -> None:
    """Left and right go from year to year."""
    b = board()
    b.page.get_by_role("columnheader").first.get_by_role("button").first.focus()
    b.keys("ArrowRight", "ArrowRight")
    expect(b.sheet).to_have_attribute("aria-label", "The drawing of Ropewalk Cottage in 2029")


def test_by_touch_on_a_telephone(board: Open) -> None:
    """Choosing, drawing and typing with a finger at 390 px."""
    b = board(width=390, touch=True)
    page = b.page
    page.touchscreen.tap(*b.at(4.2, 23.6))
    expect(page.get_by_role("heading", name="Old damson")).to_be_visible()
    b.button("Given", exact=True).tap()
    expect(page.get_by_text("Money and hours")).to_be_in_viewport()  # what is touched is led to, below what is chosen
    assert page.evaluate(SMALL) == []
    b.button("Put in…").tap()
    page.get_by_label("Find by its name").fill("path")
    page.keyboard.press("Enter")
    page.touchscreen.tap(*b.at(3, 20))
    page.get_by_label("Exact size").fill("4<180")
    page.keyboard.press("Enter")
    b.button("Finish").tap()
    line = b.wait_stored("path-1")["line"]
    assert line[0][1] - line[1][1] == pytest.approx(4, abs=1e-3)


def test_several_things_are_chosen_lined_up_and_taken_out_with_a_finger(board: Open) -> None:
    """In the list and on the sheet; what is touched twice is let go; one step each to take back."""
    b = board(width=390, touch=True)
    page = b.page
    page.get_by_role("columnheader", name="2032").get_by_role("button", name="2032").first.tap()
    b.button("What is there").tap()
    b.button("Choose several").tap()
    for name in ("hazel-1", "hazel-2", "Old damson", "Old damson"):
        page.get_by_role("listitem").get_by_role("button", name=name).first.tap()
    page.touchscreen.tap(*b.at(4.3, 9.6))
    expect(page.get_by_role("heading", name="3 things")).to_be_visible()
    page.get_by_label("Line up with the first chosen").select_option("south sides")
    page.wait_for_function("() => window.mockServer.revision === 2")
    assert max(ys := [b.stored(f"hazel-{i}")["at"][1] for i in (1, 2, 3)]) - min(ys) < 2e-3  # type: ignore[index]
    b.button("Take out").tap()
    page.wait_for_function("() => !window.mockServer.garden.features.some(f => /hazel-[123]/.test(f.id))")
    b.button("Choose several").tap()
    page.get_by_role("listitem").get_by_role("button", name="hazel-4").first.tap()
    marked = page.locator("p.unseen[aria-live]", has_text="hazel-4")
    expect(marked).to_have_count(1)
    b.button("Take out", exact=True).tap()
    expect(marked).to_have_count(0)  # the mark of what is out stays no longer than the thing


def test_two_fingers_zoom_and_move_the_view(board: Open) -> None:
    """A pinch to twice the distance doubles the scale."""
    b = board(width=390, touch=True)
    before = float(b.sheet.get_attribute("data-scale") or 0)
    cdp = b.page.context.new_cdp_session(b.page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        cdp.send(
            "Input.dispatchTouchEvent",
            {"type": kind, "touchPoints": [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)]},
        )

    touch("touchStart", (180, 250))
    touch("touchStart", (180, 250), (220, 250))
    for k in range(1, 11):
        touch("touchMove", (180 - 2 * k, 250), (220 + 2 * k, 250))
    touch("touchEnd")
    b.page.wait_for_timeout(60)
    assert float(b.sheet.get_attribute("data-scale") or 0) == pytest.approx(2 * before, rel=0.05)
    b.gesture("resting")


def test_the_wheel_zooms_about_the_pointer(board: Open) -> None:
    """The ground under the pointer stays under it."""
    b = board()
    x, y = b.at(14, 31)
    b.page.mouse.move(x, y)
    b.page.mouse.wheel(0, -300)
    b.page.wait_for_timeout(60)
    assert b.at(14, 31) == pytest.approx((x, y), abs=0.6)


def test_a_part_of_the_page_that_does_not_come_is_said_and_asked_for_again(board: Open) -> None:
    """Its script and its style sheet fail twice, then come: the word, the button, the screen in its own clothes."""
    b = board(demo="")
    asked: list[str] = []

    def fail(route: Any) -> None:
        asked.append(route.request.url)
        route.abort()

    b.page.route("**/assets/NewGarden-*", fail)
    b.button("Begin").click()
    expect(b.page.get_by_role("alert")).to_contain_text("did not come")
    assert len({url.partition("?")[0] for url in asked}) == 2
    b.page.unroute_all()
    b.button("Try again").click()
    expect(b.page.get_by_role("heading", name="Where it is")).to_be_visible()
    assert b.page.get_by_label("Steps").evaluate("e => getComputedStyle(e).display") == "flex"


def test_a_browser_that_never_fetches_a_script_again_is_given_a_new_page(board: Open) -> None:
    """Some remember that a script failed: "Try again" then loads the page anew, onto the screen that was wanted."""
    b = board(demo="")
    anew: list[str] = []
    b.page.route("**/assets/NewGarden-*.js", lambda route: route.continue_() if anew else route.abort())
    b.button("Begin").click()
    b.page.on("framenavigated", lambda frame: anew.append(frame.url))
    b.button("Try again").click()
    expect(b.page.get_by_role("heading", name="Where it is")).to_be_visible()
    assert len(anew) == 1


@pytest.mark.parametrize("language", ["C", "en-US@posix"])
def test_a_garden_is_begun_where_the_system_names_no_language(board: Open, language: str) -> None:
    """So some browsers call it where the system's settings are bare; it was a page that could not be drawn."""
    b = board(demo="")
    b.page.add_init_script(f"Object.defineProperty(navigator, 'language', {{ value: '{language}' }})")
    b.page.reload()
    b.button("Begin").click()
    expect(b.page.get_by_label("Decimal mark")).to_have_value(".")


def test_reduced_motion_is_kept(board: Open) -> None:
    """With reduced motion asked for, nothing is animated."""
    b = board()
    b.page.emulate_media(reduced_motion="reduce")
    moving = b.page.evaluate(
        "() => [...document.querySelectorAll('*')].filter(e => getComputedStyle(e).transitionDuration.split(',').some(d => parseFloat(d) > 0)).length"
    )
    assert moving == 0
