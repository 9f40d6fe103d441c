"""Numbers and fractions in a person's own writing, read exactly.

The decimal mark is the style's own.  The other mark is read as decimal too, unless it could as well
part thousands: ``1,234`` in a garden that writes ``3.4`` is refused with both readings.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from math import isfinite

from quincunx.units.errors import AmbiguousNumber, UnitsError, unreadable
from quincunx.units.style import Style

MAX_TEXT = 80
"""Longer texts are refused before anything is read [characters]."""

_SAME = {
    **dict.fromkeys("′’‘ʹ´`‛", "'"),
    **dict.fromkeys("″”“ʺ„", '"'),
    **dict.fromkeys("−–—‐‑‒", "-"),
    **dict.fromkeys("\u00a0\u2009\u202f\u2007\u2008\t", " "),
    "⁄": "/",
    "∕": "/",
    "º": "°",
    "˚": "°",
    "\u00ad": "",
}
_VULGAR = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅕": "1/5",
    "⅖": "2/5",
    "⅗": "3/5",
    "⅘": "4/5",
    "⅙": "1/6",
    "⅚": "5/6",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_TABLE = str.maketrans(_SAME | {mark: f" {text}" for mark, text in _VULGAR.items()})
_SPACED = re.compile(r"[0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]+)?")
_MIXED = re.compile(r"(?:([0-9]+)[ -]+)?([0-9]+) ?/ ?([0-9]+)")
_SINGLE = re.compile(r"([-+]?) *([0-9.,][0-9., /-]*?) *([a-z°%].*)?")


def clean(text: str, what: str, examples: str) -> str:
    """Return ``text`` in small letters with typographic marks, vulgar fractions and odd spaces made plain."""
    if not isinstance(text, str) or len(text) > MAX_TEXT:
        raise unreadable(str(text), what, examples)
    plain = text.translate(_TABLE).replace("''", '"').casefold()
    plain = re.sub(r"(?<=[a-z])[²³]", lambda power: "23"["²³".index(power[0])], plain)
    return re.sub(r" +", " ", plain).strip()


def read_number(token: str, style: Style, unit: str = "", sign: str = "") -> Fraction:
    """Read digits with a decimal mark or thousands groups; ``unit`` and ``sign`` only word the readings."""
    if spaced(token):
        return _decimal(token.replace(" ", "").replace(",", "."))
    marks = re.sub(r"[0-9]", "", token)
    if not marks:
        return _decimal(token)
    if len(marks) == 1 and marks in ".,":
        if marks != style.decimal_mark and grouped(token, marks):
            raise _ambiguous(token, marks, style, unit, sign)
        return _decimal(token.replace(",", "."))
    decimal = marks[-1] if len(set(marks)) > 1 else ""
    head, _, tail = token.rpartition(decimal) if decimal else (token, "", "")
    if set(marks) - set(".,") or (decimal and decimal in head) or not grouped(head, marks[0]):
        raise _bad(token)
    return _decimal(head.replace(marks[0], "") + ("." + tail if decimal else ""))


def grouped(token: str, mark: str) -> bool:
    """Tell whether ``mark`` can part ``token`` into thousands: no leading 0, then groups of exactly three."""
    return re.fullmatch(rf"[1-9][0-9]{{0,2}}(?:{re.escape(mark)}[0-9]{{3}})+", token) is not None


def spaced(token: str) -> bool:
    """Tell whether spaces part ``token`` into thousands, as in ``12 400``."""
    return _SPACED.fullmatch(token) is not None


def _ambiguous(token: str, mark: str, style: Style, unit: str, sign: str) -> AmbiguousNumber:
    unit = f" {unit}" if unit else ""
    readings = (sign + token.replace(mark, style.decimal_mark) + unit, sign + token.replace(mark, "") + unit)
    return AmbiguousNumber(sign + token + unit, readings)


def _decimal(token: str) -> Fraction:
    if not re.fullmatch(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+", token):
        raise _bad(token)
    return Fraction(token)


def _bad(token: str) -> UnitsError:
    return unreadable(token, "a number", "digits with one decimal mark, such as 3.4 or 3,4")


def read_quantity(token: str, style: Style, unit: str = "", sign: str = "") -> Fraction:
    """Read a number, a fraction (``7/8``) or a whole number and a fraction (``6 1/2``), exactly."""
    mixed = _MIXED.fullmatch(token)
    if mixed is None:
        return read_number(token, style, unit, sign)
    whole, top, bottom = (int(part or 0) for part in mixed.groups())
    if bottom == 0 or (mixed[1] is not None and top >= bottom):
        raise unreadable(token, "a fraction", "a top smaller than the bottom, such as 6 1/2")
    return whole + Fraction(top, bottom)


def read_single(text: str, style: Style, units: Mapping[str, Fraction], own: str, what: str, examples: str) -> Fraction:
    """Read one quantity with one of ``units`` (word -> size), or in ``own`` unit when none is written."""
    match = _SINGLE.fullmatch(clean(text, what, examples))
    word = ((match[3] or own) if match else "").rstrip(".").strip()
    if match is None or word not in units:
        raise unreadable(text, what, examples)
    sign = "-" if match[1] == "-" else ""
    size = read_quantity(match[2], style, word, sign) * units[word]
    return -size if sign else size


def group(digits: str, mark: str) -> str:
    """Return whole digits parted into thousands by ``mark``."""
    return f"{int(digits):,}".replace(",", mark)


def write_count(value: float, style: Style) -> str:
    """Write how many there are, thousands parted: ``1,197``, or ``1.197`` where the decimal mark is a comma."""
    return f"{value:,.0f}".replace(",", "," if style.decimal_mark == "." else ".")


def write_plain(value: float, style: Style, decimals: int = 3) -> str:
    """Write ``value`` with no more decimals than it takes, at most ``decimals``, thousands parted: ``2.5``, ``1,197``."""
    whole, _, rest = write_number(abs(value), decimals, Style()).partition(".")
    rest = rest.rstrip("0")
    parted = group(whole, "," if style.decimal_mark == "." else ".")
    sign = "-" if value < 0 and (int(whole) or rest) else ""
    return f"{sign}{parted}{style.decimal_mark if rest else ''}{rest}"


def write_number(value: float, decimals: int, style: Style) -> str:
    """Write ``value`` with a fixed number of decimals in the style's mark; never ``-0``."""
    if not isfinite(value):
        raise UnitsError(f"got {value!r}; expected a finite number to write")
    text = f"{value:.{decimals}f}"
    if not text.strip("-0."):
        text = text.lstrip("-")
    return text.replace(".", style.decimal_mark)
