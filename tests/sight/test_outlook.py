"""The line drawing of what is seen ahead: perspective, what hides what, and agreement with lines cast one by one."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings, strategies as st
from shapely import Polygon

from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.scene import Scene
from quincunx.scene.bodies import entries
from quincunx.shapes import AreaFigure, Height, PathFigure, Solid, Surface, TextFigure
from quincunx.shapes.solids import every_month
from quincunx.sight import ahead, bodies_in, eye_over
from quincunx.sight._ground import ground_hides
from quincunx.sight.outlook import Camera, bearing_to, outlook
from quincunx.site.ground import Ground

ON = date(2030, 6, 30)


def scene(*solids, surfaces=(), ground=None):
    return Scene(ON, shapely.box(-50, -50, 50, 50), ground or Ground.flat(), solids=solids, surfaces=surfaces)


def wall(owner, x0, y0, x1, y1, high, low=0.0, **more):
    return Solid(owner, "", shapely.box(x0, y0, x1, y1), Height(low), Height(high), **more)


def drawn(found, owner):
    rings = [Polygon(f.rings[0], f.rings[1:]) for f in found.figures if isinstance(f, AreaFigure) and f.owner == owner]
    return shapely.union_all(rings)


def test_a_wall_is_seen_in_true_perspective():
    # By similar triangles: what lies x aside and z over the eye, y ahead, is seen at x / y and z / y.
    found = outlook(scene(wall("w", -2, 10, 2, 10.3, 2.0)), Camera((0, 0), 1.5, 0))
    left, low, right, high = drawn(found, "w").bounds
    assert (left, right) == pytest.approx((-0.2, 0.2), abs=1e-6)
    assert (low, high) == pytest.approx((-1.5 / 10, 0.5 / 10), abs=1e-6)


@pytest.mark.parametrize("bearing", [0, 37, 90, 200, 315])
def test_turning_the_garden_and_the_camera_together_changes_nothing(bearing):
    turn = np.radians(bearing)
    ahead_of, right = np.array([np.sin(turn), np.cos(turn)]), np.array([np.cos(turn), -np.sin(turn)])
    ring = [right * a + ahead_of * b for a, b in ((-1, 8), (2, 8), (2, 9), (-1, 9))]
    found = outlook(scene(Solid("w", "", Polygon(ring), top=Height(2.5))), Camera((0, 0), 1.5, bearing))
    assert drawn(found, "w").bounds == pytest.approx((-1 / 8, -1.5 / 8, 2 / 8, 1 / 8), abs=1e-6)


def test_the_nearer_hides_the_farther_and_the_higher_shows_over_it():
    near, far = wall("near", -5, 5, 5, 5.2, 1.0), wall("far", -5, 15, 5, 15.2, 3.0)
    found = outlook(scene(far, near), Camera((0, 0), 1.5, 0))
    assert drawn(found, "far").intersection(drawn(found, "near")).area < 1e-9
    assert drawn(found, "far").bounds[1] == pytest.approx((1.0 - 1.5) / 5.2, abs=1e-3)
    assert drawn(found, "near").bounds[3] == pytest.approx((1.0 - 1.5) / 5.2, abs=1e-3)


def test_what_lets_a_view_through_is_dashed_and_hides_nothing():
    thin = wall("bare", -5, 5, 5, 5.2, 3.0, grown=True, gap_m=0.1, opacity=every_month(0.3))
    back = wall("back", -5, 15, 5, 15.2, 3.0)
    found = outlook(scene(thin, back), Camera((0, 0), 1.5, 0))
    assert drawn(found, "bare").is_empty
    assert [f.dash for f in found.figures if isinstance(f, PathFigure) and f.owner == "bare"] == [True]
    assert drawn(found, "back").area == pytest.approx((10 / 15) * (3 / 15), rel=0.02)


def test_ground_reaches_to_its_horizon_and_floors_lie_on_it():
    path = Surface("path", "", shapely.box(-1, 2, 1, 20), "gravel")
    found = outlook(scene(surfaces=(path,)), Camera((0, 0), 1.5, 0))
    assert drawn(found, "").union(drawn(found, "path")).bounds[3] == pytest.approx(-1.5 / 80, abs=1e-3)
    shape = drawn(found, "path")
    assert shape.bounds[3] == pytest.approx(-1.5 / 20, abs=1e-3)
    assert shape.contains(shapely.Point(0, -0.2))


def test_what_the_eye_is_inside_of_and_what_is_behind_is_left_out():
    house, behind = wall("house", -3, -3, 3, 1, 5), wall("behind", -3, -9, 3, -8, 5)
    found = outlook(scene(house, behind), Camera((0, 0), 1.5, 0))
    assert found.shares == ()


@settings(max_examples=20, deadline=None)
@example(0.0, -2.0, 2.2250738585072014e-308)
@given(st.floats(-8, 8), st.floats(-8, 8), st.floats(0, 359))
def test_nothing_is_drawn_outside_the_picture_and_nothing_twice(x, y, bearing):
    solids = [wall(f"w{k}", 3 * k - 9, 2 * k - 5, 3 * k - 7.5, 2 * k - 4.7, 0.5 + k / 2) for k in range(6)]
    found = outlook(scene(*solids), Camera((x, y), 1.5, bearing))
    left, low, right, high = found.bounds
    total = 0.0
    for f in found.figures:
        if isinstance(f, AreaFigure):
            a = Polygon(f.rings[0], f.rings[1:])
            assert a.bounds[0] >= left - 1e-9
            assert a.bounds[2] <= right + 1e-9
            assert a.bounds[1] >= low - 1e-9
            assert a.bounds[3] <= high + 1e-9
            total += a.area
    assert total <= (right - left) * (high - low) + 1e-6


@pytest.mark.parametrize(
    ("name", "at", "goal"),
    [
        ("ropewalk", (8.8, 14), (5, 38)),
        ("ropewalk", (8.9, 36.3), (8.8, 5)),
        ("kettle-hill", (24.384, 16.1544), (13.259, 34.442)),
    ],
)
def test_the_drawing_agrees_with_lines_cast_from_the_eye(name, at, goal):
    """The first thing that each of 6000 lines meets, through bodies' planes, against the outlines of the drawing."""
    through = timeline(demo_garden(name))
    standing = through.at(date(through.years[-1], 6, 30))
    camera = Camera(at, standing.ground_z_m(*at) + 1.5, bearing_to(at, goal))
    found = outlook(standing, camera)
    wide, high = camera.half
    u, v = (
        g.ravel()
        for g in np.meshgrid(
            np.linspace(-wide, wide, 101)[:-1] + wide / 100, np.linspace(-high, high, 61)[:-1] + high / 60
        )
    )
    ahead_of, right = camera.ways
    run = np.column_stack([ahead_of + u[:, None] * right, v]) * 60
    bodies = bodies_in(standing, shut=True)
    stops = np.array([bodies.parts.solids[n].opacity[5] >= 0.5 for n in bodies.parts.solid])
    start = np.broadcast_to([*at, camera.z_m], run.shape)
    met = np.where(stops, entries(bodies, start, start + run), np.inf)
    nearest = met.min(1)
    hits = np.flatnonzero(np.isfinite(nearest))
    ends = start[hits] + run[hits] * (nearest[hits] - 1e-6)[:, None]
    buried = hits[ground_hides(standing.ground, np.ascontiguousarray(start[hits]), ends)]
    first = np.where(np.isfinite(nearest), np.array(bodies.owners, object)[met.argmin(1)], "")
    first[buried] = ""
    for owner, share in found.shares[:8]:
        assert share == pytest.approx(float((first == owner).mean()), abs=0.012), owner
    assert sum(s for _, s in found.shares) == pytest.approx(float((first != "").mean()), abs=0.02)


def test_large_things_are_named_within_the_picture():
    found = outlook(scene(wall("w", -2, 10, 2, 10.3, 2.0)), Camera((0, 0), 1.5, 0))
    (label,) = [f for f in found.figures if isinstance(f, TextFigure)]
    assert label.owner == "w"
    assert drawn(found, "w").contains(shapely.Point(label.at))


def test_ahead_fills_the_view_and_names_the_nearest_side():
    standing = scene(wall("left", -6, 5, -1, 5.2, 3), wall("right", 1, 9, 6, 9.2, 3))
    found = ahead(standing, eye_over(standing, (0, 0), 1.5), 0)
    shares = {o: d for o, _, d in found.things}
    assert shares["left"] == pytest.approx(5, abs=0.5)
    assert shares["right"] == pytest.approx(9, abs=0.8)
    m = found.mix
    assert m.plants + m.built + m.ground + m.sky == pytest.approx(1)
    assert m.built == pytest.approx(sum(s for _, s, _ in found.things), abs=1e-6)
    away = ahead(standing, eye_over(standing, (0, 0), 1.5), 180)
    assert away.things == ()
    assert away.mix.built == 0


def test_floors_and_what_one_sees_through_belong_to_the_view():
    lawn = Surface("lawn", "", shapely.box(-4, 2, 4, 12), "grass")
    found = outlook(scene(wall("w", -2, 10, 2, 10.3, 2.0), surfaces=(lawn,)), Camera((0, 0), 1.5, 0))
    assert found.owners(0.005) == ("lawn", "w")
    assert found.owners(0.9) == ()
    assert sum(s for _, s in (*found.shares, *found.besides)) < 1
