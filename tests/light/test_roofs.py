"""Roofs side by side, slats found, places for a seat and a parasol: each against geometry."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from shapely import Point, box

from quincunx.light import Sky, shade_at
from quincunx.light.roofs import NOON, OWNER, Spot, best_slats, compare, roofs_for, slats_words, warmest
from quincunx.light.seats import CROWN_M, CROWN_UP_M, IN_LEAF, PARASOL_M, STEM_M, best_places, parasol, small_tree
from quincunx.scene.slats import slats_light
from quincunx.shapes import Height, Slats, Solid, Surface
from tests.light.gardens import SLOPE, crown, scene, wall

SKY = Sky(52.0)
WARM = (6, 7, 8)
SPOT = Spot((10.0, 10.0), 180.0)


def test_the_roof_lies_over_the_seat_turned_as_it_looks():
    assert SPOT.plan().bounds == pytest.approx((8.4, 8.6, 11.6, 11.4))
    east = Spot((10.0, 10.0), 90.0).plan()
    assert east.bounds == pytest.approx((8.6, 8.4, 11.4, 11.6))
    assert east.area == pytest.approx(3.2 * 2.8)


def test_the_warmest_months_are_read_or_assumed():
    assert warmest(SKY) == (6, 7, 8)
    assert warmest(Sky(-35.0)) == (1, 2, 12) or warmest(Sky(-35.0)) == (12, 1, 2)
    assert warmest(SKY, (1, 2, 3, 4, 5, 18, 22, 22, 20, 9, 4, 2)) == (7, 8, 9)


def test_a_solid_roof_shades_as_much_as_its_sides_let_it():
    """From 1.2 m under the middle of a roof 2.2 m up the sun comes in below atan(1 / half its depth) from the front."""
    found = {r.roof.id: r for r in compare(scene(ground=SLOPE), SPOT, SKY, WARM)}
    assert found["none"].shade == pytest.approx(0.0, abs=1e-9)
    assert found["none"].darker_m2 == 0.0
    # In summer from 12 to 16 by the sun it stands above 38 degrees; from the middle the front edge is 35.5 degrees up.
    assert math.degrees(math.atan(1.0 / 1.4)) < 38
    assert found["solid"].shade > 0.97
    assert found["slats"].shade > 0.8
    assert found["slats"].morning_h >= found["solid"].morning_h - 1e-6
    assert found["climber"].shade >= found["slats"].shade - 1e-6


def test_each_closed_side_takes_more_and_the_open_one_least():
    found = compare(scene(), Spot((10, 10), 0.0), SKY, WARM)
    winter = {r.roof.id: r.winter_h for r in found}
    # It looks north: the closed back is to the south and takes the winter sun.
    assert winter["none"] >= winter["slats"] >= winter["one-side"]
    assert winter["one-side"] < 0.3 * winter["none"]
    assert winter["two-sides"] <= winter["one-side"] + 1e-6
    darker = {r.roof.id: r.darker_m2 for r in found}
    assert darker["none"] <= darker["solid"] <= darker["one-side"] <= darker["two-sides"] + 1e-6


def test_winter_ground_behind_a_wall_is_where_its_shadow_falls():
    """Noon in December at 52 N is 14.6 degrees up: a closed side 2.2 m high throws 8.4 m of shadow north."""
    found = {r.roof.id: r for r in compare(scene(), Spot((10, 6), 0.0, 6.0, 1.0), SKY, WARM)}
    assert found["one-side"].darker_m2 > 6.0 * 2.0
    assert found["one-side"].darker_m2 < 12 * 12 * math.pi / 2


def test_the_bed_beside_loses_and_is_named():
    bed = Surface("herbs", "", box(8.5, 11.6, 11.5, 13), material="soil", planted=True)
    here = replace(scene(), surfaces=(bed,))
    found = {r.roof.id: r for r in compare(here, SPOT, SKY, WARM)}
    assert [name for name, _ in found["solid"].beds] == ["herbs"]
    assert found["solid"].beds[0][1] > 0.05
    assert found["none"].beds == ()


def test_slats_found_are_as_good_as_any_tried():
    """Against a plain search through the shade engine itself, over directions, for the sizes that were chosen."""
    here = scene()
    best = best_slats(here, SPOT, SKY, WARM)
    z = here.ground_z_m(10, 10) + 2.2

    def shade(slats: Slats) -> float:
        roof = Solid(OWNER, "slats", SPOT.plan(), Height(z, "site"), Height(z + 0.1, "site"), slats)
        return shade_at(replace(here, solids=(roof,)), (10, 10), months=WARM, sky=SKY, step_min=15).between(WARM, *NOON)

    others = [shade(replace(best, direction_deg=float(d))) for d in range(0, 180, 45)]
    # Morning and winter sun count too, by at most 0.4 together.
    assert shade(best) >= max(others) - 0.4
    assert shade(best) > 0.8


def test_words_of_slats():
    assert slats_words(Slats(90.0, 0.12, 0.05, 0.0, 0.045)) == "12 cm deep, 5 cm apart, running east to west, upright"
    assert slats_words(Slats(30.0, 0.095, 0.16, -15.0)).endswith("running along 30°, leaning 15°")


def test_every_roof_has_posts_and_stands_on_the_ground():
    for roof in roofs_for(scene(ground=SLOPE), SPOT, SKY, WARM)[1:]:
        posts = [s for s in roof.solids if s.part.startswith("post")]
        assert len(posts) == 4
        assert all(SPOT.plan().buffer(1e-6).covers(p.footprint) for p in posts)
        assert {s.owner for s in roof.solids} == {OWNER}


def test_in_the_south_the_months_are_turned():
    found = compare(scene(latitude_deg=-35.0), Spot((10, 10), 0.0), Sky(-35.0), (12, 1, 2))
    assert found[3].shade > 0.9


@settings(max_examples=12, deadline=None)
@given(st.floats(-60, 60), st.integers(0, 3))
def test_a_parasol_on_open_ground_covers_what_a_disc_can(latitude, k):
    months = ((6, 7, 8), (12, 1, 2), (3, 4, 5), (9, 10, 11))[k]
    stand = parasol(scene(), (10, 10), Sky(latitude), months)
    assert stand is not None
    assert 0.0 <= stand.shade <= 1.0
    # A disc 0.9 m over the head hides a sun d / 0.9 aside; its foot is no farther off than was tried.
    assert math.hypot(stand.at[0] - 10, stand.at[1] - 10) <= 1.6 * math.sqrt(2) + 1e-6
    if abs(latitude) < 15:
        assert stand.shade > 0.4


def test_a_parasols_shade_is_that_of_a_disc_in_the_shade_engine():
    stand = parasol(scene(), (10, 10), SKY, WARM)
    assert stand is not None
    disc = Solid("p", "", Point(stand.at).buffer(PARASOL_M, quad_segs=32), Height(2.1), Height(2.101))
    found = shade_at(scene(disc), (10, 10), 1.2, months=WARM, sky=SKY).between(WARM, *NOON)
    assert stand.shade == pytest.approx(found, abs=0.03)


@pytest.mark.parametrize("latitude", [52.0, -35.0])
def test_a_small_trees_shade_is_that_of_its_crown_in_the_shade_engine(latitude):
    warm, sky = (WARM, SKY) if latitude > 0 else ((12, 1, 2), Sky(latitude))
    tree = small_tree(scene(latitude_deg=latitude), (10, 10), sky, warm)
    assert tree is not None
    assert STEM_M[0] <= math.dist(tree.at, (10, 10)) <= STEM_M[1]
    low, high = CROWN_UP_M - CROWN_M, CROWN_UP_M + CROWN_M
    ball = crown(*tree.at, CROWN_M, low, high, light=IN_LEAF)
    grown = scene(ball, latitude_deg=latitude)
    found = shade_at(grown, (10, 10), 1.2, months=warm, sky=sky).between(warm, *NOON)
    assert tree.shade == pytest.approx(found, abs=0.03)
    assert tree.shade > 0.5
    assert (tree.at[1] - 10) * latitude <= 0, "not on the far side of the midday sun"


def test_no_tree_is_put_where_something_stands_or_grows():
    bed = Surface("bed", "", box(0, 0, 20, 19), material="soil", planted=True)
    assert small_tree(replace(scene(), surfaces=(bed,)), (10, 10), SKY, WARM) is None


def test_the_best_place_for_a_seat_is_under_the_tree_that_lets_the_morning_in():
    tree = crown(10, 12, 3.0, 2.5, 7.0, light=0.1)
    found = best_places(scene(tree, wall(0, 0, 20, 0.2, 2.0)), SKY, WARM)
    assert 1 <= len(found) <= 3
    assert found[0].shade > 0.6
    assert math.hypot(found[0].at[0] - 10, found[0].at[1] - 12) < 5.5
    gaps = [math.dist(a.at, b.at) for i, a in enumerate(found) for b in found[:i]]
    assert all(g >= 3.0 - 1e-9 for g in gaps)
    seat = shade_at(scene(tree, wall(0, 0, 20, 0.2, 2.0)), found[0].at, 1.2, months=WARM, sky=SKY, step_min=15)
    assert seat.between(WARM, *NOON) == pytest.approx(found[0].shade, abs=0.05)


def test_no_seat_is_put_into_a_pond_or_a_bed():
    bed = Surface("bed", "", box(0, 0, 20, 19), material="soil", planted=True)
    assert best_places(replace(scene(), surfaces=(bed,)), SKY, WARM) == ()


def test_slats_shut_where_the_profile_angle_says():
    """tan v = depth / gap (closed form): slats 12 cm deep and 5 cm apart let no sun below 67 degrees across them."""
    slats = Slats(90.0, 0.12, 0.05, 0.0, 0.0)
    low, high = (np.array([[0.0, -math.cos(math.radians(v)), math.sin(math.radians(v))]]) for v in (67.0, 68.0))
    assert slats_light(slats, low)[0] == pytest.approx(0.0, abs=1e-9)
    assert 0.0 < slats_light(slats, high)[0] < 0.1
