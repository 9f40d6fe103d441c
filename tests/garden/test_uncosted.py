"""A job nobody wrote the cost of: wherever money is added up it is said that it counts as nothing, never that it costs nothing."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Any

import pytest

from quincunx.cli import main
from quincunx.garden import Garden, garden_from
from quincunx.garden.shared import in_plan
from quincunx.garden.uncosted import uncosted_words
from quincunx.review import Review
from quincunx.sheets import pages_of, prepare
from quincunx.sheets._front import front
from quincunx.sheets.money_book import money_book

UNSAID = "Nothing is written yet of what “Build the wall” costs: it counts as nothing in every sum and in every year."
BED = {"id": "bed", "name": "Dig the bed", "start": "2028-03", "hours": 5, "costs": [{"words": "soil", "sum": 4000}]}


def garden_of(*jobs: dict[str, Any], costs: tuple[int, ...] = ()) -> Garden:
    lines = [{"words": "bricks", "sum": sum_} for sum_ in costs]
    wall = {"id": "wall", "name": "Build the wall", "does": ["wall"], "start": "2028-04", "hours": 12, "costs": lines}
    return garden_from({
        "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
        "features": [{"kind": "wall", "id": "wall", "line": [[1, 9], [9, 9]]}], "jobs": [wall, *jobs],
        "means": {"first_year": 2027, "years": 3, "sum_a_year": 50000, "hours_by_month": [8] * 12},
    })  # fmt: skip


def printed(garden: Garden, sheet: str) -> str:
    return str([page.blocks for page in pages_of(prepare(garden, judged=Review((), ())), [sheet])])


def first_page(garden: Garden) -> str:
    return str(front(prepare(garden, judged=Review((), ())), ()).blocks)


def test_paper_says_of_which_jobs_no_cost_is_written() -> None:
    garden = garden_of()
    assert in_plan(garden.jobs[0], garden.style) == "not written"
    assert f"12 h of own work and no cost written. {UNSAID}" in first_page(garden)
    for words in (first_page(garden), printed(garden, "years-table"), printed(garden, "bill")):
        assert UNSAID in words
        assert "'not written'" in words
    table = printed(garden, "years-table")
    assert table.count("'at most €") == 3  # left of 2028; in hand and left of 2029
    assert "'€500'" in table, "2027 has no such job before its end"


def test_what_is_written_of_others_is_told_as_the_least() -> None:
    garden = garden_of(BED)
    assert f"€40 as far as it is written. {UNSAID}" in first_page(garden)
    assert "'at least €40'" in printed(garden, "years-table")


@pytest.mark.parametrize("sum_", [0, 30000])
def test_of_a_written_cost_nothing_is_said_though_it_be_none(sum_: int) -> None:
    garden = garden_of(BED, costs=(sum_,))
    assert uncosted_words(garden) == ""
    assert f"and €{(sum_ + 4000) // 100} in all." in first_page(garden)
    for words in (first_page(garden), printed(garden, "years-table"), printed(garden, "bill")):
        assert "not written" not in words
        assert "at most" not in words
        assert "Nothing is written" not in words


@pytest.mark.parametrize("costs", [(), (30000,)])
def test_the_money_book_and_the_command_line_say_it_too(
    costs: tuple[int, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    garden = garden_of(costs=costs)
    with zipfile.ZipFile(io.BytesIO(money_book(prepare(garden, judged=Review((), ()))))) as book:
        words = book.read("xl/sharedStrings.xml").decode()
    assert (UNSAID in words) is (not costs)
    assert ("not written" in words) is (not costs)
    file = tmp_path / "plot.json"
    file.write_text(garden.model_dump_json(), encoding="utf-8")
    with pytest.raises(SystemExit):
        main(["cost", str(file)])
    said = " ".join(capsys.readouterr().out.split())
    assert (UNSAID in said) is (not costs)
    assert ("not written" in said) is (not costs)


def test_work_list_chart_and_shopping_say_it_too() -> None:
    alone, beside = garden_of(), garden_of(BED)
    works = printed(alone, "work-list")
    assert "what is to pay is not written, at most €1,000 left at the end" in works  # 2028
    assert "At most €1,000 in hand" in works  # 2029
    assert works.count("€0 to pay") == 2, "2027 and 2029 have no such job"
    assert "at least €40 to pay, at most €960 left" in printed(beside, "work-list")
    assert "cost not written, left at most €1,000" in printed(alone, "years-chart")
    assert "paid at least €40, left at most €960" in printed(beside, "years-chart")
    assert UNSAID in printed(alone, "shopping")
