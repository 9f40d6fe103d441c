"""``quincunx cost`` and ``quincunx prices``: what jobs come to, in and out of a garden file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from quincunx.cli import main
from quincunx.garden.edits import Edit, Op
from quincunx.store import Store

GARDEN = {
    "format": "quincunx/1",
    "features": [
        {"kind": "raised-bed", "id": "bed", "outline": [[0, 0], [2.4, 0], [2.4, 1.2], [0, 1.2]], "height": 0.3},
        {"kind": "gravel", "id": "court", "outline": [[5, 0], [9, 0], [9, 3], [5, 3]]},
    ],
    "jobs": [
        {"id": "beds", "name": "Build the bed", "does": ["bed"], "hours": 5},
        {"id": "court", "name": "Gravel the court", "does": ["court"]},
    ],
}


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    source = tmp_path / "court.json"
    source.write_text(json.dumps(GARDEN), encoding="utf-8")
    assert run("import", source, tmp_path / "court.quincunx") == 0
    return tmp_path / "court.quincunx"


def run(*words: object) -> int:
    with pytest.raises(SystemExit) as left:
        main([str(w) for w in words])
    return int(left.value.code or 0)


def test_every_job_stands_in_the_table_with_what_nobody_priced(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("cost", file) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Build the bed" in out
    assert "without a" in out
    assert "your local code" in out


def test_one_job_has_its_bill_its_cuts_and_its_caution(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("cost", file, "--job", "beds") == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Sawing timber" in out
    assert "least possible" in out
    assert "hours" in out
    assert "licensed person" in out


def test_the_document_adds_up(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("cost", file, "--json") == 0
    jobs = json.loads(capsys.readouterr().out)
    assert [j["job"] for j in jobs] == ["beds", "court"]
    assert all(j["sum"] == sum(b["sum"] or 0 for b in j["bill"]) for j in jobs)
    boards = jobs[0]["cutting"][0]["boards"]
    assert all(sum(c["length_m"] * c["count"] for c in b["cuts"]) <= b["length_m"] for b in boards)


def test_a_price_list_is_written_filled_in_and_read(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "prices.csv"
    assert run("prices", file, "--write", sheet) == 0
    rows = sheet.read_text(encoding="utf-8").splitlines()
    filled = [rows[0], *(r.replace(",m3,,", ",m3,40.00,", 1) for r in rows[1:])]
    sheet.write_text("\n".join(filled), encoding="utf-8")
    assert run("prices", file, sheet) == 0
    capsys.readouterr()
    assert run("cost", file, "--job", "court", "--take") == 0
    with Store.open(file) as store:
        job = next(j for j in store.garden().jobs if j.id == "court")
    assert job.cost > 0
    assert all(c.worked_out for c in job.costs)
    assert job.hours > 0


def test_hours_far_from_the_counted_are_said_and_taken_without_the_sums(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with Store.open(file) as store:
        far = Op(do="change", part="jobs", id="beds", value={"hours": 1})
        store.commit(Edit(label="Type the hours", ops=(far,)))
        before = next(j for j in store.garden().jobs if j.id == "beds")
    for words in ((), ("--job", "beds")):
        assert run("cost", file, *words) == 0
        assert "The plan has 1 h for it; counted from its work: " in " ".join(capsys.readouterr().out.split())
    assert run("cost", file, "--job", "beds", "--take-hours") == 0
    assert "counted hours" in capsys.readouterr().err
    with Store.open(file) as store:
        after = next(j for j in store.garden().jobs if j.id == "beds")
    assert (before.hours, after.hours_worked_out, after.costs) == (1, True, before.costs)
    assert after.hours < 300


@pytest.mark.parametrize("words", [("--take",), ("--take-hours",), ("--job", "nobody")])
def test_what_cannot_be_done_is_said(file: Path, words: tuple[str, ...]) -> None:
    assert run("cost", file, *words) == 2


def test_json_has_no_history_to_take_into(tmp_path: Path, file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("cost", tmp_path / "court.json", "--job", "beds", "--take") == 2
    assert "quincunx import" in capsys.readouterr().err
    assert run("prices", file) == 2


def test_what_costs_more_is_written_into_the_jobs_and_the_price_list(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "list.csv"
    sheet.write_text("item,words,unit,price\ngravel,Gravel,m3,40\nsand,Sharp sand,m3,30\n", encoding="utf-8")
    assert run("prices", file, sheet) == 0
    capsys.readouterr()
    assert run("prices", file, "--dearer", "gravel +30%") == 0
    assert "Of the price list 1 line" in capsys.readouterr().out
    with Store.open(file) as store:
        assert {p.id: p.sum for p in store.garden().prices} == {"gravel": 5200, "sand": 3000}
    assert run("prices", file, "--dearer", "copper +30%") != 0
    assert run("prices", file, sheet, "--dearer", "gravel +30%") == 2
