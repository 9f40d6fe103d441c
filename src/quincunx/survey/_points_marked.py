"""Points written down by a hand receiver: GPX and KML, of which the points alone are read."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator

from quincunx.survey.given import Brought, Given, Group

_POINT = re.compile(r"<(?P<kind>wpt|rtept|trkpt)\b(?P<at>[^>]*?)(?P<alone>/)?>", re.IGNORECASE)
_AT = re.compile(r"""\b(?P<axis>lat|lon)\s*=\s*["']\s*(?P<value>[+-]?\d+(?:\.\d*)?)\s*["']""", re.IGNORECASE)
_NAME = re.compile(r"<name>\s*(?:<!\[CDATA\[)?(?P<name>[^<\]]{1,60})", re.IGNORECASE)
_HIGH = re.compile(r"<ele>\s*(?P<z>[+-]?\d+(?:\.\d*)?)\s*</ele>", re.IGNORECASE)
_COORDINATES = re.compile(r"<(?P<inside>\w*)>\s*<coordinates>(?P<at>[^<]*)</coordinates>", re.IGNORECASE)
_WORDS = {"wpt": "the marked points", "rtept": "the route", "trkpt": "the track"}


def read_marked(text: str) -> Brought:
    """Return the points of a GPX 1.1 file (lat and lon attributes) or of a KML 2.2 file (OGC 07-147r2, coordinates)."""
    if re.search(r"<gpx\b", text, re.IGNORECASE):
        groups = tuple(_gpx(text))
        return Brought("GPX", groups, "deg", "east", faults=() if groups else ("There is no point in that GPX file.",))
    if re.search(r"<kml\b", text, re.IGNORECASE):
        groups = tuple(_kml(text))
        return Brought("KML", groups, "deg", "east", faults=() if groups else ("There is no point in that KML file.",))
    words = "That is XML, but neither GPX nor KML. Have the corners written as CSV, GeoJSON, WKT or DXF."
    return Brought("XML", faults=(words,))


def _gpx(text: str) -> Iterator[Group]:
    found: dict[str, list[Given]] = {}
    for match in _POINT.finditer(text):
        at = {m["axis"].lower(): float(m["value"]) for m in _AT.finditer(match["at"])}
        if len(at) < 2:
            continue
        kind = match["kind"].lower()
        end = -1 if match["alone"] else text.lower().find(f"</{kind}>", match.end())
        inside = text[match.end() : end] if end >= 0 else ""
        name, high = _NAME.search(inside), _HIGH.search(inside)
        called = html.unescape(name["name"].strip()) if name else ""
        found.setdefault(kind, []).append(Given(called[:40], at["lon"], at["lat"], float(high["z"]) if high else None))
    for kind, points in found.items():
        yield Group(_WORDS[kind], tuple(points), "points" if kind == "wpt" else "line")


def _kml(text: str) -> Iterator[Group]:
    single: list[Given] = []
    for n, match in enumerate(_COORDINATES.finditer(text), 1):
        rows = [
            [float(v) for v in one.split(",")[:3] if v] for one in match["at"].split() if re.match(r"[-+\d.,eE]+$", one)
        ]
        points = tuple(Given("", r[0], r[1], r[2] if len(r) > 2 else None) for r in rows if len(r) > 1)
        inside = match["inside"].lower()
        if inside == "point":
            single += points
        elif points:
            yield Group(f"shape {n}", points, "outline" if inside == "linearring" else "line")
    if single:
        yield Group("the points", tuple(single), "points")
