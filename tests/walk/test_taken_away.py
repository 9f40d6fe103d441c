"""The ground with things taken away, known from the ground with them: it equals the one worked out from nothing."""

from __future__ import annotations

import gc
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from shapely import Point

from quincunx.walk.barriers import Barrier, barriers
from quincunx.walk.ground import FreeGround, ground_of
from quincunx.walk.links import MEET_M, Near, near, near_without
from quincunx.walk.reach import forget
from tests.walk.grounds import known
from tests.walk.test_prepared import garden

UP_TO_M = 1.5


def lines(near: Near) -> dict[tuple[float, ...], bool]:
    """Return the lines between pieces apart, each with whether it is a link."""
    apart = near.length_m > MEET_M
    rows = np.sort(np.round(near.lines[apart], 7), axis=1).reshape(-1, 4) + 0.0
    return {tuple(row): bool(bare) for row, bare in zip(rows.tolist(), near.bare[apart].tolist(), strict=True)}


def split(seed: int) -> tuple[tuple[Barrier, ...], tuple[Barrier, ...]]:
    """Return the barriers of a garden, and those that stay when one to four of them are taken away."""
    scene = garden(seed)
    found = barriers(scene, known("person"), "shut")
    rng = np.random.default_rng(seed)
    gone = set(rng.choice(len(found), int(rng.integers(1, 5)), replace=False).tolist())
    return found, tuple(b for k, b in enumerate(found) if k not in gone)


def check(seed: int) -> None:
    forget()
    found, left = split(seed)
    world, width = garden(seed).world, float(known("person").body_width)
    full = FreeGround(world, found, width)
    assert len(full.near_to(UP_TO_M).bare)
    assert len(full.stand_piece) == len(full.stand)
    quick, anew = FreeGround(world, left, width, full=full), FreeGround(world, left, width)
    assert quick.full is full
    assert lines(quick.near_to(UP_TO_M)) == lines(anew.near_to(UP_TO_M))
    assert shapely.equals_exact(quick.near_to(UP_TO_M).tree.geometries, anew.near_to(UP_TO_M).tree.geometries).all()
    apart = shapely.symmetric_difference(shapely.union_all(quick.stand), shapely.union_all(anew.stand))
    assert shapely.area(shapely.buffer(apart, -0.003)) == 0.0, "both are drawn within 5 mm of the arcs round corners"
    points = [(float(x), float(y)) for x, y in np.random.default_rng(seed).uniform(0.5, 19.5, (40, 2))]
    for a, b in pairwise(points):
        one, other = (g.pieces_of([a, b]) for g in (quick, anew))
        assert (one[0] is None, one[1] is None) == (other[0] is None, other[1] is None)
        assert (one[0] == one[1]) == (other[0] == other[1])
        at = Point(a).buffer(0.4)
        assert [b.owner for b in quick.barriers_near(at, 0.3)] == [b.owner for b in anew.barriers_near(at, 0.3)]


@pytest.mark.parametrize("seed", range(6))
def test_taking_away_equals_working_out_anew(seed: int):
    check(seed)


@settings(max_examples=8, deadline=None)
@given(st.integers(100, 100_000))
def test_taking_anything_away(seed: int):
    check(seed)


def test_links_come_back_when_what_stood_in_their_circle_goes():
    posts = [Barrier(Point(x, 0).buffer(0.05, quad_segs=2), f"p{k}", "solid") for k, x in enumerate([0.0, 0.5, 1.0])]
    whole = near(posts, UP_TO_M)
    assert sorted(round(v, 2) for v in whole.length_m[whole.bare].tolist()) == [0.4, 0.4]
    fewer = near_without(whole, np.array([0, -1, 1]))
    assert [round(v, 2) for v in fewer.length_m[fewer.bare].tolist()] == [0.9]
    assert fewer.parts.owner.tolist() == [0, 1]


def test_no_ground_holds_the_one_it_is_known_from():
    found, left = split(1)
    world = garden(1).world
    full = FreeGround(world, found, 0.6)
    less = FreeGround(world, left, 0.6, full=full)
    del full
    gc.collect()
    assert less.full is None
    assert lines(less.near_to(UP_TO_M)) == lines(near(left, UP_TO_M))


def test_the_ground_of_what_stays_is_known_from_that_of_all():
    found, left = split(2)
    world = garden(2).world
    like = ground_of(world, found, 0.6)
    assert ground_of(world, left, 0.6, like).full is like
    assert ground_of(world, found, 0.6, like) is like
