"""Sentences of the engines in the person's own units: one unit for one size, not two."""

from __future__ import annotations

import re

from quincunx.units import Style, format_length

_PAIR = re.compile(r"(\d[\d.]*(?: × \d[\d.]*)?) (mm|cm|m|m²) \((\d[\d.,]*(?: × \d[\d.]*)?) (in|ft|ft2|ft²)\)")
"""A size said twice: ``45 × 120 mm (1.77 × 4.72 in)``, ``2.31 m (7.6 ft)``."""
_SINGLE = re.compile(r"(?<![\d.,×/])(?<!× )(\d+(?:\.\d+)?) (mm|cm|m)\b(?![²³/]| \(| ×)")
"""A metric size by itself: ``30 cm``; not a part of a section, a rate or a product's own name."""
_BACK = re.compile(r"(\d[\d.]*) (in|ft2|ft²|ft) \((\d[\d.,]*) (mm|cm|m²|m)\)")
"""A size of a code that counts in feet: ``7 ft (2.13 m)``, ``200 ft2 (18.6 m²)``."""
_METRES = {"mm": 0.001, "cm": 0.01, "m": 1.0}
INCH_M = 0.0254
WHOLE_M = 0.1
"""Round figures of the trade from this size on are told in whole inches, smaller ones in eighths [m]."""


def own_units(text: str, style: Style) -> str:
    """Return ``text`` with each size in the person's units only.

    In metres what stands in brackets in inches or feet goes; in feet the metric goes, and what has no inches gets them.
    """
    if style.system != "feet":
        return _BACK.sub(r"\3 \4", _PAIR.sub(r"\1 \2", text))
    one = _BACK.sub(lambda m: _foot(m[1], m[2]), _PAIR.sub(lambda m: _foot(m[3], m[4]), text))
    return _SINGLE.sub(lambda m: _inches(m, style), one)


def _foot(size: str, unit: str) -> str:
    return f"{size} {unit.replace('ft2', 'ft²')}"


def _inches(found: re.Match[str], style: Style) -> str:
    metres = float(found[1]) * _METRES[found[2]]
    step = INCH_M if metres >= WHOLE_M else INCH_M / 8
    return format_length(round(metres / step) * step, style, kind="tape")
