"""How much sun parallel slats let through: closed form, checked against rays."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from quincunx.shapes import Slats

Floats = NDArray[np.float64]


def slats_light(slats: Slats, towards: Floats) -> Floats:
    """Return the share of the sun let through by endless level slats, for unit vectors ``towards`` it (n, 3).

    Across the slats a sun of profile angle v throws the section of one slat onto the level as
    ``depth |sin tilt - cos tilt / tan v| + thickness |cos tilt + sin tilt / tan v|``, of every ``gap + thickness``.
    Upright slats shut when ``tan v = depth / gap``.  The slats are taken as opaque; light that they reflect is not
    counted.  Geometry; the profile angle is that of IES RP-16.
    """
    right = np.radians(slats.direction_deg + 90.0)
    across = towards[:, 0] * np.sin(right) + towards[:, 1] * np.cos(right)
    with np.errstate(divide="ignore", invalid="ignore"):
        run = np.where(towards[:, 2] > 0, across / towards[:, 2], np.inf)
    sin, cos = np.sin(np.radians(slats.tilt_deg)), np.cos(np.radians(slats.tilt_deg))
    thrown = slats.depth_m * np.abs(sin - cos * run) + slats.thickness_m * np.abs(cos + sin * run)
    return np.asarray(np.clip(1.0 - thrown / (slats.gap_m + slats.thickness_m), 0.0, 1.0))


def profile_angle_deg(elevation_deg: float, azimuth_deg: float, face_deg: float) -> float | None:
    """Return the sun's profile (vertical shadow) angle on a face turned to ``face_deg`` [deg]; None from behind.

    tan VSA = tan(altitude) / cos(sun azimuth - face azimuth), the definition of IES RP-16.
    """
    turned = np.cos(np.radians(azimuth_deg - face_deg))
    if turned <= 1e-12:
        return None
    return float(np.degrees(np.arctan2(np.tan(np.radians(elevation_deg)), turned)))
