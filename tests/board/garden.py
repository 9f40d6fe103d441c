"""A small garden for the board's tests: a walled green with a gate, a young hedge, two jobs, five musts."""

from __future__ import annotations

import copy
from typing import Any

from quincunx.garden import Garden, garden_from

SMALL: dict[str, Any] = {
    "format": "quincunx/1",
    "name": "Small green",
    "writing": {"currency": "GBP"},
    "site": {"place": {"name": "Somewhere", "latitude_deg": 52.0, "longitude_deg": 0.0}},
    "boundary": [[0, 0], [12, 0], [12, 10], [0, 10]],
    "rooms": [{"id": "green", "name": "Green", "inside": [3, 3]}],
    "spots": [
        {"id": "door", "name": "Back door", "at": [10.5, 5]},
        {"id": "bench", "name": "Bench", "at": [2, 2]},
    ],
    "features": [
        {
            "kind": "wall",
            "id": "wall",
            "name": "Old wall",
            "line": [[0.5, 0.5], [6, 0.5], [6, 6], [0.5, 6]],
            "closed": True,
            "there_from": "start",
        },
        {"kind": "gate", "id": "gate", "name": "Green gate", "at": [6, 3], "along_deg": 0, "there_from": "start"},
        {"kind": "hedge", "id": "hedge", "line": [[0.5, 8], [9, 8]], "plant": "carpinus-betulus"},
        {"kind": "path", "id": "path", "line": [[10, 5], [6.5, 3]], "width": 1.0},
        {"kind": "seat", "id": "seat", "at": [2, 2], "facing_deg": 90, "there_from": "2029-05"},
    ],
    "jobs": [
        {
            "id": "plant-hedge",
            "name": "Plant the hedge",
            "does": ["hedge"],
            "start": "2027-11",
            "costs": [{"words": "whips", "sum": 9000}],
            "hours": 10,
        },
        {
            "id": "lay-path",
            "name": "Lay the path",
            "does": ["path"],
            "start": "2028-03",
            "months": 2,
            "costs": [{"words": "gravel", "sum": 30000}],
            "hours": 16,
            "large": True,
        },
    ],
    "means": {"first_year": 2027, "years": 3, "sum_a_year": 50000, "hours_by_month": [4] * 12},
    "intents": [
        {"kind": "only-way-in", "id": "green-by-gate", "room": "green", "gate": "gate"},
        {"kind": "reaches", "id": "door-to-bench", "start": "door", "end": "bench"},
        {"kind": "cant-reach", "id": "roe-off-bench", "walker": "roe", "end": "bench"},
        {"kind": "spend-no-more", "id": "money", "sum": 40000},
        {"kind": "hours-no-more", "id": "hours"},
    ],
}


def document(**changes: Any) -> dict[str, Any]:
    """The small garden as JSON values, some parts replaced."""
    return {**copy.deepcopy(SMALL), **changes}


def small(**changes: Any) -> Garden:
    """The small garden, some parts replaced."""
    return garden_from(document(**changes))
