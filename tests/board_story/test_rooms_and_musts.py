"""From an empty ground to rooms, a must over the years and a change of mind, all on the board, all kept in the file."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import APIResponse, Page, Route, expect

from quincunx.garden import Garden
from quincunx.store import Store
from tests.board_story.conftest import Program, soon
from tests.board_story.test_first_ten_minutes import file_of, first_garden
from tests.board_ui.board_page import BoardPage

Open = Callable[..., Page]
BoardOf = Callable[[Page], BoardPage]


def kept(program: Program) -> Garden:
    with Store.open(file_of(program), keep=False) as store:
        return store.garden()


def named(b: BoardPage, begin: str, name: str, at: tuple[float, float]) -> None:
    """Name a room or mark a spot by touching the sheet."""
    b.button(f"{begin}…").click()
    field = b.page.get_by_role("textbox", name=f"Name of the {begin.rsplit(maxsplit=1)[-1]}")
    field.fill(name)
    b.button("Touch the sheet", exact=True).click()
    b.gesture("pick")
    b.click(*at)
    b.gesture("resting")
    expect(field).to_have_count(0)
    expect(b.button(name, exact=True).first).to_be_visible()


def judged(page: Page, must: str) -> list[str]:
    """Wait until every year is judged and return a must's states by year."""
    for _ in range(180):
        table = page.evaluate("() => fetch('/api/table').then(r => r.json())")
        if not table["stale"]:
            row = next(m for m in table["musts"] if m["id"] == must)
            return [v["state"] for v in row["verdicts"]]
        page.wait_for_timeout(500)
    raise AssertionError("the years are not judged after a minute and a half")


def stepped(b: BoardPage, button: str) -> None:
    """Take one step back or again, and wait until the page shows the garden after it."""
    b.button(button).click()
    shown = "() => document.querySelector('.notices')?.textContent ?? ''"
    said = {"Take back": "Taken back", "Do again": "Done again"}[button]
    before = b.page.evaluate(shown)
    b.page.wait_for_function(
        f"(was) => {{ const now = ({shown})(); return now !== was && now.includes('{said}') }}", arg=before
    )


def hedge(b: BoardPage, y: float, *lengths: str) -> None:
    b.put_in("hedge")
    b.gesture("drawn")
    b.click(0.0, y)
    b.point(6, y)
    for length in lengths:
        b.page.keyboard.type(length)
        b.keys("Enter")
    b.keys("Enter")
    b.gesture("resting")


def test_rooms_a_gate_the_only_way_in_over_the_years_and_all_taken_back(
    program: Program, page: Open, board_of: BoardOf
) -> None:
    """A wall round three sides and a hedge across the fourth make a room; a gate in the hedge is the only way in."""
    shown = page(program.start())
    first_garden(shown)
    b = board_of(shown)
    b.put_in("wall")
    b.gesture("drawn")
    b.click(0, 7)
    for side in ("7<180", "12<90", "7<0"):
        shown.keyboard.type(side)
        b.keys("Enter")
    b.keys("Enter")
    b.gesture("resting")
    hedge(b, 7.0, "12<90")
    b.put_in("gate")
    b.gesture("placed")
    b.click(4, 7)
    b.gesture("resting")
    b.button("What is there").click()
    named(b, "Name a room", "Back green", (9, 4))
    named(b, "Mark a spot", "Kitchen door", (2.5, 12.5))
    garden = kept(program)
    assert [(r.id, r.name, r.closed) for r in garden.rooms] == [("back-green", "Back green", True)]
    assert [(s.id, s.name) for s in garden.spots] == [("kitchen-door", "Kitchen door")]
    assert garden.rooms[0].inside == pytest.approx((9, 4), abs=0.2)

    b.button("+ a must").click()
    b.button("The only way into").click()
    shown.get_by_label("Room", exact=True).select_option("Back green")
    b.button("Touch the sheet for: Gate or opening").click()
    b.gesture("pick")
    b.click(4, 7)
    b.gesture("resting")
    b.button("Add it").click()
    expect(b.button("Add it")).to_have_count(0)
    must = next(i for i in kept(program).intents if i.id == "only-way-in")
    assert {must.model_dump()[n] for n in ("room", "gate")} == {"back-green", "gate-1"}
    states = judged(shown, "only-way-in")
    assert states[0] == "fails"  # a young hedge is stepped over
    assert states[-1] == "holds"
    young = shown.get_by_role("button", name=re.compile(r"^20\d\d: fails"))
    expect(young.first).to_be_visible()
    young.first.click()
    expect(shown.get_by_text(re.compile("Back green")).first).to_be_visible()

    b.button("Change the must “The only way into").click()
    shown.get_by_label("In your own words").fill("Nobody walks in on us")
    b.keys("Enter")
    expect(shown.get_by_text("Nobody walks in on us").first).to_be_visible()
    assert next(i for i in kept(program).intents if i.id == "only-way-in").name == "Nobody walks in on us"

    for _ in range(7):
        stepped(b, "Take back")
    expect(b.button("Take back")).to_be_disabled()
    assert [f.id for f in kept(program).features] == ["house"]
    assert kept(program).rooms == ()

    file = file_of(program)
    program.kill()
    again = page(program.start(file))
    c = board_of(again)
    c.sheet.wait_for()
    for _ in range(7):
        stepped(c, "Do again")
    expect(c.button("Do again")).to_be_disabled()
    garden = kept(program)
    assert sorted(f.id for f in garden.features) == ["gate-1", "hedge-1", "house", "wall-1"]
    assert [r.id for r in garden.rooms] == ["back-green"]
    assert "only-way-in" in [i.id for i in garden.intents]


def test_a_room_is_opened_renamed_moved_and_taken_out(program: Program, page: Open, board_of: BoardOf) -> None:
    shown = page(program.start())
    first_garden(shown)
    b = board_of(shown)
    b.button("What is there").click()
    named(b, "Name a room", "Lower garden", (6, 3))
    b.button("Lower garden", exact=True).click()
    shown.get_by_label("Closed all round").set_checked(False)
    shown.get_by_label("Name", exact=True).fill("Orchard")
    shown.get_by_label("Name", exact=True).press("Enter")
    expect(b.button("Orchard", exact=True)).to_be_visible()
    b.button("Move it").click()
    b.gesture("pick")
    b.click(8, 5)
    b.gesture("resting")
    soon(
        lambda: [(r.id, r.name, r.closed, r.inside) for r in kept(program).rooms],
        [("lower-garden", "Orchard", False, pytest.approx((8, 5), abs=0.2))],
    )
    shown.get_by_label("Rooms").get_by_role("button", name="Take out").click()
    expect(shown.get_by_label("Rooms").get_by_text("None yet.")).to_be_visible()
    assert kept(program).rooms == ()


def test_what_is_changed_before_the_page_knows_of_the_change_before_is_no_clash(
    program: Program, page: Open, board_of: BoardOf
) -> None:
    """Moved and taken out at once: the page is told of the move only later, yet both edits are this window's own."""
    shown = page(program.start())
    first_garden(shown)
    b = board_of(shown)
    b.button("What is there").click()
    named(b, "Name a room", "Orchard", (6, 3))
    b.button("Orchard", exact=True).click()
    held: list[tuple[Route, APIResponse]] = []
    shown.route("**/api/garden", lambda route: held.append((route, route.fetch())))
    b.button("Move it").click()
    b.gesture("pick")
    b.click(8, 5)
    b.gesture("resting")
    soon(lambda: [r.inside for r in kept(program).rooms], [pytest.approx((8, 5), abs=0.2)])
    shown.get_by_label("Rooms").get_by_role("button", name="Take out").click()
    soon(lambda: kept(program).rooms, ())
    for route, answer in reversed(held):  # the answers overtake each other
        route.fulfill(response=answer)
    shown.unroute("**/api/garden")
    expect(shown.get_by_label("Rooms").get_by_text("None yet.")).to_be_visible()


def test_a_room_needs_a_name_before_it_is_touched(program: Program, page: Open, board_of: BoardOf) -> None:
    shown = page(program.start())
    first_garden(shown)
    b = board_of(shown)
    b.button("What is there").click()
    b.button("Name a room…").click()
    b.button("Touch the sheet", exact=True).click()
    expect(shown.get_by_text("Give the room a name first.")).to_be_visible()
    assert kept(program).rooms == ()


@pytest.mark.parametrize("width", [1440, 390])
def test_what_is_given_is_changed_by_its_form(program: Program, page: Open, board_of: BoardOf, width: int) -> None:
    """The yearly sum, the hours of a month, the soil: each is one edit; a wrong number stays with its sentence."""
    shown = page(program.start(), width=width)
    first_garden(shown)
    b = board_of(shown)
    b.button("Given", exact=True).click()
    shown.get_by_label(re.compile("^Sum a year")).fill("1850")
    shown.get_by_label(re.compile("^Sum a year")).press("Enter")
    hours = shown.get_by_role("group", name=re.compile("^Hours there are in each month"))
    hours.get_by_label("May", exact=True).fill("22.5")
    hours.get_by_label("May", exact=True).press("Enter")
    soon(lambda: (kept(program).means.sum_a_year, kept(program).means.hours_by_month[4]), (185000, 22.5))
    hours.get_by_label("Jun", exact=True).fill("many")
    hours.get_by_label("Jun", exact=True).press("Enter")
    expect(hours.get_by_role("alert")).to_be_visible()
    assert kept(program).means.hours_by_month[4:6] == (22.5, 8)
    shown.get_by_text("The place", exact=True).click()
    shown.get_by_text(re.compile("^soil: ", re.IGNORECASE)).click()
    shown.get_by_label("acidity (pH)").fill("6.4")
    shown.get_by_label("acidity (pH)").press("Enter")
    b.button("Keep").first.click()
    soon(lambda: kept(program).site.soil.ph, 6.4)
    assert shown.evaluate("() => document.documentElement.scrollWidth") <= width
