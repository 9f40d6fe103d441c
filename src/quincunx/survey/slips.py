"""The usual slips of pen, eye and tape, and which of them would explain a reading that doesn't fit.

The list is *common practice, no source*: digits swapped, a metre or foot miscounted, the zero of the tape not at
its end, feet taken for metres, inches written as tenths, look-alike digits, the wrong stake.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from quincunx.units.fields import Length
from quincunx.units.length import parse_length
from quincunx.units.style import Style

FOOT_M = 0.3048
Kind = Literal["swapped", "miscounted", "feet_for_metres", "inches_as_tenths", "zero_end", "look_alike", "wrong_stake"]

_ALIKE = {"6": "9", "9": "6", "1": "7", "7": "1", "3": "8", "8": "3"}
_UNLIKELY = {
    "swapped": 0.0, "miscounted": 1.0, "feet_for_metres": 1.0, "inches_as_tenths": 1.0, "zero_end": 2.0,
    "look_alike": 3.0, "wrong_stake": 4.0,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Slip:
    """One explanation: ``kind``, the value that was meant [m], its text if it is another text, the stake meant.

    ``off`` is how far the value lies from what the other readings say, in standard deviations.
    """

    kind: Kind
    value_m: float
    text: str | None = None
    stake: str | None = None
    off: float = 0.0

    @property
    def rank(self) -> tuple[float, str, float]:
        """Sort key: likely slips that fit well come first."""
        return (self.off**2 + _UNLIKELY[self.kind], self.kind, self.value_m)


def slips_of(read: Length, style: Style | None = None) -> list[Slip]:
    """Return what a length as written could have been meant to be; wrong stakes are not among them."""
    text = read.typed or _plain(float(read))
    style = style or Style()
    feet = _in_feet(text, style)
    found = [*_rewritten(text, style), *_miscounted(float(read), feet=feet), *_units(text, float(read), feet=feet)]
    best: dict[float, Slip] = {}
    for slip in sorted(found, key=lambda s: s.rank):
        key = round(slip.value_m, 3)
        if slip.value_m > 0.0 and key != round(float(read), 3):
            best.setdefault(key, slip)
    return list(best.values())


def fitting(slips: list[Slip], value_m: float, sd_m: float, within: float = 3.0) -> tuple[Slip, ...]:
    """Return the slips whose value lies within so many ``sd_m`` of ``value_m`` [m], the likeliest first."""
    off = [Slip(s.kind, s.value_m, s.text, s.stake, abs(s.value_m - value_m) / max(sd_m, 1e-4)) for s in slips]
    return tuple(sorted((s for s in off if s.off <= within), key=lambda s: s.rank))


def _plain(metres: float) -> str:
    text = f"{metres:.3f}"
    return text.removesuffix("0")


def _in_feet(text: str, style: Style) -> bool:
    if re.search(r"['\"]|ft|in|feet|foot", text):
        return True
    return style.system == "feet" and not re.search(r"m", text)


def _read(text: str, style: Style) -> float | None:
    try:
        return parse_length(text, style)
    except ValueError:
        return None


def _rewritten(text: str, style: Style) -> Iterator[Slip]:
    spots = [i for i, c in enumerate(text) if c.isdecimal()]
    for i, j in itertools.pairwise(spots):
        if text[i] != text[j]:
            yield from _slip("swapped", text[:i] + text[j] + text[i + 1 : j] + text[i] + text[j + 1 :], style)
    for i in spots:
        if text[i] in _ALIKE:
            yield from _slip("look_alike", text[:i] + _ALIKE[text[i]] + text[i + 1 :], style)


def _slip(kind: Kind, text: str, style: Style) -> Iterator[Slip]:
    value = _read(text, style)
    if value is not None:
        yield Slip(kind, value, text)


def _miscounted(read_m: float, *, feet: bool) -> Iterator[Slip]:
    steps = (FOOT_M, 10 * FOOT_M) if feet else (1.0, 10.0)
    for step, sign in itertools.product(steps, (1.0, -1.0)):
        yield Slip("miscounted", read_m + sign * step)
    blank = FOOT_M / 12.0 if feet else 0.1
    for sign in (1.0, -1.0):
        yield Slip("zero_end", read_m + sign * blank)


def _units(text: str, read_m: float, *, feet: bool) -> Iterator[Slip]:
    yield Slip("feet_for_metres", read_m / FOOT_M if feet else read_m * FOOT_M)
    tenths = re.fullmatch(r"\s*(\d+)[.,](\d{1,2})\s*(?:ft|')?\s*", text)
    if feet and tenths and int(tenths[2]) < 12:
        yield Slip("inches_as_tenths", (int(tenths[1]) + int(tenths[2]) / 12.0) * FOOT_M)
