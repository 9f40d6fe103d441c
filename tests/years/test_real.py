"""Reality: the journal read on a day, and the plan made again from it."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import Garden, apply, garden_from, timeline
from quincunx.review.read import words_for
from quincunx.years.checker import check
from quincunx.years.faults import Nonsense, require_sense
from quincunx.years.from_garden import problem_of
from quincunx.years.real import TodayError, again, pace_of, today_of

SHED = {"id": "shed", "name": "Shed", "costs": [{"words": "Kit", "sum": 60000}], "hours": 12, "months": 2, "large": True,
        "worth": "dearest", "window": [4, 5, 6, 7, 8, 9], "start": "2027-04"}  # fmt: skip
ARCH = {"id": "arch", "name": "Arch", "costs": [{"words": "Iron", "sum": 40000}], "hours": 8, "large": True, "worth": "some",
        "window": [4, 5, 6, 7, 8, 9], "start": "2028-04"}  # fmt: skip
BED = {"id": "bed", "name": "Bed", "costs": [{"words": "Soil", "sum": 10000}], "hours": 5, "start": "2027-03"}


def plan(*jobs: dict[str, Any], journal: tuple[dict[str, Any], ...] = (), **means: Any) -> Garden:
    return garden_from(
        {
            "format": "quincunx/1",
            "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
            "jobs": list(jobs),
            "journal": [{"id": f"e-{n}", **e} for n, e in enumerate(journal)],
            "means": {
                "first_year": 2027,
                "years": 3,
                "sum_a_year": 60000,
                "opening": 10000,
                "hours_by_month": [10] * 12,
                **means,
            },
        }
    )


def entry(what: str, about: str | None, day: str, **more: Any) -> dict[str, Any]:
    return {"what": what, "about": about, "day": day, **more}


def test_what_is_in_hand_is_what_came_in_less_what_was_paid() -> None:
    garden = plan(
        SHED, BED,
        journal=(
            entry("done", "bed", "2027-03-20", sum=12000, hours=7), entry("spent", None, "2027-05-02", sum=3000),
            entry("spent", "shed", "2028-03-02", sum=5000), entry("spent", "shed", "2028-09-02", sum=777),
        ),
    )  # fmt: skip
    today = today_of(garden, "2028-03")
    # 100 at the start, 600 in 2027 and 600 in 2028; 120 + 30 + 50 are paid, what lies after today is not read.
    assert today.balance == 10000 + 60000 + 60000 - 12000 - 3000 - 5000
    assert today.problem.months == 36 - 14
    assert today.notes[0] == "€200 spent so far; €1,100 in hand at the beginning of March 2028."


def test_a_deposit_is_paid_once() -> None:
    """It has left what is in hand, so it is still to pay of its job no more; planned again it was counted twice."""
    garden = plan({**SHED, "start": "2028-05"}, journal=(entry("spent", "shed", "2028-03-02", sum=15000),))
    today = today_of(garden, "2028-03")
    assert today.balance == 10000 + 60000 + 60000 - 15000
    assert today.problem["shed"].payments == ((0, 60000 - 15000),)


def test_of_what_is_done_a_sum_agreed_for_later_is_still_to_pay() -> None:
    """Half at once, half a year after: the second half was told as spent, and the year in which it is due had it to spend again."""
    half = [{"words": "Soil", "sum": 5000}, {"words": "The rest of it", "sum": 5000, "months_later": 12}]
    done = entry("done", "bed", "2027-03-20")
    garden = plan({**BED, "costs": half}, SHED, journal=(done,))
    today = today_of(garden, "2027-05")
    assert today.balance == 10000 + 60000 - 5000
    assert today.notes[0].startswith("€50 spent so far")
    assert [month for month, sum_ in enumerate(today.problem.happened_bills) if sum_ == 5000] == [10], "March 2028"
    spent = {y.year: y.spent for y in timeline(garden).money()}
    assert (spent[2027], spent[2028]) == (5000 + 60000, 5000)
    assert again(garden, "2027-05").found.starts is not None


def test_what_is_done_with_no_sum_has_cost_what_the_table_of_years_says() -> None:
    """A year of prices that rise by a tenth: 100 planned came to 110, in hand as in the table."""
    garden = plan({**BED, "start": "2028-03"}, journal=(entry("done", "bed", "2028-03-20"),), price_growth=0.1)
    spent = next(y.spent for y in timeline(garden).money() if y.year == 2028)
    today = today_of(garden, "2028-05")
    assert spent == 11000
    assert today.balance == 10000 + 60000 + 60000 - spent
    assert today.notes[0].startswith("€110 spent so far")


def test_done_begun_and_not_begun_are_told_apart() -> None:
    garden = plan(
        SHED, ARCH, BED,
        journal=(entry("done", "bed", "2027-04-20", hours=6), entry("begun", "shed", "2027-06-01"), entry("hours", "shed", "2027-06-20", hours=4)),
    )  # fmt: skip
    today = today_of(garden, "2027-07")
    assert today.progress["bed"].finished
    shed = today.progress["shed"]
    assert (shed.started, shed.finished, shed.minutes) == (5, False, 240)
    assert today.problem["bed"].done
    # 12 hours less the 4 worked, in the month that is left of the two.
    assert sum(today.problem["shed"].minutes) == 480
    assert today.problem["shed"].fixed_start == -1
    assert today.late == frozenset()
    assert today_of(plan(SHED, BED), "2027-07").late == {"shed", "bed"}


def test_what_would_be_short_if_nothing_moved_is_said_and_why_a_job_left_its_month() -> None:
    lost = {"hours_once": [{"month": "2028-04", "hours": -6, "words": "two weekends lost"}]}
    done = (entry("done", "bed", "2027-03-20", sum=10000, hours=5),)
    found = again(plan(ARCH, BED, journal=done, **lost), "2028-01")
    assert found.today.notes[-1] == "If nothing moved: April 2028 has 4 hours of work too much: Arch."
    (row,) = found.rows
    assert (row.was, row.now) == ("April 2028", "May 2028")
    assert row.why == "before that the time would be short by at least 4 hours in a month"
    assert not [n for n in again(plan(ARCH, BED, journal=done), "2028-01").today.notes if n.startswith("If nothing")]


def test_what_is_counted_if_nothing_moved_is_said_where_a_job_was_not_begun() -> None:
    lost = {"hours_once": [{"month": "2028-04", "hours": -6, "words": "two weekends lost"}]}
    done = (entry("done", "bed", "2027-03-20", sum=10000, hours=5),)
    found = again(plan(SHED, ARCH, BED, journal=done, **lost), "2028-01")
    assert found.today.late == {"shed"}
    assert found.today.notes[-1] == (
        "If nothing moved (without “Shed”, which was not begun): April 2028 has 4 hours of work too much: Arch."
    )


def test_what_comes_sooner_says_why_it_can_not_come_later() -> None:
    dearer = {**SHED, "costs": [{"words": "Kit", "sum": 70000}], "start": "2028-04"}
    lost = {"hours_once": [{"month": f"2028-0{m}", "hours": -9} for m in range(4, 10)]}
    found = again(plan(dearer, BED, journal=(entry("done", "bed", "2027-03-20", sum=0, hours=5),), **lost), "2027-04")
    (row,) = found.rows
    assert row.was == "April 2028"
    assert row.now.endswith("2027")
    assert (
        row.why
        == "there is room for it now; later, in April 2028 the time would be short by at least 5 hours in a month"
    )


def test_a_deposit_alone_begins_nothing() -> None:
    garden = plan(SHED, journal=(entry("spent", "shed", "2027-02-01", sum=1000),))
    assert today_of(garden, "2027-03").progress == {}


def test_a_month_outside_the_plan_is_refused_with_the_years_it_covers() -> None:
    for month in ("2026-12", "2030-01"):
        with pytest.raises(TodayError, match="which runs from 2027 to 2029"):
            today_of(plan(BED), month)


def test_what_goes_as_planned_changes_nothing() -> None:
    garden = plan(SHED, ARCH, BED, journal=(entry("done", "bed", "2027-03-20", sum=10000, hours=5),))
    found = again(garden, "2027-04")
    assert found.words == "Nothing has to change."
    assert (found.rows, found.edit.ops) == ((), ())


def test_what_was_not_begun_moves_and_says_so_and_the_rest_stays() -> None:
    garden = plan(
        SHED, {**ARCH, "start": "2028-05"}, BED, journal=(entry("done", "bed", "2027-03-20", sum=10000, hours=5),)
    )
    found = again(garden, "2027-07")
    (row,) = found.rows
    assert (row.name, row.was, row.now) == ("Shed", "April 2027", "July 2027")
    assert row.why.startswith("it was not begun; ")
    assert found.words.startswith("1 job changes.")
    assert [(op.id, op.value) for op in found.edit.ops] == [("shed", {"start": "2027-07"})]
    after, _ = apply(garden, found.edit)
    assert again(after, "2027-07").edit.ops == ()


def test_a_job_that_goes_on_longer_takes_its_real_months_with_it() -> None:
    garden = plan(
        SHED, BED, journal=(entry("done", "bed", "2027-03-20"), entry("hours", "shed", "2027-04-20", hours=3))
    )
    found = again(garden, "2027-08")
    (row,) = [r for r in found.rows if r.project == "shed"]
    assert "it goes on, 9 h of work are still to do" in row.why
    assert [(op.id, op.value) for op in found.edit.ops] == [("shed", {"months": 5})]


def test_money_overspent_makes_later_works_wait() -> None:
    dear = (
        entry("done", "shed", "2027-05-20", sum=95000, hours=12),
        entry("done", "bed", "2027-03-20", sum=10000, hours=5),
    )
    garden = plan(SHED, {**ARCH, "costs": [{"words": "Iron", "sum": 60000}]}, BED, journal=dear)
    found = again(garden, "2028-01")
    assert found.found.starts is not None
    assert check(found.today.problem, found.found.starts).sound
    (row,) = found.rows
    # 100 + 600 - 1050 = -350; with 600 more in 2028 only 250 are there for the 600 of the arch.
    assert (row.name, row.now) == ("Arch", "April 2029")
    assert "the money would be short by at least €350" in row.why
    assert found.today.balance == -35000
    assert "€350 short at the beginning of January 2028" in found.today.notes[0]


def test_a_booked_day_gone_by_is_free_again_but_the_job_is_still_a_must() -> None:
    garden = plan({**SHED, "booked": True})
    found = again(garden, "2027-09")
    assert found.found.starts is not None
    assert found.rows[0].now == "April 2028"
    assert found.rows[0].why.startswith("it was not begun; ")
    assert found.today.problem["shed"].must


def test_a_begun_large_work_still_is_the_large_work_of_its_year() -> None:
    garden = plan(SHED, {**ARCH, "start": "2027-08"}, journal=(entry("begun", "shed", "2027-04-02"),))
    found = again(garden, "2027-05")
    assert {r.name: r.now for r in found.rows} == {"Shed": "April 2027 to June 2027", "Arch": "April 2028"}
    assert "Shed is the large work of 2027" in found.rows[1].why


def test_hours_that_ran_over_and_plants_that_died_are_noted() -> None:
    garden = plan(
        SHED, BED,
        journal=(entry("done", "bed", "2027-03-20", hours=8), entry("lost", "bed", "2027-06-01", text="slugs")),
    )  # fmt: skip
    notes = today_of(garden, "2027-07").notes
    assert "Done: Bed." in notes
    assert any("took 8 h; 5 h was planned" in n and "1.6 times" in n for n in notes)
    commas = garden.changed(writing=garden.writing.changed(decimal_mark=","))
    assert any("are 1,6 times those planned" in n for n in today_of(commas, "2027-07").notes)
    assert any(n.startswith("Bed was lost on 1 June 2027 (slugs).") and "Bed is a job" in n for n in notes), (
        "a job is no plant"
    )
    assert not any("was lost" in n for n in today_of(garden, "2027-05").notes)


def test_what_was_lost_is_told_as_it_is_where_it_is_noticed() -> None:
    """One truth: planting again stands in the care calendar, and needs no job."""
    from quincunx.review import _set_back
    from quincunx.review._view import View

    hedge = {
        "kind": "hedge",
        "id": "hedge",
        "plant": "carpinus-betulus",
        "line": [[1, 4], [9, 4]],
        "there_from": "2026-11",
    }
    later = {
        "kind": "hedge",
        "id": "later",
        "plant": "carpinus-betulus",
        "line": [[1, 8], [9, 8]],
        "there_from": "2028-11",
    }
    shed = {"kind": "shed", "id": "den", "at": [6, 12], "width": 2, "depth": 1, "there_from": "start"}
    coop = {"kind": "shed", "id": "coop", "at": [6, 15], "width": 2, "depth": 1, "there_from": "2027-07"}
    lost: dict[str, Any] = {"what": "lost", "day": "2027-06-01"}
    for journal, says, never in (
        ([lost | {"about": "hedge"}], "In November 2027: plant again what was lost", "add a job"),
        ([lost | {"about": "hedge", "amount": 5}], "plant again the 5 that were lost", "Nothing stands there"),
        (
            [lost | {"about": "hedge"}, {"what": "replanted", "day": "2027-06-20", "about": "hedge"}],
            "20 June 2027",
            "needs no job",
        ),
        ([lost | {"about": "later"}], "not planted by then: that changes nothing", "has it gone"),
        ([lost | {"about": "coop"}], "not made by then: that changes nothing", "It stands in no year"),
        ([lost | {"about": "den"}], "It stands in no year to come", "care calendar"),
        ([lost | {"about": "den", "what": "browsed"}], "is no plant", "care calendar"),
    ):
        rows = [{"id": f"j{i}", **e} for i, e in enumerate(journal)]
        read = garden_from(
            plan(SHED, BED).model_dump(mode="json") | {"features": [hedge, later, shed, coop], "journal": rows}
        )
        (note,) = (n for n in today_of(read, "2027-07").notes if "1 June 2027" in n)
        assert says in note
        assert never not in note
        through = timeline(read)
        (finding,) = _set_back.check(View(read, through, words_for(read, through)))
        assert note.startswith(finding.words.split(". ")[0])
        assert ("needs no job" in finding.remedy) == ("needs no job" in note)


def test_begun_work_goes_on_in_its_season_until_its_hours_fit() -> None:
    # 12 hours are left in September and no month has more than 10: two go on in April, for the season ends.
    garden = plan({**SHED, "start": "2027-08"}, journal=(entry("begun", "shed", "2027-08-02"),))
    today = today_of(garden, "2027-09")
    shed = today.problem["shed"]
    assert shed.minutes == (0, 600, 0, 0, 0, 0, 0, 0, 120)
    assert shed.duration_months == 9
    assert shed.payments == ((8, 60000),)
    found = again(garden, "2027-09")
    assert found.found.starts is not None
    assert "it goes on, 12 h of work are still to do" in found.rows[0].why


def test_no_plan_says_what_can_not_be_had() -> None:
    both = {**SHED, "must": True}, {**ARCH, "must": True}
    garden = plan(*both, journal=(entry("spent", None, "2027-02-02", sum=110000),))
    found = again(garden, "2028-01")
    assert found.found.starts is None
    assert "Shed" in found.words
    assert "Arch" in found.words
    assert (found.rows, found.edit.ops) == ((), ())


def test_money_that_never_comes_back_is_nonsense_in_one_sentence() -> None:
    garden = plan({**SHED, "must": True}, journal=(entry("spent", None, "2027-02-02", sum=250000),))
    with pytest.raises(Nonsense, match="All the money there will be"):
        again(garden, "2028-01")


def test_two_lost_weekends_on_the_demonstration_garden_move_little() -> None:
    garden = demo_garden("ropewalk")
    journal = plan(BED, journal=(
        entry("done", "bed", "2027-01-20"), entry("done", "bed", "2027-02-20"), entry("done", "bed", "2027-03-20"),
    )).journal  # fmt: skip
    about = ("fill-hedge", "plant-hedges", "plant-cobnuts")
    done = tuple(e.model_copy(update={"about": name}) for e, name in zip(journal, about, strict=True))
    found = again(garden.model_copy(update={"journal": done}), "2027-05")
    assert found.found.starts is not None
    assert found.today.late == {"deer-fence-job"}
    assert found.found.given_up <= 0.005 + 1e-9
    assert len(found.rows) <= len(garden.jobs) // 2
    problem = found.today.problem
    assert check(problem, found.found.starts).sound
    assert timeline(apply(garden, found.edit)[0]).years == timeline(garden).years


def test_the_pace_is_learnt_from_what_is_done_with_hours() -> None:
    slow = plan(
        SHED,
        BED,
        ARCH,
        journal=(entry("done", "bed", "2027-03-20", hours=7), entry("hours", "shed", "2027-04-02", hours=50)),
    )
    assert pace_of(slow, "2027-05") == pytest.approx(7 / 5)
    assert pace_of(slow, "2027-02") == 1.0  # not yet done then
    assert pace_of(plan(BED), "2027-05") == 1.0
    assert pace_of(plan(BED, journal=(entry("done", "bed", "2027-03-20", hours=99),)), "2027-05") == 3.0


def test_hours_still_to_come_are_taken_at_that_pace() -> None:
    garden = plan(SHED, BED, ARCH, journal=(entry("done", "bed", "2027-03-20", hours=7),))
    usual, slow = today_of(garden, "2027-04"), today_of(garden, "2027-04", 1.5)
    assert sum(usual.problem["shed"].minutes) == 12 * 60
    assert sum(slow.problem["shed"].minutes) == 18 * 60
    assert slow.problem["bed"].minutes == usual.problem["bed"].minutes
    found = again(garden, "2027-04", pace=1.5)
    assert found.found.starts is not None
    assert check(found.today.problem, found.found.starts).sound


def test_what_can_no_longer_be_in_time_is_planned_late_and_said() -> None:
    garden = demo_garden("ropewalk")
    late = today_of(garden, "2028-06")
    require_sense(late.problem)
    said = [n for n in late.notes if "can't be kept any more" in n]
    assert said
    dated = {p.id for p in problem_of(garden, timeline(garden)).projects if p.deadline is not None}
    missed = [p for p in late.problem.projects if p.id in dated and p.deadline is None]
    assert missed
    assert all(p.must for p in missed)
    assert not [n for n in late.notes if "the must that asks for it will be late" in n]  # each is named by its must


def test_what_is_done_without_a_sum_counts_as_planned_as_the_table_of_years_does() -> None:
    garden = plan(SHED, BED, journal=(entry("done", "bed", "2027-03-20"),))
    today = today_of(garden, "2027-05")
    assert today.balance == 10000 + 60000 - 10000
    assert today.notes[0] == "€100 spent so far; €600 in hand at the beginning of May 2027."
    assert "€100 as planned" in today.notes[1]
    told = plan(SHED, BED, journal=(entry("done", "bed", "2027-03-20", sum=0),))
    assert today_of(told, "2027-05").balance == 10000 + 60000
