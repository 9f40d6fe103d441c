"""What if: questions read, two plans side by side, what is gained or lost."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import Garden, garden_from, timeline
from quincunx.units import UnitsError
from quincunx.works import Entry
from quincunx.years.checker import check
from quincunx.years.compared import WhatIfError, compared, what_if
from quincunx.years.from_garden import problem_of

SHED = {"id": "shed", "name": "Shed", "costs": [{"words": "Kit", "sum": 90000}], "hours": 10, "months": 2, "large": True,
        "worth": "much", "window": [4, 5, 6, 7, 8, 9]}  # fmt: skip
ARCH = {"id": "arch", "name": "Arch", "costs": [{"words": "Iron", "sum": 40000}], "hours": 10, "large": True, "worth": "dearest",
        "window": [4, 5, 6, 7, 8, 9]}  # fmt: skip
BED = {"id": "bed", "name": "Bed", "costs": [{"words": "Soil", "sum": 10001}], "hours": 5}


def plan(*jobs: dict[str, Any], **means: Any) -> Garden:
    return garden_from(
        {
            "format": "quincunx/1",
            "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
            "jobs": list(jobs),
            "means": {
                "first_year": 2027,
                "years": 4,
                "sum_a_year": 50000,
                "hours_by_month": [0, 0, *[10] * 10],
                **means,
            },
        }
    )


def test_money_by_a_share_or_a_sum_and_sums_that_come_once_stay() -> None:
    garden = plan(SHED, one_off=[{"month": "2028-06", "sum": 7000}], other_years=[{"year": 2029, "sum": 20000}])
    asked = what_if(garden, "money=+20%")
    assert asked.words == "20 in 100 more money a year"
    income = asked.problem.budget.income
    assert (income[0], income[12], income[17], income[24]) == (60000, 60000, 7000, 24000)
    assert what_if(garden, "MONEY = -100").problem.budget.income[0] == 40000
    assert what_if(garden, "money=+250.50").words == "€251 more a year"


def test_hours_are_added_where_there_are_any() -> None:
    asked = what_if(plan(SHED), "hours=+2")
    assert asked.garden.means.hours_by_month == (0, 0, *[12] * 10)
    assert asked.problem.free_minutes[:3] == (0, 0, 720)
    assert what_if(plan(SHED), "hours=-50%").problem.free_minutes[2] == 300
    assert what_if(plan(SHED), "hours=-30").garden.means.hours_by_month == (0,) * 12
    assert what_if(plan(SHED), "hours=+1:30").words == "1 h 30 more in each month that has any"


def test_prices_rise_for_what_is_not_done_rounded_up() -> None:
    garden = plan(SHED, BED)
    done = Entry.model_validate({"id": "e", "day": "2027-03-03", "what": "done", "about": "shed"})
    asked = what_if(garden.model_copy(update={"journal": (done,)}), "prices=+20%")
    assert [j.cost for j in asked.garden.jobs] == [90000, 12002]  # 10001 x 1.2 = 12001.2


def test_a_year_skipped_has_no_money_and_no_hours() -> None:
    problem = what_if(plan(SHED), "skip=2028").problem
    assert problem.budget.income[12] == 0
    assert set(problem.free_minutes[12:24]) == {0}
    assert problem.free_minutes[26] == 600


def test_a_price_nobody_pays_is_said_without_the_word_of_the_command() -> None:
    with pytest.raises(WhatIfError) as caught:
        what_if(plan(SHED), "prices=brass +30%")
    assert str(caught.value).startswith("Nothing still to be paid is called “brass”.")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("wind=+20%", "not a question that can be asked here"),
        ("money", "Ask money=+20%, hours=+2, prices=+20%, prices=timber+30%, first=JOB or skip=2029"),
        ("prices=brass +30%", "Nothing still to be paid is called “brass”. There are: Kit"),
        ("skip=2040", "the plan runs from 2027 to 2030"),
        ("skip=soon", "the plan runs from 2027 to 2030"),
        ("first=pond", "There is no job 'pond' in this garden. There are: "),
        ("prices=+100", "by a share"),
        ("money=-120%", "less than nothing"),
    ],
)
def test_what_can_not_be_read_is_said_in_one_sentence(text: str, words: str) -> None:
    with pytest.raises(WhatIfError, match=words.replace("+", r"\+")):
        what_if(plan(SHED), text)


def test_a_sum_that_is_no_sum_is_refused_by_the_units() -> None:
    with pytest.raises(UnitsError):
        what_if(plan(SHED), "money=lots")


def test_a_job_whose_month_is_fixed_or_that_can_not_be_had_comes_not_first() -> None:
    booked = plan({**SHED, "booked": True, "start": "2028-05"})
    with pytest.raises(WhatIfError, match="its month is fixed"):
        what_if(booked, "first=shed")
    dear = plan({**SHED, "costs": [{"words": "Kit", "sum": 900000}]})
    with pytest.raises(WhatIfError, match="can't be had"):
        what_if(dear, "first=Shed")


def test_first_means_the_first_month_there_is_and_what_it_costs_the_rest() -> None:
    garden = plan(SHED, ARCH)
    found = compared(garden, timeline(garden), "first=shed")
    assert found.now.starts is not None
    assert found.then is not None
    # The arch matters most and is done in 2027; 500 a year pay the shed of 900 in 2028, then the arch waits for 2029.
    assert found.now.starts["arch"] == 3
    assert found.then["shed"] == 15
    assert found.then["arch"] > 12
    assert found.share < 0
    assert "less use" in found.words
    assert {m.project for m in found.moves} >= {"arch"}
    assert sum(a for a, _ in found.curve.values()) > sum(b for _, b in found.curve.values())


def test_more_money_is_worth_more_and_both_plans_are_sound() -> None:
    garden = plan(SHED, ARCH, BED)
    found = compared(garden, timeline(garden), "money=+100%")
    assert found.now.starts is not None
    assert found.then is not None
    assert check(found.problem, found.now.starts).sound
    assert check(found.asked.problem, found.then).sound
    more = found.problem.worth(found.then) / found.problem.worth(found.now.starts) - 1
    assert found.share == pytest.approx(more)
    assert found.share > 0
    assert "more use" in found.words
    before, after = found.gardens(garden)
    assert after is not None
    assert {j.id for j in before.jobs} == {j.id for j in after.jobs}
    assert after.means.sum_a_year == 100000


def test_nothing_moves_where_nothing_is_gained() -> None:
    garden = plan(BED)
    found = compared(garden, timeline(garden), "money=+20%")
    assert found.moves == ()
    assert found.words == "With 20 in 100 more money a year the garden gives as much use as now."


def test_a_question_without_a_plan_says_what_can_not_be_had() -> None:
    garden = plan({**ARCH, "must": True}, years=1)
    found = compared(garden, timeline(garden), "money=-300")
    assert found.then is None
    assert found.gardens(garden)[1] is None
    assert "there is no plan that keeps every must" in found.words
    assert "Arch" in found.words


def test_the_same_question_has_the_same_answer() -> None:
    garden = plan(SHED, ARCH, BED)
    one, two = (compared(garden, timeline(garden), "hours=+2") for _ in range(2))
    assert (one.now.starts, one.then, one.share) == (two.now.starts, two.then, two.share)


def test_it_is_asked_of_the_plan_that_is_written_if_that_is_the_best() -> None:
    garden = plan({**ARCH, "start": "2027-04"}, {**BED, "start": "2027-03"}, opening=5000)
    problem = problem_of(garden, timeline(garden))
    found = compared(garden, timeline(garden), "money=+20%")
    assert found.now.starts == {"arch": 3, "bed": 2}
    assert problem.worth({"arch": 3, "bed": 2}) == found.now.worth
