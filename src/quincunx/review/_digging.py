"""Digging near a buried line."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Point, STRtree
from shapely.geometry.base import BaseGeometry

from quincunx.review._view import View, middle
from quincunx.shapes import AreaWork, Finding, FrameWork, LineWork, Severity, Work
from quincunx.units import format_length

NEAR_M = 0.6
"""Hand-dig zone either side of a mark: 18 to 24 in (APWA and Common Ground Alliance practice; from memory)."""


def check(view: View) -> Iterator[Finding]:
    """Yield a danger for each new work that digs within reach of a buried line."""
    last = view.timeline.at(view.timeline.leaf_date(view.timeline.years[-1]))
    lines = [w for w in last.work if isinstance(w, LineWork) and w.height_m < 0]
    if not lines:
        return
    tree = STRtree([w.line for w in lines])
    planned = {t.partition("/")[0] for job in view.garden.jobs for t in job.does}
    seen: set[tuple[str, str]] = set()
    for work in last.work:
        if work.owner not in planned or (isinstance(work, LineWork) and work.height_m < 0):
            continue
        for shape in _dug(work):
            for i in sorted(tree.query(shape, predicate="dwithin", distance=NEAR_M).tolist()):
                pair = (work.owner, lines[i].owner)
                if pair in seen:
                    continue
                seen.add(pair)
                yield Finding(
                    f"dig-near-{pair[0]}-{pair[1]}",
                    Severity.DANGER,
                    f"{view.called(pair[0])} is dug within {format_length(NEAR_M, view.garden.style)} of {view.called(pair[1])}.",
                    "Have the lines located and marked before you dig (in many countries a free call), and dig by hand there."
                    " Where they really lie may differ from this plan.",
                    "APWA colour code and Common Ground Alliance practice; from memory", pair, middle(shape),
                )  # fmt: skip


def _dug(work: Work) -> list[BaseGeometry]:
    if isinstance(work, AreaWork):
        return [work.outline]
    if isinstance(work, LineWork):
        return [work.line]
    if isinstance(work, FrameWork):
        return [Point(at) for at in work.footings]
    return []
