"""How rain falls in wind: drop size, speed of fall, slant, and what strikes an upright face.

The relations are quoted from memory (the project's reference marks them so); their worked table stands in the tests.
"""

from __future__ import annotations

import math

LACY = 0.222
"""Rain on an upright face is 0.222 x wind x rain^0.88 (R. E. Lacy; from memory)."""


def drop_mm(rain_mm_h: float) -> float:
    """Return the middle diameter of drops [mm] in rain of ``rain_mm_h``: 1.105 r^0.232.

    A. C. Best, The size distribution of raindrops, Quarterly Journal of the Royal Meteorological Society 76, 1950
    (from memory).
    """
    return float(1.105 * max(rain_mm_h, 1e-6) ** 0.232)


def fall_m_s(drop: float) -> float:
    """Return the speed at which a drop of a diameter [mm] falls through still air [m/s].

    The cubic of A. N. Dingle and Y. Lee, Terminal fallspeeds of raindrops, Journal of Applied Meteorology 11, 1972, as
    J. F. Straube uses it (from memory); it is meant for drops of some 0.1 to 6 mm.
    """
    d = min(max(drop, 0.1), 6.0)
    return -0.166033 + 4.91844 * d - 0.888016 * d**2 + 0.054888 * d**3


def slant(wind_m_s: float, rain_mm_h: float) -> float:
    """Return how far rain drifts downwind for each metre that it falls: wind over speed of fall.

    1.0 is rain at 45 degrees, which wets about as far in under a roof as its eaves are high.
    """
    return max(wind_m_s, 0.0) / fall_m_s(drop_mm(rain_mm_h))


def wet_in_m(eaves_m: float, wind_m_s: float, rain_mm_h: float) -> float:
    """Return how far in from an open edge rain wets the floor, for eaves ``eaves_m`` high [m]."""
    return max(eaves_m, 0.0) * slant(wind_m_s, rain_mm_h)


def on_a_face_mm_h(wind_m_s: float, rain_mm_h: float, off_deg: float = 0.0) -> float:
    """Return the rain that strikes an upright face in the open [mm/h]; ``off_deg`` is the wind's turn from square on.

    R. E. Lacy's relation, 0.222 v r^0.88 (from memory): free wind, no building in the way.
    """
    square = LACY * max(wind_m_s, 0.0) * max(rain_mm_h, 0.0) ** 0.88
    return float(square * max(math.cos(math.radians(off_deg)), 0.0))


def wind_at_m_s(wind_m_s: float, measured_m: float = 10.0, wanted_m: float = 2.0) -> float:
    """Return the wind [m/s] at one height over short grass from that at another [m].

    R. G. Allen and others, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, 1998, equation 47, both ways:
    u2 = uz 4.87 / ln(67.8 z - 5.42).
    """
    if min(measured_m, wanted_m) < 0.5:
        raise ValueError(f"got a height of {min(measured_m, wanted_m)} m; expected half a metre or more over the grass")
    at_two = wind_m_s * 4.87 / math.log(67.8 * measured_m - 5.42)
    return at_two * math.log(67.8 * wanted_m - 5.42) / 4.87
