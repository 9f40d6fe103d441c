"""Every command works on the alternative asked for, else on the one the board last showed, and says which where there are several."""

from __future__ import annotations

from pathlib import Path

import click
import pytest

from quincunx.cli import ALL_PLANS, COMMANDS, main, quincunx
from quincunx.demos import demo_garden
from quincunx.store import Store


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A garden with an alternative in which the first year's sum is another."""
    path = tmp_path / "two.quincunx"
    garden = demo_garden("ropewalk")
    with Store.create(path, garden) as store:
        store.new_head("wide pond")
        store.switch("wide pond")
        store.replace(garden.changed(name="With the pond"), "Call it so")
    return path


def ran(args: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[str, str, int]:
    with pytest.raises(SystemExit) as left:
        main(args)
    told = capsys.readouterr()
    return told.out, told.err, int(left.value.code or 0)


def test_the_board_and_the_commands_speak_of_the_same_plan(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out, err, _ = ran(["export", str(file)], capsys)
    assert '"With the pond"' not in out
    assert err.startswith("Alternative: main (as the board opens it). Others (--alternative NAME): wide pond.")
    with Store.open(file) as store:
        store.show("wide pond")
    out, err, _ = ran(["export", str(file)], capsys)
    assert '"With the pond"' in out
    assert err.startswith("Alternative: wide pond (as the board opens it). Others (--alternative NAME): main.")


def test_another_can_be_asked_for(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out, err, _ = ran(["export", str(file), "--alternative", "wide pond"], capsys)
    assert '"With the pond"' in out
    assert "wide pond (asked for)" in err
    out, err, code = ran(["export", str(file), "--alternative", "roof"], capsys)
    assert (out, code) == ("", 2)
    assert "There is no alternative called 'roof'. There are: main, wide pond." in err


def test_what_is_written_goes_into_that_one(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    ran(
        ["matters", str(file), "--more", "long-walk-dig", "--than", "deer-fence-job", "--alternative", "wide pond"],
        capsys,
    )
    with Store.open(file, keep=False) as store:
        main_now, pond = store.garden_of("main")[0], store.garden_of("wide pond")[0]
    assert main_now == demo_garden("ropewalk")
    assert pond.jobs != main_now.jobs


def test_it_is_said_once_and_only_where_there_are_several(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, err, _ = ran(["hours", str(file), "--take"], capsys)
    assert err.count("Alternative:") == 1
    Store.create(tmp_path / "one.quincunx", demo_garden("ropewalk")).close()
    _, err, _ = ran(["soon", str(tmp_path / "one.quincunx")], capsys)
    assert "lternative" not in err


def test_json_holds_one_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from quincunx.garden import garden_text

    (tmp_path / "g.json").write_text(garden_text(demo_garden("ropewalk")), encoding="utf-8")
    _, err, code = ran(["soon", str(tmp_path / "g.json"), "--alternative", "pond"], capsys)
    assert code == 2
    assert "holds one plan alone" in err


def test_every_command_that_reads_a_plan_can_be_told_which() -> None:
    context = click.Context(quincunx)
    for name in COMMANDS:
        command = quincunx.get_command(context, name)
        assert command is not None
        assert ("alternative" in {p.name for p in command.params}) == (name not in ALL_PLANS)
