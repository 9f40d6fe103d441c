"""Hours of work as people write them: ``1 h 30``, ``1:30``, ``90 min``, ``1,5 h``."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Literal

from quincunx.units._numbers import clean, read_single, write_number
from quincunx.units.errors import unreadable
from quincunx.units.style import Style

Kind = Literal["clock", "decimal"]

_EXAMPLES = "hours and minutes, such as 1 h 30, 1:30, 90 min or 1.5 h"
_UNITS = {
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), Fraction(1)),
    **dict.fromkeys(("min", "mins", "minute", "minutes", "'"), Fraction(1, 60)),
}
_CLOCK = re.compile(r"([0-9]{1,4})(?::(?=[0-9]{2}$)| ?h(?:rs?|ours?)?\.? ?)([0-9]{1,2}) ?(?:m(?:in(?:ute)?s?)?\.?)?")


def parse_hours(text: str, style: Style) -> float:
    """Read a time worked and return it in hours [h]; a number without a unit is hours.

    A day or a weekend is refused: it has as many hours as the person gives it.  Raises
    :class:`UnitsError`, or :class:`AmbiguousNumber` with both readings.
    """
    clock = _CLOCK.fullmatch(clean(text, "a time", _EXAMPLES))
    timed = Fraction(0) if clock is None else int(clock[1]) + Fraction(int(clock[2]), 60)
    hours = timed if clock is not None else read_single(text, style, _UNITS, "h", "a time", _EXAMPLES)
    if hours < 0 or (clock is not None and int(clock[2]) > 59):
        raise unreadable(text, "a time", "no less than nothing, and fewer than 60 minutes after the hours")
    return float(hours)


def format_hours(hours: float, style: Style, *, kind: Kind = "clock") -> str:
    """Write hours [h] to the minute (``1 h 30``, ``45 min``), or as a decimal to a tenth (``1.5 h``)."""
    if kind == "decimal":
        return f"{write_number(hours, 1, style)} h"
    write_number(hours, 0, style)  # refuses what is not finite
    whole, minutes = divmod(round(abs(hours) * 60), 60)
    text = f"{whole} h {minutes:02d}" if whole and minutes else f"{whole} h" if whole else f"{minutes} min"
    return f"-{text}" if hours < 0 and (whole or minutes) else text


def format_clock(hour: float) -> str:
    """Write an hour of the day, counted from midnight [h], as the clock shows it: ``14:30``."""
    minutes = math.floor(hour * 60 + 0.5)
    if hour < 24 and minutes == 24 * 60:
        minutes -= 1
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
