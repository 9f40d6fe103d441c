"""The corners beside a drive stay clear: published limits, and where a triangle lies."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings, strategies as st
from shapely import LineString, Polygon, box
from shapely.affinity import rotate

from quincunx.demos import demo_garden
from quincunx.garden.through_time import timeline as timeline_of
from quincunx.intents import Words
from quincunx.intents.drive_looks_out import DriveLooksOut
from quincunx.scene import Moment, Stood
from quincunx.shapes import AreaFigure, Crown, Height, Prism, Solid, State, Surface
from quincunx.sight.corners import HIGH_M, LEG_M, LOW_M, clear_corners
from tests.walk.grounds import Thing, still, timeline

FT, IN = 0.3048, 0.0254
GROUND = box(0, 0, 30, 30)
DRIVE = box(12, 0, 15, 20)
with (Path(__file__).parents[1] / "published" / "sight_triangles" / "corners.csv").open(encoding="utf-8") as lines:
    TOWNS = list(csv.DictReader(line for line in lines if not line.startswith("#")))


def limits(row):
    return {
        "along": float(row["along_ft"]) * FT, "inward": float(row["inward_ft"]) * FT,
        "low": float(row["low_in"]) * IN, "high": float(row["high_ft"]) * FT,
    }  # fmt: skip


def judged(*solids: Solid, years=1, grow=None, **fields):
    drive = Thing("drive", still(Stood(surfaces=(Surface("drive", "", DRIVE, "gravel"),))))
    things = [drive, Thing("w", grow, "2027-03") if grow else Thing("w", still(Stood(solids)))]
    line = timeline(GROUND, things, years=years)
    must = DriveLooksOut.model_validate({"id": "m", "kind": "drive-looks-out", "drive": "drive", **fields})
    found = [must.judge(line, year, Words.of(line)) for year in line.years]
    return found if years > 1 else found[0]


def at_corner(low_m, high_m, form=None):
    """Something 0.6 m wide that stands within a metre of where the drive's east edge meets the street."""
    shape = box(15.3, 0.2, 15.9, 0.8)
    return Solid("w", "", shape, Height(low_m), Height(high_m), form or Prism(), grown=True)


@pytest.mark.parametrize("row", TOWNS, ids=lambda r: r["row"])
def test_published_limits_decide_to_a_hair(row):
    ask = limits(row)
    low, high = ask["low"], ask["high"]
    assert judged(at_corner(0, low), **ask).state is State.HOLDS
    assert judged(at_corner(0, low + 0.01), **ask).state is State.FAILS
    assert judged(at_corner(high, high + 4, Crown()), **ask).state is State.HOLDS
    assert judged(at_corner(high - 0.01, high + 4, Crown()), **ask).state is State.FAILS


@pytest.mark.parametrize("row", TOWNS, ids=lambda r: r["row"])
def test_published_legs_bound_the_triangle(row):
    ask = limits(row)
    found = clear_corners(box(0, -10, 60, 60), box(28, -10, 31, 40), ask["along"], ask["inward"])
    assert len(found) == 2
    for corner in found:
        assert corner.triangle.area == pytest.approx(ask["along"] * ask["inward"] / 2)
        assert corner.at[1] == pytest.approx(-10)
        assert not corner.triangle.intersection(box(28.01, -9, 30.99, 40)).area


def test_the_usual_figures_are_t53():
    ask = limits(TOWNS[0])
    assert (ask["along"], ask["low"], ask["high"]) == pytest.approx((LEG_M, LOW_M, HIGH_M), abs=5e-4)


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 359), st.floats(12, 18), st.floats(-35, 35))
def test_a_drive_turned_any_way_has_two_corners(turn, x, slant):
    run = LineString([(x, 0), (x + 10 * slant / 45, 12)])
    drive = run.buffer(1.5, cap_style="flat")
    found = clear_corners(rotate(GROUND, turn, (0, 0)), rotate(drive, turn, (0, 0)), 3.0, 3.0)
    assert len(found) == 2
    for corner in found:
        # The end of a slanting drive is cut square: its edge may begin 1.5 m x tan 35 off the boundary.
        assert 1 < corner.triangle.area <= 3.0 * (3.0 + 1.1) / 2
        assert rotate(GROUND, turn, (0, 0)).buffer(1e-6).covers(corner.triangle)


def test_a_drive_at_the_first_corner_of_the_boundary_is_one_front():
    ring = Polygon([(13.5, 0), (30, 0), (30, 30), (0, 30), (0, 0)])
    assert [c.triangle.area for c in clear_corners(ring, DRIVE)] == pytest.approx([LEG_M**2 / 2] * 2)


def test_a_drive_inside_meets_no_street():
    assert not clear_corners(GROUND, box(12, 5, 15, 20))
    said = judged(drive="w")
    assert said.state in (State.UNKNOWN, State.NOT_DUE)


def test_trunks_and_posts_do_not_count_nor_what_is_elsewhere():
    post = Solid("w", "", box(15.3, 0.3, 15.5, 0.5), top=Height(3))
    away = Solid("w", "", box(18.2, 0.2, 20, 2), top=Height(3))
    assert judged(post).state is State.HOLDS
    assert judged(away).state is State.HOLDS
    assert judged(away, along=9.0).state is State.FAILS


def test_a_hedge_grows_into_the_way_and_is_named_with_its_height():
    def grow(moment: Moment) -> Stood:
        return Stood((Solid("w", "", box(15.5, 0.2, 16.1, 8), top=Height(0.3 + 0.3 * moment.age_years), grown=True),))

    said = judged(grow=grow, years=4)
    assert [v.state for v in said] == [State.HOLDS, State.HOLDS, State.FAILS, State.FAILS]
    assert "high in a corner of the drive" in said[-1].because
    assert "ask yours" in said[-1].because
    assert sum(isinstance(f, AreaFigure) for f in said[-1].evidence) == 3


def test_kettle_hill_sees_out():
    garden = demo_garden("kettle-hill")
    line = timeline_of(garden)
    must = next(m for m in garden.intents if isinstance(m, DriveLooksOut))
    assert must.judge(line, line.years[-1], Words.of(line)).state is State.HOLDS
