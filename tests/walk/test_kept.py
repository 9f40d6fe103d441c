"""Values kept by identity, lines kept between pieces, barriers in groups: the same as worked out anew."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from shapely import Polygon, box
from shapely.affinity import rotate

from quincunx.scene._kept import TRIES, age_all, let_go, trying
from quincunx.walk import _pairs
from quincunx.walk._kept import Kept, forget_all
from quincunx.walk._pairs import Pairs
from quincunx.walk.barriers import Barrier
from quincunx.walk.ground import FreeGround
from quincunx.walk.links import near

WORLD = box(0, 0, 20, 20)
L_SHAPE = Polygon([(0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3)])


def test_a_value_is_made_once_for_the_same_things_and_anew_for_equal_others():
    kept: Kept[int] = Kept(10)
    made: list[int] = []

    def make() -> int:
        made.append(len(made))
        return made[-1]

    one, equal = [1], [1]
    assert [kept.get((one,), "a", make), kept.get((one,), "a", make)] == [0, 0]
    assert kept.has((one,), "a")
    assert not kept.has((equal,), "a")
    assert [kept.get((equal,), "a", make), kept.get((one,), "b", make)] == [1, 2]
    forget_all()
    assert kept.get((one,), "a", make) == 3


def test_all_is_let_go_when_there_are_too_many():
    kept: Kept[int] = Kept(3)
    things = [[n] for n in range(5)]
    for thing in things:
        kept.get((thing,), None, lambda: 0)
    assert [kept.has((t,), None) for t in things] == [False, False, False, True, True]


def test_what_nobody_asked_for_between_two_times_is_let_go():
    kept: Kept[int] = Kept(100)
    asked, other = [1], [2]
    kept.get((asked,), None, lambda: 0)
    kept.get((other,), None, lambda: 0)
    age_all()
    assert kept.get((asked,), None, lambda: 1) == 0
    age_all()
    assert (kept.has((asked,), None), kept.has((other,), None)) == (True, False)


def test_what_only_one_try_asked_for_is_let_go_soon_and_what_others_ask_for_stays():
    kept: Kept[int] = Kept(1000)
    before, own, shared = [1], [2], [3]
    kept.get((before,), None, lambda: 0)
    with trying(anew=True):
        kept.get((own,), None, lambda: 0)
        kept.get((shared,), None, lambda: 0)
    with trying(anew=False):
        assert kept.get((own,), None, lambda: 1) == 0, "the same try goes on"
    with trying(anew=True):
        assert kept.get((shared,), None, lambda: 1) == 0
        assert kept.has((own,), None)
    let_go()
    for _ in range(TRIES - 2):
        with trying(anew=True):
            pass
        let_go()
        assert kept.has((own,), None)
    with trying(anew=True):
        pass
    let_go()
    assert [kept.has((x,), None) for x in (before, own, shared)] == [True, False, True]


def test_a_try_that_asks_for_very_much_lets_go_what_it_asked_for_first():
    kept: Kept[int] = Kept(4)
    things = [[n] for n in range(8)]
    with trying(anew=True):
        for thing in things:
            kept.get((thing,), None, lambda: 0)
    assert [kept.has((t,), None) for t in things] == 4 * [False] + 4 * [True]


def blocks(seed: int, n: int) -> list[Polygon]:
    rng = np.random.default_rng(seed)
    return [
        rotate(box(x, y, x + w, y + 0.3), float(turn))
        for x, y, w, turn in zip(*rng.uniform(2, 18, (2, n)), rng.uniform(0.3, 4, n), rng.choice([0, 30, 90], n), strict=True)
    ]  # fmt: skip


def plain(pieces: np.ndarray, pairs: np.ndarray) -> np.ndarray:
    lines: np.ndarray = shapely.get_coordinates(shapely.shortest_line(pieces[pairs[0]], pieces[pairs[1]]))
    return lines.reshape(-1, 2, 2)


def test_lines_are_those_of_the_pieces_whoever_asked_before(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(_pairs, "MOST", 40)  # so that all is let go now and then
    kept = Pairs()
    for seed in range(6):
        shapes = [L_SHAPE, *blocks(seed % 3, 12), *blocks(9, 5)]
        parts = kept.parts(shapes)
        assert set(parts.owner.tolist()) == set(range(len(shapes)))
        assert shapely.equals(shapely.union_all(parts.pieces[parts.owner == 0]), L_SHAPE)
        pairs = np.array(np.triu_indices(len(parts.pieces), 1))
        np.testing.assert_array_equal(kept.lines(parts, pairs), plain(parts.pieces, pairs))
        np.testing.assert_array_equal(kept.lines(parts, pairs[:, ::-1]), plain(parts.pieces, pairs[:, ::-1]))


def test_lines_are_found_though_all_was_let_go_meanwhile():
    kept = Pairs()
    parts = kept.parts(blocks(1, 8))
    kept.clear()
    kept.parts(blocks(2, 8))
    pairs = np.array(np.triu_indices(len(parts.pieces), 1))
    np.testing.assert_array_equal(kept.lines(parts, pairs), plain(parts.pieces, pairs))


def test_corners_read_meanwhile_stay_what_they_were_while_more_are_kept():
    """Whoever reads the rows of corners without a lock finds in them what was there, however much comes after."""
    kept = Pairs()
    first = kept.parts([box(x, 0, x + 0.5, 1) for x in range(400)])
    (ring, start, bounds), (number,) = kept.rings(first)
    before = [ring[start[n] : start[n + 1]].copy() for n in number.tolist()]
    more = kept.parts([box(x, 2, x + 0.5, 3 + x / 1000) for x in range(1400)])
    for rows, own in (((ring, start, bounds), number), (kept.rings(first)[0], kept.rings(first)[1][0])):
        for n, corners, piece in zip(own.tolist(), before, first.pieces, strict=True):
            assert np.array_equal(rows[0][rows[1][n] : rows[1][n + 1]], corners)
            assert tuple(rows[2][n]) == piece.bounds
    (ring, start, bounds), (number,) = kept.rings(more)
    for n, piece in zip(number.tolist(), more.pieces, strict=True):
        assert Polygon(ring[start[n] : start[n + 1]]).equals(piece)
        assert tuple(bounds[n]) == piece.bounds


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6), n=st.integers(1, 25))
def test_groups_and_their_union_are_those_that_touch(seed, n):
    """Reference: shapely's own union of all, whose parts are the groups."""
    found = [Barrier(s, f"b{k}", "solid", grown=k % 3 == 0) for k, s in enumerate(blocks(seed, n))]
    groups = near(found, 0.45).groups(n)
    assert sorted(k for g in groups for k in g) == list(range(n))
    whole = shapely.union_all([b.shape for b in found])
    assert len(groups) == len(shapely.get_parts(whole))
    assert all(whole.covers(shapely.union_all([found[k].shape for k in g]).representative_point()) for g in groups)
    free = FreeGround(WORLD, found, 0.45)
    assert shapely.area(shapely.symmetric_difference(free.blocked, whole)) < 1e-9
    assert free.blocked.is_valid
