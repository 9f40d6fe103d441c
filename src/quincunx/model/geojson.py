"""What stands on a date as GeoJSON (RFC 7946), for programs that draw maps."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
import shapely
from shapely import MultiPoint, Point
from shapely.geometry import mapping
from shapely.geometry.base import BaseGeometry

from quincunx.model.triangles import meshes_of
from quincunx.scene import Scene
from quincunx.shapes import Solid, Surface, united
from quincunx.site.geodesy import lon_lat_deg
from quincunx.site.place import Place

DIGITS = 8
"""Places behind the point of a degree: about a millimetre."""


def geojson_of(scene: Scene, place: Place, kinds: Mapping[str, str], *, name: str = "") -> str:
    """Return what stands on the scene's date as a FeatureCollection: boundary, rooms, floors, what stands, spots.

    ``kinds`` gives the words of each owner's kind.  Longitude comes first, outlines run anticlockwise, holes clockwise
    (RFC 7946, 3.1.1 and 3.1.6); heights are above the ground [m].  The origin lies at the latitude and longitude of
    ``place``, which is that of the town unless the person said better: then all lies off by the same shift, truly
    sized and turned.
    """
    found: list[tuple[BaseGeometry, dict[str, Any]]] = [(scene.boundary, {"part": "boundary"})]
    rooms = [(r.outline or Point(r.inside), {"part": "room", "id": r.id}) for r in scene.rooms]
    spots = [(Point(s.at), {"part": "spot", "id": s.id, "height_m": s.height_m}) for s in scene.spots]
    lines = [(o.clear, {"part": "opening", "id": o.owner, "width_m": round(o.width_m, 3)}) for o in scene.openings]
    buried = [
        (b.line, {"part": "buried", "id": b.owner, "carries": b.carries, "sure_to_m": b.sure_to_m})
        for b in scene.buried
    ]
    plants: dict[tuple[str, str], list[Point]] = {}
    for p in scene.plants:
        plants.setdefault((p.owner, p.plant), []).extend(Point(at) for at in p.at)
    stems = [
        (MultiPoint(at), {"part": "planted", "id": owner, "plant": plant}) for (owner, plant), at in plants.items()
    ]
    found += [*rooms, *_floors(scene.surfaces), *_standing(scene), *lines, *buried, *stems, *spots]
    features = [_feature(scene, place, kinds, shape, about) for shape, about in found]
    origin = {"latitude_deg": place.latitude_deg, "longitude_deg": place.longitude_deg, "of": place.name}
    whole = {
        "type": "FeatureCollection",
        "name": name,
        "on": scene.on.isoformat(),
        "origin": origin,
        "features": features,
    }
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def _floors(surfaces: Iterable[Surface]) -> list[tuple[BaseGeometry, dict[str, Any]]]:
    by: dict[tuple[str, str], list[BaseGeometry]] = {}
    for s in surfaces:
        by.setdefault((s.owner, s.material), []).append(s.area)
    return [
        (united(areas), {"part": "floor", "id": owner, "material": material}) for (owner, material), areas in by.items()
    ]


def _standing(scene: Scene) -> list[tuple[BaseGeometry, dict[str, Any]]]:
    by: dict[str, list[Solid]] = {}
    for s in scene.solids:
        by.setdefault(s.owner, []).append(s)
    tops: dict[str, float] = {}
    for solid, mesh in meshes_of(scene.solids, scene.ground):
        under = scene.ground.height(mesh.corners[:, 0], mesh.corners[:, 1])
        tops[solid.owner] = max(float(np.max(mesh.corners[:, 2] - under)), tops.get(solid.owner, 0.0))
    return [
        (
            united([s.footprint for s in some]),
            {"part": "standing", "id": owner, "top_m": round(tops.get(owner, 0.0), 2)},
        )
        for owner, some in by.items()
    ]


def _feature(
    scene: Scene, place: Place, kinds: Mapping[str, str], shape: BaseGeometry, about: Mapping[str, Any]
) -> dict[str, Any]:
    owner = about.get("id", "")
    said = {"name": scene.name_of(owner)} if owner else {}
    kind = {"kind": kinds[owner]} if owner in kinds else {}
    on_earth = shapely.orient_polygons(shapely.transform(shape, lambda at: _placed(at, place)))
    geometry = mapping(on_earth)
    return {
        "type": "Feature",
        "properties": {**about, **said, **kind},
        "geometry": {"type": geometry["type"], "coordinates": _rounded(geometry["coordinates"])},
    }


def _placed(points: Any, place: Place) -> Any:
    return lon_lat_deg(points, place.latitude_deg, place.longitude_deg, place.north_offset_deg)


def _rounded(value: Any) -> Any:
    return round(value, DIGITS) if isinstance(value, float) else [_rounded(v) for v in value]
