"""What stays dry: by the geometry of slanting rain, at a seat, over the ground; compiled against plain."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from shapely import Point, Polygon, box

from quincunx.scene import Spot
from quincunx.shapes import Crown, Height, Plane, Slab, Solid
from quincunx.water import Rains, Weather, dryness, one_rain, sitting, slant, wetting
from quincunx.water.falling import drop_mm, fall_m_s
from quincunx.water.shelter import kept_off, people_on, stoppers, wetting_plainly
from quincunx.water.weather import MEAN_MM_H, ORDINARY_MM_H, RAINS
from tests.water.gardens import roof, scene, side, slats

ROOF = box(5, 5, 15, 15)
SOFT = Weather((60.0,) * 12, (4.0,) * 12)
WINDY = Weather((60.0,) * 12, (6.0,) * 12, (225.0,) * 12)
SUMMER = (6, 7, 8)


def at_45() -> float:
    return fall_m_s(drop_mm(ORDINARY_MM_H))


def test_at_45_degrees_a_roof_leaves_dry_all_but_a_strip_as_wide_as_its_eaves_are_high():
    of = scene(roof(ROOF, 2.4))
    wet = wetting(of, one_rain(at_45(), 180.0), cell_m=0.1)
    # From the south at 45 degrees the dry ground is the roof's outline pushed 2.4 m north: 10 m by 10 m, 7.6 m of it
    # under the roof; the roof's own 3 cm of thickness widens it by as much.
    dry = wet.share < 0.5
    x, y = np.meshgrid(*(wet.grid.x0_m + (np.arange(n) + 0.5) * 0.1 for n in (dry.shape[1], dry.shape[0])))
    assert y[dry].min() == pytest.approx(7.4, abs=0.06)
    assert y[dry].max() == pytest.approx(17.43, abs=0.1)
    assert (x[dry].min(), x[dry].max()) == (pytest.approx(5, abs=0.06), pytest.approx(15, abs=0.06))
    under = dry & (y > 5) & (y < 15)
    assert under.sum() * 0.01 == pytest.approx(10 * 7.6, rel=0.01)


@settings(max_examples=25, deadline=None)
@given(wind=st.floats(0.0, 8.0), eaves=st.floats(1.8, 3.5), rain=st.floats(0.5, 20))
def test_the_wet_strip_is_the_eaves_times_the_slant(wind, eaves, rain):
    of = scene(roof(ROOF, eaves))
    bodies = stoppers(of)
    lost = eaves * slant(wind, rain)
    one = one_rain(wind, 180.0, rain)
    for inside_m, dry in ((lost - 0.05, False), (lost + 0.05, True)):
        if 0 < inside_m < 10:
            point = np.array([[10.0, 5 + inside_m, 0.0]])
            assert (kept_off(bodies, point, one)[0, 0] > 0.5) is np.bool_(dry)


def test_a_closed_side_keeps_off_rain_from_that_side_only():
    open_sides = scene(roof(ROOF))
    closed = scene(roof(ROOF), side(5, 5, 15, 5.03))
    seat = np.array([[10.0, 6.0, 0.5]])
    south, west = one_rain(at_45(), 180.0), one_rain(at_45() * 3, 270.0)
    assert kept_off(stoppers(open_sides), seat, south)[0, 0] == 0.0
    assert kept_off(stoppers(closed), seat, south)[0, 0] == 1.0
    assert kept_off(stoppers(closed), seat, west)[0, 0] == 0.0


def test_slats_crowns_and_nets_let_rain_through_and_lattice_half():
    seat, still = np.array([[10.0, 10.0, 0.5]]), one_rain(0.0, 0.0)
    assert kept_off(stoppers(scene(slats(ROOF))), seat, still)[0, 0] == 0.0
    crown = Solid("tree", "crown", Point(10, 10).buffer(3), Height(2), Height(6), Crown(), grown=True)
    assert kept_off(stoppers(scene(crown)), seat, still)[0, 0] == 0.0
    lattice = side(5, 5, 15, 5.03, gap_m=0.05)
    assert (
        kept_off(stoppers(scene(roof(ROOF), lattice)), np.array([[10.0, 6.0, 0.5]]), one_rain(at_45(), 180.0))[0, 0]
        == 0.5
    )


def test_a_seat_is_no_shelter_to_itself():
    bench = Solid("bench", "seat", box(9, 9, 11, 9.5), Height(0.4), Height(0.45))
    of = scene(bench)
    points = sitting(of, "bench")
    assert points is not None
    assert len(points) == 18
    dry = dryness(of, points, SOFT, SUMMER)
    assert (dry.whole, dry.part) == (0.0, 0.0)
    assert [month for month, _, _ in dry.by_month] == list(SUMMER)
    assert [hours for _, hours, _ in dry.by_month] == pytest.approx([60 / MEAN_MM_H] * 3)


def test_no_roof_is_never_dry_and_a_wide_one_nearly_always():
    points = people_on(scene(), box(9.5, 9.5, 10.5, 10.5))
    assert dryness(scene(), points, SOFT, SUMMER).whole == 0.0
    wide = dryness(scene(roof(box(0, 0, 20, 20))), points, SOFT, SUMMER)
    assert wide.whole > 0.98
    assert wide.part >= wide.whole


def test_a_small_roof_is_drier_with_sides_and_driest_in_little_wind():
    small = box(8.5, 8.5, 11.5, 11.5)
    points = people_on(scene(), box(9.4, 9.8, 10.6, 10.2))
    bare = dryness(scene(roof(small, 2.1)), points, WINDY, SUMMER)
    sides = (side(8.5, 8.5, 8.53, 11.5), side(8.5, 8.5, 11.5, 8.53))
    closed = dryness(scene(roof(small, 2.1), *sides), points, WINDY, SUMMER)
    calm = dryness(scene(roof(small, 2.1)), points, Weather((60.0,) * 12, (1.0,) * 12), SUMMER)
    assert bare.whole < closed.whole < calm.whole
    assert bare.wettest_deg == pytest.approx(225, abs=25)
    assert bare.dry_h == pytest.approx(bare.whole * 3 * 60 / MEAN_MM_H)


@pytest.mark.parametrize("weather", [SOFT, WINDY])
def test_the_rains_of_a_place_are_all_of_its_rain(weather):
    rains = weather.rains()
    assert rains.hours.sum() == pytest.approx(1.0)
    assert rains.amount.sum() == pytest.approx(1.0)
    few = rains.fewer()
    assert few.amount.sum() == pytest.approx(1.0)
    assert few.hours.sum() == pytest.approx(1.0)
    assert few.amount @ few.slant == pytest.approx(rains.amount @ rains.slant)
    assert len(few.slant) <= 96 < len(rains.slant)


def test_rain_comes_mostly_from_the_side_the_wind_does():
    rains = WINDY.rains((6,))
    near = np.abs((rains.from_deg - 225 + 180) % 360 - 180) < 90
    assert 0.7 < rains.hours[near].sum() < 0.9
    assert SOFT.rains((6,)).hours[near].sum() == pytest.approx(7 / 16)


def test_the_mean_wind_of_the_speeds_is_that_of_the_place():
    # Six equal parts of Rayleigh's distribution by their middles come within 4 % of its mean.
    rains = SOFT.rains((1,))
    ordinary = rains.slant.reshape(len(RAINS), 6, 16)[1, :, 0]
    mean = ordinary.mean() * fall_m_s(drop_mm(RAINS[1][0]))
    assert mean == pytest.approx(SOFT.low_wind_m_s(1), rel=0.04)


def test_the_compiled_map_equals_the_plain_one():
    of = scene(roof(ROOF, 2.2, 0.3), side(5, 5, 15, 5.03), side(3, 17, 17, 17.3, 3.0, owner="wall"))
    rains = WINDY.rains((3, 9)).fewer(3)
    fast, slow = wetting(of, rains, cell_m=0.5), wetting_plainly(of, rains, cell_m=0.5)
    assert np.abs(fast.share - slow.share).max() < 0.02
    assert np.abs(fast.share - slow.share).mean() < 2e-4
    assert 0.0 <= fast.share.min() < 0.1
    assert fast.share.max() == pytest.approx(1.0, abs=1e-5)
    assert fast.area_m2(0.0, 0.25) + fast.area_m2(0.25, 2.0) == pytest.approx(400.0)


def test_a_wall_leaves_a_rain_shadow_to_its_lee():
    of = scene(side(0, 10, 20, 10.3, 2.0, owner="wall"))
    wet = wetting(of, WINDY.rains(), cell_m=0.5)
    rows = wet.share.mean(axis=1)
    assert rows[21] < 0.6 < rows[18]  # just north of the wall, and 1 m south of it
    assert rows[-1] > 0.95


def test_places_that_do_not_stand_are_none():
    assert sitting(scene(), "nobody") is None
    spot = sitting(scene(spots=(Spot("seat", "Seat", (3.0, 4.0)),)), "seat")
    assert spot is not None
    assert np.ptp(spot[:, 0]) == pytest.approx(0.48)
    assert isinstance(SOFT.rains(), Rains)


def test_no_rain_gets_through_the_seams_of_a_hipped_roof():
    # Four slopes that meet over the middle: straight down, and along each seam, it is as dry as under one sheet.
    triangles = [Polygon([(10, 10), a, b]) for a, b in zip(CORNERS, CORNERS[1:] + CORNERS[:1], strict=True)]
    slabs = [
        Solid("hip", f"roof{n}", t, Height(2.4, "site"), Height(3.6, "site"), Slab(Plane(x, y, Height(2.43, "site"), deg, 0.4), 0.03))
        for n, (t, (x, y), deg) in enumerate(zip(triangles, CORNERS, (180.0, 90.0, 0.0, 270.0), strict=True))
    ]  # fmt: skip
    of = scene(*slabs)
    points = people_on(of, box(9.7, 9.7, 10.3, 10.3))
    sides = np.arange(16) * 22.5
    rains = Rains(np.repeat([0.0, 0.2, 0.5], 16), np.tile(sides, 3), np.ones(48), np.ones(48))
    assert kept_off(stoppers(of), points, rains).min() == 1.0
    assert wetting(of, one_rain(0.0, 0.0), cell_m=0.5).share[12:28, 12:28].max() == 0.0


CORNERS = [(5.0, 5.0), (15.0, 5.0), (15.0, 15.0), (5.0, 15.0)]
