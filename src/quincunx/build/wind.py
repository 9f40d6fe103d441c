"""Wind on small open roofs: how hard it lifts them and pushes them aside, by ASCE 7 or EN 1991-1-4; kN, kN/m2, deg, m.

Sources: ASCE/SEI 7-10 figures 27.4-5 (read) and 27.4-4 (from memory); EN 1991-1-4:2005 4.5 (from memory), Table 7.7
(read in a public transcription), Table 7.6 (from memory; its values for a flat roof agree with the handbook's).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from quincunx.build.weather import GUST, PSF, net_uplift_us, wind_pressure_us

AIR = 1.25
"""Density of air [kg/m3] (EN 1991-1-4 4.5; from memory)."""
OPEN_COUNTRY_M, LEAST_HEIGHT_M = 0.05, 2.0
"""Roughness length and least height of open country with low plants (EN 1991-1-4 Table 4.1, II; from memory)."""
_MONO_US = {0.0: 1.1, 7.5: 1.4, 15.0: 1.9}
"""Strongest upward C_N of a roof with one slope, clear flow (ASCE 7-10 fig. 27.4-4; from memory)."""
MONO_EU = {
    0.0: (-0.5, -1.3), 5.0: (-0.7, -1.4), 10.0: (-0.9, -1.4), 15.0: (-1.1, -1.4), 20.0: (-1.3, -1.4),
    25.0: (-1.6, -1.4), 30.0: (-1.8, -1.4),
}  # fmt: skip
DUO_EU = {
    5.0: (-0.6, -1.3), 10.0: (-0.7, -1.3), 15.0: (-0.8, -1.3), 20.0: (-0.9, -1.4), 25.0: (-1.0, -1.3), 30.0: (-1.0, -1.3),
}  # fmt: skip
"""Least overall c_f by slope: empty below (phi 0), and blocked below (phi 1)."""
STEEPEST_EU, STEEPEST_MONO_US = 30.0, 15.0
FRICTION = 0.25
"""Friction of a pad on sand, silty sand and silty gravel; clay and silt hold by cohesion (IBC 2012 Table 1806.2: 0.25)."""
LATERAL_KPA_M = 100 * PSF / 0.3048
"""How the least soil of the table holds sideways: 100 psf for each foot of depth (IBC 2012 Table 1806.2: clay and silt);
friction and this count together (IBC 1806.3.1; from memory)."""
SIDE_C = 1.3
"""Pressure and suction on a closed side together (from memory: 0.8 and 0.5 in either code)."""


@dataclass(frozen=True, slots=True)
class Wind:
    """What wind does to a roof: lift and push aside [kN], before factors; its pressure [kN/m2]; by which table."""

    lift: float
    aside: float
    pressure: float
    source: str


def peak_pressure_eu(basic_m_s: float, high_m: float) -> float:
    """Return the peak velocity pressure q_p [kN/m2] in open country (EN 1991-1-4 4.5, eq. 4.8; from memory)."""
    z = max(high_m, LEAST_HEIGHT_M)
    deep = math.log(z / OPEN_COUNTRY_M)
    mean = 0.19 * deep * basic_m_s
    return (1 + 7 / deep) * 0.5 * AIR * mean**2 / 1000


def uplift_c_eu(pitch_deg: float, falls: int, *, blocked: bool) -> float | None:
    """Return the strongest overall upward c_f as a positive number; between slopes the graver; None beyond the table."""
    table = MONO_EU if falls == 1 else DUO_EU
    if pitch_deg > STEEPEST_EU:
        return None
    slopes = sorted(table)
    near = [s for s in slopes if s <= pitch_deg][-1:] + [s for s in slopes if s >= pitch_deg][:1]
    return max(-c for s in near for c in table[s][: 2 if blocked else 1])


def uplift_c_us(pitch_deg: float, falls: int, *, blocked: bool) -> float | None:
    """Return the strongest net upward C_N as a positive number; None beyond the figures."""
    if falls > 1:
        return net_uplift_us(pitch_deg, blocked=blocked)
    if pitch_deg > STEEPEST_MONO_US:
        return None
    steeper = [c for s, c in _MONO_US.items() if s >= pitch_deg - 7.5]
    return max(*steeper, net_uplift_us(pitch_deg, blocked=blocked))


def on_open_roof(
    speed_m_s: float,
    area_m2: float,
    pitch_deg: float,
    high_m: float,
    falls: int,
    side_m2: float,
    *,
    blocked: bool,
    us: bool,
) -> Wind | None:
    """Return what wind does to an open roof of ``area_m2`` in plan with ``side_m2`` of closed sides across the wind.

    None where the roof is steeper than the tables.
    """
    c = (uplift_c_us if us else uplift_c_eu)(pitch_deg, falls, blocked=blocked)
    if c is None:
        return None
    q = wind_pressure_us(speed_m_s) * GUST if us else peak_pressure_eu(speed_m_s, high_m)
    tilt = math.tan(math.radians(pitch_deg))
    # Of two slopes one alone may be pushed (EN 1991-1-4 7.3 (6)): half the roof's sideways part is not balanced.
    aside = q * c * area_m2 * tilt * (1.0 if falls == 1 else 0.5) + q * SIDE_C * side_m2
    source = (
        "ASCE 7-10 figs. 27.4-5, 27.4-4 (the second from memory), ASCE 7-16 2.4"
        if us
        else "EN 1991-1-4:2005 Table 7.7, with Table 7.6 and 4.5 from memory, EN 1990 Table A1.2(A)"
    )
    return Wind(q * c * area_m2, aside, q, source)
