"""A gate, arch or gap that stands in no wall, or a gate past the end of one."""

from __future__ import annotations

from collections.abc import Collection, Iterator

import numpy as np
import shapely
from shapely import Point

from quincunx.review._view import View, middle
from quincunx.scene import Scene
from quincunx.shapes import XY, Cut, Finding, Narrow, Severity, Shut
from quincunx.units import format_length
from quincunx.walk.barriers import is_overhead

ROUND_M = 0.3
"""Whoever finds so much room beside a gate goes round it (our own choice) [m]."""


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each opening that cuts nothing or each gate one gets round, in the first year it does."""
    yield from _in_no_wall(view)
    yield from _past_an_end(view)


def _past_an_end(view: View) -> Iterator[Finding]:
    seen: set[str] = set()
    gates = {f.id for f in view.garden.features if f.group == "openings"}
    for year, scene in view.summers():
        loose = {c.owner for c in scene.unmet}
        for owner, at, off in _loose_ends(scene, gates - seen - loose):
            seen.add(owner)
            far = format_length(off, view.garden.style)
            yield Finding(
                f"gate-past-an-end-{owner}", Severity.CARE,
                f"Beside one end of {view.called(owner)} the nearest thing is {far} off in {year}: one gets round it there.",
                "Slide it along until both its posts stand in the wall, or lead the wall on to it.",
                "Quincunx: what stands beside a gate's clear width", (owner,), at, year,
            )  # fmt: skip


def _loose_ends(scene: Scene, gates: Collection[str]) -> Iterator[tuple[str, XY, float]]:
    """Yield one end of each of ``gates`` beside which nothing stands: whose, where and how far off the nearest is [m]."""
    upright = [s for s in scene.solids if s.upright and not is_overhead(s)]
    shapes, owners = (
        np.array([s.footprint for s in upright], dtype=object),
        np.array([s.owner for s in upright], dtype=object),
    )
    for opening in scene.openings:
        others = shapes[owners != opening.owner]
        if opening.leaf is None or opening.owner not in gates or not len(others):
            continue
        ends = [(x, y) for x, y in opening.clear.coords]
        off, at = max((float(shapely.distance(others, Point(end)).min()), end) for end in ends)
        if off > ROUND_M:
            yield opening.owner, at, off


def _in_no_wall(view: View) -> Iterator[Finding]:
    """Yield one finding for each opening that cuts nothing, in the first year it does."""
    seen: set[str] = set()
    for year, scene in view.summers():
        for change in scene.unmet:
            if change.owner in seen:
                continue
            seen.add(change.owner)
            name = view.called(change.owner)
            if isinstance(change, Cut):
                yield Finding(
                    f"opening-in-no-wall-{change.owner}", Severity.FAULT, f"{name} stands in no wall, fence or hedge in {year}.",
                    "Move it onto the wall it belongs in, or build the wall by then.", "Quincunx: an opening cuts the wall it stands in",
                    (change.owner,), middle(change.place), year,
                )  # fmt: skip
            elif isinstance(change, (Narrow, Shut)):
                target = view.called(change.target)
                yield Finding(
                    f"nothing-to-change-{change.owner}", Severity.CARE, f"{name} belongs to {target}, which isn't an opening in {year}.",
                    f"Build {target} by then, or choose another.", "Quincunx: a change needs something to change",
                    (change.owner, change.target), None, year,
                )  # fmt: skip
