"""Paving: the published patio to the piece, and every count against laying each unit by brute force."""

import math
import tracemalloc
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import Phase, given, settings, strategies as st
from shapely import Polygon, affinity

from quincunx.build.paving import SAW_M, _units_for, best_start, boxes_over, edge_count, lay
from tests.build.published import FT, IN, table

PATTERNS = ["stack", "running", "basket", "herringbone", "herringbone 45", "diagonal", "circular"]


def brute(outline: Polygon, unit: tuple[float, float], joint: float, pattern: str) -> tuple[int, int, float]:
    """Count whole and cut units one by one by shapely, laid in the outline's own place: no shortcuts."""
    ring = list(outline.exterior.coords)
    a, b = max(pairwise(ring), key=lambda s: round(math.dist(*s), 6))
    angle = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    angle -= 45 if pattern in ("herringbone 45", "diagonal") else 0
    start = (outline.centroid.x, outline.centroid.y) if pattern == "circular" else a
    reach = outline.buffer(3).bounds
    far = max(math.dist(start, (x, y)) for x in (reach[0], reach[2]) for y in (reach[1], reach[3]))
    whole = cut = 0
    area = 0.0
    boxes = boxes_over((-far, -far, far, far), unit, joint, pattern, (0.0, 0.0))
    # What lies farther from the start than the whole outline and a unit is not worth turning.
    near = np.hypot(*boxes.mean(axis=1).T) <= outline.hausdorff_distance(shapely.Point(start)) + max(unit)
    for box in boxes[near]:
        one = affinity.translate(affinity.rotate(Polygon(box), angle, origin=(0, 0)), *start)
        if not one.intersects(outline):
            continue
        part = one.intersection(outline).area
        area += part
        if part > one.area - 1e-6:
            whole += 1
        elif part > 1e-6:
            cut += 1
    return whole, cut, area


def test_the_published_patio_comes_out_to_the_piece():
    # Brick Industry Association, Seven Easy Steps, step 1 (hardscape Q2): read, arithmetic repeated.
    row = table("quantities")["patio"]
    unit = (row["unit_in"][0] * IN, row["unit_in"][1] * IN)
    patio = shapely.box(0, 0, row["long_ft"] * FT, row["wide_ft"] * FT)
    laid = lay(patio, unit, pattern="stack")
    assert (laid.whole, laid.cut) == (row["pavers"], 0)
    assert laid.to_buy() == row["with_breakage"]
    edge = edge_count(row["edge_ft"] * FT, unit)
    assert edge == row["edge"]
    assert laid.to_buy() + edge == row["all"]


@pytest.mark.parametrize("pattern", ["stack", "basket"])
def test_patterns_that_fit_a_rectangle_cut_nothing(pattern):
    laid = lay(shapely.box(0, 0, 4.0, 2.4), (0.2, 0.1), pattern=pattern)
    assert (laid.whole, laid.cut, laid.waste_share) == (480, 0, 0.0)


@pytest.mark.parametrize("row", table("quantities")["pavers_per_ft2"]["rows"])
def test_pavers_a_square_foot_as_published(row):
    # BIA, the same guide (Q1): laid tight, to one decimal (5.1 for 5.12 and 5.2 for 5.21).
    long, wide, published = row
    assert 144 / (long * wide) == pytest.approx(published, abs=0.05)
    outline = shapely.box(0, 0, 200 * long * IN, 100 * wide * IN)
    laid = lay(outline, (long * IN, wide * IN), pattern="stack")
    assert laid.whole / (outline.area / FT**2) == pytest.approx(published, abs=0.05)


@pytest.mark.parametrize("pattern", PATTERNS)
def test_counts_equal_brute_force_on_a_curved_outline(pattern):
    outline = shapely.Point(1.3, -0.4).buffer(1.2, quad_segs=24).difference(shapely.box(1.4, 0.5, 4, 4))
    laid = lay(outline, (0.3, 0.15), joint_m=0.006, pattern=pattern)
    whole, cut, area = brute(outline, (0.3, 0.15), 0.006, pattern)
    assert (laid.whole, laid.cut) == (whole, cut)
    if pattern != "circular":
        bought = (laid.whole + laid.cut_units) * 0.3 * 0.15
        assert bought * (1 - laid.waste_share) == pytest.approx(area, abs=1e-6)


@pytest.mark.parametrize("pattern", [p for p in PATTERNS if p != "circular"])
def test_square_by_square_is_the_same_count(pattern, monkeypatch):
    """Units of a way whose bounds hold far more of them than it does are laid a square at a time."""
    outline = shapely.LineString([(0.3, 0.2), (4.1, 7.7), (9.2, 8.1), (14.9, 2.2)]).buffer(0.6, quad_segs=3)
    at_once = lay(outline, (0.215, 0.1025), joint_m=0.006, pattern=pattern)
    monkeypatch.setattr("quincunx.build.paving.MANY", 10)
    monkeypatch.setattr("quincunx.build.paving.SQUARE", 5)
    assert lay(outline, (0.215, 0.1025), joint_m=0.006, pattern=pattern) == at_once


def test_a_way_across_much_ground_needs_no_room_for_what_lies_beside_it():
    """Its bounds hold 300,000 bricks, of which it takes 1 in 50: on a larger ground all of them took gigabytes."""
    way = shapely.LineString([(0, 0), (90, 80)]).buffer(0.6, cap_style="flat")
    tracemalloc.start()
    try:
        laid = lay(way, (0.215, 0.1025), joint_m=0.003, turn_deg=90.0)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert laid.whole + laid.cut_units == pytest.approx(way.area / (0.218 * 0.1055), rel=0.1)
    assert peak < 12e6


@settings(max_examples=12, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(
    st.sampled_from(PATTERNS),
    st.lists(st.tuples(st.integers(-200, 200), st.integers(-200, 200)), min_size=3, max_size=7, unique=True),
    st.sampled_from([(0.4, 0.2), (0.215, 0.1025), (0.5, 0.25)]),
)
def test_counts_equal_brute_force_on_any_outline(pattern, points, unit):
    hull = shapely.MultiPoint([(x / 130, y / 130) for x, y in points]).convex_hull
    if not isinstance(hull, Polygon) or hull.area < 0.1:
        return
    laid = lay(hull, unit, joint_m=0.004, pattern=pattern)
    whole, cut, _ = brute(hull, unit, 0.004, pattern)
    # A unit whose edge lies in the outline itself may fall on either side of rounding.
    assert abs(laid.whole - whole) <= 1
    assert abs(laid.whole + laid.cut - whole - cut) <= 1


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(PATTERNS), st.floats(0.5, 3.0), st.floats(0.5, 3.0))
def test_what_is_bought_covers_what_is_laid(pattern, wide, deep):
    laid = lay(shapely.box(0, 0, wide, deep), (0.2, 0.1), joint_m=0.003, pattern=pattern)
    assert laid.cut_units <= laid.cut
    assert laid.cut_units >= laid.cut * 0.2 - 1
    assert 0 <= laid.waste_share < 1
    assert laid.to_buy() >= laid.units
    assert laid.to_buy(0.0) == laid.units


def test_pieces_behind_each_other_are_sawn_from_one_unit():
    # Courses of 2.45 units: each leaves 0.45 of a unit; two of them and a saw cut fit one unit.
    laid = lay(shapely.box(0, 0, 0.49, 0.4), (0.2, 0.1), pattern="stack")
    assert (laid.whole, laid.cut, laid.cut_units) == (8, 4, 2)
    assert lay(shapely.box(0, 0, 0.51, 0.4), (0.2, 0.1), pattern="stack").cut_units == 4


@given(st.lists(st.floats(0.001, 0.2), max_size=60))
def test_pieces_go_into_the_first_unit_with_room(lengths):
    left: list[float] = []
    for length in sorted(lengths, reverse=True):
        k = next((k for k, room in enumerate(left) if length + SAW_M <= room + 1e-9), None)
        if k is None:
            left.append(0.2 - length)
        else:
            left[k] -= length + SAW_M
    assert _units_for(lengths, 0.2) == len(left)


def test_an_edge_course_is_counted_and_the_field_is_what_it_leaves():
    laid = lay(shapely.box(0, 0, 2.2, 1.4), (0.2, 0.1), pattern="stack", edge="across")
    assert laid.edge == 72  # 7.2 m of rim, 0.1 m each
    assert laid.whole == 90  # 1.8 by 1.0 m inside a course 0.2 m deep
    assert lay(shapely.box(0, 0, 2.2, 1.4), (0.2, 0.1), pattern="stack", edge="along").edge == 36


def test_slivers_are_seen_and_a_better_start_avoids_them():
    outline = shapely.box(0, 0, 2.005, 1.0)
    worst = lay(outline, (0.2, 0.1), pattern="stack")
    assert worst.slivers == 10
    _, best = best_start(outline, (0.2, 0.1), pattern="stack")
    assert best.slivers == 0
    assert best.area_m2 == pytest.approx(outline.area)


def test_rings_lie_about_the_middle():
    laid = lay(shapely.Point(0, 0).buffer(1.0, quad_segs=90), (0.2, 0.1), joint_m=0.005, pattern="circular")
    # By hand: a unit in the middle reaches 0.1118 m to its corners; each ring begins at the corners of the last and a joint.
    inner, whole = math.hypot(0.1, 0.05) + 0.005, 1
    while math.hypot(inner + 0.1, 0.1) <= 1.0:
        whole += math.floor(math.pi / math.atan(0.205 / 2 / inner))
        inner = math.hypot(inner + 0.1, 0.1) + 0.005
    assert laid.whole == whole
    assert laid.cut > 20


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize(
    ("unit", "joint"), [((0.2, 0.1), 0.0), ((0.215, 0.1025), 0.01), ((0.1, 0.1), 0.008), ((0.3, 0.15), 0.006)]
)
def test_no_unit_lies_on_another(pattern, unit, joint):
    boxes = shapely.polygons(boxes_over((-1.0, -0.8, 1.0, 0.8), unit, joint, pattern, (0.0, 0.0)))
    all_of_them = float(shapely.area(boxes).sum())
    assert shapely.union_all(boxes).area == pytest.approx(all_of_them, rel=1e-9)
    assert all_of_them > 0.6 * 2.0 * 1.6


def test_slivers_are_avoided_by_another_beginning_and_it_is_said_where():
    from quincunx.build.floors import floor_take_off
    from quincunx.shapes import AreaWork, Layer

    outline = shapely.box(0, 0, 3.0, 2.005)  # twenty courses of 100 mm and half a centimetre
    usual = lay(outline, (0.2, 0.1), pattern="stack")
    assert usual.slivers == 15
    found = floor_take_off(AreaWork("court", outline, (Layer("brick", 0.065),), "stack", (0.2, 0.1)))
    (said,) = [n for n in found.notes if n.startswith("begin the pattern")]
    assert "15 slivers would be cut, so 0" in said
    assert not any("would still be cut" in n for n in found.notes)
