"""What hems a place in, against widths known beforehand and against a fine grid of places to stand."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from shapely import box

from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.intents._base import Words
from quincunx.intents._walking import why_not
from quincunx.scene import Spot
from quincunx.shapes import Guard, Surface
from quincunx.walk.hemmed import pieces_drawn, shut_in_by, widest_beside
from quincunx.walk.places import place_of, zone_of
from quincunx.walk.reach import Walk
from tests.walk.grounds import known, scene, wall
from tests.walk.test_coming import grounds

WORLD = box(0, 0, 20, 20)
GATE = (Spot("gate", "the gate", (1.0, 1.0)),)


def yard(south_m, *, east_m=0.3):
    """Return a frame in a yard of four walls with a door, ``south_m`` clear south of it and ``east_m`` elsewhere."""
    x0, y0, x1, y1 = 9.0 - east_m, 9.0 - south_m, 11.0 + east_m, 11.0 + east_m
    return [
        wall("frame", 9, 9, 11, 11),
        wall("south", x0 - 0.2, y0 - 0.2, x1, y0),
        wall("north", x0, y1, x1 + 0.2, y1 + 0.2),
        wall("west", x0 - 0.2, y0, x0, y1 + 0.2),
        wall("east", x1, y0 - 0.2, x1 + 0.2, y1),
    ]


def words_of(here):
    return replace(Words(), names={s.owner: f"the {s.owner}" for s in here.solids} | {s.id: s.name for s in here.spots})


@pytest.mark.parametrize("gap_m", [0.44, 0.45, 0.46, 0.613])
def test_the_widest_place_beside_something_is_exact_to_the_millimetre(gap_m):
    here = scene(WORLD, solids=yard(gap_m))
    place, who = place_of(here, "frame"), known("barrow")
    assert place is not None
    walk = Walk(here, who, polite=True)
    assert not walk.pieces_at("frame")
    found = widest_beside(walk.free, place, who)
    # In the corner past the frame a circle touches two walls and the frame's corner: r = e + s - sqrt(2 e s).
    corner = 2 * (0.3 + gap_m - (2 * 0.3 * gap_m) ** 0.5)
    assert found.width_m == pytest.approx(max(gap_m, corner), abs=0.001)


def widest_of_grid(walk, place, who):
    """Return the widest body within reach of a place, by looking from a fine grid how far all things are [m]."""
    zone_wide = zone_of(walk.free, place, who.changed(body_width=0.02)).bounds
    x, y = np.meshgrid(np.arange(zone_wide[0], zone_wide[2], 0.02), np.arange(zone_wide[1], zone_wide[3], 0.02))
    at = shapely.points(x.ravel(), y.ravel())
    clear = 2 * shapely.distance(shapely.union_all([b.shape for b in walk.free.found]), at)
    reach = 2 * (shapely.distance(place.shape, at) - float(who.reach))  # no narrower body has it within reach
    seen = np.array([clear >= np.maximum(reach, 0.02)])[0]
    return float(np.minimum(clear, float(who.body_width))[seen].max(initial=0.0))


@given(st.floats(0.1, 0.6), st.floats(0.1, 0.6))
@settings(max_examples=12, deadline=None)
def test_the_widest_place_is_what_a_grid_of_places_says(south, east):
    here = scene(WORLD, solids=yard(south, east_m=east))
    place, who = place_of(here, "frame"), known("barrow")
    walk = Walk(here, who, polite=True)
    assert place is not None
    if walk.pieces_at("frame"):
        return
    assert widest_beside(walk.free, place, who).width_m == pytest.approx(widest_of_grid(walk, place, who), abs=0.045)


def test_what_hems_in_is_named_with_the_width():
    here = scene(WORLD, solids=yard(0.5), spots=GATE)
    why, drawn = why_not(Walk(here, known("barrow"), polite=True), "gate", "frame", words_of(here))
    assert why.startswith("there is no room to stand at the frame: the widest place within reach is 0.5")
    assert why.endswith("and 0.70 m is needed")
    assert "between the frame and the " in why or "between the south and the " in why
    assert len(drawn) == 1


def test_with_no_room_at_all_the_things_around_are_named():
    tight = yard(0.01, east_m=0.01)
    here = scene(WORLD, solids=tight, spots=GATE)
    why, _ = why_not(Walk(here, known("barrow"), polite=True), "gate", "frame", words_of(here))
    assert why.startswith("there is no room to stand at the frame: ")
    assert why.endswith(" hem it in")


def test_what_shuts_in_is_named_by_how_much_of_the_edge_it_is():
    here = scene(WORLD, solids=yard(2.0, east_m=1.5), spots=GATE)
    walk = Walk(here, known("barrow"), polite=True)
    (piece,) = (walk.free.pieces[n] for n in walk.pieces_at("frame"))
    assert set(shut_in_by(walk.free, piece)[:2]) == {"west", "east"}  # 2 m + 2 m + 1.5 m, before 5 m of the others
    why, drawn = why_not(walk, "gate", "frame", words_of(here))
    assert why.endswith("shut in the frame")
    assert drawn


def test_pieces_drawn_from_the_ground_without_what_has_come_are_those_drawn_from_nothing():
    seen = 0
    for seed in range(16):
        come, anew = grounds(seed, 0.8, 24, 5)
        pieces = anew.pieces
        inside = [(p.x, p.y) for p in shapely.point_on_surface(np.array(pieces, dtype=object))]
        found = pieces_drawn(come, range(len(pieces) + 1))
        for piece, number in zip(pieces, come.numbers(inside), strict=True):
            assert number is not None
            assert shapely.symmetric_difference(found[number], piece).area < 1e-3, "as wide as the cuts between them"
        assert pieces_drawn(come, ()) == {}
        seen += len(pieces)
    assert seen > 60


def test_what_grows_in_a_bed_is_reached_over_its_rim():
    bed = Surface("bed", "", box(9, 9, 10.2, 12), "soil", planted=True)
    beans = Surface("beans", "", box(9.3, 9.3, 9.9, 11), "soil", planted=True, layer=1)
    rim = [wall("bed", 9, 9, 10.2, 9.05, 0.4), wall("bed", 9, 11.95, 10.2, 12, 0.4)]
    rim += [wall("bed", 9, 9, 9.05, 12, 0.4), wall("bed", 10.15, 9, 10.2, 12, 0.4)]
    here = scene(WORLD, solids=rim, surfaces=[bed, beans], spots=GATE)
    assert Walk(here, known("barrow"), polite=True).reaches("gate", "beans")
    fence = [replace(w, owner="fence") for w in rim]  # the same boards, but not the bed's own
    here = scene(WORLD, solids=fence, surfaces=[bed, beans], spots=GATE)
    assert not Walk(here, known("barrow"), polite=True).reaches("gate", "beans")


def test_a_hand_gets_by_a_guard_and_a_deer_does_not():
    tree, guard = wall("tree", 9.9, 9.9, 10.1, 10.1, 2.0), wall("guard", 9.5, 9.5, 10.5, 10.5, 1.8, gap_m=0.05)
    ring = replace(guard, footprint=guard.footprint.difference(guard.footprint.buffer(-0.05)))
    here = scene(WORLD, solids=[tree, ring], spots=GATE)
    here = replace(here, guards=(Guard("guard", 1.8, 0.05, "tree"),))
    assert Walk(here, known("barrow"), polite=True).reaches("gate", "tree")
    assert not Walk(here, known("roe")).reaches("gate", "tree")
    assert not Walk(replace(here, guards=()), known("barrow"), polite=True).reaches("gate", "tree")


def test_a_barrow_gets_to_every_bed_at_ropewalk_once_the_ramp_is_there():
    garden = demo_garden("ropewalk")
    line = timeline(garden)
    here = line.at(line.leaf_date(2032))
    walk = Walk(here, known("barrow"), polite=True)
    beds = [f.id for f in garden.features if f.kind.endswith("bed") or f.kind in {"planted-area", "row"}]
    beds = [b for b in beds if walk.place(b) is not None]
    assert len(beds) >= 8
    assert [b for b in beds if not walk.reaches("road", b)] == []
