"""The program goes away, and comes back with a newer page: said once, and what was typed is there after loading anew."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, Route, expect

from quincunx.store import Store
from tests.board.garden import small
from tests.board_story.conftest import Program

NEWER = 'event: build\ndata: {"script": "assets/index-newer.js"}\n\n'


def opened(program: Program, go: Callable[..., Page]) -> Page:
    path = program.home / "green.quincunx"
    Store.create(path, small()).close()
    page = go(program.start(path))
    expect(page.get_by_role("button", name="Outdoors", exact=True)).to_be_visible(timeout=20_000)
    return page


def test_a_newer_page_is_offered_and_what_was_typed_stays(program: Program, page: Callable[..., Page]) -> None:
    it = opened(program, page)
    notice = it.get_by_text("The program is newer than this page")
    it.wait_for_timeout(500)
    expect(notice).to_have_count(0)

    def newer(route: Route) -> None:
        route.fulfill(status=200, headers={"content-type": "text/event-stream"}, body=NEWER)

    it.route("**/api/events", newer)
    it.reload()
    expect(notice).to_have_count(1, timeout=20_000)
    it.get_by_role("button", name="Put in…").click()
    it.get_by_label("Find by its name").fill("yew hed")
    it.unroute("**/api/events")
    it.get_by_role("button", name="Load the page anew").click()
    expect(it.get_by_text("Typed before the page was loaded anew")).to_be_visible(timeout=20_000)
    expect(it.get_by_text("Find by its name: yew hed")).to_be_visible()
    expect(notice).to_have_count(0)
    it.get_by_role("button", name="Put this notice away").click()
    it.reload()
    expect(it.get_by_role("button", name="Outdoors", exact=True)).to_be_visible(timeout=20_000)
    expect(it.get_by_text("Typed before")).to_have_count(0)


def test_that_the_program_is_away_is_said_once(program: Program, page: Callable[..., Page]) -> None:
    it = opened(program, page)
    screens = [it.get_by_role("button", name=name, exact=True) for name in ("Outdoors", "Board")]
    for screen in screens:  # loaded once, they show without the program too
        screen.click()
        it.wait_for_timeout(500)
    program.kill()
    screens[0].click()
    away = it.get_by_text("The program does not answer")
    expect(away.first).to_be_visible(timeout=20_000)
    expect(it.get_by_role("button", name="Look again")).to_be_visible(timeout=20_000)
    screens[1].click()
    screens[0].click()
    it.wait_for_timeout(500)
    assert away.count() == 1
