"""Shade at the seats: sun by month and hour at each spot somebody sits at, and the shadows of a summer's day."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime, timedelta

from quincunx.light import PointShade, shade_at
from quincunx.scene import Scene, Spot
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, TextFigure, band_areas
from quincunx.sheets._seat_helps import seat_helps
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.sunlight import lit_now, seat_tiles, sky_over, warm_months
from quincunx.sheets.svg import Look, draw
from quincunx.units import capital, compass_words, format_hours, format_length, listed

ID = "shade"
WORDS = "Shade at the seats"
NEEDS = "No seat is marked yet. Put a spot at the height of somebody's head where you sit, some 1.2 m."

LEAST_M, MOST_M = 0.9, 1.35
"""Spots with an eye between these heights inside the boundary are where somebody sits [m]."""
MOST_SEATS = 4
HOURS = (9, 11, 13, 15, 17, 19)
"""The hours of the shadow strip."""


def has_pages(of: Set) -> bool:
    """Return whether anybody sits anywhere."""
    return bool(_sat_at(of.summer(of.timeline.years[-1])))


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a chart has no scale
    """Yield one page: a picture for each seat, and the garden's shadows through a day of the warmest month."""
    year = of.timeline.years[-1]
    scene, sky = of.summer(year), sky_over(of.timeline)
    sat_at = _sat_at(scene)
    seats, more = sat_at[:MOST_SEATS], sat_at[MOST_SEATS:]
    if not seats:
        return
    warm = warm_months(of.timeline)
    blocks: list[Block] = []
    for spot in seats:
        shade = shade_at(scene, spot.at, spot.height_m, sky=sky)
        helps = seat_helps(scene, spot.at, sky, warm, shade.between(warm, 12, 16), of.garden.style)
        blocks += _seat(of, spot, shade, warm, " ".join(_help(of, spot, *one) for one in helps))
    if more:
        names = listed([of.words.name(s.id) for s in more])
        blocks.append(
            {"t": "small", "s": f"Not drawn here for want of room: {names}. The question Sun shows them on the board."}
        )
    blocks += _strip(of, scene, warm[1])
    foot = "Dark is shade, filled from above; hours are the clock's, summer time included. Clear days."
    yield Page(
        "Shade at the seats", tuple(blocks), of.paper.size_mm, f"as it stands at the end of summer {year}", foot=foot
    )


def _sat_at(scene: Scene) -> list[Spot]:
    """Return the spots inside the boundary at the height of somebody's head who sits."""
    import shapely

    return [s for s in scene.spots if LEAST_M <= s.height_m <= MOST_M and scene.boundary.covers(shapely.Point(s.at))]


def _help(of: Set, spot: Spot, what: str, where: XY, then: float) -> str:
    """Say where something that would help stands, and what it keeps off."""
    east, north = where[0] - spot.at[0], where[1] - spot.at[1]
    off, true = math.hypot(east, north), math.degrees(math.atan2(east, north)) + of.timeline.frame.north_offset_deg
    place = f"{format_length(off, of.garden.style)} {compass_words(true)} of the seat" if off > 0.05 else "at the seat"
    return f"{capital(what)}, stood {place}, would keep off {100 * then:.0f} %."


def _seat(of: Set, spot: Spot, shade: PointShade, warm: tuple[int, ...], helps: str) -> list[Block]:
    from quincunx.units.dates import MONTHS

    early = min(shade.sun_between_h(m, 0, 10) for m in warm)
    months = ", ".join(MONTHS[m - 1] for m in warm)
    words = (
        f"In {months} {100 * shade.between(warm, 12, 16):.0f} % of the sun is kept off between 12:00 and 16:00, and there "
        f"are {format_hours(early, of.garden.style)} of sun before 10:00."
    )
    svg, wide, high = tiles_svg(shade, of.paper.frame_mm[0] * 0.8)
    return [
        {"t": "heading", "s": spot.name},
        {"t": "text", "s": f"{words} {helps}".rstrip()},
        {"t": "drawing", "svg": svg, "w": wide, "h": high},
    ]


def tiles_svg(shade: PointShade, wide_mm: float, *, every: int = 1, tall_mm: float = 4.2) -> tuple[str, float, float]:
    """Return a seat's picture as figures drawn to fit a width: its SVG, its width and its height [mm].

    A metre stands for a millimetre of paper here; ``every`` so many hours one is named.
    """
    columns, rows, cells, _ = seat_tiles(shade)
    left = 12.0 if every == 1 else 8.0
    top, cell, tall = 6.0, (wide_mm - left - 2.0) / len(columns), tall_mm
    high = top + tall * len(rows) + 1
    figures: list[Figure] = []
    for c, column in enumerate(columns):
        if int(column) % every:
            continue
        figures.append(TextFigure((left + (c + 0.5) * cell, high - 4), column, "note", size="small"))
    for r, row in enumerate(rows):
        y = high - top - (r + 1) * tall
        figures.append(TextFigure((left - 2, y + tall / 2 - 0.2), row, "note", size="small", anchor="end"))
        for c, light in enumerate(cells[r]):
            if light is None:
                continue
            x = left + c * cell
            w, h = cell * 0.94, tall * 0.9
            box = ((x, y), (x + w, y), (x + w, y + h), (x, y + h))
            figures.append(AreaFigure((box,), "note", shade=6, outline=False))
            if light < 0.995:
                dark = ((x, y + h * light), (x + w, y + h * light), (x + w, y + h), (x, y + h))
                figures.append(AreaFigure((dark,), "datum", shade=0, outline=False))
    return draw(figures, (0.0, 0.0, wide_mm, high), Look(1000.0, words=True, patterns=False)), wide_mm, high


def _strip(of: Set, scene: Scene, month: int) -> list[Block]:
    """Return the garden's shadows at six hours of one day."""
    from quincunx.units.dates import MONTHS

    sky = sky_over(of.timeline)
    west, south, east, north = of.bounds
    wide = (of.paper.frame_mm[0] - 5 * 4.0) / len(HOURS)
    scale = 1000 * (east - west) / wide
    high = 1000 * (north - south) / scale
    look = Look(scale, of.garden.style, words=False, patterns=False, thin=0.6)
    ring = tuple((float(x), float(y)) for x, y in scene.boundary.exterior.coords[:-1])
    outline = PathFigure(ring, "datum", "boundary", closed=True, weight="thin")
    cells: list[list[Block]] = []
    for hour in HOURS:
        when = datetime(scene.on.year, month, 15, tzinfo=sky.clock()) + timedelta(hours=hour)
        figures = [*band_areas(lit_now(scene, sky, when)), *_walls(scene), outline]
        svg = draw(figures, of.bounds, look)
        cells.append([{"t": "drawing", "svg": svg, "w": wide, "h": high}, {"t": "small", "s": f"{hour}:00"}])
    head = {"t": "heading", "s": f"Shadows on 15 {MONTHS[month - 1]}"}
    return [head, {"t": "row", "widths": [1] * len(cells), "cells": cells}]


def _walls(scene: Scene) -> list[Figure]:
    return [
        PathFigure(ring, f.role, f.owner, closed=True, weight="fine")
        for f in scene.figures
        if isinstance(f, AreaFigure) and f.role in ("wall", "built")
        for ring in f.rings
    ]
