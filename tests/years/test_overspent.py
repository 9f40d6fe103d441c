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
from quincunx.years.overspent import overspent


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
