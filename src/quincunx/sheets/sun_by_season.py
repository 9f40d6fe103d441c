"""Sun by season: hours of sun a day over the ground in four months of one year, side by side."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from quincunx.light import sun_classes
from quincunx.light.sky import YEAR
from quincunx.shapes import AreaFigure, Figure, PathFigure, band_areas, lines_between
from quincunx.shapes.amounts import PATTERNS
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.sunlight import (
    HOURS,
    RISING,
    beds_by_year,
    cloud_words,
    hours_over,
    how_hours,
    sky_over,
    sun_up_words,
    wanted_by,
)
from quincunx.sheets.svg import Look, draw
from quincunx.units.dates import MONTHS

ID = "sun"
WORDS = "Sun by season"

NORTHERN, SOUTHERN = (3, 6, 9, 12), (9, 12, 3, 6)
CELL_M = 0.5
"""Cells of the maps: they are drawn a few centimetres wide."""
GUTTER_MM, WORDS_MM = 6.0, 11.0


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - four small maps fill a page
    """Yield one page for the last year of the plan: the four months, the key, how it is known."""
    year = of.timeline.years[-1]
    scene, sky = of.summer(year), sky_over(of.timeline)
    west, south, east, north = of.bounds
    frame_w, frame_h = of.paper.lying(flat=False).frame_mm
    wide, high = (frame_w - 3 * GUTTER_MM) / 4, frame_h * 0.62
    if (north - south) / (east - west) < 1.2:
        wide, high = (frame_w - GUTTER_MM) / 2, frame_h * 0.36
    scale = 1000 * max((east - west) / wide, (north - south) / high)
    look = Look(scale, of.garden.style, words=True, patterns=True, thin=0.7)
    maps: list[Block] = []
    for month in SOUTHERN if of.timeline.southern else NORTHERN:
        field = hours_over(scene, sky, month, days="mid", cell_m=CELL_M)
        figures: list[Figure] = [*band_areas(field), *lines_between(field), *_bare(scene.figures)]
        ring = tuple((float(x), float(y)) for x, y in scene.boundary.exterior.coords[:-1])
        figures.append(PathFigure(ring, "datum", "boundary", closed=True, weight="thin"))
        svg = draw(figures, of.bounds, look)
        size = {"w": 1000 * (east - west) / scale, "h": 1000 * (north - south) / scale}
        maps.append({"t": "drawing", "svg": svg, **size})
        cloud = cloud_words(sky, month)
        maps.append({"t": "text", "s": f"{MONTHS[month - 1]}, the 15th" + (f"; {cloud}" if cloud else "")})
        maps.append({"t": "small", "s": f"The sun is {sun_up_words(sky, date(YEAR, month, 15))}."})
    pairs = [maps[i : i + 3] for i in range(0, len(maps), 3)]
    across = 4 if wide < frame_w / 3 else 2
    rows = [{"t": "row", "widths": [1] * across, "cells": pairs[i : i + across]} for i in range(0, len(pairs), across)]
    how = [{"t": "small", "s": line} for line in (MIDDLE, RISING, *how_hours(sky, 6)[2:])]
    yield Page(
        "Sun by season",
        (*rows, _key(look), *_beds(of), *how),
        of.paper.size_mm,
        f"hours a day, as it stands at the end of summer {year}",
    )


def _beds(of: Set) -> list[Block]:
    """Return the beds year by year with their class, and what grows there wants; nothing where no bed is planned."""
    found, style, classes = beds_by_year(of.timeline), of.garden.style, sun_classes()["usual"]
    if not found:
        return []
    rows: list[list[Any]] = []
    for bed in found:
        last = next((h for _, h in reversed(bed.hours) if h is not None), 0.0)
        hours = ["–" if h is None else f"{h:.1f}".replace(".", style.decimal_mark) for _, h in bed.hours]
        wants = wanted_by(of.timeline, bed.owner)
        short = bool(wants) and not set(wants) & set(MEETS[classes.word(last)])
        said = " or ".join(wants) + (": too dark" if short else "")
        rows.append([{"s": of.words.name(bed.owner), "bold": True}, *hours, classes.word(last), said])
    years = [str(y) for y in of.timeline.years]
    widths = [2.4, *([0.7] * len(years)), 1.1, 1.5]
    head = ["bed", *years, "in the end", "what grows there likes"]
    align = ["left", *(["right"] * len(years)), "left", "left"]
    table = {"t": "table", "head": head, "rows": rows, "widths": widths, "align": align, "size": 8.5, "inset": 1.2}
    return [{"t": "heading", "s": "Hours of sun a day at each bed, over the growing months"}, table]


MEETS = {"full sun": ("full", "part"), "part sun": ("part", "shade"), "shade": ("shade",)}
"""Which likings each class of sun meets; what likes part sun bears full sun where its ground is moist (no source)."""

MIDDLE = (
    "Each map is for clear days around the 15th of its month, through crowns as leafy as they are then, over the ground as it "
    "lies; the ground and a far skyline hide the sun too. On the board every day of any month is worked out."
)


def _bare(figures: tuple[Figure, ...]) -> list[Figure]:
    """Return the outlines of what stands, without washes, words or measures."""
    out: list[Figure] = []
    for f in figures:
        if isinstance(f, AreaFigure) and f.role in ("wall", "built", "grown", "roof"):
            out += [PathFigure(ring, f.role, f.owner, closed=True, weight="fine") for ring in f.rings]
    return out


def _key(look: Look) -> Block:
    """Return the key: a box of each band's shade and pattern with its words."""
    cells = []
    small = Look(100.0, look.style, words=False, patterns=True)
    for band in reversed(HOURS):
        box = AreaFigure(
            (((0.0, 0.0), (1.0, 0.0), (1.0, 0.6), (0.0, 0.6)),), "note", "", PATTERNS[band.shade], shade=band.shade
        )
        svg = draw([box], (0.0, 0.0, 1.0, 0.6), small)
        cells.append([{"t": "drawing", "svg": svg, "w": 10, "h": 6}, {"t": "small", "s": band.words}])
    return {"t": "row", "widths": [1] * len(cells), "cells": cells}
