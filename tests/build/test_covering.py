"""The linear programme of cutting against a general-purpose solver, and its prices against what prices must do."""

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from scipy.optimize import linprog

from quincunx.build._covering import covering


def peer(costs, table, wants, limits, allowed):
    return linprog(costs, np.vstack([-table, limits]), np.concatenate([-wants, allowed]), method="highs")


@settings(max_examples=120, deadline=None)
@given(st.integers(1, 9), st.integers(1, 30), st.integers(0, 2), st.integers(0, 10_000))
def test_it_is_as_cheap_as_the_solver_says(pieces, ways, held, seed):
    rng = np.random.default_rng(seed)
    table = rng.integers(0, 4, (pieces, ways)).astype(float)
    costs = rng.integers(0, 500, ways).astype(float)
    wants = rng.integers(0, 40, pieces).astype(float)
    limits = rng.integers(0, 2, (held, ways)).astype(float)
    allowed = rng.integers(0, 30, held).astype(float)
    ours, theirs = covering(costs, table, wants, limits, allowed), peer(costs, table, wants, limits, allowed)
    assert (ours is None) == (theirs.status != 0)
    if ours is None:
        return
    assert ours.value == pytest.approx(theirs.fun, abs=1e-6, rel=1e-9)
    assert (table @ ours.shares >= wants - 1e-6).all()
    assert (limits @ ours.shares <= allowed + 1e-6).all()
    assert (ours.shares >= -1e-9).all()
    # Strong duality, and no way worth more than it costs with what its limit saves.
    assert ours.wants @ wants - ours.allowed @ allowed == pytest.approx(ours.value, abs=1e-5, rel=1e-8)
    assert (table.T @ ours.wants <= costs + limits.T @ ours.allowed + 1e-6).all()


def test_what_cannot_be_covered_is_none():
    none = np.zeros((0, 1))
    assert covering(np.ones(1), np.zeros((1, 1)), np.ones(1), none, np.zeros(0)) is None
    # One board at hand, two wanted.
    assert covering(np.ones(1), np.ones((1, 1)), np.array([2.0]), np.ones((1, 1)), np.ones(1)) is None


def test_chvatals_programme():
    # V. Chvatal, Linear Programming, 1983, pp. 195-198 (hardscape Q31): 452.25 over all ways of sawing 100.
    sizes, wants = [45, 36, 31, 14], np.array([97.0, 610, 395, 211])
    ways = [
        (a, b, c, d)
        for a in range(3) for b in range(3) for c in range(4) for d in range(8)
        if 0 < a * 45 + b * 36 + c * 31 + d * 14 <= 100
    ]  # fmt: skip
    assert len(sizes) == 4
    found = covering(np.ones(len(ways)), np.array(ways, float).T, wants, np.zeros((0, len(ways))), np.zeros(0))
    assert found is not None
    assert found.value == pytest.approx(452.25)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.integers(4, 30), st.integers(1, 5)), min_size=1, max_size=4), st.integers(0, 1000))
def test_going_deep_finds_boards_within_the_limit_and_saws_every_piece(pieces, over):
    from quincunx.build._cutting_table import Table

    sizes, wants = [s for s, _ in pieces], [n for _, n in pieces]
    rooms, costs = [30, 40, 55], [30.0, 40.0, 55.0]
    least = sum(costs[s] * n for (s, _), n in (Table(sizes, wants, rooms, costs).solve() or {}).items())
    deep = Table(sizes, wants, rooms, costs).within(least + over % 20)
    if deep is None or not least:
        return
    assert sum(costs[s] * n for (s, _), n in deep.items()) <= least + over % 20
    sawn = [sum(way[i] * n for (_, way), n in deep.items()) for i in range(len(sizes))]
    assert sawn == wants
    assert all(sum(size * k for size, k in zip(sizes, way, strict=True)) <= rooms[s] for s, way in deep)
    assert Table(sizes, wants, rooms, costs).within(least - 1) is None
