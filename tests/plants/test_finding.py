"""Plants are found by name, need and use in the words people use; a slip of one letter says the nearest."""

from __future__ import annotations

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.plants.catalogue import Plant, builtin
from quincunx.plants.finding import FORMS, TESTS, find, folded, marks_of, search, uses_of
from quincunx.plants.tables import rows_of

PLANTS = builtin()
MARKS = {row["mark"] for row in rows_of("words.csv") if row["mark"]}


def ids(text):
    return {p.id for p in search(text)}


def test_searching_by_name_need_and_use():
    assert "box" in {p.name.split()[-1] for p in search("hedge evergreen deer")}
    assert all(p.edible and "shade" in p.sun for p in search("edible shade"))
    assert [p.id for p in search("corylus avellana")] == ["corylus-avellana"]
    fruit = ids("fruit")
    assert {"rubus-idaeus", "ribes-nigrum", "vitis-vinifera", "corylus-avellana"} <= fruit
    assert not fruit & {"salvia-rosmarinus", "allium-cepa", "quercus-robur"}
    mine = Plant(id="rambler", name="our rambler", height_m=3, spread_m=2)
    assert search("our rambler", {"rambler": mine}) == (mine,)


@pytest.mark.parametrize(
    ("asked", "among", "never"),
    [
        ("bees", "lavandula-angustifolia", "fagus-sylvatica"),
        ("pollinators", "crataegus-monogyna", "taxus-baccata"),
        ("insects", "echinacea-purpurea", "thuja-plicata"),
        ("windbreak", "hippophae-rhamnoides", "hosta-hybrids"),
        ("shelter belt", "crataegus-monogyna", "lactuca-sativa"),
        ("privacy", "prunus-laurocerasus", "lavandula-angustifolia"),
        ("dry", "lavandula-angustifolia", "astilbe-x-arendsii"),
        ("wet ground", "aronia-melanocarpa", "lavandula-angustifolia"),
        ("heavy clay", "carpinus-betulus", "lavandula-angustifolia"),
        ("hens", "rubus-idaeus", "taxus-baccata"),
        ("deer-proof", "buxus-sempervirens", "malus-domestica-m-9-rootstock"),
        ("evergreens", "taxus-baccata", "fagus-sylvatica"),
        ("scented", "syringa-vulgaris", "carpinus-betulus"),
        ("thorny hedges", "crataegus-monogyna", "fagus-sylvatica"),
        ("soft fruit", "ribes-nigrum", "malus-domestica-m-9-rootstock"),
        ("kitchen herbs", "thymus-vulgaris", "allium-cepa"),
        ("flowers in winter", "hamamelis-x-intermedia", "buddleja-davidii"),
        ("non-poisonous climber", "rosa-climbing-and-rambling", "wisteria-sinensis"),
    ],
)  # fmt: skip
def test_needs_and_uses_are_found_by_peoples_words(asked, among, never):
    found = ids(asked)
    assert among in found
    assert never not in found
    assert ids(asked.upper()) == found


@pytest.mark.parametrize(
    ("slip", "meant"),
    [("windbrek", "windbreak"), ("lavendar", "lavender"), ("roze", "rose"), ("hawthorm", "hawthorn"), ("ewergreen", "evergreen")],
)  # fmt: skip
def test_a_slip_of_one_letter_is_read_as_the_nearest_and_said(slip, meant):
    found = find(slip)
    assert set(found.plants) == set(find(meant).plants) != set()
    assert found.said[0] == f"Nothing is called “{slip}”; taken for “{meant}”."


def test_what_nothing_answers_to_is_said():
    assert find("qqqq").plants == ()
    assert find("qqqq").said == ("Nothing answers to “qqqq”, and nothing is spelt like it.",)
    none = find("climber acid dry")
    assert none.plants == ()
    assert none.said[-1].startswith("No plant answers to all of that: ")


def test_a_short_word_being_typed_keeps_names_that_begin_so():
    assert {"beta-vulgaris-beetroot", "lavandula-angustifolia"} <= ids("bee")
    assert ids("beech") == {"fagus-sylvatica"}
    assert ids("carpinus-betulus") == {"carpinus-betulus"}


@settings(max_examples=20)
@given(st.text(max_size=30))
def test_any_words_are_answered(text):
    found = find(text)
    assert set(found.plants) <= set(PLANTS.values())
    assert found.plants or found.said or not folded(text)


def test_every_word_stands_for_one_mark_and_every_mark_for_some_plant():
    words = [w for row in rows_of("words.csv") for w in row["words"].split()]
    assert len(words) == len(set(words))
    assert all(folded(w).replace(" ", "-") == w for w in words)
    marked = [marks_of(p) for p in PLANTS.values()]
    assert all(any(mark in marks for marks in marked) for mark in MARKS)
    assert set(TESTS) | FORMS | {row["use"] for row in rows_of("uses.csv")} == MARKS


def test_every_use_names_plants_there_are_and_says_where_from():
    named = set(PLANTS) | {p.botanical.partition(" ")[0] for p in PLANTS.values()}
    keys = {row["key"] for row in rows_of("sources.csv")}
    for row in rows_of("uses.csv"):
        assert set(row["of"].split()) <= named, row
        assert row["source"] == "practice" or row["source"] in keys
    # Oregon State University Extension 2003 lists these three among fragrant shrubs (read).
    for plant in ("buddleja-davidii", "philadelphus-coronarius", "syringa-vulgaris"):
        assert uses_of(plant, PLANTS[plant].botanical)["scent"] == "OSU3"
