"""The distance table: every way at once, the same as one way at a time, compiled or plain."""

import numpy as np
import pytest
import shapely
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate

from quincunx.scene import Spot
from quincunx.walk._mesh import mesh_of
from quincunx.walk._taut import lines_of_sight, straight_pairs, ways_from
from quincunx.walk.distances import distance_table, distances
from quincunx.walk.ground import FreeGround
from quincunx.walk.reach import Walk
from quincunx.walk.ways import way_between
from quincunx.walk.widths import Widths
from tests.walk.grounds import known, scene, wall
from tests.walk.test_widths import EDGE, garden


def ground(seed: int, blocks: int = 8) -> tuple[list[Polygon], list[tuple[float, float]]]:
    rng = np.random.default_rng(seed)
    shapes = [
        rotate(box(x - 1, y - 0.3, x + 1, y + 0.3), float(rng.uniform(0, 180)))
        for x, y in rng.uniform(1, 9, (blocks, 2))
    ]
    walls = [box(0, 4.9, 6, 5.1), box(6.7, 4.9, 10, 5.1)]
    free = box(0, 0, 10, 10).difference(shapely.union_all([*shapes, *walls]).buffer(0.225, quad_segs=3))
    pieces = [p for p in shapely.get_parts(free) if p.area > 1e-4]
    points = [(float(x), float(y)) for x, y in rng.uniform(0, 10, (25, 2))]
    inside = [p for p in points if any(q.buffer(-0.001).covers(Point(p)) for q in pieces)]
    return pieces, inside


@pytest.mark.parametrize("seed", range(6))
def test_the_table_agrees_with_one_way_at_a_time(seed):
    pieces, points = ground(seed)
    table = distances(pieces, points)
    assert np.array_equal(table.length_m, table.length_m.T) or np.allclose(table.length_m, table.length_m.T, atol=1e-9)
    for i, a in enumerate(points):
        for j in range(0, len(points), 3):
            ways = [w for p in pieces if (w := way_between(p, a, points[j]))]
            want = min((w.length_m for w in ways), default=np.inf)
            assert table.length_m[i, j] == pytest.approx(want, abs=1e-9)
            way = table.way(i, j)
            if way is not None and i != j:
                assert way.points[0] == a
                assert way.points[-1] == points[j]
                assert LineString(way.points).length == pytest.approx(way.length_m, abs=1e-9)


def test_plain_and_compiled_kernels_agree():
    pieces, points = ground(3, blocks=4)
    mesh = mesh_of(pieces)
    spots = np.array(points)
    plain, home = lines_of_sight.plain(spots, mesh.arrays, mesh.bends)
    lines, where = lines_of_sight(spots, mesh.arrays, mesh.bends)
    assert np.array_equal(plain, lines)
    assert np.array_equal(home, where)
    nodes = np.vstack([mesh.at, spots])
    given = (lines, nodes, len(spots), mesh.after, mesh.before, mesh.twice)
    for one, other in zip(ways_from.plain(*given), ways_from(*given), strict=True):
        assert np.array_equal(one, other)
    assert np.array_equal(straight_pairs.plain(spots, home, mesh.arrays), straight_pairs(spots, home, mesh.arrays))


def test_triangles_cover_the_ground():
    pieces, _ = ground(1)
    mesh = mesh_of(pieces)
    a, b, c = (mesh.at[mesh.triangles[:, k]] for k in range(3))
    area = ((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])) / 2
    assert area.min() > 0
    assert area.sum() == pytest.approx(sum(p.area for p in pieces), rel=1e-9)


def test_points_outside_or_in_another_piece_have_no_way():
    table = distances([box(0, 0, 1, 1), box(2, 0, 3, 1)], [(0.5, 0.5), (2.5, 0.5), (5, 5)])
    assert np.isinf(table.length_m[0, 1])
    assert np.isinf(table.length_m[0, 2])
    assert table.way(0, 1) is None
    assert distances([], [(0, 0), (1, 1)]).way(0, 1) is None
    assert distances([box(0, 0, 1, 1)], []).length_m.shape == (0, 0)


@pytest.mark.parametrize("seed", range(0, 40, 10))
def test_the_table_of_widths_agrees_with_one_pair_at_a_time(seed):
    rng = np.random.default_rng(seed)
    free = FreeGround(box(-1, -1, 13, 13), [*garden(rng), *EDGE], 0.45)
    points = [tuple(p) for p in rng.uniform(0.3, 11.7, (30, 2)) if free.open.buffer(-0.2).covers(Point(p))][:8]
    widths = Widths(free, 3.0)
    table = widths.table(points)
    room = [2 * free.blocked.boundary.distance(Point(p)) for p in points]
    for i, a in enumerate(points):
        for j, b in enumerate(points[:i]):
            narrow = widths.between(Point(a), Point(b))
            own = 0.0 if narrow is None else 3.0 if narrow.width_m is None else narrow.width_m
            assert table[i, j] == pytest.approx(min(own, room[i], room[j]), abs=1e-9)


def test_a_table_of_places_agrees_with_single_ways():
    spots = (Spot("a", "a", (1, 1)), Spot("b", "b", (1, 9)), Spot("in-wall", "in the wall", (2, 5)))
    here = scene(box(0, 0, 10, 10), solids=[wall("w", -5, 4.8, 6, 5.2)], spots=spots)
    walk = Walk(here, known("person"))
    table = distance_table(walk, ["a", "b", "in-wall", "nothing"])
    way = walk.way("a", "b")
    assert way is not None
    assert table.length_m[0, 1] == pytest.approx(way.length_m, abs=1e-9)
    assert np.isfinite(table.length_m[0, 2])
    assert np.isinf(table.length_m[0, 3])
