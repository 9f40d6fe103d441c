"""Dimension lines and pins of a garden: what they hold on to, and how they are drawn."""

from __future__ import annotations

import math
from collections.abc import Mapping

from quincunx.garden.document import Garden
from quincunx.garden.marks import Hold
from quincunx.shapes import XY, DimensionFigure, Figure, PathFigure, TextFigure
from quincunx.units.fields import Length

NEAR_M = 0.002
"""A point no farther than this from a corner is held by it [m]."""
BOUNDARY = "boundary"
PIN_M = 0.16
"""Half the height of the mark of a pin [m]."""


def held_at(garden: Garden, hold: Hold) -> XY:
    """Return where an end of a dimension line is now [m]: on what it holds on to, or where it was left."""
    if hold.by or hold.on:
        found = _holds_of(garden, hold.on).get(hold.by)
        if found is not None:
            return found
    return (float(hold.at[0]), float(hold.at[1]))


def _holds_of(garden: Garden, on: str | None) -> Mapping[str, XY]:
    if on is None:
        return {f"{BOUNDARY}.{i}": (float(x), float(y)) for i, (x, y) in enumerate(garden.boundary)}
    feature = next((f for f in garden.features if f.id == on), None)
    if feature is not None:
        return feature.holds()
    spot = next((s for s in garden.spots if s.id == on), None)
    return {} if spot is None else {"": (float(spot.at[0]), float(spot.at[1]))}


def hold_on(garden: Garden, at: XY) -> Hold:
    """Return an end at a point [m] that holds on to the corner, handle or spot there, if there is one."""
    here = (Length(at[0]), Length(at[1]))
    best: tuple[float, str | None, str] | None = None
    names: list[str | None] = [f.id for f in garden.features]
    for on in [*names, None, *(s.id for s in garden.spots)]:
        for by, point in _holds_of(garden, on).items():
            away = math.dist(at, point)
            if away <= NEAR_M and (best is None or away < best[0] - 1e-9):
                best = (away, on, by)
    return Hold(at=here) if best is None else Hold(at=here, on=best[1], by=best[2])


def dimension_figures(garden: Garden) -> tuple[Figure, ...]:
    """Return the garden's own dimension lines; one whose ends meet is left out."""
    out: list[Figure] = []
    for line in garden.dimensions:
        start, end = held_at(garden, line.start), held_at(garden, line.end)
        if math.dist(start, end) > 1e-6:
            out += dimension_drawn(start, end, float(line.aside), line.id)
    return tuple(out)


def dimension_drawn(start: XY, end: XY, aside_m: float, owner: str) -> tuple[Figure, ...]:
    """Return a dimension line beside two points, and the fine lines that lead to them [m]."""
    run = math.dist(start, end)
    nx, ny = -(end[1] - start[1]) / run, (end[0] - start[0]) / run
    figures: list[Figure] = [DimensionFigure(start, end, run, "measure", owner, aside_m)]
    if abs(aside_m) > 0.05:
        for x, y in (start, end):
            far = (x + nx * aside_m, y + ny * aside_m)
            figures.append(PathFigure(((x, y), far), "measure", owner, weight="fine"))
    return tuple(figures)


def pin_figures(garden: Garden, *, numbered: bool = False) -> tuple[Figure, ...]:
    """Return the marks of the pins, each with its word, or on paper with the number under which it is listed."""
    out: list[Figure] = []
    for number, pin in enumerate(garden.pins, 1):
        x, y = float(pin.at[0]), float(pin.at[1])
        ring = ((x, y), (x - 0.6 * PIN_M, y + 1.2 * PIN_M), (x, y + 2 * PIN_M), (x + 0.6 * PIN_M, y + 1.2 * PIN_M))
        words = str(number) if numbered else pin.name or f"note {number}"
        out.append(PathFigure(ring, "pin", pin.id, closed=True, weight="normal"))
        out.append(
            TextFigure(
                (x + 0.9 * PIN_M, y + 1.3 * PIN_M),
                words,
                "pin",
                pin.id,
                "normal" if numbered else "small",
                0.0,
                "start",
            )
        )
    return tuple(out)
