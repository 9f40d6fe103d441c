"""From metres on the plan to longitude and latitude on the World Geodetic System 1984."""

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
