"""``quincunx soon`` and ``quincunx order --safe``."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from quincunx.cli import quincunx
from quincunx.garden import plain
from quincunx.store import Store
from quincunx.units.dates import MONTHS
from tests.years.test_comes_true import JOBS, garden_of
from tests.years.test_real import plan

WALL = {"id": "wall", "name": "Wall", "costs": [{"words": "Stone", "sum": 50000, "low": 45000, "high": 80000}], "hours": 5,
        "start": "2027-03", "worth": "much"}  # fmt: skip
SEAT = {"id": "seat", "name": "Seat", "costs": [{"words": "Oak", "sum": 20000}], "hours": 5, "start": "2027-04"}


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    path = tmp_path / "a.json"
    path.write_text(json.dumps(plain(plan(WALL, SEAT, sum_a_year=50000, opening=20000))), encoding="utf-8")
    return path


def run(*words: Any) -> Result:
    return CliRunner().invoke(quincunx, [str(w) for w in words])


def test_soon_lists_two_months_and_the_wet_weekend(file: Path) -> None:
    said = run("soon", file, "--month", "2027-03", "--wet")
    assert said.exit_code == 0
    assert said.stdout.splitlines()[0] == "March 2027"
    assert (
        "! Order for “Wall” now: it should have been ordered by February 2027. It begins in March 2027.\n      Stone\n"
        in said.stdout
    )
    assert "· Begin “Wall” (5 h, €500)." in said.stdout
    assert "April 2027" in said.stdout
    assert "If the weekend is wet" in said.stdout
    later = run("soon", file, "--month", "2029-03").stdout
    assert "! Begin “Wall” (5 h, €500). It was to begin in March 2027." in later
    assert later.endswith("April 2029\n  Nothing but upkeep.\n")


def test_without_a_month_the_present_one_is_meant(file: Path) -> None:
    now = datetime.now().astimezone()
    for words in ([], ["--month", f"{now:%Y-%m}"]):
        said = run("soon", file, *words)
        assert said.exit_code == 0
        assert said.stdout.splitlines()[0] == f"{MONTHS[now.month - 1]} {now.year}"


def test_soon_as_json(file: Path) -> None:
    found = json.loads(run("soon", file, "--month", "2027-03", "--json", "--wet").stdout)
    assert {t["kind"] for t in found["tasks"]} == {"order", "begin"}
    assert [w["job"] for w in found["wet"]] == ["seat", "wall"] or [w["job"] for w in found["wet"]] == ["wall", "seat"]


def test_a_month_that_is_none_is_one_sentence(file: Path) -> None:
    said = run("soon", file, "--month", "sometime")
    assert said.exit_code != 0
    assert "sometime" in str(said.exception)


def test_how_safe_and_a_safer_order(file: Path) -> None:
    said = run("order", file, "--safe", "9")
    assert said.exit_code == 0
    assert "That the money is enough in every year" in said.stdout
    assert "put by on every cost" in said.stdout
    found = json.loads(run("order", file, "--safe", "9", "--json").stdout)
    assert found["reached"]
    assert [y["year"] for y in found["years"]] == [2027, 2028, 2029]
    assert {j["id"] for j in found["jobs"]} == {"wall", "seat"}


def test_a_safer_order_is_kept_when_asked(file: Path, tmp_path: Path) -> None:
    garden = tmp_path / "a.quincunx"
    Store.create(garden, plan(WALL, SEAT, sum_a_year=50000, opening=20000)).close()
    assert run("order", garden, "--safe", "9", "--keep").exit_code == 0
    with Store.open(garden, keep=False) as store:
        assert store.history()[0].label == "Plan with something put by"


def test_a_what_if_and_a_chance_are_two_questions(file: Path) -> None:
    assert run("order", file, "--safe", "9", "--what-if", "money=+20%").exit_code == 2
    assert run("order", file, "--safe", "12").exit_code == 2


def test_towards_says_what_is_to_be_done_for_a_thing(tmp_path: Path) -> None:
    path = tmp_path / "b.json"
    path.write_text(json.dumps(plain(garden_of(*JOBS))), encoding="utf-8")
    said = run("towards", path, "hedge", "--by", "2029-06")
    assert said.exit_code == 0
    assert said.stdout.splitlines()[:2] == [
        "West hedge: from December 2027, by “Plant the hedge”; about 0.5 m tall by then.",
        "2 jobs stand between now and then: 14 h and €90 still to be given.",
    ]
    assert "  · Order by the end of August 2027: 40 whips" in said.stdout
    found = json.loads(run("towards", path, "arch", "seat", "--json").stdout)
    assert [s["job"] for s in found["way"]] == ["dig", "plant", "set-arch"]
    assert run("towards", path, "the west hedge", "--by", "2029-06").stdout == said.stdout
    near = run("towards", path, "west hedg")
    assert near.exit_code == 2
    assert "Near to it: West hedge (hedge)." in near.output
    wrong = run("towards", path, "moat")
    assert wrong.exit_code == 2
    assert "There is no thing, no must and no peg 'moat' in this garden." in wrong.output
