"""Polygons cut into triangles: nothing left over, nothing twice, and the same ways as over another library's triangles."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from shapely import Point, Polygon, box

from quincunx.walk import _mesh
from quincunx.walk._ears import ears
from quincunx.walk._mesh import mesh_of
from quincunx.walk._parting import widest_pairs
from quincunx.walk.distances import distances
from quincunx.walk.ways import way_between

COMB = Polygon([(0, 0), (9, 0), (9, 5), (8, 5), (8, 1), (6, 1), (6, 5), (5, 5), (5, 1), (3, 1), (3, 5), (0, 5)])


def pieces(seed: int, things: int) -> list[Polygon]:
    """Return ground with things taken out of it, round and square."""
    rng = np.random.default_rng(seed)
    at = rng.uniform(0, 10, (things, 2))
    out = [Point(p).buffer(float(rng.uniform(0.1, 1.2)), quad_segs=int(rng.integers(1, 6))) for p in at]
    ground = box(0, 0, 10, 10).difference(shapely.union_all(out))
    return [p for p in shapely.get_parts(ground) if p.area > 1e-4]


def cut(shape: Polygon, *, plain: bool = False) -> tuple[np.ndarray, np.ndarray]:
    rings = [np.asarray(r.coords)[:-1] for r in (shape.exterior, *shape.interiors)]
    at, first = np.vstack(rings), np.cumsum([0, *map(len, rings)])
    return at, (ears.plain if plain else ears)(at, first)


def parted(at: np.ndarray, triangles: np.ndarray, shape: Polygon) -> None:
    """Check that triangles fill a shape, each once."""
    made = shapely.polygons(at[triangles])
    assert (shapely.area(made) > 0).all()
    assert shapely.area(made).sum() == pytest.approx(shape.area, rel=1e-9)
    assert shapely.symmetric_difference(shapely.union_all(made, grid_size=1e-9), shape).area < 1e-6


@pytest.mark.parametrize(
    ("shape", "count"),
    [
        (box(0, 0, 1, 1), 2),
        (COMB, 10),
        (Polygon([(0, 0), (10, 0), (10, 10), (0, 10)], [[(4, 4), (4, 6), (6, 6), (6, 4)]]), 8),
        # Two holes of which the western corners lie at one height, each behind the other.
        (Polygon(box(0, 0, 9, 3).exterior, [box(1, 1, 2, 2).exterior, box(4, 1, 5, 2).exterior]), 14),
    ],
)
def test_every_corner_and_hole_adds_its_triangles(shape, count):
    shape = shapely.orient_polygons(shape)
    at, triangles = cut(shape)
    assert len(triangles) == count == len(at) + 2 * len(shape.interiors) - 2
    parted(at, triangles, shape)
    assert np.array_equal(cut(shape, plain=True)[1], triangles)


@settings(max_examples=25)
@given(st.integers(0, 10_000), st.integers(1, 40))
def test_ground_with_things_in_it_is_cut_up(seed, things):
    for piece in pieces(seed, things):
        shape = shapely.orient_polygons(piece)
        at, triangles = cut(shape)
        assert len(triangles) == len(at) + 2 * len(shape.interiors) - 2
        parted(at, triangles, shape)


def test_what_crosses_itself_is_refused_and_not_cut_up_wrongly():
    at = np.array([(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)])
    assert len(ears(at, np.array([0, 4]))) == 0
    outside = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (-3.0, 0.2), (-2.5, 0.5), (-2.5, 0.2)])
    assert len(ears(outside, np.array([0, 3, 6]))) == 0


def test_neighbours_know_each_other_and_only_the_edge_has_none():
    ground = pieces(7, 20)
    mesh = mesh_of(ground)
    for t, beside in enumerate(mesh.beside):
        for k, other in enumerate(beside):
            a, b = mesh.triangles[t, (k + 1) % 3], mesh.triangles[t, (k + 2) % 3]
            if other < 0:
                assert mesh.after[a] == b
            else:
                assert {a, b} < set(mesh.triangles[other].tolist())
    assert not mesh.twice.any()


@pytest.mark.parametrize("seed", range(3))
def test_ways_are_the_same_over_triangles_of_the_library(seed, monkeypatch):
    ground = pieces(seed, 25)
    points = [(float(x), float(y)) for x, y in np.random.default_rng(seed + 99).uniform(0, 10, (15, 2))]
    ours = distances(ground, points).length_m
    monkeypatch.setattr(_mesh, "ears", lambda *_: np.empty((0, 3), np.int64))
    theirs = distances(ground, points).length_m
    assert np.isfinite(ours).sum() > 20
    np.testing.assert_allclose(ours, theirs, atol=1e-9)


def test_rings_that_meet_in_a_corner_bend_freely_there():
    ground = Polygon([(0, 0), (4, 0), (4, 4), (0, 4), (0, 2)], [[(0, 2), (2, 3), (2, 1)]])
    mesh = mesh_of([ground])
    assert mesh.twice.sum() == 1
    assert tuple(mesh.at[mesh.twice][0]) == (0, 2)
    table = distances([ground], [(1.0, 0.5), (1.0, 3.5)])
    # Through the point where they meet, as a body passes a gap just as wide as itself, and as one way at a time says.
    assert table.length_m[0, 1] == pytest.approx(2 * np.hypot(1, 1.5))
    single = way_between(ground, (1.0, 0.5), (1.0, 3.5))
    assert single is not None
    assert single.length_m == pytest.approx(2 * np.hypot(1, 1.5))


def test_the_widest_bodies_between_points_over_a_made_up_net():
    """Two squares round one point each, the second crossed by bodies of 0.8 m: by hand."""
    corner = np.array([(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)])
    sides = np.stack([corner, np.roll(corner, -1, axis=0)], 1)
    square = np.stack([sides[:, 0], sides[:, 0], sides[:, 1], sides[:, 1]], 1)
    paths = np.concatenate([square, square + np.array((5.0, 0.0))])
    start = np.array([0, 1, 2, 3, 4, 5, 6, 7])
    end = np.array([1, 2, 3, 0, 5, 6, 7, 4])
    leave = np.array([0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.8])
    points = np.array([(1.0, 1.0), (6.0, 1.0), (3.5, 1.0), (3.6, 1.0)])
    want = np.full((4, 4), 3.0)
    want[0, 1:] = want[1:, 0] = 0.0
    want[1, 2:] = want[2:, 1] = 0.8
    for found in (widest_pairs, widest_pairs.plain):
        assert np.array_equal(found(points, paths, start, end, leave, 8, 3.0), want)
