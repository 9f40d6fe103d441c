"""Shortest ways: exact against a plain visibility graph, and worked by hand."""

import itertools
import math
import os

import networkx as nx
import numpy as np
import pytest
import shapely
from shapely import LineString, Point, Polygon, box
from shapely.affinity import rotate

from quincunx.walk.distances import distances
from quincunx.walk.ways import Way, bends, way_between
from tests.walk.published import table

ROOM = box(0, 0, 10, 10)
SLOW = os.environ.get("QUINCUNX_SLOW") == "1"


def way_in(polygon: Polygon, start: tuple[float, float], end: tuple[float, float]) -> Way:
    way = way_between(polygon, start, end)
    assert way is not None
    return way


def test_a_straight_way():
    way = way_in(ROOM, (1, 1), (4, 5))
    assert way.length_m == pytest.approx(5.0)
    assert way.points == ((1, 1), (4, 5))


def test_the_way_round_two_triangles_is_the_published_one():
    # Published: tests/published/obstacle_paths/triangles.csv, printed to two decimals.
    rows = table("triangles.csv", "obstacle_paths")
    spots = {part: [(float(r["x"]), float(r["y"])) for r in rows if r["part"] == part] for part in ("1", "2", "way")}
    ground = box(-5, -5, 15, 15).difference(shapely.union_all([Polygon(spots["1"]), Polygon(spots["2"])]))
    assert isinstance(ground, Polygon)
    way, ends = way_in(ground, spots["way"][0], spots["way"][-1]), [spots["way"][0], spots["way"][-1]]
    assert [pytest.approx(p, abs=0.005) for p in spots["way"]] == list(way.points)
    assert distances([ground], ends).length_m[0, 1] == pytest.approx(way.length_m, abs=1e-9)


def test_round_a_wall_end_by_hand():
    # From (1, 2) round the corner (5, 5), which is the end of a wall, to (1, 8): twice the hypotenuse of 4 and 3.
    room = ROOM.difference(box(-1, 4.9999, 5, 5.0001))
    assert way_in(room, (1, 2), (1, 8)).length_m == pytest.approx(10.0, abs=3e-4)


def test_along_a_round_post_by_hand():
    # A taut string past a circle of radius r between points at distance d from its middle, opposite each other:
    # two tangents and an arc (D: plain trigonometry).
    r, d = 1.0, 3.0
    room = ROOM.difference(Point(5, 5).buffer(r, quad_segs=256))
    want = 2 * math.sqrt(d * d - r * r) + r * (math.pi - 2 * math.acos(r / d))
    assert way_in(room, (5 - d, 5), (5 + d, 5)).length_m == pytest.approx(want, abs=1e-4)


def test_no_way_out_of_a_closed_piece():
    assert way_between(ROOM.difference(box(-1, 4, 11, 5)).geoms[0], (1, 1), (1, 9)) is None


def by_visibility(polygon: Polygon, a: tuple[float, float], b: tuple[float, float]) -> float:
    """Return the shortest way by every line between any two corners, and Dijkstra: slow, and independent."""
    corners = [tuple(p) for p in shapely.get_coordinates(polygon)]
    nodes = list(dict.fromkeys([a, b, *corners]))
    pairs = list(itertools.combinations(range(len(nodes)), 2))
    lines = shapely.linestrings([[nodes[i], nodes[j]] for i, j in pairs])
    grown = polygon.buffer(1e-7, join_style="mitre")
    shapely.prepare(grown)
    seen = shapely.covers(grown, lines)
    net = nx.Graph()
    for (i, j), line, ok in zip(pairs, lines, seen, strict=True):
        if ok:
            net.add_edge(i, j, weight=line.length)
    return float(nx.shortest_path_length(net, 0, 1, weight="weight"))


@pytest.mark.parametrize("seed", range(1000) if SLOW else range(12))
def test_ways_agree_with_a_plain_visibility_graph(seed):
    # Reference: networkx Dijkstra on all lines of sight by shapely.
    rng = np.random.default_rng(seed)
    blocks = [rotate(box(x - 1, y - 0.3, x + 1, y + 0.3), float(rng.uniform(0, 180)))
              for x, y in rng.uniform(1.5, 8.5, (7, 2))]  # fmt: skip
    free = ROOM.difference(shapely.union_all(blocks).buffer(0.225, quad_segs=2))
    piece = max(shapely.get_parts(free), key=lambda p: p.area)
    points = [tuple(p) for p in rng.uniform(0.2, 9.8, (30, 2)) if piece.buffer(-0.01).covers(Point(*p))]
    for a, b in itertools.pairwise(points[:7]):
        way = way_in(piece, a, b)
        assert way.length_m == pytest.approx(by_visibility(piece, a, b), abs=1e-9)
        assert way.length_m == pytest.approx(LineString(way.points).length, abs=1e-9)
        assert piece.buffer(1e-5).covers(LineString(way.points))


def test_a_way_names_only_the_places_where_it_bends():
    straight = ((0.0, 0.0), (1.0, 5e-8), (2.0, 0.0), (3.0, 0.0))
    assert bends(straight) == ((0.0, 0.0), (3.0, 0.0))
    bent = ((0.0, 0.0), (1.0, 0.0), (2.0, 0.001), (3.0, 0.0), (2.0, 0.0))
    assert bends(bent) == bent, "by a millimetre it does bend"
    back = ((0.0, 0.0), (3.0, 0.0), (1.0, 0.0))
    assert bends(back) == back, "where it turns back it bends"
    assert bends(straight[:2]) == straight[:2]
    assert bends(straight[:1]) == straight[:1]
