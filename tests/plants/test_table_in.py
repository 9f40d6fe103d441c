"""The person's own plants from a table: what can be read, and a sentence for each cell that can't."""

from __future__ import annotations

from hypothesis import given, strategies as st

from quincunx.plants.catalogue import builtin
from quincunx.plants.table_in import read_plants, slug


def test_a_plain_table():
    read = read_plants(
        "name,botanical,height_m,spread_m,evergreen,harvest_months\nour plum,Prunus domestica,4,3.5,no,Aug-Sep\n"
    )
    assert read.faults == ()
    (plum,) = read.plants
    assert (plum.id, plum.height_m, plum.spread_m, plum.harvest_months, plum.source) == (
        "prunus-domestica",
        4,
        3.5,
        (8, 9),
        "own",
    )


def test_columns_as_a_person_reads_them_with_semicolons_and_commas():
    read = read_plants(
        "Name;Height when mature;Spread when mature;Soil acidity it likes (pH), low and high\nIris;0,8;0,4;6,5-7,5\n"
    )
    assert read.faults == ()
    assert read.plants[0].height_m == 0.8
    assert read.plants[0].ph_span == (6.5, 7.5)


def test_each_fault_has_a_line_a_column_and_a_sentence():
    read = read_plants("name,height_m,spread_m,colour\nrose,tall,1,red\nlily,0.5,,\nfern,0.6,0.5,green\n")
    assert [p.name for p in read.plants] == ["fern"]
    assert [(f.line, f.column) for f in read.faults] == [(2, "height_m"), (3, "spread_m")]
    assert read.faults[0].sentence.startswith("Got 'tall'")
    assert read.faults[1].sentence == "Spread when mature is missing. Give it."
    assert read.unknown == ("colour",)


def test_the_same_id_twice_and_no_name():
    twice = read_plants("name,height_m,spread_m\nrose,1,1\nrose,2,2\n")
    assert [p.height_m for p in twice.plants] == [1]
    assert "twice" in twice.faults[0].sentence
    assert "no column" in read_plants("plant,height\nrose,1\n").faults[0].sentence
    assert "empty" in read_plants("\n\n").faults[0].sentence


def test_months_over_the_turn_of_the_year():
    read = read_plants('name,height_m,spread_m,bloom_months,leaf_months\nhellebore,0.4,0.5,Nov-Feb,"1,2,3"\n')
    assert read.plants[0].bloom_months == (11, 12, 1, 2)
    assert read.plants[0].leaf_months == (1, 2, 3)


def test_too_much_is_refused_with_a_sentence():
    rows = "name,height_m,spread_m\n" + "".join(f"p{n},1,1\n" for n in range(2100))
    read = read_plants(rows)
    assert len(read.plants) == 2000
    assert "2000" in read.faults[-1].sentence
    assert "letters" in read_plants("x" * 3_000_000).faults[0].sentence


@given(st.text(max_size=400))
def test_anything_at_all_is_read_or_told(text):
    read = read_plants(text)
    assert all(f.sentence.endswith((".", "...")) for f in read.faults)


@given(st.sampled_from(sorted(builtin().values(), key=lambda p: p.id)))
def test_the_catalogue_itself_can_be_read(plant):
    months = " ".join(map(str, plant.leaf_months))
    text = f"name\theight_m\tspread_m\tleaf_months\tevergreen\n{plant.name}\t{plant.height_m}\t{plant.spread_m}\t{months}\t{plant.evergreen}\n"
    read = read_plants(text)
    assert read.faults == ()
    assert read.plants[0].leaf_months == plant.leaf_months


def test_ids():
    assert slug("Malus × domestica ‘Früher’") == "malus-domestica-fruher"
    assert slug("!!!") == ""
