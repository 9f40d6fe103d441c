"""A field in which two alternatives differ, with both its values as the person writes them, where they are short."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from pydantic.fields import FieldInfo
from shapely.geometry import LineString, Polygon

from quincunx.units import Style, format_area, format_hours, format_length, format_money
from quincunx.units.dates import MONTHS, format_month
from quincunx.units.fields import Doc, Length
from quincunx.units.money import minor_digits

LONG = 48
"""A text longer than this is not told [characters]."""
NAMED = 3
"""A list of no more than these is told by its names."""
ENCLOSE = ("outline", "boundary")
"""What fields of points are called whose last point is joined to the first."""
MONTH = re.compile(r"^\d{4}-\d{2}$")


def two_values(one: Doc, other: Doc, name: str, style: Style, called: Mapping[str, str]) -> tuple[str, str]:
    """Return the values of field ``name`` here and there in the person's units; two empty texts if they can't be told shortly.

    ``called`` gives the names of ids. What has moved whole says so in the second text alone.
    """
    mine, theirs = getattr(one, name), getattr(other, name)
    moved = _moved(mine, theirs)
    if moved:
        return "", f"{format_length(moved, style)} apart"
    info = type(one).model_fields[name]
    if any(isinstance(v, tuple) and len(v) > NAMED and not _points(v) for v in (mine, theirs)):
        mine, theirs = len(mine or ()), len(theirs or ())  # a long list is counted on both sides
    for fine in (False, True):
        pair = tuple(_told(v, info, style, called, fine=fine) for v in (mine, theirs))
        if all(pair) and pair[0] != pair[1]:
            return pair[0], pair[1]
    return "", ""


def _is_point(value: Any) -> bool:
    return isinstance(value, tuple) and len(value) == 2 and all(isinstance(v, Length) for v in value)


def _points(value: Any) -> list[tuple[float, float]]:
    if _is_point(value):
        return [value]
    return list(value) if isinstance(value, tuple) and value and all(_is_point(v) for v in value) else []


def _moved(mine: Any, theirs: Any) -> float:
    """Return how far a point, a line or an outline has moved whole [m]; 0 if it has not, or has another shape."""
    pairs = list(zip(_points(mine), _points(theirs), strict=False))
    if not pairs or len(_points(mine)) != len(_points(theirs)):
        return 0.0
    by = [(b[0] - a[0], b[1] - a[1]) for a, b in pairs]
    if any(math.dist(by[0], v) > 0.002 for v in by):
        return 0.0
    return math.hypot(*by[0])


def _told(value: Any, info: FieldInfo, style: Style, called: Mapping[str, str], *, fine: bool) -> str:
    if value is None or value in ("", ()):
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return _number(value, info, style, fine=fine)
    if isinstance(value, str):
        return _text(value, called)
    points = _points(value)
    if points:
        return _shape(points, info, style)
    if isinstance(value, tuple):
        named = all(isinstance(v, str) for v in value)
        return ", ".join(_text(v, called) for v in value) if named else f"{len(value)}"
    return ""


def _number(value: float, info: FieldInfo, style: Style, *, fine: bool) -> str:
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    unit = str(extra.get("unit") or "")
    if unit == "m" or isinstance(value, Length):
        return format_length(float(value), style, precision=3) if fine else format_length(float(value), style)
    if unit == "money":
        return format_money(round(value), style, whole=value % 10 ** minor_digits(style.currency) == 0)
    if unit == "h":
        return format_hours(value, style)
    if unit == "m2":
        return format_area(value, style)
    if unit in ("deg", "share", "%"):
        return (
            _plain(100 * value, style) + "%" if unit == "share" else _plain(value, style) + {"deg": "°", "%": "%"}[unit]
        )
    if str(info.title or "").endswith("month") and isinstance(value, int) and 1 <= value <= len(MONTHS):
        return MONTHS[value - 1]
    return f"{_plain(value, style)} {unit}" if unit not in ("", "year", "count", "ratio") else _plain(value, style)


def _plain(value: float, style: Style) -> str:
    return f"{value:.6g}".replace(".", style.decimal_mark)


def _text(value: str, called: Mapping[str, str]) -> str:
    if MONTH.match(value):
        return format_month(value)
    if value in called:
        return called[value]
    said = value.replace("-", " ") if re.fullmatch(r"[a-z0-9-]+", value) else value
    return said if len(said) <= LONG else ""


def _shape(points: list[tuple[float, float]], info: FieldInfo, style: Style) -> str:
    if len(points) < 2:
        return ""
    if str(info.title).casefold() in ENCLOSE and len(points) > 2:
        return format_area(Polygon(points).area, style)
    return f"{format_length(LineString(points).length, style)} long"
