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
_COORDINATES = re.compile(
    r"<(?P<inside>Point|LineString|LinearRing)\b[^>]*>(?:(?!</(?P=inside)>).)*?<coordinates>(?P<at>[^<]*)</coordinates>",
    re.IGNORECASE | re.DOTALL,
)
_PLACE = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d{1,2})?", re.IGNORECASE)
_WORDS = {"wpt": "the marked points", "rtept": "the route", "trkpt": "the track"}


def read_marked(text: str) -> Brought:
    """Return the points of a GPX 1.1 file (lat and lon attributes) or of a KML 2.2 file (OGC 07-147r2, coordinates)."""
    if re.search(r"<gpx\b", text, re.IGNORECASE):
        groups = tuple(_gpx(text))
        return Brought("GPX", groups, "deg", "east", faults=() if groups else ("There is no point in that GPX file.",))
    if re.search(r"<kml\b", text, re.IGNORECASE):
        bad: list[str] = []
        groups = tuple(_kml(text, bad))
        faults = [
            f'"{one[:40]}" in that KML is no place; expected longitude,latitude such as 1.5034,52.1021.'
            for one in bad[:5]
        ]
        if not groups and not bad:
            faults = ["There is no point in that KML file."]
        return Brought("KML", groups, "deg", "east", faults=tuple(faults))
    words = "That is XML, but neither GPX nor KML. Have the corners written as CSV, GeoJSON, WKT or DXF."
    return Brought("XML", faults=(words,))


def _gpx(text: str) -> Iterator[Group]:
    found: dict[str, list[Given]] = {}
    low, matches = text.lower(), list(_POINT.finditer(text))
    for n, match in enumerate(matches, 1):
        after = matches[n].start() if n < len(matches) else len(text)
        at = {m["axis"].lower(): float(m["value"]) for m in _AT.finditer(match["at"])}
        if len(at) < 2:
            continue
        kind = match["kind"].lower()
        end = -1 if match["alone"] else low.find(f"</{kind}>", match.end(), after)
        inside = text[match.end() : end] if end >= 0 else ""
        name, high = _NAME.search(inside), _HIGH.search(inside)
        called = html.unescape(name["name"].strip()) if name else ""
        found.setdefault(kind, []).append(Given(called[:40], at["lon"], at["lat"], float(high["z"]) if high else None))
    for kind, points in found.items():
        yield Group(_WORDS[kind], tuple(points), "points" if kind == "wpt" else "line")


def _kml(text: str, bad: list[str]) -> Iterator[Group]:
    """Yield what a KML file holds; what is no place goes into ``bad``."""
    single: list[Given] = []
    low, last = text.lower(), 0
    for n, match in enumerate(_COORDINATES.finditer(text), 1):
        marked = low.rfind("<placemark", last, match.start())
        said = _NAME.search(text, marked, match.start()) if marked >= 0 else None
        name, last = html.unescape(said["name"].strip())[:40] if said else "", match.end()
        rows = [one.split(",")[:3] for one in match["at"].split()]
        read = [len(r) > 1 and all(_PLACE.fullmatch(v) for v in (*r[:2], *filter(None, r[2:]))) for r in rows]
        bad += [",".join(r) for r, ok in zip(rows, read, strict=True) if not ok]
        found = [[float(v) for v in r if v] for r, ok in zip(rows, read, strict=True) if ok]
        inside = match["inside"].lower()
        points = tuple(
            Given(name if inside == "point" else "", r[0], r[1], r[2] if len(r) > 2 else None) for r in found
        )
        if inside == "point":
            single += points
        elif points:
            yield Group(name or f"shape {n}", points, "outline" if inside == "linearring" else "line")
    if single:
        yield Group("the points", tuple(single), "points")
