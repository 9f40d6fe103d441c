"""Sums of money as people write them, and as whole minor units (cents, pence) inside.

How many minor digits a currency has follows ISO 4217 (list one, published 2026-01-01): two, but for those
named in :data:`MINOR_DIGITS`.
"""

from __future__ import annotations

import re

from quincunx.units._numbers import clean, grouped, read_number, write_number
from quincunx.units.errors import AmbiguousNumber, UnitsError, unreadable
from quincunx.units.style import Style

MINOR_DIGITS: dict[str, int] = {
    **dict.fromkeys(("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG"), 0),
    **dict.fromkeys(("RWF", "UGX", "UYI", "VND", "VUV", "XAF", "XOF", "XPF"), 0),
    **dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3),
    **dict.fromkeys(("CLF", "UYW"), 4),
}
"""Decimals of the currencies that do not have two (ISO 4217)."""

_DOLLARS = (
    "USD", "AUD", "BBD", "BMD", "BND", "BSD", "BZD", "CAD", "FJD", "GYD", "HKD", "JMD", "KYD", "LRD", "NAD", "NZD",
    "SBD", "SGD", "SRD", "TTD", "TWD", "XCD", "MXN", "ARS", "CLP", "COP",
)  # fmt: skip
SYMBOLS: dict[str, tuple[str, ...]] = {
    "€": ("EUR",),
    "£": ("GBP", "EGP", "FKP", "GIP", "SHP"),
    "$": _DOLLARS,
    "¥": ("JPY", "CNY"),
    "₩": ("KRW", "KPW"),
    "₹": ("INR",),
    "zł": ("PLN",),
    "kč": ("CZK",),
    "kr": ("DKK", "ISK", "NOK", "SEK"),
    "fr": ("CHF",),
    "us$": ("USD",),
    "ca$": ("CAD",),
    "a$": ("AUD",),
    "nz$": ("NZD",),
}
"""Each symbol and the currencies that use it, most used first (common practice, no source)."""

_EXAMPLES = "a sum such as 2400, 12.50 or 1,234.50"
_SUM = re.compile(r"(-?) ?([^0-9.,\s-]*) ?(-?) ?([0-9.,][0-9.,' ]*?)(?:[.,]-{1,2})? ?([^0-9.,\s-]*)")


def minor_digits(currency: str) -> int:
    """Return the decimals of a currency given by its ISO 4217 code."""
    if not re.fullmatch(r"[A-Z]{3}", currency):
        raise UnitsError(f'got the currency "{currency}"; expected a three-letter code such as EUR; write that')
    return MINOR_DIGITS.get(currency, 2)


def parse_money(text: str, style: Style) -> int:
    """Read a sum in the style's currency and return it in minor units.

    Thousands groups are read when they can't be decimals: ``1,234`` euros where the decimal mark is a
    point.  ``1.234`` there is refused with both readings, for cents have two digits.  Another currency's
    symbol or code is refused.  Raises :class:`UnitsError` or :class:`AmbiguousNumber`.
    """
    match = _SUM.fullmatch(clean(text, "a sum of money", _EXAMPLES))
    if match is None or (match[1] and match[3]):
        raise unreadable(text, "a sum of money", _EXAMPLES)
    for symbol in (match[2], match[5]):
        _agree(symbol, style, text)
    sign = "-" if match[1] or match[3] else ""
    minor = _minor(match[4].replace("'", " "), sign, style, text)
    return -minor if sign else minor


def _agree(symbol: str, style: Style, text: str) -> None:
    word = symbol.rstrip(".")
    if word and word.upper() != style.currency and style.currency not in SYMBOLS.get(word, ()):
        own = style.currency
        raise UnitsError(f'"{text}": the garden counts in {own}; expected a sum in {own}; write the number alone')


def _minor(token: str, sign: str, style: Style, text: str) -> int:
    digits = minor_digits(style.currency)
    foreign = "," if style.decimal_mark == "." else "."
    if digits < 3 and grouped(token, foreign):
        token = token.replace(foreign, "")
    elif digits < 3 and token.count(style.decimal_mark) == 1 and grouped(token, style.decimal_mark):
        cents = write_number(float(token.replace(",", ".")), digits, style)
        raise AmbiguousNumber(text, (sign + cents, sign + token.replace(style.decimal_mark, "")))
    amount = read_number(token, style, style.currency, sign) * 10**digits
    if amount.denominator != 1:
        raise unreadable(text, "a sum of money", f"at most {digits} decimals, as {style.currency} has")
    return int(amount)


def format_money(minor: int, style: Style, *, symbol: bool = True, whole: bool = False) -> str:
    """Write a sum given in minor units: ``€1,234.50``, or ``1.234,50 €`` where the decimal mark is a comma.

    ``whole`` rounds to whole units, halves away from zero; ``symbol`` off leaves the bare number.
    """
    digits = minor_digits(style.currency)
    size = 10**digits
    units, rest = divmod(abs(minor), size)
    if whole:
        units, rest, digits = (2 * abs(minor) + size) // (2 * size), 0, 0
    mark, groups = style.decimal_mark, "," if style.decimal_mark == "." else "."
    number = f"{units:,}".replace(",", groups) + (f"{mark}{rest:0{digits}d}" if digits else "")
    sign = "-" if minor < 0 and (units or rest) else ""
    return _with_symbol(sign, number, style) if symbol else f"{sign}{number}"


def _with_symbol(sign: str, number: str, style: Style) -> str:
    own = (mark for mark, codes in SYMBOLS.items() if codes[0] == style.currency and len(mark) == 1)
    mark = next(own, style.currency)
    if style.decimal_mark == ",":
        return f"{sign}{number} {mark}"
    return f"{sign}{mark}{number}" if len(mark) == 1 else f"{sign}{mark} {number}"
