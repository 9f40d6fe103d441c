"""The command line as a person meets it: exit codes, sentences, nothing half written."""

from __future__ import annotations

import json
import math
import shutil
from pathlib import Path
from typing import Any

import pytest

from quincunx.cli import COMMANDS, main
from quincunx.garden import garden_from, garden_text
from quincunx.store import Store
from tests.board.garden import small as board_small

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "docs" / "gardens" / "washing-green.json"


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))


def run(*words: object) -> int:
    with pytest.raises(SystemExit) as left:
        main([str(w) for w in words])
    return int(left.value.code or 0)


@pytest.fixture
def green(tmp_path: Path) -> Path:
    path = tmp_path / "green.quincunx"
    assert run("import", SMALL, path) == 0
    return path


def test_version_and_help_name_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--version") == 0
    assert capsys.readouterr().out.startswith("quincunx ")
    assert run("--help") == 0
    text = capsys.readouterr().out
    assert all(name in text for name in COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_explains_itself(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(name, "--help") == 0
    assert len(capsys.readouterr().out) > 80


def test_export_and_import_give_the_same_document(
    green: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("export", green, "--out", tmp_path / "a.json") == 0
    assert run("import", tmp_path / "a.json", tmp_path / "b.quincunx") == 0
    assert run("export", tmp_path / "b.quincunx", "--out", tmp_path / "b.json") == 0
    assert (tmp_path / "a.json").read_bytes() == (tmp_path / "b.json").read_bytes()
    capsys.readouterr()
    assert run("export", green) == 0
    assert capsys.readouterr().out == (tmp_path / "a.json").read_text(encoding="utf-8")


def test_import_replace_is_one_step_that_can_be_undone(green: Path, tmp_path: Path) -> None:
    other = json.loads(SMALL.read_text(encoding="utf-8"))
    other["name"] = "Other"
    other["features"] = other["features"][:2]
    other["jobs"] = []
    (tmp_path / "other.json").write_text(json.dumps(other), encoding="utf-8")
    with Store.open(green, keep=False) as store:
        before = garden_text(store.garden())
    assert run("import", tmp_path / "other.json", green, "--replace") == 0
    with Store.open(green, keep=False) as store:
        assert store.garden().name == "Other"
        assert store.undo() == "Import other.json"
        assert garden_text(store.garden()) == before


def test_check_prints_a_table_and_leaves_with_one_if_a_must_fails(
    green: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("check", green) == 1
    text = capsys.readouterr().out
    assert "2027" in text
    assert "a gap of 0.90 m" in " ".join(text.split())


def test_check_as_json_has_a_verdict_for_every_year(green: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", green, "--json") == 1
    said: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert set(said) == {"intents", "findings"}
    (must,) = said["intents"]
    assert {"id", "text", "from_year", "verdicts"} <= set(must)
    assert [v["year"] for v in must["verdicts"]] == list(range(2027, 2033))
    assert {"year", "state", "measured", "target", "because"} <= set(must["verdicts"][0])


def test_check_of_one_year_and_of_a_day(green: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", green, "--year", 2029, "--date", "2029-06-01") == 1
    assert "Standing on 2029-06-01: North hedge, Side gate, South hedge, Wall." in capsys.readouterr().out
    assert run("check", green, "--year", 1999) == 2
    assert "runs from 2027 to 2032" in capsys.readouterr().err


def test_json_is_checked_without_making_a_file(tmp_path: Path) -> None:
    copy = tmp_path / "green.json"
    shutil.copy(SMALL, copy)
    assert run("check", copy) == 1
    assert [p.name for p in tmp_path.iterdir() if p.name != "data"] == ["green.json"]


def test_print_writes_whole_files_and_nothing_else(green: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheets"
    assert run("print", green, "--out", out) == 0
    assert sorted(p.name for p in out.iterdir()) == [
        "green-2032.dxf",
        "green-2032.svg",
        "green-bill.xlsx",
        "green-care.ics",
        "green-money.xlsx",
        "green-prices-asked.csv",
        "green-prices-asked.xlsx",
        "green-works.dxf",
        "green.ics",
        "green.pdf",
    ]
    assert (out / "green.pdf").read_bytes().startswith(b"%PDF")
    assert run("print", green, "--out", out, "--sheet", "no-such") == 2


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda p: None, "There is no file"),
        (lambda p: p.write_text("{", encoding="utf-8"), "cut short"),
        (lambda p: p.write_text("{,}", encoding="utf-8"), "This is not JSON"),
        (lambda p: p.write_text("", encoding="utf-8"), "is not a Quincunx file"),
        (lambda p: p.write_bytes(b"\x00" * 100), "is not a Quincunx file"),
        (lambda p: p.write_text('{"format": "quincunx/9"}', encoding="utf-8"), "written as quincunx/9"),
        (lambda p: p.mkdir(), "is a folder"),
        (lambda p: _sparse(p, 200_000_000), "The text is 200 MB"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_code_two(
    make: Any, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bad.file"
    make(path)
    before = sorted(p.name for p in tmp_path.iterdir())
    for command in (["check", path], ["print", path, "--out", tmp_path / "out"], ["export", path]):
        assert run(*command) == 2
        said = capsys.readouterr()
        assert words in said.err, said.err
        assert "Traceback" not in said.err
        assert said.out == ""
    assert sorted(p.name for p in tmp_path.iterdir()) == before


def test_what_is_no_garden_file_is_not_opened(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name, text, words in (
        ("points.csv", "name;x;y\nA;0;0\n", "points.csv is not a Quincunx file."),
        ("green.json", '{"format": "quincunx/1"}', "It looks like JSON: use `quincunx import`."),
    ):
        (tmp_path / name).write_text(text, encoding="utf-8")
        assert run("open", tmp_path / name, "--no-show") == 2
        assert words in capsys.readouterr().err


def test_a_map_or_a_table_is_told_from_a_garden(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "map.json").write_text('{"type": "FeatureCollection", "features": []}', encoding="utf-8")
    assert run("import", tmp_path / "map.json", tmp_path / "g.quincunx") == 2
    assert "This is a map (GeoJSON), not a garden" in capsys.readouterr().err


def test_names_of_any_script_and_what_was_pasted_into_them_are_printed(tmp_path: Path) -> None:
    data = json.loads(SMALL.read_text(encoding="utf-8"))
    data["name"] = "Line\nbreak\x0b \u202e\ud83c\udf3f"
    data["spots"][0]["name"] = "a\nb\x00 c <b>&amp;</b> %d {}"
    data["spots"][1]["name"] = "חומת הצפון"
    (tmp_path / "odd.json").write_text(json.dumps(data), encoding="utf-8")
    assert run("import", tmp_path / "odd.json", tmp_path / "odd.quincunx") == 0
    assert run("print", tmp_path / "odd.quincunx", "--out", tmp_path / "out", "--sheet", "plan") == 0
    (drawn,) = (tmp_path / "out").glob("*.svg")
    text = drawn.read_text(encoding="utf-8")
    assert "a b c &lt;b&gt;" in text
    assert "חומת הצפון" in text


def _sparse(path: Path, size: int) -> None:
    with path.open("wb") as file:
        file.write(b"{")
        file.truncate(size)


def test_a_wrong_import_leaves_no_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = json.loads(SMALL.read_text(encoding="utf-8"))
    bad["features"][0]["height"] = "1,234"
    bad["features"][1]["colour"] = "red"
    (tmp_path / "bad.json").write_text(json.dumps(bad), encoding="utf-8")
    assert run("import", tmp_path / "bad.json", tmp_path / "g.quincunx") == 2
    said = capsys.readouterr().err
    assert "features → wall → height" in said
    assert "features → side-gate → colour" in said
    assert not (tmp_path / "g.quincunx").exists()


def test_schema_accepts_what_the_program_writes(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("schema") == 0
    schema = json.loads(capsys.readouterr().out)
    assert schema["$schema"].endswith("2020-12/schema")
    assert "boundary" in schema["properties"]
    kinds = schema["properties"]["features"]["items"]["discriminator"]["mapping"]
    assert {"hedge", "gate", "held"} <= set(kinds)


def _new(path: Path, answers: str) -> str:
    """Answer the questions of the first ten minutes, one word a line, and return what was said."""
    from click.testing import CliRunner

    from quincunx.cli._new import command

    said = CliRunner().invoke(command, [str(path)], input="\n".join(answers.split("|")) + "\n")
    assert said.exit_code == 0, said.output
    return said.output


def test_new_takes_a_wrong_diagonal_again_and_keeps_the_rest(tmp_path: Path) -> None:
    path = tmp_path / "back-garden.quincunx"
    said = _new(path, "||metric|.|EUR|10 m|8|10|8|40 m|E|n|||1,200|6|10|8 m|10|8|12.806||n")
    assert "can't meet over a diagonal" in said
    with Store.open(path, keep=False) as store:
        garden = store.garden()
    assert garden.name == "Back garden"
    corners = [(0, 0), (10, 0), (10, 8), (0, 8)]
    assert all(math.dist(p, q) < 0.002 for p, q in zip(garden.boundary, corners, strict=True))
    assert garden.means.sum_a_year == 120000
    assert [m.kind for m in garden.intents] == ["spend-no-more"]
    assert not list(tmp_path.glob("*-papers"))


def test_new_asks_again_only_for_what_does_not_fit(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    ground, house = "10|8|10|8|12.806|E", "y|1|12|4|2|1"
    said = _new(path, f"||metric|.|EUR|{ground}|{house}|seat|2|7|1||900|6|y|1|7|4|2|1|n")
    assert "The house begins 2.00 m along a side of 10.00 m and is 12.00 m long: it lies outside." in said
    assert said.count("2. The ground") == 1
    said = _new(tmp_path / "h.quincunx", f"||metric|.|EUR|{ground}|n|seat|2|9|1||900|6|seat|2|7|1|n")
    assert "The seat begins 9.00 m along a side of 8.00 m: it lies outside." in said
    assert said.count("2. The ground") == 1
    with Store.open(tmp_path / "h.quincunx", keep=False) as store:
        garden = store.garden()
    assert [j.does for j in garden.jobs] == [("seat",)]


def test_new_takes_three_sides_and_finds_a_misread_one_by_the_check(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    ground = "31.4|42.51|36.8||35.90|N"
    right = "31.4|42.15|36.8||36.34|N"
    said = _new(path, f"||metric|.|EUR|{ground}|y|1|8|5|4|1|||900|6|{right}|n")
    assert "one of the four is misread" in said
    assert "Along which side (1 to 3)" in said
    with Store.open(path, keep=False) as store:
        garden = store.garden()
    assert len(garden.boundary) == 3
    assert len(garden.survey.begun.lengths) == 3


def test_new_takes_no_town_that_nobody_meant_and_asks_which_of_several(tmp_path: Path) -> None:
    """What is only spelt alike (Harrow for Tarrow) is offered, not taken: half a world may lie between them."""
    rest = "metric|.|NZD|6|44|6|44|44.41|N|n||3|5000|900|6|n"
    said = _new(tmp_path / "a.quincunx", f"|Tarrow||-37.2|{rest}")
    assert "1 Harrow, GB, latitude 51.6 north" in said
    with Store.open(tmp_path / "a.quincunx", keep=False) as store:
        garden = store.garden()
    assert garden.site.place is not None
    assert (garden.site.place.name, garden.site.place.latitude_deg) == ("Tarrow", -37.2)
    # The sentence chosen is the must that is kept, its dry months those of the south.
    assert "Watering takes no more than ... in a dry year, December to February." in " ".join(said.split())
    (must,) = garden.intents
    assert must.model_dump()["months"] == (12, 1, 2)
    assert must.model_dump()["dry_year"] is True
    said = _new(tmp_path / "b.quincunx", f"|Hamilton|2|{rest}")
    assert "2 Hamilton, NZ, latitude 37.8 south" in said
    with Store.open(tmp_path / "b.quincunx", keep=False) as store:
        place = store.garden().site.place
    assert place is not None
    assert place.latitude_deg == pytest.approx(-37.8, abs=0.1)
    assert "Which of these?" not in _new(tmp_path / "c.quincunx", f"|Graz|{rest}")


def test_new_makes_the_whole_garden_of_the_first_ten_minutes(tmp_path: Path) -> None:
    path = tmp_path / "old-school.quincunx"
    ground = "14,2|abc|22 m|14,2|22|26,185|north"
    house, wanted, must = "y|1|8|6|2|1,5", "?|hed|hedge|1|8|1|6", "1|90 h"
    said = _new(path, f"The old school|Malmö|metric|,|sek|{ground}|{house}|{wanted}|{must}|4000|6,5|6|y")
    assert "Malmö" in said
    assert "abc" in said  # what can't be read is said, and asked again
    assert "Works and upkeep take no more than" in said
    with Store.open(path, keep=False) as store:
        garden = store.garden()
    assert (garden.writing.decimal_mark, garden.writing.currency) == (",", "SEK")
    assert garden.site.place is not None
    assert garden.site.place.latitude_deg == pytest.approx(55.6, abs=0.1)
    # Side 1 runs north from the first corner and the ground lies on its left: west of it.
    far = garden.boundary[2]
    assert math.dist(far, (-22.0, 14.2)) < 0.02
    house_there, hedge = garden.features
    outline = house_there.outline  # type: ignore[attr-defined]
    assert math.dist(outline[0], (-1.5, 2.0)) < 0.002
    assert math.dist(outline[2], (-7.5, 10.0)) < 0.002
    assert house_there.ridge_deg == pytest.approx(0.0)  # type: ignore[attr-defined]  # the long way
    line = hedge.line  # type: ignore[attr-defined]
    assert math.dist(line[0], (-1.0, 8.0)) < 0.002
    assert math.dist(line[1], (-1.0, 14.0)) < 0.002
    assert [m.kind for m in garden.intents] == ["hours-no-more"]
    assert (tmp_path / "old-school-papers" / "old-school.pdf").read_bytes().startswith(b"%PDF")


def test_a_demonstration_is_made_checked_and_printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("demo", "nowhere", "--no-open") == 2
    assert "There are: ropewalk, kettle-hill" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("more", "shown"), [(["--out", "here"], 0), (["--out", "here", "--open"], 1), ([], 1), (["--no-open"], 0)]
)
def test_a_demonstration_asked_for_as_files_opens_no_board(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, more: list[str], shown: int
) -> None:
    opened: list[Path] = []
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("quincunx.demos.demo_garden", lambda _name: board_small())
    monkeypatch.setattr("quincunx.cli._demo.write", lambda *_, **__: [])
    monkeypatch.setattr("quincunx.cli._open.show_file", opened.append)
    assert run("demo", *more) == 0
    assert len(opened) == shown
    assert Path("here" if "--out" in more else "out/demo").joinpath("ropewalk.quincunx").is_file()


def test_bench_names_those_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("bench", "no-such") == 2
    assert "There are:" in capsys.readouterr().err


def test_normal_form_is_stable() -> None:
    garden = garden_from(json.loads(SMALL.read_text(encoding="utf-8")))
    assert garden_text(garden) == garden_text(garden_from(json.loads(garden_text(garden))))


def test_order_shows_why_and_keeps_only_when_asked(green: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with Store.open(green, keep=False) as store:
        before = store.revision
    assert run("order", green, "--seconds", 3) == 0
    text = capsys.readouterr().out
    assert "Nothing better exists." in text
    assert "Plant the hedges" in text
    with Store.open(green, keep=False) as store:
        assert store.revision == before
    assert run("order", green, "--seconds", 3, "--json") == 0
    said = json.loads(capsys.readouterr().out)
    assert said["proven"] is True
    assert [j["start"] for j in said["jobs"]] == ["2027-01"]
    assert run("order", green, "--seconds", 3, "--keep") == 0
    with Store.open(green, keep=False) as store:
        assert store.garden().jobs[0].start == "2027-01"
        assert store.undo() == "Find the years"


def test_a_narrow_terminal_gets_a_list(
    green: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    assert run("check", green) == 1
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 44
    assert any(line.split() == [f"’{y}✗" for y in range(27, 33)] for line in lines)
