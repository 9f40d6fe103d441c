"""A new person's first ten minutes, and what is left of them after a restart."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import FilePayload, Page, expect

from quincunx.garden import read_garden
from quincunx.garden.underlay import laid
from quincunx.store import Store
from tests.board_story.conftest import Program, soon
from tests.board_ui.board_page import BoardPage


def first_garden(page: Page) -> None:
    """Answer the six steps: town, four sides and a diagonal, the house, one thing, one must, the sum."""
    page.get_by_role("button", name="Begin").click()
    page.get_by_label("Name of the garden").fill("Back garden")
    page.get_by_label("Or its latitude").fill("52.1")
    page.get_by_role("button", name="Next").click()
    for label, length in (
        ("First side", "12 m"),
        ("Second side", "20"),
        ("Third side", "12"),
        ("Fourth side", "20,0".replace(",", ".")),
    ):
        page.get_by_label(label, exact=False).first.fill(length)
    page.get_by_label("Diagonal, first corner").fill("23.324")
    page.get_by_role("button", name="Next").click()
    page.get_by_label("There is a house").set_checked(True)
    page.get_by_label("Length along the side").fill("8")
    page.get_by_label("Depth").fill("5")
    page.get_by_role("button", name="Next").click()
    page.get_by_role("button", name="Later").click()
    page.get_by_role("button", name="Later").click()
    page.get_by_label(re.compile("To spend each year")).fill("1200")
    page.get_by_role("button", name="Draw the plan").click()
    page.get_by_role("application").wait_for()


def file_of(program: Program) -> Path:
    (found,) = [p for p in program.home.rglob("*.quincunx") if "copies" not in p.parts]
    return found


def things(file: Path) -> list[str]:
    with Store.open(file, keep=False) as store:
        return [f.id for f in store.garden().features]


def test_from_an_empty_page_to_a_judged_hedge_and_back_after_a_restart(
    program: Program, page: Callable[..., Page], board_of: Callable[[Page], BoardPage]
) -> None:
    shown = page(program.start(warm=True))
    first_garden(shown)
    file = file_of(program)
    with Store.open(file, keep=False) as store:
        garden = store.garden()
        assert garden.name == "Back garden"
        assert garden.means.sum_a_year == 120000
        assert [f.id for f in garden.features] == ["house"]
        assert store.revision == 0

    b = board_of(shown)
    b.put_in("hedge")
    b.gesture("drawn")
    b.click(1, 6)
    b.point(6, 6.02)
    shown.keyboard.type("7.35")
    b.keys("Enter", "Enter")
    b.gesture("resting")
    expect(b.button("Take back")).to_be_enabled()
    with Store.open(file, keep=False) as store:
        hedge = next(f for f in store.garden().features if f.id == "hedge-1")
        (x0, y0), (x1, y1) = hedge.line  # type: ignore[attr-defined]
        assert ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 == pytest.approx(7.35, abs=1e-3)

    b.put_in("gate")
    b.click(4, 6)
    b.gesture("resting")
    b.keys("Control+z")
    soon(lambda: things(file), ["house", "hedge-1"])
    b.keys("Control+z")
    expect(b.button("Take back")).to_be_disabled()
    assert things(file) == ["house"]

    program.kill()
    expect(shown.get_by_text("what you change now is not kept")).to_be_visible()
    again = page(program.start(file, warm=True))
    c = board_of(again)
    c.sheet.wait_for()
    expect(c.button("Do again")).to_be_enabled()
    c.button("Do again").click()
    c.button("Do again").click()
    expect(c.button("Do again")).to_be_disabled()
    with Store.open(file, keep=False) as store:
        assert sorted(f.id for f in store.garden().features) == ["gate-1", "hedge-1", "house"]
        assert store.whole()


def test_what_is_exported_comes_back_the_same(program: Program, page: Callable[..., Page]) -> None:
    shown = page(program.start())
    shown.get_by_role("button", name="Ropewalk Cottage").first.click()
    shown.get_by_role("application").wait_for()
    answer = shown.evaluate("() => fetch('/api/export').then(r => r.text())")
    assert read_garden(answer).name == "Ropewalk Cottage"
    head = "{'X-Quincunx': '1', 'content-type': 'application/json'}"
    sent = f"(text) => fetch('/api/import', {{method: 'POST', headers: {head}, body: text}}).then(r => r.text())"
    assert "error" not in json.loads(shown.evaluate(sent, answer))
    assert shown.evaluate("() => fetch('/api/export').then(r => r.text())") == answer


def test_the_table_is_judged_and_a_mark_says_why(program: Program, page: Callable[..., Page]) -> None:
    shown = page(program.start())
    shown.get_by_role("button", name="Ropewalk Cottage").first.click()
    fails = shown.get_by_role("button", name=re.compile("^2027: fails")).first
    fails.wait_for(timeout=60_000)
    fails.click()
    expect(shown.get_by_text("Drying green can also be reached from outside").first).to_be_visible()


def test_a_phone_can_open_a_garden_and_nothing_is_cut_off(program: Program, page: Callable[..., Page]) -> None:
    shown = page(program.start(), width=390, touch=True)
    shown.get_by_role("button", name="Kettle Hill").first.tap()
    shown.get_by_role("application").wait_for()
    wide = shown.evaluate("() => document.documentElement.scrollWidth")
    assert wide <= 390


@pytest.mark.parametrize("width", [1440, 390])
def test_a_new_garden_ends_with_its_plan_its_years_and_a_page_for_saturday(
    program: Program, page: Callable[..., Page], width: int
) -> None:
    """The page for Saturday is one touch away, and is what is seen of the papers then."""
    shown = page(program.start(), width=width)
    first_garden(shown)
    expect(shown.get_by_text("This is the plan so far.")).to_be_visible()
    expect(shown.get_by_label("Table of years")).to_contain_text(re.compile(r"20\d\d"))
    shown.get_by_role("button", name="A page for Saturday").click()
    expect(shown.get_by_role("heading", name="Papers")).to_be_visible()
    expect(shown.get_by_role("button", name="This Saturday")).to_have_attribute("aria-pressed", "true")
    expect(shown.get_by_role("button", name="A page for Saturday")).to_have_count(0)
    drawn = shown.get_by_role("img", name=re.compile("^This Saturday, page 1"))
    expect(drawn).to_be_in_viewport()
    alone = shown.get_by_role("link", name="Open this one alone to print").get_attribute("href") or ""
    assert "sheets=saturday&" in alone
    if width == 390:
        on_the_phone(shown, program)


PLAN = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="600"><rect width="300" height="600" fill="#eee"/>'
    '<path d="M50 500H250V100H50Z" stroke="black" stroke-width="4" fill="none"/></svg>'
)
"""A tall picture of a plan: a ground of 200 by 400 of its 300 by 600 points."""


def test_a_traced_plan_is_scaled_by_what_is_touched_on_the_picture(program: Program, page: Callable[..., Page]) -> None:
    """The picture is narrower than the margin it is shown in: only what lies on it counts."""
    shown = page(program.start())
    shown.get_by_role("button", name="Begin").click()
    shown.get_by_role("button", name="Next").click()
    shown.get_by_text("Touch its corners on the sheet").click()
    shown.get_by_text("Trace over a picture of a paper plan").click()
    shown.locator("input[type=file]").set_input_files(
        [FilePayload(name="plan.svg", mimeType="image/svg+xml", buffer=PLAN.encode())]
    )
    touched(shown, 0, (50, 500), (250, 500))
    shown.get_by_label("Between them").fill("10")
    shown.get_by_role("button", name="Scale it").click()
    touched(shown, 1, (50, 500), (250, 500), (250, 100), (50, 100))
    shown.get_by_role("button", name="Next").click()
    shown.get_by_label("There is a house").set_checked(False)
    for button in ("Next", "Later", "Later"):
        shown.get_by_role("button", name=button).click()
    with shown.expect_response("**/api/new") as new:
        shown.get_by_role("button", name="Draw the plan").click()
    assert new.value.ok
    # The picture came with the garden: a browser that is closed now loses nothing.
    with Store.open(file_of(program), keep=False) as store:
        boundary = [(float(p[0]), float(p[1])) for p in store.garden().boundary]
        traced = store.garden().underlay
        assert traced is not None
        assert store.picture(traced.picture) is not None
    sides = [math.dist(a, b) for a, b in zip(boundary, boundary[1:] + boundary[:1], strict=True)]
    assert sides == pytest.approx([10, 20, 10, 20], rel=0.02)
    place = laid(traced)
    assert not isinstance(place, str)
    first = place.ground(50 / 300 * traced.wide, 500 / 600 * traced.high)
    assert math.dist(first, boundary[0]) < 0.2  # it lies under the sheet where it was traced


STRIP = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="120" height="1200"><rect width="120" height="1200" fill="#eee"/>'
    '<path d="M20 1180H100V20H20Z" stroke="black" stroke-width="2" fill="none"/></svg>'
)


def test_a_strip_of_a_picture_is_scaled_on_a_phone_by_the_keys(program: Program, page: Callable[..., Page]) -> None:
    """It is shown as wide as the phone gives, and a cross goes to both points by the arrow keys."""
    shown = page(program.start(), width=390)
    shown.get_by_role("button", name="Begin").click()
    shown.get_by_role("button", name="Next").click()
    shown.get_by_text("Touch its corners on the sheet").click()
    shown.get_by_text("Trace over a picture of a paper plan").click()
    shown.locator("input[type=file]").set_input_files(
        [FilePayload(name="strip.svg", mimeType="image/svg+xml", buffer=STRIP.encode())]
    )
    picture = shown.get_by_role("button", name=re.compile("The picture: touch a point"))
    expect(picture).to_be_visible()
    box = picture.bounding_box()
    assert box is not None
    assert box["width"] >= 160
    picture.focus()
    for key in ("ArrowLeft", "Enter", *["ArrowDown"] * 20, "Enter"):
        shown.keyboard.press(key)
    expect(picture.locator("i")).to_have_count(2)
    shown.get_by_label("Between them").fill("10")
    shown.get_by_role("button", name="Scale it").click()
    expect(shown.locator(".fault").filter(has_text=re.compile(r"\w"))).to_have_count(0)
    touched_box = picture.locator("i").last.bounding_box()
    assert touched_box is not None
    assert touched_box["y"] < 844


def on_the_phone(shown: Page, program: Program) -> None:
    """The same Saturday outdoors: every side and line across is taped, and a misread one is told at once."""
    shown.goto(re.sub(r"/\?.*", "/outdoors/", program.address))
    shown.get_by_role("link", name=re.compile("Does the ground agree with the plan")).click()
    expect(shown.get_by_role("heading", name=re.compile(r"0 of \d+ taped"))).to_be_visible()
    count = shown.locator("form.tape").count()
    assert count >= 6
    box = shown.get_by_placeholder("it reads…").first
    box.fill("12.60")
    shown.get_by_role("button", name="Keep").first.click()
    expect(shown.get_by_text(re.compile(r"Read 12\.60: .* too long\. Tape it once more"))).to_be_visible()
    for _ in range(count - 1):
        shown.get_by_role("button", name="It does").first.click()
    expect(shown.get_by_role("heading", name=f"{count} of {count} taped")).to_be_visible()
    expect(shown.get_by_role("link", name=re.compile("not handed back"))).to_have_count(0, timeout=30_000)
    with Store.open(file_of(program), keep=False) as store:
        assert sum(r.type == "distance" for r in store.garden().survey.readings) == count


def touched(shown: Page, which: int, *points: tuple[float, float]) -> None:
    """Touch points of the picture, as it is shown in the margin or under the sheet."""
    picture = shown.locator("img").nth(which)
    expect(picture).to_be_visible()
    shown.wait_for_timeout(150)
    box = picture.bounding_box()
    assert box is not None
    for x, y in points:
        shown.mouse.click(box["x"] + x / 300 * box["width"], box["y"] + y / 600 * box["height"])


def test_a_new_garden_from_a_surveyors_list_of_corners(program: Program, page: Callable[..., Page]) -> None:
    shown = page(program.start())
    shown.get_by_role("button", name="Begin").click()
    shown.get_by_role("button", name="Next").click()
    shown.get_by_label("Surveyed: a file of its corners").check()
    crossed = b"A;100,0;200,0\nC;118,0;246,0\nB;118,0;200,0\nD;100,0;246,0\n"
    shown.get_by_label("The file").set_input_files(FilePayload(name="corners.csv", mimeType="text/csv", buffer=crossed))
    expect(
        shown.get_by_role("alert").filter(has_text="The side from A to C crosses the side from B to D")
    ).to_be_visible()
    shown.get_by_role("button", name="Next").click()
    expect(shown.get_by_role("alert").filter(has_text="mend what is said of it")).to_be_visible()
    order = shown.get_by_label("Only these, in this order")
    order.fill("A B C D")
    order.press("Tab")
    expect(shown.get_by_text("828 m²")).to_be_visible()
    shown.get_by_label("first number north, second east").check()
    expect(shown.get_by_text("828 m²")).to_be_visible()
    shown.get_by_label("first number east, second north").check()
    shown.get_by_role("button", name="Next").click()
    for heading in ("The house", "One thing wanted", "One must"):
        shown.get_by_role("heading", name=heading).wait_for()
        shown.get_by_role("button", name="Later").click()
    shown.get_by_role("button", name="Draw the plan").click()
    shown.get_by_role("application").wait_for()
    with Store.open(file_of(program), keep=False) as store:
        garden = store.garden()
    assert [(float(x), float(y)) for x, y in garden.boundary] == [(0, 0), (18, 0), (18, 46), (0, 46)]
    assert garden.site.datum.numbers == (100.0, 200.0)
