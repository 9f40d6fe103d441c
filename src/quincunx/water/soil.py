"""How much water a soil holds for roots, and how much of it plants take easily."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

HOLDS: Mapping[str, tuple[float, float]] = {
    "sand": (0.05, 0.11), "loamy sand": (0.06, 0.12), "sandy loam": (0.11, 0.15), "loam": (0.13, 0.18),
    "silt loam": (0.13, 0.19), "silt": (0.16, 0.20), "silty clay loam": (0.13, 0.18), "silty clay": (0.13, 0.19),
    "clay": (0.12, 0.20), "sandy clay loam": (0.125, 0.175), "clay loam": (0.14, 0.19), "sandy clay": (0.11, 0.16),
    "peat": (0.20, 0.50),
}  # fmt: skip
"""Water between field capacity and wilting, least and most, as a share of the soil: FAO-56, Table 19 (from memory);
sandy clay loam after USDA NRCS Wyoming, 1.5 to 2.1 in/ft (read); clay loam, sandy clay and peat from memory."""
USUAL = "loam"
"""Taken where the texture is not known."""
STONY = 0.7
"""Share left where a soil is stony (common practice, no source)."""


def holds(texture: str | None, *, stony: bool = False) -> tuple[float, float, float]:
    """Return the water a soil holds for roots as a share of its volume: low, middle, high."""
    low, high = HOLDS[texture or USUAL]
    share = STONY if stony else 1.0
    return (share * low, share * (low + high) / 2.0, share * high)


def in_reach_mm(share: ArrayLike, roots_m: ArrayLike) -> Any:
    """Return the water in reach of the roots when the soil is full, TAW [mm] (FAO-56, equation 82)."""
    return 1000.0 * np.asarray(share, np.float64) * np.asarray(roots_m, np.float64)


def easy_share(p: ArrayLike, etc_mm: ArrayLike) -> Any:
    """Return the share of it that is taken without stress on a day of ``etc_mm``: p + 0.04 (5 - ETc), 0.1 to 0.8.

    ``p`` is that of FAO-56, Table 22, for 5 mm a day; the rule is the note below the table.
    """
    return np.clip(np.asarray(p, np.float64) + 0.04 * (5.0 - np.asarray(etc_mm, np.float64)), 0.1, 0.8)


def easy_mm(p: ArrayLike, taw_mm: ArrayLike) -> Any:
    """Return the water that is taken without stress, RAW [mm] (FAO-56, equation 83)."""
    return np.asarray(p, np.float64) * np.asarray(taw_mm, np.float64)


def fao_effective_mm(rain_mm: ArrayLike) -> Any:
    """Return how much of a month's rain [mm] counts for crops, as in FAO's irrigation manual 3: 0.8 P - 25, 0.6 P - 10.

    For slopes up to 4 or 5 in 100 (C. Brouwer and M. Heibloem, Irrigation water management: irrigation water needs,
    FAO 1986; from memory).
    """
    p = np.asarray(rain_mm, np.float64)
    return np.maximum(np.where(p > 75.0, 0.8 * p - 25.0, 0.6 * p - 10.0), 0.0)


def usda_effective_mm(rain_mm: ArrayLike) -> Any:
    """Return the same by the method of the USDA Soil Conservation Service as FAO's CROPWAT has it (from memory)."""
    p = np.asarray(rain_mm, np.float64)
    return np.where(p <= 250.0, p * (125.0 - 0.2 * p) / 125.0, 125.0 + 0.1 * p)


def dependable_mm(rain_mm: ArrayLike) -> Any:
    """Return the rain that counts in four years of five, FAO's dependable rain: 0.6 P - 10, 0.8 P - 24 (from memory)."""
    p = np.asarray(rain_mm, np.float64)
    return np.maximum(np.where(p <= 70.0, 0.6 * p - 10.0, 0.8 * p - 24.0), 0.0)


def runs_off_mm(rain_mm: ArrayLike, curve_number: float) -> Any:
    """Return what runs off open ground in one storm [mm]: (P - 0.2 S)^2 / (P + 0.8 S), S = 25400/CN - 254.

    USDA Soil Conservation Service, Urban hydrology for small watersheds, TR-55, 1986 (from memory).
    """
    p, s = np.asarray(rain_mm, np.float64), 25400.0 / curve_number - 254.0
    return np.where(p > 0.2 * s, (p - 0.2 * s) ** 2 / (p + 0.8 * s), 0.0)
