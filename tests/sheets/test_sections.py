"""Sections through walls, beds, steps and floors: what stands and lies there, true to its sizes."""

import pytest
from hypothesis import given, strategies as st
from shapely import LineString, box

from quincunx.build._data import table
from quincunx.build.made_so import joins, steps
from quincunx.features import kinds
from quincunx.shapes import AreaFigure, AreaWork, DimensionFigure, FlightWork, FrameWork, Layer, LineWork, Work
from quincunx.sheets._section import section
from tests.features.standing import make, moment


def areas(works):
    found = section(works)
    assert found is not None
    return [f for f in found.figures if isinstance(f, AreaFigure)]


def size(figure):
    xs, ys = [p[0] for p in figure.rings[0]], [p[1] for p in figure.rings[0]]
    return max(xs) - min(xs), min(ys), max(ys)


@given(st.floats(1.0, 3.5), st.floats(0.03, 0.1), st.floats(0.02, 0.04), st.floats(0.08, 0.3))
def test_layers_lie_under_each_other_from_the_ground_down(wide, top, bed, base):
    floor = AreaWork(
        "p", box(0, 0, wide, 6), (Layer("brick", top), Layer("bedding sand", bed), Layer("crushed stone", base))
    )
    sizes = [size(a) for a in areas([floor])]
    assert [s[0] for s in sizes] == pytest.approx([wide] * 3)
    assert [s[2] for s in sizes] == pytest.approx([0.0, -top, -top - bed])
    assert sizes[-1][1] == pytest.approx(-top - bed - base)


def test_a_brick_wall_stands_on_its_foundation_and_a_low_edging_on_none():
    line = LineString([(0, 0), (5, 0)])
    wall, strip = (size(a) for a in areas([LineWork("w", line, 1.5, 0.215, "brick")]))
    assert wall == pytest.approx((0.215, -0.30, 1.5))
    assert strip == pytest.approx((0.515, -0.45, -0.30))  # 15 cm thick, 15 cm wider either side, 45 cm down
    assert len(areas([LineWork("e", line, 0.1, 0.1, "edging brick")])) == 1


def test_a_bed_holds_its_soil_between_its_sides():
    ring = LineString([(0, 0), (2.4, 0), (2.4, 1.2), (0, 1.2)])
    soil = AreaWork("b", box(0.05, 0.05, 2.35, 1.15), (Layer("compost", 0.1), Layer("topsoil", 0.25)))
    found = [size(a) for a in areas([LineWork("b", ring, 0.4, 0.05, "raised bed timber", closed=True), soil])]
    assert [f[1:] for f in found[:2]] == [pytest.approx((0.25, 0.35)), pytest.approx((0.0, 0.25))]
    assert len(found) == 4  # two layers, two sides


def test_a_flight_is_drawn_by_its_steps():
    works = [FlightWork("s", 4, 0.15, 0.33, 1.2)]
    found = section(works)
    assert found is not None
    told = {round(f.value_m, 3) for f in found.figures if isinstance(f, DimensionFigure)}
    assert {0.15, 0.33, 1.32} <= told


def test_only_one_side_of_a_wide_ring_is_shown():
    ring = LineString([(0, 0), (20, 0), (20, 15), (0, 15)])
    assert len(areas([LineWork("f", ring, 2.4, 0.02, "mesh", closed=True)])) == 1


def test_what_cannot_be_cut_has_no_section():
    assert section([FrameWork("f", ())]) is None


@pytest.mark.parametrize("kind", sorted(kinds()))
def test_every_kind_that_is_a_run_or_a_floor_can_be_cut(kind):
    works: tuple[Work, ...] = make(kind).stand(moment()).work
    if any(
        isinstance(w, LineWork) or (isinstance(w, AreaWork) and w.dug and sum(x.thickness_m for x in w.layers) > 0)
        for w in works
    ):
        found = section(works)
        assert found is not None
        west, south, east, north = found.bounds
        assert west < east
        assert south < north


def test_every_row_of_how_it_is_made_has_its_order():
    assert "no source" in table("made_so")["about"]
    for part in ("runs", "floors"):
        for row in table("made_so")[part].values():
            assert row["order"]


@pytest.mark.parametrize(
    ("material", "word"),
    [
        ("retaining dry stone", "slope"),
        ("raised bed brick", "foundation"),
        ("edging setts", "concrete"),
        ("drain french", "outlet"),
    ],
)
def test_rows_are_found_by_first_or_last_words(material, word):
    work = LineWork("w", LineString([(0, 0), (3, 0)]), 0.6, 0.3, material)
    assert any(word in s for s in (*steps([work]), *joins([work])))


def test_risers_of_boards_are_no_fence():
    works = make("steps", id="s", floor="boards", fall=0.6, line=[[0, 0], [0, 1.44]]).stand(moment()).work
    assert {w.material for w in works if isinstance(w, LineWork)} == {"edging board"}
