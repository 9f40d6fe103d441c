"""Measuring the ground at the board: readings typed outside, a slip found and mended, the boundary from stakes."""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Page, Route, expect

from quincunx.demos import demo_garden
from quincunx.garden import garden_from
from quincunx.garden.underlay import laid
from quincunx.store import Store
from tests.board_story.conftest import Program
from tests.board_ui.board_page import BoardPage
from tests.board_ui.test_reach import AXE, serious

Open = Callable[..., Page]


def made(program: Program, name: str = "") -> Path:
    """A file with a demonstration garden, or an empty one."""
    path = program.home / "plot.quincunx"
    garden = demo_garden(name) if name else garden_from({"format": "quincunx/1", "name": "Plot"})
    Store.create(path, garden).close()
    return path


def to_ground(shown: Page) -> None:
    """Go to the screen."""
    shown.get_by_role("button", name="Ground", exact=True).click()
    shown.get_by_role("heading", name="What was read").wait_for()


def items(shown: Page, name: str) -> list[str]:
    """The lines of a list on the screen."""
    return shown.get_by_role("list", name=name).get_by_role("listitem").all_inner_texts()


def test_a_reading_typed_while_the_last_is_taken_stays(program: Program, page: Open) -> None:
    file = made(program)
    shown = page(program.start(file))
    to_ground(shown)
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    shown.route("**/api/ground/readings", hold)
    box = shown.get_by_label("What was read, one reading a line")
    box.fill("A B 4\nA C five")
    with shown.expect_request("**/api/ground/readings"):
        shown.keyboard.press("Control+Enter")
    shown.keyboard.type("B C 3")
    held[0].continue_()
    expect(shown.get_by_role("list", name="Readings").get_by_role("listitem")).to_have_count(1)
    expect(box).to_have_value("A C five\nB C 3")


def test_readings_are_typed_on_a_phone_and_a_bad_line_stays_with_its_sentence(program: Program, page: Open) -> None:
    file = made(program)
    shown = page(program.start(file), width=390, touch=True)
    to_ground(shown)
    box = shown.get_by_label("What was read, one reading a line")
    box.fill("A B 4\nB C 3\nA C five\nA>B sees C left")
    shown.get_by_role("button", name="Add readings").tap()
    expect(shown.get_by_role("list", name="Readings").get_by_role("listitem")).to_have_count(3)
    expect(box).to_have_value("A C five")
    expect(box).to_have_attribute("aria-invalid", "true")
    expect(shown.get_by_role("alert")).to_contain_text("Line 1")
    expect(shown.get_by_text("Stake C can still swing: tape C to A")).to_be_visible()

    box.fill("")
    for key in ("A", "C"):
        shown.get_by_label("Put in at the cursor").get_by_role("button", name=key, exact=True).tap()
    shown.keyboard.type("5")
    expect(box).to_have_value("A C 5")
    shown.keyboard.press("Control+Enter")
    expect(box).to_have_value("")
    expect(shown.get_by_text("3 of 3 stakes found from 4 readings")).to_be_visible()
    with Store.open(file, keep=False) as store:
        assert [r.type for r in store.garden().survey.readings] == ["distance", "distance", "seen", "distance"]
        assert [s.label for s in store.history(5)][:2] == ["Add readings", "Add readings"]


def test_the_hand_is_asked_and_answered_with_one_touch(program: Program, page: Open) -> None:
    shown = page(program.start(made(program)))
    to_ground(shown)
    shown.get_by_label("What was read, one reading a line").fill("A B C: 4; 3; 5")
    shown.get_by_role("button", name="Add readings").click()
    expect(shown.get_by_text("is B on your left or on your right?")).to_be_visible()
    shown.get_by_role("button", name="B is on the right").click()
    expect(shown.get_by_text("is B on your left or on your right?")).to_have_count(0)
    assert any("sees B right" in line for line in items(shown, "Readings"))


def test_a_slip_is_mended_with_one_touch_and_taken_back(program: Program, page: Open) -> None:
    file = made(program, "kettle-hill")
    shown = page(program.start(file))
    to_ground(shown)
    expect(shown.get_by_text("1 reading doesn’t fit")).to_be_visible()
    assert "doesn’t fit" in items(shown, "Readings")[0], "what doesn't fit comes first"
    shown.get_by_role("button", name="It was 76'").click()
    expect(shown.get_by_text("doesn’t fit: left out")).to_have_count(0)
    shown.get_by_role("button", name="Take back").click()
    expect(shown.get_by_text("doesn’t fit: left out")).to_have_count(1)
    assert any("sure to within" in line for line in items(shown, "Stakes"))


def test_the_boundary_is_taken_from_stakes_by_the_keys_alone(program: Program, page: Open) -> None:
    file = made(program, "kettle-hill")
    shown = page(program.start(file))
    to_ground(shown)
    shown.get_by_role("button", name="Draw from stakes…").press("Enter")
    draw = shown.get_by_role("button", name="Draw the boundary")
    expect(draw).to_be_disabled()
    for stake in ("A", "B", "E"):
        shown.get_by_role("list", name="Stakes").get_by_role("button", name=stake).press("Space")
    draw.press("Enter")
    expect(shown.get_by_text("The boundary runs through A, B, E.")).to_be_visible()
    with Store.open(file, keep=False) as store:
        assert len(store.garden().boundary) == 3
        assert store.history(1)[0].label == "Boundary from 3 stakes"


def drawn_plan(path: Path, wide: int = 400, high: int = 300) -> Path:
    """A picture of a paper plan: a square of thick lines, as PNG."""
    pixels = np.full((high, wide), 255, np.uint8)
    pixels[40:260, 90:310] = 30
    pixels[44:256, 94:306] = 255
    rows = b"".join(b"\0" + row.tobytes() for row in pixels)

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0))
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b""))
    return path


def test_a_paper_plan_is_laid_under_by_known_points_and_a_wrong_one_shows(program: Program, page: Open) -> None:
    """The square of the picture is Kettle Hill's, 44.988 m a side on 218 px: the plan fits it but for one point."""
    file = made(program, "kettle-hill")
    shown = page(program.start(file), width=390)
    to_ground(shown)
    shown.get_by_text("A picture to trace").click()
    shown.get_by_label("The picture").set_input_files(str(drawn_plan(program.home / "plan.png")))
    across, down, known = (
        shown.get_by_label("Across, px"),
        shown.get_by_label("Down, px"),
        shown.get_by_label("This is"),
    )
    for n, (u, v) in enumerate([(91, 259), (309, 259), (309, 41), (91, 71)], 1):
        across.fill(str(u))
        down.fill(str(v))
        known.select_option(label=f"corner {n} of the boundary")
        shown.get_by_role("button", name="Mark it").click()
        expect(shown.get_by_role("button", name=f"Take out corner {n}")).to_be_visible()
        if n == 2:
            expect(shown.get_by_text("Mark 1 point more")).to_be_visible()
    expect(shown.get_by_text(re.compile("fits worst, .* off by the others: is it the right one"))).to_be_visible()
    shown.get_by_role("button", name="Take out corner 4").click()
    expect(shown.get_by_text(re.compile("It fits its 3 points to within"))).to_be_visible()
    with Store.open(file, keep=False) as store:
        traced = store.garden().underlay
    assert traced is not None
    found = laid(traced)
    assert not isinstance(found, str)
    assert found.metres_per_pixel == pytest.approx(44.988 / 218, rel=1e-3)


def test_the_ground_is_for_every_eye_and_window(
    program: Program, page: Open, board_of: Callable[[Page], BoardPage]
) -> None:
    """On a phone by day and in the evening, then in a wide window."""
    shown = page(program.start(made(program, "kettle-hill")), width=390)
    to_ground(shown)
    shown.get_by_text("How readings are written").click()
    shown.get_by_role("button", name="Draw from stakes…").click()
    shown.get_by_role("list", name="Stakes").get_by_role("button", name="C").click()
    shown.evaluate(AXE.read_text(encoding="utf-8"))  # the page itself takes no script but its own
    assert serious(board_of(shown)) == []
    assert shown.evaluate("() => document.documentElement.scrollWidth") <= 390
    shown.get_by_role("button", name="Evening colours").click()
    assert serious(board_of(shown)) == []
    shown.get_by_role("button", name="Day colours").click()
    shown.set_viewport_size({"width": 1440, "height": 900})
    assert serious(board_of(shown)) == []
    assert shown.evaluate("() => document.documentElement.scrollWidth") <= 1440


def test_a_held_place_becomes_what_is_chosen_from_its_shortlist(program: Program, page: Open) -> None:
    file = made(program, "ropewalk")
    with Store.open(file, keep=False) as store:
        before = {f.id: f for f in store.garden().features}
    shown = page(program.start(file))
    shown.get_by_role("button", name="What is there").click()
    shown.get_by_label("Find a thing by name").fill("shelter at the summer")
    shown.get_by_role("button", name="Shelter at the summer seat").first.click()
    more = shown.get_by_text("More about it")
    choice = shown.get_by_label("Chosen", exact=True)
    if not choice.is_visible():
        more.click()
    choice.select_option(label="open slats on posts")
    expect(shown.get_by_role("button", name="Take back")).to_be_enabled()
    with Store.open(file, keep=False) as store:
        after = {f.id: f for f in store.garden().features}
    assert {i for i in after if after[i] != before[i]} == {"seat-shelter"}
    assert after["seat-shelter"].chosen == "slats"  # type: ignore[attr-defined]
    choice.select_option(label="–")
    expect(choice).to_have_value("")
