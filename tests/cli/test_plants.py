"""``plants`` as a person meets it: finding, own plants of a garden, a table with faults."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from quincunx.cli import main
from quincunx.cli._plants import _line
from quincunx.plants.catalogue import builtin
from quincunx.store import Store
from quincunx.units import Style

OWN = [
    {"id": "sea-kale", "name": "My sea kale", "height_m": 0.8, "spread_m": 0.7},
    {"id": "carpinus-betulus", "name": "The slow hornbeam", "height_m": 9, "spread_m": 6, "form": "hedge"},
]


def run(*words: str) -> int:
    with pytest.raises(SystemExit) as leaving:
        main(list(words))
    return int(leaving.value.code or 0)


@pytest.fixture
def garden(tmp_path: Path) -> Path:
    source = tmp_path / "g.json"
    source.write_text(json.dumps({"format": "quincunx/1", "plants": OWN}), encoding="utf-8")
    assert run("import", str(source), str(tmp_path / "g.quincunx")) == 0
    return tmp_path / "g.quincunx"


def test_the_own_plants_of_a_garden_are_found_and_stand_in_the_lists_place(garden, capsys):
    capsys.readouterr()
    assert run("plants", "sea", "kale", "--of", str(garden)) == 0
    assert capsys.readouterr().out == "sea-kale: My sea kale; 0.8 m high, 0.7 m wide\n"
    run("plants", "carpinus-betulus", "--of", str(garden))
    assert "The slow hornbeam; 9 m high" in capsys.readouterr().out
    run("plants", "carpinus-betulus")
    assert "European hornbeam (Carpinus betulus)" in capsys.readouterr().out


def test_a_table_with_a_fault_is_looked_at_first_and_what_can_be_read_taken_in(garden, tmp_path, capsys):
    table = tmp_path / "own.csv"
    table.write_text("name;height_m;spread_m\nSkirret;1,2;0,5\nBroken;tall;1\n", encoding="utf-8")
    capsys.readouterr()
    run("plants", "--table", str(table), "--into", str(garden))
    said = capsys.readouterr().out
    assert "skirret: Skirret; 1.2 m high, 0.5 m wide" in said
    assert "! line 3, height_m: Got 'tall'; expected a number." in said
    assert "1 can be read, 1 fault.\n" in said
    assert "1 plant is now in" in said
    with Store.open(garden) as store:
        assert {p.id for p in store.garden().plants} == {"sea-kale", "carpinus-betulus", "skirret"}


@pytest.mark.parametrize(
    ("years", "told"), [((1.5, 1.5), "1,5 years"), ((1.0, 1.0), "1 year"), ((2.0, 3.5), "2 to 3,5 years")]
)
def test_the_years_to_the_first_crop_have_the_person_s_own_mark(years: tuple[float, float], told: str) -> None:
    hazel = builtin()["corylus-avellana"].model_copy(update={"first_crop_years": years})
    assert f"first crop after {told};" in _line(hazel, Style(decimal_mark=","))
