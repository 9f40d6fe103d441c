"""Furnishing and held places: sizes, volumes, room to sit, what is kept clear."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import pytest
from shapely import Polygon, union_all

from quincunx.scene import Timeline
from quincunx.scene.timeline import Frame
from quincunx.shapes import AreaFigure, AreaWork, LineWork, PathFigure, TextFigure
from quincunx.units import Style
from tests.features.standing import FIELD, FLAT, find, make, moment, stand


def built(kind: str, **fields: Any) -> Any:
    """The feature of a kind, whose own fields and methods the tests look into."""
    return make(kind, **fields)


def test_a_seat_has_legs_a_back_and_room_for_knees():
    stood = stand(seat := built("seat", facing_deg=0, at=[0, 0], width=1.5, depth=0.5))
    tops = {s.part: s.top.value_m for s in stood.solids}
    assert tops == pytest.approx({"seat": 0.45, "leg1": 0.405, "leg2": 0.405, "back": 0.9})
    (back,) = [s for s in stood.solids if s.part == "back"]
    assert back.footprint.bounds[1] == pytest.approx(-0.25)  # behind, the front facing north
    dashed = [f for f in stood.figures if isinstance(f, PathFigure) and f.dash]
    assert max(y for _, y in dashed[0].points) == pytest.approx(0.25 + 0.6)
    assert all(seat.plan().buffer(1e-9).covers(s.footprint) for s in stood.solids)


def test_a_seat_without_a_back_and_a_block():
    assert [s.part for s in stand(make("seat", back_height=0.0, solid_below=True)).solids] == ["seat"]
    assert stand(make("seat", solid_below=True)).solids[0].base.value_m == 0


@pytest.mark.parametrize(("shape", "legs"), [("rectangle", 4), ("round", 1)])
def test_a_table_stands_on_its_legs(shape, legs):
    stood = stand(table := built("garden-table", plan_shape=shape))
    assert len(stood.solids) == 1 + legs
    assert all(table.plan().covers(s.footprint) for s in stood.solids)
    assert stood.solids[0].base.value_m == pytest.approx(0.71)
    (room,) = [f for f in stood.figures if isinstance(f, PathFigure)]
    area = (1.6 + 1.6) * (0.9 + 1.6) if shape == "rectangle" else math.pi * 1.6**2
    assert Polygon(room.points).area == pytest.approx(area, rel=0.005)


def test_a_tank_holds_what_its_size_gives_or_what_is_stated():
    # A butt of 0.6 by 0.95 m: 268.6 litres outside, nine tenths of it water.
    assert built("tank").litres() == pytest.approx(1000 * math.pi * 0.09 * 0.95 * 0.9)
    assert built("tank", plan_shape="rectangle", width=1.0, depth=1.2, height=1.0).litres() == pytest.approx(1080)
    assert built("tank", stated_litres=210).litres() == 210


def test_a_tank_stands_on_its_base():
    stood = stand(make("tank", raised=0.4))
    heights = {s.part: (s.base.value_m, s.top.value_m) for s in stood.solids}
    assert heights == {"tank": (0.4, pytest.approx(1.35)), "base": (0.0, 0.4)}
    (base,) = [w for w in stood.work if isinstance(w, AreaWork)]
    assert base.outline.contains(stood.solids[0].footprint)
    assert [s.part for s in stand(make("tank", raised=0)).solids] == ["tank"]


def test_a_tap_on_a_wall_stands_in_nobodys_way():
    assert stand(make("tap", on_post=False)).solids == ()
    assert stand(make("tap")).solids[0].footprint.area == pytest.approx(0.01)
    assert make("tap", facing_deg=350).moved(0, 0, 20, (0, 0))["facing_deg"] == 10


@pytest.mark.parametrize("bays", [1, 2, 3])
def test_compost_bays_are_open_in_front_and_walled_between(bays):
    stood = stand(
        heap := built("compost-bay", bays=bays, facing_deg=0, at=[0, 0], width=3.3, depth=1.1, thickness=0.05)
    )
    walls = union_all([s.footprint for s in stood.solids])
    assert len(stood.solids) == 3 + bays - 1
    assert heap.plan().buffer(1e-9).covers(walls)
    free = heap.plan().difference(walls.buffer(1e-9))
    pieces = list(getattr(free, "geoms", [free]))
    assert len(pieces) == bays
    assert heap.litres() == pytest.approx(1000 * free.area * 1.0, rel=1e-6)
    assert max(p.area for p in pieces) - min(p.area for p in pieces) < 0.06
    assert len([w for w in stood.work if isinstance(w, LineWork)]) == 3 + bays - 1
    boarded = stand(make("compost-bay", front_boards=0.4))
    assert {s.top.value_m for s in boarded.solids if s.part.startswith("front")} == {0.4}


def test_a_light_on_a_post_stands_and_one_on_a_wall_does_not():
    assert stand(make("light-point", height=0.9)).solids[0].top.value_m == 0.9
    for on in ("wall", "ground"):
        assert stand(make("light-point", on=on)).solids == ()


def test_a_focal_object_stands_on_its_plinth():
    stood = stand(make("focal-object", height=0.9, plinth_height=0.6, plinth_width=0.8))
    heights = {s.part: (s.base.value_m, s.top.value_m) for s in stood.solids}
    assert heights == {"object": (0.6, 1.5), "plinth": (0.0, 0.6)}
    assert {s.part: round(s.footprint.area, 2) for s in stood.solids}["plinth"] == 0.64
    assert len(stand(make("focal-object", plinth_height=0)).solids) == 1


def test_a_held_place_shows_what_may_stand_there_and_the_height_kept_clear():
    stood = stand(held := built("held"), moment(stage=-1))
    ghosts = [f for f in stood.figures if isinstance(f, PathFigure) and f.dash and f.weight == "fine"]
    alone = [stand(feature, moment(stage=-1)).figures for _, _, feature in held.held_place().shortlist]
    drawn = [f for figures in alone for f in figures if isinstance(f, (PathFigure, AreaFigure))]
    assert len(ghosts) >= len(drawn) > 2
    assert {f.role for f in stood.figures} == {"held"}
    (words,) = [f for f in stood.figures if isinstance(f, TextFigure)]
    assert words.words(Style()).endswith("kept clear to 2.60 m")
    assert stood.solids == ()
    assert stood.surfaces[0].material == "grass"


def test_a_held_place_writes_its_height_in_the_units_the_garden_is_written_in_now():
    held = make("held", greatest_height={"m": 2.4384, "typed": "8'"})
    (words,) = [f for f in stand(held, moment(stage=-1)).figures if isinstance(f, TextFigure)]
    assert words.words(Style("feet")).endswith("kept clear to 8' 0\"")
    assert words.words(Style("metric", ",")).endswith("kept clear to 2,44 m")


def test_only_the_chosen_one_is_shown_and_then_stands():
    held = built("held", chosen="low-wall")
    before = [f for f in stand(held, moment(stage=-1)).figures if isinstance(f, PathFigure) and f.weight == "fine"]
    assert len(before) == 1
    after = stand(held, moment(stage=0))
    assert {s.owner for s in after.solids} == {held.id}
    assert {f.role for f in after.figures} == {"wall"}


def test_in_the_garden_the_meanwhile_gives_way_to_what_was_chosen():
    held = make("held", chosen="shelter", there_from="2030-05")
    garden = Timeline(Frame(FIELD, FLAT), [held], find=find)
    assert garden.at(date(2029, 8, 31)).solids == ()
    assert [s.material for s in garden.at(date(2029, 8, 31)).surfaces] == ["grass"]
    built_then = garden.at(date(2030, 8, 31))
    assert len(built_then.solids) == 4 + 4
    assert built_then.surfaces == ()
