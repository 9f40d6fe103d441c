"""What someone does at the board, from the start page to taking it all back."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot

import pytest
from playwright.sync_api import expect

from tests.board_ui.board_page import BoardPage

Open = Callable[..., BoardPage]


def test_a_hedge_by_a_typed_length_a_gate_in_it_and_all_taken_back(board: Open) -> None:
    """The whole way: demo garden, hedge, gate, verdicts, undo, redo."""
    b = board(demo="")
    b.button("Ropewalk Cottage A long plot").click()
    b.sheet.wait_for()
    b.put_in("hedge")
    b.gesture("drawn")
    b.click(2, 27.5)
    b.point(5, 27.55)
    b.page.keyboard.type("4.25")
    b.keys("Enter", "Enter")
    hedge = b.wait_stored("hedge-1")
    (x0, y0), (x1, y1) = hedge["line"]
    assert hypot(x1 - x0, y1 - y0) == pytest.approx(4.25, abs=1e-3)
    assert y0 == y1
    b.gesture("resting")

    b.put_in("gate")
    b.point(3.9, 27.7)
    b.page.keyboard.type("@1.5")
    b.keys("Enter")
    gate = b.wait_stored("gate-1")
    assert gate["at"] == pytest.approx([x0 + 1.5, y0], abs=2e-3)
    assert gate["along_deg"] == pytest.approx(90)

    b.keys("Control+z")
    b.page.wait_for_function("() => !window.mockServer.garden.features.some(f => f.id === 'gate-1')")
    b.keys("Control+z")
    b.page.wait_for_function("() => !window.mockServer.garden.features.some(f => f.id === 'hedge-1')")
    expect(b.button("Take back")).to_be_disabled()
    b.keys("Control+y")
    b.wait_stored("hedge-1")


def test_feet_and_inches_in_the_middle_of_a_gesture(board: Open) -> None:
    """12' 6" is 3.81 m exactly (1 in = 25.4 mm, international yard and pound agreement, 1959)."""
    b = board()
    b.put_in("wall")
    b.click(3, 27.6)
    b.page.keyboard.type("12' 6\"<90")
    b.keys("Enter")
    b.page.keyboard.type("2<+90")
    b.keys("Enter", "Enter")
    line = b.wait_stored("wall-1")["line"]
    assert line[1][0] - line[0][0] == pytest.approx(3.81, abs=1e-3)
    assert line[2][1] - line[1][1] == pytest.approx(-2, abs=1e-3)


def test_a_drag_judges_the_musts_before_it_ends(board: Open) -> None:
    """Pulling the hedge to the terrace closes the leak in every year, while the pointer is still down."""
    b = board()
    expect(b.mark(2030, "fails, 0.50 m")).to_be_visible()
    b.click(10.1, 34)
    b.point(10.1, 36.2)
    b.page.mouse.down()
    b.page.mouse.move(*b.at(10.1, 36.6), steps=5)
    expect(b.mark(2030, "holds, 0.90 m")).to_be_visible()
    assert b.page.evaluate("() => window.mockServer.revision") == 1
    b.page.mouse.up()
    b.page.wait_for_function("() => window.mockServer.revision === 2")
    expect(b.mark(2030, "holds, 0.90 m")).to_be_visible()


def test_escape_leaves_everything_as_it_was(board: Open) -> None:
    """A drag cancelled half-way changes nothing."""
    b = board()
    b.click(10.1, 34)
    b.point(10.1, 36.2)
    b.page.mouse.down()
    b.page.mouse.move(*b.at(12, 38), steps=4)
    b.gesture("pull")
    b.keys("Escape")
    b.gesture("resting")
    b.page.mouse.up()
    expect(b.mark(2030, "fails, 0.50 m")).to_be_visible()
    assert b.page.evaluate("() => window.mockServer.revision") == 1


def test_what_stands_already_asks_before_it_moves(board: Open) -> None:
    """The old damson stays unless the person says so."""
    b = board()
    b.click(4.2, 24.5)
    expect(b.page.get_by_role("heading", name="Old damson")).to_be_visible()
    b.drag((4.2, 24.5), (6, 22))
    expect(b.page.get_by_role("dialog")).to_contain_text("stands already")
    b.button("Leave it", exact=True).click()
    tree = b.stored("old-damson")
    assert tree is not None
    assert tree["at"] == [4.2, 23.4]
    b.drag((4.2, 24.5), (6, 22))
    b.button("Change the drawing").click()
    b.page.wait_for_function("() => window.mockServer.garden.features.find(f => f.id === 'old-damson').at[0] !== 4.2")
    b.page.get_by_text("More about it").click()
    name = b.page.get_by_label("Name", exact=True)
    name.fill("Grandmother's damson")
    name.press("Tab")  # a name changes nothing that is drawn: nothing is asked
    b.page.wait_for_function("() => window.mockServer.garden.features.find(f => f.id === 'old-damson').name[0] === 'G'")
    height = b.page.get_by_label("Height when planted", exact=True)
    height.fill("5")
    height.press("Tab")
    b.button("Change the drawing").click()
    b.page.wait_for_function(
        "() => JSON.stringify(window.mockServer.garden.features.find(f => f.id === 'old-damson').start_height ?? '').includes('5')"
    )
    height.fill("6")
    height.press("Tab")  # whoever describes it has said so already
    b.page.wait_for_function(
        "() => JSON.stringify(window.mockServer.garden.features.find(f => f.id === 'old-damson').start_height ?? '').includes('6')"
    )
    expect(b.page.get_by_role("dialog")).to_have_count(0)


def test_a_mark_shows_its_evidence_and_how_it_is_known(board: Open) -> None:
    """Touching a mark turns the sheet to its year and says why."""
    b = board()
    b.mark(2029, "fails, 7.6 m").click()
    expect(b.page.get_by_role("heading", name="2029: fails, 7.6 m")).to_be_visible()
    expect(b.page.get_by_text("Roe walk in from the stream").first).to_be_visible()
    expect(b.page.get_by_role("columnheader", name="2029").get_by_role("button", name="2029:")).to_have_attribute(
        "aria-pressed", "true"
    )
    b.page.get_by_text("How do we know?", exact=True).click()
    expect(b.page.get_by_text("Judged on 31 August")).to_be_visible()


def test_evidence_goes_along_with_the_year_that_is_shown(board: Open) -> None:
    """Another year's head shows that year's evidence, and what is put in then leaves the sheet in that year."""
    b = board()
    b.mark(2029, "fails, 7.6 m").click()
    head = b.page.get_by_role("columnheader", name="2031").get_by_role("button", name="2031:")
    head.click()
    expect(b.page.get_by_role("heading", name="2031: ")).to_be_visible()
    expect(b.page.get_by_role("heading", name="2029: ")).to_have_count(0)
    b.put_in("tree")
    b.gesture("placed")
    b.click(9, 20)
    b.wait_stored("tree-1")
    expect(b.sheet).to_have_attribute("aria-label", "The drawing of Ropewalk Cottage in 2031")
    expect(head).to_have_attribute("aria-pressed", "true")


def test_a_year_opens_into_its_months(board: Open) -> None:
    """The months show hours and works; one of them shows the sheet in it."""
    b = board()
    b.button("Months of 2029").click()
    group = b.page.get_by_role("group", name="2029, month by month")
    jobs = b.page.get_by_role("list", name="Jobs of 2029")
    expect(jobs.get_by_text("Fence the hen run").first).to_be_visible()
    group.get_by_role("button", name="May 2029").click()
    expect(b.page.get_by_label("Month shown")).to_have_value("5")


def test_a_finding_leads_to_its_place(board: Open) -> None:
    """Show where chooses what it is about, in its year."""
    b = board()
    b.button("Show where: Two hazels will touch").click()
    expect(b.page.get_by_role("heading", name="2 things")).to_be_visible()
    expect(b.sheet).to_have_attribute("aria-label", "The drawing of Ropewalk Cottage in 2032")


def test_a_must_is_a_sentence_filled_in_by_touching_the_sheet(board: Open) -> None:
    """Blanks are filled by choosing or by touching; the new must stands in the table."""
    b = board()
    b.button("+ a must").click()
    b.button("The only way for").click()
    expect(b.button("Add it")).to_be_disabled()
    b.page.get_by_label("Room", exact=True).select_option("Kitchen garden")
    b.button("Touch the sheet for: Opening").click()
    b.gesture("pick")
    b.click(9.9, 24)
    b.gesture("resting")
    b.button("Add it").click()
    kept = b.page.wait_for_function("() => window.mockServer.garden.intents.find(i => i.id === 'only-way')")
    assert kept.json_value() | {"walker": "person", "room": "kitchen", "opening": "kitchen-gate"} == kept.json_value()


def test_a_must_is_muted_and_moved(board: Open) -> None:
    """Muting and ordering are edits like any other."""
    b = board()
    b.button("Change the must “From the seat I see the stream”").click()
    b.button("Mute it").click()
    b.page.wait_for_function("() => window.mockServer.garden.intents[1].muted === true")
    b.button("Change the must “From the seat I see the stream”").click()
    b.button("Up").click()
    b.page.wait_for_function("() => window.mockServer.garden.intents[0].id === 'bench-water'")


def test_a_form_takes_typed_sizes_and_refuses_what_could_be_two_things(board: Open) -> None:
    """Forms come from the fields; 1,234 with a point as decimal mark is refused with both readings."""
    b = board()
    b.click(10.1, 34)
    box = b.page.get_by_label("Clipped to a height of")
    box.fill("1,234")
    box.press("Enter")
    expect(b.page.get_by_text("is it 1.234, or 1234?")).to_be_visible()
    box.fill("9")
    box.press("Enter")
    expect(b.page.get_by_text("At most 6.00 m.")).to_be_visible()
    box.fill("2.1")
    box.press("Enter")
    b.page.wait_for_function(
        "() => String(window.mockServer.garden.features.find(f => f.id === 'green-hedge').clip_height) === '2.1'"
    )


def test_several_things_are_lined_up_and_spread(board: Open) -> None:
    """Shift chooses more; spreading is one edit."""
    b = board()
    b.button("2032: ").first.click()
    for i, (x, y) in enumerate([(2.6, 13), (6, 13), (4.3, 9.6)]):
        b.click(x, y) if i == 0 else b.page.keyboard.down("Shift")
        if i:
            b.click(x, y)
            b.page.keyboard.up("Shift")
    expect(b.page.get_by_role("heading", name="3 things")).to_be_visible()
    b.page.get_by_label("Line up with the first chosen").select_option("south sides")
    b.page.wait_for_function("() => window.mockServer.revision === 2")
    ys = [b.stored(f"hazel-{i}")["at"][1] for i in (1, 2, 3)]  # type: ignore[index]
    assert max(ys) - min(ys) < 2e-3
    b.keys("Control+z")
    b.page.wait_for_function("() => window.mockServer.garden.features.find(f => f.id === 'hazel-3').at[1] === 9.6")


def test_a_wall_is_split_at_a_typed_distance_and_joined_again(board: Open) -> None:
    """Split and join give the same line back."""
    b = board()
    b.click(14, 27.2)
    b.button("Split").click()
    b.page.keyboard.type("2.5")
    b.keys("Enter")
    b.button("Change the drawing").click()
    assert b.wait_stored("wall-1")["line"] == [[12.4, 27.2], [17.6, 27.2]]
    b.button("Join").click()
    b.page.wait_for_function("() => !window.mockServer.garden.features.some(f => f.id === 'wall-1')")
    joined = b.stored("kitchen-wall-north")
    assert joined is not None
    assert joined["line"] == [[9.9, 27.2], [17.6, 27.2]]


def test_the_tape_measures(board: Open) -> None:
    """Between two corners of the boundary: 18 m."""
    b = board()
    b.button("Tape").click()
    b.click(0, 46)
    b.point(18, 46)
    expect(b.page.get_by_text("18.00 m, 90° east")).to_be_visible()
    b.keys("Escape")


def test_a_question_over_the_sheet(board: Open) -> None:
    """Feet: a legend, the leak, and the value under the pointer."""
    b = board()
    b.button("Feet").click()
    key = b.page.get_by_role("region", name="Key to the question")
    expect(key).to_contain_text("Kitchen garden")
    expect(key.get_by_role("button", name="leaks here, 0.50 m")).to_be_visible()
    b.point(14, 31)
    expect(key).to_contain_text("Drying green: 14 m")
    b.page.get_by_label("Who walks").select_option("a wheelchair")
    b.button("Feet").click()
    expect(key).to_be_hidden()


def test_a_question_with_a_field_is_rough_first_and_read_under_the_pointer(board: Open) -> None:
    """Sun: the finer answer follows the rough one by itself; the page reads the field."""
    b = board()
    b.button("Sun").click()
    key = b.page.get_by_role("region", name="Key to the question")
    expect(key).to_contain_text("6 h and more")
    expect(key.get_by_text("Rough at first")).to_have_count(0)
    b.point(4.5, 0.4)
    expect(key).to_contain_text("12.0 h: 6 h and more")


def test_an_hour_is_turned_by_keys(board: Open) -> None:
    """The dial goes by ten minutes and by hours, and stops at its ends; the answer follows."""
    b = board()
    b.button("Sun").click()
    key = b.page.get_by_role("region", name="Key to the question")
    b.button("Shadows").click()
    dial = key.get_by_role("slider", name="Hour")
    dial.focus()
    b.keys("ArrowRight", "ArrowRight", "PageUp")
    expect(dial).to_have_attribute("aria-valuetext", "16:20")
    expect(key).to_contain_text("Shadows at 16.33")
    b.keys("End")
    expect(dial).to_have_attribute("aria-valuetext", "21:00")
    box = dial.bounding_box()
    assert box is not None
    b.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + 12)
    expect(dial).to_have_attribute("aria-valuetext", "13:00")


def test_a_seat_is_chosen_or_touched_and_its_table_leads_on(board: Open) -> None:
    """A place of the list or any point; a typed number; a row of the table gives inputs; charts have words."""
    b = board()
    b.button("Sun").click()
    b.button("A seat").click()
    key = b.page.get_by_role("region", name="Key to the question")
    expect(key.get_by_label("Which seat")).to_have_value("long-seat")
    key.get_by_role("button", name="Look at the terrace seat").click()
    expect(key.get_by_label("Which seat")).to_have_value("terrace-seat")
    key.get_by_role("button", name="Touch the sheet instead").click()
    b.gesture("pick")
    b.click(4, 34.5)
    expect(key.get_by_label("Which seat")).not_to_have_value("terrace-seat")
    assert "," in key.get_by_label("Which seat").input_value()
    key.get_by_label("Height of the eye").fill("150 cm")
    b.keys("Enter")
    expect(key.get_by_label("Height of the eye")).to_have_value("1.50 m")
    b.page.get_by_role("table").get_by_role("button", name="slats").click()
    expect(key.get_by_label("Height of the eye")).to_have_value("1.30 m")
    expect(b.page.get_by_role("img", name="Sun at the seat by hour and month")).to_be_visible()


def test_versions_are_named_and_returned_to(board: Open) -> None:
    """A named version is an edit away."""
    b = board()
    b.button("Past").click()
    b.page.get_by_label("Name for how it is now").fill("Before the hedge")
    b.button("Keep").click()
    b.put_in("tree")
    b.click(6, 20)
    b.wait_stored("tree-1")
    b.button("Go back to it: Before the hedge").click()
    b.page.get_by_role("dialog").get_by_role("button", name="Go back to it").click()
    b.page.wait_for_function("() => !window.mockServer.garden.features.some(f => f.id === 'tree-1')")


def test_the_first_ten_minutes(board: Open) -> None:
    """Six steps; sides that can't meet are said at once; then the plan."""
    b = board(demo="")
    page = b.page
    b.button("Begin").click()
    page.get_by_label("Name of the garden").fill("Alder Bank")
    page.get_by_label("Nearest town").fill("Nowhere")
    expect(page.get_by_text("No town called “Nowhere” is in the list")).to_be_visible()
    page.get_by_label("Nearest town").fill("heref")
    b.button("Hereford").click()
    b.button("Next").click()
    b.button("Next").click()
    expect(page.get_by_role("alert")).to_contain_text("Write the four sides")
    for name, size in (
        ("First side", "18"),
        ("Second side", "46.2"),
        ("Third side", "18.4"),
        ("Fourth side", "45.9"),
        ("Diagonal", "94.5"),
    ):
        page.get_by_role("textbox", name=name).fill(size)
    expect(page.get_by_text("first and second sides can’t meet")).to_be_visible()
    page.get_by_role("textbox", name="Diagonal").fill("49.5")
    b.button("Next").click()
    page.get_by_label("Length along").fill("10")
    page.get_by_label("Depth").fill("6")
    b.button("Next").click()
    b.button("seat", exact=True).click()
    b.button("Next").click()
    page.get_by_label("Never more than … a year").check()
    b.button("Next").click()
    page.get_by_label("To spend each year").fill("2400")
    b.button("Draw the plan").click()
    b.sheet.wait_for()
    expect(b.button("Alder Bank")).to_be_visible()


def test_jobs_and_papers(board: Open) -> None:
    """A job's sum is typed; sheets are listed, looked at and chosen for printing."""
    b = board()
    b.button("Jobs").click()
    first = b.page.get_by_role("listitem").filter(has=b.page.get_by_role("textbox", name="Money")).first
    first.get_by_role("textbox", name="Money").fill("80")
    first.get_by_role("textbox", name="Money").press("Enter")
    b.page.wait_for_function("() => window.mockServer.garden.jobs.some(j => j.costs[0].sum === 8000)")
    first.get_by_label("What has to get there").select_option(label="a barrow")
    b.page.wait_for_function(
        "() => window.mockServer.garden.jobs.some(j => j.costs[0].sum === 8000 && j.reach === 'barrow')"
    )
    b.button("Papers").click()
    expect(b.button("Saturday page")).to_be_visible()
    expect(b.page.get_by_role("img", name="Saturday page, page 1, as it will be printed")).to_be_visible()
    b.button("Next page").click()
    expect(b.page.get_by_role("img", name="Saturday page, page 2, as it will be printed")).to_be_visible()
    b.page.get_by_label("Print: Table of years").uncheck()
    link = b.page.get_by_role("link", name="Open to print (2 sheets)")
    expect(link).to_have_attribute("href", "/api/papers/plan.pdf?sheets=saturday%2Cplan&paper=A4")
