"""Areas as people write them: ``120 m2``, ``1/2 acre``, ``430 sq ft``, ``0,3 ha``.

Sizes follow exactly from the international foot: 1 acre = 43 560 ft2.
"""

from __future__ import annotations

from fractions import Fraction

from quincunx.units._numbers import read_single, write_count, write_number
from quincunx.units.style import Style

FOOT2 = Fraction(3048, 10_000) ** 2
"""One square foot [m2], exact."""
ACRE = 43_560 * FOOT2
"""One acre [m2], exact."""

_EXAMPLES = "a number and a unit, such as 120 m2, 0.3 ha, 430 sq ft or 1/2 acre"
_METRE_WORDS = ("m2", "sq m", "sqm", "square metre", "square metres", "square meter", "square meters")
_FOOT_WORDS = ("ft2", "sq ft", "sqft", "sf", "square foot", "square feet")
_UNITS = {
    **dict.fromkeys(_METRE_WORDS, Fraction(1)),
    **dict.fromkeys(("cm2", "sq cm"), Fraction(1, 10_000)),
    **dict.fromkeys(("ha", "hectare", "hectares"), Fraction(10_000)),
    **dict.fromkeys(_FOOT_WORDS, FOOT2),
    **dict.fromkeys(("yd2", "sq yd", "square yard", "square yards"), 9 * FOOT2),
    **dict.fromkeys(("acre", "acres", "ac"), ACRE),
}


def parse_area(text: str, style: Style) -> float:
    """Read an area and return it [m2]; without a unit it is square metres, or square feet.

    Raises :class:`UnitsError`, or :class:`AmbiguousNumber` with both readings.
    """
    own = "m2" if style.system == "metric" else "ft2"
    return float(read_single(text, style, _UNITS, own, "an area", _EXAMPLES))


def format_area(area_m2: float, style: Style, *, precision: int | None = None) -> str:
    """Write an area given in [m2].

    By default three figures or whole units: square metres and, from 1 ha on, hectares; or square feet and,
    from half an acre on, acres.  ``precision`` asks for that many decimals of m2 or ft2 whatever the size.
    """
    if style.system == "metric":
        if precision is None and abs(area_m2) >= 9999.5:
            return f"{write_number(area_m2 / 10_000, 2, style)} ha"
        return f"{_written(area_m2, style, precision)} m²"
    feet2 = float(area_m2 / FOOT2)
    if precision is None and abs(feet2) >= 21_779.5:
        return f"{write_number(float(area_m2 / ACRE), 2, style)} acre"
    return f"{_written(feet2, style, precision)} ft²"


def _written(value: float, style: Style, precision: int | None) -> str:
    """Write a size with three figures, whole ones with their thousands parted, or with so many decimals."""
    decimals = 2 if abs(value) < 9.995 else 1 if abs(value) < 99.95 else 0
    written = write_number(value, decimals if precision is None else precision, style)  # refuses what is not finite
    return written if decimals or precision is not None else write_count(value, style)
