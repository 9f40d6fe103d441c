"""A leap has a length, and nobody jumps through a roof: against a thrown body, published figures and plain counting."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from shapely import LineString, Point, box

from quincunx.shapes import Height, Leaf, Opening, Plane, Slab, Solid
from quincunx.walk.barriers import barriers, passes_leaf
from quincunx.walk.heights import standing
from quincunx.walk.leaps import bears, deeper_than, leap_at_m, lids
from quincunx.walk.reach import Walk
from quincunx.walk.walkers import builtin
from tests.walk.grounds import hedge, known, scene, wall

DEER = ("roe", "muntjac", "red-deer", "fallow", "sika", "white-tail", "mule-deer")
FLAT = Plane(0, 0, Height(0), 0.0, 0.0)


def roof(owner, shape, under_m, top_m):
    plane = replace(FLAT, at=Height(top_m))
    return Solid(owner, "roof", shape, Height(under_m), Height(top_m), Slab(plane, top_m - under_m))


def house(owner="house", *, eaves_m=1.3, top_m=2.4, x=4.0, deep_m=2.0, under_m=None):
    """Return four thin walls low enough for a roe, and a roof over them."""
    x1, y0, y1 = x + 3, 5 - deep_m / 2, 5 + deep_m / 2
    thin = [(x, y0, x1, y0 + 0.05), (x, y1 - 0.05, x1, y1), (x, y0, x + 0.05, y1), (x1 - 0.05, y0, x1, y1)]
    walls = [replace(wall(owner, *w, eaves_m), part=f"wall{n}") for n, w in enumerate(thin)]
    return [*walls, roof(owner, box(x, y0, x1, y1), eaves_m if under_m is None else under_m, top_m)]


def stopped(who, *solids):
    """Return the area on which somebody is stopped [m2]."""
    found = barriers(scene(box(0, 0, 12, 10), solids=list(solids)), who)
    return shapely.union_all([b.shape for b in found]).area


def gets_in(who, *solids, at=(5.5, 5.0)):
    free = Walk(scene(box(0, 0, 12, 10), solids=list(solids)), who).free
    return bool(free.pieces_at(Point(at)) & free.pieces_at(Point(5.5, 1)))


@given(st.floats(0.3, 3.0), st.floats(0.05, 0.95))
def test_a_leap_is_that_of_a_body_thrown_at_one_speed(high, share):
    # u^2 = g (h1 + h2 + L): Physics Stack Exchange, answer 387812, least speed over two walls L apart; h1 = h2 = h here.
    g, h = 9.81, share * high
    speed2 = 2 * g * high  # just clears `high` with nothing across it
    assert g * (2 * h + leap_at_m(speed2 / g, high, h)) == pytest.approx(speed2)


@given(st.floats(0.3, 3.0), st.floats(0.05, 0.95))
@settings(max_examples=20)
def test_no_throw_at_that_speed_clears_more(high, share):
    # The oracle throws at every angle and looks how long the body is above h.
    g, h = 9.81, share * high
    angle = np.linspace(0.01, np.pi / 2 - 0.001, 4000)
    up, along = np.sqrt(2 * g * high) * np.sin(angle), np.sqrt(2 * g * high) * np.cos(angle)
    above = along * 2 * np.sqrt(np.maximum(up**2 - 2 * g * h, 0.0)) / g
    assert above.max() == pytest.approx(leap_at_m(2 * high, high, h), rel=1e-3, abs=1e-3)


@pytest.mark.parametrize(
    ("who", "published_m"),
    # Parc du Thot, The animals: fallow deer (a length of 7 m); biologyinsights.com: 30 ft, 35 ft.
    [("fallow", 7.0), ("white-tail", 30 * 0.3048), ("mule-deer", 35 * 0.3048)],
)
def test_leaps_are_those_published(who, published_m):
    leap = known(who).leap
    assert leap is not None
    assert float(leap) == pytest.approx(published_m, abs=0.001)


@pytest.mark.parametrize("who", DEER)
def test_each_figure_for_a_leap_says_where_it_is_from(who):
    assert any(k.figure == "leap_m" and k.source for k in known(who).known)


def test_only_deer_have_a_leap_so_that_nobody_else_is_stopped_by_it():
    assert {k for k, w in builtin().items() if w.leap is not None} == set(DEER)


@pytest.mark.parametrize("who", DEER)
def test_a_double_fence_is_leapt_though_deer_are_said_to_shy_at_it(who):
    # Two fences 5 ft high, 4-5 ft apart are advised (ask2.extension.org, 851579), for deer judge depth badly; that they
    # could clear both is granted there and elsewhere, so such a pair never counts as certain.
    two = [wall("a", 0, 5, 12, 5.05, 1.4), wall("b", 0, 6.3, 12, 6.35, 1.4)]
    assert stopped(known(who), *two) == 0


def test_deer_don_t_jump_through_a_greenhouse():
    glass = house(eaves_m=1.3, top_m=2.4)
    assert not gets_in(known("roe"), *glass)
    assert gets_in(known("roe"), *glass[:-1])  # without its roof the walls are low enough


def test_over_a_half_wall_into_an_open_shelter():
    assert gets_in(known("roe"), *house(eaves_m=1.0, under_m=2.1, top_m=2.3))
    assert not gets_in(known("roe"), *house(eaves_m=1.0, under_m=1.8, top_m=2.3))  # 0.8 m is less than its headroom


def test_a_child_climbs_through_a_slot_it_fits_through():
    assert gets_in(known("child"), *house(eaves_m=1.0, under_m=1.3, top_m=2.3))
    assert not gets_in(known("child"), *house(eaves_m=1.0, under_m=1.2, top_m=2.3))


def test_a_low_house_is_leapt_where_it_is_not_too_deep():
    # A roe clears 1.5 m or 6 m: 1.2 m high it clears 1.2 m.
    low = {"eaves_m": 1.1, "top_m": 1.2}
    assert stopped(known("roe"), *house(deep_m=1.1, **low)) == 0
    assert stopped(known("roe"), *house(deep_m=1.3, **low)) > 0.3


def test_a_flat_sheet_stops_where_it_is_deeper_than_the_leap():
    # Glass 1.2 m high over 3 m x 2 m, with a tongue 1 m wide that a roe clears.
    shape = shapely.union_all([box(2, 4, 5, 6), box(5, 4.5, 8, 5.5)])
    here = scene(box(0, 0, 12, 10), solids=[roof("frame", shape, 0.0, 1.2)])
    (left,) = barriers(here, known("roe"))
    assert left.shape.covers(box(2.4, 4.4, 4.6, 5.6))
    assert not left.shape.intersects(box(5.7, 4, 8, 6))


def test_snow_makes_every_leap_longer():
    sheet = roof("frame", box(3, 4, 6, 5.5), 0.0, 1.2)
    bare, snowed = (scene(box(0, 0, 12, 10), solids=[sheet], snow_m=s) for s in (0.0, 0.4))
    assert barriers(bare, known("roe"))
    assert not barriers(snowed, known("roe"))


@pytest.mark.parametrize("made", [wall("bed", 3, 3, 8, 7, 1.2), hedge("bushes", 3, 3, 8, 7, 1.2)])
def test_what_bears_is_landed_on_and_what_grows_is_pushed_through(made):
    assert bears(made)
    assert stopped(known("roe"), made) == 0


def test_nobody_lands_on_a_net():
    assert not bears(wall("net", 3, 3, 8, 7, 1.2, gap_m=0.02))
    assert stopped(known("roe"), wall("net", 3, 3, 8, 7, 1.2, gap_m=0.02)) > 10


def test_a_door_under_a_lintel_is_not_leapt():
    door = Opening("door", LineString([(1, 0), (2, 0)]), 1.0, headroom_m=1.4, latch="locked", leaf=Leaf(1.3))
    assert not passes_leaf(known("roe"), door)
    assert passes_leaf(known("roe"), replace(door, headroom_m=None))
    assert passes_leaf(known("roe"), replace(door, headroom_m=2.3))


def test_the_lid_is_the_whole_roof():
    here = scene(box(0, 0, 12, 10), solids=house(eaves_m=1.3, under_m=1.5, top_m=2.4))
    found = lids(standing(here))
    assert {round(lid.clear_m, 3) for lid in found.values()} == {0.2}
    assert {round(lid.top_m, 3) for lid in found.values()} == {2.4}
    assert {round(lid.shape.area, 3) for lid in found.values()} == {6.0}


def test_a_wall_that_sticks_out_from_under_the_roof_has_no_lid():
    out = wall("house", 4, 2, 4.05, 6, 1.3)
    here = scene(box(0, 0, 12, 10), solids=[*house(), out])
    assert {here.solids[k].part for k in lids(standing(here))} == {"wall0", "wall1", "wall2", "wall3"}
    assert not lids(standing(scene(box(0, 0, 12, 10), solids=[wall("other", 4, 4, 5, 5), *house()[-1:]])))


@given(st.floats(0.2, 4.0), st.floats(0.2, 4.0), st.floats(0.1, 3.0))
def test_what_is_too_deep_is_found_as_circles_find_it(width, height, depth):
    left = deeper_than(box(0, 0, width, height), depth)
    assert left.is_empty == (min(width, height) < depth) or abs(min(width, height) - depth) < 1e-9


def test_a_roof_taken_away_lets_deer_in_again():
    glass = house()
    for solids, gets in ((glass, False), (glass[:-1], True), (glass, False)):
        assert gets_in(known("roe"), *solids) is gets


@pytest.mark.parametrize("polite", [False, True])
def test_own_walkers_may_leap_too(polite):
    sheet = roof("frame", box(3, 4, 6, 5.5), 0.0, 0.3)
    dog = known("dog").changed(leap=1.0)
    here = scene(box(0, 0, 12, 10), solids=[sheet])
    assert barriers(here, dog, polite=polite)
    assert not barriers(here, known("dog"), polite=polite)
