"""``quincunx measure`` as a person meets it: readings in, places out, slips named, one step to undo."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from quincunx.cli import main
from quincunx.demos import demo_garden
from quincunx.garden import garden_from, garden_text
from quincunx.store import Store


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("COLUMNS", "200")


def run(*words: object) -> int:
    with pytest.raises(SystemExit) as left:
        main([str(w) for w in words])
    return int(left.value.code or 0)


def stored(tmp_path: Path, name: str = "kettle-hill") -> Path:
    path = tmp_path / "garden.quincunx"
    Store.create(path, demo_garden(name)).close()
    return path


def test_it_says_places_how_surely_the_slip_and_the_next_tape(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("measure", stored(tmp_path)) == 0
    out = capsys.readouterr().out
    assert "8 of 8 stakes found from 21 readings" in out
    assert 'sure to within 2"' in out
    assert "! A–H reads 67' 3 1/2\", but the others say 76' 4 1/16\": tape it again. Swapped digits?" in out
    assert "→ Next, tape C to G" in out
    assert "E to A falls" in out


def test_json_holds_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("measure", stored(tmp_path), "--json") == 0
    report = json.loads(capsys.readouterr().out)
    assert len(report["stakes"]) == 8
    assert report["suspects"][0]["meant"]["text"].startswith("76'")


def test_readings_are_one_step_that_can_be_undone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, notes = stored(tmp_path), tmp_path / "notes.txt"
    before = garden_text(demo_garden("kettle-hill"))
    notes.write_text("# Sunday\nC G 116' 7 3/4\"\nP1 A 30'\nP1 H 55' 2\"\nA>H sees P1 left\n", encoding="utf-8")
    assert run("measure", file, "--add", notes) == 0
    out = capsys.readouterr()
    assert "Add 4 readings: stored as one step" in out.err
    assert "9 of 9 stakes found from 25 readings" in out.out
    with Store.open(file, keep=False) as store:
        assert store.undo() == "Add 4 readings"
        assert garden_text(store.garden()) == before


def test_readings_can_be_piped_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bare.quincunx"
    Store.create(file, garden_from({"format": "quincunx/1", "name": "Bare"})).close()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"A B 10\nB C 8\n")))
    assert run("measure", file, "--add", "-") == 0
    assert "~ Stake C can still swing: tape C to A." in capsys.readouterr().out


def test_a_line_that_is_no_reading_stores_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, notes = stored(tmp_path), tmp_path / "notes.txt"
    notes.write_text("A B 147' 7\"\nA B somewhere\n", encoding="utf-8")
    assert run("measure", file, "--add", notes) == 2
    err = capsys.readouterr().err
    assert "Nothing was stored" in err
    assert "line 2: 'A B somewhere' is no reading" in err
    with Store.open(file, keep=False) as store:
        assert store.garden() == demo_garden("kettle-hill")
    notes.write_text("# nothing\n", encoding="utf-8")
    assert run("measure", file, "--add", notes) == 2


def test_the_boundary_is_drawn_through_stakes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = stored(tmp_path)
    assert run("measure", file, "--boundary", "A B C D") == 0
    assert "Boundary from 4 stakes" in capsys.readouterr().err
    with Store.open(file, keep=False) as store:
        assert store.garden().boundary != demo_garden("kettle-hill").boundary
        assert store.undo() == "Boundary from 4 stakes"
        assert store.garden() == demo_garden("kettle-hill")
    assert run("measure", file, "--boundary", "A B Q") == 2
    assert "No stake is called 'Q'" in capsys.readouterr().err


def test_a_question_of_hands_says_how_to_answer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, notes = tmp_path / "bare.quincunx", tmp_path / "notes.txt"
    Store.create(file, garden_from({"format": "quincunx/1", "name": "Bare"})).close()
    notes.write_text("A B 10\nB C 8\nC A 7\n", encoding="utf-8")
    assert run("measure", file, "--add", notes) == 0
    out = capsys.readouterr().out
    assert "? Stand at A and look at B: is C on your left or on your right?" in out
    assert "A>B sees C left, or right." in out
    notes.write_text("A>B sees C right\n", encoding="utf-8")
    assert run("measure", file, "--add", notes) == 0
    assert "?" not in capsys.readouterr().out


def test_json_gardens_are_read_but_not_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, notes = tmp_path / "g.json", tmp_path / "notes.txt"
    file.write_text(garden_text(demo_garden("ropewalk")), encoding="utf-8")
    notes.write_text("A B 15.6\n", encoding="utf-8")
    assert run("measure", file) == 0
    capsys.readouterr()
    assert run("measure", file, "--add", notes) == 2
    assert "keeps no history" in capsys.readouterr().err


def test_nothing_measured_says_how_to_begin(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "bare.json"
    file.write_text('{"format": "quincunx/1", "name": "Bare"}', encoding="utf-8")
    assert run("measure", file) == 0
    out = capsys.readouterr().out
    assert "Nothing is measured yet" in out
    assert "--add" in out


def test_stakes_are_laid_on_the_boundary_drawn_before(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "plot.quincunx"
    drawn = {"format": "quincunx/1", "name": "Plot", "boundary": [[0, 0], [0, 4.1], [-3, 4], [-3.1, 0]]}
    Store.create(path, garden_from(drawn)).close()
    lines = tmp_path / "readings.txt"
    lines.write_text("A B 4\nB C 3\nC D 4\nD A 3\nA C 5\nB D 5\nA>B sees C left\n")
    assert run("measure", path, "--add", lines) == 0
    assert "Lay them on it: --lay 1" in capsys.readouterr().out
    assert run("measure", path, "--lay", 1) == 0
    assert "--lay" not in capsys.readouterr().out
    assert run("measure", path, "--lay", 1) == 2
    assert "they lie so already" in capsys.readouterr().err


def test_in_a_narrow_window_how_surely_is_said_in_lines(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A column of six letters can't be read: where the table is too wide its words follow it."""
    path = stored(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    assert run("measure", path) == 0
    wide = capsys.readouterr().out
    monkeypatch.setenv("COLUMNS", "48")
    assert run("measure", path) == 0
    narrow = capsys.readouterr().out
    assert "how surely" in wide
    assert "how surely" not in narrow
    assert "\n  A: held: all else is measured from it\n" in narrow
    assert all(len(line) <= 48 for line in narrow.splitlines())


def test_the_lengths_that_began_the_garden_stand_beside_what_was_taped_since(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from quincunx.garden.starting import Answers, begin

    file, notes = tmp_path / "new.quincunx", tmp_path / "notes.txt"
    given = {"sides": ["18.2", "46", "18", "46.02"], "diagonal": "49.45"}
    Store.create(file, begin(Answers.model_validate(given))).close()
    assert run("measure", file) == 0
    assert "  A to B: 18.2 m (not taped again yet)" in capsys.readouterr().out
    notes.write_text("A B 17.22\nB C 46.01\n", encoding="utf-8")
    assert run("measure", file, "--add", notes) == 0
    out = capsys.readouterr().out
    assert "! A to B read 18.2 m to begin with and 17.22 m since: 98 cm apart" in out
    assert "  B to C: 46 m, since then 46.01 m (1 cm apart: they agree)" in out
    assert run("measure", file, "--leave-out", "A B") == 0
    left = capsys.readouterr()
    assert "Leave out 1 first length: stored as one step" in left.err
    assert "A to B read" not in left.out
