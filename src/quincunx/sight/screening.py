"""What would hide a target from an eye: how high a screen must stand at each place between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from quincunx.scene import Scene
from quincunx.shapes import XY, Solid, united
from quincunx.sight.seen import Seen, near_lines

Floats = NDArray[np.float64]

FROM, TO, PLACES = 0.05, 0.95, 19
"""The shares of the way from the target to the eye between which screens are tried, and how many."""
SEEN = 0.05
"""Lines of which no more than this gets through are hidden already."""
FOOT_M = 0.3
"""What begins higher over the ground than this is no screen that could be grown or built up [m]."""
SCREEN_M = 0.45
"""What is built and stands lower than this is no screen to be built up [m]."""
SPARE_M = 0.05
"""How much a screen reaches past the last line on each side [m]."""


@dataclass(frozen=True)
class Screen:
    """A screen that would hide a target: its ends, the height it needs over the ground there, how far from the target [m]."""

    start: XY
    end: XY
    height_m: float
    from_target_m: float

    @property
    def width_m(self) -> float:
        """Return how wide it is [m]."""
        return float(np.hypot(self.end[0] - self.start[0], self.end[1] - self.start[1]))

    @property
    def middle(self) -> XY:
        """Return its middle [m]."""
        return ((self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2)


def screens(scene: Scene, view: Seen) -> tuple[Screen, ...]:
    """Return the screens that would hide what is still seen, across the view, from the target towards the eye.

    Only places inside the boundary are given; empty when nothing is seen.
    """
    open_lines = view.target.lines[view.through.ravel() > SEEN]
    if not len(open_lines):
        return ()
    eye = view.eye.xyz
    middle = open_lines.mean(axis=0)
    ahead = middle[:2] - eye[:2]
    far = float(np.hypot(*ahead))
    if far < 0.5:
        return ()
    ahead /= far
    nearest = float(((open_lines[:, :2] - eye[:2]) @ ahead).min())
    out = []
    for share in np.linspace(FROM, TO, PLACES):
        at = nearest * (1.0 - share)
        made = _across(scene, eye, open_lines, ahead, at)
        if made is not None and scene.boundary.covers(LineString([made[0], made[1]])):
            out.append(Screen(made[0], made[1], made[2], float(nearest - at)))
    return tuple(out)


def _across(scene: Scene, eye: Floats, ends: Floats, ahead: Floats, at_m: float) -> tuple[XY, XY, float] | None:
    """Return the ends and height of an upright screen across the view, ``at_m`` ahead of the eye."""
    run = ends - eye
    reach = run[:, :2] @ ahead
    if at_m <= 0 or (reach < at_m).any():
        return None
    met = eye + run * (at_m / reach)[:, None]
    aside = np.array([-ahead[1], ahead[0]])
    u = (met[:, :2] - eye[:2]) @ aside
    foot = eye[:2] + ahead * at_m
    start, end = foot + aside * (u.min() - SPARE_M), foot + aside * (u.max() + SPARE_M)
    height = float((met[:, 2] - scene.ground.height(met[:, 0], met[:, 1])).max())
    return (float(start[0]), float(start[1])), (float(end[0]), float(end[1])), max(height, 0.0)


def lowest(found: tuple[Screen, ...]) -> Screen | None:
    """Return the screen that needs the least height; of equals the narrowest; None if there is none."""
    return min(found, key=lambda s: (round(s.height_m, 2), round(s.width_m, 2)), default=None)


@dataclass(frozen=True)
class Raise:
    """Something that would hide a target if it stood ``height_m`` high and closed; it stands ``now_m`` high [m]."""

    owner: str
    height_m: float
    now_m: float


def least_raise(scene: Scene, view: Seen) -> Raise | None:
    """Return what stands between and would hide all that is seen if it were raised least; None if nothing would."""
    ends = view.target.lines
    between = near_lines(scene.solids, np.broadcast_to(view.eye.xyz, ends.shape), ends)
    found = []
    for owner in sorted({s.owner for s in between} - {view.eye.ref, view.target.ref}):
        now = max(_over_ground_m(scene, s) for s in between if s.owner == owner)
        grown = any(s.grown for s in between if s.owner == owner)
        need = raised(scene, view, owner) if grown or now >= SCREEN_M else None
        if need is not None:
            found.append(Raise(owner, need, now))
    return min(found, key=lambda r: (r.height_m - r.now_m, r.owner), default=None)


def _over_ground_m(scene: Scene, solid: Solid) -> float:
    at = solid.footprint.centroid
    return solid.top.above_ground_m(scene.ground_z_m(at.x, at.y))


def raised(scene: Scene, view: Seen, owner: str) -> float | None:
    """Return how high over the ground something that stands between would have to be to hide all that is seen [m].

    None where it does not lie across every line that is still open, or stands as high as that already (the lines then
    pass it by).
    """
    open_lines = view.target.lines[view.through.ravel() > SEEN]
    stands = [s for s in scene.solids if s.owner == owner and s.base.datum == "ground" and s.base.value_m < FOOT_M]
    if not stands or not len(open_lines):
        return None
    shape = united([s.footprint for s in stands])
    eye = view.eye.xyz
    run = open_lines - eye
    plan = shapely.linestrings([[(eye[0], eye[1]), (x, y)] for x, y, _ in open_lines])
    met = shapely.intersection(plan, shape)
    if shapely.is_empty(met).any():
        return None
    # It hides from its near side on: what counts is the lower of where a line comes in and where it goes out.
    at, index = shapely.get_coordinates(met, return_index=True)
    along = np.hypot(at[:, 0] - eye[0], at[:, 1] - eye[1]) / np.hypot(run[index, 0], run[index, 1])
    over = eye[2] + along * run[index, 2] - scene.ground.height(at[:, 0], at[:, 1])
    need = float(max(over[index == n].min() for n in range(len(open_lines))))
    return need if need > max(_over_ground_m(scene, s) for s in stands) else None
