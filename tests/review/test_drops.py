"""A raised floor with nothing along its sides: told with how deep, how long and what to do, and not where steps lead up."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import garden_from, timeline
from quincunx.review import notice
from quincunx.review._view import View
from quincunx.review.read import words_for
from quincunx.shapes import Finding, Severity

DECK = {
    "kind": "deck", "id": "deck", "name": "Evening deck", "outline": [[6, 6], [10, 6], [10, 9], [6, 9]], "floor_height": 0.5,
}  # fmt: skip
STEPS = {"kind": "steps", "id": "up", "name": "Steps up", "line": [[8, 4.8], [8, 6]], "width": 4.0, "fall": 0.5,
         "there_from": "start"}  # fmt: skip
HEDGE_WALL = {
    "kind": "wall",
    "id": "wall",
    "name": "Wall",
    "line": [[5.8, 9.2], [10.2, 9.2]],
    "height": 1.6,
    "there_from": "start",
}


def told(*features: dict[str, Any], country: str = "GB") -> dict[str, Finding]:
    garden = garden_from({
        "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "features": list(features),
        "jobs": [{"id": "build", "name": "Build the deck", "does": ["deck"], "start": "2028-05"}],
        "means": {"first_year": 2027, "years": 3}, "site": {"place": {"latitude_deg": 52.0, "longitude_deg": 0.0, "country": country}},
    })  # fmt: skip
    through = timeline(garden)
    return {f.id: f for f in notice(View(garden, through, words_for(garden, through)))}


def test_a_deck_half_a_metre_up_without_a_guard_is_told_with_its_remedy() -> None:
    """Approved Document K asks for a guard from 600 mm on: at 500 mm nothing is asked for, and one falls all the same."""
    found = told(DECK)["drop-deck"]
    assert (
        found.words
        == "Evening deck ends 0.50 m above what lies beside it, and along 14.00 m nothing high enough holds anybody back."
    )
    assert found.remedy.startswith("Guards are asked for from 0.60 m on, but a lower fall hurts too: put one there")
    assert found.severity is Severity.CARE
    assert found.can_hurt
    assert "Approved Document K" in found.source


@pytest.mark.parametrize(
    ("more", "long"),
    [
        ({"floor_height": 0.2}, None),
        ({"guard_height": 1.1}, None),
        ({"guard_height": 1.1, "open_sides": [1]}, "4.00 m"),
        ({"guard_height": 1.1, "open_sides": [1, 2]}, "7.00 m"),
    ],
)
def test_only_sides_without_a_guard_and_higher_than_a_step_count(more: dict[str, Any], long: str | None) -> None:
    found = told({**DECK, **more}).get("drop-deck")
    assert (found is None) == (long is None)
    assert found is None or f"along {long} nothing" in found.words


def test_where_steps_lead_up_or_a_wall_stands_nobody_falls() -> None:
    assert "drop-deck" not in told({**DECK, "guard_height": 1.1, "open_sides": [1]}, STEPS)
    walled = told(DECK, HEDGE_WALL)["drop-deck"]
    assert "along 10.00 m nothing" in walled.words


@pytest.mark.parametrize(
    "overhead",
    [
        {"kind": "tree", "id": "oak", "name": "Old oak", "plant": "quercus-robur", "at": [12, 7.5], "stem": 0.75,
         "there_from": "start", "age_at_start": 120, "start_height": 14.6, "start_spread": 12},
        {"kind": "pergola", "id": "slats", "name": "Slats", "line": [[8, 4], [8, 11]], "width": 6, "there_from": "start"},
    ],
)  # fmt: skip
def test_a_crown_or_slats_overhead_hold_nobody_back(overhead: dict[str, Any]) -> None:
    assert "along 14.00 m nothing" in told(DECK, overhead)["drop-deck"].words


def test_from_the_drop_of_the_country_on_a_guard_is_asked_for() -> None:
    """TEK17 12-11: more than 0.5 m; Musterbauordnung 38: more than 1 m."""
    high = {**DECK, "floor_height": 0.8, "guard_height": 1.1, "open_sides": [2]}
    assert told(high, country="NO")["drop-deck"].remedy.startswith("From 0.50 m on a guard 1.00 m high is asked for")
    assert told(high, country="DE")["drop-deck"].remedy.startswith("Guards are asked for from 1.00 m on")


@pytest.mark.parametrize(("height", "long"), [(1.5, "14.00 m"), (1.79, None), (1.8, None)])
def test_where_a_guard_is_asked_for_a_wall_lower_than_that_does_not_do(height: float, long: str | None) -> None:
    """Approved Document K: a guard 1100 mm high from a drop of 600 mm on; here 0.70 m, so that a wall ends 1.80 m up."""
    round_it = [[5.9, 5.9], [10.1, 5.9], [10.1, 9.1], [5.9, 9.1], [5.9, 5.9]]
    wall = HEDGE_WALL | {"line": round_it, "height": height, "thickness": 0.1}
    found = told(DECK | {"floor_height": 0.7}, wall).get("drop-deck")
    assert (found is None) if long is None else found is not None and f"along {long} nothing high enough" in found.words
    assert found is None or "a guard 1.10 m high is asked for" in found.remedy


def test_what_held_people_back_in_the_first_summer_may_go_in_a_later_one() -> None:
    """Walls on all four sides, one of which is taken away in 2029: from then on one falls there."""
    sides = {
        "n": [[5.8, 9.2], [10.2, 9.2]],
        "s": [[5.8, 5.8], [10.2, 5.8]],
        "e": [[10.2, 5.8], [10.2, 9.2]],
        "w": [[5.8, 5.8], [5.8, 9.2]],
    }
    walls = [{**HEDGE_WALL, "id": f"wall-{k}", "name": f"Wall {k}", "line": at} for k, at in sides.items()]
    assert "drop-deck" not in told(DECK, *walls)
    walls[1]["there_until"] = "2029-03"
    found = told(DECK, *walls)["drop-deck"]
    assert found.year == 2029
    assert "along 4.00 m" in found.words


def test_a_low_fall_that_becomes_one_for_a_guard_is_told_again() -> None:
    """Paving 0.2 m over the ground lies beside a deck of 0.7 m until 2029: 0.5 m to fall at first, 0.7 m from then on."""
    deck = {**DECK, "floor_height": 0.7}
    about = [[5, 5], [11, 5], [11, 10], [5, 10]]
    lower = {
        "kind": "deck",
        "id": "lower",
        "name": "Step",
        "outline": about,
        "floor_height": 0.2,
        "there_from": "start",
        "there_until": "2029-03",
    }
    found = told(deck, lower)
    assert (found["drop-deck"].year, "0.50 m" in found["drop-deck"].words) == (2028, True)
    again = found["drop-deck-2029"]
    assert again.words.startswith("From 2029 on, Evening deck ends 0.70 m above")
    assert again.remedy.startswith("From 0.60 m on a guard")
