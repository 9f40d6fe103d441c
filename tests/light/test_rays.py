"""Rays from a few points to many suns give what the slow oracle gives, part by part."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from scipy.spatial import ConvexHull
from shapely import Point

from quincunx.light import Sky, _plain, shade_at, shades_at, sun_hours
from quincunx.light._rays import Bodies, _hull
from quincunx.light.shade import ground_before, in_the_way
from quincunx.light.sky import suns
from quincunx.scene.parts import parts_of
from quincunx.shapes import Crown, Height, Solid, every_month
from tests.light.gardens import LEVEL, SLOPE, bumpy, one_of_each, scene, wall


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from(["level", "slope", "bumps"]))
def test_shares_are_those_of_the_oracle(seed, ground):
    lie = {"level": LEVEL, "slope": SLOPE, "bumps": bumpy()}[ground]
    here = scene(*one_of_each(), ground=lie)
    parts = parts_of(here.solids, here.ground)
    some = suns(Sky(51.5), (3, 6), step_min=60)
    rng = np.random.default_rng(seed)
    xy = rng.uniform(0, 20, (12, 2))
    points = np.column_stack([xy, here.ground.height(*xy.T) + rng.uniform(0, 2, 12)])
    through = parts.through(some.towards, some.month)
    ours = Bodies.of(parts).shares(points, some.towards, through)
    oracle = np.array(list(_plain.shares(points, some.towards, through, parts))).T
    assert np.abs(ours - oracle).max() < 1e-6


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.integers(4, 20))
def test_hulls_are_those_of_qhull(seed, count):
    """The same half-spaces as scipy's convex hull: a point is inside both or neither."""
    rng = np.random.default_rng(seed)
    corners = rng.uniform(-3, 3, (count, 3))
    ours, theirs = _hull(corners, standing=False), ConvexHull(corners).equations
    probe = rng.uniform(-4, 4, (200, 3))
    inside = [(probe @ e[:, :3].T + e[:, 3] <= 1e-9).all(axis=1) for e in (ours, theirs)]
    assert (inside[0] == inside[1]).all()


def test_a_box_has_six_faces():
    corners = np.array([(x, y, z) for x in (0, 2) for y in (0, 3) for z in (0, 1)], float)
    assert len(_hull(corners, standing=False)) == 6


def test_what_is_notin_the_way_changes_nothing():
    here = scene(*one_of_each(), wall(30, 30, 31, 31, 0.2), wall(9, 19, 11, 19.2, 1.0), ground=SLOPE)
    some = suns(Sky(51.5), (12,))
    at = np.array([[10.0, 10.0, here.ground_z_m(10, 10) + 1.2]])
    kept = in_the_way(here, at, some.towards)
    assert len(kept) < len(here.solids)
    whole, few = (parts_of(s, here.ground) for s in (here.solids, kept))
    shares = [Bodies.of(p).shares(at, some.towards, p.through(some.towards, some.month)) for p in (whole, few)]
    assert np.abs(shares[0] - shares[1]).max() == 0.0


def test_several_points_are_each_their_own():
    here = scene(*one_of_each(), ground=bumpy())
    points = [(4.0, 9.0), (6.0, 11.0), (13.0, 13.0)]
    together = shades_at(here, points, 0.5, months=(6,))
    for point, one in zip(points, together, strict=True):
        alone = shade_at(here, point, 0.5, months=(6,))
        assert one.sun_h(6) == pytest.approx(alone.sun_h(6), abs=1e-9)
        assert dict(one.by((6,))) == pytest.approx(dict(alone.by((6,))))


def test_each_thing_keeps_off_what_it_would_alone():
    first, other = wall(9, 8, 11, 8.2, 3.0, owner="a"), wall(9, 7, 11, 7.2, 3.0, owner="b")
    both = shade_at(scene(first, other), (10, 10), 0.0, months=(3,), sky=Sky(51.5))
    alone = shade_at(scene(first), (10, 10), 0.0, months=(3,), sky=Sky(51.5))
    (one,) = alone.by((3,))
    assert dict(both.by((3,)))["a"] == pytest.approx(one[1])
    assert one[1] == pytest.approx(
        shade_at(scene(), (10, 10), 0.0, months=(3,), sky=Sky(51.5)).sun_h(3) - alone.sun_h(3)
    )
    gone = shade_at(scene(first, other), (10, 10), 0.0, months=(3,), sky=Sky(51.5), without=frozenset({"a", "b"}))
    assert gone.by((3,)) == []


def test_the_grounds_own_skyline_is_that_of_the_grid():
    here = scene(ground=bumpy(1.5))
    grid = sun_hours(here, (12, 3), cell_m=0.5)
    for at in ((10.25, 15.25), (10.25, 17.75), (8.25, 16.25)):  # far enough north that the grid has all before them
        assert shade_at(here, at, 0.0, months=(12, 3)).sun_h(12) == pytest.approx(grid.at(*at)[0], abs=0.35)
    towards = np.array([[0.0, 0.0, 1.0], [0.0, 1.0, 0.0]])
    assert not ground_before(here, (5, 5, 50), towards)[0]


def test_round_and_cornered_crowns_hide_alike():
    """A ball of 3 m radius as a crown, and its sun hours as ray and ball meet: closed form of the ray test."""
    ball = Solid(
        "t", "", Point(10, 6).buffer(3, quad_segs=64), Height(0.0), Height(6.0), Crown(), transmittance=every_month(0.0)
    )
    some = suns(Sky(51.5), (6,))
    seat = np.array([10.0, 10.0, 1.0])
    q = np.array([10.0, 6.0, 3.0]) - seat
    along = some.towards @ q
    hidden = (q @ q - along**2 < 9.0) & (along > 0)
    expected = float((some.hours * ~hidden).sum())
    found = shade_at(scene(ball), (10, 10), 1.0, months=(6,), sky=Sky(51.5))
    assert found.sun_h(6) == pytest.approx(expected, abs=0.17)  # one sun of ten minutes at the edge
