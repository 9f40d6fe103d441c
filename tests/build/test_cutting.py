"""Cutting: published least numbers of boards, every cutting possible, none cheaper by trying them all."""

from itertools import product

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.build.cutting import SAW_M, Stock, cut
from tests.build.published import table


@pytest.mark.parametrize("row", table("quantities")["cutting"], ids=lambda r: str(r["boards"]))
def test_published_optima(row):
    # Sources stand beside the rows (hardscape Q30 to Q32).
    scale = 1000 if row["board"] > 1000 else 100
    done = cut([(n / scale, k) for n, k in row["pieces"]], [Stock(row["board"] / scale, 1.0)], saw_m=0.0)
    assert done.cost == row["boards"]
    assert done.proven
    assert sum(b.count for b in done.boards) == row["boards"]


def check(pieces, stock, done, saw=SAW_M):
    """Every board holds what is sawn from it with the saw's width, and every piece is there as often as wanted."""
    made = [0] * len(pieces)
    for b in done.boards:
        used = sum((pieces[i][0] + saw) * n for i, n in b.cuts) - saw
        assert used <= b.length_m + 2e-4
        assert b.left_m == pytest.approx(max(b.length_m - used - saw, 0), abs=2e-3 + saw)
        for i, n in b.cuts:
            made[i] += n * b.count
    for i, (length, count) in enumerate(pieces):
        if i in done.misfits:
            assert length > max(s.length_m for s in stock) - saw - 1e-3
        else:
            assert made[i] == count
    for s in stock:
        if s.at_hand is not None:
            assert done.bought().get(s.length_m, 0) <= s.at_hand
    assert done.bound <= done.cost + 1e-6


@settings(max_examples=15, deadline=None)
@given(
    st.lists(st.tuples(st.integers(20, 300), st.integers(1, 5)), min_size=1, max_size=7, unique_by=lambda p: p[0]),
    st.lists(st.tuples(st.integers(200, 480), st.integers(5, 60)), min_size=1, max_size=3, unique_by=lambda s: s[0]),
)
def test_every_cutting_can_be_sawn(pieces, stock):
    wanted = [(n / 100, k) for n, k in pieces]
    lengths = [Stock(n / 100, float(c)) for n, c in stock]
    done = cut(wanted, lengths)
    check(wanted, lengths, done)
    assert done.proven or done.gap < 0.2


def cheapest(sizes, wants, rooms, costs):
    """Find the least cost by trying every way of filling boards (small cases only)."""
    ways = [
        (c, w)
        for r, c in zip(rooms, costs, strict=True)
        for w in product(*(range(k + 1) for k in wants))
        if any(w) and sum(s * n for s, n in zip(sizes, w, strict=True)) <= r
    ]
    best = {tuple([0] * len(wants)): 0}
    for state in product(*(range(k + 1) for k in wants)):
        if state not in best:
            rest = [(c, tuple(a - b for a, b in zip(state, w, strict=True))) for c, w in ways]
            best[state] = min(c + best[r] for c, r in rest if min(r) >= 0)
    return best[tuple(wants)]


@settings(max_examples=12, deadline=None)
@given(
    st.lists(st.tuples(st.integers(3, 12), st.integers(1, 3)), min_size=1, max_size=3, unique_by=lambda p: p[0]),
    st.lists(st.tuples(st.integers(12, 24), st.integers(2, 9)), min_size=1, max_size=2, unique_by=lambda s: s[0]),
)
def test_none_is_cheaper_by_trying_all(pieces, stock):
    done = cut([(n / 10, k) for n, k in pieces], [Stock(n / 10, float(c)) for n, c in stock], saw_m=0.0)
    least = cheapest([n for n, _ in pieces], [k for _, k in pieces], [n for n, _ in stock], [c for _, c in stock])
    assert done.cost == least
    assert done.proven


def test_the_saw_takes_its_share():
    assert sum(b.count for b in cut([(0.8, 3)], [Stock(2.4)], saw_m=0.0).boards) == 1
    assert sum(b.count for b in cut([(0.8, 3)], [Stock(2.4)]).boards) == 2


def test_found_boards_are_used_first_and_no_oftener_than_they_are_there():
    done = cut([(1.0, 5)], [Stock(2.4, 900.0), Stock(2.1, 0.0, at_hand=2)])
    assert done.bought() == {2.1: 2, 2.4: 1}
    assert done.cost == 900
    assert done.proven


def test_a_piece_longer_than_any_board_is_named_not_lost():
    done = cut([(5.2, 1), (1.0, 2)], [Stock(4.8)])
    assert done.misfits == (0,)
    assert done.bought() == {4.8: 1}


def test_nothing_to_saw():
    assert cut([], [Stock(2.4)]).boards == ()
    assert cut([(1.0, 0)], [Stock(2.4)]).cost == 0


def test_two_hundred_pieces_have_their_gap_proven():
    import random

    chance = random.Random(11)
    sizes = [round(chance.uniform(0.2, 2.9), 2) for _ in range(25)]
    pieces, stock = [(n, 8) for n in sizes], [Stock(2.4, 900), Stock(3.0, 1100), Stock(3.6, 1400), Stock(4.8, 1800)]
    done = cut(pieces, stock)
    check(pieces, stock, done)
    assert done.proven or done.gap < 0.01
    assert done == cut(pieces, stock)
