"""Points brought in as text: a table of corners, GeoJSON, WKT, GPX, KML; as the file has them, before anything is taken.

Which of the two numbers runs east, and in which unit, is kept as the file says it, or not at all: the person decides,
with a picture before them.  What can't be read is a fault that names its line.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from quincunx.units.style import Style

Order = Literal["east", "north"]
"""Which of a point's two numbers comes first."""
UNITS: Mapping[str, tuple[str, float]] = {
    "m": ("metres", 1.0),
    "cm": ("centimetres", 0.01),
    "mm": ("millimetres", 0.001),
    "ft": ("feet (international, 0.3048 m)", 0.3048),
    "us-ft": ("US survey feet (1200/3937 m)", 1200 / 3937),
    "in": ("inches", 0.0254),
    "deg": ("degrees of longitude and latitude", math.nan),
}
"""Words of a unit and its length [m].  The US survey foot is 1200/3937 m (Mendenhall order, 1893)."""
MOST_POINTS, MOST_LETTERS, MOST_FAULTS = 5000, 4_000_000, 12
DEGREES_ACROSS = 0.05
"""Points that lie within this of each other both ways are degrees: so small a garden isn't brought in in metres."""
_WKT = re.compile(
    r"(SRID=\d+;)?\s*(MULTI)?(POLYGON|LINESTRING|POINT|GEOMETRYCOLLECTION)\s*(Z|M|ZM)?\s*(\(|EMPTY)", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Given:
    """One point as the file has it: its two numbers in the file's order and unit, and its line (0 where it has none)."""

    name: str
    first: float
    second: float
    z: float | None = None
    line: int = 0


@dataclass(frozen=True, slots=True)
class Group:
    """Points that belong together: an outline, a line, or points by themselves."""

    words: str
    points: tuple[Given, ...]
    shape: Literal["outline", "line", "points"] = "points"


@dataclass(frozen=True, slots=True)
class Brought:
    """What a file holds.  ``unit`` (of :data:`UNITS`) and ``order`` are what the file says itself; None: it doesn't."""

    form: str
    groups: tuple[Group, ...] = ()
    unit: str | None = None
    order: Order | None = None
    said: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()

    @property
    def degrees(self) -> bool:
        """Whether the numbers lie as longitudes and latitudes of one garden do."""
        return self.unit == "deg" or (
            self.unit is None and look_like_degrees([p for g in self.groups for p in g.points])
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


def look_like_degrees(points: Sequence[Given]) -> bool:
    """Return whether points can only be degrees: near each other as no garden measured in lengths is."""
    if len(points) < 2:
        return False
    first, second = [p.first for p in points], [p.second for p in points]
    low, high = sorted((max(map(abs, first)), max(map(abs, second))))
    near = max(max(first) - min(first), max(second) - min(second)) < DEGREES_ACROSS
    return near and low <= 90 and high <= 180


def limited(brought: Brought) -> Brought:
    """Return what was read with too many points or faults refused, and unnamed points numbered."""
    count = sum(len(g.points) for g in brought.groups)
    if count > MOST_POINTS:
        words = f"There are {count:,} points; at most {MOST_POINTS:,} can be brought in. Thin them out."
        return Brought(brought.form, faults=(words,))
    if len(brought.faults) > MOST_FAULTS:
        rest = f"… and {len(brought.faults) - MOST_FAULTS} more lines."
        brought = replace(brought, faults=(*brought.faults[:MOST_FAULTS], rest))
    if not count and not brought.faults:
        brought = replace(brought, faults=("There is no point in that file.",))
    groups = tuple(
        replace(g, points=tuple(replace(p, name=p.name or str(i)) for i, p in enumerate(g.points, 1)))
        for g in brought.groups
    )
    return replace(brought, groups=groups)


def _geojson(text: str) -> Brought:
    try:
        whole = json.loads(text)
    except json.JSONDecodeError as error:
        words = f"Line {error.lineno}: the JSON breaks off or is damaged there ({error.msg.lower()})."
        return Brought("GeoJSON", faults=(words,))
    except RecursionError:
        return Brought("GeoJSON", faults=("That JSON is nested too deeply to be GeoJSON.",))
    found: list[Group] = []
    faults: list[str] = []
    for n, (shape, name) in enumerate(_shapes(whole), 1):
        label = name or f"shape {n}"
        try:
            found += _of_shape(shape, label)
        except (TypeError, ValueError, KeyError, IndexError, AttributeError):
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
