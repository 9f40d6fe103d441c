"""Strength of sawn timber by the two published ways: reference values, adjustments, and the formulas of simple beams.

All in N, mm and N/mm2 unless a name says otherwise; US values are kept in psi as their table prints them.
Sources: AWC, NDS Supplement 2018, Table 4A (read in a public transcription) for values in psi; NDS 2018 clauses 2.3,
3.4, 3.7, 4.3 for formulas and factors (from memory, confirmed by published span tables); EN 338 and EN 1995-1-1:2004
for the European way (C24 read in two engineers' sheets; C16 and the tables of k_mod and k_def from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

PSI = 0.00689475729
"""One lbf/in2 in N/mm2."""
IN_MM = 25.4


@dataclass(frozen=True, slots=True)
class Grade:
    """Reference design values [psi]: bending, tension, shear, compression across and along the grain, E and E_min."""

    words: str
    fb: float
    ft: float
    fv: float
    fc_across: float
    fc: float
    e: float
    e_min: float


US: dict[str, Grade] = {
    "dfl": Grade("Douglas fir-larch No. 2", 900, 575, 180, 625, 1350, 1.6e6, 580_000),
    "spf": Grade("spruce-pine-fir No. 1/No. 2", 875, 450, 135, 425, 1150, 1.4e6, 510_000),
    "hf": Grade("hem-fir No. 2", 850, 525, 150, 405, 1300, 1.3e6, 470_000),
}
"""NDS Supplement 2018, Table 4A, pages 34 to 37 (2 to 4 in thick)."""
WEAKEST_US = Grade(
    "the weakest of Douglas fir-larch, spruce-pine-fir and hem-fir No. 2", 850, 450, 135, 405, 1150, 1.3e6, 470_000
)
SIZE_FB = ((4, 1.5), (6, 1.3), (8, 1.2), (10, 1.1), (12, 1.0))
"""C_F for bending by nominal depth up to [in] (NDS Supplement, Table 4A factors)."""
DURATION = {"dead": 0.9, "ten years": 1.0, "snow": 1.15, "construction": 1.25, "wind": 1.6}
"""C_D (NDS 2.3.2)."""
REPETITIVE = 1.15
WET = {"fv": 0.97, "fc_across": 0.67, "fc": 0.8, "e": 0.9}
"""Wet service (NDS Supplement, Table 4A factors); bending 0.85, but 1.0 where Fb C_F is no more than 1150 psi."""


@dataclass(frozen=True, slots=True)
class Class:
    """A strength class of EN 338 [N/mm2, kg/m3]."""

    words: str
    f_m: float
    f_v: float
    f_c: float
    e_mean: float
    e_05: float
    g_mean: float
    density: float


C24 = Class("C24", 24.0, 4.0, 21.0, 11_000.0, 7_400.0, 690.0, 350.0)
C16 = Class("C16", 16.0, 3.2, 17.0, 8_000.0, 5_400.0, 500.0, 310.0)
K_MOD = {
    1: {"permanent": 0.6, "long": 0.7, "medium": 0.8, "short": 0.9, "instant": 1.1},
    2: {"permanent": 0.6, "long": 0.7, "medium": 0.8, "short": 0.9, "instant": 1.1},
    3: {"permanent": 0.5, "long": 0.55, "medium": 0.65, "short": 0.7, "instant": 0.9},
}
K_DEF = {1: 0.6, 2: 0.8, 3: 2.0}
GAMMA_M, GAMMA_G, GAMMA_Q, K_SYS, K_CR = 1.3, 1.35, 1.5, 1.1, 0.67


def moment_uniform(w: float, span: float) -> float:
    """Return the greatest moment of a simple beam under a uniform load: w L^2 / 8 (AWC Design Aid 6, fig. 1)."""
    return w * span**2 / 8


def shear_uniform(w: float, span: float) -> float:
    """Return its greatest shear: w L / 2."""
    return w * span / 2


def sag_uniform(w: float, span: float, e: float, inertia: float) -> float:
    """Return its sag in the middle: 5 w L^4 / (384 E I)."""
    return 5 * w * span**4 / (384 * e * inertia)


def overhang_uniform(w: float, past: float) -> float:
    """Return the moment over the support of a piece that reaches ``past`` it: w L^2 / 2 (AWC Design Aid 6)."""
    return w * past**2 / 2


def section(b: float, d: float) -> tuple[float, float, float]:
    """Return area, section modulus and inertia of a rectangle ``b`` wide and ``d`` deep."""
    return b * d, b * d**2 / 6, b * d**3 / 12


def size_factor(deep_in: float) -> float:
    """Return C_F for bending of a piece ``deep_in`` [in] deep as dressed."""
    nominal = deep_in + 0.75
    return next((c for most, c in SIZE_FB if nominal <= most + 0.26), 1.0)


def fb_us(
    grade: Grade,
    deep_in: float,
    *,
    duration: str = "snow",
    repetitive: bool = False,
    wet: bool = False,
    sized: bool = False,
) -> float:
    """Return the adjusted bending value [psi]; ``sized`` where the table already holds the size (Southern Pine)."""
    by_size = grade.fb * (1.0 if sized else size_factor(deep_in))
    moist = 0.85 if wet and by_size > 1150 else 1.0
    return by_size * moist * DURATION[duration] * (REPETITIVE if repetitive else 1.0)


def span_us(  # noqa: PLR0913 - the formula's own quantities
    grade: Grade,
    b_in: float,
    d_in: float,
    apart_in: float,
    *,
    live_psf: float,
    dead_psf: float,
    sag: float,
    duration: str,
    wet: bool = False,
    sized: bool = False,
) -> float:
    """Return the greatest span [in] of repeated pieces: bending under live and dead load, sag L/``sag`` under live alone."""
    _, s, inertia = section(b_in, d_in)
    live, dead = live_psf * apart_in / 12 / 12, dead_psf * apart_in / 12 / 12  # lbf/in
    fb = fb_us(grade, d_in, duration=duration, repetitive=True, wet=wet, sized=sized)
    e = grade.e * (WET["e"] if wet else 1.0)
    bend = math.sqrt(8 * fb * s / (live + dead))
    return min(bend, math.cbrt(384 * e * inertia / (5 * live * sag)))


def post_us(
    grade: Grade,
    b_in: float,
    d_in: float,
    high_in: float,
    *,
    ends: float = 2.1,
    duration: str = "snow",
    wet: bool = True,
) -> float:
    """Return what a post carries along the grain [lbf] (NDS 3.7); 0 where it is more slender than 50.

    ``ends`` is the buckling length over the height: 2.1 for a foot held fast and a free top.
    """
    slender = high_in * ends / min(b_in, d_in)
    if slender > 50:
        return 0.0
    fc = grade.fc * DURATION[duration] * (WET["fc"] if wet else 1.0)
    e_min = grade.e_min * (WET["e"] if wet else 1.0)
    ratio = 0.822 * e_min / slender**2 / fc
    half = (1 + ratio) / (2 * 0.8)
    return (half - math.sqrt(half**2 - ratio / 0.8)) * fc * b_in * d_in


@dataclass(frozen=True, slots=True)
class BeamEC:
    """A beam by EN 1995-1-1, with its intermediates [kNm, kN, N/mm2]."""

    m_d: float
    sigma: float
    sigma_crit: float
    lambda_rel: float
    k_crit: float
    f_m_d: float
    v_d: float
    tau: float
    f_v_d: float

    @property
    def bending(self) -> float:
        """Return the share of the bending strength in use."""
        return self.sigma / (self.k_crit * self.f_m_d)

    @property
    def shear(self) -> float:
        """Return the share of the shear strength in use."""
        return self.tau / self.f_v_d


def beam_ec(  # noqa: PLR0913 - the formula's own quantities
    timber: Class,
    b: float,
    h: float,
    span: float,
    q_d: float,
    *,
    loaded: str,
    service: int,
    k_sys: float = 1.0,
    buckling: float | None = None,
    f_v: float | None = None,
) -> BeamEC:
    """Return a simple beam ``b`` x ``h`` [mm] over ``span`` [mm] under ``q_d`` [kN/m] (EN 1995-1-1 6.1.6, 6.1.7, 6.3.3).

    ``buckling`` is the length free to turn over [mm]; None where the edge in compression is held.
    """
    a, w, _ = section(b, h)
    m, v = q_d * (span / 1000) ** 2 / 8, q_d * span / 1000 / 2
    k_mod = K_MOD[service][loaded]
    f_m_d = timber.f_m * k_mod * k_sys / GAMMA_M
    f_v_d = (f_v or timber.f_v) * k_mod * k_sys / GAMMA_M
    crit = math.inf if buckling is None else 0.78 * b**2 / (h * buckling) * timber.e_05
    rel = 0.0 if buckling is None else math.sqrt(timber.f_m / crit)
    k = 1.0 if rel <= 0.75 else 1.56 - 0.75 * rel if rel <= 1.4 else 1 / rel**2
    return BeamEC(m, m * 1e6 / w, crit, rel, k, f_m_d, v, 1.5 * v * 1000 / (K_CR * a), f_v_d)


@dataclass(frozen=True, slots=True)
class SagEC:
    """Sag of a simple beam by EN 1995-1-1 2.2.3 [mm]: at once under G and under Q, together, and in the end."""

    at_once_g: float
    at_once_q: float
    at_once: float
    final: float


def sag_ec(
    timber: Class, b: float, h: float, span: float, g_k: float, q_k: float, *, service: int, psi_2: float
) -> SagEC:
    """Return the sag under ``g_k`` and ``q_k`` [kN/m = N/mm], shear included."""
    a, _, i = section(b, h)

    def one(w: float) -> float:
        return sag_uniform(w, span, timber.e_mean, i) + 1.2 * w * span**2 / (8 * timber.g_mean * a)

    g, q, k = one(g_k), one(q_k), K_DEF[service]
    return SagEC(g, q, g + q, g * (1 + k) + q * (1 + psi_2 * k))


def post_ec(timber: Class, b: float, h: float, length: float, *, loaded: str, service: int, ends: float = 2.0) -> float:
    """Return what a post carries along the grain [N] (EN 1995-1-1 6.3.2, beta_c 0.2)."""
    slender = length * ends / (min(b, h) / math.sqrt(12))
    rel = slender / math.pi * math.sqrt(timber.f_c / timber.e_05)
    f = timber.f_c * K_MOD[service][loaded] / GAMMA_M
    if rel <= 0.3:
        return f * b * h
    k = 0.5 * (1 + 0.2 * (rel - 0.3) + rel**2)
    return f * b * h / (k + math.sqrt(k**2 - rel**2))
