"""What others pay of a job: only the rest is spent, wherever sums are added up, and theirs is said."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import pytest

from quincunx.garden import Garden, garden_from, timeline
from quincunx.garden.dearer import dearer
from quincunx.garden.shared import by_year, in_plan, shared
from quincunx.review import Review
from quincunx.sheets import pages_of, prepare
from quincunx.sheets._front import front
from quincunx.sheets.bill_book import bill_book
from quincunx.sheets.calendar_file import calendar_file
from quincunx.sheets.money_book import money_book
from quincunx.works import Job
from quincunx.years.from_garden import problem_of

HEDGE = {
    "id": "hedge", "name": "Plant the hedge between us", "start": "2028-11", "others_pay": 50, "others": "next door",
    "costs": [{"words": "whips", "sum": 24001}, {"words": "guards", "sum": 6000, "months_later": 2}],
}  # fmt: skip
SEAT = {"id": "seat", "name": "Set the seat", "start": "2028-04", "costs": [{"words": "seat", "sum": 10000}]}


def garden_of(*jobs: dict[str, Any], **means: Any) -> Garden:
    return garden_from({
        "format": "quincunx/1", "boundary": [[0, 0], [10, 0], [10, 10], [0, 10]], "jobs": list(jobs),
        "means": {"first_year": 2027, "years": 3, "sum_a_year": 30000, **means},
    })  # fmt: skip


def test_the_parts_of_a_job_add_up_to_all_of_it_to_the_last_cent() -> None:
    job = Job.model_validate(HEDGE)
    assert job.whole_cost == 30001
    assert job.cost == 15001
    assert sum(ours for _, ours in job.instalments) == job.cost
    assert [(m, whole) for m, whole, _ in job.parts_due] == [(0, 24001), (2, 6000)]


def test_only_our_part_is_spent_and_theirs_is_told_in_the_year_it_is_due() -> None:
    garden = garden_of(HEDGE, SEAT)
    spent = {row.year: row.spent for row in timeline(garden).money()}
    assert spent == {2027: 0, 2028: 10000 + 12001, 2029: 3000}
    assert by_year(garden) == {2028: 12000, 2029: 3000}
    (one,) = shared(garden)
    assert (one.who, one.theirs, one.ours, one.whole) == ("next door", 15000, 15001, 30001)
    assert one.words(garden.style).startswith("For “Plant the hedge between us” €150 of €300 is paid by next door;")
    (all_,) = shared(garden_of({**SEAT, "others_pay": 100}))
    assert all_.words(garden.style) == "All of “Set the seat”, €100, is paid by others: the plan counts nothing for it."
    assert by_year(garden_of(SEAT)) == {}


@pytest.mark.parametrize("name", ["Neighbours", "Bea Holt", "the people at no. 4", "you and I"])
@pytest.mark.parametrize("share", [50, 100])
def test_whatever_name_they_have_the_sentence_is_right(name: str, share: float) -> None:
    (one,) = shared(garden_of({**HEDGE, "others_pay": share, "others": name}))
    words = one.words(garden_of(HEDGE).style)
    assert f"is paid by {name}" in words
    assert "pays" not in words


def test_prices_that_rise_raise_both_parts_and_the_order_of_works_pays_only_ours() -> None:
    garden = garden_of(HEDGE, price_growth=0.1)
    (one,) = shared(garden)
    assert one.whole == 26402 + 7260, "24 001 a year later, 6 000 two years later, at 10 in 100 a year, rounded up"
    assert one.ours == sum(row.spent for row in timeline(garden).money())
    assert problem_of(garden, timeline(garden))["hedge"].cost == 15001


def test_what_we_paid_of_our_part_leaves_nothing_to_become_dearer() -> None:
    """15 001 of 15 001 were paid: nothing of it is still to come, and so only the seat costs more."""
    paid = [{"id": "e", "day": "2028-11-20", "what": "spent", "about": "hedge", "sum": 15001}]
    garden = garden_from({**garden_of(HEDGE, SEAT).model_dump(mode="json"), "journal": paid})
    assert {line.job for line in dearer(garden, "+10%").lines} == {"seat"}


def test_what_gets_dearer_says_how_much_of_it_is_ours() -> None:
    found = dearer(garden_of({**HEDGE, "others_pay": 40}), "+10%")
    assert (found.more, found.ours) == (2401 + 600, round(0.6 * 3001))
    assert "€30 more in all, €18 of it yours." in found.sentence(garden_of().style)
    assert dearer(garden_of(SEAT), "+10%").sentence(garden_of().style).endswith("€10 more in all.")


WALL = {"kind": "wall", "id": "wall", "line": [[1, 1], [4, 1]]}
PARTS: dict[str, dict[str, Any]] = {
    "in part": {"others_pay": 40, "others": "next door"},
    "all of it": {"others_pay": 100},
    "nothing": {},
}
JOURNALS: dict[str, list[dict[str, Any]]] = {
    "planned": [],
    "begun": [{"id": "b", "day": "2028-04-02", "what": "begun", "about": "build", "hours": 4, "sum": 6000}],
    "done": [{"id": "d", "day": "2028-05-20", "what": "done", "about": "build", "hours": 40, "sum": 18000}],
}


@pytest.mark.parametrize("state", JOURNALS)
@pytest.mark.parametrize(
    ("part", "plan"), [("in part", "€180 of €300"), ("all of it", "€0 of €300"), ("nothing", "€300")]
)
def test_wherever_a_job_and_its_sum_stand_it_is_said_whose_it_is(part: str, plan: str, state: str) -> None:
    """The bill, the money book, the chart, the calendar and the list of what to do, of a job planned, begun and done."""
    job = {"id": "build", "name": "Build the wall", "does": ["wall"], "start": "2028-04", "months": 2, "hours": 30,
           "costs": [{"words": "bricks", "sum": 30000}], **PARTS[part]}  # fmt: skip
    plain = garden_of().model_dump(mode="json")
    garden = garden_from({**plain, "features": [WALL], "jobs": [job], "journal": JOURNALS[state]})
    assert in_plan(garden.jobs[0], garden.style) == plan
    of = prepare(garden, judged=Review((), ()))
    bill = str([page.blocks for page in pages_of(of, ["bill"])])
    assert f"'{plan}'" in bill, "what others pay is not in the plan"
    shared_ = part != "nothing"
    told_ = {
        "in part": "€120 of €300 is paid by next door",
        "all of it": "All of “Build the wall”",
        "nothing": "counts nothing for it",
    }
    assert (told_[part] in bill) is shared_
    assert (told_[part] in calendar_file(of).decode().replace("\r\n ", "")) is shared_
    assert ("your part" in str([page.blocks for page in pages_of(of, ["years-chart"])])) is shared_
    with zipfile.ZipFile(io.BytesIO(bill_book(of))) as book:
        words = book.read("xl/sharedStrings.xml").decode()
    assert ("Others pay besides [EUR]" in words) is shared_
    ours = round(30000 * (1 - garden.jobs[0].others_pay / 100))
    spent = sum(row.spent for row in timeline(garden).money())
    assert spent == {"planned": ours, "begun": max(ours, 6000), "done": 18000}[state], "receipts are what we paid"


@pytest.mark.parametrize(("jobs", "told"), [((HEDGE, SEAT), True), ((SEAT,), False)])
def test_papers_say_who_pays_what_where_anybody_else_does(jobs: tuple[dict[str, Any], ...], told: bool) -> None:
    of = prepare(garden_of(*jobs), judged=Review((), ()))
    text = str([page.blocks for page in pages_of(of, ["work-list", "years-table"])])
    assert ("What others pay" in text) is told
    assert ("Others pay besides" in text) is told
    assert ("Others pay €150 of them besides" in str(front(of, []).blocks)) is told
    with zipfile.ZipFile(io.BytesIO(money_book(of))) as book:
        heads = book.read("xl/sharedStrings.xml").decode()
    assert [words in heads for words in ("Our part at today's prices", "Others pay besides", "next door")] == [told] * 3
    assert ("Cost at today's prices" in heads) is not told
    assert ("Next door" in text) is told
