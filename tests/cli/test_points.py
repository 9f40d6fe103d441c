"""``quincunx points`` as a person meets it: a picture first, then one step that can be undone."""

from __future__ import annotations

from pathlib import Path

import pytest

from quincunx.cli import main
from quincunx.cli._points import picture, text_of
from quincunx.garden import Garden
from quincunx.store import Store


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))


def run(*words: object) -> int:
    with pytest.raises(SystemExit) as left:
        main([str(w) for w in words])
    return int(left.value.code or 0)


def test_it_looks_then_takes_and_is_undone(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    table, file = tmp_path / "corners.csv", tmp_path / "garden.quincunx"
    table.write_text("A,0,0\nB,18,0\nC,18,46\nD,0,46\n", encoding="utf-8")
    Store.create(file, Garden()).close()
    assert run("points", table) == 0
    said = capsys.readouterr().out
    assert "4 corners; 46.00 m by 18.00 m over all, 128.00 m round, 828 m²." in said
    assert "The first number runs east, the second north; --first north turns that round." in said
    assert run("points", table, "--into", file) == 0
    assert "Boundary from corners.csv: stored as one step that can be undone." in capsys.readouterr().err
    with Store.open(file) as store:
        assert len(store.garden().boundary) == 4
        store.undo()
        assert store.garden().boundary == ()


def test_what_is_wrong_leaves_with_2_and_the_garden_as_it_was(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    table, file = tmp_path / "corners.csv", tmp_path / "garden.quincunx"
    table.write_text("0,0\n10,10\n10,0\n0,10\n", encoding="utf-8")
    Store.create(file, Garden()).close()
    assert run("points", table, "--into", file) == 2
    assert "crosses the side from 3 to 4" in capsys.readouterr().err
    with Store.open(file) as store:
        assert store.garden().boundary == ()


def test_a_new_garden_can_begin_with_them(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    import io

    table, file = tmp_path / "corners.csv", tmp_path / "garden.quincunx"
    table.write_text("A,0,0\nB,18,0\nC,18,46\nD,9,50\nE,0,46\n", encoding="utf-8")
    answers = ["Surveyed", "", "metric", ".", "EUR", "y", "n"]
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join([*answers, *[""] * 30, "n", ""]) + "\n"))
    run("new", file, "--corners", table)
    with Store.open(file) as store:
        assert len(store.garden().boundary) == 5


def test_the_picture_has_north_up_and_names_where_they_lie():
    rows = picture(((0, 0), (18, 0), (18, 46)), ("A", "B", "C"), closed=True)
    assert "A" in rows[-1]
    assert rows[-1].index("A") < rows[-1].index("B")
    assert "C" in rows[0]
    assert all(len(r.rstrip()) <= 58 for r in rows)


def test_letters_of_other_codings_are_read(tmp_path: Path):
    path = tmp_path / "c.csv"
    path.write_bytes("Höhe;Rechtswert;Hochwert\n".encode("cp1252"))
    assert text_of(path).startswith("Höhe")
    path.write_bytes("x;y\n".encode("utf-16"))
    assert text_of(path) == "x;y\n"
