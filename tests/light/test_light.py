"""Shade at a point, shadows of a moment, sky view, daily light, words for hours; each against an outside figure."""

from __future__ import annotations

import csv
import math
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from shapely import Point, box

from quincunx.light import Sky, daily_light, shade_at, shadows, sky_view, sun_classes, sun_hours
from quincunx.light.daily_light import (
    PAR_SHARE,
    PHOTONS_UMOL_J,
    diffuse_share,
    extraterrestrial_mj,
    haurwitz_w_m2,
    mol_from_mj,
    mol_from_ppfd,
    open_mol,
)
from quincunx.shapes import Height, Solid, every_month
from quincunx.site.climate import Climate, Horizon
from quincunx.site.ground import Ground
from quincunx.site.place import Place
from tests.light.gardens import SLOPE, bumpy, crown, one_of_each, scene, wall

with (Path(__file__).parents[1] / "published" / "clear_sky" / "models.csv").open(encoding="utf-8") as lines:
    CLEAR_SKY = list(csv.DictReader(line for line in lines if not line.startswith("#")))
LONDON = Sky(51.5, -0.1, zone=ZoneInfo("Europe/London"))


def test_shade_at_a_point_is_that_of_its_cell():
    here = scene(*one_of_each(), ground=SLOPE)
    grid = sun_hours(here, (3, 6), cell_m=0.5)
    for x, y in ((9.25, 10.75), (13.75, 16.25), (6.25, 6.75), (2.25, 9.25)):
        seat = shade_at(here, (x, y), 0.0, months=(3, 6))
        assert [seat.sun_h(3), seat.sun_h(6)] == pytest.approx(grid.at(x, y).tolist(), abs=0.02)


def test_a_roof_shades_at_noon_and_not_at_nine():
    # 4 m square, 2.5 m up, seat in its middle at 1.2 m: the sun comes in lower than atan(1.3 / 2) = 33 degrees.
    here = scene(Solid("r", "", box(8, 8, 12, 12), Height(2.5), Height(2.55)))
    seat = shade_at(here, (10, 10), 1.2)
    june = seat.share[5]
    assert june[12] == 1
    assert june[5] == 0
    assert np.isnan(june[1])
    assert seat.between((6, 7, 8), 11, 13) == 1
    assert seat.between((12,), 11, 13) == 0  # 15 degrees at noon
    assert np.isnan(seat.between((12,), 0, 3))


def test_hours_are_told_by_the_clock_where_there_is_one():
    here = scene(wall(9, 8, 11, 8.2, 30))
    sun, clock = shade_at(here, (10, 12)), shade_at(here, (10, 12), sky=LONDON)
    assert np.nanargmax(sun.share[5]) in (11, 12)
    assert np.nanargmax(clock.share[5]) in (12, 13)  # summer time
    assert np.nanargmax(clock.share[0]) in (11, 12)


def test_the_ground_shades_a_seat_below_a_bank():
    levels = [(x, y, z) for x in (-5, 25) for y, z in ((-5, 3), (4, 3), (5, 0), (30, 0))]
    seat = shade_at(scene(ground=Ground.from_levels(levels)), (10, 6), 0.0, months=(12,))
    assert seat.sun_h(12) < 1
    assert seat.sun_up_h[0].sum() > 6


@pytest.mark.parametrize("ground", [SLOPE, bumpy()], ids=["slope", "bumps"])
def test_shadow_outlines_cover_the_cells_that_are_dark(ground):
    here = scene(*one_of_each(), ground=ground)
    when = datetime(2027, 4, 15, 15, 0, tzinfo=UTC)
    found = shadows(here, when, LONDON)
    assert {s.owner for s in found} == {s.owner for s in here.solids}
    wall_shadow = next(s for s in found if s.owner == "w")
    sun = LONDON.direction(when)[0]
    assert wall_shadow.share == 1
    if ground is SLOPE:
        run = 2 / (sun[2] - 0.02 * sun[0] - 0.04 * sun[1])  # metres of ray from the top to the slope
        swept = 7 * 0.2 + run * (7 * abs(sun[1]) + 0.2 * abs(sun[0]))
        assert wall_shadow.shape.area == pytest.approx(swept, rel=0.01)
    assert next(s for s in found if s.owner == "h").share == pytest.approx(0.6)


def test_no_shadows_by_night_and_a_time_needs_its_zone():
    assert shadows(scene(wall(5, 5, 8, 6)), datetime(2027, 6, 1, 0, tzinfo=UTC), LONDON) == ()
    with pytest.raises(ValueError, match="time zone"):
        shadows(scene(wall(5, 5, 8, 6)), datetime(2027, 6, 1, 12), LONDON)  # noqa: DTZ001


def test_a_dome_and_a_sphere_throw_the_outlines_of_their_cells():
    here = scene(crown(10, 8, 1.5, 1.5, 4.5))
    when = datetime(2027, 6, 15, 9, tzinfo=UTC)
    up = float(LONDON.direction(when)[0, 2])
    (shadow,) = shadows(here, when, LONDON)
    assert shadow.shape.area == pytest.approx(np.pi * 1.5**2 / up, rel=0.01)


def test_half_the_sky_is_seen_at_the_foot_of_a_long_high_wall():
    # View factor of a half space: 1/2; and of an open place: 1 (geometry).
    long = Solid("w", "", box(-500, 8, 520, 9), top=Height(300))
    grid = sky_view(scene(long), 6, cell_m=0.5)
    assert grid.seen[0, 15, 20] == pytest.approx(0.5, abs=0.03)
    assert sky_view(scene(), 6, cell_m=2).seen.min() == pytest.approx(1, abs=1e-3)


def test_sky_under_a_disc():
    # Share hidden by a disc of radius R at height h over a level point: R2 / (R2 + h2) (geometry).
    disc = Solid("d", "", Point(10.25, 10.25).buffer(2, quad_segs=32), Height(2), Height(2.001))
    assert sky_view(scene(disc), 6, cell_m=0.5).seen[0, 20, 20] == pytest.approx(0.5, abs=0.03)


def test_clear_sky_light():
    # L28 (R): Haurwitz, W/m2 at apparent elevations 5, 10, 30, 50, 90.
    assert haurwitz_w_m2([5, 10, 30, 50, 90]) == pytest.approx([48.63, 135.74, 487.89, 778.77, 1035.09], abs=0.011)
    assert haurwitz_w_m2(-3) == 0


@pytest.mark.parametrize("row", CLEAR_SKY, ids=lambda r: r["row"])
def test_clear_sky_light_by_other_models(row):
    # L29, L31 (Bird), L32 (Ineichen), L33 (Solis), all R: what falls on level ground is the beam's part and the sky's,
    # and ours, which knows nothing of air and water, is within 7 in 100 of each.
    up = math.sin(math.radians(float(row["elevation_deg"])))
    whole, beam, sky = (float(row[k]) for k in ("global_w_m2", "direct_normal_w_m2", "sky_w_m2"))
    apart = 0.01 if row["model"] == "solis" else 1e-3  # Solis fits each of the three by itself
    assert beam * up + sky == pytest.approx(whole, rel=apart)
    assert haurwitz_w_m2(float(row["elevation_deg"])) == pytest.approx(whole, rel=0.07)


def test_full_sun_in_foot_candles():
    # L42 (R): full sun on a clear day: 10 000 to 12 000 foot-candles (lumens a square foot).  54 lux of sunlight are
    # 1 umol/m2/s (R. Thimijan and R. Heins, HortScience 18, 1983; from memory).
    for elevation_deg in (65, 90):
        umol = float(haurwitz_w_m2(elevation_deg)) * PAR_SHARE * PHOTONS_UMOL_J
        assert 0.9 * 10_000 < umol * 54 * 0.3048**2 < 12_000


def test_light_outside_the_air():
    # L20 (R+C): FAO-56 Example 8: 20 S, 3 September (day 246): 32.2 MJ/m2/day.
    assert extraterrestrial_mj(-20, 246) == pytest.approx(32.2, abs=0.05)
    assert extraterrestrial_mj(80, 349) == 0


def test_moles():
    # L35, L36 (R): 4.57 umol a joule of the light plants use, which is 0.45 to 0.50 of the sun's.
    assert pytest.approx(4.57) == PHOTONS_UMOL_J
    assert 0.45 <= PAR_SHARE <= 0.50
    # L34 (R+C): 1 umol/m2/s for 24 h is 0.0864 mol.  L37 (R+C): 2.06 mol a MJ.  L38 (D): 30 MJ make 61.7 mol.
    assert mol_from_ppfd(1, 24) == pytest.approx(0.0864)
    assert mol_from_mj(1) == pytest.approx(2.06, abs=0.005)
    assert mol_from_mj(1, 0.5) == pytest.approx(2.29, abs=0.005)
    assert mol_from_mj(30) == pytest.approx(61.7, abs=0.05)


def test_open_ground_gets_the_light_of_the_open_sky():
    # L39 (R): outdoors 5 to 60 mol/m2/day through the year (USA).
    cloudy = Sky(42.4, sunshine=(0.45,) * 12)
    grid = daily_light(scene(latitude_deg=42.4), (1, 6), cell_m=5, sky=cloudy)
    assert grid.mol[:, 0, 0] == pytest.approx(grid.open_mol, rel=2e-3)
    assert all(5 < open_mol(cloudy, m) < 60 for m in range(1, 13))


def test_light_behind_a_wall_is_the_skys():
    here = scene(wall(-50, 8, 70, 8.2, 4))
    grid = daily_light(here, 12, cell_m=0.5)
    seen = sky_view(here, 12, cell_m=0.5).seen
    share = diffuse_share(0.75)
    assert grid.mol[0, 18, 20] == pytest.approx(grid.open_mol[0] * share * seen[0, 18, 20], rel=0.02)


def test_a_skyline_takes_light_too():
    wooded = Sky(51.5, horizon=Horizon(angles=((90.0, 40.0), (270.0, 40.0))))
    bare, less = (daily_light(scene(), 6, cell_m=5, sky=s).mol[0, 0, 0] for s in (Sky(51.5), wooded))
    assert 0.5 * bare < less < 0.95 * bare


def test_words_for_hours():
    classes = sun_classes()
    # L40 (R): Oregon State University Extension: under 3, 3 to 6, over 6.  L41 (R): 6 and 4.  L43: limits are data.
    assert [classes["three hours"].word(h) for h in (7, 4.5, 2)] == ["sunny", "partial shade", "shade"]
    assert [classes["four hours"].word(h) for h in (6, 5.9, 3.9)] == ["full sun", "part sun", "full shade"]
    assert classes["usual"].limits_h == (6.0, 4.0, 0.0)
    assert classes["usual"].index([[8, 5], [0, 4]]).tolist() == [[0, 1], [2, 1]]
    assert all(c.source for c in classes.values())


def test_the_sky_of_a_site():
    place = Place(latitude_deg=52.1, longitude_deg=-1.0, north_offset_deg=12.0, timezone="Europe/London", altitude_m=40)
    sky = Sky.at(place, Climate(sunshine_share=(0.3,) * 12), Horizon(angles=((180.0, 8.0),)))
    assert (sky.latitude_deg, sky.north_offset_deg, sky.altitude_m) == (52.1, 12.0, 40)
    assert sky.sunshine == (0.3,) * 12
    assert Sky.at(place).sunshine is None
    assert sky.direction(datetime(2027, 6, 15, 12, tzinfo=UTC)).shape == (1, 3)
    assert Sky(51.5).clock().utcoffset(None) == timedelta(0)


def test_transmittance_ranges_are_carried():
    # Gardner and Sydnor 1984 (R in abstract): transmittance 0.25/0.57 to 0.44/0.79 in leaf / bare; a range in gives a
    # range out, light and dark ends each by their own scene.
    ends = []
    for light in (0.25, 0.44):
        tree = Solid("t", "", Point(10, 10).buffer(3), Height(2), Height(8), transmittance=every_month(light))
        ends.append(shade_at(scene(tree), (10, 10), 0.0, months=(7,)).between((7,), 11, 13))
    assert ends == pytest.approx([0.75, 0.56])
