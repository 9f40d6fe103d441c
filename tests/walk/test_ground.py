"""Free ground: slopes, level walls on falling ground, beds, water, bridges; outlines true to 1 cm."""

import math

import pytest
import shapely
from shapely import Point, STRtree, box

from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.shapes import Height, Risers, Surface
from quincunx.site.ground import Ground
from quincunx.walk.ground import ROUND_M, SLACK_M, FreeGround, free_ground
from quincunx.walk.reach import Walk
from tests.walk.grounds import known, scene, wall

PERSON, ROE, BARROW = (known(w) for w in ("person", "roe", "barrow"))
WORLD = box(0, 0, 10, 10)


def reaches(walk: FreeGround, a: tuple[float, float], b: tuple[float, float]) -> bool:
    return bool(walk.pieces_at(Point(a)) & walk.pieces_at(Point(b)))


def test_an_outline_round_a_post_is_true_to_a_centimetre():
    post = Point(5, 5).buffer(0.5, quad_segs=64)
    here = scene(WORLD, solids=[wall("w", 4, 4, 6, 6)])
    free = free_ground(here, PERSON)
    # The middle of the body keeps 0.225 m from a 2 x 2 m block: 4 + 4 x 2 x 0.225 + pi 0.225^2.
    blocked = free.world.area - shapely.union_all(free.stand).area
    assert blocked == pytest.approx(4 + 8 * 0.225 + math.pi * 0.225**2, abs=0.01)
    assert post.area > 0


@pytest.mark.parametrize("who", ["two-abreast", "barrow", "roe"])
def test_outlines_of_a_whole_garden_are_as_far_from_what_stops_as_the_body_is_wide(who):
    """A merged outline, grown, has its shallow corners filled by GEOS: 6 cm along a house wall, for two abreast."""
    garden = demo_garden("ropewalk")
    line = timeline(garden)
    walk = Walk(line.at(line.leaf_date(2031)), known(who))
    radius = walk.free.width_m / 2 - SLACK_M
    at = shapely.points(shapely.get_coordinates(shapely.segmentize(walk.free.stand, 0.5)))
    inside = at[shapely.distance(walk.scene.world.boundary, at) > ROUND_M]
    near = STRtree([b.shape for b in walk.free.found]).query_nearest(inside, return_distance=True, all_matches=False)[1]
    assert len(inside) > 500
    assert near.max() <= radius + 1e-3
    assert near.min() >= radius - ROUND_M - 1e-3


def test_planted_ground_stops_people_and_not_deer():
    bed = Surface("bed", "", box(-5, 4, 15, 6), "earth", planted=True)
    here = scene(WORLD, surfaces=[bed])
    person, roe = free_ground(here, PERSON), free_ground(here, ROE)
    assert not reaches(person, (5, 1), (5, 9))
    assert reaches(roe, (5, 1), (5, 9))


def test_a_path_through_a_bed_and_a_bridge_over_water_are_walked_on():
    bed = Surface("bed", "", box(-5, 4, 15, 6), "earth", planted=True)
    path = Surface("path", "", box(4, 3, 5, 7), "brick", layer=20)
    assert reaches(free_ground(scene(WORLD, surfaces=[bed, path]), PERSON), (4.5, 1), (4.5, 9))
    pond = Surface("pond", "", box(-5, 4, 15, 6), "water", water_depth_m=0.5)
    assert not reaches(free_ground(scene(WORLD, surfaces=[pond]), PERSON), (4.5, 1), (4.5, 9))
    assert reaches(free_ground(scene(WORLD, surfaces=[pond, path]), PERSON), (4.5, 1), (4.5, 9))


def test_steps_stop_wheels():
    steps = Surface("steps", "", box(-5, 4, 15, 6), "flags", Risers(0.0, 4, 0.16, 0.35))
    here = scene(WORLD, surfaces=[steps])
    assert reaches(free_ground(here, PERSON), (5, 1), (5, 9))
    assert not reaches(free_ground(here, BARROW), (5, 1), (5, 9))


def test_a_bank_too_steep_for_a_barrow():
    # A bank of 1 in 2 from y = 4 to y = 6 across the whole plot.
    points = [(x, y, z) for x in (-5.0, 15.0) for y, z in ((-5, 0.0), (4, 0.0), (6, 1.0), (15, 1.0))]
    lines = [[(-5.0, y, z), (15.0, y, z)] for y, z in ((4, 0.0), (6, 1.0))]
    here = scene(WORLD, ground=Ground.from_levels(points, lines))
    assert reaches(free_ground(here, PERSON), (5, 1), (5, 9))
    assert not reaches(free_ground(here, BARROW), (5, 1), (5, 9))


def test_a_level_wall_on_falling_ground_is_crossed_where_it_is_low():
    from dataclasses import replace

    # The ground rises 1 m from x = 0 to x = 10; the wall's top is level at 1.2 m: 0.2 m high at the upper end.
    ground = Ground.from_levels([(x, y, x / 10) for x in (-5.0, 15.0) for y in (-5.0, 15.0)])
    level = replace(wall("w", -5, 4.9, 15, 5.1), top=Height(1.2, "site"), base=Height(-1.0, "site"))
    free = Walk(scene(WORLD, solids=[level], ground=ground), PERSON).free
    assert reaches(free, (5, 1), (5, 9))
    low = shapely.union_all([b.shape for b in free.found])
    # It stops where it stands 0.6 m or more above the ground: up to x = 6; looked at in pieces of 0.5 m.
    assert low.bounds[2] == pytest.approx(6.0, abs=0.5)


def test_the_same_scene_gives_the_same_pieces():
    here = [scene(WORLD, solids=[wall("w", 0, 4, 4, 5), wall("v", 6, 4, 10, 5)]) for _ in range(2)]
    a, b = (free_ground(s, PERSON) for s in here)
    assert [p.wkb for p in a.pieces] == [p.wkb for p in b.pieces]
    assert [p.wkb for p in a.stand] == [p.wkb for p in b.stand]
