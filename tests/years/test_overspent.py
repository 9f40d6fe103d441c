"""What is done has cost more than there was: that is said, in place of a clash with a job that is done."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from quincunx.board.finder import _clash
from quincunx.board.kept import StoodCache
from quincunx.board.standing import Standing
from quincunx.cli._order import command
from quincunx.garden import Garden, garden_from
from quincunx.store import Store
from quincunx.years.everything import everything
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
            f"What the journal says is done or begun has cost {over} more than there was in March 2027: no order"
        )
    )


def test_board_and_command_line_say_so_and_what_to_do(tmp_path):
    of = garden(100000)
    said, ways = _clash(Standing.of(of, StoodCache()))
    assert said.startswith(
        "What the journal says is done or begun has cost €100 more than there was in March 2027: no order"
    )
    assert said.endswith("Plan the rest again from today.")
    assert ways == ("“As it went” plans the rest again from today.",)
    Store.create(tmp_path / "g.quincunx", of).close()
    said = " ".join(CliRunner().invoke(command, [str(tmp_path / "g.quincunx")]).output.split())
    assert "has cost €100 more than there was in March 2027" in said
    assert said.endswith("Plan the rest again from today. `quincunx replan` does that.")


def test_whether_all_can_be_had_is_not_answered_by_leaving_out_what_is_done():
    found = everything(Standing.of(garden(100000), StoodCache()).problem, money=str)
    assert not found.possible
    assert found.sentence.startswith("What the journal says is done or begun has cost 10000 more")
    assert found.ways == ()
