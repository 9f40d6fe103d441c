"""Another way of doing it, laid beside the first, and a part of it taken over: on the board, kept in the file."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from quincunx.store import Store
from tests.board_story.conftest import Program
from tests.board_story.test_first_ten_minutes import file_of, first_garden
from tests.board_ui.board_page import BoardPage
from tests.board_ui.test_reach import AXE, serious, twice_as_large


def test_an_alternative_is_begun_changed_laid_beside_and_taken_over(
    program: Program, page: Callable[..., Page], board_of: Callable[[Page], BoardPage]
) -> None:
    shown = page(program.start())
    first_garden(shown)
    b = board_of(shown)
    b.button("Past", exact=True).click()
    shown.get_by_placeholder("Another way of doing it").fill("With a hedge")
    b.button("Begin it here").click()
    expect(shown.get_by_text("You still see “First plan”: what you change goes into that.")).to_be_visible()
    b.button("Show “With a hedge”").click()
    expect(b.button("Show the alternative First plan")).to_be_visible()
    expect(shown.get_by_title("To the start page")).to_have_text("Back garden: With a hedge")
    b.put_in("hedge")
    b.gesture("drawn")
    b.click(1, 6)
    b.point(6, 6.02)
    shown.keyboard.type("7.35")
    b.keys("Enter", "Enter")
    b.gesture("resting")
    b.button("Show the alternative First plan").click()
    b.button("Lay With a hedge side by side").click()
    expect(shown.get_by_role("heading", name="First plan beside")).to_be_visible()
    row = shown.get_by_role("checkbox", name="hedge")
    expect(row).to_be_visible(timeout=20_000)
    shown.evaluate(AXE.read_text(encoding="utf-8"))
    assert serious(b) == []
    assert twice_as_large(b) == []
    row.check()
    b.button("Take over what is ticked").click()
    expect(shown.get_by_text("Nothing.", exact=True)).to_be_visible(timeout=20_000)
    with Store.open(file_of(program), keep=False) as store:
        assert "hedge-1" in [f.id for f in store.garden().features]
        assert store.history(1)[0].label == "Take over from With a hedge"
