"""``order --what-if`` and ``replan`` as a person meets them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from quincunx.cli import main
from quincunx.store import Store

GARDEN: dict[str, Any] = {
    "format": "quincunx/1",
    "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
    "jobs": [
        {"id": "shed", "name": "Shed", "costs": [{"words": "Kit", "sum": 60000}], "hours": 12, "months": 2, "large": True,
         "worth": "much", "window": [4, 5, 6, 7, 8, 9], "start": "2027-04"},
        {"id": "bed", "name": "Bed", "costs": [{"words": "Soil", "sum": 10000}], "hours": 5, "start": "2027-03"},
    ],
    "intents": [{"kind": "spend-no-more", "id": "money", "sum": 70000}],
    "means": {"first_year": 2027, "years": 3, "sum_a_year": 70000, "hours_by_month": [10] * 12},
}  # fmt: skip


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    (tmp_path / "shed.json").write_text(json.dumps(GARDEN), encoding="utf-8")
    assert run("import", tmp_path / "shed.json", tmp_path / "shed.quincunx") == 0
    return tmp_path / "shed.quincunx"


def run(*words: object) -> int:
    with pytest.raises(SystemExit) as left:
        main([str(w) for w in words])
    return int(left.value.code or 0)


def test_what_if_lays_two_plans_side_by_side(shed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = shed.read_bytes()
    assert run("order", shed, "--what-if", "money=-300") == 0
    out = capsys.readouterr().out
    assert "With €300 less a year the garden gives" in out
    assert "As it is" in out
    assert "What if" in out
    assert "Use there is in each year" in out
    assert "The months written now are not the best" in out  # nothing keeps the bed from January
    assert shed.read_bytes() == before


def test_what_if_as_json_has_both_plans_and_the_musts(shed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert run("order", shed, "--what-if", "skip=2027", "--json") == 0
    data = json.loads(capsys.readouterr().out)
    assert data["possible"] is True
    assert data["share"] < 0
    months = {j["id"]: (j["now"], j["then"]) for j in data["jobs"]}
    assert months["shed"] == ("2027-04", "2028-04")
    assert [y["year"] for y in data["use_by_year"]] == [2027, 2028, 2029]


def test_a_question_that_can_not_be_read_leaves_with_2(shed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("order", shed, "--what-if", "sun=+2") == 2
    assert "Ask money=+20%" in capsys.readouterr().err
    assert run("order", shed, "--what-if", "hours=+2", "--keep") == 2
    assert "Leave one of them out" in capsys.readouterr().err


def test_replan_says_what_changed_and_keeps_it_as_one_step(shed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = shed.read_bytes()
    assert run("replan", shed, "--today", "June 2027") == 0
    out = capsys.readouterr().out
    assert "What changed" in out
    assert "it was not begun" in " ".join(out.split())
    assert shed.read_bytes() == before
    assert run("replan", shed, "--today", "2027-06", "--keep") == 0
    with Store.open(shed) as store:
        starts = {j.id: j.start for j in store.garden().jobs}
        assert min(s for s in starts.values() if s) >= "2027-06"
        assert store.history()[0].label == "Plan again from June 2027"


def test_replan_refuses_a_month_outside_the_plan(shed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("replan", shed, "--today", "2031-01") == 2
    assert "outside the plan, which runs from 2027 to 2029" in capsys.readouterr().err
    assert run("replan", shed, "--today", "2026-11") == 2
    assert "nothing to plan again before it begins" in " ".join(capsys.readouterr().err.split())
    assert run("replan", shed, "--today", "soon") == 2


def test_replan_as_json(shed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert run("replan", shed, "--today", "2027-01", "--json") == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["possible"], data["in_hand"]) == (True, 0)
    assert [(c["id"], c["now"]) for c in data["changes"]] == [("bed", "January 2027")]


def test_matters_lists_the_points_compares_two_and_says_which_are_next(
    shed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run("matters", shed) == 0
    out = capsys.readouterr().out
    assert out.splitlines()[:2] == ["  40  Shed", "  20  Bed"]
    assert "Compare next: --more shed --than bed" in out
    assert run("matters", shed, "--more", "bed", "--than", "shed", "--by", "much", "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert found == {
        "jobs": [
            {"job": "bed", "points": 48, "compared": True},
            {"job": "shed", "points": 12, "compared": True},
        ],
        "next": None,
    }
    with Store.open(shed) as store:
        assert [w.job for j in store.garden().jobs for w in j.weighed] == ["shed"]
    assert run("matters", shed, "--more", "bed") == 2
    assert run("matters", shed, "--more", "bed", "--than", "pond") == 2
    assert run("matters", shed, "--more", "bed", "--than", "bed") == 2
    assert run("matters", tmp_path / "shed.json", "--more", "bed", "--than", "shed") != 0


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"window": [4], "months": 3}, "Shed"),
        ({"after": [{"job": "bed"}], "weighed": [{"job": "shed"}]}, "wait for itself"),
        ({"after": [{"job": "bed"}], "start": None, "circle": True}, "in a circle: Shed → Bed → Shed"),
    ],
)
@pytest.mark.parametrize("words", [("order",), ("replan", "--today", "2027-06")])
def test_nonsense_is_named_in_one_sentence_with_the_job(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], change: dict[str, Any], said: str, words: tuple[str, ...]
) -> None:
    first, second = GARDEN["jobs"]
    circle = {"after": [{"job": "shed"}]} if change.get("circle") else {}
    jobs = [first | {k: v for k, v in change.items() if k != "circle"}, second | circle]
    (tmp_path / "wrong.json").write_text(json.dumps(GARDEN | {"jobs": jobs}), encoding="utf-8")
    assert run(words[0], tmp_path / "wrong.json", *words[1:]) != 0
    error = capsys.readouterr().err
    assert said in error
    assert "sentence=" not in error
    assert "Traceback" not in error


def test_a_sum_below_the_reserve_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    poor = GARDEN | {"means": GARDEN["means"] | {"reserve": 99_000_000}}
    (tmp_path / "poor.json").write_text(json.dumps(poor), encoding="utf-8")
    assert run("order", tmp_path / "poor.json") != 0
    assert "is no more than what is kept back (€990,000)" in capsys.readouterr().err


def test_an_order_in_months_gone_by_says_so(
    shed: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("quincunx.cli._order.this_month", lambda _: "2027-01")
    assert run("order", shed) == 0
    assert "would begin before that" not in capsys.readouterr().out
    monkeypatch.setattr("quincunx.cli._order.this_month", lambda _: "2029-12")
    assert run("order", shed) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "! It is December 2029: 2 jobs would begin before that" in out
    assert "`quincunx replan` does that." in out


def test_what_the_plan_as_written_has_in_the_past_is_not_said_of_the_order_found(
    shed: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("quincunx.cli._order.this_month", lambda _: "2027-10")
    monkeypatch.setattr("quincunx.cli._order.now", lambda _: 12 * 2027 + 9)
    assert run("order", shed) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "! Of the plan as written, not of this order: It is October 2027: " in out


def test_order_says_whether_everything_can_be_had(shed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("order", shed, "--everything") == 0
    assert capsys.readouterr().out == "All the jobs can be had within the years.\n"
    poor = json.loads(json.dumps(GARDEN))
    poor["means"]["sum_a_year"] = 20000
    (shed.parent / "poor.json").write_text(json.dumps(poor), encoding="utf-8")
    assert run("order", shed.parent / "poor.json", "--everything") == 0
    said = capsys.readouterr().out
    assert "Any one of these would do:" in said
    assert " more in 20" in said
    assert run("order", shed.parent / "poor.json", "--everything", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["possible"], bool(told["ways"])) == (False, True)
    assert run("order", shed, "--everything", "--keep") == 2
    assert "question by itself" in capsys.readouterr().err


def test_replan_tells_both_ways_to_go_on(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from quincunx.garden import plain
    from tests.years.test_two_ways import garden

    (tmp_path / "two.json").write_text(json.dumps(plain(garden())), encoding="utf-8")
    assert run("replan", tmp_path / "two.json", "--today", "2027-06", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["ways"] == []  # what little would move is as good as all that pays
    assert run("replan", tmp_path / "two.json", "--today", "2027-06", "--wider") == 0
    assert "Moving more than that would bring no more use." in capsys.readouterr().out
