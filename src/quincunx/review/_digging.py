"""Digging near a buried line."""

from __future__ import annotations

from collections.abc import Iterator

from shapely.geometry.base import BaseGeometry

from quincunx.garden.safety import LOCATE, NEAR_M, dug_ground
from quincunx.review._view import View, middle
from quincunx.shapes import Buried, Finding, Severity, Work
from quincunx.units import format_length


def check(view: View) -> Iterator[Finding]:
    """Yield a danger for each planned work that digs within reach of a buried line, in the year it is done."""
    seen: set[tuple[str, str]] = set()
    made, first = view.made(), view.timeline.years[0]
    for year, scene in view.summers():
        for work in scene.work:
            if not first <= made.get(work.owner, -1) <= year:
                continue
            for line in scene.buried:
                pair = (work.owner, line.owner)
                if pair in seen or work.owner == line.owner:
                    continue
                near = [s for s in dug_ground(work) if s.dwithin(line.line, NEAR_M + line.sure_to_m)]
                if near:
                    seen.add(pair)
                    yield _danger(view, work, line, near[0], made[work.owner])


def _danger(view: View, work: Work, line: Buried, where: BaseGeometry, year: int) -> Finding:
    style = view.garden.style
    depth = "at a depth nobody has noted" if line.depth_m is None else f"{format_length(line.depth_m, style)} down"
    reach = format_length(NEAR_M + line.sure_to_m, style)
    return Finding(
        f"dig-near-{work.owner}-{line.owner}",
        Severity.DANGER,
        f"{view.called(work.owner)} is dug within {reach} of {view.called(line.owner)} ({line.carries}, {depth}).",
        LOCATE,
        "APWA colour code and Common Ground Alliance practice; from memory",
        (work.owner, line.owner),
        middle(where),
        year,
    )
