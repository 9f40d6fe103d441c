"""What the commands write fits a narrow terminal, and is whole where another program reads it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from quincunx.cli import COMMANDS, main
from quincunx.cli._say import folded
from quincunx.demos import demo_garden
from quincunx.garden import garden_text
from quincunx.store import Store

ASKED: tuple[tuple[str, ...], ...] = (
    ("hours",), ("upkeep",), ("water",), ("raise",), ("soon",), ("soon", "--wet"), ("matters",), ("level",), ("measure",),
    ("cost",), ("replan",), ("replan", "--today", "2028-06", "--seconds", "1"), ("prepare",), ("prices",), ("weather", "--of"),
    ("plants", "hedge", "--of"), ("towards", "such-a-thing"), ("check", "--year", "2028"),
    ("order", "--seconds", "1"), ("order", "--everything"), ("order", "--safe", "9"), ("order", "--what-if", "money=+10%", "--seconds", "1"),
    ("outdoors",), ("outdoors", "--who"), ("outdoors", "--page", "fill-hedge"),
)  # fmt: skip
"""Ways to ask; the garden's file is put after the command or at the end, behind an option that wants it."""


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder, out = tmp_path_factory.mktemp("narrow"), {}
    for name in ("ropewalk", "kettle-hill"):
        out[name] = folder / f"{name}.json"
        out[name].write_text(garden_text(demo_garden(name)), encoding="utf-8")
        Store.create(out[name].with_suffix(".quincunx"), demo_garden(name)).close()
    return out


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
@pytest.mark.parametrize("asked", ASKED, ids=" ".join)
def test_no_line_is_wider_than_sixty_columns(
    asked: tuple[str, ...],
    name: str,
    files: dict[str, Path],
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.chdir(files[name].parent)
    file = files[name].with_suffix(".quincunx").name
    args = [*asked, file] if asked[-1] == "--of" else [asked[0], file, *asked[1:]]
    with pytest.raises(SystemExit):
        main(args)
    told = capsys.readouterr()
    lines = f"{told.out}\n{told.err}".splitlines()
    assert any(lines)
    assert [line for line in lines if len(line) > 60] == []


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_every_command_fits_sixty_columns(
    command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    with pytest.raises(SystemExit):
        main([command, "--help"])
    assert [line for line in capsys.readouterr().out.splitlines() if len(line) > 60] == []


def test_the_hours_of_a_year_stand_in_two_halves_that_hold_the_same(
    files: dict[str, Path], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    cells = []
    for wide in ("60", "120"):
        monkeypatch.setenv("COLUMNS", wide)
        with pytest.raises(SystemExit):
            main(["hours", str(files["ropewalk"])])
        rows = [line.split() for line in capsys.readouterr().out.splitlines() if line.startswith("  in all")]
        cells.append([cell for row in rows for cell in row[2:]])
    assert cells[0] == cells[1]
    assert len(cells[0]) == 12


@pytest.mark.parametrize("command", ["cost", "upkeep", "measure"])
def test_names_with_brackets_are_written_as_they_are(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    data = json.loads(garden_text(demo_garden("ropewalk")))
    for one in (data, *data["jobs"], *data["features"]):
        one["name"] = f"[/x] {one.get('name', 'it')[:12]} [red]"
    file = tmp_path / "brackets.json"
    file.write_text(json.dumps(data), encoding="utf-8")
    monkeypatch.setenv("COLUMNS", "160")
    with pytest.raises(SystemExit) as ended:
        main([command, str(file)])
    assert ended.value.code == 0
    assert "[/x]" in (out := capsys.readouterr().out)
    assert "[red]" in out


def test_sentences_are_folded_between_words_and_further_in() -> None:
    text = "  ! Order for the hedge by the end of November.\nShort.\n\n    a list"
    assert folded(text, 30) == "  ! Order for the hedge by the\n    end of November.\nShort.\n\n    a list"
    assert folded(text, None) == text
    assert folded("Mended is what was said here", 20, 7) == "Mended is\n  what was said here"
    assert (
        folded("https://127.0.0.1/a-very-long-address-of-a-page", 20)
        == "https://127.0.0.1/a-very-long-address-of-a-page"
    )


def test_where_no_terminal_is_told_lines_stay_whole(
    files: dict[str, Path], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("COLUMNS", raising=False)
    with pytest.raises(SystemExit):
        main(["water", str(files["ropewalk"])])
    assert max(map(len, capsys.readouterr().out.splitlines())) > 80


def test_a_table_too_wide_for_the_window_loses_no_column(
    files: dict[str, Path], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is worked out and what it weighs stood beyond the edge of sixty columns."""
    from quincunx.garden import read_garden

    monkeypatch.setenv("COLUMNS", "60")
    with pytest.raises(SystemExit):
        main(["cost", str(files["ropewalk"])])
    out = " ".join(capsys.readouterr().out.split())
    jobs = read_garden(files["ropewalk"].read_text(encoding="utf-8")).jobs
    for job in jobs:
        assert job.name in out
    assert out.count("worked out") == len(jobs)
    assert out.count(" kg") == len(jobs)


def test_what_takes_no_time_in_a_year_has_no_row(
    files: dict[str, Path], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "160")
    with pytest.raises(SystemExit):
        main(["hours", str(files["ropewalk"]), "--year", "2027"])
    lines = capsys.readouterr().out.splitlines()
    rows = lines[next(k for k, line in enumerate(lines) if line.startswith("2027, hours:")) + 1 :]
    assert len([r for r in rows if r.startswith("  ")]) > 3
    assert all(any(c.isdigit() for c in row) for row in rows if row.startswith("  "))
