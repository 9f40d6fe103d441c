"""``quincunx level`` and what ``quincunx measure`` draws from stakes."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from quincunx.cli._level import command as level
from quincunx.cli._measure import command as measure
from quincunx.garden import garden_from
from quincunx.store import Store

READINGS = """A B 4
B C 3
C D 4
D A 3
A C 5
B D 5
A>B sees C right
back A 1.200
between B 1.100
fore C 1.400
back C 1.300
between D 1.400
fore A 1.102
A>B 2 deg
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "plot.quincunx"
    place = {"latitude_deg": 42.4, "longitude_deg": -72.5, "timezone": "America/New_York"}
    Store.create(path, garden_from({"format": "quincunx/1", "name": "Plot", "site": {"place": place}})).close()
    done = CliRunner().invoke(measure, [str(path), "--add", "-"], input=READINGS)
    assert done.exit_code == 0, done.output
    return path


def test_the_book_the_falls_and_a_level_place_are_told(file: Path) -> None:
    told = CliRunner().invoke(level, [str(file)]).output
    assert "They are." in told
    assert "The book ends within 2 mm" in told
    assert "A to C falls 0.20 m in 5.00 m: 1 in 25." in told
    made = CliRunner().invoke(level, [str(file), "--make", "A B C D", "--at", "0.1"]).output
    assert made.startswith("12.0 m² made level at 0.100 m: dig ")
    wrong = CliRunner().invoke(level, [str(file), "--make", "A C B D"])
    assert wrong.exit_code == 1
    assert "in their order round it" in wrong.output


def test_heights_are_kept_once(file: Path) -> None:
    for told in ("Heights of 4 stakes: stored", "lies by the heights of the stakes already"):
        assert told in CliRunner().invoke(level, [str(file), "--keep"]).output
    with Store.open(file, keep=False) as store:
        assert len(store.garden().levels.heights) == 4


def test_no_level_says_how_to_begin(tmp_path: Path) -> None:
    path = tmp_path / "bare.quincunx"
    Store.create(path, garden_from({"format": "quincunx/1", "name": "Bare"})).close()
    assert "A B rises 0.12 by water level" in " ".join(CliRunner().invoke(level, [str(path)]).output.split())
    feet = tmp_path / "feet.quincunx"
    Store.create(feet, garden_from({"format": "quincunx/1", "name": "Feet", "writing": {"units": "feet"}})).close()
    assert 'A B rises 4 3/4" by water level' in " ".join(CliRunner().invoke(level, [str(feet)]).output.split())
    assert CliRunner().invoke(level, [str(path), "--make", "A B C"]).exit_code == 1


def test_things_are_drawn_from_stakes_and_the_needle_put_right(file: Path) -> None:
    for what in ("house: A B C D", "tree: B D"):
        done = CliRunner().invoke(measure, [str(file), "--draw", what])
        assert done.exit_code == 0, done.output
    assert CliRunner().invoke(measure, [str(file), "--draw", "A B C"]).exit_code == 1
    assert CliRunner().invoke(measure, [str(file), "--needle"]).exit_code == 0
    again = CliRunner().invoke(measure, [str(file), "--needle"])
    assert again.exit_code == 1
    assert "nothing to put right" in again.output
    with Store.open(file, keep=False) as store:
        garden = store.garden()
    assert [f.kind for f in garden.features] == ["house", "tree", "tree"]
    assert garden.survey.declination_deg < -10
