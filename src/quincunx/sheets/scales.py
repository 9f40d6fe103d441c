"""Paper, scale and tiles: the largest round scale at which the ground fits, or several sheets with overlap."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quincunx.units import Style

MARGIN_MM = 10.0
OVERLAP_MM = 15.0

PAPERS_MM: dict[str, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
}
"""Upright paper sizes [mm]: ISO 216 and ANSI/ASME Y14.1 (from memory)."""

METRIC_SCALES = (5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000)
"""Scales of ISO 5455 and the usual ones between (from memory)."""

FEET_SCALES: tuple[tuple[float, str], ...] = (
    (12, "1 in = 1 ft"), (24, "1/2 in = 1 ft"), (48, "1/4 in = 1 ft"), (96, "1/8 in = 1 ft"), (120, "1 in = 10 ft"),
    (240, "1 in = 20 ft"), (360, "1 in = 30 ft"), (480, "1 in = 40 ft"), (600, "1 in = 50 ft"), (1200, "1 in = 100 ft"),
)  # fmt: skip
"""Architect's and engineer's scales of the inch rule."""


@dataclass(frozen=True, slots=True)
class Scale:
    """A drawing scale: 1 to ``number``, and how it is ``said``."""

    number: float
    said: str


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of a plan: its place in the grid and what it shows (west, south, east, north) [m]."""

    column: int
    row: int
    bounds: tuple[float, float, float, float]


def scales(style: Style) -> tuple[Scale, ...]:
    """Return the scales for a person's units, largest drawing first."""
    if style.system == "feet":
        return tuple(Scale(n, said) for n, said in FEET_SCALES)
    return tuple(Scale(n, f"1:{n}") for n in METRIC_SCALES)


def fitting(width_m: float, height_m: float, frame_mm: tuple[float, float], style: Style) -> Scale:
    """Return the largest scale at which ``width_m`` by ``height_m`` fits into a frame on paper [mm]."""
    every = scales(style)
    for scale in every:
        if 1000 * width_m / scale.number <= frame_mm[0] + 1e-6 and 1000 * height_m / scale.number <= frame_mm[1] + 1e-6:
            return scale
    return every[-1]


def fits(width_m: float, height_m: float, frame_mm: tuple[float, float], scale: Scale) -> bool:
    """Return whether the ground fits into the frame at ``scale``."""
    return 1000 * width_m / scale.number <= frame_mm[0] + 1e-6 and 1000 * height_m / scale.number <= frame_mm[1] + 1e-6


def tiles(bounds: tuple[float, float, float, float], frame_mm: tuple[float, float], scale: Scale) -> list[Tile]:
    """Return the sheets that cover ``bounds`` at ``scale``, overlapping by 15 mm, west to east, north to south."""
    west, south, east, north = bounds
    step = [(f - OVERLAP_MM) * scale.number / 1000 for f in frame_mm]
    full = [f * scale.number / 1000 for f in frame_mm]
    columns = 1 + max(0, math.ceil((east - west - full[0]) / step[0] - 1e-9))
    rows = 1 + max(0, math.ceil((north - south - full[1]) / step[1] - 1e-9))
    out = []
    for row in range(rows):
        for column in range(columns):
            left, top = west + column * step[0], north - row * step[1]
            out.append(Tile(column, row, (left, top - full[1], left + full[0], top)))
    return out
