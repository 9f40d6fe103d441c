"""The sun's place, rising and setting, against published values and pvlib.

Row numbers (L1 ...) are those of the project's book of check values; R was read in a stored copy of the
source named, M is from memory, D is arithmetic, +C says that the arithmetic was repeated.
"""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta, timezone
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from numpy.typing import NDArray

from quincunx.site.almanac import Times, days_since_j2000, ephemeris, mean_sidereal_deg
from quincunx.site.sun import (
    HORIZON_DEG,
    SunDay,
    day_lengths_h,
    declination_deg,
    elevation_azimuth,
    equation_of_time_min,
    monthly_daylight_h,
    refraction_deg,
    sun_day,
    sun_position,
)

# Case T: 17 Oct 2003 12:30:30 at UTC-7, 39.742476 N, 105.1786 W, 820 mbar, 11 deg C.  I. Reda and A. Andreas, Solar
# Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302, revised January 2008, table A5.1, as
# transcribed in pvlib's tests/test_spa.py (R; the table's number M).
MST = timezone(timedelta(hours=-7))
CASE_T = datetime(2003, 10, 17, 12, 30, 30, tzinfo=MST)
LATITUDE, LONGITUDE = 39.742476, -105.1786


def test_l1_days_are_julian_days():
    assert float(days_since_j2000(CASE_T)) + 2_451_545.0 == pytest.approx(2_452_930.312847, abs=1e-6)


def test_l2_l3_l4_the_sun_among_the_stars():
    days = days_since_j2000(CASE_T)
    sun = ephemeris(days)
    # L2: heliocentric longitude 24.0182616917, so the sun's is 180 more; radius 0.9965422974 au.
    assert float(sun.mean_longitude_deg + sun.centre_deg) % 360 == pytest.approx(204.0182616917, abs=0.01)
    assert float(sun.distance_au) == pytest.approx(0.9965422974, abs=1e-4)
    # L3: true obliquity 23.440465, apparent longitude 204.0085519281.
    assert float(sun.obliquity_deg) == pytest.approx(23.440465, abs=0.001)
    assert float(sun.longitude_deg) == pytest.approx(204.0085519281, abs=0.01)
    # L4: right ascension 202.227408, declination -9.31434, hour angle 11.10590.
    assert float(sun.right_ascension_deg) == pytest.approx(202.227408, abs=0.01)
    assert float(sun.declination_deg) == pytest.approx(-9.31434, abs=0.01)
    assert float(sun.sidereal_deg + LONGITUDE - sun.right_ascension_deg) % 360 == pytest.approx(11.10590, abs=0.01)


def test_l5_l6_l7_the_sun_in_the_sky():
    seen = sun_position(LATITUDE, LONGITUDE, CASE_T, refraction=False)
    # L6: topocentric elevation 39.872046 without refraction (that L5's place gives); L7: azimuth 194.34024.
    assert float(seen.elevation_deg) == pytest.approx(39.872046, abs=0.01)
    assert float(seen.azimuth_deg) == pytest.approx(194.34024, abs=0.01)
    # L6: refraction 0.016332 at 820 mbar and 11 deg C; ours is for 1010 mbar and 10 deg C.
    lifted = float(refraction_deg(seen.elevation_deg)) * (820 / 1010) * (283 / 284)
    assert lifted == pytest.approx(0.016332, abs=1e-5)
    # L7: zenith 50.11162.
    assert 90 - float(seen.elevation_deg) - lifted == pytest.approx(50.11162, abs=0.01)


def test_l8_equation_of_time():
    assert float(equation_of_time_min(CASE_T)) == pytest.approx(14.64, abs=0.05)


def test_l9_the_next_day():
    # Zenith 50.478260, azimuth 194.311132 (pvlib's tests/test_solarposition.py, R).
    seen = sun_position(LATITUDE, LONGITUDE, CASE_T + timedelta(days=1), refraction=False)
    lifted = float(refraction_deg(seen.elevation_deg)) * (820 / 1010) * (283 / 284)
    assert 90 - float(seen.elevation_deg) - lifted == pytest.approx(50.478260, abs=0.01)
    assert float(seen.azimuth_deg) == pytest.approx(194.311132, abs=0.01)


def seconds(found: datetime | None, clock: str, zone: timezone = UTC) -> float:
    assert found is not None
    local = found.astimezone(zone)
    hours, minutes, rest = (int(part) for part in f"{clock}:00".split(":")[:3])
    return abs(local.hour * 3600 + local.minute * 60 + local.second - (hours * 3600 + minutes * 60 + rest))


@pytest.mark.parametrize(
    ("latitude", "day", "rise", "fall"),
    [
        # L10: NREL/TP-560-34302's table of sunrises, longitude 0 (attribution M; R in pvlib's tests/test_spa.py).
        (35, date(1994, 1, 2), "07:08:12", "16:59:55"),
        (-35, date(1996, 7, 5), "07:08:15", "17:01:04"),
        (-35, date(2004, 12, 4), "04:38:57", "19:02:02"),
    ],
)
def test_l10_sunrise_and_sunset_to_two_seconds(latitude, day, rise, fall):
    found = sun_day(latitude, 0.0, day)
    assert seconds(found.sunrise, rise) <= 2
    assert seconds(found.sunset, fall) <= 2


@pytest.mark.parametrize(
    ("day", "rise", "fall"),
    [
        # L11: US Naval Observatory, 39.0 N 105.0 W, 2015, UTC-7, in pvlib's tests/test_spa.py (R).  To the minute.
        (date(2015, 1, 2), "07:19", "16:49"),
        (date(2015, 4, 2), "05:43", "18:24"),
        (date(2015, 8, 2), "05:01", "19:10"),
        (date(2015, 12, 2), "07:01", "16:38"),
    ],
)
def test_l11_the_naval_observatorys_minutes(day, rise, fall):
    found = sun_day(39.0, -105.0, day)
    assert seconds(found.sunrise, rise, MST) <= 60
    assert seconds(found.sunset, fall, MST) <= 60


def test_l13_rise_noon_and_set():
    # L13: NREL's calculator for case T's site, 2015, UTC-7, quoted in pvlib's tests/test_solarposition.py (R):
    # 2 January 07:21:55, 12:04:45, 16:47:43; 2 August 05:00:27, 12:06:58, 19:13:58.
    winter, summer = sun_day(LATITUDE, LONGITUDE, date(2015, 1, 2)), sun_day(LATITUDE, LONGITUDE, date(2015, 8, 2))
    assert seconds(winter.sunrise, "07:21:55", MST) <= 3
    assert seconds(winter.noon, "12:04:45", MST) <= 3
    assert seconds(winter.sunset, "16:47:43", MST) <= 3
    assert seconds(summer.sunrise, "05:00:27", MST) <= 3
    assert seconds(summer.noon, "12:06:58", MST) <= 3
    # The calculator works in days of universal time: the sunset it gives for 2 August (02:13:58 UT) is that of the
    # evening before.  NREL's own position puts the sun at -1.02 deg at 19:13:58 on the 2nd, at -0.83 at our 19:12:54.
    assert seconds(sun_day(LATITUDE, LONGITUDE, date(2015, 8, 1)).sunset, "19:13:58", MST) <= 3
    assert seconds(summer.sunset, "19:12:54", MST) <= 3


def test_l14_meeus_example_25a():
    # 1992 October 13, 0h TD: J. Meeus, Astronomical Algorithms, 2nd edition, 1998, example 25.a (R in several
    # repositories' tests).  The obliquity there, 23.44023, is the mean one; the apparent place uses + 0.00256 cos node.
    # That example leaves out the pulls of the planets.
    sun = ephemeris(np.array(2_448_908.5 - 2_451_545.0), delta_t_s=0.0, pulled=False)
    assert float(sun.mean_longitude_deg) == pytest.approx(201.80720, abs=1e-5)
    assert float(sun.mean_anomaly_deg) == pytest.approx(278.99397, abs=1e-5)
    assert float(sun.centre_deg) == pytest.approx(-1.89732, abs=1e-5)
    assert float(sun.distance_au) == pytest.approx(0.99766, abs=1e-5)
    assert float(sun.longitude_deg) == pytest.approx(199.90895, abs=2e-5)
    assert float(sun.obliquity_deg) == pytest.approx(23.44023 + 0.00256 * math.cos(math.radians(264.65)), abs=1e-5)
    assert float(sun.right_ascension_deg) == pytest.approx(198.38083, abs=2e-5)
    assert float(sun.declination_deg) == pytest.approx(-7.78507, abs=1e-5)


def test_l16_sidereal_time():
    # 1987 April 10, 0h UT: Meeus, example 12.a (R).
    assert float(mean_sidereal_deg(np.array(2_446_895.5 - 2_451_545.0))) == pytest.approx(197.693195, abs=1e-6)


def test_l17_forty_north_in_june():
    # S. Kalogirou, Solar Energy Engineering, chapter 2 (title M), R+C: 40 N, declination 23.35, 2 h after noon:
    # altitude 59.75, azimuth 65.7 west of south; day 14.83 h, 04:36 to 19:24 by the sun (the geometric day).
    elevation, azimuth = elevation_azimuth(40.0, 23.35, 30.0)
    assert float(elevation) == pytest.approx(59.75, abs=0.05)
    assert float(azimuth) == pytest.approx(180 + 65.7, abs=0.05)
    assert math.sin(math.radians(float(elevation))) == pytest.approx(0.864, abs=0.0005)
    found = sun_day(40.0, 0.0, date(2026, 6, 15), horizon_deg=0.0)
    assert found.day_length_h == pytest.approx(14.83, abs=0.02)
    assert found.sunrise is not None
    assert (found.noon - found.sunrise).total_seconds() / 3600 == pytest.approx(7.4, abs=0.02)


@pytest.mark.parametrize(
    ("declination", "hour_angle", "zenith", "west_of_south"),
    [
        # L18, L19: J. Duffie and W. Beckman, Solar Engineering of Thermal Processes, examples 1.6.2 and 1.6.3, 43 N
        # (M+C: from memory, arithmetic repeated).
        (-14.0, -37.5, 66.5, -40.0),
        (23.1, 97.5, 79.6, 112.0),
        (-2.4, 60.0, 70.3, 66.8),
    ],
)
def test_l18_l19_forty_three_north(declination, hour_angle, zenith, west_of_south):
    elevation, azimuth = elevation_azimuth(43.0, declination, hour_angle)
    assert 90 - float(elevation) == pytest.approx(zenith, abs=0.1)
    assert float(azimuth) == pytest.approx((180 + west_of_south) % 360, abs=0.1)


def test_l20_fao_56_examples_8_and_9():
    # R. Allen et al., Crop Evapotranspiration, FAO Irrigation and Drainage Paper 56, 1998, examples 8 and 9: 20 S,
    # 3 September: dr 0.985, declination 0.120 rad, sunset hour angle 1.527 rad, day 11.7 h, radiation above the air
    # 32.2 MJ/m2 (R+C).  First our geometry with its declination and dr, summed by the minute at 0.0820 MJ/m2 a minute.
    angles = (np.arange(1440) + 0.5) / 4 - 180
    height = np.sin(np.radians(elevation_azimuth(-20.0, math.degrees(0.120), angles).elevation_deg))
    assert float((0.0820 * 0.985 * np.maximum(height, 0)).sum()) == pytest.approx(32.2, abs=0.05)
    assert float((height > 0).sum()) / 1440 * math.pi == pytest.approx(1.527, abs=0.003)
    # Then the real sun: its formulas put perihelion on 1 January and are out by half a degree in declination.
    sun = ephemeris(days_since_j2000(np.datetime64("2015-09-03T12:00")))
    assert float(1 / sun.distance_au**2) == pytest.approx(0.985, abs=0.003)
    assert math.radians(float(sun.declination_deg)) == pytest.approx(0.120, abs=0.012)
    found = sun_day(-20.0, 0.0, date(2015, 9, 3), horizon_deg=0.0)
    assert found.day_length_h == pytest.approx(11.7, abs=0.1)


def test_l21_day_one_of_a_coarse_series():
    # Bird's clear-sky workbook (Spencer's series of 1971), day 1: declination -23.05865, equation of time -2.91964 min
    # (R, pvlib's tests/data).  That series is good to some 0.05 deg and half a minute; ours must lie so near.
    noon = datetime(2012, 1, 1, 12, tzinfo=UTC)
    assert float(declination_deg(noon)) == pytest.approx(-23.05865, abs=0.06)
    assert float(equation_of_time_min(noon)) == pytest.approx(-2.91964, abs=0.6)


def test_fao_day_lengths_by_month():
    # FAO-56 equation 34 at the middle of each month, computed; geometric day.  June at 50 N is for the 11th.  Its
    # declination, a single sine, is out by up to 1.2 deg in October, hence a quarter of an hour.
    middles = [date(2027, month, 11 if month == 6 else 15) for month in range(1, 13)]
    at_40 = [9.5, 10.5, 11.7, 13.1, 14.2, 14.8, 14.5, 13.5, 12.2, 10.9, 9.8, 9.2]
    at_50 = [8.3, 9.8, 11.6, 13.5, 15.2, 16.1, 15.7, 14.2, 12.3, 10.4, 8.8, 7.9]
    assert day_lengths_h(40.0, middles, horizon_deg=0.0) == pytest.approx(at_40, abs=0.15)
    assert day_lengths_h(50.0, middles, horizon_deg=0.0) == pytest.approx(at_50, abs=0.25)


SIX = [(52.1, -2.3), (42.4, -72.5), (0.0, 10.0), (-33.9, 18.4), (69.6, 18.9), (-77.8, 166.7)]


@pytest.mark.parametrize(("latitude", "longitude"), SIX)
@pytest.mark.parametrize("year", [2025, 2031])
def test_a_year_by_the_hour_is_pvlibs(latitude, longitude, year):
    # pvlib.solarposition.spa_python (NREL's SPA): within 0.005 deg in elevation, and across the sky (azimuth times the
    # cosine of elevation, for overhead an azimuth means nothing); within 0.010 in azimuth up to 60 deg high.
    from pvlib.solarposition import spa_python

    pandas = pytest.importorskip("pandas")
    times = pandas.date_range(f"{year}-01-01", f"{year}-12-31 23:00", freq="1h", tz="UTC")
    theirs = spa_python(times, latitude, longitude, pressure=101_000, temperature=10, delta_t=None)
    utc = times.tz_localize(None).to_numpy()
    bare = sun_position(latitude, longitude, utc, refraction=False)
    up = theirs["elevation"].to_numpy() > 0
    assert np.abs(bare.elevation_deg - theirs["elevation"].to_numpy()).max() < 0.005
    seen = sun_position(latitude, longitude, utc)
    assert np.abs(seen.elevation_deg - theirs["apparent_elevation"].to_numpy())[up].max() < 0.005
    turned = np.abs((bare.azimuth_deg - theirs["azimuth"].to_numpy() + 180) % 360 - 180)
    assert (turned * np.cos(np.radians(bare.elevation_deg))).max() < 0.005
    assert turned[np.abs(bare.elevation_deg) < 60].max() < 0.010


@pytest.mark.parametrize(("latitude", "longitude"), SIX)
def test_at_every_sunrise_and_sunset_pvlibs_sun_is_on_the_horizon(latitude, longitude):
    from pvlib.solarposition import spa_python

    pandas = pytest.importorskip("pandas")
    days = [sun_day(latitude, longitude, date(2027, 1, 1) + timedelta(days=5 * i)) for i in range(73)]
    ends = [end for day in days for end in (day.sunrise, day.sunset) if end is not None]
    assert len(ends) > 50
    theirs = spa_python(pandas.DatetimeIndex(ends), latitude, longitude, delta_t=None)["elevation"].to_numpy()
    assert np.abs(theirs - HORIZON_DEG).max() < 0.005


@pytest.mark.parametrize("latitude", [52.1, 42.4, 0.0, -33.9])
def test_a_years_sunrises_are_pvlibs(latitude):
    # pvlib.solarposition.sun_rise_set_transit_spa, which takes -0.8333 too.  It interpolates within a day of universal
    # time, so it is compared at longitude 0 and below 60 deg, where both ends of a day are well within one.
    from pvlib.solarposition import sun_rise_set_transit_spa

    pandas = pytest.importorskip("pandas")
    days = [date(2027, 1, 1) + timedelta(days=9 * i) for i in range(40)]
    theirs = sun_rise_set_transit_spa(pandas.DatetimeIndex(days, tz="UTC"), latitude, 0.0)
    for day, row in zip(days, theirs.itertuples(), strict=True):
        found = sun_day(latitude, 0.0, day)
        assert found.sunrise is not None
        assert found.sunset is not None
        gaps = (found.sunrise - row.sunrise, found.noon - row.transit, found.sunset - row.sunset)
        assert max(abs(gap.total_seconds()) for gap in gaps) < 3


def test_days_without_rise_or_set_are_values():
    tromso = 69.65
    midsummer, midwinter = sun_day(tromso, 18.96, date(2027, 6, 21)), sun_day(tromso, 18.96, date(2027, 12, 21))
    assert (midsummer.state, midsummer.sunrise, midsummer.sunset, midsummer.day_length_h) == (
        "up all day",
        None,
        None,
        24.0,
    )
    assert (midwinter.state, midwinter.sunrise, midwinter.sunset, midwinter.day_length_h) == (
        "never up",
        None,
        None,
        0.0,
    )
    assert sun_day(-tromso, 0.0, date(2027, 6, 21)).state == "never up"


def test_the_days_between_have_one_end():
    # In the days before the midnight sun the sun rises and does not set before midnight, or the other way round.
    year: list[SunDay] = [sun_day(69.65, 18.96, date(2027, 1, 1) + timedelta(days=i)) for i in range(0, 365, 3)]
    lengths = [day.day_length_h for day in year]
    assert min(lengths) == 0
    assert max(lengths) == 24
    assert max(abs(b - a) for a, b in pairwise(lengths)) < 5
    halves = [day for day in year if (day.sunrise is None) != (day.sunset is None)]
    assert all(day.state == "rises" and 12 < day.day_length_h < 24 for day in halves)


def test_sunrise_is_where_it_says():
    found = sun_day(52.1, -2.3, date(2027, 3, 12))
    assert found.sunrise is not None
    at = sun_position(52.1, -2.3, found.sunrise, refraction=False)
    assert float(at.elevation_deg) == pytest.approx(HORIZON_DEG, abs=0.003)
    assert found.sunrise.tzinfo is UTC


def test_the_local_date_is_kept_across_the_date_line():
    found = sun_day(-17.8, 178.0, date(2027, 3, 12))
    assert found.noon.astimezone(ZoneInfo("Pacific/Fiji")).date() == date(2027, 3, 12)
    found = sun_day(21.3, -157.9, date(2027, 3, 12))
    assert found.noon.astimezone(ZoneInfo("Pacific/Honolulu")).date() == date(2027, 3, 12)


def test_daylight_of_the_year():
    for latitude in (-45.0, 0.0, 52.1):
        months = monthly_daylight_h(latitude)
        assert len(months) == 12
        assert sum(months) == pytest.approx(
            float(np.sum(day_lengths_h(latitude, [date(2027, 1, 1) + timedelta(days=i) for i in range(365)])))
        )
    assert monthly_daylight_h(52.1)[5] > 490
    assert monthly_daylight_h(-45.0)[5] < 275


def test_times_must_name_their_zone():
    for naive in (datetime(2027, 3, 12, 12), [datetime(2027, 3, 12, 12)]):  # noqa: DTZ001
        with pytest.raises(ValueError, match="without a time zone"):
            sun_position(52.1, -2.3, naive)


def test_all_ways_to_say_a_time_are_one():
    utc = datetime(2027, 7, 1, 13, 30, tzinfo=UTC)
    summer = datetime(2027, 7, 1, 14, 30, tzinfo=ZoneInfo("Europe/London"))
    ways: list[Times] = [
        utc,
        summer,
        [utc, summer],
        np.datetime64("2027-07-01T13:30"),
        np.array(["2027-07-01T13:30"], "datetime64[s]"),
    ]
    answers = {float(e) for way in ways for e in np.ravel(sun_position(52.1, -2.3, way).elevation_deg)}
    assert len(answers) == 1


def test_the_grid_of_places_and_times_broadcasts():
    hours: NDArray[np.datetime64] = np.datetime64("2027-03-12") + np.arange(24) * np.timedelta64(1, "h")
    seen = sun_position(np.array([[52.1], [-33.9]]), 0.0, hours)
    assert seen.elevation_deg.shape == seen.azimuth_deg.shape == (2, 24)
    assert np.all((seen.azimuth_deg >= 0) & (seen.azimuth_deg < 360))
    assert seen.azimuth_deg[0, 12] == pytest.approx(177, abs=1.5)  # south at noon in the north
    assert abs((float(seen.azimuth_deg[1, 12]) + 180) % 360 - 180) < 5  # north at noon in the south


def test_refraction_lifts_the_setting_sun_by_half_a_degree():
    # Meeus, Astronomical Algorithms, chapter 16: about 0.48 deg at the horizon as seen from below (from memory).
    assert 0.45 < float(refraction_deg(-0.5)) < 0.62
    assert float(refraction_deg(90.0)) == pytest.approx(0.0, abs=1e-4)
    assert float(refraction_deg(-5.0)) == 0.0
