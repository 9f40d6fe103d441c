"""The hands of the sheet in a real browser: by pointing, by typing and by the keyboard alone, each one step to undo."""

from __future__ import annotations

import base64
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from quincunx.garden import garden_from
from quincunx.store import Store
from tests.board_story.conftest import Program
from tests.board_ui.board_page import BoardPage

PLOT: dict[str, Any] = {
    "format": "quincunx/1",
    "name": "Plot",
    "boundary": [[0, 0], [20, 0], [20, 14], [0, 14]],
    "features": [
        {"kind": "focal-object", "id": "urn", "name": "Urn", "at": [3, 3], "there_from": "start"},
        {
            "kind": "bed",
            "id": "bed",
            "name": "Long bed",
            "outline": [[12, 2], [18, 2], [18, 4], [12, 4]],
            "there_from": "start",
        },
    ],
    "pins": [{"id": "wet", "name": "Wet", "at": [8, 12], "text": "Water stands here in March."}],
}
PIXEL = base64.b64decode("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR4nGP4z8AAAAMBAQDJ/pLvAAAAAElFTkSuQmCC")


def test_hands(program: Program, page: Callable[..., Page], board_of: Callable[[Page], BoardPage]) -> None:
    path = program.home / "plot.quincunx"
    Store.create(path, garden_from(PLOT)).close()
    shown = page(program.start(path))
    b = board_of(shown)
    b.sheet.wait_for()

    def stored() -> Any:
        with Store.open(path, keep=False) as store:
            return store.garden()

    b.click(3, 3)
    b.button("Mirror").click()
    b.gesture("mirror")
    b.click(6, 2)
    b.click(6, 9)
    b.gesture("resting")
    urn = next(f for f in stored().features if f.name == "Urn (mirrored)")
    assert urn.at == pytest.approx((9, 3), abs=0.06)

    b.keys("o")
    b.gesture("set-out")
    shown.get_by_label("Pattern").select_option("quincunx")
    for name, value in (("In a row", "3"), ("Rows", "2"), ("Apart", "2"), ("Rows run", "0")):
        shown.get_by_label(name, exact=True).fill(value)
        shown.keyboard.press("Enter")
    expect(shown.get_by_text("8 places (7 new)")).to_be_visible()
    b.keys("Enter")
    b.gesture("resting")
    assert len(stored().features) == 10
    b.keys("Control+z")
    shown.get_by_text("Taken back: Set out").wait_for()
    assert len(stored().features) == 3

    b.click(13, 3)
    b.keys("e")
    b.gesture("beside")
    shown.get_by_label("Put in", exact=True).select_option("edging")
    b.point(15, 5)
    shown.keyboard.type("0.3")
    b.keys("Enter")
    b.gesture("resting")
    edging = next(f for f in stored().features if f.kind == "edging")
    assert sorted({float(x) for x, _ in edging.line}) == [11.7, 18.3]

    b.keys("Escape", "d")
    b.gesture("dimension")
    b.click(12.02, 2.02)
    b.click(17.98, 2.0)
    expect(shown.get_by_text("holds on to Long bed")).to_be_visible()
    shown.keyboard.type("1")
    b.keys("Enter")
    b.gesture("resting")
    (line,) = stored().dimensions
    assert (line.start.on, line.end.on, abs(float(line.aside))) == ("bed", "bed", 1.0)

    x, y = b.at(8, 12)
    shown.mouse.click(x, y - 13)
    expect(shown.get_by_label("Note", exact=True)).to_have_value("Water stands here in March.")
    shown.get_by_label("Add a photo").set_input_files({"name": "wet.png", "mimeType": "image/png", "buffer": PIXEL})
    expect(shown.get_by_alt_text("Photo 1 of Wet")).to_be_visible()
    (pin,) = stored().pins
    with Store.open(path, keep=False) as store:
        assert store.picture(pin.pictures[0])
