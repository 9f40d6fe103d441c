"""The harvest calendar: what is picked when, in which year, with what is wanting and what comes at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from quincunx.grow.bearing import bearing
from quincunx.grow.harvest import Crop, YearHarvest, harvests
from quincunx.sheets._chart import Chart
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.ink import INKS
from quincunx.units import format_mass
from quincunx.units.dates import MONTHS

ID = "harvest"
WORDS = "The harvest calendar: what is picked in which month, and from which year"
NEEDS = "Nothing that is picked is planted yet. Plant fruit, vegetables or flowers to cut, and this page says what they give."

ROW_MM, LABEL_MM, HEAD_MM = 6.2, 46.0, 6.0


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a calendar has no scale
    """Yield one page: the months of the last year drawn, then kilograms by year; nothing where nothing is picked."""
    found = harvests(of.timeline)
    last = found[of.timeline.years[-1]]
    if not any(h.crops for h in found.values()):
        return
    blocks: list[Block] = []
    picked = [c for c in last.crops if c.picked]
    if picked:
        blocks += [{"t": "heading", "s": f"By month in {last.year}"}, _drawn(of, picked), *_said(of, last)]
    blocks += [{"t": "heading", "s": "By year"}, _years(of, found)]
    blocks.append({"t": "small", "s": HOW})
    yield Page("The harvest", tuple(blocks), of.paper.size_mm, f"{of.timeline.years[0]} to {of.timeline.years[-1]}")


HOW = (
    "Usual yields of gardens (of orchard figures a third to a half), the usual ages at bearing, and what the journal says"
    " was browsed, died back or lost; the first figure is the middle, then the range. Weather, soil and care make more"
    " difference than any table: write down what you pick, and believe that."
)


def _drawn(of: Set, picked: list[Crop]) -> Block:
    """Return bars over the months, as thick as the month's share of the crop, each with its kilograms."""
    wide = of.paper.frame_mm[0]
    step = (wide - LABEL_MM) / 12
    high = HEAD_MM + ROW_MM * (len(picked) + 1) + 1.5
    chart = Chart(wide, high)
    for m in range(12):
        x = LABEL_MM + step * m
        chart.words(x + step / 2, HEAD_MM - 1.8, MONTHS[m][:3], 2.7, anchor="middle")
        chart.line(x, HEAD_MM, x, high, 0.08)
    for k, crop in enumerate(sorted(picked, key=lambda c: (_first(c), c.owner))):
        y = HEAD_MM + ROW_MM * k
        chart.words(0, y + 4.2, _name(of, crop), 2.9)
        for m, kg in enumerate(crop.months):
            x = LABEL_MM + step * m
            if kg.mid > 0:
                chart.wash(x + 0.6, y + 0.9, step - 1.2, ROW_MM - 1.8, INKS["grown"].wash or "#ffffff")
                chart.words(
                    x + step / 2, y + 4.2, format_mass(kg.mid, of.garden.style).split(" ")[0], 2.7, anchor="middle"
                )
            elif not crop.weighed and (m + 1) in crop.picking:
                chart.bar(x + 0.6, y + 0.9, step - 1.2, ROW_MM - 1.8, "stripes")
        chart.line(0, y, wide, y, 0.08)
    y = HEAD_MM + ROW_MM * len(picked)
    chart.line(0, y, wide, y, 0.3)
    chart.words(0, y + 4.2, "all together", 2.9, bold=True)
    for m in range(12):
        mid = sum(c.months[m].mid for c in picked)
        if mid > 0:
            x = LABEL_MM + step * m
            chart.words(
                x + step / 2, y + 4.2, format_mass(mid, of.garden.style).split(" ")[0], 2.7, anchor="middle", bold=True
            )
    return {"t": "drawing", "svg": chart.svg(), "w": wide, "h": high}


def _first(crop: Crop) -> int:
    return next((m for m, kg in enumerate(crop.months) if kg.mid > 0), min(crop.picking, default=12))


def _name(of: Set, crop: Crop) -> str:
    name = of.words.name(crop.owner)
    return name if len(name) <= 28 else f"{name[:27]}…"


def _said(of: Set, last: YearHarvest) -> Iterator[Block]:
    unit = format_mass(0, of.garden.style).split(" ")[1]
    gluts = ", ".join(MONTHS[m - 1] for m in last.gluts)
    gaps = ", ".join(MONTHS[m - 1] for m in last.gaps)
    text = f"Figures in {unit}; hatched: cut or picked, not weighed."
    text += f" Much at once in {gluts}: plan to store, dry, press or give away." if gluts else ""
    text += f" Nothing fresh in {gaps}." if gaps else ""
    yield {"t": "text", "s": text}


def _years(of: Set, found: Mapping[int, YearHarvest]) -> Block:
    years = list(found)
    owners = sorted({c.owner for h in found.values() for c in h.crops})
    rows: list[list[Any]] = []
    for owner in owners:
        cells = [_cell(of, next((c for c in found[y].crops if c.owner == owner), None)) for y in years]
        first = bearing(of.timeline, owner)
        note = f"first crop {first.when.words}" if first.when.not_before is not None else first.why
        rows.append([f"{of.words.name(owner)}", *cells, {"s": note}])
    totals = [{"s": format_mass(found[y].kg.mid, of.garden.style), "bold": True} for y in years]
    ranges = [_range(of, found[y]) for y in years]
    rows += [[{"s": "all together", "bold": True}, *totals, ""], [{"s": "lies between"}, *ranges, ""]]
    return {
        "t": "table", "head": ["", *(str(y) for y in years), "how it begins"], "rows": rows,
        "widths": [2.0, *(1 for _ in years), 2.6], "align": ["left", *("center" for _ in years), "left"], "size": 7.4,
    }  # fmt: skip


def _range(of: Set, one: YearHarvest) -> str:
    low, high = (format_mass(v, of.garden.style) for v in (one.kg.low, one.kg.high))
    return f"{low.split(' ')[0]} to {high}" if one.kg.high else ""


def _cell(of: Set, crop: Crop | None) -> str:
    if crop is None:
        return ""
    if crop.set_back:
        return "lost"
    if not crop.picked:
        return "·"
    return format_mass(crop.kg.mid, of.garden.style) if crop.weighed else "✓"
