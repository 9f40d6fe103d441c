"""Outlines cut into convex pieces, held to their own outline by Shapely."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings, strategies as st
from shapely import LineString, Polygon

from quincunx.scene.convex import convex_pieces

CASES = {
    "an L": Polygon([(0, 0), (6, 0), (6, 1), (1, 1), (1, 5), (0, 5)]),
    "a court with a wall round it": Polygon(
        [(0, 0), (9, 0), (9, 6), (0, 6)], [[(0.3, 0.3), (8.7, 0.3), (8.7, 5.7), (0.3, 5.7)]]
    ),
    "a winding wall": LineString([(0, 0), (3, 0.5), (4, 3), (7, 3.5), (8, 1), (11, 0)]).buffer(0.15),
}


def holds(shape: Polygon, within_m: float) -> None:
    """The pieces are convex, lie side by side, and make up the outline."""
    pieces = [Polygon(ring) for ring in convex_pieces(shape)]
    for piece in pieces:
        assert piece.is_valid
        assert piece.convex_hull.area == pytest.approx(piece.area, abs=1e-7)
    whole = shapely.union_all(pieces)
    assert sum(p.area for p in pieces) == pytest.approx(whole.area, abs=1e-6)
    assert whole.hausdorff_distance(shape) <= within_m


@pytest.mark.parametrize("name", CASES)
def test_pieces_are_convex_and_make_up_the_outline(name: str) -> None:
    holds(CASES[name], 0.011)


def test_neighbours_that_make_a_convex_piece_are_one() -> None:
    """An L of two arms is two pieces; a wall round a court is one piece a side, give or take its corners."""
    assert len(convex_pieces(CASES["an L"])) == 2
    assert len(convex_pieces(CASES["a court with a wall round it"])) == 4


@given(st.lists(st.floats(0.4, 3.0), min_size=3, max_size=14))
@settings(max_examples=40, deadline=None)
def test_any_star_is_made_up_of_its_pieces(reach: list[float]) -> None:
    n = len(reach)
    star = Polygon(
        [(r * math.cos(2 * math.pi * k / n), r * math.sin(2 * math.pi * k / n)) for k, r in enumerate(reach)]
    )
    holds(star, 1e-6)
