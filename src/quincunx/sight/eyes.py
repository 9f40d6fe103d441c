"""Eyes and what they look at: where an eye is, and the points of a target that stand for all of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.scene import Scene
from quincunx.shapes import XY

Floats = NDArray[np.float64]

Posture = Literal["standing", "seated", "child"]
EYE_M: dict[str, float] = {"standing": 1.6, "seated": 1.2, "child": 1.1}
"""Height of an eye over the ground: an adult standing, on a seat 0.45 m high, a child of six standing (from memory,
rounded means of tables of body sizes)."""
PEOPLE_M = 1.2
"""People on a terrace are seen up to here: the head of somebody seated (from memory)."""
LOW_M = 0.05
"""Things lower than this are looked at as ground [m]."""
ACROSS, UP = 9, 5
"""Points of a target across and up; a piece of ground has about as many."""


@dataclass(frozen=True)
class Eye:
    """An eye: the id of where it is, where that is, and its height above the datum [m]."""

    ref: str
    at: XY
    z_m: float

    @property
    def xyz(self) -> Floats:
        """Return it as three numbers [m]."""
        return np.array([*self.at, self.z_m], np.float64)


@dataclass(frozen=True, eq=False)
class Target:
    """Points (rows up, columns across, 3) that stand for all of a target, and whose it is."""

    ref: str
    points: Floats
    flat: bool

    @property
    def lines(self) -> Floats:
        """Return the points one after another (n, 3)."""
        return self.points.reshape(-1, 3)

    @property
    def middle(self) -> XY:
        """Return the middle of it in plan [m]."""
        x, y, _ = self.lines.mean(axis=0)
        return float(x), float(y)


def eye_at(scene: Scene, ref: str, posture: Posture | None = None) -> Eye | None:
    """Return the eye at a spot, room or feature; None where no such thing stands.

    A spot that says its height is an eye at that height; anywhere else it is that of a ``posture`` (standing).
    """
    spot = scene.spot(ref)
    if spot is not None and posture is None and spot.height_m > 0:
        return eye_over(scene, spot.at, spot.height_m, ref)
    shape = ground_of(scene, ref)
    if shape is None:
        return None
    point = shape if isinstance(shape, Point) else shape.representative_point()
    return eye_over(scene, (point.x, point.y), EYE_M[posture or "standing"], ref)


def eye_over(scene: Scene, at: XY, height_m: float, ref: str = "") -> Eye:
    """Return an eye ``height_m`` over the ground at a point [m]."""
    return Eye(ref, at, scene.ground_z_m(*at) + height_m)


def ground_of(scene: Scene, ref: str) -> BaseGeometry | None:
    """Return the ground that a spot, room or feature takes [m]; None where it doesn't stand."""
    spot = scene.spot(ref)
    if spot is not None:
        return Point(spot.at)
    room = scene.room(ref)
    if room is not None:
        same = scene.area_of(ref)
        return room.outline if room.outline is not None else same if same is not None else Point(room.inside)
    return scene.area_of(ref)


def target_of(scene: Scene, ref: str, eye: Eye, height_m: float | None = None) -> Target | None:
    """Return the points of a spot, room or feature as an eye looks at it; None where it doesn't stand.

    A thing that stands up is looked at in its width and height.  Ground (a room, a floor, water) is looked at all over
    its surface, at ``height_m`` above it if given.  A spot is looked at where its height says.
    """
    shape = ground_of(scene, ref)
    if shape is None:
        return None
    spot, room = scene.spot(ref), scene.room(ref)
    if spot is not None:
        up = spot.height_m if height_m is None else height_m
        return _pole(scene, ref, spot.at, up)
    stands = [s for s in scene.solids if s.owner == ref]
    if stands and room is None and height_m is None:
        wide = _upright(scene, ref, eye)
        if wide is not None:
            return wide
    around = shape if not isinstance(shape, Point) else shape.buffer(1.0)
    return _floor(scene, ref, around, height_m if height_m is not None else _water_m(scene, ref))


def _water_m(scene: Scene, ref: str) -> float:
    return 0.0 if scene.room(ref) is None else PEOPLE_M


def _pole(scene: Scene, ref: str, at: XY, height_m: float) -> Target:
    """Return the points of an upright line over a point: just its top where that says a height, else a small mark."""
    z = scene.ground_z_m(*at) + max(height_m, LOW_M)
    return Target(ref, np.array([[[*at, z]]], np.float64), flat=False)


def _upright(scene: Scene, ref: str, eye: Eye) -> Target | None:
    """Return points over the width and height that a thing shows an eye, on the upright plane through its middle."""
    corners = _corners(scene, ref)
    middle = corners[:, :2].mean(axis=0)
    ahead = middle - eye.at
    far = float(np.hypot(*ahead))
    high = float(corners[:, 2].max() - corners[:, 2].min())
    if far < 0.1 or high < LOW_M:
        return None
    across = np.array([-ahead[1], ahead[0]]) / far
    side = (corners[:, :2] - middle) @ across
    u = _spread(side.min(), side.max(), ACROSS)
    v = _spread(corners[:, 2].min(), corners[:, 2].max(), UP)
    points = np.empty((UP, ACROSS, 3))
    points[:, :, :2] = middle + u[:, None] * across
    points[:, :, 2] = v[:, None]
    return Target(ref, points, flat=False)


def _corners(scene: Scene, ref: str) -> Floats:
    """Return the corners of all that stands of a feature, foot and top (n, 3) [m]."""
    out = []
    for solid in (s for s in scene.solids if s.owner == ref):
        xy = shapely.get_coordinates(solid.footprint)
        ground = scene.ground.height(xy[:, 0], xy[:, 1])
        for height in (solid.base, solid.top):
            z = height.value_m + (ground if height.datum == "ground" else 0.0)
            out.append(np.column_stack([xy, np.broadcast_to(z, len(xy))]))
    return np.vstack(out)


def _spread(low: float, high: float, count: int) -> Floats:
    """Return the middles of ``count`` equal pieces between two numbers."""
    return low + (np.arange(count) + 0.5) / count * (high - low)


def _floor(scene: Scene, ref: str, shape: BaseGeometry, height_m: float) -> Target:
    """Return points spread over a piece of ground, ``height_m`` above it."""
    west, south, east, north = shape.bounds
    fill = max(shape.area / max((east - west) * (north - south), 1e-9), 0.05)
    count = int(np.ceil(np.sqrt(ACROSS * UP / fill)))
    x, y = np.meshgrid(_spread(west, east, count), _spread(south, north, count))
    inside = shapely.contains_xy(shape, x.ravel(), y.ravel())
    at = np.column_stack([x.ravel(), y.ravel()])[inside]
    if not len(at):
        point = shape.representative_point() if isinstance(shape, Polygon) else shape.centroid
        at = np.array([[point.x, point.y]])
    z = scene.ground.height(at[:, 0], at[:, 1]) + max(height_m, LOW_M)
    return Target(ref, np.column_stack([at, z])[None], flat=True)
