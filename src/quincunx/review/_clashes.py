"""Built things that stand in each other."""

from __future__ import annotations

from collections.abc import Iterator

from shapely.strtree import STRtree

from quincunx.review._on_building import over_buildings
from quincunx.review._view import View, middle
from quincunx.scene import Scene
from quincunx.shapes import Finding, Severity, Solid

SHARE = 0.12
"""Share of the smaller footprint that must be shared before two things count as standing in each other."""


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each pair of upright things that share ground, in the first year they do."""
    seen: set[tuple[str, str]] = set()
    for year, scene in view.summers():
        found = list(_pairs(scene))
        over = over_buildings(scene) if found else {}  # what lies over a building is told by itself
        for one, two, shared in found:
            pair = (min(one.owner, two.owner), max(one.owner, two.owner))
            if pair in seen or any(
                b in over.get(a, ()) for a, b in (pair, pair[::-1]) if view.timeline.span(b).begins is not None
            ):
                continue
            seen.add(pair)
            words = f"{view.called(pair[0])} and {view.called(pair[1])} stand in each other from {year}."
            yield Finding(
                f"clash-{pair[0]}-{pair[1]}", Severity.FAULT, words, "Move or shorten one of them, or take one away before the other is built.",
                "Quincunx: two solid things can't share ground", pair, shared, year,
            )  # fmt: skip


def _pairs(scene: Scene) -> Iterator[tuple[Solid, Solid, tuple[float, float]]]:
    # What cuts, covers or guards another is meant to stand in it.
    meant = {o.owner for o in scene.openings} | {c.owner for c in scene.covers} | {g.owner for g in scene.guards}
    standing = (s for s in scene.solids if s.owner not in meant and s.base.value_m < 1.8)
    upright = [s for s in standing if s.upright]
    if len(upright) < 2:
        return
    tree = STRtree([s.footprint for s in upright])
    left, right = tree.query([s.footprint for s in upright], predicate="intersects")
    for i, j in sorted(zip(left.tolist(), right.tolist(), strict=True)):
        one, two = upright[i], upright[j]
        if i >= j or one.owner == two.owner or _beside(one, two):
            continue
        shared = one.footprint.intersection(two.footprint)
        if shared.area > SHARE * min(one.footprint.area, two.footprint.area) and shared.area > 0.01:
            yield one, two, middle(shared)


def _beside(one: Solid, two: Solid) -> bool:
    """Return whether one stands wholly above the other."""
    if one.base.datum != two.base.datum or one.top.datum != two.top.datum:
        return False
    return one.base.value_m >= two.top.value_m or two.base.value_m >= one.top.value_m
