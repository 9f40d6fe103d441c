"""Bearings, slopes and places on the globe as people write them.

A bearing is degrees clockwise from true north, 0 up to 360.  A slope is a grade: rise over run.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Literal

from quincunx.units._numbers import clean, read_number, read_quantity, write_number
from quincunx.units.errors import AmbiguousNumber, unreadable
from quincunx.units.style import Style

BearingKind = Literal["degrees", "quadrant", "compass"]
SlopeKind = Literal["ratio", "percent", "degrees"]

COMPASS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")
"""The sixteen points, 22.5 degrees apart, from north clockwise."""

_BEARING_EXAMPLES = "a bearing clockwise from north, such as 248°, S68°05'35\"W or SSW"
_SLOPE_EXAMPLES = "a slope, such as 1:20, 5 % or 3°"
_NAMES = {"north": "n", "east": "e", "south": "s", "west": "w"}
_QUADRANT = re.compile(r"([ns]) ?(.+?) ?([ew])")
_DMS = re.compile(r"([0-9.,]+) ?(?:°|deg(?:rees?)?\.?)? ?(?:([0-9.,]+) ?' ?)?(?:([0-9.,]+) ?\" ?)?")
_COORDINATE = re.compile(r"([nsew-]?) ?([^nsew-]+?) ?([nsew]?)")


def _degrees(token: str, style: Style, text: str, examples: str) -> float:
    """Read degrees, minutes and seconds; only the last part may have decimals."""
    match = _DMS.fullmatch(token)
    if match is None:
        raise unreadable(text, "an angle", examples)
    values = [read_number(part, style, "°") for part in match.groups() if part]
    minor = values[1:]
    if any(part >= 60 for part in minor) or any(part.denominator != 1 for part in values[:-1]):
        raise unreadable(text, "an angle", "whole degrees, then minutes and seconds below 60")
    if match[3] and not match[2]:
        raise unreadable(text, "an angle", examples)
    return float(sum((part / 60**at for at, part in enumerate(values)), Fraction(0)))


def parse_bearing(text: str, style: Style) -> float:
    """Read a bearing and return it [deg clockwise from true north], 0 <= bearing < 360.

    Reads degrees (0 to 360), degrees, minutes and seconds, quadrant bearings and the sixteen points.
    """
    plain = clean(text, "a bearing", _BEARING_EXAMPLES)
    plain = re.sub(r"north|east|south|west", lambda word: _NAMES[word[0]], plain)
    letters = re.sub(r"[ -]", "", plain)
    if letters.upper() in COMPASS:
        return COMPASS.index(letters.upper()) * 22.5
    if match := _QUADRANT.fullmatch(plain):
        return _quadrant(match[1], _degrees(match[2], style, text, _BEARING_EXAMPLES), match[3], text)
    bearing = _degrees(plain, style, text, _BEARING_EXAMPLES)
    if bearing > 360:
        raise unreadable(text, "a bearing", "0 to 360 degrees")
    return bearing % 360.0


def _quadrant(first: str, angle: float, last: str, text: str) -> float:
    if angle > 90:
        raise unreadable(text, "a bearing", "an angle from 0 to 90 degrees between the two letters")
    turned = angle if last == "e" else -angle
    return (turned if first == "n" else 180.0 - turned) % 360.0


EIGHT_SIDES = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
"""The eight sides, from north by east."""


def compass_words(bearing_deg: float) -> str:
    """Write a bearing as the nearest of eight sides: ``north``, ``south-west``."""
    return EIGHT_SIDES[round(bearing_deg / 45.0) % 8]


def format_bearing(bearing_deg: float, style: Style, *, kind: BearingKind = "degrees", precision: int = 1) -> str:
    """Write a bearing: ``248.1°``, ``S68°05'35"W`` (to the second), or the nearest of sixteen points."""
    write_number(bearing_deg, 0, style)  # refuses what is not finite
    bearing = bearing_deg % 360.0
    if kind == "compass":
        return COMPASS[math.floor(bearing / 22.5 + 0.5) % 16]
    if kind == "degrees":
        return f"{write_number(round(bearing, precision) % 360.0, precision, style)}°"
    return _write_quadrant(round(bearing * 3600) % 1_296_000)


def _write_quadrant(seconds: int) -> str:
    half = 648_000
    east = seconds <= half
    angle = seconds if east else 2 * half - seconds
    first, angle = ("N", angle) if angle <= half // 2 else ("S", half - angle)
    return f"{first}{angle // 3600:02d}°{angle // 60 % 60:02d}'{angle % 60:02d}\"{'E' if east else 'W'}"


def parse_slope(text: str, style: Style) -> float:
    """Read a slope and return its grade (rise over run, 0.05 for ``1:20``, ``5 %``); falls are negative.

    A bare number is refused, since it may be percent or degrees; so is ``2:1``, which on a drawing of
    earthworks is 1 up in 2 along and elsewhere 2 up in 1 along.
    """
    plain = clean(text, "a slope", _SLOPE_EXAMPLES)
    sign = -1.0 if plain.startswith("-") else 1.0
    plain = plain.removeprefix("-").strip()
    if match := re.fullmatch(r"([0-9.,]+) ?(?::|/| in ) ?([0-9.,]+)", plain):
        return sign * _ratio(match[1], match[2], style, text)
    match = re.fullmatch(r"(.+?) ?(%|percent|per cent|°|deg|degrees?)?", plain)
    number = read_quantity(match[1], style, match[2] or "%") if match and re.match(r"[0-9.,]", match[1]) else None
    if match is None or number is None:
        raise unreadable(text, "a slope", _SLOPE_EXAMPLES)
    if match[2] is None:
        if number:
            raise AmbiguousNumber(text, (f"{match[1]} %", f"{match[1]}°"))
        return 0.0
    if match[2] in ("%", "percent", "per cent"):
        return sign * float(number) / 100
    if number >= 90:
        raise unreadable(text, "a slope", "an angle below 90 degrees")
    return sign * math.tan(math.radians(float(number)))


def _ratio(rise: str, run: str, style: Style, text: str) -> float:
    up, along = read_number(rise, style), read_number(run, style)
    if along == 0:
        raise unreadable(text, "a slope", _SLOPE_EXAMPLES)
    if up > along:
        percent = write_number(float(up / along) * 100, 0, style)
        raise AmbiguousNumber(text, (f"{run}:{rise}", f"{percent} %"))
    return float(up / along)


def format_slope(grade: float, style: Style, *, kind: SlopeKind = "percent", precision: int = 1) -> str:
    """Write a grade (rise over run) as ``5.0 %``, ``1:20`` or ``2.9°``; a grade of nothing is ``level``."""
    if kind == "percent":
        return f"{write_number(grade * 100, precision, style)} %"
    if kind == "degrees":
        return f"{write_number(math.degrees(math.atan(grade)), precision, style)}°"
    write_number(grade, 0, style)  # refuses what is not finite
    if abs(grade) < 1e-4:
        return "level"
    if abs(grade) > 1:
        return f"{write_number(grade * 100, 0, style)} %"
    run = 1 / abs(grade)
    return ("-" if grade < 0 else "") + f"1:{write_number(run, 0 if run >= 9.95 else precision, style)}"


def parse_latitude(text: str, style: Style) -> float:
    """Read a latitude, ``52.1``, ``52°06' N`` or ``-33,9``, and return it [deg, north positive]."""
    return _coordinate(text, style, "ns", 90.0, "a latitude", "52.1 N or 52°06'N")


def parse_longitude(text: str, style: Style) -> float:
    """Read a longitude, ``-1.5`` or ``1°30' W``, and return it [deg, east positive]."""
    return _coordinate(text, style, "ew", 180.0, "a longitude", "1.5 W or 1°30'W")


def _coordinate(text: str, style: Style, letters: str, most: float, what: str, examples: str) -> float:
    match = _COORDINATE.fullmatch(re.sub(r"deg(rees?)?\.?", "°", clean(text, what, examples)))
    marks = (match[1] + match[3]) if match else "??"
    if match is None or len(marks) > 1 or marks.strip("-" + letters):
        raise unreadable(text, what, examples)
    value = _degrees(match[2], style, text, examples)
    if value > most:
        raise unreadable(text, what, f"at most {most:.0f} degrees")
    return -value if value and marks in ("-", "s", "w") else value
