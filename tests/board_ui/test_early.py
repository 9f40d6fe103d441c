"""Keys pressed before the program has answered: none is lost, none acts on something else, and no late answer undoes a choice."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.board_ui.board_page import BoardPage

Open = Callable[..., BoardPage]
LATE_MS = 500


def _hedge(b: BoardPage, begin: tuple[float, float], end: tuple[float, float]) -> None:
    """Draw a hedge up to the key that keeps it."""
    b.put_in("hedge")
    b.gesture("drawn")
    b.click(*begin)
    b.click(*end)
    b.keys("Enter")


def test_the_next_thing_begun_while_the_last_is_kept_goes_on_and_has_a_name_of_its_own(board: Open) -> None:
    b = board(late=LATE_MS)
    things = b.things()
    _hedge(b, (4, 8), (9, 8))
    b.keys("p")
    b.page.keyboard.type("hedge")
    b.keys("Enter")
    b.wait_things(things + 1)
    b.gesture("drawn")
    expect(b.page.get_by_label("What is chosen")).to_be_hidden()
    b.click(4, 6)
    b.click(9, 6)
    b.keys("Enter")
    b.wait_things(things + 2)


def test_two_things_kept_at_once_are_two(board: Open) -> None:
    b = board(late=LATE_MS)
    things = b.things()
    _hedge(b, (4, 8), (9, 8))
    _hedge(b, (4, 6), (9, 6))
    b.wait_things(things + 2)


def test_keys_about_what_is_being_kept_wait_for_it(board: Open) -> None:
    """M and a typed length, pressed at once after Enter, move the new hedge when it is there."""
    b = board(late=LATE_MS)
    _hedge(b, (4, 8), (9, 8))
    b.keys("Enter", "m", "2", "<", "9", "0", "Enter")
    kept = b.wait_stored("hedge-1")
    before = kept["line"]
    b.page.wait_for_function(
        "x => window.mockServer.garden.features.some(f => f.id === 'hedge-1' && Math.abs(f.line[0][0] - x) > 0.5)",
        arg=before[0][0],
    )
    b.gesture("resting")
    moved = b.wait_stored("hedge-1")["line"]
    apart = [(q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2 for p, q in zip(before, moved, strict=True)]
    assert apart == pytest.approx([4, 4], abs=1e-3)


def test_one_step_back_that_comes_too_late_takes_nothing_out(board: Open) -> None:
    b = board(late=LATE_MS)
    things = b.things()
    _hedge(b, (4, 8), (9, 8))
    b.keys("Backspace")
    b.wait_things(things + 1)
    b.gesture("resting")
    expect(b.page.get_by_label("What is chosen")).to_be_visible()
    b.page.wait_for_timeout(3 * LATE_MS)
    assert b.things() == things + 1


def test_who_left_before_it_was_kept_keeps_what_was_chosen_meanwhile(board: Open) -> None:
    b = board(late=LATE_MS)
    things = b.things()
    _hedge(b, (4, 8), (9, 8))
    b.keys("Escape", "n")
    chosen = b.page.get_by_label("What is chosen").get_by_role("heading")
    name = chosen.inner_text()
    b.wait_things(things + 1)
    b.page.wait_for_timeout(LATE_MS)
    expect(chosen).to_have_text(name)


def test_a_click_on_something_else_while_a_thing_is_kept_chooses_that(board: Open) -> None:
    b = board(late=LATE_MS)
    things = b.things()
    _hedge(b, (4, 8), (9, 8))
    b.click(4.2, 23.6)
    b.wait_things(things + 1)
    expect(b.page.get_by_role("heading", name="Old damson")).to_be_visible()
    b.gesture("resting")


def test_a_click_before_something_else_is_begun_puts_no_corner_into_that(board: Open) -> None:
    b = board(late=LATE_MS)
    things = b.things()
    _hedge(b, (4, 8), (9, 8))
    b.click(4.2, 23.6)
    b.keys("p")
    b.page.keyboard.type("hedge")
    b.keys("Enter")
    b.wait_things(things + 1)
    b.gesture("drawn")
    b.click(4, 6)
    b.click(9, 6)
    b.keys("Enter")
    b.wait_things(things + 2)
    assert len(b.wait_stored("hedge-2")["line"]) == 2


def test_a_garden_that_opens_late_takes_nobody_out_of_a_new_one(board: Open) -> None:
    b = board(demo="", late=1500)
    b.page.get_by_role("button", name=re.compile("^Kettle Hill")).click()
    b.button("Begin").click()
    b.page.get_by_label("Name of the garden").fill("Cinder Close")
    b.page.wait_for_function("() => window.mockServer.garden")
    b.page.wait_for_timeout(9000)
    expect(b.page.get_by_label("Name of the garden")).to_have_value("Cinder Close")


def test_the_focus_moves_once_to_the_step_of_the_must(board: Open) -> None:
    """Whoever tabs on at once isn't thrown back when the musts are told."""
    b = board(demo="", late=LATE_MS)
    b.button("Begin").click()
    b.page.get_by_role("button", name=re.compile("One must")).wait_for()
    for label, words in (("Name of the garden", "Cinder Close"), ("Or its latitude", "43.4")):
        b.page.get_by_label(label).fill(words)
    b.button("Next").click()
    for label, length in (("First side", "12"), ("Second side", "20"), ("Third side", "12"), ("Fourth side", "20")):
        b.page.get_by_label(label, exact=False).first.fill(length)
    b.page.get_by_label("Diagonal, first corner").fill("23.324")
    b.button("Next").click()
    b.button("Later").click()
    b.button("Later").click()
    expect(b.page.get_by_role("heading", name="One must")).to_be_focused()
    b.keys("Tab")
    reached = b.page.evaluate("() => document.activeElement?.tagName")
    b.page.wait_for_timeout(3 * LATE_MS)
    assert b.page.evaluate("() => document.activeElement?.tagName") == reached != "H1"
