"""The edge of a terrace: who steps down it, who is stopped, and what leads through."""

import json
from datetime import date

import pytest

from quincunx.garden import read_garden, timeline
from quincunx.shapes import Plane
from quincunx.walk.going import going
from quincunx.walk.reach import walk_of
from tests.walk.grounds import known


def standing(**edge):
    """Return a plot whose northern half lies higher, along a line right across it, and what leads through."""
    more = edge.pop("more", [])
    line = {"kind": "terrace-edge", "id": "edge", "there_from": "start", "line": [[-5, 10], [25, 10]]}
    spots = [{"id": "up", "name": "up", "at": [10, 15]}, {"id": "down", "name": "down", "at": [10, 5]}]
    plot = [[0, 0], [20, 0], [20, 20], [0, 20]]
    document = {
        "format": "quincunx/1",
        "name": "Terrace",
        "boundary": plot,
        "spots": spots,
        "features": [line | edge, *more],
    }
    return timeline(read_garden(json.dumps(document))).at(date(2027, 8, 31))


def gets_down(here, who):
    return walk_of(here, known(who), polite=True).reaches("up", "down")


@pytest.mark.parametrize(
    ("drop_m", "person", "barrow"), [(0.05, True, True), (0.15, True, False), (0.3, True, False), (0.6, False, False)]
)
def test_a_wall_is_stepped_down_no_farther_than_a_step(drop_m, person, barrow):
    here = standing(retained=drop_m)
    assert gets_down(here, "person") == person
    assert gets_down(here, "barrow") == barrow


@pytest.mark.parametrize(
    ("drop_m", "thick_m", "person", "barrow"),
    [
        (0.6, 6.0, True, True),  # 1 : 10
        (0.6, 1.5, True, False),  # 1 : 2.5
        (1.0, 0.8, False, False),  # steeper than anybody walks
        (0.05, 0.1, True, True),  # steep, but no higher than a step
    ],
)
def test_a_bank_stops_those_for_whom_it_is_too_steep_and_too_high(drop_m, thick_m, person, barrow):
    here = standing(retained=drop_m, made="grass bank", thickness=thick_m)
    assert gets_down(here, "person") == person
    assert gets_down(here, "barrow") == barrow


def test_a_ramp_leads_wheels_through_a_wall_and_a_bank():
    ramp = {"kind": "ramp", "id": "ramp", "there_from": "start", "width": 1.2, "fall": 0.6, "line": [[10, 4], [10, 12]]}
    for made, thick in (("dry stone", 0.4), ("grass bank", 1.0)):
        assert not gets_down(standing(retained=0.6, made=made, thickness=thick), "barrow")
        assert gets_down(standing(retained=0.6, made=made, thickness=thick, more=[ramp]), "barrow")


def test_a_bank_with_a_bend_slopes_away_from_each_part_of_its_edge():
    here = standing(made="grass bank", thickness=2.0, retained=0.4, line=[[4, 10], [10, 10], [10, 16]], high_left=False)
    banks = [s for s in here.surfaces if s.owner == "edge"]
    assert sum(s.area.area for s in banks) == pytest.approx(2 * 6 * 2 - 2 * 2, rel=0.2)
    assert len({s.name for s in banks}) == len(banks) >= 2
    lies = [s.lie for s in banks if isinstance(s.lie, Plane)]
    assert {round(p.fall_deg) % 360 for p in lies} == {0, 270}
    assert all(p.grade == pytest.approx(0.2) for p in lies)


def test_the_way_down_a_bank_is_as_steep_as_the_bank():
    way = walk_of(standing(retained=0.6, made="grass bank", thickness=3.0), known("person")).way("up", "down")
    assert way is not None
    here = standing(retained=0.6, made="grass bank", thickness=3.0)
    steep = going(here, way).steepest
    assert steep is not None
    assert steep.grade == pytest.approx(0.2)
    assert steep.owner == "edge"
