"""From metres on the plan to longitude and latitude on the World Geodetic System 1984, and back."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

EQUATOR_M, FLATTENING = 6378137.0, 1 / 298.257223563
"""Semi-major axis [m] and flattening of the ellipsoid (NIMA TR8350.2, World Geodetic System 1984, table 3.1)."""


def lon_lat_deg(points: Floats, latitude_deg: float, longitude_deg: float, up_deg: float = 0.0) -> Floats:
    """Return longitude and latitude [deg] (n, 2) of points (n, 2) on the plan [m].

    The plan lies level on the ellipsoid at its origin, which has the latitude and longitude given; up on it is
    ``up_deg`` clockwise from true north.  Exact but for heights, which move no point by more than a millimetre in a
    kilometre; longitudes lie in -180 to 180.
    """
    up, phi, lam = (math.radians(v) for v in (up_deg, latitude_deg, longitude_deg))
    x, y = np.asarray(points, np.float64).reshape(-1, 2).T
    east, north = x * math.cos(up) + y * math.sin(up), y * math.cos(up) - x * math.sin(up)
    square = FLATTENING * (2 - FLATTENING)
    across = EQUATOR_M / math.sqrt(1 - square * math.sin(phi) ** 2)
    out = across * math.cos(phi) - north * math.sin(phi)
    z = across * (1 - square) * math.sin(phi) + north * math.cos(phi)
    p = np.hypot(out, east)
    # Bowring's closed form (Bowring, Transformation from spatial to geographical coordinates, Survey Review 23, 1976).
    polar = EQUATOR_M * (1 - FLATTENING)
    reduced = np.arctan2(z * EQUATOR_M, p * polar)
    second = square / (1 - square)
    lat = np.arctan2(z + second * polar * np.sin(reduced) ** 3, p - square * EQUATOR_M * np.cos(reduced) ** 3)
    lon = lam + np.arctan2(east, out)
    return np.column_stack([(np.degrees(lon) + 180) % 360 - 180, np.degrees(lat)])


def plan_m(
    lon_lat: Floats, latitude_deg: float, longitude_deg: float, up_deg: float = 0.0, heights_m: Floats | None = None
) -> Floats:
    """Return points of longitude and latitude (n, 2) [deg] as points (n, 2) on the plan [m]: :func:`lon_lat_deg` back.

    ``heights_m`` (n,) is above the ellipsoid; none is taken as 0, as the plan's origin is.  Geographic to geocentric
    (EPSG method 9602), then to topocentric (EPSG methods 9836 and 9837), of which east and north are kept: IOGP
    Publication 373-7-2, Geomatics Guidance Note 7 part 2, Coordinate Conversions and Transformations including Formulas.
    """
    lon, lat = np.radians(np.asarray(lon_lat, np.float64).reshape(-1, 2)).T
    high = np.zeros(len(lon)) if heights_m is None else np.asarray(heights_m, np.float64)
    up, phi, lam = (math.radians(v) for v in (up_deg, latitude_deg, longitude_deg))
    origin = _geocentric(np.array([lam]), np.array([phi]), np.zeros(1))
    dx, dy, dz = _geocentric(lon, lat, high) - origin
    east = -math.sin(lam) * dx + math.cos(lam) * dy
    north = -math.sin(phi) * (math.cos(lam) * dx + math.sin(lam) * dy) + math.cos(phi) * dz
    return np.column_stack([east * math.cos(up) - north * math.sin(up), east * math.sin(up) + north * math.cos(up)])


def _geocentric(lon: Floats, lat: Floats, high: Floats) -> Floats:
    """Return (3, n) [m] from the earth's middle of points [rad] and their heights [m]."""
    square = FLATTENING * (2 - FLATTENING)
    across = EQUATOR_M / np.sqrt(1 - square * np.sin(lat) ** 2)
    flat = (across + high) * np.cos(lat)
    return np.stack([flat * np.cos(lon), flat * np.sin(lon), ((1 - square) * across + high) * np.sin(lat)])
