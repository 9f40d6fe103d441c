"""Four seasons of each year: what flowers and bears in each, and is in leaf or bare in its middle, on four small plans."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.grow.looks import LOOKS, State, drawn, state
from quincunx.grow.plantings import Planting, plantings
from quincunx.shapes import AreaFigure, Figure, PathFigure
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.svg import Look, draw
from quincunx.units import capital, in_runs
from quincunx.units.dates import MONTHS

ID = "seasons"
WORDS = "Four seasons of each year"
NEEDS = "Nothing is planted yet. Draw a hedge, a tree, a bed or a row, and say when it is planted."

NORTHERN, SOUTHERN = (1, 4, 7, 10), (7, 10, 1, 4)
"""The middle months of winter, spring, summer and autumn."""
SEASONS = ("winter", "spring", "summer", "autumn")
GUTTER_MM, YEARS_A_PAGE, MOST_NAMED = 5.0, 2, 10


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - small plans fill the page
    """Yield a page for every two years: four plans each, under each what flowers and what bears."""
    years = [y for y in of.timeline.years if plantings(of.timeline, y)]
    west, south, east, north = of.bounds
    paper = of.paper.lying(flat=True)
    frame_w, frame_h = paper.frame_mm
    wide, high = (frame_w - 3 * GUTTER_MM) / 4, (frame_h - 26) / YEARS_A_PAGE - 21
    scale = 1000 * max((east - west) / wide, (north - south) / high)
    look = Look(scale, of.garden.style, words=False, patterns=True, thin=0.6)
    for n in range(0, len(years), YEARS_A_PAGE):
        these = years[n : n + YEARS_A_PAGE]
        blocks: list[Block] = [_key(look)]
        for year in these:
            blocks.append({"t": "heading", "s": str(year)})
            blocks.append({"t": "row", "widths": [1] * 4, "cells": _four(of, year, look)})
        blocks.append({"t": "small", "s": HOW})
        span = str(these[0]) if len(these) == 1 else f"{these[0]} and {these[-1]}"
        yield Page(f"Four seasons, {span}", tuple(blocks), paper.size_mm, "what stands at the end of each summer")


HOW = (
    "Sizes are those of the end of the summer; what dies back is drawn where it stands. In flower or fruit is what is so in some"
    " week of the three months, in leaf or bare what is so in their middle. Leaf, flower and fruit by the"
    " catalogue's months for a lowland garden at 45 to 52 degrees, turned for the southern half of the world; young plants"
    " flower and bear when they are old enough. Weeks earlier or later by place, year and variety."
)


def _four(of: Set, year: int, look: Look) -> list[list[Block]]:
    """Return the four plans of a year with what is to be seen on each."""
    west, south, east, north = of.bounds
    scene, standing = of.summer(year), plantings(of.timeline, year)
    ground = _ground(scene.figures)
    ring = tuple((float(x), float(y)) for x, y in scene.boundary.exterior.coords[:-1])
    edge = PathFigure(ring, "datum", "boundary", closed=True, weight="thin")
    size = {"w": 1000 * (east - west) / look.scale, "h": 1000 * (north - south) / look.scale}
    out: list[list[Block]] = []
    for season, month in zip(SEASONS, SOUTHERN if of.timeline.southern else NORTHERN, strict=True):
        states = {one.owner: _state(of, one, month) for one in standing}
        figures: list[Figure] = [*ground, edge]
        for one in sorted(standing, key=lambda p: -p.standing.spread_m[1]):
            figures += drawn(one, *LOOKS[states[one.owner]])
        said = _said(of, states)
        out.append([
            {"t": "drawing", "svg": draw(figures, of.bounds, look), **size},
            {"t": "text", "s": f"{season}: {MONTHS[(month - 2) % 12]} to {MONTHS[month % 12]}"}, *({"t": "small", "s": line} for line in said),
        ])  # fmt: skip
    return out


def _state(of: Set, one: Planting, middle: int) -> State:
    """Return how a planting looks in a season: in flower or fruit in any of its months, else as in its middle one."""
    found = [state(one, m, turned=of.timeline.southern) for m in (middle, (middle - 2) % 12 + 1, middle % 12 + 1)]
    return next((wanted for wanted in SHOWY if wanted in found), found[0])


SHOWY: tuple[State, ...] = ("in flower", "in fruit")


def _said(of: Set, states: dict[str, State]) -> list[str]:
    """Return a line each on what flowers and what bears, and how many are bare."""
    out = []
    for wanted in SHOWY:
        names = in_runs(sorted({of.words.name(owner) for owner, s in states.items() if s == wanted}))
        if names:
            more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
            out.append(f"{capital(wanted)}: {', '.join(names[:MOST_NAMED])}{more}")
    bare = sum(s == "bare" for s in states.values())
    return [*out, f"{bare} of {len(states)} bare"] if bare else out


def _ground(figures: tuple[Figure, ...]) -> list[Figure]:
    """Return the outlines of what is built, without what grows, words or measures."""
    return [
        PathFigure(ring, f.role, f.owner, closed=True, weight="fine")
        for f in figures
        if isinstance(f, AreaFigure) and f.role in ("wall", "built", "way", "water", "roof")
        for ring in f.rings
    ]


def _key(look: Look) -> Block:
    cells: list[list[Block]] = []
    small = Look(100.0, look.style, words=False, patterns=True)
    for said, (role, pattern) in LOOKS.items():
        ring = ((0.0, 0.0), (1.0, 0.0), (1.0, 0.5), (0.0, 0.5))
        svg = draw([AreaFigure((ring,), role, "", pattern)], (0.0, 0.0, 1.0, 0.5), small)
        cells.append([{"t": "drawing", "svg": svg, "w": 9, "h": 4.5}, {"t": "small", "s": said}])
    return {"t": "row", "widths": [1] * len(cells), "cells": cells}
