"""Two people with a phone each read the same Saturday: nothing of either is lost, and where they differ both are told."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from quincunx.survey import Distance
from tests.board_story.conftest import Program
from tests.board_story.test_outdoors import Phone, _patient, garden_in, made, phones  # noqa: F401 - fixtures
from tests.board_ui.board_page import BoardPage
from tests.board_ui.test_reach import AXE, serious

NOT_BACK = re.compile("not handed back")


def second(one: Phone, phones: Callable[[], Phone], address: str) -> Phone:  # noqa: F811
    two = phones()
    two.context.add_cookies(one.context.cookies())  # type: ignore[arg-type]
    two.open(address)
    expect(two.page.get_by_role("heading", name="This Saturday")).to_be_visible()
    two.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    return two


def at_the_board(phone: Phone, path: str, **body: str) -> int:
    """Change something at the board, which is never offline."""
    asked = phone.context.request.post(
        re.sub(r"/outdoors/.*", path, phone.page.url),
        data=body,
        headers={"x-quincunx": "1", "origin": re.sub(r"/outdoors/.*", "", phone.page.url)},
    )
    return asked.status


def keep_line(phone: Phone, line: str) -> None:
    phone.page.get_by_label("Any other reading").fill(line)
    phone.page.get_by_role("button", name="Keep the line").tap()
    expect(phone.page.get_by_label("Any other reading")).to_have_value("")


def called(phone: Phone, name: str) -> None:
    phone.go("")
    phone.page.get_by_label("Who is on this phone").fill(name)
    phone.page.get_by_label("Who is on this phone").press("Enter")
    phone.go("read")


def back(phone: Phone) -> None:
    phone.context.set_offline(False)
    phone.go("wrote")
    expect(phone.page.get_by_role("link", name=NOT_BACK)).to_have_count(0)


@pytest.mark.parametrize("first", [0, 1])
def test_both_read_one_line_offline_and_hand_in_in_either_order(
    program: Program,
    phones: Callable[[], Phone],  # noqa: F811
    first: int,
) -> None:
    file = made(program)
    address = program.start(file)
    one = phones()
    one.load(address)
    called(one, "Ada")
    one.reading("A", "B", "12.00")
    back(one)
    two = second(one, phones, address)
    called(two, "Ben")
    # What the other read is there before one reads oneself.
    two.page.get_by_role("button", name="A", exact=True).tap()
    two.page.get_by_role("button", name="B", exact=True).tap()
    expect(two.page.get_by_text("Ada read 12.00")).to_be_visible()
    two.page.reload()
    for phone, length in ((one, "15.62"), (two, "15.82")):
        phone.context.set_offline(True)
        phone.go("read")
        phone.reading("A", "C", length)
        phone.reading("B", "D", "15.62")
        phone.go("step/plant-hedge/1")
        phone.page.get_by_role("button", name="It is set").tap()
    assert at_the_board(one, "/api/undo") == 200, "the garden goes on at the board meanwhile"
    assert at_the_board(one, "/api/redo") == 200
    order = (one, two) if first == 0 else (two, one)
    for phone in order:
        back(phone)
    garden = garden_in(file)
    read = sorted((r.by, r.length.typed or "") for r in garden.survey.readings if isinstance(r, Distance) and r.by)
    assert read == [("Ada", "12.00"), ("Ada", "15.62"), ("Ada", "15.62"), ("Ben", "15.62"), ("Ben", "15.82")]
    ticks = sorted(e.by for e in garden.journal if e.what == "ticked")
    assert ticks == ["Ada", "Ben"], "each has their own tick, and one point is ticked"
    for phone in (one, two):
        phone.fits()


def test_two_who_read_a_check_otherwise_are_both_told_at_once(
    program: Program,
    phones: Callable[[], Phone],  # noqa: F811
    board_of: Callable[[Page], BoardPage],
) -> None:
    file = made(program)
    address = program.start(file)
    one = phones()
    one.load(address)
    called(one, "Ada")
    two = second(one, phones, address)
    called(two, "Ben")
    for phone, off in ((one, 0.0), (two, 0.31)):
        phone.context.set_offline(True)
        phone.go("job/plant-hedge")
        must = phone.page.get_by_text("must read").first.inner_text()
        metres = float(re.findall(r"([\d.]+)\sm\b", must)[0])
        phone.page.get_by_placeholder("it reads…").first.fill(f"{metres + off:.3f}")
        phone.page.get_by_role("button", name="Keep").first.tap()
        expect(phone.page.get_by_text("not handed back")).to_be_visible()
    back(one)
    back(two)
    two.go("job/plant-hedge")
    expect(
        two.page.get_by_text(re.compile(r"Ada read .*, 31 cm shorter: two careful tapes leave no more than"))
    ).to_be_visible()
    one.page.reload()
    one.go("")
    expect(one.page.get_by_role("heading", name="To read again")).to_be_visible()
    expect(one.page.get_by_text(re.compile(r"was read as .*\(Ada\) and .*\(Ben\): 31 cm apart"))).to_be_visible()
    one.fits()
    one.page.evaluate(AXE.read_text(encoding="utf-8"))
    assert serious(board_of(one.page)) == []
    measured = [(e.by, str(e.length)) for e in garden_in(file).journal if e.what == "measured"]
    assert sorted(by for by, _ in measured) == ["Ada", "Ben"]
    assert len({e.phone for e in garden_in(file).journal if e.what == "measured"}) == 2


def test_a_stake_taken_out_meanwhile_is_told_where_the_reading_was_made(
    program: Program,
    phones: Callable[[], Phone],  # noqa: F811
) -> None:
    file = made(program)
    address = program.start(file)
    one = phones()
    one.load(address)
    one.go("read")
    for line in ("A K 5.00", "B K 8.60", "A>B sees K left"):
        keep_line(one, line)
    back(one)
    two = second(one, phones, address)
    two.context.set_offline(True)
    for line in ("r8", "r9", "r10"):  # at the board the stake goes with its last reading
        assert at_the_board(one, "/api/ground/take-out", reading=line) == 200
    assert "k" not in {s.id for s in garden_in(file).survey.stakes}
    two.go("read")
    two.reading("C", "K", "9.43")
    back(two)
    expect(two.page.get_by_text("Stake K was taken out at the board meanwhile")).to_be_visible()
    survey = garden_in(file).survey
    assert "k" in {s.id for s in survey.stakes}
    assert [r.length.typed for r in survey.readings if isinstance(r, Distance)][-1] == "9.43"
    # A reading that was handed in can be taken back where it was made.
    two.go("read")
    two.page.get_by_role("button", name="Take back: C K 9.43").tap()
    back(two)
    expect(two.page.get_by_text("(taken back)").first).to_be_visible()
    assert "k" not in {s.id for s in garden_in(file).survey.stakes}
