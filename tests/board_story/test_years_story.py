"""The years at the board, in the real program: a job is moved, one is pinned, the best order asked for, stopped and taken."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, Route, expect

from quincunx.garden import Garden, garden_from, timeline
from quincunx.store import Store
from quincunx.years.checker import check
from quincunx.years.explained import written
from quincunx.years.from_garden import problem_of
from tests.board_story.conftest import Program
from tests.board_ui.board_page import BoardPage


def planned() -> Garden:
    """A garden whose order is not the best: the dear bench stands before the hedge that takes years to grow."""
    data: dict[str, Any] = {
        "format": "quincunx/1",
        "name": "Small yard",
        "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
        "features": [
            {"kind": "hedge", "id": "hedge", "line": [[1, 1], [9, 1]]},
            {"kind": "wall", "id": "wall", "line": [[1, 9], [9, 9]]},
        ],
        "jobs": [
            {"id": "build", "name": "Build the wall", "does": ["wall"], "hours": 12, "months": 2, "large": True,
             "costs": [{"words": "Deposit", "sum": 20000}, {"words": "Rest", "sum": 40000, "months_later": 1}],
             "window": [4, 5, 6, 7, 8, 9], "worth": "some", "start": "2027-04"},
            {"id": "plant", "name": "Plant the hedge", "does": ["hedge"], "hours": 5, "worth": "much",
             "costs": [{"words": "Whips", "sum": 8000}], "window": [11, 12, 1, 2, 3], "start": "2029-11"},
            {"id": "clear", "name": "Clear the corner", "hours": 4, "worth": "some", "start": "2027-03"},
        ],
        "means": {"first_year": 2027, "years": 4, "sum_a_year": 60000, "opening": 10000,
                  "hours_by_month": [8] * 12, "upkeep_by_month": [1] * 12, "spare_hours": 1},
    }  # fmt: skip
    return garden_from(data)


def starts(file: Path) -> dict[str, str | None]:
    """The months in the file."""
    with Store.open(file, keep=False) as store:
        return {j.id: j.start for j in store.garden().jobs}


def test_a_job_is_moved_one_pinned_and_the_best_order_asked_for_stopped_and_taken(
    program: Program, page: Callable[..., Page], board_of: Callable[[Page], BoardPage], tmp_path: Path
) -> None:
    file = tmp_path / "yard.quincunx"
    Store.create(file, planned()).close()
    shown = page(program.start(file))
    b = board_of(shown)
    b.button("Years", exact=True).click()
    bar = shown.locator("button.bar", has_text="Clear the corner")
    bar.focus()
    b.keys("Space", "ArrowRight", "ArrowRight")
    note = shown.get_by_label("What it would do")
    expect(note).to_contain_text("2 months later")
    expect(note).to_contain_text("in 100 less use")
    b.keys("Space")
    expect(note).not_to_be_visible()
    late: list[Route] = []

    def hold(asked: Route) -> None:
        late.append(asked)

    shown.route("**/api/years/why*", hold)  # the reasons for the pinned order come only after the search
    shown.get_by_role("button", name="Pin it here").click()
    expect(shown.get_by_role("button", name="Unpin")).to_be_visible()
    shown.get_by_role("button", name="Ask for the best order").click()
    stop = shown.get_by_role("button", name="Stop here")
    take = shown.get_by_role("button", name="Take this order")
    expect(stop.or_(take).first).to_be_visible(timeout=20_000)
    # The search may be over before a click comes: whoever is quick enough stops it.
    shown.evaluate("[...document.querySelectorAll('button')].find(b => b.textContent === 'Stop here')?.click()")
    expect(shown.get_by_text("1 is pinned")).to_be_visible()
    expect(shown.get_by_text("This one keeps all of them")).to_be_visible(timeout=20_000)
    expect(take).to_be_enabled(timeout=20_000)
    assert late
    with shown.expect_response("**/api/years/why*"):
        shown.unroute("**/api/years/why*", hold)  # which lets all go that was held
    shown.wait_for_timeout(300)
    expect(take).to_be_enabled()
    take.click()
    expect(shown.get_by_text("The order that is written is")).to_be_visible(timeout=20_000)
    found = starts(file)
    assert found["clear"] == "2027-05"
    assert found["plant"] is not None
    assert found["plant"] < "2027-04"
    with Store.open(file, keep=False) as store:
        garden = store.garden()
        assert next(j for j in garden.jobs if j.id == "clear").booked
        problem = problem_of(garden, timeline(garden))
        assert check(problem, written(garden, problem)).sound
