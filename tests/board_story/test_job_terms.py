"""Under Jobs: how many months a job takes, and what others pay of it."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from quincunx.garden import garden_from
from quincunx.store import Store
from quincunx.works import Job
from tests.board_story.conftest import Program, soon


def test_a_job_takes_more_months_and_a_neighbour_pays_half_of_it_and_both_are_taken_back(
    program: Program, page: Callable[..., Page]
) -> None:
    job = {"id": "hedge", "name": "Plant the hedge", "start": "2027-11", "costs": [{"words": "all", "sum": 26000}]}
    file = program.home / "plot.quincunx"
    Store.create(file, garden_from({"format": "quincunx/1", "name": "Plot", "jobs": [job]})).close()
    shown = page(program.start(file), width=390, touch=True)
    shown.get_by_role("button", name="Jobs", exact=True).click()

    def stored() -> Job:
        with Store.open(file, keep=False) as store:
            return store.garden().jobs[0]

    def write(label: str, text: str) -> None:
        shown.get_by_label(label).fill(text)
        shown.get_by_label(label).press("Tab")

    write("Takes", "2")
    soon(lambda: stored().months, 2)
    write("Others pay", "50")
    expect(shown.get_by_text("the plan counts")).to_contain_text("130")
    write("who", "next door")
    soon(lambda: (stored().others_pay, stored().others, stored().cost), (50.0, "next door", 13000))
    write("Others pay", "140")
    expect(shown.get_by_label("Others pay")).to_have_value("50")
    for _ in range(3):
        shown.get_by_role("button", name="Take back").click()
    soon(lambda: (stored().months, stored().cost), (1, 26000))
