"""Digging near a buried line: for what is built, for what is planted, for what is lifted again."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import MultiPoint
from shapely.geometry.base import BaseGeometry

from quincunx.garden.lifting import lifted
from quincunx.garden.safety import HOLE_M, LOCATE, NEAR_M, by_whom, dug_ground, in_place
from quincunx.review._view import View, middle
from quincunx.scene import Scene
from quincunx.shapes import Buried, Finding, Severity
from quincunx.units import format_length

Dug = tuple[str, list[BaseGeometry]]
"""Whose what is dug is, and where [m]."""


def check(view: View) -> Iterator[Finding]:
    """Yield a danger for each planned work that digs within reach of a buried line, in the year it is done."""
    seen: set[tuple[str, str]] = set()
    made, first = view.done_years(), view.timeline.years[0]
    again: list[Dug] | None = None  # the same in every year, and looked for only where a line is buried
    for year, scene in view.summers():
        if not scene.buried:
            continue
        again = list(_lifted(view)) if again is None else again
        for owner, dug in (*_dug(scene), *again):
            if not first <= made.get(owner, -1) <= year:
                continue
            for line in scene.buried:
                pair = (owner, line.owner)
                if pair in seen or owner == line.owner:
                    continue
                near = [s for s in dug if s.dwithin(line.line, NEAR_M + line.sure_to_m)]
                if near:
                    seen.add(pair)
                    yield _danger(view, owner, line, near[0], made[owner])


def _dug(scene: Scene) -> Iterator[Dug]:
    """Yield what is dug for works and for plants."""
    for work in scene.work:
        yield work.owner, dug_ground(work)
    for plant in scene.plants:
        yield plant.owner, [MultiPoint(plant.at).buffer(HOLE_M)]


def _lifted(view: View) -> Iterator[Dug]:
    """Yield what is dug where plants are lifted for an opening that comes later."""
    for feature in view.timeline.features:
        yield feature.id, [shape for x in lifted(view.timeline, feature) for shape in dug_ground(x.work)]


def _danger(view: View, owner: str, line: Buried, where: BaseGeometry, year: int) -> Finding:
    style = view.garden.style
    depth = "at a depth nobody has noted" if line.depth_m is None else f"{format_length(line.depth_m, style)} down"
    reach = format_length(NEAR_M + line.sure_to_m, style)
    return Finding(
        f"dig-near-{owner}-{line.owner}",
        Severity.DANGER,
        f"{view.called(owner)} is dug within {reach} of {view.called(line.owner)} ({line.carries}, {depth}).",
        in_place(LOCATE, view.garden),
        by_whom(view.garden),
        (owner, line.owner),
        middle(where),
        year,
    )
