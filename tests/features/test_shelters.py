"""Shelters: posts under the eaves, sides closed or open, doors with their free width, kits as stated."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from pydantic import ValidationError
from shapely import LineString, Point, box, union_all

from quincunx.scene import Stood
from quincunx.shapes import FrameWork, KitWork, Opening, PathFigure, Plane, Slab, Slats, Solid
from quincunx.site.ground import Ground
from tests.features.standing import FLAT, make, moment, stand

SLOPING = Ground.from_levels([(-60, -60, 0.0), (60, -60, 0.0), (60, 60, 6.0), (-60, 60, 6.0)])


def built(kind: str, **fields: Any) -> Any:
    """The feature of a kind, whose own fields and methods the tests look into."""
    return make(kind, **fields)


def plane(solid: Solid) -> Plane:
    assert isinstance(solid.form, Slab)
    return solid.form.plane


def frame(stood: Stood) -> FrameWork:
    (work,) = [w for w in stood.work if isinstance(w, FrameWork)]
    return work


def named(stood: Stood, start: str) -> list[Solid]:
    return [s for s in stood.solids if s.part.startswith(start)]


def opening(stood: Stood) -> Opening:
    (one,) = stood.openings
    return one


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"roof": "single", "drains_to": 3},
        {"roof": "hip"},
        {"plan_shape": "square", "roof": "hip"},
        {"plan_shape": "hexagon", "roof": "hip"},
        {"plan_shape": "octagon", "roof": "hip", "closed_sides": [1, 4, 8]},
        {"plan_shape": "octagon", "roof": "single"},
    ],
)
def test_posts_stand_inside_the_plan_and_reach_the_roof(fields):
    shelter = built("roofed-shelter", **fields)
    posts = named(stood := stand(shelter), "post")
    assert len(posts) >= 4
    roof = union_all([s.footprint for s in named(stood, "roof")])
    for post in posts:
        # The square post of a many-sided shelter keeps the way of the front, so one of its corners may stand proud.
        proud = 0.03 if fields.get("plan_shape") in ("hexagon", "octagon") else 1e-6
        assert shelter.plan().buffer(proud).covers(post.footprint)
        assert roof.covers(post.footprint)
        assert post.footprint.area == pytest.approx(float(shelter.post) ** 2)
        at = post.footprint.centroid.coords[0]
        under = [s for s in shelter.slopes() if s.area.distance(Point(at)) < 1e-9]
        assert post.top.value_m == pytest.approx(float(shelter.eaves_height) + min(s.rise_m(at) for s in under))


def test_eaves_reach_past_the_posts_on_every_side():
    shelter = built("roofed-shelter", overhang=0.4)
    west, south, east, north = built("roofed-shelter", overhang=0.0, facing_deg=0).eaves().bounds
    wide = built("roofed-shelter", overhang=0.4, facing_deg=0).eaves().bounds
    assert wide == pytest.approx((west - 0.4, south - 0.4, east + 0.4, north + 0.4))
    assert shelter.eaves().area == pytest.approx((3 + 0.8) * (2.4 + 0.8))


def test_posts_between_corners_keep_the_bay():
    shelter = built("roofed-shelter", width=5.0, depth=2.0, bay=2.0)
    places = shelter.posts()
    gaps = [math.dist(a, b) for a, b in pairwise([*places, places[0]])]
    assert max(gaps) <= 2.0 + 1e-9
    assert len(places) == 4 + 2 * 2


def test_an_open_side_is_free_and_a_closed_one_is_not():
    shelter = built("roofed-shelter", roof="single", facing_deg=0, closed_sides=[3], drains_to=1)
    walls = union_all([s.footprint for s in named(stand(shelter), "side")])
    x, y = float(shelter.at[0]), float(shelter.at[1])
    front, back = LineString([(x, y), (x, y + 3)]), LineString([(x, y), (x, y - 3)])
    assert not walls.intersects(front)
    assert walls.intersects(back)
    # The high back side is closed on to the roof.
    high = max(s.top.value_m for s in named(stand(shelter), "gable"))
    deep = float(shelter.depth) + float(shelter.overhang)
    assert high == pytest.approx(float(shelter.eaves_height) + deep * math.tan(math.radians(30)))


def test_a_side_closed_to_a_height_stops_there():
    half = stand(built("roofed-shelter", closed_height=1.0))
    assert {s.top.value_m for s in named(half, "side")} == {1.0}
    assert named(half, "gable") == []


def test_a_shape_has_only_the_sides_it_has():
    with pytest.raises(ValidationError, match="sides 1 to 4"):
        make("roofed-shelter", closed_sides=[5])
    with pytest.raises(ValidationError, match="choose hip or single"):
        make("roofed-shelter", plan_shape="hexagon", roof="gable")


def test_a_roof_is_level_where_the_ground_slopes_and_its_posts_make_up_for_it():
    shelter = built("roofed-shelter", roof="hip", facing_deg=0)
    work = frame(stand(shelter, moment(ground=SLOPING)))
    tall = [m.end[2] - m.start[2] for m in work.members if m.name == "post"]
    # 5 % over the 2.3 m between post middles in depth.
    assert max(tall) - min(tall) == pytest.approx(0.05 * (2.4 - 0.1), abs=1e-6)
    level = {round(m.end[2], 6) for m in work.members if m.name == "post"}
    assert len(level) == 1


@pytest.mark.parametrize("kind", ["greenhouse", "shed"])
@pytest.mark.parametrize("side", [1, 2, 3, 4])
def test_the_door_is_free_at_its_width_and_nowhere_else(kind, side):
    house = built(kind, door_side=side, door_width=0.72, door_aside=0.3)
    stood = stand(house)
    door = opening(stood)
    assert door.width_m == pytest.approx(0.72)
    assert door.clear.length == pytest.approx(0.72)
    low = union_all([s.footprint for s in stood.solids if s.base.value_m < 1.0])
    assert low.intersection(door.clear).length < 1e-6
    # Measured between the jambs: the ring of walls is open over 0.72 m and no more.
    ring = house.plan().buffer(-house.skin().wall_m / 2, join_style="mitre").exterior
    free = ring.difference(low)
    assert free.length == pytest.approx(0.72, abs=1e-6)
    assert house.plan().buffer(1e-6).covers(door.clear)


def test_a_door_higher_than_the_eaves_stands_in_the_gable_and_is_as_high_as_the_roof_allows():
    house = built("greenhouse", eaves_height=1.5, pitch_deg=27, door_height=1.9, door_width=0.7)
    # Half the roof of 2.6 m less half the door, times the tangent, above the eaves.
    room = 1.5 + (1.3 - 0.35) * math.tan(math.radians(27))
    assert room > 1.9
    assert opening(stand(house)).headroom_m == pytest.approx(1.9)
    beside = built("greenhouse", eaves_height=1.5, pitch_deg=27, door_height=1.9, door_width=0.7, door_side=2)
    under_eaves = opening(stand(beside)).headroom_m
    assert under_eaves is not None
    assert 1.5 <= under_eaves < 1.6
    over = [s for s in stand(house).solids if s.part.startswith("over-door")]
    assert over
    assert min(s.base.value_m for s in over) == pytest.approx(1.9)


def test_glass_lets_light_through_and_boards_do_not():
    glass, boards = stand(built("greenhouse", low_wall_height=0.6)), stand(built("shed"))
    assert {s.transmittance[5] for s in named(glass, "wall")} == {0.8}
    assert {s.transmittance[5] for s in named(glass, "low")} == {0.0}
    assert {s.transmittance[5] for s in boards.solids} == {0.0}
    assert {s.base.value_m for s in named(glass, "wall")} == {0.6}


def test_a_lean_to_has_no_wall_and_no_eaves_at_its_back():
    house = built("greenhouse", stands="leaning on a wall", facing_deg=180, at=[0, 0], width=3.0, depth=2.0)
    stood = stand(house)
    low = union_all([s.footprint for s in stood.solids if s.base.value_m < 1.0])
    assert not low.intersects(LineString([(-1.2, 1.0), (1.2, 1.0)]))
    assert house.eaves().bounds[3] == pytest.approx(1.0)
    assert {plane(s).fall_deg for s in named(stood, "roof")} == {180.0}


def test_a_shed_with_a_single_pitch_falls_to_the_back_under_a_whole_roof():
    stood = stand(shed := built("shed", facing_deg=90))
    (roof,) = named(stood, "roof")
    assert plane(roof).fall_deg == pytest.approx(270.0)
    assert roof.footprint.equals(shed.eaves())
    assert stand(built("shed", sheds_to="butt")).solids[-1].sheds_to == "butt"


def test_a_cold_frame_rises_to_its_back_and_lets_light_in():
    frame_ = built("cold-frame", facing_deg=180, at=[0, 0], width=1.2, depth=0.6, front_height=0.25, back_height=0.4)
    (lid,) = named(stood := stand(frame_), "roof")
    assert frame_.slope().rise_m((0, 0.3)) == pytest.approx(0.15)
    assert frame_.slope().rise_m((0, -0.3)) == pytest.approx(0.0)
    assert lid.transmittance[0] == 0.8
    assert stood.surfaces[0].planted
    assert stood.surfaces[0].area.area == pytest.approx((1.2 - 0.05) * (0.6 - 0.05))


def test_a_pergola_has_posts_in_pairs_and_slats_across():
    pergola = built("pergola", line=[[0, 0], [0, 6]], width=2.4, bay=2.4, past=0.3, slat_gap=0.4, slat_thickness=0.045)
    stood = stand(pergola)
    # 6 m in bays of at most 2.4 m: three bays, four pairs.
    assert len(named(stood, "post")) == 8
    assert {round(s.footprint.centroid.x, 6) for s in named(stood, "post")} == {-1.15, 1.15}
    (slats,) = named(stood, "slats")
    assert isinstance(slats.form, Slats)
    assert slats.form.direction_deg % 180 == pytest.approx(90)
    assert slats.footprint.bounds == pytest.approx((-1.5, 0, 1.5, 6))
    assert slats.base.value_m > float(pergola.clear_height)
    # By their geometry: the open share seen from below is gap over gap and slat.
    assert slats.transmittance[0] == pytest.approx(0.4 / 0.445)
    drawn = [f for f in stood.figures if isinstance(f, PathFigure) and f.weight == "fine"]
    cut = [m for m in frame(stood).members if m.name == "slat"]
    assert len(drawn) == len(cut) == math.floor((6 - 0.045) / 0.445 / 2) * 2 + 1
    assert {round(math.dist(m.start, m.end), 6) for m in cut} == {3.0}
    assert {m.support for m in frame(stood).members if m.name == "post"} == {"post"}
    assert max(math.dist(m.start, m.end) for m in frame(stood).members if m.name == "beam") <= 2.4


def test_a_pergola_turns_its_corner_without_a_hole():
    pergola = built("pergola", line=[[0, 0], [0, 5], [5, 5]], width=2.0, past=0.0)
    roofs = [roof for roof, _ in pergola.roofs()]
    whole = LineString([(0, 0), (0, 5), (5, 5)]).buffer(1.0, cap_style="flat", join_style="mitre")
    assert union_all(roofs).symmetric_difference(whole).area < 1e-6
    assert sum(r.area for r in roofs) == pytest.approx(whole.area)


def test_a_pergola_along_a_wall_has_posts_on_one_side():
    both, left = built("pergola").posts(), built("pergola", stands_on="left posts only").posts()
    assert len(left) * 2 == len(both)
    assert set(left) < set(both)


def test_a_pergola_round_a_bend_keeps_its_bays():
    row = built("pergola", line=[[0, 0], [0, 8], [8, 8]], rounding=4.0, bay=2.0, stands_on="left posts only").posts()
    assert max(math.dist(a, b) for a, b in pairwise(row)) <= 2.0 + 1e-6
    assert len(row) < 14


def test_an_arbour_holds_its_seat_between_its_posts():
    stood = stand(arbour := built("arbour"))
    (seat,) = named(stood, "seat")
    assert arbour.plan().buffer(1e-6).covers(seat.footprint)
    assert all(seat.footprint.intersection(p.footprint).area < 1e-6 for p in named(stood, "post"))
    assert len(named(stood, "side")) == 3
    assert 0 < named(stood, "side")[0].transmittance[0] < 1
    slats = [m for m in frame(stood).members if m.name == "slat"]
    gaps = [math.dist(a.start, b.start) - 0.035 for a, b in pairwise(slats)]
    assert min(gaps) >= float(arbour.slat_gap) - 1e-9


def test_a_house_is_whole_from_ground_to_ridge():
    house = built("house", outline=[[0, 0], [10, 0], [10, 6], [0, 6]], eaves_height=4.0, ridge_height=7.0, overhang=0.0)
    stood = stand(house)
    assert max(s.top.value_m for s in named(stood, "under-roof")) == pytest.approx(7.0)
    assert named(stood, "walls")[0].top.value_m == 4.0
    assert {plane(s).fall_deg for s in named(stood, "roof")} == {0.0, 180.0}
    assert union_all([s.footprint for s in named(stood, "under-roof")]).equals(box(0, 0, 10, 6))


@pytest.mark.parametrize(("roof", "count"), [("flat", 1), ("single", 1), ("gable", 2), ("hip", 4)])
def test_a_house_roof_covers_its_eaves(roof, count):
    house = built("house", roof=roof, overhang=0.4)
    found = house.slopes()
    assert len(found) == count
    assert union_all([s.area for s in found]).symmetric_difference(house.eaves()).area < 1e-6
    top = max(s.rises_m()[1] for s in found)
    assert top == pytest.approx(0.0 if roof == "flat" else 7.4 - 4.6)


def test_points_along_a_wall_make_no_slope_of_their_own():
    house = built("house", outline=[[5, 0], [10, 0], [10, 6], [4, 6], [0, 6], [0, 0]], roof="hip", overhang=0.3)
    assert len(house.slopes()) == 4
    assert sum(s.area.area for s in house.slopes()) == pytest.approx(10.6 * 6.6)


def test_a_house_with_a_wing_stands_under_two_slopes():
    house = built("house", outline=[[0, 0], [10, 0], [10, 4], [4, 4], [4, 8], [0, 8]], roof="hip", ridge_deg=90)
    found = house.slopes()
    assert union_all([s.area for s in found]).symmetric_difference(house.eaves()).area < 1e-6
    assert {round(s.eaves.out_deg) for s in found} == {0, 180}


def test_a_plinth_stands_out():
    stood = stand(built("house", plinth_height=0.3, plinth_reach=0.05))
    (plinth,) = named(stood, "plinth")
    assert plinth.top.value_m == 0.3
    assert plinth.footprint.area > named(stood, "walls")[0].footprint.area


KIT = {"width": 2.5, "depth": 3.1, "price": 89000, "weight_kg": 140, "people": 2, "wind_limit_m_s": 27.0}


@pytest.mark.parametrize(
    "kind", ["arbour", "cold-frame", "compost-bay", "greenhouse", "pergola", "roofed-shelter", "shed"]
)
def test_a_kit_gives_what_its_maker_states_and_no_pieces_to_cut(kind):
    (kit,) = stand(built(kind, how="kit", kit=KIT)).work
    assert isinstance(kit, KitWork)
    assert (kit.price, kit.weight_kg, kit.people, kit.wind_limit_m_s) == (89000, 140, 2, 27.0)
    assert kit.snow_limit_kpa is None  # none stated: can't tell
    assert kit.size_m == (2.5, 3.1, None)
    made = stand(built(kind)).work
    assert not any(isinstance(w, KitWork) for w in made)
    assert stand(built(kind, how="hired")).work == made


@pytest.mark.parametrize("kind", ["arbour", "greenhouse", "pergola", "roofed-shelter", "shed"])
def test_every_post_has_its_footing(kind):
    work = frame(stand(built(kind)))
    posts = sorted((round(m.start[0], 6), round(m.start[1], 6)) for m in work.members if m.support == "post")
    assert posts == sorted((round(x, 6), round(y, 6)) for x, y in work.footings)
    assert all(min(m.section_m) > 0 and math.dist(m.start, m.end) > 0.01 for m in work.members)
    assert FLAT.height(0, 0) == 0
