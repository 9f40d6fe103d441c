"""Levels by hose, string and board on a phone: leg by leg and back, a stake whose name holds a space, a leg taken back."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from quincunx.cli import main
from quincunx.store import Store
from quincunx.survey import Rise
from tests.board.garden import small
from tests.board_story.alone import alone
from tests.board_story.test_outdoors import SURVEY
from tests.board_ui.board_page import BoardPage
from tests.board_ui.test_reach import AXE, serious

POST = {"id": "gate-post", "name": "gate post"}
TIED = [
    {"id": "r20", "type": "distance", "start": "a", "end": "gate-post", "length": 5.0},
    {"id": "r21", "type": "distance", "start": "b", "end": "gate-post", "length": 8.6},
    {"id": "r22", "type": "seen", "start": "a", "end": "b", "point": "gate-post", "side": "left"},
]


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    path = tmp_path / "green.quincunx"
    survey = {**SURVEY, "stakes": [*SURVEY["stakes"], POST], "readings": [*SURVEY["readings"], *TIED]}
    Store.create(path, small(survey=survey)).close()
    return path


@pytest.fixture
def phone(browser: Browser, file: Path, tmp_path: Path) -> Iterator[Page]:
    """A phone without a signal, showing the page of one job that works alone."""
    with alone(browser, file, tmp_path) as page:
        yield page


def leg(page: Page, to: str | None, near: str, far: str) -> None:
    """One leg: where it goes, the height of the level line over the ground here and there."""
    if to is not None:
        page.get_by_label("It goes to").select_option(to)
    page.get_by_role("textbox").fill(near)
    page.get_by_role("button", name="Keep", exact=True).click()
    page.get_by_role("textbox").fill(far)
    page.get_by_role("button", name="Keep: that is").click()


def test_a_round_by_hose_goes_home_in_a_file(
    phone: Page, file: Path, tmp_path: Path, board_of: Callable[[Page], BoardPage]
) -> None:
    phone.get_by_role("link", name="Hose and water").click()
    expect(phone.get_by_text("Hold both ends side by side")).to_be_visible()
    phone.get_by_label("It begins at").select_option("A")
    leg(phone, "gate post", "1.425", "1.302")
    expect(phone.get_by_text("gate post lies 0.123 m above A.")).to_be_visible()
    leg(phone, "B", "1.52", "1.52")  # 1.25 it was
    leg(phone, "A", "1.00", "1.393")
    expect(phone.get_by_role("heading", name="The round does not close")).to_be_visible()
    expect(phone.get_by_text("Perhaps from A to gate post, or from gate post to B: digits swapped")).to_be_visible()
    phone.get_by_role("button", name="Take back: gate post to B").click()
    expect(phone.get_by_role("heading", name="From gate post to B")).to_be_visible()
    phone.reload()  # what was begun is still there
    leg(phone, None, "1.52", "1.25")
    expect(phone.get_by_role("heading", name="The round closes")).to_be_visible()
    phone.evaluate(AXE.read_text(encoding="utf-8"))
    assert serious(board_of(phone)) == []
    assert phone.evaluate("() => document.documentElement.scrollWidth") <= 390

    # By board, step by step: what rests on the ground needs no typing.
    phone.get_by_role("link", name="Board or A-frame").click()
    phone.get_by_label("It begins at").select_option("A")
    phone.get_by_label("It goes to").select_option("D")
    phone.get_by_role("button", name="It rests on the ground").click()
    phone.get_by_role("textbox").fill("0.11")
    phone.get_by_role("button", name="One more step before it is reached").click()
    phone.get_by_role("button", name="It rests on the ground").click()
    phone.get_by_role("textbox").fill("0.07")
    phone.get_by_role("button", name="Keep: that is D").click()
    expect(phone.get_by_text("D lies 0.180 m below A.")).to_be_visible()
    # A leg that isn't ended waits where it began while the one before it is read again.
    phone.get_by_role("button", name="It rests on the ground").click()
    phone.get_by_role("textbox").fill("0.04")
    phone.get_by_role("button", name="One more step before it is reached").click()
    expect(phone.get_by_text("So far: 0 and 0.04.")).to_be_visible()
    phone.get_by_role("button", name="Take back: A to D").click()
    expect(phone.get_by_text("So far")).to_have_count(0)
    phone.get_by_label("It goes to").select_option("D")
    phone.get_by_role("button", name="It rests on the ground").click()
    phone.get_by_role("textbox").fill("0.18")
    phone.get_by_role("button", name="Keep: that is D").click()
    expect(phone.get_by_text("So far: 0 and 0.04.")).to_be_visible()
    phone.get_by_role("button", name="Take the last one back").click()

    # A tape to the stake with a space, by touch.
    phone.evaluate("location.hash = '#/read'")
    phone.get_by_role("button", name="gate post", exact=True).click()
    phone.get_by_role("button", name="C", exact=True).click()
    phone.get_by_label("reads").fill("9.43")
    phone.get_by_role("button", name="Keep the reading").click()
    names = phone.get_by_role("group", name="Taped from and to").get_by_role("button").all_inner_texts()
    assert names == ["A", "B", "C", "D", "gate post", "Take it"]

    phone.evaluate("location.hash = '#/wrote'")
    with phone.expect_download() as saved:
        phone.get_by_role("button", name="Save as one small file").click()
    back = tmp_path / "back.json"
    saved.value.save_as(back)
    assert json.loads(back.read_text())["notes"]
    with pytest.raises(SystemExit) as left:
        main(["outdoors", str(file), "--take", str(back)])
    assert left.value.code == 0
    with Store.open(file, keep=False) as store:
        survey = store.garden().survey
    rises = {(r.start, r.end): float(r.rise) for r in survey.readings if isinstance(r, Rise)}
    assert rises == pytest.approx(
        {("a", "gate-post"): 0.123, ("gate-post", "b"): 0.27, ("b", "a"): -0.393, ("a", "d"): -0.18}
    )
    assert {t.kind for t in survey.instruments} == {"water_level", "a_frame"}
    assert [s.id for s in survey.stakes] == ["a", "b", "c", "d", "gate-post"], "no stake is made of half a name"
