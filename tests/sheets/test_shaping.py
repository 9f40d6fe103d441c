"""What lies between the set points: each line of the page is held against geometry worked out another way."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
import shapely

from quincunx.sheets._outdoors import planned
from quincunx.sheets._rounds import circle_of, ellipse_of
from quincunx.sheets._shaping import heights, offsets_between, shaping
from quincunx.survey import chord_offset_m, circle_points, ellipse_offset_m
from tests.sheets.outdoors import demo, job, pages, plot, said, set_for


def lines(*features: dict[str, Any], units: str = "metric", **more: Any) -> list[str]:
    of = set_for(plot(*features, units=units, jobs=[job(*(str(f["id"]) for f in features))], **more))
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in shaping(of, planned(of, of.garden.jobs[0]))]


def octagon(**more: Any) -> dict[str, Any]:
    return {
        "kind": "roofed-shelter", "id": "round", "name": "Round shelter", "at": [10, 8], "plan_shape": "octagon",
        "width": 3.6, "depth": 3.6, "roof": "hip", "pitch_deg": 30, "eaves_height": 2.3, "overhang": 0.3, **more,
    }  # fmt: skip


def test_the_posts_of_a_round_shelter_stand_on_a_circle() -> None:
    of = set_for(plot(octagon(), jobs=[job("round")]))
    plan = planned(of, of.garden.jobs[0])
    posts = [m.at for m in plan.marks.values()]
    assert len(posts) == 8
    (line,) = [s for s in shaping(of, plan) if "circle" in s]
    line = line.replace("\N{NO-BREAK SPACE}", " ")
    radius, side = (float(v) for v in re.findall(r"([\d.]+) m", line)[:2])
    assert all(math.dist(p, (10, 8)) == pytest.approx(radius, abs=0.004) for p in posts)
    # Side of a regular octagon: 2 r sin(22.5 deg).
    assert side == pytest.approx(2 * radius * math.sin(math.radians(22.5)), abs=0.005)
    a, b = re.findall(r"halfway from (\d) to (\d)", line)[0]
    at = {plan.numbers[i]: m.at for i, m in plan.marks.items()}
    middle = shapely.LineString([at[int(a)], at[int(b)]]).centroid
    assert [middle.x, middle.y] == pytest.approx([10, 8], abs=0.01)


@pytest.mark.parametrize("count", [5, 8, 12])
def test_a_circle_is_found_from_points_on_it(count: int) -> None:
    found = circle_of(circle_points((3.0, -2.0), 1.75, count, 11.0))
    assert found is not None
    (x, y), radius = found
    assert [x, y, radius] == pytest.approx([3.0, -2.0, 1.75])


def test_what_is_no_circle_is_none() -> None:
    assert circle_of([(0, 0), (1, 0), (2, 0), (3, 0), (4, 0)]) is None
    assert circle_of([(0, 0), (4, 0), (4, 3), (0, 3), (2, 5)]) is None
    assert circle_of([(0, 0), (1, 0), (0, 1)]) is None


def oval(long: float, short: float, turn_deg: float, count: int = 36) -> list[tuple[float, float]]:
    t, out = math.radians(turn_deg), []
    for k in range(count):
        a = 2 * math.pi * k / count
        x, y = long * math.cos(a), short * math.sin(a)
        out.append((7 + x * math.sin(t) + y * math.cos(t), 6 + x * math.cos(t) - y * math.sin(t)))
    return out


@pytest.mark.parametrize(("long", "short", "turn"), [(3.0, 2.0, 0.0), (4.0, 1.5, 90.0), (2.5, 1.2, 37.0)])
def test_an_oval_is_known_by_its_outline(long: float, short: float, turn: float) -> None:
    found = ellipse_of(oval(long, short, turn, 72))
    assert found is not None
    middle, a, b, bearing = found
    assert list(middle) == pytest.approx([7, 6], abs=0.01)
    assert [a, b] == pytest.approx([long, short], abs=0.01)
    assert min(abs(bearing - turn), 180 - abs(bearing - turn)) < 1.0


def test_a_rectangle_is_no_oval() -> None:
    ring = [(x / 4, 0.0) for x in range(17)] + [(4.0, y / 4) for y in range(1, 13)] + [(0.0, 3.0)]
    assert ellipse_of(ring) is None


def test_an_oval_bed_is_laid_by_pegs_and_loop() -> None:
    bed = {"kind": "bed", "id": "oval", "name": "Oval", "outline": [list(p) for p in oval(3.0, 1.8, 90.0)]}
    of = set_for(plot(bed, jobs=[job("oval")]))
    plan = planned(of, of.garden.jobs[0])
    at = {plan.marks[i].words.split()[0] + str(n): plan.marks[i].at for i, n in plan.numbers.items()}
    nails, ends = ([p for w, p in at.items() if w.startswith(kind)] for kind in ("nail", "o"))
    # c = sqrt(3^2 - 1.8^2) = 2.4; loop = 2 a + 2 c = 10.8 (the gardener's ellipse)
    assert math.dist(*nails) == pytest.approx(4.8, abs=0.06)
    assert math.dist(*ends) == pytest.approx(6.0, abs=0.06)
    line, other = [s for s in lines(bed) if s.startswith(("Oval", "Or, where"))]
    first, second, loop = re.findall(r"nails at (\d) and (\d); .*loop of ([\d.]+) m", line)[0]
    assert {plan.marks[i].at for i, n in plan.numbers.items() if str(n) in (first, second)} == set(nails)
    assert float(loop) == pytest.approx(10.8, abs=0.06)
    square = {float(x): float(y) for y, x in re.findall(r"([\d.]+) m at ([\d.]+) m", other)}
    for x, y in square.items():  # x from the end of the long axis: (x - a)^2 / a^2 + y^2 / b^2 = 1
        assert y == pytest.approx(1.8 * math.sqrt(1 - (x - 3.0) ** 2 / 9.0), abs=0.03)
    assert ellipse_offset_m(3.0, 1.8, 0.0) == pytest.approx(1.8)


def test_a_way_is_set_out_by_its_middle_line_and_its_edges() -> None:
    bent = [[3, 4], [6, 5], [8, 8]]
    path = {"kind": "path", "id": "bend", "name": "Bent path", "line": bent, "width": 1.4}
    of = set_for(plot(path, jobs=[job("bend")]))
    plan = planned(of, of.garden.jobs[0])
    assert sorted(m.at for m in plan.marks.values()) == [tuple(map(float, p)) for p in bent]
    (edge,) = [s for s in lines(path) if s.startswith("Its edges")]
    assert "0.700 m either side" in edge
    order = re.findall(r"through (\d), (\d), (\d),", edge)[0]
    at = {str(plan.numbers[i]): m.at for i, m in plan.marks.items()}
    assert [list(at[n]) for n in order] == bent, "the string goes along the way, however its points are numbered"


def test_points_that_would_hide_each_other_get_a_drawing_of_their_own() -> None:
    far = [[0, 0], [60, 0], [60, 90], [0, 90]]
    bed = {"kind": "bed", "id": "small", "name": "Small bed", "outline": [[20, 20], [21, 20], [21, 21], [20, 21]]}
    (page,) = pages(set_for(plot(bed, jobs=[job("small")], boundary=far)), "setting-out")
    rows = [b for b in page.blocks if b["t"] == "row"]
    assert len(rows) == 1
    assert "where to tape from" in str(rows[0]["cells"][1])


def test_offsets_of_an_arc_are_those_of_the_circle() -> None:
    """Against sqrt(R^2 - x^2) - (R - h), the offset of an arc from its chord."""
    radius, half = 6.0, 40.0
    arc = [
        (radius * math.sin(math.radians(a)), radius * math.cos(math.radians(a)))
        for a in [-half + 2 * half * k / 80 for k in range(81)]
    ]
    chord = math.dist(arc[0], arc[-1])
    found = offsets_between(arc)
    assert len(found) >= 3
    for along, right in found:
        expected = chord_offset_m(radius, chord, along - chord / 2)
        assert -right == pytest.approx(expected, abs=0.005), "north of a line running east is on its left"


def test_a_straight_line_has_no_offsets() -> None:
    assert offsets_between([(0, 0), (2, 0.01), (4, 0)]) == []
    assert offsets_between([(0, 0), (0.1, 0.1)]) == []


def test_a_winding_edge_is_told_from_point_to_point() -> None:
    ring = [[0.5 + 0.5 * k, 3 + math.sin(k / 2.5)] for k in range(30)] + [[15, 1], [0.5, 1]]
    told = [s for s in lines({"kind": "bed", "id": "long", "name": "Long", "outline": ring}) if s.startswith("Curve")]
    assert told
    assert all(re.match(r"Curve \d+ to \d+: string between them, square off it ", s) for s in told)


def test_posts_along_a_fence_are_run_off_one_string() -> None:
    told = lines({"kind": "fence", "id": "f", "name": "Fence", "line": [[2, 2], [11, 2]], "height": 1.2})
    (line,) = [s for s in told if "string from" in s]
    stands = [float(v) for v in re.findall(r"([\d.]+) m", line)]
    steps = [b - a for a, b in zip([0.0, *stands], [*stands, 9.0], strict=True)]
    assert max(steps) - min(steps) < 0.011, "equal bays"


def test_a_square_corner_is_a_whole_right_triangle_that_fits() -> None:
    patio = {"kind": "paving", "id": "patio", "name": "Patio", "outline": [[4, 4], [10, 4], [10, 9], [4, 9]]}
    (line,) = [s for s in lines(patio) if s.startswith("Square")]
    a, b, c = (float(v) for v in re.findall(r"([\d.]+) m", line))
    assert a * a + b * b == pytest.approx(c * c, abs=1e-6)
    assert {a, b} <= {3.0, 4.0, 4.5, 6.0, 5.0}
    assert max(a, b) <= 6.0


def test_the_depth_is_the_layers_added_up() -> None:
    patio = {"kind": "paving", "id": "patio", "name": "Patio", "outline": [[4, 4], [10, 4], [10, 9], [4, 9]]}
    (line,) = [s for s in lines(patio) if s.startswith("In all")]
    total, *parts = (float(v) for v in re.findall(r"([\d.]+) m", line))
    assert total == pytest.approx(sum(parts), abs=0.002)


def test_a_floor_of_its_own_height_is_told_against_the_ground_at_each_point() -> None:
    of = demo("ropewalk")
    plan = planned(of, next(j for j in of.garden.jobs if "barrow-ramp" in j.does or j.id == "ramp-job"))
    told = {plan.marks[i].owner: w.replace("\N{NO-BREAK SPACE}", " ") for i, w in heights(of, plan).items()}
    base = next(
        float(m) for s in shaping(of, plan) for m in re.findall(r"ramp: in all ([\d.]+).m deep", s, re.IGNORECASE)
    )
    for words in told.values():
        top, dig = (float(v) for v in re.findall(r"([\d.]+) m", words))
        assert "below the ground here: dig" in words
        assert dig == pytest.approx(top + base, abs=0.0015)
    assert told


def test_the_sheet_and_one_feature_alone_say_it_plainly() -> None:
    of = set_for(plot(octagon(), jobs=[job("round")]))
    text = said(pages(of, "setting-out"))
    assert "Between the points" in text
    assert "All 8 posts stand on one circle" in text
    two = lines(octagon(), {"kind": "fence", "id": "f", "name": "Fence", "line": [[2, 2], [11, 2]], "height": 1.2})
    assert any(s.startswith("Round shelter: all 8 posts") for s in two)
    assert any(s.startswith("Fence: posts between") for s in two)
