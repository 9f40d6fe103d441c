"""Sentences of the engines in the person's own units and marks: one unit for one size, not two.

Engines know no style.  They write metric sizes with a point, some with inches or feet in brackets after them, and sizes of
codes that count in feet the other way about.  Here each is written once, as the person writes.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from quincunx.units._numbers import group
from quincunx.units.length import format_length
from quincunx.units.mass import POUND_KG
from quincunx.units.style import Style

_N = r"\d[\d.]*"
_PAIR = re.compile(rf"({_N}(?: × {_N})?) (mm|cm|m²|m) \(({_N}(?: × {_N})?) (in|ft2|ft²|ft)\)")
"""A size said twice: ``45 × 120 mm (1.77 × 4.72 in)``, ``2.31 m (7.6 ft)``."""
_BACK = re.compile(rf"({_N}) (in|ft2|ft²|ft) \(({_N}) (mm|cm|m²|m)\)")
"""A size of a code that counts in feet: ``7 ft (2.13 m)``, ``200 ft2 (18.6 m²)``."""
_SINGLE = re.compile(r"(?<![\d.,×/])(?<!× )(\d+(?:\.\d+)?) (mm|cm|m)\b(?![²³/]| \(| ×)")
"""A metric size by itself: ``30 cm``; not a part of a section, a rate or a product's own name."""
_RANGE = re.compile(r"(?<![\d.,×/])(\d+(?:\.\d+)?)( to | or |–)(?=\d+(?:\.\d+)? (mm|cm|m)\b(?![²³/]))")
"""The first of two sizes with one unit: ``55 to 70 cm``."""
_RATE = re.compile(r"(?<![\d.,×/])(-?\d+(?:\.\d+)?) (kN/m²|kN|m/s|l/h|kg|°C)(?![\w/²³])")
_PSF = re.compile(r"(?<![\d.,])(\d{1,3}(?:,\d{3})+|\d+) psf\b")
_POINT = re.compile(r"(?<![\w.,])(\d+)\.(\d{1,2})(?![\w.])|(?<![\w.,])(\d+)\.(\d+)(?= (?:mm|cm|m|kg|kN|l|h)\b)")
_GROUPS = re.compile(r"(?<![\w.,])\d{1,3}(?:,\d{3})+(?![\w.,]\d)(?! (?:mm|cm|m|kg|t|l|h)\b)")
_SHARE = re.compile(r"(?<![\w.,])(\d+)\.(\d+)(?= (?:parts )?in 100\b)")
_METRES = {"mm": 0.001, "cm": 0.01, "m": 1.0}
INCH_M = 0.0254
WHOLE_M, HALF_M = 0.45, 0.1
"""Round figures of the trade from these sizes on are told in whole and in half inches, smaller ones in eighths [m]."""
LONG_IN = 36
"""From so many inches on a length is told in feet and inches."""
FEW = ("a few centimetres", "a few inches")
PSF_KPA = 0.04788026
"""One pound-force on a square foot [kN/m2] (NIST SP 811, table B.8)."""
LBF_KN = 0.004448222
"""One pound-force [kN] (NIST SP 811, table B.8)."""


def own_units(text: str, style: Style) -> str:
    """Return ``text`` with each size in the person's units only, and with the person's decimal mark.

    In metres what stands in brackets in inches or feet goes; in feet the metric goes, and what has no inches gets them.
    """
    text = text.replace(*FEW if style.system == "feet" else FEW[::-1])
    if style.system != "feet":
        one = _BACK.sub(r"\3 \4", _PAIR.sub(r"\1 \2", text))
        return own_marks(_PSF.sub(_kilonewtons, one), style)
    one = _BACK.sub(lambda m: _foot(m[1], m[2]), _PAIR.sub(lambda m: _told_twice(m, style), text))
    one = _RANGE.sub(r"\1 \3\2", one)
    one = _SINGLE.sub(lambda m: _inches(float(m[1]) * _METRES[m[2]], style), one)
    return own_marks(_RATE.sub(lambda m: _RATES[m[2]](float(m[1])), one), style)


def own_marks(text: str, style: Style) -> str:
    """Return ``text`` with the person's decimal mark in its numbers, and the other one between thousands.

    A number with three decimals and no unit is left alone: it may be thousands already.
    """
    if style.decimal_mark == ".":
        return text
    grouped = _GROUPS.sub(lambda m: m[0].replace(",", "\0"), text)
    return _POINT.sub(lambda m: m[0].replace(".", ","), grouped).replace("\0", ".")


def own_shares(text: str, style: Style) -> str:
    """Return ``text`` with the person's decimal mark in its shares (``1.5 in 100``) and all else as it is, names too."""
    return _SHARE.sub(r"\1,\2", text) if style.decimal_mark == "," else text


def section_words(section_m: tuple[float, float], style: Style) -> str:
    """Write a section: ``45 × 120 mm``, ``1 1/2" × 5 1/2"``; in feet to an eighth of an inch."""
    if style.system == "feet":
        return " × ".join(format_length(x, style, precision=8) for x in section_m)
    return f"{section_m[0] * 1000:.0f} × {section_m[1] * 1000:.0f} mm"


def _told_twice(found: re.Match[str], style: Style) -> str:
    """Return a size that is told both ways: a section, a round figure of the trade, or a length to a tape's mark."""
    size, unit, other, foot = found.groups()
    if " × " in size:
        wide, deep = (float(x) * _METRES.get(unit, 1.0) for x in size.split(" × "))
        return section_words((wide, deep), style)
    if foot == "in" and other.isdecimal() and int(other) >= LONG_IN:
        return format_length(int(other) * INCH_M, style)
    if unit == "m²" or other.isdecimal():
        return _foot(other, foot)
    return _inches(float(size) * _METRES[unit], style)


def _kilonewtons(found: re.Match[str]) -> str:
    return f"{_round(float(found[1].replace(',', '')) * PSF_KPA)} kN/m²"


def _foot(size: str, unit: str) -> str:
    return f"{size} {unit.replace('ft2', 'ft²')}"


def _inches(metres: float, style: Style) -> str:
    if metres < INCH_M / 16:
        return format_length(metres, style, precision=32)
    step = INCH_M if metres >= WHOLE_M else INCH_M / 2 if metres >= HALF_M else INCH_M / 8
    return format_length(round(metres / step) * step, style, kind="tape")


def _round(value: float) -> str:
    """Write a number to three figures at most, whole from ten on."""
    if abs(value) < 10:
        return f"{value:.2g}"
    digits = max(len(str(int(abs(value)))) - 3, 0)
    return group(f"{round(value, -digits):.0f}", ",")


_RATES: dict[str, Callable[[float], str]] = {
    "kN/m²": lambda v: f"{_round(v / PSF_KPA)} psf",
    "kN": lambda v: f"{_round(v / LBF_KN)} lb",
    "m/s": lambda v: f"{_round(v * 3600 / 1609.344)} mph",
    "l/h": lambda v: f"{_round(v / 3.785411784)} gal/h",
    "kg": lambda v: f"{_round(v / POUND_KG)} lb",
    "°C": lambda v: f"{v * 1.8 + 32:.0f} °F",
}
