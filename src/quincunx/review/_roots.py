"""Digging, floors and heaps among the roots of a tree that is there already, one's own or a neighbour's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from math import pi, sqrt

from shapely import Point
from shapely.geometry.base import BaseGeometry

from quincunx.garden.safety import dug_ground
from quincunx.review._view import View, middle
from quincunx.scene import Scene
from quincunx.shapes import Finding, Severity
from quincunx.units import capital
from quincunx.units.dates import first_day, month_from_index

TIMES, MOST_M, LEAST_STEM_M = 12.0, 15.0, 0.075
"""How far the roots are kept, in thicknesses of the stem, at most so far [m]; thinner stems are not looked at [m]."""
HEAP_M2 = 1.0
"""What stands on less ground than this presses on few roots [m2] (our own choice)."""

AMONG = "among-roots-"
"""How the findings about roots begin their ids."""
SOURCE = (
    "BS 5837:2012, Trees in relation to design, demolition and construction, 4.6.1 and annex D, as surveyors' reports cite it:"
    " a circle of 12 times the thickness of the stem at 1.5 m, 15 m at most, stems from 75 mm on. It covers trees of one stem"
    " whose roots spread evenly; walls, ditches and old floors turn them, and an old or hollow tree may need more"
)
REMEDY = (
    "Fence that ring off before the first lorry or digger comes, and leave it so until the last has gone: heaps, tracks and"
    " levels raised or lowered there can kill a tree years later. Move what can be moved; lay a way that must cross it on top of the"
    " ground, not into it; dig by hand and cut no root as thick as a thumb. Ask an arborist first, and your local authority"
    " whether the tree is protected; a neighbour's tree is not yours to harm, and roots cut on one side can bring it down."
)


@dataclass(slots=True)
class _Tree:
    """A tree there already: its stem in plan [m], how far its roots are kept [m], and what comes among them."""

    stem: BaseGeometry
    reach_m: float
    years: list[int] = field(default_factory=list)
    met: dict[str, BaseGeometry] = field(default_factory=dict)


def reach_m(stem_m: float) -> float:
    """Return how far from the middle of a stem so thick [m] its roots are kept from digging and heaps [m]."""
    return min(TIMES * stem_m, MOST_M)


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each tree there already with what is dug, laid or heaped among its roots."""
    trees: dict[str, _Tree] = {}
    seen: set[str] = set()
    line = view.timeline
    at_first = tuple(
        _trees(view, line.at(date(line.years[0], 1, 1)))
    )  # some may be felled before the first summer's end
    for year, scene in view.summers():
        for owner, tree in (*_trees(view, scene), *at_first):
            trees.setdefault(owner, tree)
        at_first = ()
        for owner, ground in _pressed(scene):
            begins = line.span(owner).begins
            if owner in seen or begins is None:
                continue
            seen.add(owner)
            made = first_day(month_from_index(begins))
            for name, tree in trees.items():
                if not line.stands_on(
                    name, made
                ):  # felled by then, though perhaps long before the summer that shows it
                    continue
                near = [g for g in ground if g.dwithin(tree.stem, tree.reach_m)]
                if near:
                    tree.met[owner] = near[0]
                    tree.years.append(year)
    for owner, tree in sorted(trees.items()):
        if tree.met:
            yield _told(view, owner, tree)


def _trees(view: View, scene: Scene) -> Iterator[tuple[str, _Tree]]:
    for solid in scene.solids:
        if solid.part != "stem" or not solid.grown or view.timeline.span(solid.owner).begins is not None:
            continue
        thick = 2.0 * sqrt(solid.footprint.area / pi)
        if thick >= LEAST_STEM_M:
            at = solid.footprint.centroid
            yield solid.owner, _Tree(Point(at.x, at.y), reach_m(thick))


def _pressed(scene: Scene) -> Iterator[tuple[str, list[BaseGeometry]]]:
    """Yield what is dug for works, and the ground under what stands there without any: a heap."""
    worked = set()
    for work in scene.work:
        worked.add(work.owner)
        if dug := dug_ground(work):
            yield work.owner, dug
    for solid in scene.solids:
        if solid.upright and not solid.grown and solid.owner not in worked and solid.footprint.area >= HEAP_M2:
            yield solid.owner, [solid.footprint]


def _told(view: View, owner: str, tree: _Tree) -> Finding:
    things = tuple(sorted(tree.met))
    words = view.words
    are = "is" if len(things) == 1 else "are"
    return Finding(
        f"{AMONG}{owner}",
        Severity.CARE,
        f"{capital(words.both(things))} {are} dug in or lie{'s' if len(things) == 1 else ''} among the roots of {words.the(owner)},"
        f" within {words.length(tree.reach_m)} of its stem.",
        REMEDY,
        SOURCE,
        (owner, *things),
        middle(tree.met[things[0]]),
        min(tree.years),
        hurts=True,
    )
