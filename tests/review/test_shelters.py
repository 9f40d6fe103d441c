"""A seat under each roof thought of: the shortlist of a held place, its sides, and the places worth asking about."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import Garden, garden_from, timeline
from quincunx.intents._raining import weather_of
from quincunx.review.shelters import Roofed, compared, places_to_sit
from quincunx.water import Weather

EVERY = tuple(range(1, 13))
SHELTER = {
    "kind": "roofed-shelter",
    "at": [10, 10],
    "plan_shape": "rectangle",
    "width": 2.6,
    "depth": 1.9,
    "facing_deg": 0,
}
SLATS = {"kind": "arbour", "at": [10, 10], "width": 2.6, "depth": 1.9, "facing_deg": 0}


def garden(*choices: dict[str, Any], wind_from: float = 225.0, **more: Any) -> Garden:
    """Return a seat in a held place with these on its shortlist."""
    listed = [{"id": f"choice-{n}", "words": f"choice {n}", "feature": c} for n, c in enumerate(choices)]
    held = {
        "kind": "held", "id": "place", "outline": [[8, 8], [12, 8], [12, 12], [8, 12]], "greatest_height": 4,
        "shortlist": listed, "there_from": "2029-05",
    }  # fmt: skip
    seat = {"kind": "seat", "id": "bench", "name": "Bench", "at": [10, 9.8], "facing_deg": 0, "there_from": "start"}
    climate = {"rain_mm": [50.0] * 12, "wind_m_s": [4.0] * 12, "wind_from_deg": [wind_from] * 12}
    return garden_from({
        "format": "quincunx/1", "name": "Seat", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
        "site": {"place": {"latitude_deg": 52.0, "longitude_deg": -1.0}, "climate": climate}, "features": [held, seat], **more,
    })  # fmt: skip


def options(of: Garden) -> tuple[Roofed, ...]:
    line = timeline(of)
    weather = weather_of(line)
    assert weather is not None
    return compared(of, line, "bench", weather, EVERY)


def test_as_it_stands_slats_and_a_roof_with_ever_more_sides():
    found = options(garden(SLATS, SHELTER))
    assert [r.words for r in found[:3]] == ["as it stands", "choice 0", "choice 1"]
    assert [r.dry.whole for r in found[:2]] == [0.0, 0.0]
    assert 0.2 < found[2].dry.whole < found[3].dry.whole < found[4].dry.whole
    assert [len(r.closed) for r in found] == [0, 0, 0, 1, 2]
    assert found[2].roof_m2 == pytest.approx((2.6 + 0.6) * (1.9 + 0.6))


@pytest.mark.parametrize(("wind_from", "side"), [(270.0, "west"), (90.0, "east"), (180.0, "south")])
def test_the_side_closed_is_that_the_rain_comes_from_and_never_the_front(wind_from, side):
    found = options(garden(SHELTER, wind_from=wind_from))
    assert found[2].words == f"choice 0, {side} side closed"
    assert all(1 not in r.closed for r in found)


def test_a_side_closed_already_stays_closed():
    found = options(garden({**SHELTER, "closed_sides": [3]}))
    assert found[1].words == "choice 0"
    assert all(3 in r.closed for r in found[2:])
    assert len(found) == 3


def test_nothing_is_compared_where_the_place_does_not_stand():
    of = garden(SHELTER)
    line = timeline(of)
    assert compared(of, line, "nowhere", Weather((50.0,) * 12, (4.0,) * 12), EVERY) == ()


def test_the_garden_itself_is_left_as_it_was():
    of = garden(SHELTER)
    line = timeline(of)
    before = line.at(line.leaf_date(line.years[-1])).key
    options(of)
    assert line.at(line.leaf_date(line.years[-1])).key == before


def test_places_to_sit_are_those_of_musts_and_spots_by_a_held_place():
    must = {"kind": "dry-in-rain", "id": "dry", "place": "bench"}
    spots = [
        {"id": "seat", "name": "Seat", "at": [10, 10], "height": 1.2},
        {"id": "far", "name": "Far", "at": [2, 2], "height": 1.2},
    ]
    asked = garden(SHELTER, intents=[must], spots=spots)
    assert places_to_sit(asked, timeline(asked)) == ("bench",)  # the spot is where the bench is
    unasked = garden(SHELTER, spots=spots)
    assert places_to_sit(unasked, timeline(unasked)) == ("seat",)


def test_nobody_sits_on_a_tank_though_no_roof_drains_into_it():
    tank = {"kind": "tank", "id": "butt", "at": [4, 4], "there_from": "start"}
    musts = [
        {"kind": "tank-lasts", "id": "lasts", "tank": "butt"},
        {"kind": "dry-in-rain", "id": "dry", "place": "bench"},
    ]
    bare = garden(SHELTER)
    kept = garden_from(
        {
            **bare.model_dump(mode="json"),
            "features": [*bare.model_dump(mode="json")["features"], tank],
            "intents": musts,
        }
    )
    assert places_to_sit(kept, timeline(kept)) == ("bench",)
