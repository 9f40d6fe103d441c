"""What of a picture lies in shade, against lines cast one by one from the eye and on to the sun; and young plants in rows."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime

import numpy as np
import pytest
import shapely
from hypothesis import given, settings, strategies as st
from shapely import Polygon

from quincunx.demos import demo_garden
from quincunx.garden import timeline
from quincunx.light.shadow_day import shadows
from quincunx.light.sky import Sky
from quincunx.scene import Scene
from quincunx.scene.bodies import bodies_of, entries
from quincunx.scene.moment import StandingPlant
from quincunx.scene.parts import parts_of
from quincunx.shapes import AreaFigure, Crown, Height, PathFigure, Solid
from quincunx.shapes.solids import NO_LIGHT, every_month
from quincunx.sight.outlook import Camera, outlook
from quincunx.sight.shaded import Shade, Sun
from quincunx.site.ground import Ground

ON = date(2030, 6, 30)
FAR_M = 200.0


def scene(*solids, plants=()) -> Scene:
    return Scene(ON, shapely.box(-50, -50, 50, 50), Ground.flat(), solids=solids, plants=plants)


def box(owner, x0, y0, x1, y1, high, low=0.0):
    return Solid(owner, "", shapely.box(x0, y0, x1, y1), Height(low), Height(high))


def crown(owner, x, y, radius, low, high):
    disc = shapely.Point(x, y).buffer(radius, quad_segs=32)
    return Solid(owner, "", disc, Height(low), Height(high), Crown())


def towards(up_deg: float, azimuth_deg: float) -> tuple[float, float, float]:
    e, a = math.radians(up_deg), math.radians(azimuth_deg)
    return (math.sin(a) * math.cos(e), math.cos(a) * math.cos(e), math.sin(e))


def shaded(found) -> shapely.Geometry:
    return shapely.union_all([Polygon(s.rings[0], s.rings[1:]) for s in found.shades if isinstance(s, Shade)])


def ground_shadows(of: Scene, sun: tuple[float, float, float]) -> tuple[tuple[shapely.Geometry, float], ...]:
    """Return each part's shadow on level ground: the hull of its corners, let down along the light."""
    parts, out = parts_of(of.solids, of.ground, lambda _: NO_LIGHT), []
    for p in range(len(parts)):
        at = parts.corners[parts.first[p] : parts.first[p + 1]]
        if not len(at):
            x, y, z, a, _, c = parts.crown[p]
            u, t = (
                v.ravel() for v in np.meshgrid(np.linspace(-np.pi / 2, np.pi / 2, 25), np.linspace(0, 2 * np.pi, 49))
            )
            at = np.column_stack([x + a * np.cos(u) * np.cos(t), y + a * np.cos(u) * np.sin(t), z + c * np.sin(u)])
        fallen = at[:, :2] - (at[:, 2:] / sun[2]) * np.array(sun[:2])
        out.append((shapely.MultiPoint(np.vstack([fallen, at[at[:, 2] < 1e-9, :2]])).convex_hull, 1.0))
    return tuple(out)


def cast(of: Scene, camera: Camera, sun: tuple[float, float, float], points: np.ndarray) -> np.ndarray:
    """Return for points of the picture whether what is met first lies in shade (1), in the sun (0), or is sky (-1)."""
    bodies = bodies_of(parts_of(of.solids, of.ground, lambda _: NO_LIGHT))
    ahead, right = camera.ways
    run = np.column_stack([ahead + points[:, :1] * right, points[:, 1]])
    start = np.broadcast_to([*camera.at, camera.z_m], run.shape)
    every = np.arange(len(bodies))
    first = entries(bodies, start, start + run * FAR_M, every).min(axis=1) * FAR_M
    ground = np.where(run[:, 2] < -1e-9, -camera.z_m / run[:, 2], np.inf)
    reach = np.minimum(first, ground)
    met = start + run * np.where(np.isfinite(reach), reach, 1.0)[:, None]
    met = met - run / np.linalg.norm(run, axis=1)[:, None] * 2e-3 + np.array([0, 0, 1e-3])
    blocked = (entries(bodies, met, met + np.array(sun) * FAR_M, every) < 1).any(axis=1)
    return np.where(np.isfinite(reach) & (reach < 60), blocked.astype(int), -1)


THINGS = (
    box("house", -6, 12, 2, 18, 5.0), box("wall", -8, 9, 8, 9.3, 1.2), box("beam", 2.5, 6, 6.5, 6.3, 2.6, 2.3),
    box("post", 2.5, 6, 2.7, 6.3, 2.3), crown("tree", 5, 13, 2.2, 1.5, 6.0),
)  # fmt: skip


@pytest.mark.parametrize("sun", [(50.0, 200.0), (35.0, 120.0), (25.0, 262.0), (60.0, 45.0), (20.0, 330.0)])
def test_shade_agrees_with_lines_cast_to_the_sun(sun: tuple[float, float]) -> None:
    of, camera, way = scene(*THINGS), Camera((0, 0), 1.6, 8.0), towards(*sun)
    found = shaded(outlook(of, camera, Sun(way, ground_shadows(of, way))))
    wide, high = camera.half
    points = np.random.default_rng(7).uniform((-wide, -high), (wide, high), (4000, 2))
    truth = cast(of, camera, way, points)
    # An outline drawn through the corners of a round thing is up to a hundredth of the picture off.
    sure = (truth >= 0) & (shapely.distance(shapely.points(points), found.boundary) > 0.006)
    ours = shapely.contains_xy(found, points[:, 0], points[:, 1])
    assert sure.sum() > 2000
    assert np.mean(ours[sure] == (truth[sure] == 1)) > 0.985
    sky = truth < 0
    assert not shapely.contains_xy(found.buffer(-0.006), points[sky, 0], points[sky, 1]).any()


@settings(max_examples=12)
@given(st.floats(15, 75), st.floats(0, 359), st.floats(0, 359))
def test_turning_garden_sun_and_camera_together_changes_nothing(up: float, azimuth: float, turn: float) -> None:
    def area(by: float) -> float:
        t = math.radians(by)
        spin = [math.cos(t), math.sin(t), -math.sin(t), math.cos(t), 0, 0]
        made = [
            Solid(s.owner, "", shapely.affinity.affine_transform(s.footprint, spin), s.base, s.top, s.form)
            for s in (THINGS[0], THINGS[4])
        ]
        of, way = scene(*made), towards(up, azimuth + by)
        return float(shaded(outlook(of, Camera((0, 0), 1.6, by), Sun(way, ground_shadows(of, way)))).area)

    assert area(turn) == pytest.approx(area(0.0), rel=0.02, abs=2e-4)


def test_a_beam_s_shadow_on_a_wall_lies_where_a_pencil_puts_it() -> None:
    """The sun 45 degrees up behind who looks north: a beam 1 m before a wall is let down 1 m, its back edge 1.1 m."""
    way = towards(45.0, 180.0)
    of = scene(box("back", -5, 10, 5, 10.2, 3.0), box("beam", -5, 8.9, 5, 9.0, 2.2, 2.0))
    found = shaded(outlook(of, Camera((0, 0), 1.0, 0.0), Sun(way, ())))
    band = found.intersection(shapely.box(-0.3, -0.05, 0.3, 0.05))
    assert band.bounds[1::2] == pytest.approx(((2.0 - 1.1 - 1.0) / 10, (2.2 - 1.0 - 1.0) / 10), abs=1e-5)


def test_what_lets_half_the_sun_through_casts_half_a_shadow_and_without_a_sun_there_is_none() -> None:
    way = towards(45.0, 180.0)
    thin = Solid(
        "net",
        "",
        shapely.box(-5, 8.9, 5, 9.0),
        top=Height(1.5),
        opacity=every_month(0.2),
        transmittance=every_month(0.6),
    )
    of = scene(box("back", -5, 10, 5, 10.2, 3.0), thin)
    found = outlook(of, Camera((0, 0), 2.0, 0.0), Sun(way, ()))
    assert {s.whole for s in found.shades} == {False}
    assert outlook(of, Camera((0, 0), 2.0, 0.0)).shades == ()


def test_a_demonstration_garden_s_shadows_agree_with_those_of_the_light() -> None:
    line = timeline(demo_garden("ropewalk"))
    of, sky = line.at(date(2032, 6, 30)), Sky.over(line.frame)
    when = datetime(2032, 6, 30, 16, tzinfo=UTC)
    way = sky.direction(when)[0]
    cast_on = tuple((s.shape, s.share) for s in shadows(of, when, sky))
    seat = next(s.at for s in of.spots)
    found = outlook(of, Camera(seat, of.ground_z_m(*seat) + 1.6, 180.0), Sun((way[0], way[1], way[2]), cast_on))
    frame = shapely.box(*found.bounds)
    assert 0.02 < shaded(found).area / frame.area < 0.9
    assert frame.buffer(1e-6).contains(shaded(found))


def row(high: float, *, opacity: float) -> Scene:
    at = tuple((x * 0.5, 6.0) for x in range(-4, 5))
    hedge = Solid(
        "hedge",
        "",
        shapely.box(-2.1, 5.9, 2.1, 6.1),
        top=Height(high),
        grown=True,
        gap_m=0.4,
        opacity=every_month(opacity),
    )
    plant = StandingPlant(
        "hedge", "carpinus-betulus", at, 0.5, (high, high, high), (0.1, 0.1, 0.1), len(at), spacing_m=0.5
    )
    return scene(hedge, box("wall", 0.2, 3.0, 3.0, 3.1, 2.5), plants=(plant,))


def test_young_plants_of_a_row_stand_one_by_one_to_scale_and_not_behind_a_wall() -> None:
    found = outlook(row(0.6, opacity=0.2), Camera((0, 0), 1.6, 0.0))
    stems = [f for f in found.stems if isinstance(f, PathFigure) and f.owner == "hedge"]
    assert not [f for f in found.figures if f.owner == "hedge"], "no dashes beside"
    assert len(stems) == 5, "four of nine stand behind the wall"
    for (foot, tip), x in zip(
        (s.points for s in stems), sorted((s.points[0][0] for s in stems), reverse=False), strict=True
    ):
        assert foot[1] == pytest.approx(-1.6 / 6, abs=1e-6)
        assert tip[1] == pytest.approx((0.6 - 1.6) / 6, abs=1e-6)
        assert foot[0] == tip[0]
        assert x * 6 == pytest.approx(round(x * 12) / 2, abs=1e-6)
    leaves = [f for f in found.stems if isinstance(f, AreaFigure)]
    assert len(leaves) == 5 * len(stems)
    assert dict(found.besides)["hedge"] > 0, "the row still counts as seen"


def test_a_closed_or_tall_row_is_no_row_of_stems() -> None:
    closed = outlook(row(0.6, opacity=0.8), Camera((0, 0), 1.6, 0.0))
    assert closed.stems == ()
    tall = outlook(row(2.0, opacity=0.2), Camera((0, 0), 1.6, 0.0))
    assert [f.dash for f in tall.figures if isinstance(f, PathFigure) and f.owner == "hedge"] == [True]


def test_a_stem_behind_a_low_wall_shows_over_it_only() -> None:
    of = row(1.0, opacity=0.2)
    low = box("kerb", -3, 4.0, 3, 4.1, 0.6)  # over its far edge at 4.1 m the eye, 1.6 m up, meets 6 m at 1.6 - 6 / 4.1
    of = scene(of.solids[0], low, plants=of.plants)
    found = outlook(of, Camera((0, 0), 1.6, 0.0))
    feet = [f.points[0][1] for f in found.stems if isinstance(f, PathFigure)]
    assert len(feet) == 9
    edge = (0.6 - 1.6) / 4.1
    assert all(y > -1.6 / 6 for y in feet)
    assert all(abs(y - max(edge, -1.6 / 6)) < (1.0 / 6) / 6 + 1e-6 for y in feet)


def test_water_is_drawn_as_water_whatever_edge_it_has() -> None:
    line = timeline(demo_garden("ropewalk"))
    of = line.at(date(2032, 6, 30))
    drawn = {f.role for f in of.figures if isinstance(f, AreaFigure) and f.owner == "lily-pond"}
    assert "way" in drawn, "its edge is a floor"
    area = of.area_of("lily-pond")
    assert area is not None
    x, y = area.centroid.x, area.centroid.y
    camera = Camera((x, y + 6), of.ground_z_m(x, y + 6) + 1.6, 180.0)
    assert "water" in {
        f.role for f in outlook(of, camera).figures if isinstance(f, AreaFigure) and f.owner == "lily-pond"
    }
