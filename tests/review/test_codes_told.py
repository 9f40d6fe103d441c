"""Findings that rest on a code name the one that holds where the garden is."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.garden import Garden, garden_from
from tests.sheets.outdoors import set_for

PLACES = {"AU": (-33.87, 151.2), "NZ": (-36.85, 174.76), "US": (42.4, -72.6), "DE": (52.5, 13.4), "BR": (-23.5, -46.6)}
POND = {
    "kind": "pond",
    "id": "pool",
    "name": "Pool",
    "outline": [[2, 2], [6, 2], [6, 6], [2, 6]],
    "depth": 0.5,
    "there_from": "2027-05",
}


def garden(country: str | None) -> Garden:
    site: dict[str, Any] = {}
    if country is not None:
        latitude, longitude = PLACES[country]
        site = {"place": {"latitude_deg": latitude, "longitude_deg": longitude}}
    return garden_from(
        {
            "format": "quincunx/1", "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "site": site, "features": [POND],
            "means": {"first_year": 2027, "years": 3},
        }
    )  # fmt: skip


@pytest.mark.parametrize(
    ("country", "deep", "source"),
    [
        ("AU", True, "AS 1926.1 (second-hand)"),
        ("NZ", True, "Building (Pools) Amendment Act 2016"),
        ("US", False, "US CPSC Pub. 362"),
        ("DE", False, "no code of Germany for barriers round water is in our table"),
        ("BR", False, "no code of Brazil for barriers round water is in our table"),
        (None, False, "which country the garden lies in isn't known"),
    ],
)
def test_how_deep_water_asks_for_a_barrier_is_the_countrys(country: str | None, deep: bool, source: str) -> None:
    """50 cm: over 300 mm in Australia, over 400 mm in New Zealand, under the 24 in of CPSC Pub. 362."""
    (found,) = (f for f in set_for(garden(country), noticed=True).review.findings if f.id == "water-pool")
    assert ("require a barrier" in found.words) == deep
    assert source in found.source
    assert "Small children drown in a few" in found.words
