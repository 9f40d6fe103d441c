"""Points of rooms and spots go along with the walls they stand among, and only with those."""

from __future__ import annotations

from datetime import date

import pytest

from quincunx.board.along import carried, goes_along, other_places, shift_of
from quincunx.board.standing import Standing
from quincunx.features.hedge import Hedge
from quincunx.garden import Edit, Garden, apply

GARDEN = Garden.model_validate(
    {
        "format": "quincunx/1", "name": "Runs", "boundary": [[0, 0], [40, 0], [40, 40], [0, 40]], "means": {"first_year": 2027, "years": 4},
        "rooms": [{"id": "run", "name": "Hen run", "inside": [6, 6], "outline": [[4, 4], [8, 4], [8, 8]]},
                  {"id": "yard", "name": "Yard", "inside": [30, 30]}],
        "spots": [{"id": "hens", "name": "Hens", "at": [5, 5.5]}, {"id": "gate", "name": "Gate", "at": [1, 20]}],
        "features": [
            {"kind": "fence", "id": "fence", "line": [[4, 10], [4, 4], [10, 4], [10, 10]], "there_from": "2028-03"},
            {"kind": "lawn", "id": "green", "outline": [[3, 3], [12, 3], [12, 12], [3, 12]], "there_from": "start"},
            {"kind": "garden-table", "id": "table", "at": [20, 20], "there_from": "start"},
        ],
    }
)  # fmt: skip
ON = date(2027, 8, 31)


def along(ids, dx=0.0, dy=0.0, turn=0.0, about=(0.0, 0.0)):
    return goes_along(Standing.of(GARDEN, {}), ids, shift_of(dx, dy, turn, about), ON)


def test_a_fence_still_to_come_takes_its_room_and_its_spot_along():
    ops, words = along(["fence"], 12.0, -1.0)
    assert words == "Hen run and Hens"
    then, back = apply(GARDEN, Edit(label="Move", ops=ops))
    run, yard = then.rooms
    assert [float(c) for c in run.inside] == [18.0, 5.0]
    assert [[float(x), float(y)] for x, y in run.outline or ()] == [[16.0, 3.0], [20.0, 3.0], [20.0, 7.0]]
    assert yard == GARDEN.rooms[1]
    assert [float(c) for c in then.spots[0].at] == [17.0, 4.5]
    assert apply(then, back)[0] == GARDEN


@pytest.mark.parametrize(
    ("ids", "dx", "why"),
    [
        (["green"], 12.0, "a lawn is no wall"),
        (["table"], 12.0, "nothing stands in a table"),
        (["fence"], 0.5, "the point is still among the walls"),
        (["fence"], 60.0, "it would leave the garden"),
        ([], 12.0, "nothing is moved"),
        (["gone"], 12.0, "it is no longer there"),
    ],
)
def test_nothing_goes_along(ids, dx, why):
    assert along(ids, dx) == ((), ""), why


def test_turned_things_turn_what_stands_among_them():
    ops, _ = along(["fence"], turn=180.0, about=(10.0, 10.0))
    assert next(op.value for op in ops if op.id == "run")["inside"] == [14.0, 14.0]
    # The same turn as the kinds' own, clockwise.
    hedge = Hedge.model_validate({"kind": "hedge", "id": "h", "line": [[6, 6], [9, 6]]})
    (start, _end) = hedge.moved(1.0, 2.0, 33.0, (10.0, 10.0))["line"]
    assert shift_of(1.0, 2.0, 33.0, (10.0, 10.0))((6.0, 6.0)) == pytest.approx([float(c) for c in start], abs=6e-4)


GATED = Garden.model_validate(
    {
        "format": "quincunx/1", "name": "Gated", "boundary": [[0, 0], [40, 0], [40, 40], [0, 40]], "means": {"first_year": 2027, "years": 4},
        "features": [
            {"kind": "wall", "id": "wall", "line": [[4, 10], [14, 10]], "there_from": "start"},
            {"kind": "hedge", "id": "hedge", "line": [[4, 20], [14, 20]], "plant": "carpinus-betulus", "there_from": "2027-02"},
            {"kind": "gate", "id": "in-wall", "at": [8, 10], "along_deg": 90, "width": 0.9, "there_from": "start"},
            {"kind": "gate", "id": "in-hedge", "at": [8, 20.1], "along_deg": 90, "width": 0.9, "there_from": "2027-02"},
            {"kind": "gate", "id": "by-itself", "at": [30, 30], "along_deg": 90, "width": 0.9, "there_from": "start"},
        ],
    }
)  # fmt: skip


@pytest.mark.parametrize(
    ("ids", "with_them"),
    [(["wall"], ["in-wall"]), (["hedge", "wall"], ["in-wall", "in-hedge"]), (["wall", "in-wall"], []), (["by-itself"], []), ([], [])],
)  # fmt: skip
def test_a_gate_goes_with_the_wall_it_stands_in(ids, with_them):
    assert [f.id for f in carried(Standing.of(GATED, {}), ids, ON)] == with_them


CORNER = Garden.model_validate(
    {
        "format": "quincunx/1", "name": "Corner", "boundary": [[0, 0], [40, 0], [40, 40], [0, 40]], "means": {"first_year": 2027, "years": 4},
        "features": [
            {"kind": "wall", "id": "south", "line": [[4, 10], [14, 10]], "there_from": "start"},
            {"kind": "wall", "id": "west", "line": [[4, 10], [4, 30]], "there_from": "start"},
            {"kind": "wall", "id": "far", "line": [[20, 10], [30, 10]], "there_from": "start"},
            {"kind": "gate", "id": "gate", "at": [6, 10], "along_deg": 90, "width": 0.9, "there_from": "start"},
        ],
    }
)  # fmt: skip


def test_a_gate_may_come_along_its_wall_and_into_the_walls_near_it_but_not_those_far_away():
    at = Standing.of(CORNER, {})
    gate = next(f for f in CORNER.features if f.id == "gate")
    *along, one = other_places(at, gate, ON)
    places = sorted(tuple(float(c) for c in getattr(p, "at")) for p in along)  # noqa: B009
    assert [p[1] for p in places] == pytest.approx([10, 10], abs=0.01), "in the wall it stands in"
    assert 4 < places[0][0] < 6 - 0.5 < 6 + 0.5 < places[1][0] < 6 + 2.5, "on both sides of where it stands"
    x, y = (float(c) for c in getattr(one, "at"))  # noqa: B009
    assert x == pytest.approx(4.0, abs=0.3), "on the west wall"
    assert 10.5 < y < 11.5, "off the wall it stands in"
    assert list(other_places(at, next(f for f in CORNER.features if f.id == "south"), ON)) == []
