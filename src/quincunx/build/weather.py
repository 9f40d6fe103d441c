"""Snow and wind on small open roofs by published rules, in kN/m2; the edition goes with every number.

ASCE/SEI 7-16 chapter 7 (formula and minimum read in a worked example; Ce, Ct, Cs from memory) and 7-10 figure 27.4-5
for open pitched roofs (read); EN 1991-1-3:2003 5.2 (from memory, arithmetic repeated).
"""

from __future__ import annotations

from dataclasses import dataclass

from quincunx.site.codes import held

PSF = 0.04788026
"""One lbf/ft2 in kN/m2."""
MPH = 0.44704
OPEN_AIR_CT = 1.2
"""Thermal factor of unheated and open-air structures (ASCE 7 Table 7.3-2; from memory)."""
GUST = 0.85

_CLEAR = {
    7.5: ((1.1, -0.3), (0.2, -1.2)), 15.0: ((1.1, -0.4), (0.1, -1.1)), 22.5: ((1.1, 0.1), (-0.1, -0.8)),
    30.0: ((1.3, 0.3), (-0.1, -0.9)), 37.5: ((1.3, 0.6), (-0.2, -0.6)), 45.0: ((1.1, 0.9), (-0.3, -0.5)),
}  # fmt: skip
_OBSTRUCTED = {
    7.5: ((-1.6, -1.0), (-0.9, -1.7)), 15.0: ((-1.2, -1.0), (-0.6, -1.6)), 22.5: ((-1.2, -1.2), (-0.8, -1.7)),
    30.0: ((-0.7, -0.7), (-0.2, -1.1)), 37.5: ((-0.6, -0.6), (-0.3, -0.9)), 45.0: ((-0.5, -0.5), (-0.3, -0.7)),
}  # fmt: skip
"""Net C_N of pitched open roofs by slope: (windward, leeward) of case A and of case B (ASCE 7-10 fig. 27.4-5)."""


def flat_snow_us(
    ground_kpa: float, *, exposure: float = 1.0, thermal: float = OPEN_AIR_CT, importance: float = 1.0
) -> float:
    """Return the snow on a flat roof [kN/m2]: 0.7 Ce Ct Is pg, ASCE 7-16 eq. 7.3-1."""
    return 0.7 * exposure * thermal * importance * ground_kpa


def least_snow_us(ground_kpa: float, importance: float = 1.0) -> float:
    """Return the least snow on low slopes [kN/m2] (ASCE 7-16 7.3.4): Is pg, at most 20 psf Is."""
    return importance * min(ground_kpa, 20 * PSF)


def slope_factor_us(pitch_deg: float, *, thermal: float = OPEN_AIR_CT, slippery: bool = False) -> float:
    """Return Cs (ASCE 7-16 fig. 7.4-1): 1 up to an angle by thermal factor, then straight to 0 at 70 degrees."""
    other = {1.0: 30.0, 1.1: 37.5, 1.2: 45.0}
    slick = {1.0: 5.0, 1.1: 10.0, 1.2: 15.0}
    start = (slick if slippery else other)[min(other, key=lambda t: abs(t - thermal))]
    return max(0.0, min(1.0, (70 - pitch_deg) / (70 - start)))


def roof_snow_us(
    ground_kpa: float,
    pitch_deg: float,
    *,
    slippery: bool = False,
    thermal: float = OPEN_AIR_CT,
    importance: float = 1.0,
) -> float:
    """Return the balanced snow on a pitched roof [kN/m2 in plan]; drifts and one-sided snow are not in it."""
    sloped = slope_factor_us(pitch_deg, thermal=thermal, slippery=slippery) * flat_snow_us(
        ground_kpa, thermal=thermal, importance=importance
    )
    return max(sloped, least_snow_us(ground_kpa, importance)) if pitch_deg < 15 else sloped


def shape_factor_eu(pitch_deg: float) -> float:
    """Return mu_1 (EN 1991-1-3:2003 Table 5.2): 0.8 to 30 degrees, straight to 0 at 60."""
    return 0.8 * max(0.0, min(1.0, (60 - pitch_deg) / 30))


def roof_snow_eu(ground_kpa: float, pitch_deg: float, *, exposure: float = 1.0, thermal: float = 1.0) -> float:
    """Return the undrifted snow on a roof [kN/m2 in plan]: mu_1 Ce Ct sk, EN 1991-1-3:2003 eq. 5.1."""
    return shape_factor_eu(pitch_deg) * exposure * thermal * ground_kpa


def wind_pressure_us(speed_m_s: float, *, kz: float = 0.85, kzt: float = 1.0, kd: float = 0.85) -> float:
    """Return the velocity pressure [kN/m2]: 0.613 Kz Kzt Kd V2 (ASCE 7 26.10), kz for 15 ft and open country."""
    return 0.613 * kz * kzt * kd * speed_m_s**2 / 1000


def net_uplift_us(pitch_deg: float, *, blocked: bool) -> float:
    """Return the strongest net upward C_N on any half of an open pitched roof, as a positive number (ASCE 7-10 fig. 27.4-5).

    Below 7.5 degrees the value of 7.5 holds; between slopes the stronger neighbour.
    """
    table = _OBSTRUCTED if blocked else _CLEAR
    slopes = sorted(table)
    near = [s for s in slopes if s <= pitch_deg][-1:] + [s for s in slopes if s >= pitch_deg][:1]
    return max(-c for s in (near or slopes[:1]) for case in table[s] for c in case)


def snow_density_pcf(ground_psf: float) -> float:
    """Return the density of snow [lb/ft3]: 0.13 pg + 14, at most 30 (ASCE 7 eq. 7.7-1; from memory)."""
    return min(0.13 * ground_psf + 14, 30.0)


@dataclass(frozen=True, slots=True)
class Bearing:
    """What a soil is taken to bear [kN/m2], by which row and by whose table; None where it needs a test."""

    kpa: float | None
    words: str
    source: str = ""


def bearing_of(texture: str | None, *, stony: bool = False, country: str | None = "US") -> Bearing:
    """Return the presumptive bearing of a soil by the table of the garden's country, the weakest of its class.

    In the US ICC IRC Table R401.4.1 (1500 psf: clay and silt; 2000: sandy; 3000: gravel).
    """
    code = held(country, "bearing")
    source = code.cited()
    if texture is None:
        return Bearing(None, "nobody has said what the soil is", source)
    if texture.startswith("peat"):
        where = " (24 CFR 3285.202)" if country == "US" else ""
        return Bearing(None, f"peat and loose fill need an engineer{where}", source)
    if "clay" in texture or "silt" in texture or texture == "loam":
        return _bearing("clay and silt", code.figures["clay_kpa"], source, country)
    if stony:
        return _bearing("sandy gravel", code.figures["gravel_kpa"], source, country)
    return _bearing("sand and silty sand", code.figures["sand_kpa"], source, country)


def _bearing(soil: str, kpa: float, source: str, country: str | None) -> Bearing:
    told = f"{round(kpa / PSF, -2):,.0f} psf" if country == "US" else f"{kpa:.0f} kN/m²"
    return Bearing(kpa, f"{soil}, {told}", source)
