"""What the sheets of building share: the caution under every number people may build on, bills, boards as drawings."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from typing import Any

from quincunx.build.amounts import Piece
from quincunx.build.prices import Bought, CutList
from quincunx.build.screening import DEFERS, SCOPE, Screened
from quincunx.garden import Garden
from quincunx.garden.safety import whose_codes
from quincunx.shapes import XY, AreaFigure, Figure, TextFigure
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block
from quincunx.sheets.svg import Look, draw
from quincunx.units import Style, format_length, format_money, own_marks, own_units, section_words, write_count
from quincunx.units.mass import POUND_KG
from quincunx.units.sides import up
from quincunx.works import ONE_BY_ONE

COUNTED = (
    "Quantities are counted on the plan, with what sawing, breaking and settling take; they don't say whether ground, "
    "posts or walls carry."
)
CARE = "quantities only: your local code and a licensed person decide whether it carries"
"""At the foot of every page, for the caution itself stands only once."""
DEMO = "The prices of this demonstration are invented."


def care(looked_up: Garden | None = None, *, demo: bool = False) -> list[Block]:
    """Return the caution that goes under every number people may build on, its scope and who decides.

    Under what was ``looked_up`` for a garden it says whose codes are named.
    """
    words = f"{COUNTED} {DEFERS}" if looked_up is None else f"{SCOPE} {whose_codes(looked_up)} {DEFERS}"
    return [{"t": "caution", "s": words}, *([{"t": "small", "s": DEMO}] if demo else [])]


def kept_together(blocks: Sequence[Block]) -> Block:
    """Return blocks that stand on one page, so that a caution is never parted from what it is about."""
    return {"t": "keep", "blocks": list(blocks)}


LAST_ROWS, DRAWN = 3, frozenset(("row", "keep", "drawing"))
"""So many rows of a table stay on one page with the caution under it; the blocks that hold drawings."""


def ended(blocks: Sequence[Block], last: Sequence[Block]) -> tuple[Block, ...]:
    """Return blocks closed by ``last``, which stays on one page with what stands before it: no caution stands alone.

    That is what follows the last heading, or, where a table does, the last rows of it; of several drawings the last.
    """
    heads = [i for i, b in enumerate(blocks) if b["t"] in ("heading", "table")]
    from_ = heads[-1] if heads else len(blocks)
    if sum(b["t"] in DRAWN for b in blocks[from_:]) > 1:
        from_ = max(i for i, b in enumerate(blocks) if b["t"] in DRAWN)
    before, end = list(blocks[:from_]), list(blocks[from_:])
    if end and end[0]["t"] == "table" and len(end[0]["rows"]) > LAST_ROWS:
        whole = end[0]
        before.append({**whole, "rows": whole["rows"][:-LAST_ROWS]})
        end[0] = {**whole, "rows": whole["rows"][-LAST_ROWS:], "goes_on": True}
    return (*before, kept_together([*end, *last]))


UNITS = {"yd3": "yd³", "cu yd": "yd³", "sq ft": "ft²", "ft2": "ft²", "m2": "m²", "m3": "m³"}
"""Units of a price list as they stand in every other place of the sheets."""
PLURALS = {
    "bag": "bags",
    "box": "boxes",
    "load": "loads",
    "roll": "rolls",
    "pack": "packs",
    "sheet": "sheets",
    "length": "lengths",
}


OWN_SIZES = {"ft": ("m", 0.3048), "ft2": ("m2", 0.3048**2), "sq ft": ("m2", 0.3048**2)}
"""What is sold by the foot or the square foot is written in a garden in feet as all its lengths and areas are."""


def amount(of: Set, bought: Bought) -> str:
    """Write what is asked for in the shop in the garden's own way."""
    return amount_words(bought, of.garden.style)


def amount_words(bought: Bought, style: Style) -> str:
    """Write what is asked for in the shop: ``12 × 2.40 m``, ``34 bag``, ``9.71 m2``."""
    unit = UNITS.get(bought.sold_by, bought.sold_by)
    if bought.sold_by == bought.unit and bought.unit in ("m3", "m2", "m", "kg"):
        return amount_of(math.ceil(bought.count * 100 - 1e-6) / 100, bought.unit, style)
    if bought.sold_by in OWN_SIZES and style.system == "feet":
        size = OWN_SIZES[bought.sold_by]
        return amount_of(bought.count * size[1], size[0], style)
    if bought.sold_by in ONE_BY_ONE:
        pieces = math.ceil(bought.count * ONE_BY_ONE[bought.sold_by] - 1e-6)
        return write_count(pieces, style)
    whole = bought.count >= 1000
    number = (
        write_count(bought.count, style)
        if whole
        else own_marks(f"{math.ceil(bought.count * 100 - 1e-6) / 100:g}", style)
    )
    if unit.endswith(" m") and (sides := _sides(unit[:-2])):
        return f"{number} × {' × '.join(format_length(x, style) for x in sides)}"
    if unit.endswith(" m") and unit[:-2].replace(".", "").isdecimal():
        return f"{number} × {format_length(float(unit[:-2]), style)}"
    return f"{number} {unit if number == '1' else PLURALS.get(unit, unit)}"


def piece_kg(bought: Bought) -> float:
    """Return what one piece or bag of what is bought weighs [kg]; 0 for what comes loose, by length, or as a kit."""
    said = re.search(r"(\d+(?:[.,]\d+)?) ?(kg|lb)\b", bought.words)
    if bought.sold_by == "bag":
        return 0.0 if said is None else float(said[1].replace(",", ".")) * (POUND_KG if said[2] == "lb" else 1.0)
    one = bought.sold_by in ("each", "piece") or bought.sold_by.endswith(" m")
    return bought.kg / bought.count if one and bought.count > 0 and not bought.item.startswith("kit") else 0.0


def _sides(words: str) -> list[float]:
    """Return width and length of a sheet sold as ``0.9 × 2``; nothing for anything else."""
    parts = words.split(" × ")
    return [float(p) for p in parts] if len(parts) == 2 and all(p.replace(".", "").isdecimal() for p in parts) else []


def to_saw(length_m: float, style: Style) -> str:
    """Write a length as it is marked on what is sawn: to the millimetre, or a sixteenth of an inch."""
    return format_length(length_m, style, kind="tape")


def money(of: Set, sum_: int | None) -> str:
    """Write a sum, or that there is none."""
    return "no price" if sum_ is None else format_money(sum_, of.garden.style)


def bill_table(of: Set, bill: Sequence[Bought], size: float = 8.5) -> Block:
    """Return a bill: what, how much lies there, what to buy, the sum, how it was counted."""
    rows: list[list[Any]] = [
        [
            called(b, of.garden.style),
            lies(of, b),
            {"s": amount(of, b), "bold": True},
            money(of, b.sum),
            own_units(b.how, of.garden.style),
        ]
        for b in bill
    ]
    return {
        "t": "table", "head": ["what", "lies there", "to buy", "sum", "how it was counted"], "rows": rows,
        "widths": [2.6, 0.95, 1.35, 0.95, 3.2], "align": ["left", "right", "left", "right", "left"], "size": size, "inset": 1.2,
    }  # fmt: skip


def called(bought: Bought, style: Style) -> str:
    """Return what is bought in words: as the price list has it, else in the person's units."""
    return bought.words if bought.price else own_units(bought.words, style)


def lies(of: Set, bought: Bought) -> str:
    """Write the quantity as it lies there, in the person's units."""
    return amount_of(bought.net, bought.unit, of.garden.style)


LEAST_M3 = 0.01
"""Less than this is told as less, not as nothing [m3]."""


def amount_of(number: float, unit: str, style: Style) -> str:
    """Write so many m3, m2, m, kg or pieces in the person's units."""
    from quincunx.units import format_area, format_mass, format_volume

    if unit == "m3":
        return f"under {format_volume(LEAST_M3, style)}" if 0 < number < LEAST_M3 else format_volume(number, style)
    if unit == "m2":
        return format_area(number, style)
    if unit == "m":
        return format_length(number, style)
    if unit == "kg":
        return format_mass(number, style)
    if unit in ("each", "piece"):
        return write_count(number, style)
    return own_units(f"{number:.3g} {unit}", style)


IN_FEET = {
    "m": (0.3048, "ft"), "m2": (0.3048**2, "ft2"), "m3": ((3 * 0.3048) ** 3, "yd3"), "kg": (POUND_KG, "lb"),
    "10 kg": (1.0, "22 lb"),
}  # fmt: skip
"""Of what one is how much in metres and kilograms, and what it is called, in tables that reckon on."""


def own_number(number: float, unit: str, style: Style) -> tuple[float, str]:
    """Return a number and its unit as a table of a garden in feet has them; in metres as they are."""
    if style.system != "feet" or unit not in IN_FEET:
        return number, unit
    size, own = IN_FEET[unit]
    return number / size, own


def cutting_blocks(of: Set, cuts: Iterable[CutList], width_mm: float) -> list[Block]:
    """Return each board to be sawn as a drawing true to one scale, its pieces and what is left written on it."""
    out: list[Block] = []
    for sheet in cuts:
        least = "no cutting wastes less" if sheet.proven else f"at most {up(100 * sheet.gap):.0f} in 100 over the least"
        stock = " Lengths are the usual ones: your price list names none." if sheet.assumed_stock else ""
        out.append({"t": "heading", "s": f"{sheet.words} {section_words(sheet.pieces[0].section_m, of.garden.style)}"})
        out.append({"t": "small", "s": f"{_pieces(of, sheet)}. Sawn so, {least}.{stock}"})
        out += [{"t": "text", "s": words} for words in first_words(sheet, of.garden.style)]
        if sheet.boards or sheet.before:
            out.append(_boards(of, sheet, width_mm))
        if kept := kept_lengths(sheet, of.garden.style):
            out.append({"t": "small", "s": f"Keep what is left over: {kept}."})
        out += [{"t": "text", "s": too_long(p, of.garden.style)} for p in sheet.misfits]
    return out


def first_words(sheet: CutList, style: Style) -> list[str]:
    """Say which left-overs of earlier jobs are sawn first, a sentence for each job that left them."""
    by_job: dict[str, dict[float, int]] = {}
    for r in sheet.before:
        lengths = by_job.setdefault(r.left.source, {})
        lengths[r.left.length_m] = lengths.get(r.left.length_m, 0) + r.count
    return [
        f"Saw first what is left over from “{job}”: "
        + ", ".join(f"{n} of {to_saw(x, style)}" for x, n in sorted(lengths.items(), reverse=True))
        + ". If it was not kept, buy for these pieces too."
        for job, lengths in by_job.items()
    ]


def kept_lengths(sheet: CutList, style: Style) -> str:
    """Write the left-overs that are worth keeping; empty where there are none."""
    kept = sheet.kept()
    more = " and shorter ones" if len(kept) > 4 else ""
    return ", ".join(f"{n} of {to_saw(x, style)}" for x, n in kept[:4]) + more


def too_long(piece: Piece, style: Style) -> str:
    """Say of pieces that no board of the price list is long enough for what can be done."""
    long = f"{piece.count} × {piece.name} {to_saw(piece.length_m, style)}"
    return f"{long}: longer than any board. Join it over a support, or ask for a longer one."


def _pieces(of: Set, sheet: CutList) -> str:
    counts: dict[str, int] = {}
    for p in sheet.pieces:
        words = f"{p.name} {to_saw(p.length_m, of.garden.style)}"
        counts[words] = counts.get(words, 0) + p.count
    return ", ".join(f"{n} × {words}" for words, n in counts.items())


ROW_MM, BAR_MM = 7.0, 4.2
MOST_ROWS = 26


def _alike(of: Set, sheet: CutList) -> list[tuple[float, list[float], int, str]]:
    """Return (length [m], what is sawn of it [m], how many, kept) of the boards; those sawn alike are one row."""
    every = [(r.left.length_m, r.cuts, r.count, " kept") for r in sheet.before]
    every += [(b.length_m, b.cuts, b.count, "") for b in sheet.boards]
    found: dict[tuple[float, tuple[str, ...], str], tuple[float, list[float], int, str]] = {}
    for length_m, cuts, number, kept in every:
        sawn = sorted((sheet.pieces[i].length_m for i, n in cuts for _ in range(n)), reverse=True)
        key = (length_m, tuple(to_saw(x, of.garden.style) for x in sawn), kept)
        had = found.get(key)
        found[key] = (length_m, sawn, number + (had[2] if had else 0), kept)
    return list(found.values())


def _boards(of: Set, sheet: CutList, width_mm: float) -> Block:
    rows = _alike(of, sheet)[:MOST_ROWS]
    longest = max(length for length, *_ in rows)
    label_mm = 24.0
    scale = longest * 1000 / (width_mm - label_mm - 2)
    mm = scale / 1000
    figures: list[Figure] = []
    for row, (length_m, cuts, number, kept) in enumerate(rows):
        y = -(row + 1) * ROW_MM * mm
        high = BAR_MM * mm
        words = f"{number} × {format_length(length_m, of.garden.style)}{kept}"
        figures.append(TextFigure((0.0, y + high / 2), words, "note", "", "small", anchor="start"))
        x = label_mm * mm
        figures.append(_bar(x, y, length_m, high, "note", "plain"))
        for long in cuts:
            figures.append(_bar(x, y, long, high, "built", "plain"))
            if long / mm > 9:
                at: XY = (x + long / 2, y + high / 2)
                figures.append(TextFigure(at, to_saw(long, of.garden.style), "note", "", "small"))
            x += long + 0.003
    bounds = (0.0, -(len(rows) + 0.6) * ROW_MM * mm, width_mm * mm, 0.0)
    svg = draw(figures, bounds, Look(scale, of.garden.style))
    return {"t": "drawing", "svg": svg, "w": width_mm, "h": (len(rows) + 0.6) * ROW_MM}


def _bar(x: float, y: float, long: float, high: float, role: Any, pattern: Any) -> AreaFigure:
    ring = ((x, y), (x + long, y), (x + long, y + high), (x, y + high))
    return AreaFigure((ring,), role, "", pattern)


SIZES_OF_CODES = re.compile(r"\d+ in \(\d+ cm\)")
"""What in a source is a size and not the number of a table or a clause."""


def source_words(source: str, style: Style) -> str:
    """Write a source with its sizes in the person's units, the numbers of its tables and clauses left alone."""
    return SIZES_OF_CODES.sub(lambda m: own_units(m[0], style), source)


def looked_up_table(of: Set, found: Sequence[Screened], size: float = 8.5) -> Block:
    """Return what was looked up: the thing, the answer, why, and the edition behind it."""
    sign = {"within": "✓", "beyond": "✗", "unknown": "?"}
    rows: list[list[Any]] = [
        [
            {"s": sign[s.answer], "bold": True},
            own_units(s.what, of.garden.style),
            {"s": own_units(s.words, of.garden.style), "bold": s.answer == "beyond"},
            own_units(s.because, of.garden.style),
            source_words(s.source, of.garden.style),
        ]
        for s in found
    ]
    return {
        "t": "table", "head": ["", "looked up", "answer", "because", "by"], "rows": rows, "widths": [0, 2, 1.3, 2.6, 2.7],
        "align": ["left"] * 5, "size": size, "inset": 1.2,
    }  # fmt: skip
