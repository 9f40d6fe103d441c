"""``quincunx export --format gltf``: what stands in a month, as a file that other programs open."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from quincunx.cli._export import command
from quincunx.store import Store
from tests.board.garden import small
from tests.model.reading import read


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "small.quincunx"
    Store.create(path, small()).close()
    return path


def test_the_last_summer_is_written_unless_a_month_is_named(file, tmp_path):
    out = tmp_path / "small.glb"
    result = CliRunner().invoke(command, [str(file), "--format", "gltf", "--out", str(out)])
    assert result.exit_code == 0, result.output
    assert read(out.read_bytes()).doc["scenes"][0]["name"] == "Small green on 2029-08-31"
    CliRunner().invoke(command, [str(file), "--format", "gltf", "--on", "2027-01", "--out", str(out)])
    assert read(out.read_bytes()).doc["scenes"][0]["extras"]["date"] == "2027-01-31"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--format", "gltf"], "say where to write it"),
        (["--format", "gltf", "--on", "June", "--out", "x.glb"], "Write it as 2031-06"),
        (["--format", "gltf", "--on", "2031-13", "--out", "x.glb"], "Write it as 2031-06"),
    ],
)
def test_what_is_missing_is_said(file, words, said):
    result = CliRunner().invoke(command, [str(file), *words])
    assert result.exit_code == 2
    assert said in result.output


def test_json_is_written_as_before(file):
    result = CliRunner().invoke(command, [str(file)])
    assert result.exit_code == 0
    assert '"name": "Small green"' in result.output


def test_a_map_goes_to_the_screen_or_a_file_and_its_origin_can_be_said(file, tmp_path):
    result = CliRunner().invoke(command, [str(file), "--format", "geojson", "--on", "2027-01"])
    assert result.exit_code == 0, result.output
    assert '"on": "2027-01-31"' in result.output
    out = tmp_path / "small.geojson"
    words = [str(file), "--format", "geojson", "--at", "51.5", "-0.25", "--out", str(out)]
    assert CliRunner().invoke(command, words).exit_code == 0
    assert '"longitude_deg": -0.25' in out.read_text(encoding="utf-8")
