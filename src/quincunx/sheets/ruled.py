"""Drawings whose patterns are strokes of their own, clipped to their areas, instead of tiles.

A browser that makes a PDF turns each area filled with a tile into a picture of points; strokes stay strokes, and small.
"""

from __future__ import annotations

import base64
import math
import re

_PATTERN = re.compile(r'<pattern id="(?P<id>[^"]+)" width="(?P<step>[\d.]+)"[^>]*>(?P<marks>.*?)</pattern>')
_MARK = re.compile(r'<path d="(?P<d>[^"]+)"(?P<stroke>[^>]*)/>')
_TILED = re.compile(
    r'<path d="(?P<d>[^"]+)" fill="url\(#(?P<id>[^"]+)\)" fill-rule="evenodd"(?P<more>[^>]*?) stroke="none"/>'
)
_PLACE = re.compile(r"([ML])(-?[\d.]+) (-?[\d.]+)")


def ruled(svg: str) -> str:
    """Return one of our own drawings (:func:`quincunx.sheets.svg.draw`, or several nested) with its patterns as strokes."""
    tiles = {m["id"]: (float(m["step"]), m["marks"]) for m in _PATTERN.finditer(svg)}
    count = 0

    def area(m: re.Match[str]) -> str:
        nonlocal count
        count += 1
        return _area(m, *tiles[m["id"]], count) if m["id"] in tiles else m[0]

    return _PATTERN.sub("", _TILED.sub(area, svg))


def address_of(svg: str) -> str:
    """Return a drawing as an address that holds it, its patterns as strokes: as a picture of its own its ids are its own too."""
    return "data:image/svg+xml;base64," + base64.b64encode(ruled(svg).encode()).decode()


def _area(found: re.Match[str], step: float, marks: str, nth: int) -> str:
    """Return the strokes of one area: a row as wide as the area, again and again down to its end, clipped to it."""
    places = [(float(x), float(y)) for _, x, y in _PLACE.findall(found["d"])]
    (west, east), (top, low) = ((min(axis), max(axis)) for axis in zip(*places, strict=True))
    columns = range(math.floor(west / step), math.floor(east / step) + 1)
    rows = range(math.floor(top / step), math.floor(low / step) + 1)
    strokes = _MARK.findall(marks)
    row = "".join(_moved(d, i * step, rows[0] * step) for i in columns for d, _ in strokes)
    more = "".join(f'<use href="#row{nth}" y="{_n(k * step)}"/>' for k in range(1, len(rows)))
    return (
        f'<clipPath id="in{nth}"><path d="{found["d"]}" clip-rule="evenodd"/></clipPath>'
        f'<g clip-path="url(#in{nth})"{found["more"]}><path id="row{nth}" d="{row}"{strokes[0][1]}/>{more}</g>'
    )


def _moved(d: str, dx: float, dy: float) -> str:
    return re.sub(
        r"([ML]?)(-?\d*\.?\d+) (-?\d*\.?\d+)", lambda m: f"{m[1]}{_n(float(m[2]) + dx)} {_n(float(m[3]) + dy)}", d
    )


def _n(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
