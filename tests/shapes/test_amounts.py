"""Amounts over the ground: values, bands, and the lines and areas drawn of them."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st

from quincunx.shapes import Amounts, AreaFigure, Band, PathFigure, TextFigure, band_areas, lines_between

BANDS = (Band(0, "shade", 0), Band(3, "part sun", 3), Band(6, "full sun", 6))


def cone(cell: float = 0.25, wide: float = 20.0) -> Amounts:
    """Ten less the distance from the middle of a square: every line of equal amount is a circle."""
    n = round(wide / cell)
    at = -wide / 2 + (np.arange(n) + 0.5) * cell
    values = 10 - np.hypot(*np.meshgrid(at, at))
    return Amounts(-wide / 2, -wide / 2, cell, values.astype(np.float32), "h", BANDS)


def shape(area: AreaFigure) -> shapely.Geometry:
    """The ground of an area figure."""
    out = shapely.Polygon()
    for ring in area.rings:
        out = out.symmetric_difference(shapely.Polygon(ring))
    return out


def test_a_value_is_that_of_its_cell():
    of = cone()
    assert of.at(0.1, 0.1) == pytest.approx(10 - math.hypot(0.125, 0.125), abs=1e-6)
    assert math.isnan(of.at(10.1, 0))
    assert [of.band(v).words for v in (-1, 2.9, 3, 6, 60)] == ["shade", "shade", "part sun", "full sun", "full sun"]


def test_lines_of_equal_amount_are_where_they_must_be():
    """On a cone they are circles of radius 10 - level: geometry."""
    figures = lines_between(cone(), lambda v: f"{v:g} h")
    paths = [f for f in figures if isinstance(f, PathFigure)]
    assert len(paths) == 2
    for path, radius in zip(paths, (7.0, 4.0), strict=True):
        # A chord across a triangle of a 0.25 m cell lies within its sagitta of the circle, and 2 cm of thinning.
        off = [abs(math.hypot(x, y) - radius) for x, y in path.points]
        assert max(off) < 0.25**2 / 8 / radius * 4 + 0.021
    assert {f.text for f in figures if isinstance(f, TextFigure)} == {"3 h", "6 h"}


def test_areas_of_the_bands_part_the_ground_between_them():
    of = cone()
    areas = band_areas(of)
    assert [a.shade for a in areas] == [0, 3, 6]
    assert len({a.pattern for a in areas}) == 3
    low, middle, high = (shape(a) for a in areas)
    assert high.area == pytest.approx(math.pi * 4**2, rel=0.01)
    assert middle.area == pytest.approx(math.pi * (7**2 - 4**2), rel=0.01)
    assert low.area + middle.area + high.area == pytest.approx(19.75**2, rel=0.001)
    assert high.intersection(middle).area < 0.5


def test_nothing_is_drawn_where_nothing_is_known():
    of = cone().within(shapely.box(-9, -9, 9, 9), [shapely.Point(0, 0).buffer(5)])
    assert math.isnan(of.at(0, 0))
    assert math.isnan(of.at(9.5, 0))
    areas = band_areas(of)
    assert [a.shade for a in areas] == [0, 3]  # the sunniest lay within the hole
    whole = shapely.union_all([shape(a) for a in areas])
    assert not whole.intersects(shapely.Point(0, 0).buffer(4.6))
    lines = [f for f in lines_between(of, str) if isinstance(f, PathFigure)]
    assert all(math.hypot(x, y) > 4.7 for f in lines for x, y in f.points)


def test_one_amount_everywhere_has_no_lines_and_one_area():
    flat = Amounts(0, 0, 0.5, np.full((8, 8), 6.0, np.float32), "h", BANDS)
    assert lines_between(flat, str) == []
    (only,) = band_areas(flat)
    assert only.shade == 6


def test_where_nothing_is_known_at_all_nothing_is_drawn():
    none = Amounts(0, 0, 0.5, np.full((8, 8), np.nan, np.float32), "h", BANDS)
    assert band_areas(none) == []
    assert lines_between(none, str) == []


@pytest.mark.parametrize("origin", [(0.0, 0.0), (-3.1415926535, 2.7182818284), (1 / 3, -2 / 7)])
def test_a_shadow_right_across_the_ground_parts_it_wherever_the_ground_begins(origin):
    """The lines end on the frame, and both keep the same decimals: else the sides of a shadow run into one."""
    values = np.full((40, 60), 100.0, np.float32)
    values[:, 20:35] = 0.0
    of = Amounts(origin[0], origin[1], 0.2, values, "%", (Band(0, "shade", 0), Band(95, "sun", 6)))
    dark, light = (shape(a) for a in band_areas(of))
    # From 5/100 of the way behind the last lit middle to as much before the next: straight between the cells.
    assert dark.area == pytest.approx((14 + 2 * 0.95) * 0.2 * 39 * 0.2, rel=1e-3)
    assert light.area == pytest.approx((59 - 14 - 2 * 0.95) * 0.2 * 39 * 0.2, rel=1e-3)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_areas_hold_the_middles_of_their_cells(seed):
    """Whatever the amounts, wherever they begin: a middle well inside an area has the band of that area."""
    chance = np.random.default_rng(seed)
    values = chance.uniform(0, 9, (5, 6)).astype(np.float32)
    x0, y0 = chance.uniform(-9, 9, 2)
    of = Amounts(float(x0), float(y0), 1.0, values, "h", BANDS)
    x, y = of.middles()
    for area in band_areas(of):
        inner = shape(area).buffer(-0.05)
        for row, column in np.ndindex(values.shape):
            if inner.contains(shapely.Point(x[column], y[row])):
                assert of.band(float(values[row, column])).shade == area.shade
