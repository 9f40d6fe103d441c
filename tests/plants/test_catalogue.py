"""The plant list holds together: ids, months, ranges, light."""

from __future__ import annotations

import re
from importlib import resources

import pytest

from quincunx.plants.catalogue import Plant, builtin, find_plant

ROWS = sorted(builtin().values(), key=lambda p: p.id)


def test_every_row_is_read_and_no_id_stands_twice():
    text = (resources.files("quincunx.plants") / "data" / "plants.csv").read_text(encoding="utf-8")
    rows = [line for line in text.splitlines() if line and not line.startswith("#")][1:]
    ids = [row.split(",")[0] for row in rows]
    assert len(ids) == len(set(ids)) == len(ROWS)
    assert all(re.fullmatch(r"[a-z0-9]+(?:-[a-z0-9]+)*", one) for one in ids)


@pytest.mark.parametrize("plant", ROWS, ids=lambda p: p.id)
def test_row_is_consistent(plant):
    assert plant.name
    assert plant.botanical
    assert plant.start_height_m <= plant.height_m
    assert plant.clear_stem_m < plant.height_m
    assert plant.spacing_m <= 2 * plant.spread_m + 0.25
    assert len(set(plant.leaf_months)) == len(plant.leaf_months) > 0
    assert plant.evergreen == (len(plant.leaf_months) == 12 and plant.evergreen)
    # Months in leaf follow on one another, over the turn of the year too.
    assert all(b == a % 12 + 1 for a, b in zip(plant.leaf_months, plant.leaf_months[1:], strict=False))
    assert plant.light_leaf <= plant.light_bare
    assert plant.source


def test_every_source_says_how_it_is_known():
    assert {p.source.split(":")[0] for p in ROWS} <= {"read", "mixed", "memory"}


@pytest.mark.parametrize(
    ("plant_id", "leaf", "bare"),
    [("acer-rubrum", 0.31, 0.75), ("gleditsia-triacanthos-var-inermis", 0.44, 0.79)],
)
def test_crown_light_as_published(plant_id, leaf, bare):
    # Gardner and Sydnor 1984, J. Amer. Soc. Hort. Sci. 109:448-450, 1 minus intercepted (read in the abstract).
    plant = find_plant(plant_id)
    assert plant is not None
    assert (plant.light_leaf, plant.light_bare) == (leaf, bare)
    light = plant.light()
    assert (min(light), max(light)) == (leaf, bare)


def test_apple_heights_by_rootstock():
    # Apple heights by rootstock, m: M.27 2; M.9 2.5-3; M.26 3-3.5; MM.106 4-5.5; MM.111 5.5-7.5 (read in two nursery
    # texts; published ranges differ by up to 40 %).
    ranges = {
        "malus-domestica-m-27-rootstock": (1.2, 2.0),
        "malus-domestica-m-9-rootstock": (2.5, 3.0),
        "malus-domestica-m-26-rootstock": (3.0, 3.5),
        "malus-domestica-mm-106-m-7-rootstock": (4.0, 5.5),
    }
    for plant_id, (low, high) in ranges.items():
        plant = find_plant(plant_id)
        assert plant is not None
        assert low <= plant.height_m <= high


def test_leaf_and_light_turn_with_the_hemisphere():
    apple = find_plant("malus-domestica-m-9-rootstock")
    assert apple is not None
    north, south = apple.in_leaf(), apple.in_leaf(southern=True)
    assert north[6] == south[0] == 1
    assert north[0] == south[6] == 0
    assert apple.light(southern=True) == apple.light()[6:] + apple.light()[:6]


def test_what_dies_back_lets_all_light_through_in_winter():
    hosta = find_plant("hosta-hybrids")
    assert hosta is not None
    assert hosta.dies_back
    assert hosta.light()[0] == 1.0


def test_own_plants_come_before_the_list():
    mine = Plant(id="hosta-hybrids", name="ours", height_m=2, spread_m=2)
    assert find_plant("hosta-hybrids", {"hosta-hybrids": mine}) is mine
    assert find_plant("no-such-plant") is None
