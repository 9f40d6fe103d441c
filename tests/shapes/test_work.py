"""A run along a line that comes back to its start has its way back, whoever asks."""

from __future__ import annotations

import pytest
from shapely import LineString

from quincunx.shapes import LineWork

THREE = LineString([(0, 0), (4, 0), (4, 3)])


def test_an_open_run_is_its_line() -> None:
    run = LineWork("fence", THREE, 1.2, 0.05, "mesh")
    assert run.course is THREE
    assert run.sides == (((0, 0), (4, 0)), ((4, 0), (4, 3)))


def test_a_closed_run_comes_back_to_its_start() -> None:
    run = LineWork("fence", THREE, 1.2, 0.05, "mesh", closed=True)
    assert run.course.length == pytest.approx(12.0)  # the triangle of 3, 4 and 5
    assert run.sides[-1] == ((4, 3), (0, 0))


def test_a_run_drawn_back_to_its_start_does_not_come_back_twice() -> None:
    ring = LineString([*THREE.coords, (0, 0)])
    run = LineWork("fence", ring, 1.2, 0.05, "mesh", closed=True)
    assert run.course.length == pytest.approx(12.0)
    assert len(run.sides) == 3


def test_crumbs_are_no_sides() -> None:
    run = LineWork("fence", LineString([(0, 0), (2, 0), (2, 0.004), (5, 0.004)]), 1.2, 0.05, "mesh")
    assert len(run.sides) == 2
