"""Metres on the plan to longitude and latitude: lengths of a degree, and there and back again."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, strategies as st

from quincunx.site.geodesy import lon_lat_deg, plan_m

DEGREES = [(0.0, 111_320), (15.0, 107_550), (30.0, 96_486), (45.0, 78_847), (60.0, 55_800), (75.0, 28_902)]
"""Latitude [deg], metres in a degree of longitude on WGS 84 (Wikipedia, Longitude, "Length of a degree of longitude",
table to the metre; from memory)."""


@pytest.mark.parametrize(("latitude", "metres"), DEGREES)
def test_a_degree_of_longitude_is_as_long_as_published(latitude: float, metres: float) -> None:
    ((lon, lat),) = lon_lat_deg(np.array([[metres / 3600, 0.0]]), latitude, 10.0)
    assert lon - 10.0 == pytest.approx(1 / 3600, rel=2e-5)
    assert lat == pytest.approx(latitude, abs=1e-8)


@pytest.mark.parametrize("latitude", [0.0, 15.0, -33.0, 45.0, 52.1, 68.0])
def test_a_degree_of_latitude_is_as_long_as_published(latitude: float) -> None:
    # Metres in a degree of latitude (Wikipedia, Geographic coordinate system, after the NGA):
    # 111132.92 - 559.82 cos 2p + 1.175 cos 4p - 0.0023 cos 6p.
    p = math.radians(latitude)
    degree = 111132.92 - 559.82 * math.cos(2 * p) + 1.175 * math.cos(4 * p) - 0.0023 * math.cos(6 * p)
    ((lon, lat),) = lon_lat_deg(np.array([[0.0, 100.0]]), latitude, 0.0)
    assert lat - latitude == pytest.approx(100 / degree, rel=2e-5)
    assert lon == pytest.approx(0.0, abs=1e-12)


def test_up_on_the_plan_is_turned_to_true_north() -> None:
    ((lon, lat),) = lon_lat_deg(np.array([[0.0, 100.0]]), 50.0, 7.0, 90.0)  # up on the plan is east
    ((east, _),) = lon_lat_deg(np.array([[100.0, 0.0]]), 50.0, 7.0)
    assert lon == pytest.approx(east, abs=1e-12)
    assert lat == pytest.approx(50.0, abs=1e-7)


def test_longitudes_go_round_at_the_date_line() -> None:
    ((lon, _),) = lon_lat_deg(np.array([[500.0, 0.0]]), -17.0, 179.999)
    assert -180 <= lon < -179.99


@given(st.floats(-500, 500), st.floats(-500, 500), st.floats(-85, 85), st.floats(-179, 179))
def test_there_and_back_again_to_a_tenth_of_a_millimetre(x: float, y: float, latitude: float, longitude: float) -> None:
    ((lon, lat),) = lon_lat_deg(np.array([[x, y]]), latitude, longitude)
    assert plan_m(np.array([[lon, lat]]), latitude, longitude)[0] == pytest.approx((x, y), abs=1e-4)


@given(st.floats(-300, 300), st.floats(-300, 300), st.floats(-180, 179))
def test_there_and_back_again_on_a_plan_turned_from_north(x: float, y: float, up: float) -> None:
    on_earth = lon_lat_deg(np.array([[x, y]]), 52.1, -1.2, up)
    assert plan_m(on_earth, 52.1, -1.2, up)[0] == pytest.approx((x, y), abs=1e-4)


def test_east_and_north_are_the_published_ones() -> None:
    """IOGP Publication 373-7-2, Guidance Note 7 part 2, the example of method 9837 (geographic/topocentric), WGS 84.

    Origin 55 N, 5 E, 200 m up; the point 53 deg 48' 33.82" N, 2 deg 07' 46.38" E, 73.0 m up lies at U = -189013.869 m,
    V = -128642.040 m.  Here the origin lies on the ellipsoid, which changes neither.
    """
    lon, lat = 2 + 7 / 60 + 46.38 / 3600, 53 + 48 / 60 + 33.82 / 3600
    ((east, north),) = plan_m(np.array([[lon, lat]]), 55.0, 5.0, heights_m=np.array([73.0]))
    assert east == pytest.approx(-189013.869, abs=0.002)
    assert north == pytest.approx(-128642.040, abs=0.002)
