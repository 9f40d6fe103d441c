"""Light that plants grow by: moles of photons a day on each cell, month by month."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from quincunx.light._field import field_of
from quincunx.light._raster import Singles
from quincunx.light.hours import Cast, add_by_month, together
from quincunx.light.sky import LEVEL, MONTHS, Days, Sky, Suns, suns
from quincunx.light.sky_view import dome
from quincunx.scene import Scene
from quincunx.scene.parts import kept_parts

Floats = NDArray[np.float64]

PHOTONS_UMOL_J = 4.57
"""Photons in a joule of daylight that plants use (Thimijan and Heins, HortScience 18, 1983, 818-822; McCree 1972)."""
PAR_SHARE = 0.45
"""Share of the sun's energy in that light: 0.45 to 0.50 by source; the lower is used."""
SOLAR_MJ_MIN = 0.0820
"""Solar constant [MJ/m2/min], FAO-56 equation 21."""
MID_MONTH = (15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349)
"""Day of the year of each month's 15th."""


@dataclass(frozen=True, eq=False)
class LightGrid:
    """``mol[month, row, column]`` [mol/m2/day] at each cell, and ``open_mol`` by month under an open sky."""

    x0_m: float
    y0_m: float
    cell_m: float
    mol: Singles
    open_mol: tuple[float, ...]
    months: tuple[int, ...] = MONTHS


def daily_light(
    scene: Scene,
    month: int | Sequence[int] = MONTHS,
    *,
    cell_m: float = 0.25,
    height_m: float = 0.0,
    step_min: float = 10.0,
    days: Days = "mid",
    sky: Sky | None = None,
) -> LightGrid:
    """Return the daily light on a level face in each cell, the sun's beam and the sky's share together.

    The energy under an open sky is that of FAO-56 for the sky's sunshine (a clear day's where none is given), parted
    into beam and sky light by :func:`diffuse_share`.  Light thrown back by walls and ground is not counted: beside a
    white wall there is more.
    """
    months = (month,) if isinstance(month, int) else tuple(month)
    over = sky or Sky.of(scene)
    cast = Cast(field_of(scene, cell_m), kept_parts(scene.solids, scene.ground), height_m)
    out = np.zeros((len(months), *cast.field.z_m.shape), np.float32)
    add_by_month(cast, [together(beam_and_sky(over, m, step_min, days)) for m in months], out)
    totals = tuple(open_mol(over, m) for m in months)
    return LightGrid(cast.field.x0_m, cast.field.y0_m, cast.field.cell_m, out, totals, months)


def beam_and_sky(sky: Sky, month: int, step_min: float = 10.0, days: Days = "mid") -> tuple[Suns, Suns]:
    """Return a month's suns and the directions of its sky, each with the moles a day it brings to open level ground.

    Through a day the beam is shared out as the light of clear days is (:func:`haurwitz_w_m2`).
    """
    whole, share = open_mol(sky, month), diffuse_share(clearness(sky, month))
    some = suns(sky, (month,), days, step_min)
    level = Sky(sky.latitude_deg, sky.longitude_deg)
    every = suns(level, (month,), days, step_min) if sky.horizon != LEVEL else some
    weight, total = (haurwitz_w_m2(np.degrees(np.arcsin(s.towards[:, 2]))) * s.hours for s in (some, every))
    beam = some._replace(hours=whole * (1 - share) * weight / max(float(total.sum()), 1e-9))
    above = dome(sky, month)
    return beam, above._replace(hours=above.hours * whole * share)


def open_mol(sky: Sky, month: int) -> float:
    """Return the daily light under an open sky in the middle of a month [mol/m2/day]."""
    return mol_from_mj(clearness(sky, month) * extraterrestrial_mj(sky.latitude_deg, MID_MONTH[month - 1]))


def clearness(sky: Sky, month: int) -> float:
    """Return the share of the light outside the air that reaches the ground.

    FAO-56 equation 35 with 0.25 and 0.50 where the sunshine is known, equation 37 (a clear day, by altitude) where not.
    """
    if sky.sunshine is None:
        return 0.75 + 2e-5 * sky.altitude_m
    return 0.25 + 0.50 * sky.sunshine[month - 1]


def diffuse_share(clear: float) -> float:
    """Return the share of light that comes from the sky and not the sun: 1 - 1.13 K, at least 0.1.

    Page 1961, as quoted by Duffie and Beckman (from memory).
    """
    return min(max(1.0 - 1.13 * clear, 0.1), 1.0)


def extraterrestrial_mj(latitude_deg: float, day: int) -> float:
    """Return the light outside the air on a level face, of a day of the year [MJ/m2/day]: FAO-56 equations 21 to 25."""
    phi = math.radians(latitude_deg)
    near = 1 + 0.033 * math.cos(2 * math.pi * day / 365)
    declination = 0.409 * math.sin(2 * math.pi * day / 365 - 1.39)
    sunset = math.acos(min(max(-math.tan(phi) * math.tan(declination), -1.0), 1.0))
    lit = sunset * math.sin(phi) * math.sin(declination) + math.cos(phi) * math.cos(declination) * math.sin(sunset)
    return max(24 * 60 / math.pi * SOLAR_MJ_MIN * near * lit, 0.0)


def haurwitz_w_m2(elevation_deg: ArrayLike) -> Floats:
    """Return the light of a clear sky on a level face [W/m2] by the sun's elevation.

    B. Haurwitz 1945, in J. Stein and others, Sandia SAND2012-2389.
    """
    up = np.sin(np.radians(np.asarray(elevation_deg, np.float64)))
    return np.where(up > 0, 1098.0 * up * np.exp(-0.059 / np.maximum(up, 1e-6)), 0.0)


def mol_from_mj(mj_m2: float, par_share: float = PAR_SHARE) -> float:
    """Return the daily light [mol/m2/day] in so much of the sun's energy [MJ/m2/day]."""
    return mj_m2 * par_share * PHOTONS_UMOL_J


def mol_from_ppfd(umol_m2_s: float, hours: float) -> float:
    """Return the daily light [mol/m2/day] of a steady flow of photons [umol/m2/s] over some hours."""
    return umol_m2_s * 3600 * hours / 1e6
