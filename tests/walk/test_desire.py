"""Where feet will go: the easiest way against exact answers, corners cut, lines trodden together, widths of paths."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings, strategies as st
from shapely import LineString, box

from quincunx.intents._base import Words
from quincunx.intents._treading import no_ways, trodden_words
from quincunx.shapes import GROUND, Lie, Risers, Surface
from quincunx.walk.desire import BARE_PASSES, SEEN_PASSES, SHY_M, feet, off_path, width_for
from quincunx.walk.eased import UNMADE, Easy, easiest_way, habit
from quincunx.walk.reach import walk_of
from quincunx.walk.trips import Trip
from quincunx.walk.walkers import find_walker
from quincunx.walk.ways import Way
from tests.walk.grounds import known, scene, wall
from tests.walk.published import WIDTHS

YARD = box(0, 0, 20, 20)


def floor(owner: str, area, lie: Lie = GROUND) -> Surface:
    return Surface(owner, "", area, "stone", lie, (1.0,) * 12, layer=5)


def spots(**at: tuple[float, float]):
    from quincunx.scene import Spot

    return [Spot(name, name, xy) for name, xy in at.items()]


L_PATH = [floor("path", box(1, 1, 2, 15).union(box(1, 14, 15, 15)))]
"""A path up the west side and along the north, an L of 14 m and 14 m."""


def yard(*surfaces: Surface, solids=(), **at: tuple[float, float]):
    return scene(YARD, surfaces=surfaces, solids=solids, spots=spots(**at))


def costs(line, path) -> float:
    """Return what a line counts, worked out exactly: path 1, elsewhere UNMADE."""
    shape = LineString(line)
    on = float(shape.intersection(path).length)
    return float(on + UNMADE * (shape.length - on))


def test_on_even_ground_the_easiest_way_is_the_shortest():
    here = yard(solids=[wall("w", 8, 0, 9, 12)], a=(3, 5), b=(15, 5))
    walk = walk_of(here, known("person"), polite=True)
    exact, found = walk.way("a", "b"), easiest_way(walk, "a", "b")
    assert exact is not None
    assert found is not None
    # The grid has sixteen directions, and the way is pulled straight after: within 1.5 per cent here.
    assert exact.length_m - 1e-6 <= found.length_m <= exact.length_m * 1.015
    assert found.points[0] == (3, 5)
    assert found.points[-1] == (15, 5)


@given(st.tuples(st.floats(1, 7), st.floats(1, 19)), st.tuples(st.floats(11, 19), st.floats(1, 19)), st.floats(2, 16))
@settings(max_examples=10, deadline=None)
def test_it_is_never_much_longer_than_the_exact_way_and_keeps_clear(a, b, high):
    here = yard(solids=[wall("w", 8, 0, 9, high)], a=a, b=b)
    walk = walk_of(here, known("person"), polite=True)
    exact, found = walk.way("a", "b"), easiest_way(walk, "a", "b")
    assert exact is not None
    assert found is not None
    assert exact.length_m - 1e-6 <= found.length_m <= exact.length_m * 1.03 + 0.02
    assert found.length_m == pytest.approx(sum(math.dist(p, q) for p, q in pairwise(found.points)))
    assert LineString(found.points).distance(box(8, 0, 9, high)) >= 0.22 or len(found.points) == 2


def test_what_is_trodden_beyond_the_boundary_is_left_out():
    here = yard(a=(10, -5), b=(10, 6))
    trip = Trip(id="t", start="a", end="b", a_week=7)
    (line,) = feet(here, [trip], find_walker).trodden
    assert line.length_m == pytest.approx(6.0, abs=0.01)
    assert min(y for _, y in line.line) >= -1e-9


def test_a_gate_hardly_wider_than_the_body_is_walked_through():
    # Two abreast take 1.20 m; a gate of 4 ft leaves 19 mm, less than the grid's cells.
    wide = 1.2192
    here = yard(solids=[wall("w", -40, 8, 9.33, 8.2), wall("v", 9.33 + wide, 8, 60, 8.2)], a=(4, 3), b=(15, 15))
    walk = walk_of(here, known("two-abreast"), polite=True)
    exact, found = walk.way("a", "b"), easiest_way(walk, "a", "b")
    assert exact is not None
    assert found is not None
    assert exact.length_m - 1e-6 <= found.length_m <= exact.length_m * 1.03


def test_a_walk_without_a_way_says_why_and_a_line_says_whose_it_is():
    ring = [wall("west", 12, 12, 12.1, 18), wall("east", 17.9, 12, 18, 18)]
    ring += [wall("south", 12, 12, 18, 12.1), wall("north", 12, 17.9, 18, 18)]
    here = yard(solids=ring, a=(3, 3), b=(15, 15), c=(3, 10))
    trips = [Trip(id="in", start="a", end="b", a_week=2), Trip(id="up", start="a", end="c", a_week=7)]
    found = feet(here, trips, find_walker)
    (said,) = no_ways(found, here, Words())
    assert said.startswith("A to b: a person does not get there, as ")
    assert said.endswith(" shut in the b.")
    (line,) = found.trodden
    assert trodden_words(line, found, Words()) == "a to c: walked over open ground, a line shows"


def test_a_detour_of_a_fifth_is_kept_and_one_of_two_fifths_cut():
    # Helbing, Keltsch and Molnar 1997 (from memory): a detour of about a quarter is put up with.
    path = box(5, 5, 6, 15)
    for aside, stays in ((4.4, True), (7.5, False)):
        # From one end of the path to the other by its bulge `aside` metres to the west, or straight.
        bulge = LineString([(5.5, 5.5), (5.5 - aside, 10), (5.5, 14.5)]).buffer(0.6)
        here = yard(floor("path", bulge), a=(5.5, 5.5), b=(5.5, 14.5))
        way = easiest_way(walk_of(here, known("person"), polite=True), "a", "b")
        assert way is not None
        off = LineString(way.points).difference(bulge.buffer(0.01)).length
        made = 2 * math.hypot(aside - 0.6, 4.5) / 9.0
        assert (off < 1.0) == (made < UNMADE) == stays or abs(made - UNMADE) < 0.08
    assert path.area == 10


def test_the_corner_of_an_l_is_cut_and_the_rest_walked_on_the_path():
    here = yard(*L_PATH, a=(1.5, 2), b=(14, 14.5))
    way = easiest_way(walk_of(here, known("person"), polite=True), "a", "b")
    assert way is not None
    path = L_PATH[0].area
    on_path = costs([(1.5, 2), (1.5, 14.5), (14, 14.5)], path)
    straight = costs([(1.5, 2), (14, 14.5)], path)
    assert costs(way.points, path) <= min(on_path, straight) + 1e-6
    trip = Trip(id="t", start="a", end="b", a_week=14)
    found = feet(here, [trip], find_walker)
    (piece,) = found.trodden
    assert piece.leaves_path
    assert piece.passes == 14 * 2 * 52
    assert piece.state == "bare"
    assert 1.0 < piece.length_m < 17.7


def test_steps_count_more_than_a_path():
    assert habit(floor("p", YARD)) == 1.0
    assert habit(floor("p", YARD, Risers(0, 3, 0.15, 0.3))) > 1.0
    assert habit(None) == UNMADE


def test_where_there_is_no_way_there_is_none():
    here = yard(solids=[wall("w", 8, -9, 9, 29)], a=(3, 5), b=(15, 5))
    walk = walk_of(here, known("person"), polite=True)
    assert easiest_way(walk, "a", "b") is None
    assert Easy(walk).ways([("a", "nowhere"), ("a", "a")])[0] is None
    found = feet(
        here, [Trip(id="t", start="a", end="b"), Trip(id="u", start="a", end="b", walker="ghost")], find_walker
    )
    assert [way for _, way in found.ways] == [None, None]
    assert found.trodden == ()


def test_two_walks_along_one_line_tread_it_together():
    here = yard(a=(3, 3), b=(3, 15), c=(3.2, 15.2))
    trips = [Trip(id="t", start="a", end="b", a_week=3), Trip(id="u", start="a", end="c", a_week=7, walker="barrow")]
    (piece,) = feet(here, trips, find_walker).trodden
    assert piece.passes == pytest.approx(10 * 104)
    assert set(piece.trips) == {"t", "u"}
    assert set(piece.walkers) == {"person", "barrow"}
    assert not piece.leaves_path


@pytest.mark.parametrize(("a_week", "state"), [(2, "hardly"), (4, "seen"), (12, "bare")])
def test_what_becomes_of_a_line(a_week, state):
    here = yard(a=(3, 3), b=(3, 15))
    (piece,) = feet(here, [Trip(id="t", start="a", end="b", a_week=a_week)], find_walker).trodden
    assert piece.state == state
    assert SEEN_PASSES < BARE_PASSES


def test_what_lies_outside_the_boundary_and_strides_are_left_out():
    here = yard(*L_PATH, a=(1.5, 2), b=(14, 14.5))
    trip = Trip(id="t", start="a", end="b")
    assert off_path(here, trip, Way(((1.5, 2), (1.5, 14.5)), 12.5)) == []
    assert off_path(here, trip, Way(((-3, 2), (-3, 14.5)), 12.5)) == []
    assert off_path(here, trip, Way(((1.5, 2), (1.5, 0.7)), 1.3)) == []  # a stride of 0.3 m off the path


@pytest.mark.parametrize(("walkers", "row"), [(("person",), "W14"), (("barrow",), "W16"), (("cart", "person"), "W17")])
def test_a_path_is_as_wide_as_is_published_for_who_walks_there(walkers, row):
    here = yard()
    assert width_for(here, [(3, 3), (3, 15)], [known(w) for w in walkers]) == pytest.approx(WIDTHS[row], abs=0.001)


def test_beside_a_wall_a_path_is_half_a_foot_wider():
    # W26, shy distance beside a wall: T. Litman 2009.
    here = yard(solids=[wall("w", 3.5, 0, 3.8, 20)])
    wide = width_for(here, [(3, 3), (3, 15)], [known("person")])
    assert wide == pytest.approx(WIDTHS["W14"] + WIDTHS["W26"], abs=0.001)
    assert pytest.approx(WIDTHS["W26"]) == SHY_M
    both = yard(solids=[wall("w", 3.5, 0, 3.8, 20), wall("v", 2.2, 0, 2.5, 20)])
    assert width_for(both, [(3, 3), (3, 15)], [known("person")]) == pytest.approx(
        WIDTHS["W14"] + 2 * WIDTHS["W26"], abs=0.001
    )
    assert width_for(here, [(3, 3)], []) == 0.6
