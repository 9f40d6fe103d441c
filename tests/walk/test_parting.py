"""Pieces told by closed lines round a point: the same as pieces drawn, by the plain net and by the kernels."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from shapely import Point, Polygon, box
from shapely.affinity import rotate

from quincunx.walk._coming import Coming
from quincunx.walk._parting import Net, Parting, crossed, grow, loops_round, rim_of
from quincunx.walk.barriers import Barrier, polygons
from quincunx.walk.ground import FreeGround, cut_along

WORLD = box(0, 0, 20, 20)


def ground(seed: int, width_m: float, count: int = 40, world: Polygon = WORLD) -> FreeGround:
    """Return strips at any angle, some of them across the edge of the world or beyond it."""
    rng = np.random.default_rng(seed)
    at, long, turn = rng.uniform(-1.5, 20, (2, count)), rng.uniform(0.3, 7, count), rng.choice([0, 30, 90, 117], count)
    strips = [rotate(box(x, y, x + w, y + 0.3), float(a)) for x, y, w, a in zip(*at, long, turn, strict=True)]
    return FreeGround(world, [Barrier(s, f"b{k}", "solid") for k, s in enumerate(strips)], width_m)


def net_of_ground(free: FreeGround) -> Net:
    return free.net(free._near, free.width_m)


def parted(free: FreeGround) -> Parting | Coming:
    return free.parted(free.width_m, free.width_m)


def points_on(free: FreeGround, seed: int, count: int = 60) -> list[tuple[float, float]]:
    found = np.random.default_rng(seed).uniform(0, 20, (count, 2)).tolist()
    return [(x, y) for x, y in found if free.world.covers(Point(x, y)) and free.open.contains(Point(x, y))]


def classes(marks: Sequence[object]) -> list[int]:
    first: dict[object, int] = {}
    return [first.setdefault(m, len(first)) for m in marks]


def drawn(free: FreeGround, points: Sequence[tuple[float, float]]) -> list[int]:
    """Return the piece of each point by drawing them all: the ground cut along its narrow links (GEOS)."""
    pieces = polygons(cut_along(free.open, free.narrow.lines))
    return [next(k for k, p in enumerate(pieces) if p.intersects(Point(at))) for at in points]


@pytest.mark.parametrize("seed", range(12))
def test_points_of_one_piece_are_those_of_one_drawn_piece(seed: int):
    free = ground(seed, (0.45, 0.9, 1.3)[seed % 3], 70)
    points = points_on(free, seed, 150)
    truth = classes(drawn(free, points))
    assert len(set(truth)) > 1
    assert classes(list(parted(free).round(points))) == truth
    assert classes(list(Parting(net_of_ground(free), quick=True).round(points))) == truth
    assert classes(free.numbers(points)) == truth


@pytest.mark.parametrize("seed", range(3))
def test_kernels_say_the_same_as_written(seed: int):
    free = ground(seed, 0.9, 15)
    net, points = net_of_ground(free), np.array(points_on(free, seed, 12))
    tree = grow(net.start, net.end, net.nodes)
    np.testing.assert_array_equal(tree, grow.plain(net.start, net.end, net.nodes))
    args, sums = (points, net.paths, net.start, net.end, tree), np.empty((2, len(points), net.nodes), bool)
    np.testing.assert_array_equal(loops_round(*args, sums[0]), loops_round.plain(*args, sums[1]))
    np.testing.assert_array_equal(*sums)


def test_a_tree_reaches_every_node_once_and_names_every_line_once():
    net = net_of_ground(ground(4, 0.9))
    tree = grow(net.start, net.end, net.nodes)
    assert sorted(tree[:, 2].tolist()) == list(range(len(net.start)))
    reached = tree[tree[:, 0] >= 0, 1].tolist()
    assert len(reached) == len(set(reached)) < net.nodes


def test_more_points_than_bits_are_asked_in_turn():
    free = ground(5, 0.9)
    points = points_on(free, 5, 400)
    assert len(points) > 150
    assert classes(list(parted(free).round(points))) == classes(drawn(free, points))


def test_a_ray_counts_what_it_crosses_by_hand():
    # A square of side 2 round (5, 5), and a point inside, west of it, east of it, and level with its top.
    corners = [(4, 4), (6, 4), (6, 6), (4, 6), (4, 4)]
    paths = np.array([[a, a, b, b] for a, b in pairwise(corners)], np.float64)
    total = int(np.bitwise_xor.reduce(crossed(paths, np.array([(5, 5), (1, 5), (9, 5), (1, 6)], np.float64))))
    assert total == 0b0001


def test_a_net_of_nothing_parts_nothing():
    free = FreeGround(WORLD, (), 0.45)
    assert free.pieces_at(Point(1, 1)) == free.pieces_at(box(5, 5, 8, 8)) == {0}
    assert [p.area for p in free.pieces] == [pytest.approx(400)]


def test_the_edge_of_the_world_parts_with_what_stands_on_it():
    wall = Barrier(box(9, -3, 10, 23), "wall", "solid")
    assert FreeGround(WORLD, (wall,), 0.45).numbers([(1, 1), (15, 1), (2, 18)]) == [0, 1, 0]
    short = Barrier(box(9, -3, 10, 18), "wall", "solid")
    assert FreeGround(WORLD, (short,), 0.45).numbers([(1, 1), (15, 1)]) == [0, 0]


def test_a_link_that_leads_out_of_the_world_parts_too():
    # A post 0.3 m from the edge inside, and one 0.1 m from it outside: nobody 0.45 m wide gets between.
    row = [Barrier(box(x, 9.9, x + 0.2, 10.1), f"p{x}", "solid") for x in np.arange(0.3, 19.6, 0.55)]
    out = [Barrier(box(-0.3, 9.9, -0.1, 10.1), "west", "solid"), Barrier(box(20.1, 9.9, 20.3, 10.1), "east", "solid")]
    low, high = FreeGround(WORLD, (*row, *out), 0.45).numbers([(10, 2), (10, 18)])
    assert low != high
    low, high = FreeGround(WORLD, (*row[1:], *out), 0.45).numbers([(10, 2), (10, 18)])
    assert low == high


def test_a_small_hole_in_a_barrier_is_a_piece_of_its_own():
    guard = Barrier(Point(10, 10).buffer(1.0).difference(Point(10, 10).buffer(0.9)), "guard", "solid")
    free = FreeGround(WORLD, (guard,), 0.2)
    inside, outside = free.pieces_at(Point(10, 10)), free.pieces_at(Point(3, 3))
    assert inside
    assert outside
    assert not inside & outside
    assert {round(p.area, 1) for p in free.pieces} == {round(0.81 * 3.14, 1), round(400 - 3.14, 1)}


def test_points_on_a_barrier_and_beyond_the_world_lie_in_no_piece():
    free = FreeGround(WORLD, (Barrier(box(9, -3, 10, 23), "wall", "solid"),), 0.45)
    assert free.pieces_of([(9.5, 5), (1, 1), (25, 5), (15, 1), (1, 1)]) == [None, 0, None, 1, 0]
    assert free.piece_of((15, 18)) == 1


def test_kernels_at_work_change_no_number(monkeypatch: pytest.MonkeyPatch):
    points = points_on(ground(3, 0.9), 3)
    said = []
    for at_work in (True, False):
        monkeypatch.setattr("quincunx.walk.ground.at_work", lambda *_, at_work=at_work: at_work)
        free = ground(3, 0.9)
        assert free.parting(free._near, free.width_m).quick is at_work
        said.append(free.numbers(points))
    assert said[0] == said[1]


def test_drawing_pieces_keeps_the_numbers_given_before():
    free = ground(7, 0.9)
    points = points_on(free, 7)[::-1]
    before = free.numbers(points)
    assert all(free.pieces[n].intersects(Point(p)) for n, p in zip(before, points, strict=True) if n is not None)
    assert free.numbers(points) == before


def test_a_rim_goes_round_holes_of_the_world_too():
    world = WORLD.difference(box(8, 8, 12, 12))
    rim = rim_of(world)
    assert len(rim.parts) == 8
    assert rim_of(world) is rim
    fence = [Barrier(box(-1, 9.9, 8.5, 10.1), "a", "solid"), Barrier(box(11.5, 9.9, 21, 10.1), "b", "solid")]
    low, high = FreeGround(world, fence, 0.45).numbers([(10, 2), (10, 18)])
    assert low != high


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([0.2, 0.45, 0.812, 1.2]))
def test_pieces_agree_whatever_stands(seed: int, width_m: float):
    free = ground(seed, width_m, 14)
    points = points_on(free, seed, 16)
    clear = [p for p in points if shapely.distance(free.blocked, Point(p)) > width_m / 2]
    assert classes(free.numbers(clear)) == classes(drawn(free, clear))


def test_parts_not_joined_have_trees_of_their_own():
    net = Net(np.zeros((2, 4, 2)), np.array([0, 2]), np.array([1, 3]), 5, np.zeros(2), np.full(2, -1))
    assert grow(net.start, net.end, 5).tolist() == [[0, 1, 0], [2, 3, 1]]
    assert list(Parting(net).round([(0.5, 0.5)])) == [b""]
