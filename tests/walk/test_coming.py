"""How ground is parted with what has come: the same as told from nothing, wherever and however it comes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate

from quincunx.intents._widest import _one
from quincunx.walk import links
from quincunx.walk._arrivals import circles_met, pairs_near, that_part
from quincunx.walk._coming import Coming, closed_round, crossed_over
from quincunx.walk._parting import Floats, Ints, Parting
from quincunx.walk.barriers import Barrier
from quincunx.walk.ground import FreeGround
from quincunx.walk.links import MEET_M, circles, forget, near_with
from quincunx.walk.widths import Widths

WORLD = box(0, 0, 20, 20)
Points = list[tuple[float, float]]


def strips(rng: np.random.Generator, count: int) -> list[Polygon]:
    """Return strips at any angle, some of them across the edge of the world or beyond it."""
    at, long, turn = rng.uniform(-1.5, 20, (2, count)), rng.uniform(0.3, 7, count), rng.choice([0, 30, 90, 117], count)
    return [rotate(box(x, y, x + w, y + 0.3), float(a)) for x, y, w, a in zip(*at, long, turn, strict=True)]


def grounds(seed: int, width_m: float, old: int, new: int, world: Polygon = WORLD) -> tuple[FreeGround, FreeGround]:
    """Return the same ground told from what stood before some barriers came, and from nothing."""
    rng = np.random.default_rng(seed)
    shapes = [*strips(rng, old + new), LineString([(3, 3), (6, 9), (11, 8)]).buffer(0.3, cap_style="flat")]
    found = [Barrier(s, f"b{k}", "solid") for k, s in enumerate(shapes)]
    order = rng.permutation(len(found)).tolist()
    stood = [found[k] for k in sorted(order[:old])]
    rest = FreeGround(world, stood, width_m)
    return FreeGround(world, found, width_m, rest), FreeGround(world, found, width_m)


def parted(free: FreeGround) -> Parting | Coming:
    return free.parted(free.width_m, free.width_m)


def points_on(free: FreeGround, seed: int, count: int) -> Points:
    found = np.random.default_rng(seed + 1).uniform(0, 20, (count, 2)).tolist()
    return [(x, y) for x, y in found if free.world.covers(Point(x, y)) and free.open.contains(Point(x, y))]


def classes(marks: Sequence[object]) -> list[int]:
    first: dict[object, int] = {}
    return [first.setdefault(m, len(first)) for m in marks]


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 100_000), st.sampled_from([0.2, 0.45, 0.812, 1.3]), st.integers(1, 45), st.integers(0, 7))
def test_pieces_are_the_same_as_told_from_nothing(seed: int, width_m: float, old: int, new: int):
    with_it, whole = grounds(seed, width_m, old, new)
    points = points_on(whole, seed, 60)
    assert classes(list(parted(with_it).round(points))) == classes(list(parted(whole).round(points)))


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 100_000), st.sampled_from([0.3, 0.8, 1.7, 2.4]), st.integers(1, 40), st.integers(0, 6))
def test_so_they_are_for_wider_bodies_and_what_lies_between_two_things(seed: int, width_m: float, old: int, new: int):
    with_it, whole = grounds(seed, 0.45, old, new)
    points = points_on(whole, seed, 40)
    told = [classes(list(free.parted(width_m, 2.4).round(points))) for free in (with_it, whole)]
    assert told[0] == told[1]
    ends = points[:20], points[20:]
    assert Widths(with_it, 2.4).joined(width_m, *ends) is Widths(whole, 2.4).joined(width_m, *ends)
    for length in whole.near_to(2.4).length_m[whole.near_to(2.4).bare][:6].tolist():
        assert _one(with_it, 2.4, length) is _one(whole, 2.4, length)


@pytest.mark.parametrize("seed", range(12))
def test_what_was_known_for_one_width_alone_changes_nothing(seed: int):
    rng = np.random.default_rng(seed)
    found = [Barrier(s, f"b{k}", "solid") for k, s in enumerate(strips(rng, 24))]
    once = FreeGround(WORLD, found[:2] + found[3:], 0.45)
    full = FreeGround(WORLD, found, 0.45, once)
    assert len(full.near_to(0.45).bare)
    rest = FreeGround(WORLD, found[:7] + found[8:], 0.45, full=full)
    assert np.array_equal(rest.near_to(0.45).parts.owner, rest.near_to(1.7).parts.owner)
    with_it, whole = FreeGround(WORLD, found, 0.45, rest), FreeGround(WORLD, found, 0.45)
    points = points_on(whole, seed, 60)
    for width in (0.45, 1.2, 1.69):
        told, anew = (classes(list(free.parted(width, 1.7).round(points))) for free in (with_it, whole))
        assert told == anew


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 100_000), st.integers(1, 40), st.integers(0, 6))
def test_faces_between_links_are_the_same_too(seed: int, old: int, new: int):
    with_it, whole = (Widths(free, 2.4) for free in grounds(seed, 0.45, old, new))
    areas = [sorted(f.area for f in w.faces if f.area > 1e-3) for w in (with_it, whole)]
    assert areas[0] == pytest.approx(areas[1], abs=1e-3)
    spots = [Point(p) for p in points_on(whole.free, seed, 12)]
    forests = with_it.forest(), whole.forest()
    for one in spots[:6]:
        for other in spots[6:]:
            here, there = (
                w.widest(forest, *w.faces_at([one, other])) for w, forest in zip((with_it, whole), forests, strict=True)
            )
            assert (here is None) is (there is None)
            if here is not None and there is not None:
                assert (here.width_m or 9.0) == pytest.approx(there.width_m or 9.0, abs=1e-6)


def test_those_are_told_by_what_has_come():
    assert all(isinstance(parted(grounds(seed, 0.8, 30, 3)[0]), Coming) for seed in range(5))


@pytest.mark.parametrize("seed", range(6))
def test_so_they_are_in_a_world_with_a_hole(seed: int):
    world = WORLD.difference(box(8, 8, 12, 12))
    with_it, whole = grounds(seed, 0.8, 40, 6, world)
    points = points_on(whole, seed, 120)
    marks = classes(list(parted(with_it).round(points)))
    assert marks == classes(list(parted(whole).round(points)))
    assert len(set(marks)) > 1


def rows(i: Ints, j: Ints, paths: Floats) -> list[list[float]]:
    """Return two pieces and the path between them, line by line."""
    return sorted(np.column_stack([i, j, paths.reshape(-1, 8)]).tolist())


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 100_000), st.sampled_from([0.2, 0.45, 1.3, 3.0]), st.integers(0, 40), st.integers(1, 9))
def test_what_leads_to_what_has_come_is_what_stood_near_it_from_nothing(seed: int, width_m: float, old: int, new: int):
    free, _ = grounds(seed, width_m, old, new)
    rest = free.rest
    assert rest is not None
    order, place = free._places
    more = free.brought(width_m)
    whole = near_with(rest._near, order, free.come, place, width_m)
    parting = (whole.length_m <= MEET_M) | whole.bare
    parting[: len(rest._near.length_m)] = False
    middle, i, j = whole.parts.middle, whole.i[parting], whole.j[parting]
    paths = np.concatenate([middle[i][:, None], whole.lines[parting], middle[j][:, None]], axis=1)
    assert rows(more.i, more.j, more.paths) == rows(i, j, paths)
    assert more.owner.tolist() == whole.parts.owner.tolist()


@pytest.mark.parametrize("seed", range(5))
def test_what_leads_there_is_the_same_once_all_pieces_were_let_go(seed: int):
    told = []
    for let_go in (False, True):
        forget()
        free, _ = grounds(seed, 1.3, 20, 5)
        assert free.rest is not None
        before = free.rest._near
        if let_go:
            forget()
        more = free.brought(1.3)
        assert (before.parts.age == more.come.age) is not let_go
        told.append(rows(more.i, more.j, more.paths))
    assert told[0] == told[1] != []


@pytest.mark.parametrize("seed", range(3))
def test_what_leads_there_is_the_same_by_kernels_as_written(seed: int, monkeypatch: pytest.MonkeyPatch):
    told = []
    for plain in (False, True):
        if plain:
            monkeypatch.setattr(links, "pairs_near", pairs_near.plain)
            monkeypatch.setattr(links, "that_part", that_part.plain)
            monkeypatch.setattr(links, "circles_met", circles_met.plain)
        free, _ = grounds(seed, 1.3, 20, 5)
        assert free.rest is not None
        more = free.brought(1.3)
        middle, radius = circles(free.rest._near, np.arange(len(free.rest._near.lines)))
        met = more.meet(middle, radius + 3.0)
        told.append((rows(more.i, more.j, more.paths), met.tolist()))
    assert told[0] == told[1]
    assert any(told[0][1])


def test_circles_are_met_as_shapely_measures():
    rng = np.random.default_rng(4)
    free, _ = grounds(4, 1.3, 20, 12)
    more = free.brought(1.3)
    middle, radius = rng.uniform(-1, 21, (400, 2)), rng.uniform(0.0, 2.0, 400)
    far = [min(Point(at).distance(piece) for piece in more.come.pieces) for at in middle.tolist()]
    assert more.meet(middle, radius).tolist() == [d <= r for d, r in zip(far, radius.tolist(), strict=True)]


def test_one_wall_closes_a_yard_and_another_leaves_it_open():
    three = [box(4, 4, 4.2, 12), box(4, 4, 12, 4.2), box(11.8, 4, 12, 12)]
    found = [Barrier(s, f"w{k}", "solid") for k, s in enumerate(three)]
    rest = FreeGround(WORLD, found, 0.6)
    inside, outside = (8.0, 8.0), (16.0, 16.0)
    shut, ajar = box(4, 11.8, 12, 12), box(4, 11.8, 11, 12)
    for come, shuts in ((shut, True), (ajar, False)):
        free = FreeGround(WORLD, [*found, Barrier(come, "come", "solid")], 0.6, rest)
        assert isinstance(parted(free), Coming)
        one, other = free.numbers([inside, outside])
        assert (one != other) is shuts


def test_what_comes_into_a_narrow_gap_stands_between():
    gap = [Barrier(box(5, 0, 5.2, 9.8), "a", "solid"), Barrier(box(5, 10.2, 5.2, 20), "b", "solid")]
    rest = FreeGround(WORLD, gap, 0.8)
    post = Barrier(box(5, 9.95, 5.2, 10.05), "come", "solid")
    free = FreeGround(WORLD, [*gap, post], 0.8, rest)
    assert rest.firm(0.8, 0.8).left(free.brought(0.8)).tolist() == []
    assert len(rest.firm(0.8, 0.8).links) == 1
    between, west, east = (5.1, 9.9), (2.0, 10.0), (12.0, 10.0)
    numbers = free.numbers([between, west, east])
    assert numbers == FreeGround(WORLD, [*gap, post], 0.8).numbers([between, west, east])
    assert numbers[1] != numbers[2]


def test_a_small_hole_in_what_comes_is_a_piece_of_its_own_and_what_lies_on_it_in_none():
    guard = Polygon(box(9, 9, 10, 10).exterior, [box(9.2, 9.2, 9.8, 9.8).exterior])
    old = [Barrier(Polygon(box(3, 3, 4, 4).exterior, [box(3.2, 3.2, 3.8, 3.8).exterior]), "a", "solid")]
    rest = FreeGround(WORLD, old, 0.2)
    found = [*old, Barrier(guard, "come", "solid"), Barrier(box(9.4, 8, 9.5, 11), "bar", "solid")]
    free, whole = FreeGround(WORLD, found, 0.2, rest), FreeGround(WORLD, found, 0.2)
    at = [(9.3, 9.5), (9.7, 9.5), (3.5, 3.5), (15, 15), (9.1, 9.1), (3.1, 3.5), (9.45, 8.5)]
    assert free.pieces_of(at) == whole.pieces_of(at)
    assert free.pieces_of(at)[4:] == [None] * 3
    assert len(set(free.pieces_of(at)[:4])) == 4
    assert free.pieces_of(at * 80)[-7:] == free.pieces_of(at)


def test_kernels_say_the_same_as_written():
    with_it, whole = grounds(3, 0.8, 30, 5)
    net = parted(with_it)
    assert isinstance(net, Coming)
    points = points_on(whole, 3, 20)
    _, sums, firm = net._firm.known(points)
    args = (np.array(points), net._paths, net._start, net._end, sums)
    new = crossed_over(*args)
    assert new.tolist() == crossed_over.plain(*args).tolist()
    odd = np.concatenate([firm[:, net._left], new], axis=1)
    rows = closed_round(odd, net._first, net._last, net._tree)
    assert rows.tolist() == closed_round.plain(odd, net._first, net._last, net._tree).tolist()
    assert rows.any()


def test_what_is_told_of_many_points_is_let_go_and_told_again():
    with_it, whole = grounds(5, 0.8, 30, 3)
    points = points_on(whole, 5, 700)
    assert len(points) > 400
    first = [*parted(with_it).round(points[:150]), *parted(with_it).round(points)]
    assert classes(first[150:]) == classes(list(parted(whole).round(points)))
    assert first[:150] == first[150:300]


def test_who_asks_what_points_lie_on_while_another_finds_out_hears_the_same():
    wall = Barrier(box(4, 4, 8, 5), "wall", "solid")
    free, points = FreeGround(WORLD, [wall], 0.45), [(5.0, 4.5), (12.0, 12.0)]
    near = free.near_to(0.45)
    meanwhile: list[object] = []

    class Searched:
        geometries = near.tree.geometries

        def query(self, *args: object, **more: object) -> object:
            if not meanwhile:
                meanwhile.append("asks")
                meanwhile.append(free.under(points))
            return near.tree.query(*args, **more)

    free.__dict__["_near"] = replace(near, tree=Searched())
    assert free.under(points) == [(0, wall)]
    assert meanwhile == ["asks", [(0, wall)]]
