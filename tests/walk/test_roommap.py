"""The map of rooms: pieces, openings, ways round, against networkx; boxes that don't lie on each other."""

import networkx as nx
import pytest
from hypothesis import given, settings, strategies as st
from shapely import box

from quincunx.scene import Room
from quincunx.walk.roommap import laid_out, room_map
from tests.walk.grounds import gate, known, scene, wall

T = 0.1


def house(columns: int, rows: int, doors: list[tuple[int, int, str]], *, closed: bool = True):
    """Return a grid of rooms of 3 m with a door in the east or north side of some: (column, row, side)."""
    solids = [wall(f"x{i}", 3 * i - T, 0, 3 * i + T, 3 * rows) for i in range(columns + 1)]
    solids += [wall(f"y{j}", 0, 3 * j - T, 3 * columns, 3 * j + T) for j in range(rows + 1)]
    more = []
    for i, j, side in doors:
        name = f"door-{i}-{j}-{side}"
        if side == "east":
            more.append(gate(name, (3 * i + 3, 3 * j + 1.1), (3 * i + 3, 3 * j + 1.9)))
        else:
            more.append(gate(name, (3 * i + 1.1, 3 * j + 3), (3 * i + 1.9, 3 * j + 3)))
    rooms = [Room(f"r{i}-{j}", f"r{i}-{j}", (3 * i + 1.5, 3 * j + 1.5)) for i in range(columns) for j in range(rows)]
    return scene(box(0, 0, 3 * columns, 3 * rows), solids=solids, more=more, rooms=rooms)


def test_three_rooms_in_a_row():
    found = room_map(house(3, 1, [(0, 0, "east"), (1, 0, "east"), (2, 0, "east")]), known("person"))
    assert {n.rooms for n in found.nodes} == {("outside",), ("r0-0",), ("r1-0",), ("r2-0",)}
    assert [e.owner for e in found.edges] == ["door-0-0-east", "door-1-0-east", "door-2-0-east"]
    assert found.loops == 0
    assert found.dead_ends == ("r0-0",)
    middle = next(i for i, n in enumerate(found.nodes) if n.rooms == ("r1-0",))
    assert len(found.ways_of(middle)) == 2
    assert found.edges[0].at == (3, 1.5)


def test_a_locked_door_is_drawn_and_not_used():
    here = house(2, 1, [(0, 0, "east")])
    thief = known("person").changed(opens="nothing")
    found = room_map(here, thief)
    assert [(e.owner, e.usable) for e in found.edges] == [("door-0-0-east", False)]
    assert found.ways_of(0) == ()


def test_a_room_open_to_the_outside_is_one_with_it():
    here = scene(box(0, 0, 6, 6), solids=[wall("w", 0, 3, 3, 3.2)], rooms=[Room("a", "a", (1, 1))])
    (node,) = room_map(here, known("person")).nodes
    assert node.rooms == ("a", "outside")
    assert node.outside


SIDES = [(i, j, side) for i in range(3) for j in range(2) for side in ("east", "north")]


@given(st.sets(st.sampled_from(SIDES), max_size=10))
@settings(max_examples=25, deadline=None)
def test_ways_round_and_sets_to_shut_are_those_of_networkx(doors):
    here = house(3, 2, sorted(doors))
    found = room_map(here, known("person"))
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(len(found.nodes)))
    graph.add_edges_from((e.a, e.b) for e in found.edges if e.usable)
    assert len(found.edges) == len(doors)
    loops = graph.number_of_edges() - graph.number_of_nodes() + nx.number_connected_components(graph)
    assert found.loops == loops
    simple = nx.Graph()
    simple.add_nodes_from(graph)
    for a, b in graph.edges():
        many = simple.edges[a, b]["capacity"] + 1 if simple.has_edge(a, b) else 1
        simple.add_edge(a, b, capacity=many)
    out = next((i for i, n in enumerate(found.nodes) if n.outside), None)
    if out is None:  # no opening leads out, so the outside is not on the map
        assert not any("outside" in n.rooms for n in found.nodes)
        return
    for i, node in enumerate(found.nodes):
        if node.outside:
            continue
        cut = found.graph.fewest_to_shut("outside", node.rooms[0])
        assert cut is not None
        assert len(cut) == nx.maximum_flow_value(simple, out, i)


@given(st.integers(1, 4), st.integers(1, 3))
@settings(max_examples=10, deadline=None)
def test_boxes_do_not_lie_on_each_other_and_stay_on_the_paper(columns, rows):
    found = room_map(house(columns, rows, [(0, 0, "east")]), known("person"))
    at = laid_out(found, 190, 120, (40, 14))
    assert len(at) == len(found.nodes)
    inner = [p for p, n in zip(at, found.nodes, strict=True) if not n.outside]
    for k, (x, y) in enumerate(inner):
        assert 20 - 1e-6 <= x <= 170 + 1e-6
        assert 7 - 1e-6 <= y <= 120
        for u, v in inner[k + 1 :]:
            assert abs(x - u) >= 39 or abs(y - v) >= 13


@pytest.mark.parametrize("walker", ["person", "barrow"])
def test_the_same_scene_gives_the_same_map(walker):
    one, two = (room_map(house(3, 1, [(0, 0, "east")]), known(walker)) for _ in range(2))
    assert (one.nodes, one.edges, one.loops) == (two.nodes, two.edges, two.loops)
