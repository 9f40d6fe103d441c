"""The plan: the garden as it is to be at the end, true to scale, tiled where the paper is too small."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quincunx.shapes import Figure, PathFigure, TextFigure
from quincunx.sheets._near import near
from quincunx.sheets._set import Set, north_arrow
from quincunx.sheets.book import Page
from quincunx.sheets.labels import spread_labels
from quincunx.sheets.scales import Scale, fits, fitting, scales, tiles
from quincunx.sheets.svg import Look, draw

ID = "plan"
WORDS = "The plan"
SMALLEST = 400.0
"""A plan smaller than 1 to this is hard to read outdoors: it is tiled instead."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:
    """Yield the plan in the last year; ``wanted`` forces a scale (100 for 1:100), tiled if it doesn't fit."""
    year = of.timeline.years[-1]
    yield from plan_pages(of, year, "The plan", f"as in late summer {year}", wanted)


def plan_pages(of: Set, year: int, title: str, note: str, wanted: float | None = None) -> Iterator[Page]:
    """Yield the plan of one year on one page, or on several that overlap."""
    yield from drawn_pages(of, [*of.summer(year).figures, *of.own_marks()], title, note, wanted)


def sheets_of(of: Set) -> tuple[int, Scale]:
    """Return on how many sheets the plan is drawn if no scale is asked for, and the scale at which it would be one."""
    bounds = west, south, east, north = _framed(of, None)
    wide, high = east - west, north - south
    frame = of.paper.lying(flat=wide > high).frame_mm
    scale, whole = choose(of, wide, high, frame, None), fitting(wide, high, frame, of.garden.style)
    return (1 if fits(wide, high, frame, scale) else len(tiles(bounds, frame, scale))), whole


def drawn_pages(of: Set, drawn: Sequence[Figure], title: str, note: str, wanted: float | None = None) -> Iterator[Page]:
    """Yield a plan of what is ``drawn``, with boundary, rooms and spots, on one page or on several that overlap."""
    west, south, east, north = _framed(of, wanted)
    wide, high = east - west, north - south
    paper = of.paper.lying(flat=wide > high)
    scale = choose(of, wide, high, paper.frame_mm, wanted)
    figures = [*drawn, *of.frame()]
    if fits(wide, high, paper.frame_mm, scale):
        yield _page(of, figures, (west, south, east, north), scale, title, note, paper.size_mm)
        return
    sheets = tiles((west, south, east, north), paper.frame_mm, scale)
    for tile in sheets:
        name = f"{'ABCDEFGHIJKLMNOPQRSTUVWXYZ'[tile.row % 26]}{tile.column + 1}"
        marks = _overlap_marks(tile.bounds, scale)
        part = f"{note}, sheet {name} of {len(sheets)}"
        yield _page(
            of, [*near(figures, tile.bounds, scale.number), *marks], tile.bounds, scale, title, part, paper.size_mm
        )


def _framed(of: Set, wanted: float | None) -> tuple[float, float, float, float]:
    """Return the ground to draw: with the spots outside where that costs no smaller scale [m]."""
    west, south, east, north = of.bounds
    frame = of.paper.lying(flat=east - west > north - south).frame_mm
    tight = choose(of, east - west, north - south, frame, wanted)
    west, south, east, north = of.wider
    return of.wider if fits(east - west, north - south, frame, tight) else of.bounds


def choose(of: Set, wide: float, high: float, frame_mm: tuple[float, float], wanted: float | None) -> Scale:
    """Return the wanted scale, or the largest that fits on one page and can still be read."""
    style = of.garden.style
    if wanted is not None:
        return next((s for s in scales(style) if s.number == wanted), Scale(wanted, f"1:{wanted:g}"))
    best = fitting(wide, high, frame_mm, style)
    if best.number <= SMALLEST:
        return best
    return next(s for s in reversed(scales(style)) if s.number <= SMALLEST)


def _page(
    of: Set,
    figures: list[Figure],
    bounds: tuple[float, float, float, float],
    scale: Scale,
    title: str,
    note: str,
    size: tuple[float, float],
) -> Page:
    west, south, east, north = bounds
    look = Look(scale.number, of.garden.style)
    step = look.metres(9.0)
    mark = north_arrow((east - step * 0.7, north - step * 1.2), step)
    svg = draw(spread_labels([*figures, *mark], look, bounds), bounds, look)
    block = {
        "t": "drawing",
        "svg": svg,
        "w": 1000 * (east - west) / scale.number,
        "h": 1000 * (north - south) / scale.number,
    }
    foot = (
        f"{scale.said} · grid and dimensions in {'feet and inches' if of.garden.style.system == 'feet' else 'metres'}"
    )
    return Page(title, (block,), size, f"{note} · {scale.said}", scale.said, foot.replace("grid and ", ""))


def _overlap_marks(bounds: tuple[float, float, float, float], scale: Scale) -> Iterator[Figure]:
    """Yield crosses 7.5 mm in from each corner: two sheets fit when their crosses lie on each other."""
    west, south, east, north = bounds
    inset, arm = 7.5 * scale.number / 1000, 3.0 * scale.number / 1000
    for x in (west + inset, east - inset):
        for y in (south + inset, north - inset):
            yield PathFigure(((x - arm, y), (x + arm, y)), "datum", "overlap", weight="fine")
            yield PathFigure(((x, y - arm), (x, y + arm)), "datum", "overlap", weight="fine")
    yield TextFigure(
        (west + 3 * inset, south + inset),
        "lay the crosses on each other (15 mm overlap)",
        "note",
        "overlap",
        "small",
        0,
        "start",
    )
