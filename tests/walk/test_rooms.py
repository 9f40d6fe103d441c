"""Rooms, leaks, gates left open and what lies on every way."""

import networkx as nx
import numpy as np
import pytest
from shapely import Polygon, box

from quincunx.scene import Room, Scene, Spot, Stood
from quincunx.shapes import Guard, Leaf, Narrow, Shut, Solid, Surface
from quincunx.walk.graph import room_graph
from quincunx.walk.places import OUTSIDE, guarded_by, zone_of
from quincunx.walk.reach import left_open, walk_of
from quincunx.walk.rooms import leaks, rooms_of
from tests.walk.grounds import gate, hedge, known, scene, wall

PERSON, ROE, DOG, TODDLER, RABBIT = (known(w) for w in ("person", "roe", "dog", "toddler", "rabbit"))
PLOT = box(0, 0, 10, 12)
RING = [
    wall("west", -0.1, 0, 0.1, 12),
    wall("east", 9.9, 0, 10.1, 12),
    wall("south", -0.1, -0.1, 10.1, 0.1),
    wall("north", -0.1, 11.9, 10.1, 12.1),
]
ROOMS = (Room("court", "court", (5, 3)), Room("green", "drying green", (5, 9)))
SPOTS = (Spot("road", "road", (5, -2)), Spot("door", "kitchen door", (1, 1)))


def garden(*across: Solid, more: tuple[Stood, ...] = (), snow_m: float = 0.0, rooms: tuple[Room, ...] = ROOMS) -> Scene:
    """Return two rooms in a ring of walls, parted by what is ``across``."""
    return scene(PLOT, solids=[*RING, *across], more=more, rooms=rooms, spots=SPOTS, snow_m=snow_m)


WALL = wall("wall", 0, 5.9, 10, 6.1)
SIDE = gate("side-gate", (1.55, 6), (2.45, 6))
ROAD = gate("road-gate", (4.55, 0), (5.45, 0))


def test_a_wall_and_a_gate_make_two_rooms():
    rooms = rooms_of(garden(WALL, more=(SIDE, ROAD)))
    assert all(rooms.closed(r) for r in ROOMS)
    found = rooms.outline("green")
    assert found is not None
    assert found.area == pytest.approx(9.8 * 5.8, abs=0.1)


def test_a_gap_of_900_mm_is_named_with_width_place_and_owners():
    here = garden(hedge("old-hedge", 0, 5.9, 4, 6.1), wall("wall", 4.9, 5.9, 10, 6.1))
    (leak,) = leaks(rooms_of(here), ROOMS[1])
    assert leak.kind == "gap"
    assert leak.width_m == pytest.approx(0.9, abs=1e-6)
    assert leak.at == pytest.approx((4.45, 6.0), abs=0.11)
    assert set(leak.owners) == {"old-hedge", "wall"}
    assert leak.leads_to == "court"


def test_two_gaps_are_both_found():
    here = garden(wall("a", 0, 5.9, 3, 6.1), wall("b", 3.6, 5.9, 7, 6.1), wall("c", 7.8, 5.9, 10, 6.1))
    widths = sorted(leak.width_m or 0.0 for leak in leaks(rooms_of(here), ROOMS[0]))
    assert widths == pytest.approx([0.6, 0.8], abs=1e-6)


def test_a_gap_too_narrow_for_a_body_is_no_leak():
    here = garden(wall("a", 0, 5.9, 3, 6.1), wall("b", 3.44, 5.9, 10, 6.1))
    assert leaks(rooms_of(here), ROOMS[0]) == ()


@pytest.mark.parametrize(("gap_m", "kind"), [(0.7, "holes"), (0.2, None)])
def test_a_young_hedge_leaks_until_it_has_closed(gap_m, kind):
    found = leaks(rooms_of(garden(hedge("hornbeam", 0, 5.8, 10, 6.2, gap_m=gap_m))), ROOMS[1])
    assert [leak.kind for leak in found] == ([kind] if kind else [])
    if kind:
        assert found[0].owners == ("hornbeam",)
        assert found[0].width_m == pytest.approx(gap_m)


def test_a_low_wall_is_stepped_over():
    (leak,) = leaks(rooms_of(garden(wall("low-wall", 0, 5.8, 10, 6.2, 0.4))), ROOMS[1])
    assert leak.kind == "low"
    assert leak.width_m == pytest.approx(0.4)


@pytest.mark.parametrize(
    ("who", "high_m", "foot_m", "snow_m", "kind", "size_m"),
    [
        ("roe", 1.2, 0.0, 0.0, "low", 1.2),  # holes of 64 mm let no roe through: it leaps over
        ("rabbit", 1.2, 0.0, 0.0, "through", 0.064),
        ("dog", 1.5, 0.14, 0.0, "under", 0.14),
        ("roe", 2.0, 0.0, 0.6, "snow", 1.4),
        ("roe", 2.0, 0.0, 0.0, None, 0.0),
    ],
)
def test_a_fence_leaks_by_what_lets_this_walker_past_it(who, high_m, foot_m, snow_m, kind, size_m):
    pickets = wall("pickets", 0, 5.95, 10, 6.05, high_m, gap_m=0.064, base_m=foot_m)
    ring = [wall(n, *at, 4.0) for n, at in (("w", (-0.1, 0, 0.1, 12)), ("e", (9.9, 0, 10.1, 12)))]
    ring += [wall(n, *at, 4.0) for n, at in (("s", (-0.1, -0.1, 10.1, 0.1)), ("n", (-0.1, 11.9, 10.1, 12.1)))]
    here = scene(PLOT, solids=[*ring, pickets], rooms=ROOMS, spots=SPOTS, snow_m=snow_m)
    found = leaks(rooms_of(here, known(who)), ROOMS[1])
    assert [(k.kind, k.owners) for k in found] == ([(kind, ("pickets",))] if kind else [])
    if kind:
        assert found[0].width_m == pytest.approx(size_m)


def test_what_merely_stands_in_a_room_is_no_leak():
    low = [wall(f"frame-{k}", *at, 0.3) for k, at in enumerate([(2, 8, 4, 8.1), (2, 9, 4, 9.1), (2, 8, 2.1, 9.1)])]
    frame = [*low, wall("frame-3", 3.9, 8, 4, 9.1, 0.3), wall("bed", 6, 8, 7, 9, 0.4)]
    found = leaks(rooms_of(garden(wall("low-wall", 0, 5.8, 10, 6.2, 0.4), *frame)), ROOMS[1])
    assert [k.owners for k in found] == [("low-wall",)]


def test_a_leak_leads_on_over_ground_without_a_name():
    across = [
        wall("near", 0, 6.9, 10, 7.1, 0.4),
        wall("far", 0, 4.9, 10, 5.1, 0.5),
        wall("in-court", 4, 2, 6, 2.1, 0.4),
    ]
    found = {room.id: leaks(rooms_of(garden(*across)), room) for room in ROOMS}
    assert {name: [k.owners for k in some] for name, some in found.items()} == {
        "court": [("far",)],
        "green": [("near",)],
    }


def test_no_wall_at_all_is_open():
    (leak,) = leaks(rooms_of(garden(wall("stub", 0, 5.9, 4, 6.1))), ROOMS[1])
    assert leak.kind == "open"


def test_a_room_alone_leaks_where_its_ground_goes_on_past_its_outline():
    room = Room("nook", "nook", (2, 9), Polygon([(0, 6), (4, 6), (4, 12), (0, 12)]))
    here = garden(WALL, wall("screen", 3.9, 7, 4.1, 12), more=(SIDE,), rooms=(room,))
    (leak,) = leaks(rooms_of(here), room)
    assert leak.kind == "gap"
    assert leak.width_m == pytest.approx(0.9, abs=1e-6)  # between the screen's end at y = 7 and the wall's face at 6.1


def test_reach_by_gates_that_can_be_opened():
    here = garden(WALL, more=(SIDE, ROAD))
    assert walk_of(here, PERSON).reaches("road", "green")
    assert not walk_of(here, TODDLER).reaches("court", "road")
    assert walk_of(here, ROE).reaches(OUTSIDE, "court")  # over the leaf of 1.2 m


def test_a_gate_shut_for_good_lets_nobody_through():
    here = garden(WALL, more=(SIDE, ROAD, Stood(changes=(Shut("hurdle", "side-gate"),))))
    assert not walk_of(here, PERSON).reaches("road", "green")


def test_each_gate_is_tried_open():
    tall = gate("side-gate", (1.55, 6), (2.45, 6), leaf=Leaf(1.8))
    road = gate("road-gate", (4.55, 0), (5.45, 0), leaf=Leaf(1.8))
    here = garden(WALL, more=(tall, road))
    assert left_open(walk_of(here, ROE), OUTSIDE, "court") == ("road-gate",)
    assert left_open(walk_of(here, ROE), OUTSIDE, "green") == ()  # two gates would have to stand open
    assert left_open(walk_of(here, DOG), "court", "road") == ("road-gate",)


def test_a_climber_narrows_an_arch_until_nobody_passes():
    arch = gate("arch", (1.55, 6), (2.45, 6), leaf=None)
    for side_m, passes in ((0.2, True), (0.22, True), (0.24, False)):
        grown = Stood(changes=(Narrow("rose", "arch", side_m, 0.0),))
        here = garden(WALL, more=(arch, ROAD, grown))
        assert walk_of(here, PERSON).reaches("door", "green") == passes


def test_a_guard_keeps_roe_off_a_tree_until_snow_lies():
    tree = wall("tree", 5, 3, 5.1, 3.1)
    guard = Stood(changes=(Guard("tube", 1.2, 0.0, target="tree"),))
    assert guarded_by(garden(tree, more=(guard,)), ROE, "tree") == "tube"
    assert guarded_by(garden(tree, more=(guard,), snow_m=0.3), ROE, "tree") is None
    assert guarded_by(garden(tree, more=(guard,)), known("red-deer"), "tree") is None
    assert guarded_by(garden(tree, more=(guard,)), PERSON, "tree") is None


def test_a_hand_does_not_reach_through_a_wall_but_across_a_bed():
    behind = Spot("behind", "tap behind", (5, 6.2))
    here = scene(PLOT, solids=[*RING, WALL], rooms=ROOMS, spots=(*SPOTS, behind))
    assert not walk_of(here, PERSON).reaches("door", "behind")
    bed = Surface("bed", "", box(4, 2, 6, 2.7), "earth", planted=True)
    rose = wall("rose", 4.9, 2.3, 5.1, 2.5)
    here = scene(PLOT, solids=[*RING, rose], surfaces=[bed], spots=SPOTS)
    assert walk_of(here, PERSON).reaches("door", "rose")


def chequer(rng: np.random.Generator, n: int = 3) -> Scene:
    """Return n x n rooms of 4 m with gates between some of them."""
    solids, gates, rooms = [], [], []
    size = 4.0 * n
    for k in range(n + 1):
        solids += [wall(f"h{k}", -0.1, 4 * k - 0.1, size + 0.1, 4 * k + 0.1)]
        solids += [wall(f"v{k}", 4 * k - 0.1, -0.1, 4 * k + 0.1, size + 0.1)]
    for i in range(n):
        for j in range(n):
            x, y = 4 * i + 2.0, 4 * j + 2.0
            rooms.append(Room(f"r{i}{j}", f"r{i}{j}", (x, y)))
            if i + 1 < n and rng.random() < 0.7:
                gates.append(gate(f"e{i}{j}", (4 * i + 4.0, y - 0.45), (4 * i + 4.0, y + 0.45)))
            if j + 1 < n and rng.random() < 0.7:
                gates.append(gate(f"n{i}{j}", (x - 0.45, 4 * j + 4.0), (x + 0.45, 4 * j + 4.0)))
    gates.append(gate("front", (1.55, 0.0), (2.45, 0.0)))
    return scene(box(0, 0, size, size), solids=solids, more=gates, rooms=rooms)


@pytest.mark.parametrize("seed", range(8))
def test_cut_sets_agree_with_networkx(seed):
    # Reference: networkx minimum_edge_cut (maximum flow), bridges and cycle basis.
    graph = room_graph(chequer(np.random.default_rng(seed)), PERSON)
    net = nx.Graph()
    net.add_nodes_from(range(len(graph.walk.free.pieces)))
    net.add_edges_from((d.a, d.b) for d in graph.doors)
    (out,) = graph.pieces_at(OUTSIDE)
    for target in ("r22", "r11", "r20"):
        (goal,) = graph.pieces_at(target)
        assert set(graph.ways_in(target)) == {d.owner for d in graph.doors if goal in (d.a, d.b)}
        cut = graph.fewest_to_shut(OUTSIDE, target)
        if not nx.has_path(net, out, goal):
            assert cut == ()
            assert graph.only_through(OUTSIDE, target) == ()
            continue
        assert cut is not None
        assert len(cut) == nx.edge_connectivity(net, out, goal)
        assert not graph.reached(OUTSIDE, cut) & {goal}
        on_all = {d.owner for d in graph.doors if _parts(net, d.a, d.b, out, goal)}
        assert set(graph.only_through(OUTSIDE, target)) == on_all
        assert walk_of(graph.walk.scene, PERSON).reaches(OUTSIDE, target)
    assert graph.loops() == len(nx.cycle_basis(net))
    assert set(graph.dead_ends()) == {n for n, d in net.degree() if d == 1}


def _parts(net: nx.Graph, a: int, b: int, start: int, end: int) -> bool:
    left = net.copy()
    left.remove_edge(a, b)
    return not nx.has_path(left, start, end)


def test_a_spot_on_a_seat_is_not_reached_through_the_wall_behind_it():
    seat = wall("bench", 4, 0.3, 5, 0.9, 0.45)
    here = scene(box(0, 0, 10, 10), solids=[wall("w", 0, 0, 10, 0.2), seat], spots=[Spot("s", "s", (4.5, 0.6))])
    walk = walk_of(here, PERSON, polite=True)
    place = walk.place("s")
    assert place is not None
    zone = zone_of(walk.free, place, PERSON)
    assert zone.covers(place.shape.buffer(0.2))
    assert zone.bounds[1] >= 0.2 - 1e-9
