"""Where somebody stays dry: each seat under each roof thought of, what reaches the ground, what runs off."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely
from shapely import Point

from quincunx.intents._raining import chances, side_words, weather_of
from quincunx.review.shelters import Roofed, compared, places_to_sit
from quincunx.shapes import XY, Amounts, Band, Figure, PathFigure, TextFigure, band_areas
from quincunx.sheets._place import thin, view
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.units import capital, own_units
from quincunx.units.dates import MONTHS
from quincunx.water import Weather, drips, run_off, wetting
from quincunx.water.roofs import TOLD_M, drip_points
from quincunx.water.shelter import sitting
from quincunx.water.weather import MONTHS as EVERY

ID = "shelter"
WORDS = "Shelter: what stays dry, under which roof"
NEEDS = (
    "Nobody asks about rain yet. Keep a place open for a shelter by a seat, or say in a must what is to stay dry; the monthly "
    "rain and mean wind of the place are needed too."
)
ROUND_M = 4.0
"""Ground shown round a seat [m]."""
CELL_M = 0.125
BANDS = (
    Band(0.0, "dry", 6),
    Band(10.0, "sheltered", 4),
    Band(50.0, "some kept off", 1),
    Band(90.0, "wet", 0),
)
KNOWN = (
    "How do we know? Drizzle, ordinary rain and downpours fall in straight slanting lines in the winds of each month (drop "
    "sizes of A. C. Best 1950, speeds of A. N. Dingle and Y. Lee 1972, from memory; wind brought down to 2 m by FAO-56, "
    "equation 47). Only roofs, walls, boards, glass and canvas stop rain. Wind that a wall stills, swirls at an edge and splash "
    "are not counted: a dry edge is not sure to a hand's breadth."
)
CARE = (
    "A roof must stand up to wind from below and to snow: see the construction sheet, and ask whoever is licensed where you "
    "live before building one."
)


def has_pages(of: Set) -> bool:
    """Return whether there is a place to sit that is asked about, and its weather is known."""
    last = of.timeline.at(of.timeline.leaf_date(of.timeline.years[-1]))
    return weather_of(of.timeline) is not None and any(
        sitting(last, ref) is not None for ref in places_to_sit(of.garden, of.timeline)
    )


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - each drawing has the scale that fits it
    """Yield a page for each place to sit; nothing where none is asked about or the weather is not known."""
    weather = weather_of(of.timeline)
    if weather is None:
        return
    for ref in places_to_sit(of.garden, of.timeline):
        found = compared(of.garden, of.timeline, ref, weather, EVERY)
        if found:
            yield _page(of, ref, found, weather)


def _page(of: Set, ref: str, found: tuple[Roofed, ...], weather: Weather) -> Page:
    best = max(found, key=lambda r: r.dry.whole)
    shown = best if best.dry.whole > 0 else found[0]
    blocks: list[Block] = [{"t": "large", "s": _answer(found)}, _table(of, found)]
    drawing, scale = _drawing(of, ref, shown, weather)
    blocks += [
        {"t": "heading", "s": f"Where the rain of a year reaches the ground: {shown.words}"},
        drawing,
        {"t": "small", "s": "Plain: dry, less than a tenth of the rain. Dots: less than half. Hatched: some kept off. Crossed: as "
                            "wet as the open. Thick dashes: where the roof drips."},
        *_months(of, shown, weather),
        *_dripping(of, shown),
    ]  # fmt: skip
    if best.dry.whole > 0:
        blocks.append({"t": "caution", "s": CARE})
    blocks.append({"t": "small", "s": own_units(KNOWN, of.garden.style)})
    return Page(f"Dry at {of.words.the(ref)}?", tuple(blocks), of.paper.size_mm, scale, scale)


def _answer(found: tuple[Roofed, ...]) -> str:
    """Return what the table comes to, in one sentence."""
    best = max(found, key=lambda r: r.dry.whole)
    if best.dry.whole <= 0.02:
        return "Nothing that stands or is thought of keeps it dry."
    open_ = next((r for r in found if r.roof_m2 > 0 and not r.closed and r.dry.whole > 0), best)
    if best is open_:
        return f"{capital(best.words)}: dry in {chances(best.dry.whole)} of the rainy hours."
    first, then = chances(open_.dry.whole), chances(best.dry.whole)
    return f"{capital(open_.words)} keeps it dry in {first} of the rainy hours; {best.words}, in {then}."


def _table(of: Set, found: tuple[Roofed, ...]) -> Block:
    rows: list[list[Any]] = []
    for r in found:
        rainy = sum(h for _, h, _ in r.dry.by_month)
        rows.append(
            [
                {"s": capital(r.words), "bold": True},
                f"{r.dry.dry_h:.0f} of {rainy:.0f} h",
                chances(r.dry.whole),
                of.words.area(r.roof_m2) if r.roof_m2 else "none",
                "–" if r.dry.whole > 0.98 else side_words(r.dry.wettest_deg),
            ]
        )
    head = ["under", "dry in a year's rainy hours", "that is", "roof in plan", "wet mostly"]
    return {
        "t": "table", "head": head, "rows": rows, "widths": [2.2, 1.3, 1.1, 0.9, 1.3], "align": ["left"] * 5, "size": 9,
        "inset": 1.6,
    }  # fmt: skip


def _drawing(of: Set, ref: str, shown: Roofed, weather: Weather) -> tuple[Block, str]:
    scene = shown.scene
    spot, area = scene.spot(ref), scene.area_of(ref)
    middle = Point(spot.at) if spot is not None else area.centroid if area is not None else scene.boundary.centroid
    around = middle.buffer(ROUND_M, cap_style="square")
    found = wetting(scene, weather.rains().fewer(), cell_m=CELL_M, within=around.bounds)
    values = (100 * found.share).astype(np.float32)
    field = Amounts(found.grid.x0_m, found.grid.y0_m, CELL_M, values, "%", BANDS, 0)
    near = field.within(shapely.intersection(around, scene.boundary))
    figures: list[Figure] = [*band_areas(near), *(f for g in scene.figures for f in thin(g) if _near(f, around))]
    falling = [d for d in drips(scene) if d.line.intersects(around) and d.fall_m > TOLD_M]
    figures += [PathFigure(drip_points(d), "water", d.owner, weight="thick", dash=True) for d in falling]
    figures.append(TextFigure((middle.x, middle.y), of.words.name(ref), "evidence", ref))
    west, south, east, north = around.bounds
    frame = (of.paper.frame_mm[0] * 0.7, of.paper.frame_mm[1] * 0.4)
    drawing, scale = view(of, [(west, south), (east, north)], figures, frame)
    return drawing, scale.said


def _near(figure: Figure, around: shapely.Polygon) -> bool:
    points: tuple[XY, ...] = getattr(figure, "points", ()) or (getattr(figure, "rings", ((),))[0])
    return len(points) > 1 and shapely.LineString(points).intersects(around)


def _months(of: Set, shown: Roofed, weather: Weather) -> Iterator[Block]:
    """Yield, by month, the dry hours there and what runs off all the roofs."""
    off = run_off(shown.scene, weather.rain_mm)
    head = ["", *(MONTHS[m - 1][:3] for m, _, _ in shown.dry.by_month)]
    rows: list[list[Any]] = [
        ["rainy hours", *(f"{h:.0f}" for _, h, _ in shown.dry.by_month)],
        ["dry of these", *(f"{100 * s:.0f} %" for _, _, s in shown.dry.by_month)],
    ]
    if any(litres for m in off for _, litres in m.roofs):
        rows.append(["off all roofs", *(of.words.water(sum(v for _, v in m.roofs)) for m in off)])
    yield {
        "t": "table",
        "head": head,
        "rows": rows,
        "widths": [1.6, *([1] * 12)],
        "align": ["left"] * 13,
        "size": 7.5,
        "inset": 1.2,
    }


def _dripping(of: Set, shown: Roofed) -> Iterator[Block]:
    told = [
        f"{of.words.the(d.owner)} on {of.words.both(d.strikes)}"
        for d in drips(shown.scene)
        if d.strikes and d.fall_m > TOLD_M
    ]
    if told:
        yield {"t": "text", "s": f"Without a gutter rain drips from {'; from '.join(dict.fromkeys(told))}."}
