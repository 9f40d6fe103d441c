"""Floors to parts: units on the real outline, layers by volume or area, what has to be dug and carried."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

from quincunx.build import paving
from quincunx.build._data import frame_row, layer_row
from quincunx.build.amounts import Line, Piece, TakeOff, Tally, Task
from quincunx.build.ground_rules import both
from quincunx.build.plates import area_plates, how_laid
from quincunx.shapes import AreaWork, Layer
from quincunx.shapes.figures import XY
from quincunx.units.words import counted

BULKING = 1.25
"""Dug soil takes this much more room in the barrow than in the ground (common practice, no source)."""
BARROW_M3 = 0.065
"""What one barrow load holds, loose [m3] (common practice, no source)."""
COURSED = ("running", "stack", "basket", "herringbone", "herringbone 45", "diagonal", "circular")


def barrow_loads(loose_m3: float) -> int:
    """Return the barrow loads of loose material [m3]."""
    return math.ceil(round(loose_m3 / BARROW_M3, 6))


def floor_take_off(work: AreaWork) -> TakeOff:
    """Return what a floor, a bed or a roof's covering comes to."""
    tally = Tally()
    for n, layer in enumerate(work.layers):
        row = layer_row(layer.material)
        by = row.get("by", "bulk")
        if by == "units" and n == 0 and work.unit_m and work.pattern in COURSED:
            _units(tally, work, layer, row)
        elif by == "boards" and work.unit_m:
            _boards(tally, work, row)
        elif by == "joists":
            _joists(tally, work, row)
        elif by == "task":
            tally.tasks.append(Task(row["task"], work.outline.area * layer.thickness_m))
        elif by == "liner":
            _liner(tally, work, row)
        elif by != "dig":
            _bulk(tally, work, layer, row)
    if work.dug:
        _dig(tally, work)
    return tally.done()


def _dig(tally: Tally, work: AreaWork) -> None:
    """Dig for every layer that isn't made of the soil that lies there."""
    laid = [x for x in work.layers if layer_row(x.material).get("by") != "task"]
    raised = any(layer_row(x.material).get("by") in {"boards", "joists"} for x in laid)
    deep = sum(x.thickness_m for x in laid)
    stays = all(layer_row(x.material).get("task") in {"spread", "lay-sheet", "sow", "lay-turf"} for x in laid)
    if raised or stays or deep <= 0:
        return
    volume = work.outline.area * deep
    tally.dug_m3 += volume
    tally.tasks += [Task("dig", volume), Task("barrow", volume)]


def _bulk(tally: Tally, work: AreaWork, layer: Layer, row: dict[str, Any]) -> None:
    area = work.outline.area
    thick = float(row.get("fixed_m", layer.thickness_m))
    words = str(row["words"])
    if row.get("unit") == "kg":
        much = area * float(row["per_m2"])
        tally.lines.append(Line(row["item"], words, "kg", much, much, row.get("shop", ""), much))
        tally.tasks.append(Task(row["task"], area))
        return
    if how_laid(row) is not None:
        tally.plates += area_plates(work, row)
        tally.tasks.append(Task(row["task"], area))
        _battens(tally, work, row)
        return
    if row.get("unit", "m2") == "m2" or thick <= 0:
        waste = 1 + float(row.get("waste", 0.0))
        kg = area * float(row.get("kg_m2", thick * float(row.get("kg_m3", 300))))
        tally.lines.append(
            Line(row["item"], words, "m2", area, area * waste, row.get("shop", ""), kg,
                 f"{_share(waste - 1)} over for laps and edges" if waste > 1 else "")
        )  # fmt: skip
        tally.tasks.append(Task(row.get("thin_task", row["task"]), area))
        _battens(tally, work, row)
        return
    net = area * thick
    more = float(row.get("settle", 1.0)) * (1 + float(row.get("waste", 0.0)))
    how = f"{_share(more - 1)} over for settling and loss" if more > 1 else ""
    tally.lines.append(
        Line(
            row["item"],
            words,
            "m3",
            net,
            net * more,
            row.get("shop", ""),
            net * more * float(row.get("kg_m3", 1500)),
            how,
        )
    )
    tally.tasks.append(Task(row["task"], area if row["task"] == "lay-bed" else net))
    if row["task"] in {"spread", "spread-stone", "lay-base"}:
        tally.tasks.append(Task("barrow", net * more))


def _units(tally: Tally, work: AreaWork, layer: Layer, row: dict[str, Any]) -> None:
    unit = work.unit_m or (0.2, 0.1)
    laid, begin = _laid(work, unit)
    buy = laid.to_buy(float(row.get("waste", paving.BREAKAGE)))
    size = f"{unit[0] * 1000:.0f}x{unit[1] * 1000:.0f}"
    how = (
        f"{laid.whole:,} whole and {laid.cut:,} cut ones sawn from {laid.cut_units:,}"
        + (f", {laid.edge} along the edge" if laid.edge else "")
        + f", counted on the outline; {_share(float(row.get('waste', paving.BREAKAGE)))} over for breakage"
    )
    kg = unit[0] * unit[1] * layer.thickness_m * float(row["kg_m3"]) * buy
    tally.lines.append(Line(f"{row['item']}-{size}", row["words"], "each", laid.units, buy, row["shop"], kg, how))
    tally.tasks += [Task(row["task"], work.outline.area), Task("cut-units", laid.cut)]
    if begin:
        tally.notes.append(begin)
    if laid.slivers:
        words = "slivers narrower than 1 cm would still be cut: add an edge course, or change a side by a centimetre"
        tally.notes.append(f"{laid.slivers} {words}")


def _laid(work: AreaWork, unit: tuple[float, float]) -> tuple[paving.Laid, str]:
    """Return the units laid from the usual corner, or, if that cuts slivers, from where fewest are cut, and what to say of it."""
    usual = paving.lay(work.outline, unit, joint_m=work.joint_m, pattern=work.pattern, edge=work.edge)
    if not usual.slivers or work.pattern == "circular":
        return usual, ""
    at, best = paving.best_start(
        work.outline, unit, joint_m=work.joint_m, pattern=work.pattern, tries=3, edge=work.edge
    )
    if best.slivers >= usual.slivers:
        return usual, ""
    aside, inward = paving.from_corner(work.outline, at)
    said = (
        f"begin the pattern {both(aside)} along the longest side from its first end and {both(abs(inward))} in: from the corner "
        f"itself {usual.slivers} slivers would be cut, so {best.slivers}"
    )
    return best, said


def _boards(tally: Tally, work: AreaWork, row: dict[str, Any]) -> None:
    """Lay boards along the longest side, each row of its real length on the outline."""
    long, wide = work.unit_m or (2.4, 0.12)
    thick = work.layers[0].thickness_m
    for length in strips(work.outline, wide + work.joint_m, 0.0):
        pieces = max(math.ceil(length / long - 1e-9), 1)
        item = f"{row['item']}-{wide * 1000:.0f}x{thick * 1000:.0f}"
        tally.pieces.append(
            Piece(item, "deck board", length / pieces, pieces, (wide, thick), row["words"], row["shop"], row["kg_m3"])
        )
    tally.tasks.append(Task(row["task"], work.outline.area))


def _joists(tally: Tally, work: AreaWork, row: dict[str, Any]) -> None:
    wide, deep = row["section_m"]
    tally.pieces += [
        timber("joist", length, (wide, deep), "timber") for length in strips(work.outline, row["apart_m"], 90.0)
    ]
    tally.notes.append(
        f"joists {row['apart_m'] * 100:.0f} cm apart on bearers or ground, not screened for a raised deck"
    )
    tally.tasks.append(Task("frame", len(tally.pieces)))


def _battens(tally: Tally, work: AreaWork, row: dict[str, Any]) -> None:
    if "battens_m" not in row:
        return
    rows = strips(work.outline, float(row["battens_m"]), 0.0)
    run = sum(rows)
    kg = run * 0.05 * 0.025 * 500
    how = f"{counted(len(rows), 'row')} {row['battens_m'] * 100:.0f} cm apart, joined over rafters; 10 in 100 over"
    tally.lines.append(Line("timber-25x50", "battens 25 × 50 mm", "m", run, run * 1.1, "timber yard", kg * 1.1, how))
    tally.tasks.append(Task("board", len(rows)))


def _liner(tally: Tally, work: AreaWork, row: dict[str, Any]) -> None:
    """Buy a rectangle: length and width of the hole, each with twice its depth and 0.3 m of rim either side."""
    deep = sum(x.thickness_m for x in work.layers)
    west, south, east, north = work.outline.minimum_rotated_rectangle.bounds
    ring = list(work.outline.minimum_rotated_rectangle.exterior.coords)
    a, b = (math.dist(ring[n], ring[n + 1]) for n in (0, 1)) if len(ring) > 3 else (east - west, north - south)
    sheet = (a + 2 * (1.5 * deep + 0.3)) * (b + 2 * (1.5 * deep + 0.3))
    how = "hole with its sides and 0.3 m of rim all round (common practice, no source)"
    for item, words, kg in ((row["item"], row["words"], row["kg_m2"]), (row["under"], "underlay", 0.3)):
        tally.lines.append(Line(item, words, "m2", work.outline.area, sheet, row["shop"], sheet * kg, how))
    tally.tasks.append(Task(row["task"], sheet))


def strips(outline: Any, step_m: float, turn_deg: float) -> list[float]:
    """Return the lengths of parallel lines ``step_m`` apart across an outline, along its longest side plus ``turn_deg``."""
    import shapely

    ring = list(outline.exterior.coords)
    a, b = max(pairwise(ring), key=lambda s: round(math.dist(*s), 6))
    angle = math.atan2(b[1] - a[1], b[0] - a[0]) + math.radians(turn_deg)
    u: XY = (math.cos(angle), math.sin(angle))
    v: XY = (-u[1], u[0])
    on = [(x * v[0] + y * v[1]) for x, y in ring]
    low, high = min(on), max(on)
    count = max(math.ceil((high - low) / step_m - 1e-6), 1)
    out = []
    for n in range(count):
        # Each line stands for the board it is the middle of; the last may lie partly outside.
        t = min(low + (n + 0.5) * step_m, high - 1e-3)
        line = shapely.LineString(
            [(v[0] * t - u[0] * 1e4, v[1] * t - u[1] * 1e4), (v[0] * t + u[0] * 1e4, v[1] * t + u[1] * 1e4)]
        )
        cut = line.intersection(outline)
        out += [float(p.length) for p in getattr(cut, "geoms", [cut]) if p.length > 0.02]
    return out


def timber(name: str, length_m: float, section_m: tuple[float, float], material: str, count: int = 1) -> Piece:
    """Return ``count`` straight pieces of a frame's material [m]."""
    row = frame_row(material)
    a, b = sorted(section_m)
    item = f"{_word(material)}-{a * 1000:.0f}x{b * 1000:.0f}"
    return Piece(item, name, length_m, count, (a, b), row["words"], row["shop"], row["kg_m3"])


def _word(material: str) -> str:
    return "-".join(material.split())


def _share(part: float) -> str:
    return f"{part * 100:.0f} in 100"
