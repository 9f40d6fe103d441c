"""Sun hours: kernels against rays in space, against geometry in closed form, and the pitfalls met on the way."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from shapely import LineString, Point, box
from shapely.affinity import rotate

from quincunx.light import Sky, Suns, hours, shade_at, sun_hours, suns
from quincunx.light._field import field_of
from quincunx.light.hours import NOTHING_KEPT, Cast
from quincunx.scene.parts import kept_parts, parts_of
from quincunx.shapes import Crown, Height, Slats, Solid, every_month
from quincunx.site.climate import Horizon
from quincunx.site.ground import Ground
from tests.light.gardens import LEVEL, SLOPE, bumpy, crown, one_of_each, scene, wall

SOME = (1, 4, 6)


def plainly(here, months, cell_m=0.5, step_min=30.0, height_m=0.0):
    cast = Cast(field_of(here, cell_m), parts_of(here.solids, here.ground), height_m)
    out = np.zeros((len(months), *cast.field.z_m.shape), np.float32)
    for k, month in enumerate(months):
        some = suns(Sky.of(here), (month,), "mid", step_min)
        cast._add_plainly(some, np.zeros(len(some.hours), np.int64), out[k : k + 1], NOTHING_KEPT)
    return out


def one_sun(elevation_deg, azimuth_deg, month=6):
    e, a = np.radians([elevation_deg, azimuth_deg])
    towards = np.array([[np.sin(a) * np.cos(e), np.cos(a) * np.cos(e), np.sin(e)]])
    return Suns(towards, np.array([month]), np.ones(1), np.zeros(1, "datetime64[us]"))


def lit(here, elevation_deg, azimuth_deg=180.0, cell_m=0.25, height_m=0.0):
    """The share of one sun in each cell."""
    cast = Cast(field_of(here, cell_m), parts_of(here.solids, here.ground), height_m)
    out = np.zeros((1, *cast.field.z_m.shape), np.float32)
    cast.add(one_sun(elevation_deg, azimuth_deg), np.zeros(1, np.int64), out)
    return out[0]


# Against rays in space, which share no geometry with the kernels.


@pytest.mark.parametrize("height_m", [0.0, 0.7])
@pytest.mark.parametrize("ground", [LEVEL, SLOPE], ids=["level", "slope"])
def test_equals_rays_in_space_on_a_plane(ground, height_m):
    here = scene(*one_of_each(), ground=ground)
    ours = sun_hours(here, SOME, cell_m=0.5, step_min=30, height_m=height_m).hours
    assert np.abs(ours - plainly(here, SOME, height_m=height_m)).max() < 1e-4


def test_equals_rays_in_space_on_bumps():
    # Things are exact; ground behind ground goes by the sweep, which may be one sun (here 0.5 h) out at its edge.
    here = scene(*one_of_each(), ground=bumpy())
    off = np.abs(sun_hours(here, SOME, cell_m=0.5, step_min=30).hours - plainly(here, SOME))
    assert off.mean() < 0.01
    assert off.max() <= 0.5 + 1e-4
    raised = np.abs(
        sun_hours(here, (1,), cell_m=0.5, step_min=30, height_m=0.7).hours - plainly(here, (1,), height_m=0.7)
    )
    assert raised.max() < 1e-4


def test_things_in_the_air_over_bumps_equal_rays_in_space():
    # Their far and near sides lie nearly along the rows and are tried cell by cell; the sides beside them must go on
    # counting in those rows (a small roof once shaded a whole row of cells as far as the fence).
    rng = np.random.default_rng(3)
    air = []
    for n in range(10):
        x, y, turn = rng.uniform(2, 17), rng.uniform(2, 15), rng.uniform(-4, 4) if n % 2 else 0.0
        shape = rotate(box(x, y, x + rng.uniform(0.3, 3), y + rng.uniform(0.3, 1.5)), turn)
        base = rng.uniform(2, 4)
        air.append(Solid(f"a{n}", "", shape, Height(base), Height(base + 0.1), transmittance=every_month(0.1 * n)))
    here = scene(*air, wall(3.3, 18.013, 16.3, 18.2, 3.0), ground=bumpy())
    mine = sun_hours(here, (3, 12), cell_m=0.25, step_min=60.0, height_m=0.7).hours
    off = np.abs(mine - plainly(here, (3, 12), 0.25, 60.0, 0.7))
    assert (off > 1e-4).mean() < 0.001
    assert off.mean() < 0.001


@pytest.mark.slow
def test_equals_rays_in_space_through_the_year():
    for ground in (LEVEL, SLOPE, bumpy(), bumpy(0.8)):
        here = scene(*one_of_each(), ground=ground)
        off = np.abs(sun_hours(here, cell_m=0.25, step_min=20).hours - plainly(here, range(1, 13), 0.25, 20))
        assert off.mean() < 0.01


# Against geometry.  L22: a thing of height H throws H / tan(altitude), away from the sun (D).


@pytest.mark.parametrize("elevation_deg", [15.0, 30.0, 60.0])
def test_a_wall_throws_its_height_over_the_tangent(elevation_deg):
    shaded = lit(scene(wall(5.003, 4.003, 15.003, 4.203)), elevation_deg, cell_m=0.05) == 0
    long_m = shaded[:, 200].sum() * 0.05
    assert long_m == pytest.approx(0.2 + 2 / np.tan(np.radians(elevation_deg)), abs=0.05)
    if elevation_deg == 30:
        assert long_m - 0.2 == pytest.approx(3.464, abs=0.05)  # L22: H 2 m, 30 degrees


def test_a_shadow_lies_away_from_the_sun():
    shaded = lit(scene(wall(9.9, 9.9, 10.1, 10.1)), 30, 225, cell_m=0.1) == 0
    rows, columns = np.nonzero(shaded)
    # Far corner of the shadow: 3.464 m north-east of the post's.
    assert (columns.max() + 0.5) * 0.1 == pytest.approx(10.1 + 3.464 * np.sin(np.radians(45)), abs=0.15)
    assert rows.min() == columns.min() == 99


@pytest.mark.parametrize("elevation_deg", [20.0, 50.0])
def test_a_disc_keeps_its_area_and_moves_by_its_height(elevation_deg):
    disc = Solid("d", "", Point(10.003, 8.004).buffer(2, quad_segs=32), Height(2.5), Height(2.5001))
    shaded = lit(scene(disc), elevation_deg, 200, cell_m=0.05) == 0
    rows, columns = np.nonzero(shaded)
    assert shaded.sum() * 0.05**2 == pytest.approx(np.pi * 4, rel=0.01)
    run = 2.5 / np.tan(np.radians(elevation_deg))
    assert (columns.mean() + 0.5) * 0.05 == pytest.approx(10.003 - run * np.sin(np.radians(200)), abs=0.01)
    assert (rows.mean() + 0.5) * 0.05 == pytest.approx(8.004 - run * np.cos(np.radians(200)), abs=0.01)


@pytest.mark.parametrize("elevation_deg", [15.0, 30.0, 60.0])
def test_a_sphere_throws_its_disc_over_the_sine(elevation_deg):
    shaded = lit(scene(crown(10.01, 2.02, 1.5, 1.5, 4.5)), elevation_deg, 180, cell_m=0.05) == 0
    assert shaded.sum() * 0.05**2 == pytest.approx(np.pi * 1.5**2 / np.sin(np.radians(elevation_deg)), rel=0.005)


def test_half_a_sphere_throws_half_its_disc_and_half_a_circle():
    # Upper half on level ground: half the ellipse of the whole sphere, and half the circle it stands on.
    shaded = lit(scene(crown(10.01, 7.02, 2, 0, 2, Crown("dome"))), 30, 180, cell_m=0.05) == 0
    assert shaded.sum() * 0.05**2 == pytest.approx(0.5 * np.pi * 4 * (1 / np.sin(np.radians(30)) + 1), rel=0.005)


def test_a_cone_throws_a_triangle_past_its_foot():
    # Radius 1, height 4, sun at 45: the point falls 4 m behind the middle; the sides touch the foot.
    shaded = lit(scene(crown(10.0, 7.0, 1, 0, 4, Crown("cone"))), 45, 180, cell_m=0.05) == 0
    touch = np.sqrt(4**2 - 1)
    area = touch + (np.pi - np.arccos(1 / 4)) * 1  # two right triangles and the rest of the circle
    assert shaded.sum() * 0.05**2 == pytest.approx(area, rel=0.01)


@pytest.mark.parametrize("grade", [0.05, 0.15, -0.1])
def test_on_a_slope_a_post_throws_less_uphill_and_more_down(grade):
    ground = Ground.from_levels([(0, 0, 0), (20, 0, 0), (0, 20, 20 * grade), (20, 20, 20 * grade)])
    shaded = lit(scene(wall(9.9, 3.0, 10.1, 3.01), ground=ground), 25, 180, cell_m=0.02) == 0
    expected = 2 / (np.tan(np.radians(25)) + grade) + 0.01
    assert shaded[:, 500].sum() * 0.02 == pytest.approx(expected, abs=0.025)


def test_a_solid_roof_shades_beside_itself_and_not_below():
    roof = Solid("r", "", box(8, 8, 12, 10), Height(3.0), Height(3.1))
    share = lit(scene(roof), 30, 180, cell_m=0.1)
    assert share[85, 100] == 1  # under it, towards the sun
    assert share[int((9 + 3 / np.tan(np.radians(30))) / 0.1), 100] == 0


# The pitfalls.


def test_sun_behind_the_slope_gives_nothing():
    steep = Ground.from_levels([(0, 0, 0), (20, 0, 0), (0, 20, -10), (20, 20, -10)])  # falls north, 1 in 2
    here = scene(ground=steep)
    assert lit(here, 25, 180).max() == 0
    assert lit(here, 28, 180).min() == 1
    assert sun_hours(here, 12, cell_m=1).hours.max() == 0


def test_ground_hides_ground():
    # A bank 2 m high along y = 5: behind it shade reaches 2 / tan(20), while the rest is in sun.
    levels = [(x, y, z) for x in (-5, 25) for y, z in ((-5, 0), (4, 0), (4.8, 2), (5.2, 2), (6, 0), (30, 0))]
    share = lit(scene(ground=Ground.from_levels(levels)), 20, 180, cell_m=0.1)
    dark = share[:, 100] == 0
    assert dark.sum() * 0.1 == pytest.approx(2 / np.tan(np.radians(20)), abs=0.25)
    assert not dark[:48].any()
    assert np.abs(share[:, 20:180] - share[:, 100:101]).max() == 0
    assert lit(scene(ground=Ground.from_levels(levels)), 75, 180, cell_m=0.1).min() == 1


def test_walls_on_bumps_keep_their_feet_on_the_ground():
    # No strip of sun between a wall and its shadow, however the ground lies under it.
    ground = bumpy(0.8)
    share = lit(scene(wall(2, 9.9, 18, 10.1), ground=ground), 35, 180, cell_m=0.1)
    assert share[100:108, 25:175].max() == 0


def test_cells_on_an_edge_belong_to_one_side_only():
    # Two porous things side by side, edges through the middles of cells: each cell is dimmed once.
    left = wall(5, 5, 8.125, 5.5, light=0.5, owner="a")
    right = wall(8.125, 5, 12, 5.5, light=0.5, owner="b")
    share = lit(scene(left, right), 40, 180, cell_m=0.25)
    assert set(np.unique(share).tolist()) == {0.5, 1.0}


def test_overlapping_pieces_of_one_hedge_count_once():
    bent = Solid("h", "", box(4, 4, 5, 12).union(box(4, 11, 12, 12)), top=Height(1.5), transmittance=every_month(0.4))
    assert len(parts_of([bent], LEVEL)) > 1
    assert set(np.round(np.unique(lit(scene(bent), 20, 215)), 6).tolist()) == {np.float32(0.4).round(6).item(), 1.0}
    twice = [wall(4, 4, 9, 5, light=0.4, owner="x") for _ in range(2)]
    assert lit(scene(*twice), 30, 180).min() == pytest.approx(0.4)
    different = [wall(4, 4, 9, 5, light=0.4, owner=name) for name in "xy"]
    assert lit(scene(*different), 30, 180).min() == pytest.approx(0.16)


def test_many_corners_overrun_nothing():
    star = Point(10, 10).buffer(3, quad_segs=200)
    fine = Solid("s", "", star, top=Height(2.0))
    assert (lit(scene(fine), 30, 180, cell_m=0.1) == 0).sum() * 0.01 == pytest.approx(
        np.pi * 9 + 2 / np.tan(np.radians(30)) * 6, rel=0.01
    )


# What the sky lets in.


def test_crowns_let_through_by_month():
    # Gardner and Sydnor 1984 (growing.md 2, R in abstract): red maple, 0.31 in leaf, 0.75 bare.  Carried, not computed:
    # the shade under a crown is what the catalogue's range says, month by month.
    share = (0.75,) * 4 + (0.31,) * 6 + (0.75,) * 2
    shape = Point(10, 10).buffer(4, quad_segs=16)
    tree = Solid("maple", "crown", shape, Height(2), Height(10), Crown(), transmittance=share)
    seat = shade_at(scene(tree), (10, 9), 0.0, months=(1, 7))
    assert seat.share[1, 11:13] == pytest.approx(0.69)
    low = sun_hours(scene(tree), (1,), cell_m=0.5).hours[0]
    assert 1 - low.min() / low.max() <= 0.25 + 1e-6


def test_sunshine_scales_the_clear_hours():
    shares = tuple(0.2 + 0.04 * k for k in range(12))
    clear = sun_hours(scene(), cell_m=2)
    cloudy = sun_hours(scene(), cell_m=2, sky=Sky(51.5, sunshine=shares))
    assert np.allclose(cloudy.hours, clear.hours * np.array(shares)[:, None, None], rtol=1e-5)
    assert np.array_equal(cloudy.clear, clear.hours)


def test_a_skyline_takes_the_low_suns():
    wood = Sky(51.5, horizon=Horizon(angles=((90.0, 25.0), (270.0, 25.0))))
    open_h, wooded_h = (float(sun_hours(scene(), 6, cell_m=5, sky=s).hours[0, 0, 0]) for s in (Sky(51.5), wood))
    up = np.degrees(np.arcsin(suns(Sky(51.5), (6,)).towards[:, 2]))
    assert wooded_h == pytest.approx(open_h - (up < 25).sum() / 6, abs=0.2)
    assert sun_hours(scene(), 12, cell_m=5, sky=wood).hours.max() == 0


def test_the_plan_may_be_turned():
    here = scene(wall(5, 9.9, 15, 10.1))
    turned = sun_hours(here, 6, cell_m=0.5, sky=Sky(51.5, north_offset_deg=180.0)).hours[0]
    assert np.abs(turned - sun_hours(here, 6, cell_m=0.5).hours[0][::-1, ::-1]).max() < 0.35


def test_day_lengths_are_those_of_the_tables():
    # FAO-56 Table 2.7 day length N at 52 N from memory: about 16.5 h in June; less 1 degree at each end here.
    assert sun_hours(scene(latitude_deg=52), 6, cell_m=5).hours.max() == pytest.approx(16.3, abs=0.3)
    assert sun_hours(scene(latitude_deg=-52), 12, cell_m=5).hours.max() == pytest.approx(16.3, abs=0.3)
    assert sun_hours(scene(latitude_deg=80), 12, cell_m=5).hours.max() == 0
    assert sun_hours(scene(latitude_deg=80), 6, cell_m=5).hours.min() == pytest.approx(24)


def test_every_day_and_the_middle_one_agree_on_open_ground():
    mid, every = (sun_hours(scene(), (3, 6), cell_m=5, days=d).hours[:, 0, 0] for d in ("mid", "all"))
    assert np.abs(mid - every).max() < 0.2


def test_seen_from_higher_up_a_low_wall_is_gone():
    here = scene(wall(5, 9.9, 15, 10.1, 0.6))
    assert sun_hours(here, 6, cell_m=0.5, height_m=0.7).hours.min() == sun_hours(scene(), 6, cell_m=0.5).hours.min()


def test_the_same_garden_gives_the_same_bytes():
    here = scene(*one_of_each(), ground=bumpy())
    assert sun_hours(here, cell_m=1).hours.tobytes() == sun_hours(here, cell_m=1).hours.tobytes()


def test_a_point_is_looked_up_and_one_off_the_grid_refused():
    grid = sun_hours(scene(), (6, 7), cell_m=0.5)
    assert grid.at(3.2, 4.1).shape == (2,)
    assert grid.mean((6, 7)).shape == grid.hours.shape[1:]
    with pytest.raises(ValueError, match="off the grid"):
        grid.at(-3, 0)


@pytest.mark.parametrize("wrong", [{"cell_m": 0.0}, {"cell_m": 0.001}, {"step_min": 0}, {"month": 13}])
def test_what_cannot_be_is_refused(wrong):
    given = {"month": 6, **wrong}
    with pytest.raises(ValueError, match="got"):
        sun_hours(scene(), given.pop("month"), **given)


def test_slats_dim_by_the_sun_and_not_by_their_share():
    slats = Slats(90.0, 0.14, 0.14, 0.0, 0.0001)
    roof = Solid("p", "", box(2, 2, 18, 18), Height(2.3), Height(2.44), slats, transmittance=every_month(0.9))
    here = scene(roof)
    # L25: depth equal to the clear gap, cut-off at a profile angle of 45 degrees (D).
    assert lit(here, 44, 180)[60, 40] == 0
    assert lit(here, 60, 180)[60, 40] == pytest.approx(1 - 1 / np.tan(np.radians(60)), abs=2e-3)


def test_dates_play_no_part_but_the_months():
    here = scene(*one_of_each())
    later = type(here)(date(2031, 1, 15), here.boundary, here.ground, solids=here.solids, latitude_deg=51.5)
    assert np.array_equal(sun_hours(here, 6, cell_m=1).hours, sun_hours(later, 6, cell_m=1).hours)


@pytest.mark.parametrize(
    ("elevation_deg", "azimuth_deg", "across_deg"), [(26.810735, 173.931802, 28.764), (11.263058, 133.288729, 72.604)]
)
def test_shadow_across_a_falling_axis(elevation_deg, azimuth_deg, across_deg):
    # L26 (R in pvlib's tests/test_shading.py): the sun seen along an axis that falls 9.666 degrees towards azimuth 195
    # stands so far from the perpendicular of its slope: K. Anderson and M. Mikofski, Slope-Aware Backtracking for
    # Single-Axis Trackers, NREL/TP-5K00-76626, 2020 (number M).  A wall along that axis on ground falling the same way
    # throws its height over the slope, 1 m x cos 9.666, times the tangent of that angle across it (geometry).
    fall, towards_deg = np.radians(9.666), np.radians(195.0)
    ahead = np.array([np.sin(towards_deg), np.cos(towards_deg)])
    corners = [(float(x), float(y)) for x in (-30, 50) for y in (-30, 50)]
    ground = Ground.from_levels([(x, y, float(-np.tan(fall) * (ahead @ (x, y)))) for x, y in corners])
    line = LineString([np.array((10, 10)) - 9 * ahead, np.array((10, 10)) + 9 * ahead])
    long_wall = Solid("w", "", line.buffer(0.01, cap_style="flat"), top=Height(1.0))
    shaded = lit(scene(long_wall, ground=ground), elevation_deg, azimuth_deg, cell_m=0.04) == 0
    across = shaded[250].sum() * 0.04 * abs(ahead[1])  # a row through the middle, as wide as it crosses the shadow
    assert across == pytest.approx(0.02 + np.cos(fall) * np.tan(np.radians(across_deg)), abs=0.04)


def test_months_side_by_side_are_those_one_after_another(monkeypatch):
    here = scene(*one_of_each(), ground=bumpy())
    alone = sun_hours(here, (1, 4, 7), cell_m=0.5).hours
    monkeypatch.setattr(hours, "MUCH", 0)
    assert np.array_equal(sun_hours(here, (1, 4, 7), cell_m=0.5).hours, alone)


def test_parts_are_kept_for_the_same_things_on_the_same_ground_only():
    solids = one_of_each()
    assert kept_parts(solids, LEVEL) is kept_parts(tuple(solids), LEVEL)
    assert kept_parts(solids, SLOPE) is not kept_parts(solids, LEVEL)
    assert kept_parts(solids[1:], LEVEL) is not kept_parts(solids, LEVEL)
