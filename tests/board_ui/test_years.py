"""The years month by month: a job moved by pointer, keys and finger, pinned, and the best order taken."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Locator, expect

from tests.board_ui.board_page import BoardPage

Open = Callable[..., BoardPage]
MONTHS = 72


def years(b: BoardPage) -> BoardPage:
    b.button("Years", exact=True).click()
    b.page.locator("button.bar").first.wait_for()
    return b


def bar(b: BoardPage, name: str) -> Locator:
    return b.page.locator("button.bar", has_text=name)


def column(b: BoardPage) -> float:
    box = b.page.locator("ul.rows li").first.bounding_box()
    assert box is not None
    return box["width"] / MONTHS


def stored(b: BoardPage, job: str) -> dict[str, Any]:
    found: dict[str, Any] = b.page.evaluate("id => window.mockServer.garden.jobs.find(j => j.id === id)", job)
    return found


def wait_start(b: BoardPage, job: str, month: str) -> None:
    b.page.wait_for_function(
        "([id, m]) => window.mockServer.garden.jobs.find(j => j.id === id).start === m", arg=[job, month]
    )


def test_a_job_is_drawn_to_another_month_and_what_it_does_is_said_before_it_is_let_go(board: Open) -> None:
    b = years(board())
    box = bar(b, "Raise the greenhouse").bounding_box()
    assert box is not None
    x, y = box["x"] + 4, box["y"] + 6
    b.page.mouse.move(x, y)
    b.page.mouse.down()
    b.page.mouse.move(x - 10, y, steps=3)
    b.page.mouse.move(x - 12 * column(b), y, steps=6)
    note = b.page.get_by_label("What it would do")
    expect(note).to_contain_text("March 2029, 12 months earlier")
    expect(note).to_contain_text("in 100 more use")
    assert stored(b, "greenhouse-job")["start"] == "2030-03"
    b.page.mouse.up()
    wait_start(b, "greenhouse-job", "2029-03")
    b.keys("Control+z")
    wait_start(b, "greenhouse-job", "2030-03")


def test_escape_in_the_middle_leaves_the_job_where_it_was(board: Open) -> None:
    b = years(board())
    box = bar(b, "Hang the side gate").bounding_box()
    assert box is not None
    b.page.mouse.move(box["x"] + 4, box["y"] + 6)
    b.page.mouse.down()
    b.page.mouse.move(box["x"] + 90, box["y"] + 6, steps=4)
    b.page.get_by_label("What it would do").wait_for()
    b.keys("Escape")
    b.page.mouse.up()
    expect(b.page.get_by_label("What it would do")).to_have_count(0)
    assert b.page.evaluate("() => window.mockServer.revision") == 1


def test_the_whole_move_by_keys(board: Open) -> None:
    b = years(board())
    bar(b, "Dig the pond court").focus()
    b.keys(" ", "ArrowRight", "PageUp", "ArrowLeft", "ArrowLeft")
    expect(b.page.get_by_label("What it would do")).to_contain_text("March 2030, 13 months earlier")
    b.keys(" ")
    wait_start(b, "pond", "2030-03")
    # The bars stand in another order now.
    expect(b.button("Dig the pond court: March 2030", pressed=False)).to_be_focused()
    b.keys("ArrowUp")
    expect(bar(b, "Raise the greenhouse")).to_be_focused()
    b.keys(" ", "ArrowLeft", "Escape")
    assert stored(b, "greenhouse-job")["start"] == "2030-03"
    expect(b.page.get_by_label("The job chosen")).to_contain_text("Raise the greenhouse")
    b.keys("Enter")
    expect(b.page.get_by_label("The job chosen")).to_have_count(0)


def test_a_finger_draws_a_job_too(board: Open) -> None:
    b = years(board(width=390, touch=True))
    mark = bar(b, "Hang the side gate")
    mark.scroll_into_view_if_needed()
    box = mark.bounding_box()
    assert box is not None
    x, y = box["x"] + 10, box["y"] + 8
    step = column(b)
    session = b.page.context.new_cdp_session(b.page)
    session.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for part in range(1, 6):
        session.send(
            "Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x + part * step / 2.5, "y": y}]}
        )
    expect(b.page.get_by_label("What it would do")).to_contain_text("June 2028, 2 months later")
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    wait_start(b, "hang-gate", "2028-06")


def test_pinned_unpinned_taken_out_and_put_in_again(board: Open) -> None:
    b = years(board())
    bar(b, "Fence the hen run").click()
    note = b.page.get_by_label("The job chosen")
    note.get_by_role("button", name="Pin it here").click()
    b.page.wait_for_function("() => window.mockServer.garden.jobs.find(j => j.id === 'hen-run').booked === true")
    note.get_by_role("button", name="Unpin").click()
    b.page.wait_for_function("() => window.mockServer.garden.jobs.find(j => j.id === 'hen-run').booked === false")
    note.get_by_role("button", name="Take out of the plan").click()
    b.page.get_by_role("heading", name="Not in the plan").wait_for()
    note.get_by_role("button", name="What would let it in?").click()
    expect(note).to_contain_text("would do.")
    bar(b, "Fence the hen run").focus()
    b.keys(" ", "ArrowRight", " ")
    b.page.wait_for_function("() => window.mockServer.garden.jobs.find(j => j.id === 'hen-run').start !== null")


def test_the_best_order_is_shown_beside_and_taken(board: Open) -> None:
    b = years(board())
    expect(b.page.get_by_text("Nobody has looked yet")).to_be_visible()
    b.button("Ask for the best order").click()
    expect(b.page.get_by_text("Nothing better exists.")).to_be_visible()
    expect(b.page.locator("i.beside")).to_have_count(1)
    b.button("Take this order").click()
    wait_start(b, "pond", "2030-05")
    expect(b.page.locator("i.beside")).to_have_count(0)


def test_what_happened_is_written_down_and_the_rest_planned_again(board: Open) -> None:
    b = years(board())
    b.button("As it went").click()
    form = b.page.get_by_label("Write down what happened")
    form.get_by_label("About").select_option("dig-beds")
    form.get_by_label("Day").fill("2027-04-20")
    form.get_by_role("textbox", name="Spent").fill("195.50")
    form.get_by_role("textbox", name="Hours").fill("31")
    form.get_by_role("button", name="Write it down").click()
    b.page.wait_for_function("() => window.mockServer.garden.journal?.length === 1")
    entry = b.page.evaluate("() => window.mockServer.garden.journal[0]")
    assert entry == {
        "id": "entry-1",
        "day": "2027-04-20",
        "what": "done",
        "about": "dig-beds",
        "sum": 19550,
        "hours": 31,
    }
    expect(b.page.get_by_role("listitem").filter(has_text="20 April 2027")).to_contain_text("€195.50 spent; 31 h")
    form.get_by_label("What happened").select_option("was picked")
    form.get_by_label("Picked", exact=True).fill("2.5")
    form.get_by_role("button", name="Write it down").click()
    b.page.wait_for_function("() => window.mockServer.garden.journal?.length === 2")
    entry = b.page.evaluate("() => window.mockServer.garden.journal[1]")
    assert (entry["what"], entry["amount"], entry["unit"], "sum" in entry) == ("harvest", 2.5, "kg", False)
    expect(b.page.get_by_text("was picked; 2.5 kg")).to_be_visible()
    b.button("Plan the rest again").click()
    expect(b.page.get_by_text("What changed and why")).to_be_visible()
    b.button("Take this order").click()
    wait_start(b, "pond", "2030-05")


def test_a_job_moves_in_a_year_opened_on_the_board(board: Open) -> None:
    b = board()
    b.button("Months of 2028").click()
    bar(b, "Hang the side gate").focus()
    b.keys(" ", "ArrowRight")
    expect(b.page.get_by_label("What it would do")).to_contain_text("May 2028, 1 month later")
    b.keys(" ")
    wait_start(b, "hang-gate", "2028-05")
