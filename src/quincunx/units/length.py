"""Lengths as people write them: ``3.4 m``, ``3,4 m``, ``3 m 40``, ``12' 6 1/2"``, ``4 yd``.

Both systems are read in either style when a unit is written; without one it is metres, or feet.
1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import re
from fractions import Fraction
from math import floor
from typing import Literal

from quincunx.units._numbers import clean, read_number, read_quantity, spaced, write_count, write_number
from quincunx.units.errors import AmbiguousNumber, UnitsError, unreadable
from quincunx.units.style import Style

Kind = Literal["plan", "tape", "long"]

INCH = Fraction(254, 10_000)
"""One inch [m], exact."""

_SIZES = {
    "km": Fraction(1000),
    "m": Fraction(1),
    "cm": Fraction(1, 100),
    "mm": Fraction(1, 1000),
    "mi": 63_360 * INCH,
    "yd": 36 * INCH,
    "ft": 12 * INCH,
    "in": INCH,
}
_WORDS = (
    {
        "'": "ft",
        "foot": "ft",
        "feet": "ft",
        '"': "in",
        "inch": "in",
        "inches": "in",
        "ins": "in",
        "yard": "yd",
        "yards": "yd",
        "yds": "yd",
        "mile": "mi",
        "miles": "mi",
    }
    | {
        prefix + word + plural: short
        for prefix, short in (("", "m"), ("kilo", "km"), ("centi", "cm"), ("milli", "mm"))
        for word in ("metre", "meter")
        for plural in ("", "s")
    }
    | {word: word for word in _SIZES}
)
_METRIC = ("km", "m", "cm", "mm")
_EXAMPLES = "a number and a unit, such as 3.4 m, 340 cm or 12' 6 1/2\""
_JOINT = {"ft": re.compile(r" *(?:-|, )? *")}
_SPACE = re.compile(r" *")
_PART = re.compile(r" *([0-9.,][0-9., /-]*?)? *([a-z]+\.?|['\"]|$)")


def parse_length(text: str, style: Style) -> float:
    """Read a length and return it [m].

    Negative lengths are read too; bounds are the caller's business.  Raises :class:`UnitsError` when the
    text is no length, and :class:`AmbiguousNumber` with both readings when it is two (``1,234`` where the
    decimal mark is a point; ``3 m 4``, which may be 3.04 m or 3.4 m).
    """
    plain = clean(text, "a length", _EXAMPLES)
    sign = "-" if plain.startswith("-") else ""
    parts = _split(plain[1:].lstrip() if plain[:1] in ("+", "-") else plain, text)
    if len(parts) == 1:
        token, unit = parts[0]
        _refuse_two(token, unit, style, text)
        unit = unit or ("m" if style.system == "metric" else "ft")
        length = read_quantity(token, style, unit, sign) * _SIZES[unit]
    else:
        length = _compound(parts, style, text)
    return float(-length if sign else length)


def _refuse_two(token: str, unit: str, style: Style, text: str) -> None:
    """Refuse two numbers under one unit, such as ``101-8.5``: which of them are feet isn't guessed."""
    two = re.fullmatch(r"([0-9]+)(?: ?- ?| )([0-9.,]+)", token)
    if two is None or spaced(token):
        return
    wanted = _offered(two[1], two[2], style) if style.system == "feet" and not unit else _EXAMPLES
    raise unreadable(text, "a length", wanted)


def _offered(first: str, second: str, style: Style) -> str:
    """Say how two numbers can be written so that they are read: as feet and inches, or as one number."""
    try:
        _compound([(first, "ft"), (second, "in")], style, f"{first}' {second}\"")
    except UnitsError:
        if not second.isdecimal():
            return _EXAMPLES
        one = f"{first}{style.decimal_mark}{second}"
        return f"one number and its unit, such as {one} ft or {one} m, or feet and inches with the inches below 12"
    return f"the unit of each part, such as {first}' {second}\""


def _split(plain: str, text: str) -> list[tuple[str, str]]:
    """Part ``12' 6 1/2"`` into ``[("12", "ft"), ("6 1/2", "in")]``; a unit not written is ``""``."""
    parts: list[tuple[str, str]] = []
    at = 0
    while at < len(plain):
        joint = _JOINT.get(parts[-1][1], _SPACE).match(plain, at) if parts else None
        match = _PART.match(plain, joint.end() if joint else at)
        word = match[2].rstrip(".") if match else ""
        if match is None or not match[1] or (word and word not in _WORDS):
            raise unreadable(text, "a length", _EXAMPLES)
        parts.append((match[1], _WORDS[word] if word else ""))
        at = match.end()
    if not parts:
        raise unreadable(text, "a length", _EXAMPLES)
    return parts


def _compound(parts: list[tuple[str, str]], style: Style, text: str) -> Fraction:
    """Add up parts of falling size in one system, each less than one of the part before."""
    if not parts[-1][1]:
        parts = [*parts[:-1], _last_part(parts, style, text)]
    total, above = Fraction(0), Fraction(0)
    for token, unit in parts:
        size = _SIZES[unit]
        amount = read_quantity(token, style, unit)
        if above and (size >= above or amount * size >= above or total % above):
            raise unreadable(text, "a length", "each part whole and smaller than one of the part before")
        if (unit in _METRIC) != (parts[0][1] in _METRIC):
            raise unreadable(text, "a length", "metres and centimetres, or feet and inches, not both")
        total, above = total + amount * size, size
    return total


def _last_part(parts: list[tuple[str, str]], style: Style, text: str) -> tuple[str, str]:
    """Supply the unit of the last part: inches after feet, centimetres (two digits) after metres."""
    token, before = parts[-1][0], parts[-2][1]
    if before == "ft":
        return token, "in"
    digits = re.match(r"[0-9]*", token)
    if before == "m" and digits is not None and (len(digits[0]) > 1 or not token.strip("0")):
        return token, "mm" if len(token) == 3 and token.isdecimal() else "cm"
    if before == "m" and token.isdecimal() and len(parts) == 2:
        mark, whole = style.decimal_mark, parts[0][0]
        if read_number(whole, style, "m").denominator != 1:
            raise unreadable(text, "a length", "whole metres before the centimetres")
        sign = "-" if text.strip()[0] in "-−–" else ""
        raise AmbiguousNumber(text.strip(), (f"{sign}{whole}{mark}0{token} m", f"{sign}{whole}{mark}{token} m"))
    raise unreadable(text, "a length", _EXAMPLES)


def written_step_m(text: str, style: Style) -> float:
    """Return how finely a length is written [m]: 1 for ``18 m``, 0.01 for ``18.20 m``, 1/4 in for ``12' 6 1/4"``.

    Raises :class:`UnitsError` when the text is no length.
    """
    plain = clean(text, "a length", _EXAMPLES)
    parts = _split(plain[1:].lstrip() if plain[:1] in ("+", "-") else plain, text)
    if not parts[-1][1] and len(parts) > 1:
        parts = [*parts[:-1], _last_part(parts, style, text)]
    token, unit = parts[-1]
    size = _SIZES[unit or ("m" if style.system == "metric" else "ft")]
    fraction = re.search(r"/([1-9][0-9]*)$", token)
    decimals = re.search(r"[.,]([0-9]+)$", token)
    return float(size / int(fraction[1]) if fraction else size / 10 ** len(decimals[1]) if decimals else size)


def format_length(metres: float, style: Style, *, precision: int | None = None, kind: Kind = "plan") -> str:
    """Write a length given in [m].

    ``kind`` chooses the last mark: ``plan`` 1 cm or 1/2 in; ``tape`` 1 mm or 1/16 in; ``long`` 0.1 m below
    10 m, then 1 m, then 10 m from 1 km on, or whole feet, then hundredths of a mile.  ``precision``
    overrides it: decimals of a metre, or parts of an inch (1, 2, 4, 8, 16, 32).
    """
    if style.system == "metric":
        return _metric(metres, style, precision, kind)
    write_number(metres, 3, style)  # refuses what is not finite
    if kind == "long" and precision is None:
        feet = round(metres / 0.3048)
        return (
            f"{write_number(metres / 1609.344, 2, style)} mi" if abs(feet) >= 5280 else f"{write_count(feet, style)} ft"
        )
    return _feet_inches(metres, precision if precision is not None else 16 if kind == "tape" else 2)


def _metric(metres: float, style: Style, precision: int | None, kind: Kind) -> str:
    if kind == "long" and precision is None:
        if abs(metres) >= 999.5:
            return f"{write_number(metres / 1000, 2, style)} km"
        precision = 1 if abs(metres) < 9.95 else 0
    decimals = precision if precision is not None else 3 if kind == "tape" else 2
    return f"{write_number(metres, decimals, style)} m"


def _feet_inches(metres: float, parts: int) -> str:
    if parts not in (1, 2, 4, 8, 16, 32, 64):
        raise UnitsError(f"got {parts} parts of an inch; expected 1, 2, 4, 8, 16, 32 or 64; choose one of them")
    marks = floor(abs(metres) / 0.0254 * parts + 0.5 + 1e-9)  # halves go up, whatever the binary dust
    inches, rest = divmod(marks, parts)
    feet, inches = divmod(inches, 12)
    fraction = Fraction(rest, parts)
    words = [str(inches)] if inches or feet or not rest else []  # 61' 0 5/8", lest the fraction be read as feet
    words += [f"{fraction.numerator}/{fraction.denominator}"] if rest else []
    sign = "-" if metres < 0 and marks else ""
    return sign + (f"{feet}' " if feet else "") + " ".join(words) + '"'
