"""What the musts about eyes share: their words and the figures that show why."""

from __future__ import annotations

from datetime import date

import shapely
from shapely.geometry.base import BaseGeometry

from quincunx.intents._base import Words
from quincunx.scene import Scene, Timeline
from quincunx.scene._kept import Kept
from quincunx.scene.difference import Difference
from quincunx.shapes import AreaFigure, Figure, PathFigure
from quincunx.sight import GROUND, Posture, Seen, eye_at, seen, target_of
from quincunx.units import capital

NONE, ALL = 0.005, 0.995
"""Shares below and above these are called none and all."""
FAINT = 0.05
"""A target of which no more than this is seen has its line drawn dashed."""
MOST_HIDERS = 2
"""A sentence names no more things that hide than this."""


def posture_of(chosen: str) -> Posture | None:
    """Return the posture chosen; None for the eye as the spot is marked."""
    return {"standing": "standing", "seated": "seated", "child": "child"}.get(chosen)  # type: ignore[return-value]


def looked(
    scene: Scene,
    eye: str,
    target: str,
    words: Words,
    *,
    chosen: str = "",
    height_m: float | None = None,
    shut: bool = False,
) -> Seen | str:
    """Return what an eye sees of a target, or a sentence that names what doesn't stand then."""
    at = eye_at(scene, eye, posture_of(chosen))
    if at is None:
        return capital(f"{words.the(eye)} does not stand then.")
    goal = target_of(scene, target, at, height_m)
    if goal is None:
        return capital(f"{words.the(target)} does not stand then.")
    return seen(scene, at, goal, shut=shut)


def same_view(
    found: Difference,
    eye: str,
    target: str,
    shown: tuple[Figure, ...],
    *,
    chosen: str = "",
    height_m: float | None = None,
) -> bool:
    """Return whether nothing of what differs between two scenes stands, in plan, between an eye and a target or is shown.

    No part of the features that differ may: what is said of one that hides part of a view goes by all of it.
    """
    if found.owners & {eye, target, *(f.owner for f in shown)}:
        return False
    around = _BETWEEN.get(
        (found.was,), (eye, target, chosen, height_m), lambda: _between(found.was, eye, target, chosen, height_m)
    )
    return around is not None and (not len(found.whole) or not bool(shapely.intersects(around, found.whole).any()))


def _between(scene: Scene, eye: str, target: str, chosen: str, height_m: float | None) -> BaseGeometry | None:
    """Return the ground over which lines go from an eye to a target [m], a little more all round."""
    at = eye_at(scene, eye, posture_of(chosen))
    goal = None if at is None else target_of(scene, target, at, height_m)
    if at is None or goal is None:
        return None
    around = shapely.buffer(shapely.convex_hull(shapely.multipoints([at.at, *goal.lines[:, :2].tolist()])), ASIDE_M)
    shapely.prepare(around)
    return around


ASIDE_M = 0.05
"""So far beside the lines of a view a thing may stand and yet count as between [m]."""
_BETWEEN: Kept[BaseGeometry | None] = Kept(512)


def percent(share: float) -> str:
    """Return a share as people say it: ``none``, ``6 %``, ``all``."""
    if share < NONE:
        return "none"
    return "all" if share > ALL else f"{100 * share:.0f} %"


def when(timeline: Timeline, on: date) -> str:
    """Return how the garden stands on a judging date: in leaf or bare."""
    return "in leaf" if on == timeline.leaf_date(on.year) else "when the twigs are bare"


def hiders(view: Seen, words: Words) -> str:
    """Return what hides the target, as part of a sentence; empty where nothing does."""
    named = ["the ground" if owner == GROUND else words.the(owner) for owner, _ in view.hides[:MOST_HIDERS]]
    return " and ".join(named)


def sight_figures(view: Seen, scene: Scene) -> tuple[Figure, ...]:
    """Return the view as it is drawn: its two outer lines, the clearest one thick, and what hides."""
    lines = view.target.lines
    ends = sorted({(round(float(x), 3), round(float(y), 3)) for x, y, _ in lines})
    eye = view.eye.at

    def turn(end: tuple[float, float]) -> float:
        middle = view.target.middle
        a = (middle[0] - eye[0], middle[1] - eye[1])
        b = (end[0] - eye[0], end[1] - eye[1])
        return a[0] * b[1] - a[1] * b[0]

    outer = [min(ends, key=turn), max(ends, key=turn)]
    drawn: list[Figure] = [PathFigure((eye, end), "evidence", weight="thin", dash=True) for end in outer]
    best = view.clearest
    drawn.append(PathFigure((eye, best), "evidence", weight="thick", arrow=True, dash=view.share < FAINT))
    for owner, _ in view.hides[:MOST_HIDERS]:
        shape = scene.area_of(owner) if owner != GROUND else None
        for part in getattr(shape, "geoms", [shape] if shape is not None else []):
            ring = tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])
            drawn.append(AreaFigure((ring,), "evidence", owner, "hatch"))
    return tuple(drawn)
