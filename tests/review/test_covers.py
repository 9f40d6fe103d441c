"""Covers over drains, and what comes to stand over a drain or close to one."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import garden_from, timeline
from quincunx.review import notice
from quincunx.review._view import View
from quincunx.review.read import words_for
from quincunx.shapes import Finding, Severity

COVER = {"kind": "access-cover", "id": "cover", "name": "Yard cover", "at": [10, 10], "there_from": "start"}
SEWER = {"kind": "buried-line", "id": "sewer", "name": "Sewer", "line": [[0, 10], [20, 10]], "carries": "drain",
         "sure_to": 0.5, "there_from": "start"}  # fmt: skip
DRAIN = {
    "kind": "drain",
    "id": "drain",
    "name": "Yard drain",
    "line": [[0, 10], [20, 10]],
    "sort": "land",
    "there_from": "start",
}
SHED = {"kind": "shed", "id": "shed", "name": "Shed", "at": [10, 10], "width": 2.4, "depth": 2.0}
DECK = {
    "kind": "deck",
    "id": "deck",
    "name": "Deck",
    "outline": [[8, 8], [12, 8], [12, 12], [8, 12]],
    "floor_height": 0.25,
}
BED = {"kind": "bed", "id": "bed", "name": "Bed", "outline": [[9, 9], [11, 9], [11, 11], [9, 11]]}
TREE = {"kind": "tree", "id": "tree", "name": "Apple", "at": [10, 10], "plant": "malus-domestica-m-26-rootstock"}
SHRUB = {"kind": "shrub", "id": "shrub", "name": "Laurel", "at": [10.9, 10], "plant": "prunus-laurocerasus"}
POND = {"kind": "pond", "id": "pond", "name": "Pond", "outline": [[9, 9], [11, 9], [11, 11], [9, 11]]}
LAWN = {
    "kind": "lawn",
    "id": "lawn",
    "name": "Lawn",
    "outline": [[5, 5], [15, 5], [15, 15], [5, 15]],
    "there_from": "start",
}
PAVING = {"kind": "paving", "id": "paving", "name": "Paving", "outline": [[8, 8], [12, 8], [12, 12], [8, 12]]}
PERGOLA = {"kind": "pergola", "id": "slats", "name": "Slats", "line": [[6, 10], [14, 10]], "width": 3}


def told(*features: dict[str, Any]) -> dict[str, Finding]:
    coming = [f["id"] for f in features if f.get("there_from") != "start"]
    jobs = [{"id": f"put-{i}", "name": f"Put in {i}", "does": [i], "start": "2028-03"} for i in coming]
    garden = garden_from({
        "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "features": list(features), "jobs": jobs,
        "means": {"first_year": 2027, "years": 4},
        "site": {"place": {"latitude_deg": 52.0, "longitude_deg": 0.0, "country": "GB"}},
    })  # fmt: skip
    through = timeline(garden)
    return {f.id: f for f in notice(View(garden, through, words_for(garden, through)))}


def test_every_cover_carries_the_usual_care() -> None:
    found = told(COVER)["cover-cover"]
    assert found.can_hurt
    for words in ("Never opened alone", "gases", "Nothing heavy stands on it", "within reach"):
        assert words in found.remedy
    assert "on-cover-cover" not in told(COVER)


@pytest.mark.parametrize("thing", [SHED, DECK, BED, TREE, POND])
def test_what_stands_lies_or_grows_on_it_is_told_with_the_year(thing: dict[str, Any]) -> None:
    found = told(COVER, thing)["on-cover-cover"]
    assert found.words.startswith(f"{thing['name']} is on Yard cover from 2028")
    assert found.severity is Severity.CARE
    assert set(found.about) == {"cover", thing["id"]}


@pytest.mark.parametrize(
    "thing",
    [LAWN, PAVING, PERGOLA, SHED | {"at": [10, 11.4]}, BED | {"outline": [[9, 10.3], [11, 10.3], [11, 12], [9, 12]]}],
)
def test_what_leaves_it_bare_is_not(thing: dict[str, Any]) -> None:
    assert "on-cover-cover" not in told(COVER, thing)


def test_paving_to_come_is_laid_round_it() -> None:
    assert told(COVER, PAVING)["round-cover-cover"].words == "Paving is laid round Yard cover: don't lay it over."
    assert "round-cover-cover" not in told(COVER, LAWN)


def test_a_shrub_beside_it_grows_over_it_in_a_later_year() -> None:
    """Grown, a cherry laurel is some metres wide; a whip set 0.9 m off is not on the cover at once."""
    found = told(COVER, SHRUB)["on-cover-cover"]
    assert found.words.startswith("Laurel is on Yard cover from")
    assert found.year is not None
    assert found.year > 2028


def test_roots_and_digging_near_it_are_told_as_for_any_drain() -> None:
    found = told(COVER, TREE | {"at": [11, 10]})
    assert any(f.id.startswith("roots") or "roots want" in f.words for f in found.values())
    assert "dig-near-tree-cover" in told(COVER, TREE | {"at": [10.6, 10.4]})


@pytest.mark.parametrize("drain", [SEWER, DRAIN, COVER])
@pytest.mark.parametrize("thing", [SHED, DECK, PERGOLA | {"line": [[10, 10], [10, 16]]}])
def test_what_is_built_over_a_drain_is_told(drain: dict[str, Any], thing: dict[str, Any]) -> None:
    """Approved Document H, H4 0.1: over or within 3 m of the centreline."""
    if drain is COVER and thing["kind"] == "pergola":
        thing = thing | {"line": [[10, 9.9], [10, 16]], "width": 0.6}
    found = told(drain, thing)[f"over-drain-{drain['id']}"]
    assert found.words == f"{thing['name']} comes to stand over {drain['name']} from 2028."
    assert "ask your local building office" in found.remedy.lower()
    assert "Approved Document H" in found.source


@pytest.mark.parametrize(("y", "near"), [(13.4, True), (15.0, False)])
def test_within_three_metres_it_is_a_hint(y: float, near: bool) -> None:
    """The shed's near wall is 2.4 m and 4.0 m off."""
    found = told(DRAIN, SHED | {"at": [10, y]})
    assert "over-drain-drain" not in found
    assert ("near-drain-drain" in found) == near
    assert not near or found["near-drain-drain"].severity is Severity.HINT


def test_what_stands_there_already_and_what_carries_water_is_not() -> None:
    assert not any("-drain-" in i for i in told(SEWER, SHED | {"there_from": "start"}))
    assert not any("-drain-" in i for i in told(SEWER | {"carries": "water"}, SHED))


def test_a_cover_on_a_drawn_drain_is_told_by_the_drain_alone() -> None:
    found = told(SEWER, COVER, SHED)
    assert "over-drain-sewer" in found
    assert "over-drain-cover" not in found
