"""What others pay of a job: only the rest is spent, wherever sums are added up, and theirs is said."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import pytest

from quincunx.garden import Garden, garden_from, timeline
from quincunx.garden.dearer import dearer
from quincunx.garden.shared import by_year, shared
from quincunx.review import Review
from quincunx.sheets import pages_of, prepare
from quincunx.sheets._front import front
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
    assert one.words(garden.style).startswith("Next door pays €150 of the €300 for “Plant the hedge between us”")
    (all_,) = shared(garden_of({**SEAT, "others_pay": 100}))
    assert all_.words(garden.style) == "Others pay all of “Set the seat”, €100: the plan counts nothing for it."
    assert by_year(garden_of(SEAT)) == {}


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
