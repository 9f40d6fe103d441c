"""How sheets are cut into plates, on paper: each sheet as a drawing with its cuts numbered, and a table of the cuts."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from quincunx.build.kept import Left
from quincunx.build.sheet_cutting import SawnSheet
from quincunx.build.sheet_lists import SheetList
from quincunx.shapes import AreaFigure, Figure, PathFigure, TextFigure
from quincunx.sheets._building import kept_together, to_saw
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block
from quincunx.sheets.svg import Look, draw
from quincunx.units import Style, format_mass
from quincunx.units.sides import up

ONE_CARRIES_KG, LONG_M = 16.0, 2.0
"""Two carry what weighs more (the lower of the usual figures for lifting by one, Health and Safety Executive, Manual
handling, L23; from memory) or is longer (common practice, no source)."""
HIGH_MM, WIDE_MM, LETTER_MM = 44.0, 30.0, 1.3
MOST = 8
"""So many ways of sawing a sheet are drawn; the rest stand in the workbook."""
CARE = (
    "Sheet edges and off-cuts are sharp: gloves, goggles, long sleeves. Dust and fibres: a mask, and sweep up wet. Clamp "
    "the sheet on both sides of the cut and keep behind the saw. No sheets in wind."
)
PANES = (
    "Ordered cut to size: safety glass can't be cut afterwards, so measure each frame before ordering and take off what its "
    "maker says for room to move."
)


def size_words(wide_m: float, long_m: float, style: Style) -> str:
    """Write a plate's width and length."""
    return f"{to_saw(wide_m, style)} × {to_saw(long_m, style)}"


def plates_words(sheet: SheetList, style: Style) -> str:
    """Write all plates of an item: how many of what name and size."""
    return ", ".join(f"{p.count} {p.name} {size_words(p.wide_m, p.long_m, style)}" for p in sheet.plates)


def kept_words(sheet: SheetList, style: Style) -> str:
    """Write the off-cuts that are worth keeping; empty where there are none."""
    kept = sheet.kept()
    more = " and smaller ones" if len(kept) > 4 else ""
    return ", ".join(f"{n} of {size_words(w, h, style)}" for w, h, n in kept[:4]) + more


def first_words(sheet: SheetList, style: Style) -> list[str]:
    """Say which left-overs of earlier jobs are cut first."""
    counts: dict[Left, int] = {}
    for one, sawn in sheet.before:
        counts[one] = counts.get(one, 0) + sawn.count
    return [
        f"Cut first what is left over from “{one.source}”: {n} of {size_words(one.wide_m, one.length_m, style)}. If it was"
        " not kept, buy for these pieces too."
        for one, n in counts.items()
    ]


def two_carry(sheet: SheetList, sawn: SawnSheet) -> bool:
    """Return whether two people are asked to carry a sheet."""
    return sawn.wide_m * sawn.long_m * sheet.kg_m2 > ONE_CARRIES_KG or max(sawn.wide_m, sawn.long_m) > LONG_M


def how_sure(sheet: SheetList) -> str:
    """Write whether no cutting wastes less."""
    return "no cutting costs less" if sheet.proven else f"at most {up(100 * sheet.gap):.0f} in 100 over the least"


def sheet_blocks(of: Set, sheets: Iterable[SheetList]) -> list[Block]:
    """Return every sheet to be cut as a drawing beside its table of cuts; plates ordered to size as a list."""
    out: list[Block] = []
    for sheet in sheets:
        out += _ordered(of, sheet) if sheet.ordered else _cut(of, sheet)
    return out


def _ordered(of: Set, sheet: SheetList) -> list[Block]:
    style = of.garden.style
    rows = [[p.name, str(p.count), size_words(p.wide_m, p.long_m, style)] for p in sheet.plates]
    return [
        {"t": "heading", "s": f"{sheet.words}: to order"},
        {"t": "table", "head": ["piece", "how many", "width × length"], "rows": rows, "widths": [1, 1, 2],
         "align": ["left", "right", "left"], "size": 8.5, "inset": 1.1},
        {"t": "small", "s": PANES},
    ]  # fmt: skip


def _cut(of: Set, sheet: SheetList) -> list[Block]:
    style = of.garden.style
    usual = " Sheet sizes are the usual ones: your price list names none." if sheet.assumed_stock else ""
    ribs = (
        "" if all(p.turns for p in sheet.plates) else " Ribs or flutes run along the sheet's length: nothing is turned."
    )
    kept = kept_words(sheet, style)
    out: list[Block] = [
        {"t": "heading", "s": f"Cutting {sheet.words}"},
        {"t": "small", "s": f"{plates_words(sheet, style)}. Cut so, {how_sure(sheet)}.{usual}{ribs}"},
    ]
    out += [{"t": "text", "s": words} for words in first_words(sheet, style)]
    told = [_one(of, sheet, sawn) for sawn in (*(s for _, s in sheet.before), *sheet.sheets)[:MOST]]
    out += [kept_together([{"t": "row", "widths": [1, 1], "cells": told[n : n + 2]}]) for n in range(0, len(told), 2)]
    if (ways := len(sheet.before) + len(sheet.sheets)) > MOST:
        out.append({"t": "small", "s": f"{ways - MOST} more ways of cutting stand in the workbook."})
    if kept:
        out.append({"t": "text", "s": f"Keep what is left over: {kept}."})
    for p in sheet.misfits:
        long = f"{p.count} × {size_words(p.wide_m, p.long_m, style)}"
        out.append(
            {"t": "text", "s": f"{long} is larger than any sheet: join it over a support, or ask for larger ones."}
        )
    if sheet.sheets:
        out.append({"t": "small", "s": CARE})
    return out


def _one(of: Set, sheet: SheetList, sawn: SawnSheet) -> list[Block]:
    """Return one way of sawing a sheet: its drawing beside the cuts in their order."""
    style = of.garden.style
    kg = sawn.wide_m * sawn.long_m * sheet.kg_m2
    two = "; two people carry it" if two_carry(sheet, sawn) else ""
    head = f"{sawn.count} × {size_words(sawn.wide_m, sawn.long_m, style)}, {format_mass(kg, style)} each{two}"
    rows: list[list[Any]] = [
        [
            str(n),
            "along" if c.along else "across",
            to_saw(c.measure_m, style),
            "the left" if c.along else "below",
        ]
        for n, c in enumerate(sawn.cuts, 1)
    ]
    table: Block = {
        "t": "table", "head": ["cut", "the sheet", "measured", "from"], "rows": rows, "widths": [0.5, 1, 1.2, 1],
        "align": ["right", "left", "right", "left"], "size": 8.0, "inset": 0.9,
    }  # fmt: skip
    said = "In this order, from the edge of the part you hold; saw past the mark." if rows else "Whole: no cut."
    cells: list[list[Block]] = [
        [_drawing(of, sawn)],
        [{"t": "text", "s": head}, {"t": "small", "s": said}, *([table] if rows else [])],
    ]
    return [{"t": "row", "widths": [1, 1.6], "cells": cells}]


def _drawing(of: Set, sawn: SawnSheet) -> Block:
    """Draw a sheet standing on its width, the plates on it with their sizes, the cuts with their numbers."""
    style = of.garden.style
    scale = max(sawn.long_m * 1000 / HIGH_MM, sawn.wide_m * 1000 / WIDE_MM)
    figures: list[Figure] = [_box(0.0, 0.0, sawn.wide_m, sawn.long_m, "note")]
    for p in sawn.plates:
        figures.append(_box(p.x_m, p.y_m, p.wide_m, p.long_m, "built"))
        words, upright = _short(p.wide_m, p.long_m, style), p.long_m > p.wide_m
        room, thick = (1000 * x / scale for x in (max(p.wide_m, p.long_m), min(p.wide_m, p.long_m)))
        if room > LETTER_MM * len(words) and thick > 2 * LETTER_MM:
            at = (p.x_m + p.wide_m / 2, p.y_m + p.long_m / 2)
            figures.append(TextFigure(at, words, "note", "", "small", 90.0 if upright else 0.0))
    for n, c in enumerate(sawn.cuts, 1):
        figures.append(PathFigure((c.start, c.end), "datum", weight="normal"))
        out = (c.end[0], c.end[1] + 1.6 * scale / 1000) if c.along else (c.end[0] + 2.2 * scale / 1000, c.end[1])
        figures.append(TextFigure(out, str(n), "datum", "", "small"))
    edge = 6 * scale / 1000
    bounds = (-edge, -edge, sawn.wide_m + edge, sawn.long_m + edge)
    wide, high = (1000 * d / scale for d in (bounds[2] - bounds[0], bounds[3] - bounds[1]))
    return {"t": "drawing", "svg": draw(figures, bounds, Look(scale, style)), "w": wide, "h": high}


def _short(wide_m: float, long_m: float, style: Style) -> str:
    """Write a size as short as can be: millimetres without their unit in metric gardens."""
    return size_words(wide_m, long_m, style) if style.system == "feet" else f"{wide_m * 1000:.0f} × {long_m * 1000:.0f}"


def _box(x: float, y: float, wide: float, long: float, role: Any) -> AreaFigure:
    ring = ((x, y), (x + wide, y), (x + wide, y + long), (x, y + long))
    return AreaFigure((ring,), role, "", "plain", weight="thin")
