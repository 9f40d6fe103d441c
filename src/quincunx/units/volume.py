"""Volumes as people write them: ``1.2 m3``, ``250 l``, ``2 1/2 cu yd``, ``60 gal``.

A gallon is the US gallon of 231 cubic inches (3.785 411 784 l); an imperial gallon is written out.
"""

from __future__ import annotations

from fractions import Fraction
from math import isfinite
from typing import Literal

from quincunx.units._numbers import read_single, write_count, write_number
from quincunx.units.style import Style

Kind = Literal["bulk", "liquid"]

FOOT3 = Fraction(3048, 10_000) ** 3
"""One cubic foot [m3], exact."""
GALLON = 231 * Fraction(254, 10_000) ** 3
"""One US gallon [m3], exact."""

IMPERIAL = frozenset({"GBP", "CAD"})
"""Money of places where a gallon was the imperial one, a fifth larger: there it is said that US gallons are meant."""
_EXAMPLES = "a number and a unit, such as 1.2 m3, 250 l, 2 1/2 cu yd or 60 gal"
_METRE_WORDS = ("m3", "cu m", "cubic metre", "cubic metres", "cubic meter", "cubic meters")
_LITRE_WORDS = ("l", "litre", "litres", "liter", "liters")
_UNITS = {
    **dict.fromkeys(_METRE_WORDS, Fraction(1)),
    **dict.fromkeys(_LITRE_WORDS, Fraction(1, 1000)),
    **dict.fromkeys(("ft3", "cu ft", "cubic foot", "cubic feet"), FOOT3),
    **dict.fromkeys(("yd3", "cu yd", "cubic yard", "cubic yards"), 27 * FOOT3),
    **dict.fromkeys(("gal", "gallon", "gallons", "us gal", "us gallon", "us gallons"), GALLON),
    **dict.fromkeys(("imperial gal", "imperial gallon", "imperial gallons"), Fraction(454_609, 100_000_000)),
}


def parse_volume(text: str, style: Style, *, kind: Kind = "bulk") -> float:
    """Read a volume and return it [m3].

    Without a unit, ``bulk`` (soil, gravel, concrete) is cubic metres or cubic yards, and ``liquid`` is
    litres or US gallons.  Raises :class:`UnitsError`, or :class:`AmbiguousNumber` with both readings.
    """
    own = _own(style, kind)
    return float(read_single(text, style, _UNITS, own, "a volume", _EXAMPLES))


def _own(style: Style, kind: Kind) -> str:
    if kind == "liquid":
        return "l" if style.system == "metric" else "gal"
    return "m3" if style.system == "metric" else "yd3"


def format_volume(volume_m3: float, style: Style, *, kind: Kind = "bulk", precision: int | None = None) -> str:
    """Write a volume given in [m3]: in m³ or yd³ (two decimals), or in litres or US gallons (whole).

    ``precision`` asks for another number of decimals.
    """
    unit = _own(style, kind)
    decimals = precision if precision is not None else 0 if kind == "liquid" else 2
    said = f"US {unit}" if unit == "gal" and style.currency in IMPERIAL else unit.replace("3", "³")
    number = float(volume_m3 / _UNITS[unit])
    return f"{write_number(number, decimals, style) if decimals or not isfinite(number) else write_count(number, style)} {said}"
