"""The ground beyond the boundary: whose it is, and who keeps off it."""

import pytest
import shapely
from shapely import Point, box

from quincunx.scene import Spot
from quincunx.shapes import Surface
from quincunx.walk.beyond import beyond, side_before
from quincunx.walk.reach import walk_of
from tests.walk.grounds import known, scene, wall

PLOT = box(0, 0, 20, 10)
ROAD = Spot("road", "Road", (5, -2))
SHED, HOUSE = Spot("shed", "Shed", (18, 5)), Spot("house", "House", (2, 5))
# A wall across the plot that only a neighbour's ground leads round.
ACROSS = wall("across", 10, 0, 10.3, 10)


def plot(*spots, surfaces=()):
    return scene(PLOT, solids=[ACROSS], spots=(SHED, HOUSE, *spots), surfaces=surfaces)


def gets_round(here, who, *, polite):
    return walk_of(here, known(who), polite=polite).reaches("house", "shed")


def test_nobody_knows_whose_the_strip_is_before_something_is_put_there():
    here = plot()
    assert beyond(here) == ()
    assert gets_round(here, "barrow", polite=True)


def test_people_keep_to_the_side_with_the_road_and_animals_do_not():
    here = plot(ROAD)
    closed = shapely.union_all(beyond(here))
    assert closed.intersects(Point(10, 12))
    assert closed.intersects(Point(-2, 5))
    assert not closed.intersects(Point(19, -2))
    assert closed.area == pytest.approx(28 * 18 - 20 * 10 - 20 * 4)
    # Round the wall by the road one may go, though not by the neighbour's ground at its other end.
    way = walk_of(here, known("barrow"), polite=True).way("house", "shed")
    assert way is not None
    assert min(y for _, y in way.points) < 0
    shut = scene(PLOT, solids=[ACROSS, wall("along", 0, -0.3, 20, 0)], spots=(SHED, HOUSE, ROAD))
    assert not gets_round(shut, "barrow", polite=True)
    assert gets_round(shut, "barrow", polite=False)  # as one who runs off does
    assert gets_round(shut, "roe", polite=True)


def test_two_open_sides_join_at_the_corner_between_them():
    closed = shapely.union_all(beyond(plot(ROAD, Spot("track", "Track", (-2, 5)))))
    assert not closed.intersects(Point(-2, -2))
    assert closed.intersects(Point(22, -2))


def test_an_eye_outside_opens_no_side_and_drawn_ground_does():
    window = Spot("window", "A neighbour's window", (10, 13), height_m=4.5)
    closed = shapely.union_all(beyond(plot(ROAD, window)))
    assert closed.intersects(Point(5, 12))
    assert not closed.intersects(Point(10, 12))  # but one may stand below it
    track = Surface("track", "", box(-3, 10, 23, 13), "gravel")
    assert not shapely.union_all(beyond(plot(ROAD, surfaces=(track,)))).intersects(Point(5, 12))
    pond = Surface("pond", "", box(-3, 10, 23, 13), "water", water_depth_m=0.5)
    assert shapely.union_all(beyond(plot(ROAD, surfaces=(pond,)))).intersects(Point(5, 12))


def test_a_side_goes_on_round_gentle_bends_only():
    bent = shapely.Polygon([(0, 0), (5, -1), (10, -1), (10, 8), (0, 8)])
    assert side_before(bent, (7, -3)).equals(shapely.LineString([(0, 0), (5, -1), (10, -1)]))
    disc = Point(0, 0).buffer(5, quad_segs=8)
    assert side_before(disc, (9, 0)).length == pytest.approx(disc.exterior.length)


def test_the_same_ground_is_the_same_object_in_every_year():
    one, other = plot(ROAD), plot(ROAD)
    assert all(a is b for a, b in zip(beyond(one), beyond(one), strict=True))
    assert [p.wkb for p in beyond(one)] == [p.wkb for p in beyond(other)]
