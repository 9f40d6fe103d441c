"""This month and the next: orders, beginnings, what goes on, and the wet weekend."""

from __future__ import annotations

from typing import Any

from quincunx.garden import garden_from, plain, timeline
from quincunx.years.soon import soon, wet
from tests.years.test_real import entry, plan

HEDGE = {"id": "hedge", "kind": "hedge", "line": [[1, 1], [9, 1]], "plant": "carpinus-betulus"}
JUNE = 2027 * 12 + 5
BOARDS = {"words": "Boards", "sum": 60000, "quantity": 12, "unit": "pieces"}
ROOFER = {"words": "Roofer", "sum": 9000, "hired": True}
SHED = {"id": "shed", "name": "Shed", "costs": [BOARDS, ROOFER], "hours": 12, "months": 3, "start": "2027-07"}


def told(*jobs: dict[str, Any], month: int = JUNE, journal: tuple[dict[str, Any], ...] = (), **more: Any) -> list[str]:
    garden = plan(*jobs, journal=journal, **more)
    return [t.words for t in soon(garden, timeline(garden), month)]


def test_orders_come_first_and_say_by_when() -> None:
    assert told(SHED) == [
        "Book for “Shed” now: it should have been booked by April 2027. It begins in July 2027.",
        "Order for “Shed” by the end of June 2027. It begins in July 2027.",
        "Begin “Shed” (4 h, €690).",
    ]


def test_what_is_ordered_stands_line_by_line_as_it_was_written() -> None:
    garden = plan(SHED)
    assert [t.things for t in soon(garden, timeline(garden), JUNE)] == [("Roofer",), ("12 pieces Boards",), ()]


def test_what_was_paid_ahead_is_due_no_more() -> None:
    """A deposit of 90 paid in the month: it was told as still to pay, and once more within what the beginning costs."""
    paid = (entry("spent", "shed", "2027-06-03", sum=9000),)
    assert [words for words in told(SHED, journal=paid) if "€" in words] == ["Begin “Shed” (4 h, €600)."]
    again = (*paid, entry("spent", "shed", "2027-07-01", sum=10000))
    assert told(SHED, month=JUNE + 1, journal=again)[0] == "Begin “Shed” (4 h, €500)."


BEGUN = (entry("begun", "shed", "2027-07-03"),)


def test_what_goes_on_says_how_long_it_takes_yet() -> None:
    assert told(SHED, month=JUNE + 2, journal=BEGUN) == [
        "Go on with “Shed”, 2 months to go (10 h).",
        "Go on with “Shed”, the last month (2 h, €690).",
    ]


def test_what_was_begun_and_should_be_over_does_not_fall_silent() -> None:
    """Its three months went by without the journal saying that it is done: it was said no more."""
    some = (*BEGUN, entry("hours", "shed", "2027-08-01", hours=5))
    over = " It was to be over by the end of September 2027: if it is done, write that down."
    assert told(SHED, month=JUNE + 4, journal=BEGUN) == [
        f"Go on with “Shed” (12 h left of those planned).{over}",
        "Pay what is due for “Shed”: €690.",
    ]
    assert told(SHED, month=JUNE + 9, journal=some) == [
        f"Go on with “Shed” (7 h left of those planned).{over}",
        "Pay what is due for “Shed”: €690.",
    ]
    done = (*some, entry("done", "shed", "2027-11-20"))
    assert told(SHED, month=JUNE + 9, journal=done) == []


def test_a_job_that_was_to_begin_and_did_not_is_said_so() -> None:
    (said,) = told({"id": "bed", "name": "Bed", "hours": 5, "start": "2027-03"})
    assert said == "Begin “Bed” (5 h). It was to begin in March 2027."


def test_a_hedge_that_missed_its_season_waits_for_the_next() -> None:
    planting = {"id": "plant", "name": "Plant the hedge", "hours": 5, "start": "2027-02", "does": ["hedge"]}
    garden = garden_from({**plain(plan()), "jobs": [planting], "features": [HEDGE]})
    said = [t.words for t in soon(garden, timeline(garden), JUNE)]
    assert said == [
        (
            "“Plant the hedge” was to begin in February 2027 and did not; its season comes again in November 2027. "
            "Plan the rest again."
        )
    ]
    assert [t.kind for t in soon(garden, timeline(garden), JUNE + 5)] == ["begin"]


def test_what_is_done_is_not_said_and_what_is_paid_is_not_ordered() -> None:
    assert told(SHED, journal=(entry("done", "shed", "2027-05-30"),)) == []
    assert told(SHED, journal=(entry("spent", "shed", "2027-05-30", sum=100),))[0].startswith("Order")


def test_nothing_in_months_without_jobs() -> None:
    assert told(SHED, month=JUNE + 12, journal=(*BEGUN, entry("done", "shed", "2027-09-20"))) == []
    assert told(SHED, month=JUNE - 9) == []


def test_planting_waits_for_dry_soil_and_timber_is_cut_under_cover() -> None:
    jobs = (
        {"id": "plant", "name": "Plant the hedge", "does": ["hedge"], "start": "2027-06", "hours": 4},
        {"id": "frame", "name": "Frame", "does": ["posts"], "start": "2027-06", "hours": 4},
        {"id": "paper", "name": "Think", "start": "2027-06", "hours": 1},
    )
    posts = {"id": "posts", "kind": "fence", "line": [[12, 12], [16, 12]]}
    garden = garden_from({**plain(plan()), "jobs": jobs, "features": [HEDGE, posts]})
    through = timeline(garden)
    rows = {w.job: w for w in wet(garden, through, soon(garden, through, JUNE, 1))}
    assert not rows["plant"].possible
    assert "Wet soil" in rows["plant"].words
    assert rows["frame"].possible
    assert not rows["paper"].possible


def test_what_is_due_after_the_works_is_to_be_paid() -> None:
    rest = {"words": "Rest", "sum": 20000, "months_later": 3}
    job = {"id": "shed", "name": "Shed", "costs": [BOARDS, rest], "hours": 4, "months": 1, "start": "2027-07"}
    over, pay = told(job, month=JUNE + 4, journal=BEGUN)
    assert "to be over by the end of July 2027" in over
    assert pay == "Pay what is due for “Shed”: €800.", "of the boards nothing is written down either"
    assert told(job, month=JUNE + 6, journal=(*BEGUN, entry("done", "shed", "2027-07-30"))) == []


def begins(name: str, month: str) -> dict[str, Any]:
    return {"id": name, "name": name.capitalize(), "hours": 2, "start": month}


FOUR = [begins("bed", "2027-02"), begins("path", "2027-03"), begins("arch", "2027-04"), begins("seat", "2027-05")]


def test_a_journal_that_is_behind_is_said_once_with_what_to_do() -> None:
    (said,) = told(*FOUR)
    assert said.startswith(
        "Nothing is written in the journal yet, and 4 jobs were to have begun by now: "
        "Bed (February 2027); Path (March 2027); Arch (April 2027); Seat (May 2027). Write down"
    )
    assert "plan the rest again" in said
    garden = plan(*FOUR, begins("pond", "2027-01"))
    (task,) = soon(garden, timeline(garden), JUNE)
    assert (task.kind, task.job, task.late) == ("write", "", True)
    assert "; 1 more. Write" in task.words


def test_what_stood_open_before_the_last_line_is_late_and_a_few_since_are_too() -> None:
    since = (entry("done", "bed", "2027-03-05"), entry("note", None, "2027-09-09", text="after this month"))
    said = told(*FOUR, journal=since)
    assert said[0].startswith(
        "Nothing is written in the journal since 5 March 2027, and 3 jobs were to have begun by now"
    )
    later = (*since, entry("done", "arch", "2027-04-28"))
    assert told(*FOUR, journal=later) == [
        "Begin “Path” (2 h). It was to begin in March 2027.", "Begin “Seat” (2 h). It was to begin in May 2027.",
    ]  # fmt: skip


def test_what_is_begun_goes_on_in_its_season_and_is_silent_between() -> None:
    """Three months were planned from July; its season ends in July, so what is left waits for April."""
    job = {**SHED, "window": [4, 5, 6, 7], "hours": 24}
    begun = (entry("begun", "shed", "2027-07-03", hours=6), entry("spent", "shed", "2027-07-03", sum=9000))
    assert told(job, month=JUNE + 1, journal=begun) == ["Go on with “Shed”, 3 months to go (4 h)."]
    assert told(job, month=JUNE + 2, journal=begun) == []
    assert told(job, month=JUNE + 10, journal=begun)[0].startswith("Go on with “Shed” (18 h left of those planned).")
