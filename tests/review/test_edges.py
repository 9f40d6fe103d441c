"""Tops of retaining walls and sides of ramps and steps with nothing along them: told by the garden's country, or whom to ask."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import garden_from, timeline
from quincunx.review import notice
from quincunx.review._view import View
from quincunx.review.read import words_for
from quincunx.shapes import Finding, Severity

EDGE = {"kind": "terrace-edge", "id": "edge", "name": "Upper edge", "line": [[4, 8], [16, 8]], "retained": 0.9,
        "made": "block", "there_from": "start"}  # fmt: skip
FENCE = {
    "kind": "fence",
    "id": "rail",
    "name": "Rail",
    "line": [[4, 8.3], [16, 8.3]],
    "height": 1.1,
    "there_from": "start",
}
RAMP = {"kind": "ramp", "id": "ramp", "name": "Long ramp", "line": [[6, 4], [14, 4]], "fall": 0.8, "width": 1.2,
        "there_from": "start"}  # fmt: skip
STEPS = {"kind": "steps", "id": "flight", "name": "Flight", "line": [[10, 7.9], [10, 4]], "fall": 0.9, "width": 1.4,
         "there_from": "start"}  # fmt: skip


def told(*features: dict[str, Any], country: str = "GB", **more: Any) -> dict[str, Finding]:
    garden = garden_from({
        "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "features": list(features),
        "means": {"first_year": 2027, "years": 2}, **more,
        "site": {"place": {"latitude_deg": 52.0, "longitude_deg": 0.0, "country": country}},
    })  # fmt: skip
    through = timeline(garden)
    return {f.id: f for f in notice(View(garden, through, words_for(garden, through)))}


def test_the_top_of_a_retaining_wall_is_told_with_what_the_country_asks() -> None:
    """Approved Document K of England 1.41 and 3.2: from 600 mm on a guard of 1100 mm."""
    found = told(EDGE)["edge-edge"]
    assert (
        found.words == "Upper edge drops 0.90 m, and along 12.00 m of its top nothing high enough holds anybody back."
    )
    assert found.remedy.startswith("From 0.60 m on a guard 1.10 m high is asked for: put one there")
    assert "Approved Document K" in found.source
    assert found.severity is Severity.CARE
    assert found.can_hurt


@pytest.mark.parametrize(
    ("more", "others", "long"),
    [
        ({}, [FENCE], None),
        ({}, [FENCE | {"height": 0.9}], "12.00 m"),
        ({}, [FENCE | {"line": [[4, 8.3], [10, 8.3]]}], "6.00 m"),
        ({}, [FENCE | {"line": [[4, 9.5], [16, 9.5]]}], "12.00 m"),  # so far back one walks in front of it
        ({}, [FENCE | {"line": [[4, 7.4], [16, 7.4]], "height": 1.1}], "12.00 m"),  # at the foot it ends 0.2 m up
        ({"above": 1.1}, [], None),
        ({"above": 0.5}, [], "12.00 m"),
        ({"retained": 0.3}, [], None),
        ({"made": "grass bank", "thickness": 1.5}, [], None),
        ({"high_left": False}, [FENCE | {"line": [[4, 7.7], [16, 7.7]]}], None),
    ],
)
def test_what_stands_along_it_counts_where_it_is_high_and_near_enough(
    more: dict[str, Any], others: list[dict[str, Any]], long: str | None
) -> None:
    found = told(EDGE | more, *others).get("edge-edge")
    assert (found is None) == (long is None)
    assert found is None or f"along {long} of its top" in found.words


def test_below_what_the_country_asks_it_is_a_hint() -> None:
    """Musterbauordnung 38: more than 1 m."""
    found = told(EDGE, country="DE")["edge-edge"]
    assert found.severity is Severity.HINT
    assert found.remedy.startswith("Guards are asked for from 1.00 m on, but a lower fall hurts too")


def test_where_the_table_has_no_code_of_the_country_the_building_office_is_named() -> None:
    found = told(EDGE, country="BR")["edge-edge"]
    assert "ask your local building office (the United Kingdom: from 0.60 m on, 1.10 m high)" in found.remedy
    assert "no code of Brazil for guards at a drop is in our table" in found.source
    assert found.severity is Severity.CARE


def test_where_the_measured_ground_falls_further_than_written_that_counts() -> None:
    levels = {"breaks": [
        {"points": [[0, 8], [20, 8]], "heights_m": [1.2, 1.2]}, {"points": [[0, 7.6], [20, 7.6]], "heights_m": [0.0, 0.0]},
    ], "heights": [{"at": [0, 20], "z_m": 1.2}, {"at": [20, 20], "z_m": 1.2}, {"at": [0, 0], "z_m": 0}, {"at": [20, 0], "z_m": 0}]}  # fmt: skip
    assert "drops 1.20 m" in told(EDGE | {"thickness": 0.4}, levels=levels)["edge-edge"].words


def test_steps_through_it_part_its_top() -> None:
    found = told(EDGE, STEPS | {"line": [[10, 5.5], [10, 8]]})["edge-edge"]
    assert "along 10." in found.words


def test_the_sides_of_a_ramp_and_of_steps_are_told_where_they_end_in_the_air() -> None:
    """On a run of 8 m that climbs 0.8 m the last 5 m lie more than 0.3 m up, on two sides."""
    found = told(RAMP)["side-ramp"]
    assert found.words.startswith("Long ramp lies up to 0.7")
    assert "along 10.00 m of its sides" in found.words
    assert found.remedy.startswith("From 0.60 m on a guard 1.10 m high is asked for")
    assert "side-flight" in told(STEPS)
    assert "side-ramp" not in told(RAMP | {"fall": 0.25})


def test_walls_along_a_ramp_hold() -> None:
    walls = [
        {"kind": "wall", "id": f"wall-{int(y)}", "name": f"Wall {int(y)}", "line": [[6, y], [14, y]], "height": 2.0, "thickness": 0.2,
         "there_from": "start"} for y in (3.25, 4.75)
    ]  # fmt: skip
    assert "side-ramp" not in told(RAMP, *walls)
    assert "along 5.00 m of its sides" in told(RAMP, walls[0])["side-ramp"].words
