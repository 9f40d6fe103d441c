"""The open sides of ramps and steps: where one may step off them into the air."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from shapely import LineString

from quincunx.review._air import Asked, gap_beside
from quincunx.review._view import View
from quincunx.shapes import Finding, FlightWork, Plane, RampWork, Risers, Severity, Surface
from quincunx.units import capital, format_length

ALONG_DEG = 20.0
"""A side that runs so near to the way up is one of its sides, not its foot or head [deg] (our own choice)."""


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each ramp or flight with an open side to fall from, in the first year it is so."""
    asked, style, seen = Asked.of(view.garden), view.garden.style, set[str]()
    for year, scene in view.summers():
        climbing = {w.owner for w in scene.work if isinstance(w, (RampWork, FlightWork))} - seen
        for floor in scene.surfaces if climbing else ():
            if floor.owner not in climbing:
                continue
            gap = gap_beside(scene, floor, sides(floor), asked)
            if not gap.told:
                continue
            seen.add(floor.owner)
            yield Finding(
                f"side-{floor.owner}", Severity.CARE,
                f"{capital(view.words.the(floor.owner))} lies up to {format_length(gap.deep_m, style)} above what is beside it, and along"
                f" {format_length(gap.long_m, style)} of its sides nothing high enough holds anybody back.",
                f"{asked.rule(gap.deep_m)}, raise the ground beside it, or plant there; for wheels a kerb along the side at the least."
                " Your local code and a licensed person decide.",
                asked.code.cited(), (floor.owner,), gap.at, year, hurts=True,
            )  # fmt: skip


def sides(floor: Surface) -> tuple[LineString, ...]:
    """Return the sides of a floor that run up it, not its foot and head [m]; none of a level one."""
    lie = floor.lie
    if not isinstance(lie, (Plane, Risers)):
        return ()
    up = lie.up_deg if isinstance(lie, Risers) else lie.fall_deg
    ring = floor.area.exterior.coords
    return tuple(LineString(pair) for pair in pairwise(ring) if _turned(pair[0], pair[1], up) <= ALONG_DEG)


def _turned(a: tuple[float, ...], b: tuple[float, ...], way_deg: float) -> float:
    """Return by how much a line is turned from a way, whichever end it begins at [deg]."""
    bearing = math.degrees(math.atan2(b[0] - a[0], b[1] - a[1]))
    off = (bearing - way_deg) % 180.0
    return min(off, 180.0 - off)
