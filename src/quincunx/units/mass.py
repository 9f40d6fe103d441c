"""Weights as people write them."""

from __future__ import annotations

from quincunx.units._numbers import write_count
from quincunx.units.style import Style

POUND_KG = 0.45359237
"""The international pound [kg], exact."""


def format_mass(kg: float, style: Style) -> str:
    """Return a weight [kg] in kilograms or pounds, to what a kitchen scale would trouble to tell."""
    value, unit = (kg / POUND_KG, "lb") if style.system == "feet" else (kg, "kg")
    if value >= 10 or round(value, 1) == round(value):
        return f"{write_count(value, style)} {unit}"
    return f"{value:.1f} {unit}".replace(".", style.decimal_mark)
