"""``quincunx outdoors``: a page goes out, a file comes back and is taken once."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from quincunx.board.outdoors_pack import FORMAT
from quincunx.cli import main
from quincunx.garden import garden_text
from quincunx.store import Store
from tests.board.garden import small


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    path = tmp_path / "green.quincunx"
    Store.create(path, small()).close()
    return path


def run(*words: object) -> int:
    with pytest.raises(SystemExit) as left:
        main([str(w) for w in words])
    return int(left.value.code or 0)


def test_the_jobs_are_listed(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("outdoors", file) == 0
    out = capsys.readouterr().out
    assert re.search(r"plant-hedge +Plant the hedge, November 2027", out)


def test_a_page_goes_out_and_a_file_comes_back_once(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "hedge.html"
    assert run("outdoors", file, "--page", "plant-hedge", "--out", page) == 0
    assert "works alone" in capsys.readouterr().out
    held = re.findall(r'id="pack">(.*?)</script>', page.read_text(encoding="utf-8"))[0]
    pack: dict[str, Any] = json.loads(held)
    note = {
        "id": "n" + "a" * 20,
        "made": "2027-11-06T09:00:00Z",
        "day": "2027-11-06",
        "what": "hours",
        "about": "plant-hedge",
        "hours": 4,
    }
    bad = {**note, "id": "n" + "b" * 20, "what": "reading", "text": "mud"}
    back = tmp_path / "back.json"
    back.write_text(json.dumps({"format": FORMAT, "mark": pack["mark"], "garden": "Small green", "notes": [note, bad]}))
    assert run("outdoors", file, "--take", back) == 0
    said = capsys.readouterr()
    assert "1 note in the garden; stored as one step that can be undone." in said.out
    assert "A B 12.34" in said.err
    assert run("outdoors", file, "--take", back) == 0
    assert "all were here already" in capsys.readouterr().out
    with Store.open(file, keep=False) as store:
        assert [e.hours for e in store.garden().journal] == [4]


def test_what_can_not_be_done_is_one_sentence(file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("outdoors", file, "--page", "moat") == 2
    assert "There is no job 'moat' in this garden. Jobs are: lay-path, plant-hedge." in capsys.readouterr().err
    for text in ("not json", "[]", "{}", json.dumps({"format": FORMAT, "mark": "0" * 16, "notes": []})):
        back = tmp_path / "odd.json"
        back.write_text(text)
        assert run("outdoors", file, "--take", back) == 2
        assert capsys.readouterr().err.strip().endswith(".")
    plain = tmp_path / "g.json"
    plain.write_text(garden_text(small()), encoding="utf-8")
    assert run("outdoors", plain) == 2
    assert "keeps no history" in capsys.readouterr().err


def test_a_picture_with_and_without_is_written_and_nothing_else(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from quincunx.demos import demo_garden

    walk, hedge, hole = tmp_path / "walk.json", tmp_path / "hedge.png", tmp_path / "hole.svg"
    walk.write_text(garden_text(demo_garden("ropewalk")), encoding="utf-8")
    assert run("picture", walk, "drying-hedge", "--from", "kitchen-window", "--year", 2031, "--out", hedge) == 0
    told = capsys.readouterr().out
    assert "Ropewalk Cottage, from Kitchen window, looking" in told
    assert "June 2031" in told
    assert hedge.read_bytes().startswith(b"\x89PNG")
    asked = ("--when", "autumn-evening", "--hour", "17:30")
    assert run("picture", walk, "drying-hedge", "--from", "kitchen-window", *asked, "--out", hedge) == 0
    assert "; 15 September at 17:30 by the clock; 15 September 20" in capsys.readouterr().out
    assert run("picture", walk, "fill-hedge", "--from", "near", "--out", hole) == 0
    assert hole.read_text(encoding="utf-8").startswith("<svg")
    capsys.readouterr()
    for words, said in ((("nobody",), "no job and no thing"), (("fill-hedge", "--out", "x.jpg"), ".png or .svg")):
        assert run("picture", walk, *words) == 2
        assert said in capsys.readouterr().err
    assert {p.name for p in tmp_path.iterdir()} == {"walk.json", "hedge.png", "hole.svg"}


def test_two_phones_files_are_taken_in_together_and_what_differs_is_told(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with Store.open(file, keep=False) as store:
        mark = store.mark()
    backs = []
    for who, length in (("Ada", "12.34"), ("Ben", "12.84")):
        values = [
            {
                "id": f"{who.lower()}00000{n}", "made": f"2027-11-06T09:0{n}:00Z", "day": "2027-11-06", "what": "reading",
                "text": text, "by": who, "phone": f"{who.lower()}1",
            }
            for n, text in enumerate([f"A B {length}", "A C 5", "B C 14"])
        ]  # fmt: skip
        back = tmp_path / f"back-{who}.json"
        back.write_text(json.dumps({"format": FORMAT, "mark": mark, "garden": "Small green", "notes": values}))
        backs += ["--take", back]
    assert run("outdoors", file, *backs) == 0
    out = capsys.readouterr().out
    assert out.count("3 notes in the garden") == 2
    assert "A to B was read as 12.34 (Ada) and 12.84 (Ben): 50 cm apart" in " ".join(out.split())
    assert run("outdoors", file, *backs) == 0
    assert capsys.readouterr().out.count("all were here already") == 2
    assert run("measure", file) == 0
    assert "12.84 (Ben)" in capsys.readouterr().out


def test_readings_on_paper_go_in_under_a_name(file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = tmp_path / "sheet.txt"
    sheet.write_text("A B 12.34\nB C 4 read by Cy\n", encoding="utf-8")
    assert run("measure", file, "--add", sheet, "--by", "Ada") == 0
    with Store.open(file, keep=False) as store:
        assert [r.by for r in store.garden().survey.readings] == ["Ada", "Cy"]
    capsys.readouterr()
    assert run("measure", file, "--add", sheet, "--by", "#1") != 0
    assert "begins with a letter" in capsys.readouterr().err


def test_who_has_which_step_comes_by_files(file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with Store.open(file, keep=False) as store:
        mark = store.mark()
    has = {"what": "has", "day": "2027-11-06", "about": "plant-hedge", "points": ["hedge-1"], "text": "first plant"}
    backs = []
    for n, name in enumerate(("Ana", "Ben"), 1):
        note = {"id": f"n{n:023d}", "made": f"2027-11-06T09:0{n}:00Z", "by": name, "phone": name.lower(), **has}
        backs.append(tmp_path / f"back-{n}.json")
        backs[-1].write_text(json.dumps({"format": FORMAT, "mark": mark, "garden": "x", "notes": [note]}))
    assert run("outdoors", file, "--who") == 0
    assert "Nobody has taken a step yet" in " ".join(capsys.readouterr().out.split())
    assert run("outdoors", file, "--take", backs[0], "--take", backs[1]) == 0
    assert "Ana has this too" in capsys.readouterr().err
    assert run("outdoors", file, "--who") == 0
    said = " ".join(capsys.readouterr().out.split())
    assert said == "Plant the hedge: first plant: Ana and Ben, too many: agree who does it"


def test_a_page_for_whoever_helps_is_written_without_prices(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "help.html"
    assert run("outdoors", file, "--page", "plant-hedge", "--out", page, "--no-prices") == 0
    assert "no prices in it" in " ".join(capsys.readouterr().out.split())
    assert not re.search(r"£\s?\d", page.read_text(encoding="utf-8"))
    assert run("outdoors", file, "--page", "plant-hedge", "--out", page) == 0
    assert "£90" in page.read_text(encoding="utf-8")
    assert run("outdoors", file, "--no-prices") != 0
    assert "--page" in capsys.readouterr().err


def test_what_was_done_on_a_day_is_told_and_drawn(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("QUINCUNX_TODAY", "2027-11-07")
    with Store.open(file, keep=False) as store:
        mark = store.mark()
    note = {
        "id": "n" + "0" * 23, "made": "2027-11-06T09:00:00Z", "day": "2027-11-06", "what": "done", "about": "plant-hedge",
        "by": "Ana", "phone": "ana",
    }  # fmt: skip
    back, picture = tmp_path / "back-1.json", tmp_path / "day.svg"
    back.write_text(json.dumps({"format": FORMAT, "mark": mark, "garden": "x", "notes": [note]}))
    assert run("outdoors", file, "--take", back) == 0
    capsys.readouterr()
    assert run("outdoors", file, "--day", "2027-11-06", "--out", picture) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Saturday, 6 November 2027: Ana Plant the hedge: finished" in out
    assert "Plant the hedge: finished" in picture.read_text(encoding="utf-8")
    assert run("outdoors", file, "--day", "2027-11-07") == 0
    assert "Nothing of a job" in capsys.readouterr().out
    assert run("outdoors", file, "--day", "2027-11-06", "--out", tmp_path / "day.pdf") != 0
    assert run("outdoors", file, "--day", "some day") != 0
