"""Arrays against planting rules that are published, and against distances worked out here."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from quincunx.shapes import array_count, array_shifts

LAYOUTS = ("square", "triangular", "quincunx")


def test_places_of_a_plot_whose_edges_are_planted():
    """A plot of 12 by 9 m planted at 3 m, edges too: 5 x 4 = 20 in squares; triangles alternate 5 and 4 in rows 0.866 of
    the distance apart, 5 + 4 + 5 + 4 = 18 in four rows (floor(L / d) + 1 a row: computed from the rule in the orchard
    texts of the agricultural course of IASRI, ecoursesonline.iasri.res.in, planting systems).
    """
    assert array_count("square", 5, 4) == len(array_shifts("square", 5, 4, 3.0)) == 20
    assert array_count("triangular", 5, 4) == len(array_shifts("triangular", 5, 4, 3.0)) == 18
    rows = sorted({round(y, 3) for _, y in array_shifts("triangular", 5, 4, 3.0)})
    assert rows == pytest.approx([0, 2.598, 5.196, 7.794], abs=1e-3)


def test_a_quincunx_has_one_more_in_the_middle_of_each_square():
    """Middles of squares of side a lie a / sqrt 2 from their corners (Wiant 1973, Tree Planters' Notes 24(3))."""
    places = array_shifts("quincunx", 5, 4, 10.0)
    assert len(places) == array_count("quincunx", 5, 4) == 5 * 4 + 4 * 3
    nearest = min(math.dist(a, b) for i, a in enumerate(places) for b in places[:i])
    assert nearest == pytest.approx(7.07, abs=0.005)


@pytest.mark.parametrize(("layout", "an_are"), [("square", 1.0), ("triangular", 1.155), ("quincunx", 2.0)])
def test_a_large_array_holds_what_its_layout_does(layout, an_are):
    """Plants an area: A/d2 in squares, 15.5 % more in triangles, twice as many in a quincunx (the same texts)."""
    across, rows = 60, 60
    pitch = math.sqrt(3) / 2 if layout == "triangular" else 1.0
    area = (across - 1) * (rows - 1) * pitch
    assert array_count(layout, across, rows) / area == pytest.approx(an_are, rel=0.04)


@given(
    st.sampled_from(LAYOUTS), st.integers(2, 7), st.integers(1, 6), st.floats(0.3, 20), st.floats(0, 360),
)  # fmt: skip
def test_each_stands_as_far_from_its_neighbour_as_asked(layout, across, rows, spacing, along):
    places = array_shifts(layout, across, rows, spacing, along_deg=along)
    assert len(places) == array_count(layout, across, rows)
    assert places[:1] == ((0.0, 0.0),)
    least = min(math.dist(a, b) for i, a in enumerate(places) for b in places[:i])
    diagonal = layout == "quincunx" and rows > 1
    assert least == pytest.approx(spacing / math.sqrt(2) if diagonal else spacing, rel=1e-6)
    x, y = places[1]
    off = math.degrees(math.atan2(x, y)) - along
    assert abs((off + 180) % 360 - 180) < 1e-6  # due north is 0 and 360


def test_rows_can_be_set_apart_as_one_likes():
    places = array_shifts("square", 2, 2, 1.0, apart_m=2.5)
    assert [round(v, 9) for p in places[2:] for v in p] == [0.0, 2.5, 1.0, 2.5]
