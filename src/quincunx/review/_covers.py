"""Covers over drains: the usual care with each, and what comes to stand, lie or grow on one."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import MultiPoint, Polygon

from quincunx.review._view import View, middle
from quincunx.scene import Scene
from quincunx.shapes import AreaWork, Buried, Finding, Severity, Slab, Slats
from quincunx.units import capital, listed

ON_M = 0.1
"""What begins higher over the ground hangs over a cover and leaves it free [m] (our own choice)."""
SHARE = 0.05
"""Share of a cover that must be taken before something counts as on it (our own choice: edges drawn along it touch it)."""
SAFE = (
    "Never opened alone, never left open, never climbed into: gases gather below that nobody smells in time, and a child falls in."
    " Its owner, or who clears drains by trade, opens it; children stay away meanwhile. Keep it bare, level with the ground and"
    " within reach, one side free to kneel and work at. Nothing heavy stands on it, no car, skip or pallet of stone, unless the"
    " letter cast into it is for such loads. One that rocks, is cracked or has sunk: fence it off and tell its owner the same day."
)
SAFE_SOURCE = (
    "general caution, common practice, no source; letters: EN 124, classes tested with 1.5 t (A), 12.5 t (B) and more (second-hand,"
    " in makers' accounts of it)"
)


def check(view: View) -> Iterator[Finding]:
    """Yield one finding with the usual care for each cover, and one for what comes on to it or is laid round it."""
    first: dict[str, tuple[Buried, int]] = {}
    on: dict[str, dict[str, int]] = {}
    laid: dict[str, dict[str, int]] = {}
    for year, scene in view.summers():
        for cover in (b for b in scene.buried if b.cover is not None):
            first.setdefault(cover.owner, (cover, year))
            for thing in _on(scene, cover):
                on.setdefault(cover.owner, {}).setdefault(thing, year)
            for thing in _laid(view, scene, cover):
                laid.setdefault(cover.owner, {}).setdefault(thing, year)
    for owner, (cover, year) in sorted(first.items()):
        yield Finding(
            f"cover-{owner}", Severity.HINT, f"Below {view.words.the(owner)} is a hole with a drain in it.", SAFE, SAFE_SOURCE,
            (owner,), _at(cover), year, hurts=True,
        )  # fmt: skip
        things = on.get(owner, {})
        if things:
            yield _told(view, cover, things)
        if rest := {t: y for t, y in laid.get(owner, {}).items() if t not in things}:
            yield _round(view, cover, rest)


def _on(scene: Scene, cover: Buried) -> Iterator[str]:
    """Yield what stands, lies or grows on a cover, by id."""
    shape = cover.cover
    if shape is None:
        return
    ground = scene.ground_z_m(shape.centroid.x, shape.centroid.y)
    for solid in scene.solids:
        low = not isinstance(solid.form, (Slab, Slats)) and solid.base.z_m(ground) - ground <= ON_M
        if solid.owner != cover.owner and low and _takes(solid.footprint, shape):
            yield solid.owner
    mine = next((s.layer for s in scene.surfaces if s.owner == cover.owner), 0)
    for surface in scene.surfaces:
        hides = surface.planted or surface.water_depth_m > 0 or surface.layer > mine
        if surface.owner != cover.owner and hides and not surface.floods_m and _takes(surface.area, shape):
            yield surface.owner
    for plant in scene.plants:
        if MultiPoint(plant.at).intersects(shape):
            yield plant.owner


def _laid(view: View, scene: Scene, cover: Buried) -> Iterator[str]:
    """Yield floors to come whose ground is dug where a cover lies, by id."""
    for work in scene.work:
        if not isinstance(work, AreaWork) or cover.cover is None or view.timeline.span(work.owner).begins is None:
            continue
        if _takes(work.outline, cover.cover):
            yield work.owner


def _round(view: View, cover: Buried, since: dict[str, int]) -> Finding:
    things = sorted(since)
    verb = "is" if len(things) == 1 else "are"
    return Finding(
        f"round-cover-{cover.owner}", Severity.HINT,
        f"{capital(listed([view.words.the(t) for t in things]))} {verb} laid round {view.words.the(cover.owner)}: don't lay it over.",
        "Leave the cover bare and level with the new floor, and no bed or kerb so close that it can't be lifted out. Its frame is"
        " raised or lowered by the drain's owner or whoever they send; dig by hand round it.",
        "common practice, no source", (cover.owner, *things), _at(cover), min(since.values()),
    )  # fmt: skip


def _takes(shape: Polygon, cover: Polygon) -> bool:
    return bool(shape.intersection(cover).area > SHARE * cover.area)


def _told(view: View, cover: Buried, since: dict[str, int]) -> Finding:
    coming = sorted(t for t in since if view.timeline.span(t).begins is not None)
    things = coming or sorted(since)
    names = [view.words.the(t) for t in things]
    verb = "is" if len(names) == 1 else "are"
    year = min(since[t] for t in things)
    return Finding(
        f"on-cover-{cover.owner}", Severity.CARE,
        f"{capital(listed(names))} {verb} on {view.words.the(cover.owner)} from {year}: nobody gets at the drain there any more.",
        "Move it aside, or keep it off the cover: a cover stays in sight and within reach. In paving its frame is raised to the"
        " new level, in a deck a hatch is left that one person lifts; raising or moving one is for the owner of the drain or"
        " whoever they send.",
        "common practice, no source; England: building work may not hinder the upkeep of a drain (Building Regulations 2010,"
        " requirement H4)", (cover.owner, *things), _at(cover), year,
    )  # fmt: skip


def _at(cover: Buried) -> tuple[float, float]:
    return middle(cover.line if cover.cover is None else cover.cover)
