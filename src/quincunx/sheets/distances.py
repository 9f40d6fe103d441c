"""The table of distances: how far it is on foot from each spot to each, and how many minutes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from quincunx.scene import Scene, Spot
from quincunx.sheets._set import Set
from quincunx.sheets.book import Page
from quincunx.units import counted, format_length, listed
from quincunx.walk.distances import distance_table
from quincunx.walk.going import walking_seconds
from quincunx.walk.reach import Walk, walk_of

ID = "distances"
WORDS = "Distances on foot between the spots, with minutes"
NEEDS = "There are fewer than two spots. Mark the kitchen door, the tap, the compost, and this page says how far they lie apart."

MOST = 14
"""So many spots fit on one table."""
NEAR_M = 4.0
"""Spots farther outside the boundary than this (windows of neighbours) are left out [m]."""
EYE_M = 2.5
"""A spot higher above the ground than this is nowhere people walk to (a window's eye) [m]."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a table has no scale
    """Yield one table for the last year; nothing with fewer than two spots."""
    year = of.timeline.years[-1]
    scene = of.summer(year)
    person = of.words.walker("person")
    every = walked_spots(scene)
    spots, more = every[:MOST], every[MOST:]
    if len(spots) < 2 or person is None:
        return
    walk = walk_of(scene, person, polite=True)
    metres, minutes = measured(walk, spots)
    flat = of.paper.lying(flat=True)
    unit = "ft" if of.garden.style.system == "feet" else "m"
    blocks = (
        {"t": "text", "s": f"Above the empty corner in {unit}, by the shortest way; below it in minutes, at a walk, there. Gates opened and "
         "shut, steps, slopes and soft ground are counted in the minutes; nobody treads on what is planted."},
        _matrix(of, spots, metres, minutes),
        {"t": "text", "s": _far(of, spots, metres)},
        *_left_out(of, more),
    )  # fmt: skip
    yield Page("Distances on foot", blocks, flat.size_mm, f"as in late summer {year}")


def walked_spots(scene: Scene) -> list[Spot]:
    """Return the spots people walk to: on the ground, in the garden or just outside it."""
    from shapely import Point

    return [s for s in scene.spots if scene.boundary.distance(Point(s.at)) <= NEAR_M and s.height_m <= EYE_M]


def _left_out(of: Set, more: Sequence[Spot]) -> Iterator[dict[str, Any]]:
    """Say which spots had no room on the table."""
    if more:
        names = listed([of.words.name(s.id) for s in more])
        yield {
            "t": "small",
            "s": f"Not in the table for want of room: {names}. The question Feet tells their ways on the board.",
        }


def measured(walk: Walk, spots: Sequence[Spot]) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Return the distances [m] and the times [s] between spots (n, n); infinite where there is no way.

    Times are worked out below the diagonal only, from the later spot to the earlier.
    """
    table = distance_table(walk, [s.id for s in spots])
    took = np.full(table.length_m.shape, np.inf)
    for i in range(len(spots)):
        for j in range(len(spots)):
            way = table.way(i, j) if j < i else None
            if way is not None:
                took[i, j] = walking_seconds(walk.scene, walk.walker, way)
    return table.length_m, took


def _matrix(of: Set, spots: Sequence[Spot], metres: Any, seconds: Any) -> dict[str, Any]:
    rows: list[list[Any]] = []
    for i, spot in enumerate(spots):
        row: list[Any] = [{"s": spot.name, "bold": True}]
        for j in range(len(spots)):
            if i == j:
                row.append("")
            elif not math.isfinite(metres[i, j]):
                row.append("no way")
            elif j > i:
                row.append(_length(of, metres[i, j]))
            else:
                row.append(f"{max(seconds[i, j] / 60, 0.1):.1f}".replace(".", of.garden.style.decimal_mark) + " min")
        rows.append(row)
    return {
        "t": "table",
        "head": ["", *(s.name for s in spots)],
        "rows": rows,
        "widths": [1.6, *([1] * len(spots))],
        "align": ["left", *(["right"] * len(spots))],
        "size": 8,
        "inset": 1.4,
    }


def _length(of: Set, metres: float) -> str:
    return format_length(metres, of.garden.style, kind="long")


def _far(of: Set, spots: Sequence[Spot], metres: Any) -> str:
    """Return which two spots lie farthest apart, and which have no way between them."""
    n = len(spots)
    pairs = [(i, j) for i in range(n) for j in range(i + 1, n)]
    lost = [(i, j) for i, j in pairs if not math.isfinite(metres[i, j])]
    found = [(float(metres[i, j]), i, j) for i, j in pairs if math.isfinite(metres[i, j])]
    text = ""
    if found:
        far, i, j = max(found)
        text = f"Farthest apart: {of.words.the(spots[i].id)} and {of.words.the(spots[j].id)}, {_length(of, far)}."
    if lost:
        i, j = lost[0]
        more = f", nor between {counted(len(lost) - 1, 'other pair')}" if len(lost) > 1 else ""
        text += f" There is no way between {of.words.the(spots[i].id)} and {of.words.the(spots[j].id)}{more}."
    return text.strip()
