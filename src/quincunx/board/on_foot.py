"""On foot: the garden as it stands in a month, for standing and walking in it; what is seen from there, in words."""

from __future__ import annotations

import base64
import math
from datetime import datetime, time, timedelta
from typing import Any

import numpy as np
import shapely
from shapely import Point, Polygon
from starlette.responses import Response

from quincunx.board.ask import Ask
from quincunx.board.figures import xy
from quincunx.board.files import download
from quincunx.board.replies import Refused, encoded
from quincunx.board.scenes import day_of
from quincunx.board.standing import Standing
from quincunx.grow.bloom import in_month
from quincunx.light import Sky
from quincunx.model import glb_of, surface_z
from quincunx.scene import Scene
from quincunx.sight import EYE_M, ahead, eye_over
from quincunx.units import compass_words, format_day, format_length
from quincunx.walk import Walker, free_ground

WHO = "person"
POSTURES = (("standing", "standing"), ("seated", "seated"), ("child", "a child of six"))
CELL_M = 0.25
"""How finely the height of what is walked on is given [m]."""
STEP_MIN = 10
LOW_SUN = 0.01
"""The sun is given while it stands higher than this, as the sine of its height."""
MOST_TOLD = 6
NOTHING = -32768


def model(ask: Ask) -> Response:
    """Answer ``GET /api/foot/garden.glb``: all that stands in ``year`` and ``month``, as a binary glTF file."""
    at, on = ask.session.standing(), day_of(ask)
    key = ("foot", *at.stamp, on)
    data = ask.session.drawn.get(key)
    if data is None:
        with ask.session.turns.urgent():
            data = ask.session.drawn.put(key, _glb(at, ask))
    name = f"{ask.session.path.stem}-{on.year}-{on.month:02d}.glb"
    return download(data, name, "model/gltf-binary", inline="keep" not in ask.query)


def _glb(at: Standing, ask: Ask) -> bytes:
    on = day_of(ask)
    flowering = in_month(at.timeline, on.year, on.month, bloom=True)
    return glb_of(at.timeline.at(on), at.plant, flowering, name=at.garden.name, made="Quincunx")


def mapped(ask: Ask) -> Response:
    """Answer ``GET /api/foot/garden.geojson``: all that stands in ``year`` and ``month``, as GeoJSON to keep."""
    from quincunx.garden.on_earth import geojson

    at, on = ask.session.standing(), day_of(ask)
    with ask.session.turns.urgent():
        data = geojson(at.garden, at.timeline.at(on)).encode()
    return download(data, f"{ask.session.path.stem}-{on.year}-{on.month:02d}.geojson", "application/geo+json")


def ground(ask: Ask) -> bytes:
    """Answer ``GET /api/foot/ground``: where one can walk in ``year`` and ``month``, how high, where the sun stands."""
    at, on = ask.session.standing(), day_of(ask)
    key = ("foot ground", *at.stamp, on)
    known = ask.session.drawn.get(key)
    if known is not None:
        return known
    with ask.session.turns.urgent():
        return ask.session.drawn.put(key, encoded(ground_json(at, at.timeline.at(on))))


def ground_json(at: Standing, scene: Scene) -> dict[str, Any]:
    """Return the free ground of a person (polygons of where the middle of the body can be), heights, sun, spots."""
    who = at.words.walker(WHO) or Walker(id=WHO)
    free = [p.simplify(0.005) for p in free_ground(scene, who).stand]
    return {
        "date": scene.on.isoformat(), "words": format_day(scene.on), "month": scene.on.month,
        "free": [[xy(ring.coords[:-1], 3) for ring in (p.exterior, *p.interiors)] for p in free if p.area > 0.05],
        "heights": _heights(scene), "sun": _sun(at, scene), "spots": _spots(scene, free),
        "postures": [{"id": i, "words": w, "eye_m": EYE_M[i]} for i, w in POSTURES],
        "middle": xy(((scene.boundary.centroid.x, scene.boundary.centroid.y),), 3)[0],
        "boundary": xy(scene.boundary.exterior.coords[:-1], 3), "on_earth": at.garden.site.place is not None,
        "flowering": [at.words.name(o) for o in in_month(at.timeline, scene.on.year, scene.on.month, bloom=True)],
    }  # fmt: skip


def _heights(scene: Scene) -> dict[str, Any]:
    """Return the height of what is walked on over a grid, rows from the south, in whole centimetres (int16, base64)."""
    west, south, east, north = scene.world.bounds
    columns, rows = math.ceil((east - west) / CELL_M) + 1, math.ceil((north - south) / CELL_M) + 1
    x, y = np.meshgrid(west + np.arange(columns) * CELL_M, south + np.arange(rows) * CELL_M)
    at = np.column_stack([x.ravel(), y.ravel()])
    z = np.asarray(scene.ground.height(at[:, 0], at[:, 1]), np.float64)
    for surface in sorted(scene.surfaces, key=lambda s: s.layer):
        if surface.water_depth_m == 0:
            on = shapely.contains_xy(surface.area, at[:, 0], at[:, 1])
            z[on] = surface_z(surface, scene.ground, at[on])
    cells = np.clip(np.round(z * 100), -32767, 32767).astype("<i2")
    text = base64.b64encode(cells.tobytes()).decode()
    return {"x0": west, "y0": south, "step": CELL_M, "rows": rows, "columns": columns, "cm": text}


def _sun(at: Standing, scene: Scene) -> list[list[float]]:
    """Return the sun of the day every ten minutes: the clock's hour, and where it stands (x east, y north, z up)."""
    sky = Sky.over(at.timeline.frame)
    noon = datetime.combine(scene.on, time(0), sky.clock())
    times = [noon + timedelta(minutes=k) for k in range(0, 24 * 60, STEP_MIN)]
    towards = sky.direction(times)
    hours = [k * STEP_MIN / 60 for k in range(len(times))]
    return [
        [round(h, 3), *(round(float(v), 4) for v in way)]
        for h, way in zip(hours, towards, strict=True)
        if way[2] > LOW_SUN
    ]


def _spots(scene: Scene, free: list[Polygon]) -> list[dict[str, Any]]:
    """Return the spots one can stand at, or next to, looking at the middle of the garden."""
    out = []
    middle = scene.boundary.centroid
    tree = shapely.STRtree(free)
    for spot in scene.spots:
        point = Point(spot.at)
        near = tree.query_nearest(point) if free else []
        if not len(near) or free[int(near[0])].distance(point) > 2.0:
            continue
        at = shapely.get_coordinates(shapely.shortest_line(free[int(near[0])], point))[0]
        bearing = math.degrees(math.atan2(middle.x - at[0], middle.y - at[1])) % 360
        one = {"id": spot.id, "name": spot.name, "at": xy((tuple(at),), 3)[0], "bearing_deg": round(bearing, 1)}
        out.append(one | {"seated": 0 < spot.height_m < 1.4})
    return out


def told(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/foot/told``: what is seen from ``x``, ``y`` at ``eye`` over the floor, looking along ``bearing``."""
    at, on = ask.session.standing(), day_of(ask)
    scene = at.timeline.at(on)
    x, y, high = ask.number("x"), ask.number("y"), ask.number("eye", 1.6)
    if not scene.world.intersects(Point(x, y)) or not 0.2 <= high <= 30:
        raise Refused(422, "That place lies outside the garden.")
    with ask.session.turns.urgent():
        return {"words": sentences(at, scene, (x, y), high, ask.number("bearing", 0.0) % 360)}


def sentences(at: Standing, scene: Scene, place: tuple[float, float], high: float, bearing: float) -> list[str]:
    """Return what is seen ahead in sentences: where one stands, what fills the view, what stands there and how far."""
    found = ahead(scene, eye_over(scene, place, high), bearing)
    true = at.timeline.frame.north_offset_deg + bearing
    where = f"{format_day(scene.on)}, looking {direction(true)}{_near(at, scene, place)}."
    shares = [
        (found.mix.plants, "plants"),
        (found.mix.built, "what is built"),
        (found.mix.ground, "ground"),
        (found.mix.sky, "sky"),
    ]
    filled = ", ".join(f"{100 * s:.0f} % {w}" for s, w in shares)
    out = [where, f"The view ahead is {filled}."]
    if found.things:
        style = at.garden.style
        named = [
            f"{at.words.the(o)} from {format_length(m, style, kind='long')} off ({100 * s:.0f} %)"
            for o, s, m in found.things[:MOST_TOLD]
        ]
        out.append(f"Seen most: {'; '.join(named)}.")
    else:
        out.append("Nothing stands there.")
    return out


def _near(at: Standing, scene: Scene, place: tuple[float, float]) -> str:
    near = min(scene.spots, key=lambda s: math.dist(s.at, place), default=None)
    if near is None:
        return ""
    off = math.dist(near.at, place)
    name = at.words.the(near.id)
    return f", at {name}" if off < 1.0 else f", {format_length(off, at.garden.style, kind='long')} from {name}"


def direction(true_deg: float) -> str:
    """Return a true bearing as one of eight directions."""
    return compass_words(true_deg)
