"""What is done has cost more than there was: that is said, and the rest is ordered with what is left."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from quincunx.board.finder import _clash
from quincunx.board.kept import StoodCache
from quincunx.board.standing import Standing
from quincunx.cli._order import command
from quincunx.garden import Garden, garden_from
from quincunx.store import Store
from quincunx.years.checker import check
from quincunx.years.everything import everything
from quincunx.years.neighbour import neighbour
from quincunx.years.order import order
from quincunx.years.overspent import overspent, owed


def garden(paid: int, *, opening: int = 0) -> Garden:
    jobs = [
        {"id": n, "name": n, "costs": [{"words": "x", "sum": 60000}], "hours": 1, "worth": "much", "start": f"{y}-03"}
        for n, y in (("shed", 2027), ("seat", 2028))
    ]
    done = {"id": "one", "day": "2027-03-05", "what": "done", "about": "shed", "sum": paid}
    means = {"first_year": 2027, "years": 3, "sum_a_year": 90000, "hours_by_month": [9] * 12, "opening": opening}
    return garden_from(
        {
            "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "jobs": jobs, "means": means,
            "writing": {"currency": "EUR"}, "journal": [done],
        }
    )  # fmt: skip


@pytest.mark.parametrize(
    ("paid", "opening", "over"), [(90000, 0, None), (100000, 0, "10000"), (100000, 10000, None), (100000, 4000, "6000")]
)
def test_by_how_much_is_said(paid, opening, over):
    told = overspent(Standing.of(garden(paid, opening=opening), StoodCache()).problem, str)
    assert (
        told == ""
        if over is None
        else told.startswith(
            f"What the journal says is done or begun has cost {over} more than there was in March 2027: that year"
        )
    )


@pytest.mark.parametrize(("paid", "year"), [(100000, 2028), (130000, 2029)])
@pytest.mark.parametrize("carry_over", [True, False])
def test_an_order_is_found_and_the_rest_waits_until_later_sums_have_made_up_for_it(paid, year, carry_over):
    """900 come in each year: 1300 of them spent in the first leave 500 in the second, too little for 600."""
    of = garden(paid)
    of = of.model_copy(update={"means": of.means.model_copy(update={"carry_over": carry_over})})
    problem = Standing.of(of, StoodCache()).problem
    found = order(problem, seconds=20.0)
    assert found.starts is not None
    assert problem.calendar(found.starts["seat"])[0] == year
    assert check(problem, found.starts).sound
    sooner = check(problem, found.starts | {"seat": 11})
    assert {b.rule for b in sooner.breaches} >= {"money"}


def test_room_counts_what_happened_and_nothing_more():
    problem = Standing.of(garden(100000), StoodCache()).problem
    assert problem.spendable[:3] == (90000, 90000, 100000)
    assert problem.spendable[11:13] == (100000, 180000)
    assert sum(problem.happened_bills) == 100000


def test_board_and_command_line_say_so(tmp_path):
    of = garden(100000)
    here = Standing.of(of, StoodCache())
    told = (
        "What the journal says is done or begun has cost €100 more than there was in March 2027: that year is overspent"
    )
    said, ways = _clash(here, here.problem)
    assert said.startswith(told)
    assert ways == ("“As it went” plans the rest again from today.",)
    assert neighbour(of, here.problem)[0].startswith(told)
    Store.create(tmp_path / "g.quincunx", of).close()
    said = " ".join(CliRunner().invoke(command, [str(tmp_path / "g.quincunx")]).output.split())
    assert "has cost €100 more than there was in March 2027: that year is overspent" in said


def test_whether_all_can_be_had_is_answered_with_what_is_left_and_the_year_is_told():
    found = everything(Standing.of(garden(100000), StoodCache()).problem, money=str)
    assert found.possible
    assert found.note.startswith("What the journal says is done or begun has cost 10000 more")
    dear = everything(Standing.of(garden(230000), StoodCache()).problem, money=str)
    assert not dear.possible
    assert "that year is overspent" in dear.note


def begun(paid: int, *, sum_: int = 60000, carry_over: bool = True) -> Garden:
    """A garden whose shed was begun in November 2027; its hours reach into the next year, and so does its bill."""
    of = garden(paid)
    shed = of.jobs[0].model_copy(
        update={"hours": 20.0, "costs": (of.jobs[0].costs[0].model_copy(update={"sum": sum_}),)}
    )
    line = of.journal[0].model_copy(update={"what": "begun", "day": "2027-11-05"})
    means = of.means.model_copy(update={"carry_over": carry_over})
    return of.model_copy(update={"jobs": (shed, of.jobs[1]), "journal": (line,), "means": means})


def test_a_bill_of_a_begun_job_that_the_purse_can_not_pay_is_told_beside_its_year():
    # 900 come in each year: of 2000, 100 are paid, 1900 are due in January 2028, when 1700 are there.
    problem = Standing.of(begun(10000, sum_=200000), StoodCache()).problem
    told = owed(problem, str)
    assert list(told) == [2028]
    assert told[2028].startswith(
        "2028: with the 190000 still to pay for “shed”, which is begun, 20000 is missing in January 2028. No order changes"
    )
    assert overspent(problem, str) == "", "nothing has cost too much yet"
    assert order(problem, seconds=20.0).starts is not None, "it doesn't bind"


def test_a_bill_that_a_year_may_not_cost_is_told_too():
    problem = Standing.of(begun(10000, sum_=105000, carry_over=False), StoodCache()).problem
    assert owed(problem, str)[2028].startswith(
        "2028: with the 95000 still to pay for “shed”, which is begun, it costs 5000 more than it may."
    )
    assert owed(Standing.of(begun(10000), StoodCache()).problem, str) == {}
    assert owed(Standing.of(garden(100000), StoodCache()).problem, str) == {}, "what is done has no bill to come"


def test_the_command_line_tells_of_the_bill(tmp_path):
    Store.create(tmp_path / "g.quincunx", begun(10000, sum_=200000)).close()
    said = " ".join(CliRunner().invoke(command, [str(tmp_path / "g.quincunx")]).output.split())
    assert "! 2028: with the €1,900 still to pay for “shed”, which is begun, €200 is missing in January 2028." in said
