"""Drawings of single lines, and of lines in space: joined within what is told, with their heights."""

from __future__ import annotations

import io
import math
from typing import Any

import pytest
import shapely
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from hypothesis import given, strategies as st

from quincunx.garden import Garden, apply
from quincunx.review.points import Asked, look
from quincunx.survey.joined import joined

CORNERS = [(100.0, 200.0), (118.0, 200.0), (118.0, 246.0), (100.0, 246.0)]


def drawn(lines: list[tuple[Any, Any]], units: int = 6, layer: str = "PLOT") -> Drawing:
    made = new()
    made.units = units
    for start, end in lines:
        made.modelspace().add_line(start, end, dxfattribs={"layer": layer})
    return made


def text(made: Drawing) -> str:
    out = io.StringIO()
    made.write(out)
    return out.getvalue()


def sides(corners: list[Any], off: float = 0.0) -> list[tuple[Any, Any]]:
    """Return the sides of a ring as lines in no order, some drawn the other way, each end ``off`` to the east."""
    around = [(a, (b[0] + off, *b[1:])) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
    return [around[2], around[0][::-1], around[3], around[1]]


def test_four_single_lines_in_no_order_become_the_boundary() -> None:
    found = look(Garden(), text(drawn(sides(CORNERS, 0.004))), Asked(), "plan.dxf")
    assert not found.faults
    assert [g.words for g in found.brought.groups] == ["outline of single lines on layer PLOT"]
    assert (
        "4 single lines joined into 1 outline: ends no farther apart than 10 mm are one; the widest gap was 4.0 mm."
        in found.said
    )
    assert found.edit is not None
    garden = apply(Garden(), found.edit)[0]
    ring = shapely.Polygon([(float(x), float(y)) for x, y in garden.boundary])
    assert ring.area == pytest.approx(18 * 46, abs=0.2)


def test_ends_too_far_apart_are_not_joined_and_millimetres_are_no_metres() -> None:
    apart = look(Garden(), text(drawn(sides(CORNERS, 0.02))), Asked(), "plan.dxf")
    assert [g.shape for g in apart.brought.groups] == ["line"] * 4
    in_mm = [(1000 * x, 1000 * y) for x, y in CORNERS]
    assert look(Garden(), text(drawn(sides(in_mm, 9.0), 4)), Asked(), "plan.dxf").brought.groups[0].shape == "outline"
    assert look(Garden(), text(drawn(sides(in_mm, 11.0), 4)), Asked(), "plan.dxf").brought.groups[0].shape == "line"
    no_unit = look(Garden(), text(drawn(sides(CORNERS, 0.004), 0)), Asked(), "plan.dxf")
    assert any("0.01 of the drawing's unit (it doesn't say which)" in s for s in no_unit.said)


def test_a_line_that_branches_off_is_said_and_lines_drawn_twice_count_once() -> None:
    lines = [*sides(CORNERS), *sides(CORNERS)[:2], ((100.0, 200.0), (109.0, 220.0)), ((0.0, 0.0), (0.0, 0.0))]
    found = look(Garden(), text(drawn(lines)), Asked(become="spots"), "plan.dxf")
    assert any("At 1 place more than two single lines meet" in s for s in found.said)
    twice = look(Garden(), text(drawn(sides(CORNERS) * 2)), Asked(), "plan.dxf")
    assert [g.shape for g in twice.brought.groups] == ["outline"]


def test_heights_of_lines_in_space_become_levels_of_stakes_and_heights_of_the_ground() -> None:
    high = [(*c, z) for c, z in zip(CORNERS, (12.0, 12.4, 13.1, 12.7), strict=True)]
    for made in (drawn(sides(high)), new()):
        if not len(made.modelspace()):
            made.units = 6
            made.modelspace().add_polyline3d(high, close=True)
        stakes = look(Garden(), text(made), Asked(become="stakes"), "plan.dxf")
        assert stakes.edit is not None
        held = apply(Garden(), stakes.edit)[0].survey.stakes
        assert sorted(float(s.level) for s in held if s.level is not None) == [12.0, 12.4, 12.7, 13.1]
        ground = look(Garden(), text(made), Asked(become="heights"), "plan.dxf")
        assert ground.edit is not None
        at = {(float(h.at[0]), float(h.at[1])): float(h.z_m) for h in apply(Garden(), ground.edit)[0].levels.heights}
        flat = dict(zip(CORNERS, (12.0, 12.4, 13.1, 12.7), strict=True))
        x0, y0 = min(x for x, _ in at), min(y for _, y in at)
        assert {(x - x0 + 100, y - y0 + 200): z for (x, y), z in at.items()} == flat


def test_a_flat_drawing_has_no_heights() -> None:
    found = look(Garden(), text(drawn(sides(CORNERS))), Asked(become="heights"), "plan.dxf")
    assert any("no heights" in f for f in found.faults)


@given(st.integers(3, 12), st.randoms(use_true_random=False), st.floats(0.0, 0.9))
def test_any_ring_cut_into_lines_and_shuffled_is_found_again(count: int, chance: Any, off: float) -> None:
    """Shapely's own joining of lines that meet exactly finds the same ring; ends moved by less than is allowed change none."""
    ring = [(10 * math.cos(2 * math.pi * k / count), 10 * math.sin(2 * math.pi * k / count), 0.0) for k in range(count)]
    lines = [(a, b) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)]
    lines = [line[::-1] if chance.random() < 0.5 else line for line in lines]
    chance.shuffle(lines)
    merged = shapely.line_merge(shapely.MultiLineString([[a[:2], b[:2]] for a, b in lines]))
    moved = [tuple((x + off * 0.005 * chance.choice((-1, 1)), y, z) for x, y, z in line) for line in lines]
    found = joined(moved, 0.01)  # type: ignore[arg-type]
    assert not found.chains
    (got,) = found.rings
    assert len(got) == count
    assert shapely.Polygon([p[:2] for p in got]).area == pytest.approx(shapely.Polygon(merged).area, abs=0.5)
    assert found.widest <= 0.01
