"""How walls, fences, beds, steps and floors are built: a section of each, its layers, joints, order of work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from quincunx.build.made_so import joins, steps
from quincunx.build.reckon import Reckoned
from quincunx.build.take_off import take_off_all
from quincunx.garden.costing import rules_of
from quincunx.garden.safety import looked_up
from quincunx.shapes import AreaWork, FlightWork, FrameWork, KitWork, LineWork, WaterWork, Work
from quincunx.sheets._building import (
    amount,
    called,
    care,
    cutting_blocks,
    ended,
    kept_together,
    looked_up_table,
)
from quincunx.sheets._run_views import from_above, from_the_front
from quincunx.sheets._sawing import Sawing
from quincunx.sheets._section import Section, layer_words, section
from quincunx.sheets._set import Set
from quincunx.sheets._sheet_cuts import sheet_blocks
from quincunx.sheets.book import Block, Page
from quincunx.sheets.scales import fitting
from quincunx.sheets.svg import Look, draw
from quincunx.units import format_area, format_length, own_units, section_words
from quincunx.works import Job

BOX_MM = (84.0, 34.0)
CARE = "a first look, not a design: your local code and a licensed person decide"


def runs_and_floors(of: Set, named: Sequence[tuple[str, Sequence[Work], Job]], sawing: Sawing) -> Iterator[Page]:
    """Yield the page of what is built along lines and over areas; things built alike stand together."""
    groups: dict[tuple[Any, ...], list[tuple[str, Sequence[Work], Job]]] = {}
    for name, works, job in named:
        key = tuple(_likeness(w) for w in works)
        if not any(key) and any(isinstance(w, KitWork) for w in works):
            key = tuple(_posts_alike(w) for w in works)
        if any(key):
            groups.setdefault(key, []).append((name, works, job))
    blocks: list[Block] = []
    for alike in groups.values():
        found = sawing.reckon(alike[0][2], [w for _, group, _ in alike for w in group])
        blocks += [{"t": "space", "mm": 3}] if blocks else []
        blocks += _told(of, [n for n, _, _ in alike], alike[0][1], found)
    if blocks:
        yield Page(
            "Walls, beds, steps and floors",
            ended(blocks, care(of.garden)),
            of.paper.size_mm,
            "how each is built: views, section, parts, cutting",
            foot=CARE,
        )


def _likeness(work: Work) -> tuple[Any, ...]:
    """Return what two works must share to be built alike; nothing for what is not built so."""
    if isinstance(work, LineWork):
        return (work.material, round(work.height_m, 2), round(work.thickness_m, 3), work.closed)
    if isinstance(work, AreaWork) and work.dug:
        return tuple((x.material, round(x.thickness_m, 3)) for x in work.layers)
    if isinstance(work, FlightWork):
        return (work.count, round(work.rise_m, 3), round(work.going_m, 3))
    return ()


def _posts_alike(work: Work) -> tuple[Any, ...]:
    """Return what the posts must share on which things bought whole (gates) are hung."""
    if not isinstance(work, FrameWork):
        return ()
    return tuple(sorted({(m.section_m, round(m.start[2], 3), round(m.end[2], 2)) for m in work.members}))


def _told(of: Set, names: Sequence[str], works: Sequence[Work], every: Reckoned) -> Iterator[Block]:
    """Yield one kind of thing: its views and facts, what all of them need, what was looked up."""
    found = section(works)
    shown = ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
    head: Block = {"t": "heading", "s": shown}
    facts = _facts(of, works) if found is None else [_views(of, works, found)]
    yield kept_together([head, *facts])
    yield from _parts(of, every, len(names))
    checked = [s for s in looked_up(of.garden, works, of.timeline) if s.answer != "within"]
    if checked:
        yield looked_up_table(of, checked)


def _views(of: Set, works: Sequence[Work], found: Section) -> Block:
    """Return a thing's views with its facts beside them."""
    steep = any(isinstance(w, FlightWork) for w in works)
    views = [("from above", from_above(works)), ("from the front", None if steep else from_the_front(works))]
    drawing: list[Block] = []
    for words, view in (*views, ("from the side" if steep else "section", found)):
        drawing += _drawn(of, words, view)
    return {"t": "row", "widths": [1, 1], "cells": [drawing, _facts(of, works)]}


def _drawn(of: Set, words: str, view: Section | None) -> list[Block]:
    """Return a view at the largest scale at which it fits, under its words."""
    if view is None:
        return []
    style, (west, south, east, north) = of.garden.style, view.bounds
    scale = fitting(east - west, north - south, BOX_MM, style)
    wide, high = (1000 * d / scale.number for d in (east - west, north - south))
    svg = draw(view.figures, view.bounds, Look(scale.number, style))
    return [{"t": "small", "s": f"{words}, {scale.said}"}, {"t": "drawing", "svg": svg, "w": wide, "h": high}]


def _parts(of: Set, found: Reckoned, count: int) -> Iterator[Block]:
    """Yield what is bought for all of them together, and how its boards and sheets are cut."""
    if not found.bill:
        return
    parts = [f"{called(b, of.garden.style)} {amount(of, b)}" for b in found.bill]
    together = f"For all {count} together: " if count > 1 else ""
    yield {"t": "small", "s": f"{together}{', '.join(parts)}."}
    yield from cutting_blocks(of, found.cuts, of.paper.frame_mm[0])
    yield from sheet_blocks(of, found.sheets)


def _facts(of: Set, works: Sequence[Work]) -> list[Block]:
    style, out = of.garden.style, list[Block]()
    sizes = list(_sizes(of, works))
    layers = layer_words(works, style)
    if sizes:
        out.append({"t": "text", "s": "; ".join(list(dict.fromkeys(sizes))[:5]) + "."})
    if layers:
        out.append({"t": "small", "s": f"From the top down: {'; '.join(layers)}."})
    made = [*joins(works), *(f"{j.words}: {j.how}" for w in works if isinstance(w, FrameWork) for j in w.joints)]
    if made:
        out.append({"t": "small", "s": own_units(f"Put together so: {'; '.join(made)}.", style)})
    order = steps(works)
    if order:
        out.append({"t": "list", "items": [own_units(s, style) for s in order], "size": 8.5})
    notes = take_off_all(works, rules_of(of.garden).ground).notes
    if notes:
        out.append({"t": "small", "s": own_units(f"Taken for granted: {'; '.join(notes)}.", style)})
    return out


def _sizes(of: Set, works: Sequence[Work]) -> Iterator[str]:
    style = of.garden.style
    runs = [w for w in works if isinstance(w, LineWork)]
    for first in {(w.material, w.height_m): w for w in reversed(runs)}.values():
        pieces = [w for w in runs if (w.material, w.height_m) == (first.material, first.height_m)]
        parted = f" in {len(pieces)} pieces" if len(pieces) > 1 else ""
        long = format_length(sum(w.course.length for w in pieces), style)
        yield f"{first.material}: {long} long{parted}, {format_length(first.height_m, style)} high"
    areas = [w for w in works if isinstance(w, AreaWork) and w.dug]
    water = any(isinstance(w, WaterWork) for w in works)
    for w in works:
        if isinstance(w, AreaWork) and w.dug:
            # Of a pond and the flags round it each says which it is: the water comes first.
            what = "of water" if w is areas[0] else f"of {w.layers[0].material}" if w.layers else "round it"
            yield f"{format_area(float(w.outline.area), style)} {what if water else 'in all'}"
        elif isinstance(w, FrameWork):
            posts = [m for m in w.members if m.support == "post"]
            if posts:
                yield f"{len(posts)} posts {section_words(posts[0].section_m, style)}"
