"""Buildings, decks and footings to come over a drain or close to one: whom to ask, and when."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import MultiPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from quincunx.grow.near import ROOTS
from quincunx.review._view import View, middle
from quincunx.scene import Scene
from quincunx.shapes import Buried, DropWork, Finding, FrameWork, KitWork, LineWork, Severity
from quincunx.units import capital, listed

NEAR_M = 3.0
"""So near to a drain building is told of [m]: within it England has the owner of a sewer asked."""
OVER_M = 0.15
"""What comes so near to the line of a drain, and as much as its place is unsure, counts as over it [m] (our own choice: a pipe
and its bedding)."""
SAME_M = 0.5
"""A cover so near to a drawn drain is told by that drain alone [m] (our own choice)."""
CARRIES = "drain"
SOURCE = (
    "3 m: England, Approved Document H (2015) H4 0.1 and 0.3, of drains and sewers on the sewerage undertaker's map (read in a public"
    " copy, housebuild.co.uk); other places have distances of their own. The rest: common practice, no source"
)
REMEDY = (
    "Find out whose drain it is before anything is ordered: a drain that serves neighbours or the town too has an owner who wants to"
    " be asked, and may say no. Ask your local building office as well. Have it located: where it lies may differ from this plan."
    " Build clear of it where you can; a footing bears beside and below a drain, never on it, and how deep is for a licensed"
    " person. Covers stay outside, within reach."
)


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each drain over which something comes, and one for each that something comes close to."""
    over: dict[str, dict[str, tuple[int, BaseGeometry]]] = {}
    near: dict[str, dict[str, tuple[int, BaseGeometry]]] = {}
    old = {owner for owner, caution in view.timeline.frame.cautions if caution == ROOTS}
    for year, scene in view.summers():
        drains = list(_drains(scene, old))
        if not drains:
            continue
        grounds = _built(view, scene)
        for owner, line, sure_m in drains:
            for thing, ground in grounds.items():
                if thing != owner and ground.dwithin(line, NEAR_M + sure_m):
                    place = over if ground.dwithin(line, OVER_M + sure_m) else near
                    place.setdefault(owner, {}).setdefault(thing, (year, ground))
    for owner in sorted({*over, *near}):
        on = over.get(owner, {})
        if on:
            yield _told(view, owner, on, "over-drain", Severity.CARE, "over")
        close = {t: v for t, v in near.get(owner, {}).items() if t not in on}
        if close:
            yield _told(view, owner, close, "near-drain", Severity.HINT, f"within {view.words.distance(NEAR_M)} of")


def _drains(scene: Scene, old: set[str]) -> Iterator[tuple[str, BaseGeometry, float]]:
    """Yield each drain with its line and how surely its place is known [m]; a cover only where no line is drawn to it."""
    lines = [(w.owner, w.line, 0.0) for w in scene.work if isinstance(w, LineWork) and w.owner in old]
    lines += [(b.owner, b.line, b.sure_to_m) for b in scene.buried if _is_drain(b) and b.cover is None]
    yield from lines
    for chamber in (b for b in scene.buried if _is_drain(b) and b.cover is not None):
        if not any(chamber.line.dwithin(line, SAME_M + sure) for _, line, sure in lines):
            yield chamber.owner, chamber.line, chamber.sure_to_m


def _is_drain(buried: Buried) -> bool:
    return buried.carries == CARRIES


def _built(view: View, scene: Scene) -> dict[str, BaseGeometry]:
    """Return the ground of what is framed, bought as a kit or raised on posts, of what is to come [m]."""
    parts: dict[str, list[BaseGeometry]] = {}
    for work in scene.work:
        whole = isinstance(work, KitWork) and bool(work.what)  # a bench, a gate: no building
        if not isinstance(work, (FrameWork, KitWork, DropWork)) or whole:
            continue
        if view.timeline.span(work.owner).begins is not None:
            parts.setdefault(work.owner, [])
            if not isinstance(work, DropWork) and work.footings:
                parts[work.owner].append(MultiPoint(work.footings))
    for solid in scene.solids:
        if solid.owner in parts and solid.upright:
            parts[solid.owner].append(solid.footprint)
    for surface in scene.surfaces:
        if surface.owner in parts:
            parts[surface.owner].append(surface.area)
    return {owner: unary_union(shapes) for owner, shapes in parts.items() if shapes}


def _told(
    view: View, owner: str, since: dict[str, tuple[int, BaseGeometry]], which: str, severity: Severity, where: str
) -> Finding:
    things = sorted(since)
    first = min(year for year, _ in since.values())
    verb = "comes" if len(things) == 1 else "come"
    return Finding(
        f"{which}-{owner}", severity,
        f"{capital(listed([view.words.the(t) for t in things]))} {verb} to stand {where} {view.words.the(owner)} from {first}.",
        REMEDY, SOURCE, (owner, *things), middle(since[things[0]][1]), first,
    )  # fmt: skip
