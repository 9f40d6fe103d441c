"""Usual sizes of kinds and walkers against section 5 of the check-value book (walking, reach, clearances).

Each row says how it is known: R read in a stored copy, M from memory.  1 in = 25.4 mm exactly.
"""

from __future__ import annotations

from datetime import date

import pytest
from shapely import box

from quincunx.features import KINDS, kind_id
from quincunx.features._floors import FLOORS
from quincunx.features.gate import Gate
from quincunx.features.wall import Wall
from quincunx.plants.catalogue import find_plant
from quincunx.scene import Frame, Spot, Timeline
from quincunx.site.ground import Ground
from quincunx.walk.reach import walk_of
from quincunx.walk.walkers import find_walker
from quincunx.works import Means

IN = 0.0254
FT = 0.3048
BY_WORD = {kind_id(k): k for k in KINDS}


def usual(kind: str, field: str) -> float:
    return float(BY_WORD[kind].model_fields[field].get_default())


def passes(walker: str, width: float | str) -> bool:
    """Whether the walker gets through a gate of that width in a wall."""
    wall = Wall.model_validate({"id": "wall", "line": [[0, 5], [10, 5]], "there_from": "start"})
    gate = Gate.model_validate({"id": "gate", "at": [5, 5], "width": width, "latch": "none", "there_from": "start"})
    frame = Frame(box(0, 0, 10, 10), Ground.flat(0.0), spots=(Spot("a", "a", (5, 2)), Spot("b", "b", (5, 8))))
    through = Timeline(frame, [wall, gate], (), Means(first_year=2027), (), find_plant)
    who = find_walker(walker)
    assert who is not None
    # The world has a strip outside the boundary: the wall ends there, so only the gate itself is asked.
    way = walk_of(through.at(date(2027, 8, 31)), who).way("a", "b")
    return way is not None and way.length_m < 6.5


@pytest.mark.parametrize(
    ("row", "walker", "passes_at_m", "stopped_at_m"),
    [
        ("W11 (M): 32 in clear gate, ADA 404.2.3", "wheelchair", "32 in", 24 * IN),
        ("W1 (R): 36 in clear route, ADA 403.5.1", "wheelchair", 36 * IN, 24 * IN),
        ("W24 (M): 18 in path between beds, on foot", "person", 18 * IN, 12 * IN),
        ("W18 (R): 18 to 24 in looking path", "person", 24 * IN, 12 * IN),
        ("W16 (R): 36 in barrow lane", "barrow", 36 * IN, 20 * IN),
        ("W27 (M): 4 ft arch for two", "two-abreast", 4 * FT, 30 * IN),
        ("W14 (R): 4 ft for two abreast", "two-abreast", 4 * FT, 36 * IN),
    ],
)
def test_published_widths_let_their_walkers_through(
    row: str, walker: str, passes_at_m: float | str, stopped_at_m: float
) -> None:
    assert passes(walker, passes_at_m), row
    assert not passes(walker, stopped_at_m), row


def test_headroom_of_people_and_arches() -> None:
    person = find_walker("person")
    assert person is not None
    assert float(person.headroom) <= 80 * IN  # W11 (M), ADA 307.4
    assert usual("arch", "headroom") >= 80 * IN  # W27 (M): 7 ft, 80 in absolute
    assert usual("arch", "width") >= 4 * FT - 0.02  # W27 (M)


def test_slopes_a_wheelchair_takes() -> None:
    chair = find_walker("wheelchair")
    assert chair is not None
    # W3 (M) 1:20 is a walk, W4 (R) 1:12 a ramp; W7 (R): never over 1:8.
    assert 1 / 20 <= chair.steepest <= 1 / 8


def test_flights_beds_seats_tables_and_boards() -> None:
    assert usual("steps", "width") >= 36 * IN  # W28 (R)
    low, high = (18 * IN, 36 * IN)  # W22 (R): seated 18 to 30 in, standing 36 in
    bounds = BY_WORD["raised-bed"].model_fields["height"].metadata
    assert any(getattr(b, "ge", 9) <= low for b in bounds)
    assert any(getattr(b, "le", 0) >= high for b in bounds)
    assert 17 * IN <= usual("seat", "seat_height") <= 19 * IN  # W13 (M), ADA 903
    assert usual("seat", "width") >= 42 * IN  # W13 (M)
    assert 28 * IN <= usual("garden-table", "height") <= 34 * IN  # W13 (M), ADA 902
    assert FLOORS["boards"].joint_m <= 0.5 * IN  # W10 (R): no gap over 1/2 in


def test_taps_are_in_reach_from_a_chair() -> None:
    assert 15 * IN <= usual("tap", "height") <= 48 * IN  # W12 (M), ADA 308.2.1 and 308.3.1
    assert usual("gate", "height") <= 48 * IN  # W12 (M): its latch is no higher than its leaf


def test_paths_are_as_wide_as_the_books_ask() -> None:
    assert usual("path", "width") >= 36 * IN  # W6 (R): trail of 36 in; W15 (R): 1 to 1.2 m strolling
    assert usual("path", "width") >= 1.0
