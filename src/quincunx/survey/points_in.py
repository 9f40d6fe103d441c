"""Points brought in as text: a table of corners, GeoJSON, WKT, GPX, KML; as the file has them, before anything is taken.

Which of the two numbers runs east, and in which unit, is kept as the file says it, or not at all: the person decides,
with a picture before them.  What can't be read is a fault that names its line.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from quincunx.survey.given import MOST_LETTERS, Brought, Given, Group, limited
from quincunx.units.style import Style

_WKT = re.compile(
    r"(SRID=\d+;)?\s*(MULTI)?(POLYGON|LINESTRING|POINT|GEOMETRYCOLLECTION)\s*(Z|M|ZM)?\s*(\(|EMPTY)", re.IGNORECASE
)


def read_points(text: str, style: Style) -> Brought:
    """Return the points in ``text``: GeoJSON, WKT, GPX, KML, or a table, its columns named or not.

    Between the columns of a table stands a comma, a semicolon, a tab or a space.

    Nothing is raised: what can't be read is a fault.
    """
    text = text.lstrip("\ufeff")
    start = text.lstrip()
    if len(text) > MOST_LETTERS:
        return Brought("text", faults=(f"The file has over {MOST_LETTERS:,} letters. Bring the corners alone.",))
    if not start:
        return Brought("text", faults=("The file is empty. Bring a list of corners: x, y and a name on each line.",))
    if "\0" in text:
        return Brought("text", faults=("That is no text. Save the corners as CSV, GeoJSON, WKT or text DXF.",))
    if start[0] in "{[":
        return _geojson(start)
    if _WKT.match(start):
        return _wkt(start)
    if start[0] == "<":
        from quincunx.survey._points_marked import read_marked

        return limited(read_marked(start))
    from quincunx.survey._points_table import read_table

    return limited(read_table(text, style))


def _geojson(text: str) -> Brought:
    try:
        whole = json.loads(text)
    except json.JSONDecodeError as error:
        words = f"Line {error.lineno}: the JSON breaks off or is damaged there ({error.msg.lower()})."
        return Brought("GeoJSON", faults=(words,))
    except ValueError:
        return Brought("GeoJSON", faults=("A number in that JSON has too many digits to be one of a garden.",))
    except RecursionError:
        return Brought("GeoJSON", faults=("That JSON is nested too deeply to be GeoJSON.",))
    found: list[Group] = []
    faults: list[str] = []
    for n, (shape, name) in enumerate(_shapes(whole), 1):
        label = name or f"shape {n}"
        try:
            found += _of_shape(shape, label)
        except (TypeError, ValueError, KeyError, IndexError, AttributeError, OverflowError):
            faults.append(f"{label}: a point there is no pair of numbers such as [12.34, 5.6].")
    if not found and not faults:
        faults.append("There is no GeoJSON shape in that: a Feature, a FeatureCollection or a geometry was expected.")
    brought = limited(Brought("GeoJSON", tuple(_points_together(found)), order="east", faults=tuple(faults)))
    return replace(brought, unit="deg") if brought.degrees else brought


def _shapes(whole: Any) -> Iterator[tuple[Mapping[str, Any], str]]:
    """Yield the geometries in a GeoJSON text with what their features are called (RFC 7946)."""
    if not isinstance(whole, Mapping):
        return
    if whole.get("type") == "FeatureCollection":
        inner = whole.get("features")
        for one in inner if isinstance(inner, list) else []:
            yield from _shapes(one)
    elif whole.get("type") == "Feature":
        given = whole.get("properties")
        said: Mapping[str, Any] = given if isinstance(given, Mapping) else {}
        name = next((str(said[k]) for k in ("name", "Name", "id", "label", "part") if said.get(k)), "")
        yield from ((shape, name[:60]) for shape, _ in _shapes(whole.get("geometry")))
    elif whole.get("type") == "GeometryCollection":
        inner = whole.get("geometries")
        for one in inner if isinstance(inner, list) else []:
            yield from _shapes(one)
    elif "coordinates" in whole:
        yield whole, ""


def _of_shape(shape: Mapping[str, Any], name: str) -> Iterator[Group]:
    kind, at = shape["type"], shape["coordinates"]
    if kind in ("Point", "MultiPoint"):
        rows = [at] if kind == "Point" else at
        named = (name if len(rows) == 1 else "",)
        yield Group(name, tuple(_pair(p, named[0]) for p in rows), "points")
    elif kind in ("LineString", "MultiLineString"):
        for line in [at] if kind == "LineString" else at:
            yield Group(name, tuple(_pair(p) for p in line), "line")
    elif kind in ("Polygon", "MultiPolygon"):
        for rings in [at] if kind == "Polygon" else at:
            yield Group(name, tuple(_pair(p) for p in rings[0]), "outline")


def _pair(at: Any, name: str = "") -> Given:
    numbers = [float(v) for v in at[:3]]
    if len(numbers) < 2 or not all(math.isfinite(v) for v in numbers):
        raise ValueError("no pair of numbers")
    return Given(name, numbers[0], numbers[1], numbers[2] if len(numbers) > 2 else None)


def _points_together(groups: Sequence[Group]) -> Iterator[Group]:
    """Yield the groups, single points gathered in one."""
    single = [p for g in groups if g.shape == "points" for p in g.points]
    yield from (g for g in groups if g.shape != "points")
    if single:
        yield Group("the points", tuple(single), "points")


def _wkt(text: str) -> Brought:
    """Return the points of well-known text (OGC 06-103r4, Simple feature access, part 1, clause 7)."""
    import shapely
    from shapely.geometry import mapping

    head, semicolon, rest = text.partition(";")
    given = rest if semicolon and head.upper().startswith("SRID=") else text
    try:
        shape = shapely.from_wkt(given.strip().rstrip(";"))
    except shapely.errors.GEOSException as error:
        why = str(error).removeprefix("ParseException: ")
        return Brought(
            "WKT", faults=(f"The WKT can't be read: {why}. Write it so: POLYGON ((0 0, 18 0, 18 46, 0 0)).",)
        )
    try:
        found = [g for one, name in _shapes(mapping(shape)) for g in _of_shape(one, name or "the shape")]
    except (TypeError, ValueError, IndexError):
        return Brought("WKT", faults=("The WKT holds no points.",))
    brought = limited(Brought("WKT", tuple(_points_together(found)), order="east"))
    return replace(brought, unit="deg") if brought.degrees else brought
