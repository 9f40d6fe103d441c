"""Which roof over a seat: the roofs thought of and the best slats found, side by side, on one page to decide from."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from shapely import Point, Polygon

from quincunx.features import Feature
from quincunx.garden.comparing import reckoned_as
from quincunx.intents._raining import chances, weather_of
from quincunx.review.shelters import NEAR_M, Roofed, compared, places_to_sit
from quincunx.scene import Scene
from quincunx.shapes import XY, Amounts, Band, Figure, PathFigure, band_areas
from quincunx.sheets._place import thin
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.shade_at_seats import tiles_svg
from quincunx.sheets.sunlight import sky_over, warm_months
from quincunx.sheets.svg import Look, draw
from quincunx.units import Style, capital, counted, format_hours, format_money, own_units
from quincunx.water import Weather
from quincunx.water.weather import MONTHS as EVERY

if TYPE_CHECKING:
    from quincunx.light.roofs import Roof, RoofSun, Spot

ID = "roof"
WORDS = "Which roof over the seat"
NEEDS = (
    "No place is held open for a roof by a seat yet. Put a held place with a shortlist by the seat; the board's Sun, Which "
    "roof?, compares roofs anywhere."
)
CLEAR_M = 2.2
"""Clear height of the roofs that are not drawn (common practice, no source) [m]."""
SHOWN = 4
"""So many roofs have their pictures."""
ROUND_M = 8.0
"""Ground shown round the seat [m]."""
LOSING = (
    Band(0.0, "no winter sun lost to speak of", 6), Band(0.5, "half an hour to an hour lost", 4),
    Band(1.0, "1 to 3 hours lost", 2), Band(3.0, "more than 3 hours lost", 0),
)  # fmt: skip
PLAIN_WORDS = "Plain: no winter sun lost to speak of. Dots: half an hour a day. Hatched: an hour and more. Crossed: three and more."
CARE = (
    "A roof must stand up to wind from below and to snow: see the construction sheet, and ask whoever is licensed where you "
    "live before building one. The slats found and the climber are not drawn or reckoned: no timber sizes stand behind them."
)
KNOWN = (
    "How do we know? Sun every ten minutes of the 15th of each month on clear days, 1.2 m over the seat, through and between "
    "what stands at the end of the plan; hours are the clock's, summer time included. Winter is November to February (May to "
    "August in the south). The slats are the best of 1,500 tried: most midday shade, morning and winter sun left counting a "
    "quarter and a seventh as much; of those near the best the least timber. A climber is taken to let through 20 % in leaf and "
    "70 % bare; plants differ. Rain and wind as on the page of shelter. Money and hours as on the construction sheets."
)


@dataclass(frozen=True, eq=False)
class Way:
    """One roof: what it does to sun and rain, and what it comes to, where it is drawn."""

    sun: RoofSun
    dry: float | None
    bed: tuple[str, float] | None
    money: str = ""
    hours: float | None = None
    sum: int = 0
    closed: int = 0

    @property
    def drawn(self) -> bool:
        """Return whether it is drawn and reckoned."""
        return self.hours is not None

    @property
    def price(self) -> str:
        """Return its money and hours in words."""
        return ", ".join(s for s in (self.money, f"{self.hours or 0:.0f} h") if s)


def has_pages(of: Set) -> bool:
    """Return whether a place is held open by a place to sit."""
    scene = of.summer(of.timeline.years[-1])
    return any(_held(of, scene, ref) for ref in places_to_sit(of.garden, of.timeline) if of.about in ("", ref))


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - each drawing has the scale that fits it
    """Yield a page for each place to sit that has a place held open by it."""
    for ref in places_to_sit(of.garden, of.timeline):
        if of.about in ("", ref):
            yield from _page(of, ref)


def _page(of: Set, ref: str) -> Iterator[Page]:
    year = of.timeline.years[-1]
    scene, weather = of.summer(year), weather_of(of.timeline)
    at, held = _middle(scene, ref), _held(of, scene, ref)
    if held is None:
        return
    ways, spot = ways_of(of, ref, at, held.id, weather)
    shown = _shown(ways)
    name = of.words.the(ref)
    yield Page(
        f"Which roof over {name}?",
        (
            {"t": "large", "s": answer(ways)},
            _table(of, ways),
            *({"t": "text", "s": s} for s in told(ways, of)),
            {"t": "heading", "s": f"Sun at {name}, by month and hour"},
            _charts(of, shown),
            {"t": "small", "s": "Dark is shade, filled from above; blank while the sun is down."},
            {"t": "heading", "s": "Winter sun that the ground around loses, north up"},
            _maps(of, shown, scene, spot),
            {"t": "small", "s": PLAIN_WORDS},
            {"t": "caution", "s": CARE},
            {"t": "small", "s": own_units(KNOWN, of.garden.style)},
        ),
        of.paper.size_mm,
        f"as the garden stands at the end of summer {year}",
    )  # fmt: skip


def _held(of: Set, scene: Scene, ref: str) -> Feature | None:
    """Return the place held open by a place to sit."""
    at = _middle(scene, ref)
    return next((f for f in of.garden.features if _near(f.held_place(), at)), None)


def _near(place: Any, at: XY) -> bool:
    return place is not None and bool(place.shortlist) and place.outline.distance(Point(at)) < NEAR_M


def _middle(scene: Scene, ref: str) -> XY:
    spot, area = scene.spot(ref), scene.area_of(ref)
    middle = Point(spot.at) if spot is not None else (area if area is not None else scene.boundary).centroid
    return (float(middle.x), float(middle.y))


def ways_of(of: Set, ref: str, at: XY, held: str, weather: Weather | None) -> tuple[list[Way], Spot]:
    """Return what each roof does: none, the shortlist with sides closed, the best slats, a climber over them."""
    from quincunx.light.roofs import OWNER, Roof, Spot, compare, roofs_for

    sky, warm, scene = sky_over(of.timeline), warm_months(of.timeline), of.summer(of.timeline.years[-1])
    bare = replace(scene, solids=tuple(s for s in scene.solids if s.owner != held))
    facing = next((float(f.facing_deg) for f in of.garden.features if f.id == ref and hasattr(f, "facing_deg")), 180.0)
    outline = next(p.outline for f in of.garden.features if f.id == held and (p := f.held_place()) is not None)
    wide, deep, middle = _sizes(outline, facing)
    spot = Spot(at, facing, wide, deep, CLEAR_M, middle)
    found: list[tuple[Roof, Roofed | None]] = [(Roof("none", "no roof"), None)]
    known = weather or Weather((50.0,) * 12, (3.0,) * 12)  # only to have the sides that could be closed
    for one in compared(of.garden, of.timeline, ref, known, EVERY):
        if one.held == held:
            solids = tuple(replace(s, owner=OWNER) for s in one.scene.solids if s.owner == held)
            found.append((Roof(one.id, one.words, solids), one))
    general = {r.id: r for r in roofs_for(bare, spot, sky, warm)}
    wanted = ["slats", "climber"] if any(o is not None and o.roof_m2 for _, o in found) else [*general][1:]
    found += [(replace(general[w], id=f"best-{w}", words=_called(general[w], of.garden.style)), None) for w in wanted]
    suns = compare(bare, spot, sky, warm, tuple(r for r, _ in found))
    return [_way(of, bare, spot, sun, one, weather, ref) for sun, (_, one) in zip(suns, found, strict=True)], spot


def _called(roof: Roof, style: Style) -> str:
    return own_units(f"{roof.words} ({roof.made})", style) if roof.id == "slats" else roof.words


def _sizes(outline: Polygon, facing_deg: float) -> tuple[float, float, XY]:
    """Return the width and depth of an outline seen by somebody who looks out of it, and its middle [m]."""
    xy = shapely.get_coordinates(outline)
    a = np.radians(facing_deg)
    ahead, aside = np.array([np.sin(a), np.cos(a)]), np.array([np.cos(a), -np.sin(a)])
    deep, wide = np.ptp(xy @ ahead), np.ptp(xy @ aside)
    return float(wide), float(deep), (float(outline.centroid.x), float(outline.centroid.y))


def _way(of: Set, scene: Scene, spot: Spot, sun: RoofSun, one: Roofed | None, weather: Weather | None, ref: str) -> Way:
    from quincunx.water.rain_shadow import rain_shadow
    from quincunx.water.shelter import dryness, sitting

    if weather is None:
        dry, bed = None, None
    else:
        roofed = replace(scene, solids=(*scene.solids, *sun.roof.solids))
        points = sitting(roofed, ref)
        dry = one.dry.whole if one is not None else 0.0
        if one is None and points is not None:
            dry = dryness(roofed, points, weather, EVERY).whole
        bed = next(iter(rain_shadow(scene, sun.roof.solids, weather, spot.plan())), None) if sun.roof.solids else None
    if one is None or one.feature is None:
        return Way(sun, dry, bed)
    r, style = reckoned_as(of.garden, of.timeline, one.feature.changed(id=one.held)), of.garden.style
    money = format_money(r.sum, style, whole=True) if r.sum else ""
    if r.unpriced:
        money = f"{money} and {counted(len(r.unpriced), 'part')} without a price".removeprefix(" and ")
    return Way(sun, dry, bed, money, r.hours, r.sum, len(one.closed))


LEAST_SHADE, SOME_RAIN = 0.85, 0.1
FOUND = "best-slats"


def answer(ways: Sequence[Way]) -> str:
    """Return what the table comes to: the cheapest drawn roof that shades, and the one that keeps rain off too."""
    drawn = [w for w in ways if w.drawn and not w.closed]
    shading = [w for w in drawn if w.sun.shade >= LEAST_SHADE]
    raining = [w for w in drawn if (w.dry or 0.0) >= SOME_RAIN]
    shade = min(shading, key=lambda w: w.sum, default=None)
    rain = max(raining, key=lambda w: (w.dry or 0.0, -(w.sum)), default=None)
    said = []
    if shade is not None and shade is not rain:
        said.append(f"For shade alone: {shade.sun.roof.words} ({shade.price}).")
    if rain is not None:
        what = "does both" if rain is shade else "keeps rain off too"
        said.append(
            f"{capital(rain.sun.roof.words)} ({rain.price}) {what}: {100 * rain.sun.shade:.0f} % of the midday "
            f"sun kept off, dry in {chances(rain.dry or 0.0)} of the rainy hours."
        )
    if not said:
        best = max(ways, key=lambda w: w.sun.shade)
        said.append(f"Most shade at midday: {best.sun.roof.words}, {100 * best.sun.shade:.0f} % of the sun kept off.")
    return " ".join(said)


def _too_open(ways: Sequence[Way], style: Style) -> Iterator[str]:
    """Yield what would mend drawn roofs that let the midday sun through: the slats found."""
    found = next((w for w in ways if w.sun.roof.id == FOUND), None)
    for w in ways:
        if w.drawn and w.sun.shade < LEAST_SHADE and found is not None and found.sun.shade > w.sun.shade + 0.1:
            yield (
                f"{capital(w.sun.roof.words)}, as drawn ({w.price}), let through too much: "
                f"{100 * w.sun.shade:.0f} % of the midday sun is kept off. Slats {own_units(found.sun.roof.made, style)} would keep off "
                f"{100 * found.sun.shade:.0f} %, and leave {100 * (found.sun.winter_h / max(ways[0].sun.winter_h, 0.01)):.0f} % "
                "of the winter sun at the seat."
            )


def told(ways: Sequence[Way], of: Set) -> Iterator[str]:
    """Yield what each step costs in sun: more shade, a solid roof, a side closed."""
    style, none = of.garden.style, ways[0]
    yield from _too_open(ways, style)
    drawn = [w for w in ways if w.drawn]
    open_ = [w for w in drawn if not w.closed]
    for one, other in itertools.pairwise(open_):
        less = one.sun.morning_h - other.sun.morning_h
        if abs(less) > 0.1:
            more = "less" if less > 0 else "more"
            yield (
                f"Under {other.sun.roof.words} there are {format_hours(abs(less), style)} {more} sun before 10:00 than under "
                f"{one.sun.roof.words}."
            )
    for base, closed in itertools.pairwise(drawn):
        if closed.closed > base.closed:
            lost = base.sun.winter_h - closed.sun.winter_h
            winter = f"takes {format_hours(lost, style)} of winter sun a day" if lost > 0.05 else "takes no winter sun"
            dry = (
                f": dry in {chances(closed.dry)} instead of {chances(base.dry or 0.0)}"
                if closed.dry is not None
                else ""
            )
            yield f"{capital(closed.sun.roof.words)}, {winter} at the seat{dry}."
    best = max(ways, key=lambda w: w.sun.shade)
    if none.sun.shade >= LEAST_SHADE or best.sun.shade - none.sun.shade < SOME_RAIN:
        yield "What stands there shades the seat at midday already: a roof adds little shade."


HEAD = (
    "roof", "shade 12–16", "sun before 10", "winter sun", "dry when it rains", "ground darker", "beds lose", "money",
    "own hours",
)  # fmt: skip


def _table(of: Set, ways: Sequence[Way]) -> Block:
    style = of.garden.style
    rows: list[list[Any]] = []
    for w in ways:
        s = w.sun
        rows.append([
            {"s": capital(s.roof.words), "bold": True}, f"{100 * s.shade:.0f} %",
            format_hours(s.morning_h, style), format_hours(s.winter_h, style),
            "can't tell" if w.dry is None else f"{round(10 * w.dry)} in 10",
            of.words.area(s.darker_m2) if s.darker_m2 else "none", _losing(of, w), w.money or ("no price" if w.drawn else "not drawn"),
            f"{w.hours:.0f} h" if w.hours is not None else "–",
        ])  # fmt: skip
    return {
        "t": "table", "head": list(HEAD), "rows": rows, "widths": [2.5, 0.8, 0.9, 0.9, 0.8, 0.9, 1.5, 0.9, 0.7],
        "align": ["left", *["right"] * 5, "left", "right", "right"], "size": 8, "inset": 1.2,
    }  # fmt: skip


def _losing(of: Set, w: Way) -> str:
    """Return what the bed that loses most loses: light over the growing months, and half its rain or more."""
    light = (
        f"{of.words.the(w.sun.beds[0][0])} {format_hours(w.sun.beds[0][1], of.garden.style)} of sun"
        if w.sun.beds
        else ""
    )
    rain = f"{of.words.the(w.bed[0])} half the rain on {of.words.area(w.bed[1])}" if w.bed else ""
    return "; ".join(s for s in (light, rain) if s) or "nothing"


def _shown(ways: Sequence[Way]) -> list[Way]:
    """Return the roofs that have pictures: none, those drawn open, the most closed, then what is left."""
    drawn = [w for w in ways[1:] if w.drawn]
    first = [ways[0], *(w for w in drawn if not w.closed), *drawn[-1:], *ways[1:]]
    return list({id(w): w for w in first}.values())[:SHOWN]


def _charts(of: Set, shown: Sequence[Way]) -> Block:
    wide = (of.paper.frame_mm[0] - 4.0 * (len(shown) - 1)) / len(shown)
    cells: list[list[Block]] = []
    for w in shown:
        svg, across, high = tiles_svg(w.sun.seat, wide, every=3, tall_mm=2.6)
        cells.append([{"t": "drawing", "svg": svg, "w": across, "h": high}, {"t": "small", "s": w.sun.roof.words}])
    return {"t": "row", "widths": [1] * len(cells), "cells": cells}


def _maps(of: Set, shown: Sequence[Way], scene: Scene, spot: Spot) -> Block:
    wide = (of.paper.frame_mm[0] - 4.0 * (len(shown) - 1)) / len(shown)
    around = Point(spot.middle or spot.at).buffer(ROUND_M, cap_style="square")
    near = shapely.intersection(around, scene.boundary)
    west, south, east, north = near.bounds
    scale = 1000 * (east - west) / wide
    look, high = Look(scale, of.garden.style, words=False, thin=0.6), 1000 * (north - south) / scale
    ring = tuple((float(x), float(y)) for x, y in spot.plan().exterior.coords[:-1])
    cells: list[list[Block]] = []
    for w in shown:
        grid = w.sun.lost
        field = Amounts(grid.x0_m, grid.y0_m, grid.cell_m, np.maximum(grid.hours[0], 0.0), "h", LOSING).within(near)
        figures: list[Figure] = [
            *band_areas(field),
            *(f for g in scene.figures for f in thin(g) if _crosses(f, around)),
        ]
        if w.sun.roof.solids:
            figures.append(PathFigure(ring, "evidence", closed=True, weight="thick", dash=True))
        svg = draw(figures, near.bounds, look)
        cells.append([{"t": "drawing", "svg": svg, "w": wide, "h": high}, {"t": "small", "s": w.sun.roof.words}])
    return {"t": "row", "widths": [1] * len(cells), "cells": cells}


def _crosses(figure: Figure, around: Polygon) -> bool:
    points: tuple[XY, ...] = getattr(figure, "points", ()) or (getattr(figure, "rings", ((),))[0])
    return len(points) > 1 and shapely.LineString(points).intersects(around)
