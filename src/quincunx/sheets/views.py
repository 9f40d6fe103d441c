"""What is seen from each place that matters, year by year, and how much of the ground."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from quincunx.intents._seeing import percent, sight_figures
from quincunx.scene import Scene
from quincunx.shapes import Amounts, AreaFigure, Band, Figure, PathFigure, TextFigure, band_areas
from quincunx.sheets._place import thin, view
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sight import Eye, Seen, Target, eye_at, least_raise, seen, target_of, view_of
from quincunx.sight.enclosure import mix
from quincunx.units import capital


@dataclass(frozen=True)
class Wanted:
    """Something looked at: up to which height people on it are looked for, and whether it is to be hidden."""

    ref: str
    height_m: float | None
    hide: bool


ID = "views"
WORDS = "Views: what is seen from where, year by year"
NEEDS = (
    "Nothing is looked at yet. Mark a seat or a window as a spot with the height of its eye, or say in a must what is to be "
    "seen or hidden."
)
MOST_EYES, MOST_TARGETS = 4, 3
CELL_M = 0.5
BANDS = (Band(0.0, "not seen", 1), Band(10.0, "seen dimly", 4), Band(50.0, "seen", 6))


def has_pages(of: Set) -> bool:
    """Return whether anybody looks from anywhere."""
    scene = of.summer(of.timeline.years[-1])
    return any(eye_at(scene, ref) is not None for ref in list(_eyes(of))[:MOST_EYES])


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - each drawing has the scale that fits it
    """Yield one page for each eye; nothing where nobody looks from anywhere."""
    for ref, targets in list(_eyes(of).items())[:MOST_EYES]:
        page = _page(of, ref, targets[:MOST_TARGETS])
        if page is not None:
            yield page


def _eyes(of: Set) -> dict[str, list[Wanted]]:
    """Return the eyes and what each looks at: those of musts first, then spots with a height."""
    out: dict[str, list[Wanted]] = {}
    for must in of.garden.intents:
        if "sight" in must.reads and not must.muted:
            eye, target = str(getattr(must, "eye", "")), str(getattr(must, "target", ""))
            height = getattr(must, "height", None)
            one = Wanted(target, None if height is None else float(height), hasattr(must, "height"))
            if eye and target and one not in out.setdefault(eye, []):
                out[eye].append(one)
    for spot in of.timeline.frame.spots:
        if spot.height_m > 0:
            out.setdefault(spot.id, [])
    return out


def _goal(scene: Scene, wanted: Wanted, eye: Eye) -> Target | None:
    flat = scene.spot(wanted.ref) is None and not any(s.owner == wanted.ref for s in scene.solids)
    return target_of(scene, wanted.ref, eye, wanted.height_m if flat else None)


def _page(of: Set, ref: str, targets: list[Wanted]) -> Page | None:
    last = of.timeline.years[-1]
    scene = of.summer(last)
    eye = eye_at(scene, ref)
    if eye is None:
        return None
    found = view_of(scene, eye, cell_m=CELL_M)
    values = (100 * found.share).astype(np.float32)
    field = Amounts(found.grid.x0_m, found.grid.y0_m, CELL_M, values, "%", BANDS, 0).within(scene.boundary)
    known = field.values[np.isfinite(field.values)]
    share = float(known.mean()) / 100 if len(known) else 0.0
    figures: list[Figure] = [*band_areas(field), *(f for g in scene.figures for f in thin(g))]
    for wanted in targets:
        goal = _goal(scene, wanted, eye)
        if goal is not None:
            drawn = sight_figures(seen(scene, eye, goal), scene)
            figures += [f for f in drawn if not isinstance(f, AreaFigure)]
    figures += [f for f in of.frame() if isinstance(f, PathFigure) and f.owner == "boundary"]
    figures.append(TextFigure(eye.at, "eye", "evidence", ref))
    west, south, east, north = of.bounds
    wide, high = of.paper.frame_mm
    beside = north - south > 1.3 * (east - west)
    frame = (wide * 0.55, high * 0.92) if beside else (wide, high * 0.55)
    drawing, scale = view(of, [(west, south), (east, north), eye.at], figures, frame)
    height = of.words.length(eye.z_m - scene.ground_z_m(*eye.at))
    told: list[Block] = [
        {
            "t": "text",
            "s": f"Eye {height} over the ground: {percent(share)} of the garden's ground is seen in late summer {last}.",
        },
        {"t": "text", "s": _fills(scene, eye)},
        {"t": "small", "s": "On the plan: hatched, not seen; dots, seen dimly through twigs or bars; plain, seen."},
        *(b for wanted in targets for b in _table(of, ref, wanted)),
        {"t": "small", "s": KNOWN},
    ]
    row: Block = {"t": "row", "widths": [frame[0], wide - frame[0] - 4], "cells": [[drawing], told]}
    blocks = (row,) if beside else (drawing, *told)
    return Page(f"Seen from {of.words.the(ref)}", blocks, of.paper.size_mm, scale.said, scale.said)


KNOWN = (
    "How do we know? Straight lines from the eye over the ground as it lies, through hedges and crowns as their leaves let a "
    "view through late in summer and in mid-winter, through fences by their gaps; gates stand open. Of a thing 45 points over its "
    "width and height are looked at."
)


def _fills(scene: Scene, eye: Eye) -> str:
    """Say what fills the view all round."""
    m = mix(scene, eye)
    told = ", ".join(f"{percent(s)} {w}" for w, s in (("plants", m.plants), ("built", m.built), ("ground", m.ground)))
    return f"All round, from 20° below level to 27° above, the view is {told} and {percent(m.sky)} sky."


def _table(of: Set, ref: str, wanted: Wanted) -> list[Block]:
    """Return the share of a target seen in each year, in leaf and bare, and what would hide it if it is to be hidden."""
    rows: list[list[Any]] = []
    last: Seen | None = None
    scene = of.timeline.at(of.timeline.bare_date(of.timeline.years[-1]))
    for year in of.timeline.years:
        told = []
        for on in (of.timeline.leaf_date(year), of.timeline.bare_date(year)):
            scene = of.timeline.at(on)
            eye = eye_at(scene, ref)
            goal = None if eye is None else _goal(scene, wanted, eye)
            last = None if eye is None or goal is None else seen(scene, eye, goal)
            told.append("not there" if last is None else percent(last.share))
        rows.append([{"s": str(year), "bold": True}, *told])
    high = "" if not wanted.height_m or scene.spot(wanted.ref) else f", people up to {of.words.length(wanted.height_m)}"
    out: list[Block] = [
        {"t": "heading", "s": f"How much of {of.words.the(wanted.ref)} is seen{high}"},
        {"t": "table", "head": ["", "in leaf", "bare"], "rows": rows, "widths": [1, 1, 1], "align": ["left"] * 3, "size": 9,
         "inset": 1.3},
    ]  # fmt: skip
    up = least_raise(scene, last) if wanted.hide and last is not None else None
    if up is not None:
        name, needs, now = of.words.the(up.owner), of.words.length(up.height_m), of.words.length(up.now_m)
        text = f"{capital(name)} would hide all of it at {needs}, closed; it will stand {now} high."
        out.append({"t": "text", "s": text})
    return out
