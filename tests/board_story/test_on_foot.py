"""Standing in the garden, in a real browser: walking, not through walls; years that change what stands; stills kept."""

from __future__ import annotations

import gzip
import os
import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, expect

from quincunx.store import Store
from tests.board.garden import small
from tests.board_story.conftest import ROOT, Program
from tests.board_ui.board_page import BoardPage
from tests.board_ui.test_reach import AXE, serious, twice_as_large
from tests.photos import OWNER, a_picture


def where(shown: Page) -> tuple[float, float]:
    ground = shown.get_by_role("application")
    return float(ground.get_attribute("data-x") or "nan"), float(ground.get_attribute("data-y") or "nan")


def hold(shown: Page, key: str, ms: int) -> None:
    shown.keyboard.down(key)
    shown.wait_for_timeout(ms)
    shown.keyboard.up(key)


def test_one_walks_not_through_walls_sees_years_change_and_keeps_a_still(
    program: Program, page: Callable[..., Page], board_of: Callable[[Page], BoardPage], tmp_path: Path
) -> None:
    file = tmp_path / "small.quincunx"
    Store.create(file, small()).close()
    shown = page(program.start(file))
    b = board_of(shown)
    shown.get_by_role("application").wait_for()
    b.button("On foot", exact=True).click()
    ground = shown.get_by_role("application")
    shown.locator("[role=application][data-ready]").wait_for()
    shown.get_by_label("Stand at").select_option("Bench")
    told = shown.locator("#foot-told")
    expect(told).to_contain_text("at Bench")
    expect(told).to_contain_text("% plants")
    assert twice_as_large(b) == []
    ground.focus()

    # The bench stands inside the walled green, whose walls lie at x 0.5 and 6, y 0.5 and 6; the gate is at (6, 3).
    start = where(shown)
    hold(shown, "ArrowUp", 600)
    assert where(shown) != start
    for _ in range(4):
        hold(shown, "s", 500)
        hold(shown, "ArrowLeft", 350)
        hold(shown, "a", 500)
        x, y = where(shown)
        assert 0.7 < x < 5.8
        assert 0.7 < y < 5.8

    # The seat comes in May 2029 and the path in 2028: the last year has more than the first.
    shown.locator(".years .year").first.click()
    first = int(_steady(shown, "data-pieces"))
    shown.locator(".years .year").last.click()
    expect(ground).not_to_have_attribute("data-pieces", str(first))
    assert int(_steady(shown, "data-pieces")) > first

    b.button("Keep this view").click()
    expect(b.button("1 still on paper")).to_be_visible()
    with Store.open(file, keep=False) as store:
        (still,) = store.garden().stills
        kind, data = store.picture(still.picture) or ("", b"")
    assert kind == "image/jpeg"
    assert len(data) > 4000
    assert "2029" in still.words

    shown.evaluate(AXE.read_text(encoding="utf-8"))
    assert serious(b) == []

    # Without seeing: all of it by keys and words, and a peg set from where one stands.
    shown.get_by_label("Name of the new peg").fill("Green corner")
    b.button("Set a peg where I stand").click()
    expect(shown.get_by_role("article", name="Green corner")).to_contain_text("Stand on the peg")
    expect(shown.get_by_alt_text("What the plan shows from Green corner on 30 June 2029")).to_be_visible()

    # A photo from the peg goes onto the page to give away, which says how large it is before it is kept.
    taken = tmp_path / "taken.jpg"
    taken.write_bytes(a_picture((300, 200), told=True))
    os.utime(taken, (1_876_500_000, 1_876_500_000))  # June 2029
    shown.get_by_role("article", name="Green corner").get_by_label("Add a photo").set_input_files(taken)
    expect(shown.get_by_role("img", name=re.compile("^Photo from Green corner"))).to_be_visible()
    with Store.open(file, keep=False) as store:
        assert all(OWNER.encode() not in (store.picture(name) or ("", b""))[1] for name, *_ in store.pictures())
    b.button("Papers", exact=True).click()
    b.button("A page to give away").click()
    expect(shown.get_by_role("group", name="Photos in it")).to_contain_text("those of the same spots (1,")
    b.button("Make the page").click()
    expect(shown.get_by_text(re.compile(r"^It holds .*, 1\sphoto \("))).to_be_visible()
    with shown.expect_download() as kept:
        shown.get_by_role("link", name=re.compile("^Keep it")).click()
    assert b"data:image/jpeg" in Path(kept.value.path()).read_bytes()


def _steady(shown: Page, name: str) -> str:
    """Return an attribute once it has stopped changing."""
    ground = shown.get_by_role("application")
    last = ""
    for _ in range(40):
        now = ground.get_attribute(name) or ""
        if now and now == last:
            return now
        last = now
        shown.wait_for_timeout(250)
    raise AssertionError(f"{name} never came to rest")


def test_what_is_loaded_for_walking_stays_small() -> None:
    """Less than 200 kB packed, and nothing of it on the first page."""
    assets = ROOT / "src" / "quincunx" / "_ui" / "assets"
    own = [p for p in assets.iterdir() if p.name.startswith("OnFoot")]
    assert own
    assert sum(len(gzip.compress(p.read_bytes(), 9)) for p in own) < 200_000
    first = [p for p in assets.iterdir() if p.name.startswith("index") and p.suffix == ".js"]
    assert all(b"WebGLRenderer" not in p.read_bytes() for p in first)
    assert any(b"THREE.WebGLRenderer" in p.read_bytes() for p in own)
