"""Both values of a field that differs, in the person's units: what a person would read off two plans laid side by side."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.board.beside import differs_in
from quincunx.garden import Garden, garden_from
from quincunx.review.beside import Difference, differences


def garden(**more: Any) -> Garden:
    """A plot with a wall, a bed, a seat, a job and a must, and whatever else is said."""
    wall = {"kind": "wall", "id": "wall", "name": "Old wall", "line": [[0, 0], [6, 0]], "height": 1.8}
    bed = {"kind": "bed", "id": "bed", "name": "Long bed", "outline": [[1, 1], [5, 1], [5, 3], [1, 3]]}
    seat = {"kind": "seat", "id": "seat", "at": [2, 5], "facing_deg": 90}
    document = {
        "format": "quincunx/1",
        "writing": {"currency": "GBP"},
        "boundary": [[0, 0], [20, 0], [20, 10], [0, 10]],
        "features": [wall | more.pop("wall", {}), bed | more.pop("bed", {}), seat | more.pop("seat", {})],
        "jobs": [{"id": "build", "name": "Build it", "does": ["wall"], "start": "2027-03"} | more.pop("job", {})],
        "means": {"first_year": 2027, "years": 3, "sum_a_year": 50000},
    }
    return garden_from(document | more)


def said(here: Garden, there: Garden) -> str:
    (only,) = differences(here, there)
    return differs_in(only)


@pytest.mark.parametrize(
    ("there", "words"),
    [
        ({"wall": {"height": 2.1}}, "height: 1.80 m here, 2.10 m there"),
        ({"wall": {"line": [[0, 0], [6, 8]]}}, "line: 6.00 m long here, 10.00 m long there"),
        ({"wall": {"line": [[3, 4], [9, 4]]}}, "line: 5.00 m apart"),
        ({"bed": {"outline": [[1, 1], [5, 1], [5, 3.5], [1, 3.5]]}}, "outline: 8.00 m² here, 10.0 m² there"),
        ({"seat": {"at": [5, 9]}}, "where: 5.00 m apart"),
        ({"seat": {"facing_deg": 180}}, "90° here, 180° there"),
        ({"job": {"start": "2028-11"}}, "planned to start: March 2027 here, November 2028 there"),
        ({"job": {"does": ["wall", "bed"]}}, "makes: Old wall here, Old wall, Long bed there"),
        ({"job": {"large": True}}, "no here, yes there"),
        ({"means": {"first_year": 2027, "years": 3, "sum_a_year": 60000}}, "sum a year: £500 here, £600 there"),
        ({"means": {"first_year": 2027, "years": 3, "sum_a_year": 50050}}, "sum a year: £500 here, £500.50 there"),
        ({"boundary": [[0, 0], [20, 0], [20, 8], [0, 8]]}, "boundary: 200 m² here, 160 m² there"),
        ({"name": "Hill"}, "name: My garden here, Hill there"),
    ],
)
def test_both_values_are_told_as_the_person_writes_them(there: dict[str, Any], words: str) -> None:
    told = said(garden(), garden(**there))
    assert words in told
    assert "differs" not in told


def test_each_side_is_told_from_where_one_stands() -> None:
    low, high = garden(), garden(wall={"height": 2.1})
    assert said(high, low) == "height: 2.10 m here, 1.80 m there"


def test_lengths_follow_the_way_of_writing() -> None:
    feet = {"writing": {"units": "feet", "currency": "GBP"}}
    told = said(garden(**feet), garden(wall={"height": 2.4384}, **feet))
    assert "8'" in told
    assert " m " not in told


def test_a_millimetre_is_told_so_that_both_can_be_told_apart() -> None:
    assert said(garden(), garden(wall={"height": 1.801})) == "height: 1.800 m here, 1.801 m there"


def test_of_many_fields_the_first_are_told_and_the_rest_named() -> None:
    values = (("1", "2"), ("", ""), ("3", "4"), ("5", "6"), ("7", "8"))
    found = Difference("jobs", "x", "X", "differs", ("a", "long list", "b (none: never)", "c", "d"), values)
    assert (
        differs_in(found) == "a: 1 here, 2 there; b: 3 here, 4 there; c: 5 here, 6 there; also differs in long list, d"
    )


def test_what_cannot_be_told_shortly_is_named() -> None:
    assert said(garden(), garden(wall={"note": "long " * 20})).startswith("differs in ")


def test_another_kind_of_thing_is_said_to_be_so() -> None:
    here, there = garden(), garden()
    stone = {"kind": "boulder", "id": "seat", "at": [2, 5], "width": 1.1, "depth": 0.8, "height": 0.55}
    features = [f.model_dump(mode="json") for f in there.features if f.id != "seat"]
    changed = garden_from({**there.model_dump(mode="json"), "features": [*features, stone]})
    assert said(here, changed) == "differs in what it is"
